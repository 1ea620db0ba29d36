//! Height and how fast it grows: the model, its drawing, its alt text.
//!
//! Standing heights over the centiles of a reference, where sex and age have
//! one; below them the growth a year between heights far enough apart, as
//! steps with their error. With a reference the axis counts years of age,
//! without one it shows dates. The age of peak growth is a band only where a
//! published figure gives it. Height lost to a curve is not added.
//!
//! Must not know: tables of growth, or which heights may be compared.

mod alt;
mod draw;
mod frame;
mod scale;

use chrono::NaiveDate;

use super::words::Calendar;
use crate::quantity::Reported;

pub use super::notes::MaturityMark;
pub use alt::{alt, caption};
pub use draw::draw;

/// The heights of one patient.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// Standing heights in cm, by date.
    pub heights: Vec<HeightPoint>,
    /// Growth a year, by date; spans do not overlap.
    pub steps: Vec<GrowthStep>,
    /// The reference, where there is one for this patient.
    pub reference: Option<Reference>,
    /// The first period, where it is recorded.
    pub first_period: Option<Event>,
    /// Skeletal maturity on days when it was recorded.
    pub maturity: Vec<MaturityMark>,
    /// Words in the letter's language.
    pub words: GrowthWords,
}

/// One height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightPoint {
    /// The day.
    pub date: NaiveDate,
    /// In cm.
    pub value: Reported,
}

/// Growth a year between two heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowthStep {
    /// Day of the first height.
    pub from: NaiveDate,
    /// Day of the second.
    pub to: NaiveDate,
    /// In cm a year.
    pub per_year: Reported,
    /// Half the width of its 95 % interval, in cm a year.
    pub half: Reported,
}

/// Heights of others of the same sex and age.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// Date of birth: the axis counts years from it.
    pub born: NaiveDate,
    /// Lines of one centile each, the lowest first.
    pub lines: Vec<CentileLine>,
    /// Who stands behind the lines, such as `girls`.
    pub whose: String,
    /// Ages at which growth is fastest on average.
    pub peak: Option<Peak>,
}

/// One centile over time.
#[derive(Debug, Clone, PartialEq)]
pub struct CentileLine {
    /// Its number, such as `97`.
    pub name: String,
    /// Heights in cm, by date.
    pub points: Vec<(NaiveDate, f64)>,
}

/// The mean age of peak growth, one standard deviation to each side.
#[derive(Debug, Clone, PartialEq)]
pub struct Peak {
    /// The first day of the band.
    pub from: NaiveDate,
    /// The last day of the band.
    pub to: NaiveDate,
    /// The mean age, in years.
    pub age: Reported,
    /// Its standard deviation, in years.
    pub sd: Reported,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The day, or the middle of the month or year that is known.
    pub date: NaiveDate,
    /// When, as precisely as it is known: `September 2025`.
    pub when: String,
}

/// Words of the figure; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GrowthWords {
    /// Over the heights.
    pub height: String,
    /// Over the growth a year.
    pub velocity: String,
    /// The first label of an axis of ages, `{n}`.
    pub age: String,
    /// Beside its line.
    pub first_period: String,
    /// In the band of peak growth.
    pub peak: String,
    /// Where maturity is missing.
    pub not_recorded: String,
    /// Head of the row of maturity where its texts share none.
    pub maturity: String,
    /// Girls.
    pub girls: String,
    /// Boys.
    pub boys: String,
    /// Months and dates.
    pub calendar: Calendar,
    /// What stands under it.
    pub caption: CaptionWords,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

/// What stands under the figure; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaptionWords {
    /// Without a reference.
    pub heights: String,
    /// `{lines}` and `{whose}`.
    pub lines: String,
    /// Of steps.
    pub steps: String,
    /// `{age}` and `{sd}`.
    pub peak: String,
}

/// Sentences of the alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// `{list}`.
    pub heights: String,
    /// `{value}` and `{date}`.
    pub height: String,
    /// `{lines}` and `{whose}`.
    pub lines: String,
    /// `{list}`.
    pub steps: String,
    /// `{value}`, `{half}`, `{from}` and `{to}`.
    pub step: String,
    /// `{when}`.
    pub first_period: String,
    /// `{list}`.
    pub maturity: String,
    /// `{text}` and `{date}`.
    pub maturity_item: String,
}

impl Default for GrowthWords {
    fn default() -> Self {
        GrowthWords {
            height: "height, cm".into(),
            velocity: "growth, cm a year".into(),
            age: "age {n}".into(),
            first_period: "first period".into(),
            peak: "mean peak".into(),
            not_recorded: "not recorded".into(),
            maturity: "maturity".into(),
            girls: "girls".into(),
            boys: "boys".into(),
            calendar: Calendar::default(),
            caption: CaptionWords::default(),
            alt: AltWords::default(),
        }
    }
}

impl Default for CaptionWords {
    fn default() -> Self {
        CaptionWords {
            heights: "Standing height as measured.".into(),
            lines: "Standing height as measured, over centiles {lines} of {whose} (CDC 2000)."
                .into(),
            steps: "Growth a year, with its 95 % limits.".into(),
            peak: "Dashed: when girls grow fastest on average, at {age} years (SD {sd}).".into(),
        }
    }
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            heights: "Standing height: {list}.".into(),
            height: "{value} cm on {date}".into(),
            lines: "Behind it the centiles {lines} of {whose}.".into(),
            steps: "Growth a year: {list}.".into(),
            step: "{value} cm, plus or minus {half}, from {from} to {to}".into(),
            first_period: "First period: {when}.".into(),
            maturity: "Maturity: {list}.".into(),
            maturity_item: "{text} on {date}".into(),
        }
    }
}
