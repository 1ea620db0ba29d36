//! Hours in a brace day by day: the model, its drawing, its alt text.
//!
//! Each counted day of a sensor's log stands as high as its hours; a line steps
//! with the hours prescribed. A day on which wear could not be told is hatched
//! from top to bottom and a counted day without wear is dark on the axis, so
//! that unknown is never taken for zero. Where days would be too narrow to
//! see, weeks take their place. Hours that were typed for a span, without a
//! log, are one open bar.
//!
//! Must not know: how wear is told from temperatures, or which days count.
//! Nothing is marked that was not recorded, such as holidays.

mod alt;
mod bar;
mod draw;
mod frame;
mod key;

use chrono::NaiveDate;

use super::words::Calendar;
use crate::quantity::Reported;

pub use alt::{alt, caption};
pub use draw::draw;

/// The hours of one brace.
#[derive(Debug, Clone, PartialEq)]
pub struct WearCalendar {
    /// Days of the log, by date; a day that no log covers is absent.
    pub days: Vec<WearDay>,
    /// Spans whose mean was typed, by date.
    pub typed: Vec<WearSpan>,
    /// Hours prescribed, by date.
    pub steps: Vec<PrescribedHours>,
    /// The last day on which hours are prescribed, if the brace has ended.
    pub ended: Option<NaiveDate>,
    /// What the letter's facts say of the same days.
    pub told: WearTold,
    /// Words in the letter's language.
    pub words: WearWords,
}

/// One day of a log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearDay {
    /// The day.
    pub date: NaiveDate,
    /// Hours worn; absent where they could not be told, which is not zero.
    pub hours: Option<Reported>,
}

/// A mean over some days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearSpan {
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// Hours a day; absent where too few days could be counted.
    pub hours: Option<Reported>,
}

/// Hours prescribed from a day on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrescribedHours {
    /// First day.
    pub from: NaiveDate,
    /// Hours a day.
    pub hours: Reported,
}

/// The figures of a log and its spans, as the letter states them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WearTold {
    /// Measured means, by date.
    pub spans: Vec<WearSpan>,
    /// Days whose hours count.
    pub counted: Option<Reported>,
    /// Days of the log.
    pub logged: Option<Reported>,
    /// Days too warm to tell wear.
    pub too_warm: Option<Reported>,
    /// Days with too many samples missing.
    pub incomplete: Option<Reported>,
    /// Counted days without wear.
    pub unworn: Option<Reported>,
}

/// Words of the figure; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WearWords {
    /// Over the scale of hours.
    pub hours: String,
    /// Key of a day's bar.
    pub worn: String,
    /// Key of a week's bar.
    pub worn_week: String,
    /// Key of a bar over a span.
    pub worn_span: String,
    /// Key of the line.
    pub prescribed: String,
    /// Key of a counted day without wear.
    pub unworn: String,
    /// Key of a hatched day.
    pub unknown: String,
    /// Beside the line, `{hours}`.
    pub step: String,
    /// Months and dates.
    pub calendar: Calendar,
    /// What stands under it.
    pub caption: CaptionWords,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

/// What stands under the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaptionWords {
    /// Of days.
    pub days: String,
    /// Of weeks.
    pub weeks: String,
    /// Of spans alone.
    pub spans: String,
    /// Where days or weeks are hatched.
    pub unknown: String,
    /// Where spans stand beside a log.
    pub beside: String,
}

/// Sentences of the alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// `{from}` and `{to}`, of a log.
    pub log: String,
    /// `{from}` and `{to}`, of spans alone.
    pub spans: String,
    /// `{list}`.
    pub prescribed: String,
    /// `{hours}` and `{from}`.
    pub prescribed_item: String,
    /// Nothing is prescribed on any day shown.
    pub not_prescribed: String,
    /// `{list}`.
    pub measured: String,
    /// `{hours}`, `{from}` and `{to}`.
    pub measured_item: String,
    /// The same where too few days count.
    pub untold_item: String,
    /// `{counted}` and `{logged}`.
    pub counted: String,
    /// `{n}`.
    pub too_warm: String,
    /// `{n}`.
    pub incomplete: String,
    /// `{n}`.
    pub unworn: String,
}

impl Default for WearWords {
    fn default() -> Self {
        WearWords {
            hours: "hours a day".into(),
            worn: "worn".into(),
            worn_week: "worn, week’s mean".into(),
            worn_span: "worn, mean of the span".into(),
            prescribed: "prescribed".into(),
            unworn: "not worn".into(),
            unknown: "cannot be told".into(),
            step: "{hours} h".into(),
            calendar: Calendar::default(),
            caption: CaptionWords::default(),
            alt: AltWords::default(),
        }
    }
}

/// The same in plain words, for families.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlainWear(pub WearWords);

impl Default for PlainWear {
    fn default() -> Self {
        PlainWear(WearWords {
            prescribed: "planned".into(),
            unknown: "sensor cannot tell".into(),
            caption: CaptionWords::plain(),
            alt: AltWords { prescribed: "Planned: {list}.".into(), ..AltWords::default() },
            ..WearWords::default()
        })
    }
}

impl Default for CaptionWords {
    fn default() -> Self {
        CaptionWords {
            days: "Hours in the brace each day, from its sensor; the line: hours prescribed."
                .into(),
            weeks: "Hours in the brace a day, from its sensor: the mean of each week’s counted \
                    days, where at least half of the week counts; the line: hours prescribed."
                .into(),
            spans: "Hours in the brace a day, as measured over each span; the line: hours \
                    prescribed."
                .into(),
            unknown: "Hatched: too warm to tell wear, or samples missing; this is not zero.".into(),
            beside: "Open bars: means over a span that no log covers.".into(),
        }
    }
}

impl CaptionWords {
    fn plain() -> CaptionWords {
        CaptionWords {
            days: "Hours in the brace each day. The line shows the plan.".into(),
            weeks: "Hours in the brace a day, week by week. The line shows the plan.".into(),
            spans: "Hours in the brace a day. The line shows the plan.".into(),
            unknown: "On the striped days the sensor could not tell.".into(),
            beside: "Open bars: one value for the whole time.".into(),
        }
    }
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            log: "Hours in the brace day by day from {from} to {to}.".into(),
            spans: "Hours in the brace from {from} to {to}, as means over spans.".into(),
            prescribed: "Prescribed: {list}.".into(),
            prescribed_item: "{hours} hours a day from {from}".into(),
            not_prescribed: "No hours are prescribed.".into(),
            measured: "Measured: {list}.".into(),
            measured_item: "{hours} hours a day from {from} to {to}".into(),
            untold_item: "too few days counted from {from} to {to}".into(),
            counted: "The hours of {counted} of {logged} days in the log count.".into(),
            too_warm: "Days too warm to tell wear: {n}.".into(),
            incomplete: "Days with samples missing: {n}.".into(),
            unworn: "Counted days without wear: {n}.".into(),
        }
    }
}
