//! A curve's angle over time: the model, its drawing, its alt text.
//!
//! Only films out of support, alike in posture and view, form the line and its
//! band. Films in a brace or cast, and films that cannot be compared, stand
//! apart as open marks with their own words; nothing joins them. The band is
//! half the limit of a real change to each side, so that two bands overlap
//! exactly where the letter says "unchanged".
//!
//! Must not know: how values were measured or which limit applies. Data comes
//! from the facts, already rounded; words in the letter's language.

mod alt;
mod axis;
mod draw;
mod episode;
mod frame;
mod label;
mod mark;

use chrono::NaiveDate;

use super::words::{Calendar, Spoken};
use crate::quantity::Reported;

pub use super::notes::MaturityMark;
pub use alt::alt;
pub use draw::draw;

/// The usual space for a course beside another figure: 82 mm wide, and tall
/// enough for each curve's own plot.
pub fn usual_size(course: &Course) -> super::Size {
    let shown = course.series.iter().filter(|s| !s.points.is_empty()).count();
    let height = if shown > 1 { 28.0 + 24.0 * shown as f64 } else { 62.0 };
    super::Size { width: 82.0, height }
}

/// One or more curves of one patient over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The curves; each has a plot of its own under its name, so that no value
    /// is taken for another curve's, and all share both scales.
    pub series: Vec<Series>,
    /// Half the limit of a real change, in degrees; no band if absent.
    pub band_half_width: Option<Reported>,
    /// Times in a brace or cast.
    pub episodes: Vec<Episode>,
    /// Skeletal maturity on days when it was, or should have been, recorded.
    pub maturity: Vec<MaturityMark>,
    /// The day that the figure speaks of; the time axis ends here.
    pub until: NaiveDate,
    /// Words in the letter's language.
    pub words: CourseWords,
}

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its name as printed, such as `Right thoracic`.
    pub name: String,
    /// Its films, in any order.
    pub points: Vec<CoursePoint>,
}

/// One film's value.
#[derive(Debug, Clone, PartialEq)]
pub struct CoursePoint {
    /// The day the film was taken.
    pub date: NaiveDate,
    /// The angle in degrees; below zero when overcorrected.
    pub value: Reported,
    /// How it may be compared.
    pub kind: PointKind,
    /// The value as printed beside its mark, such as `31°`.
    pub label: String,
}

/// How a film may be compared with others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PointKind {
    /// Out of any support, comparable with its neighbours: part of the line.
    OutOfSupport,
    /// Taken in a brace.
    InBrace,
    /// Taken in a cast.
    InCast,
    /// Out of support, but not comparable; the reason in a word or two, such
    /// as `lying`, or empty.
    NotComparable(String),
}

/// A time in a brace or cast.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Episode {
    /// First day.
    pub from: NaiveDate,
    /// Last day; absent while it continues.
    pub to: Option<NaiveDate>,
    /// What stands above it, such as `brace, 18 h/day`.
    pub label: String,
    /// Brace or cast: a cast's span has a dashed edge.
    pub kind: EpisodeKind,
    /// Whether its span is shaded.
    pub shade: bool,
}

/// The kind of support of an episode.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EpisodeKind {
    /// A brace.
    Brace,
    /// A cast.
    Cast,
}

/// Words of a course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CourseWords {
    /// After a value: `in brace`.
    pub in_brace: String,
    /// After a value: `in cast`.
    pub in_cast: String,
    /// After a value without a reason: `not comparable`.
    pub not_comparable: String,
    /// Where maturity is missing: `not recorded`.
    pub not_recorded: String,
    /// Head of the maturity row where its texts share none: `maturity`.
    pub maturity: String,
    /// Months and dates.
    pub calendar: Calendar,
    /// Angles in the alt text.
    pub spoken: Spoken,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

impl Default for CourseWords {
    fn default() -> Self {
        CourseWords {
            in_brace: "in brace".into(),
            in_cast: "in cast".into(),
            not_comparable: "not comparable".into(),
            not_recorded: "not recorded".into(),
            maturity: "maturity".into(),
            calendar: Calendar::default(),
            spoken: Spoken::default(),
            alt: AltWords::default(),
        }
    }
}

/// Sentences of a course's alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// `{curves}` and `{until}`.
    pub title: String,
    /// `{curve}` and `{list}`: the points of the line.
    pub line: String,
    /// `{curve}`: no film out of support.
    pub no_line: String,
    /// `{curve}` and `{list}`.
    pub brace: String,
    /// `{curve}` and `{list}`.
    pub cast: String,
    /// `{curve}` and `{list}`.
    pub not_comparable: String,
    /// `{value}` and `{date}`.
    pub item: String,
    /// `{value}`, `{date}` and `{why}`.
    pub item_why: String,
    /// `{half}`: what the band means.
    pub band: String,
    /// `{label}`, `{from}` and `{to}`.
    pub episode: String,
    /// `{label}` and `{from}`: still in force.
    pub episode_open: String,
    /// `{list}`.
    pub maturity: String,
    /// `{text}` and `{date}`.
    pub maturity_item: String,
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            title: "Cobb angle over time until {until}: {curves}.".into(),
            line: "{curve}, out of any support, joined by a line: {list}.".into(),
            no_line: "{curve}: no comparable film out of support, so no line.".into(),
            brace: "{curve}, in the brace, drawn apart from the line: {list}.".into(),
            cast: "{curve}, in the cast, drawn apart from the line: {list}.".into(),
            not_comparable: "{curve}, not comparable, drawn apart from the line: {list}.".into(),
            item: "{value} on {date}".into(),
            item_why: "{value} on {date} ({why})".into(),
            band: "The band reaches {half} to each side of the line; where the bands of two \
                   films overlap, the difference is below the limit for a real change."
                .into(),
            episode: "From {from} to {to}: {label}.".into(),
            episode_open: "Since {from}: {label}.".into(),
            maturity: "Maturity: {list}.".into(),
            maturity_item: "{text} on {date}".into(),
        }
    }
}
