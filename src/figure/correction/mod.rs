//! What each brace takes off each curve: the model, its drawing, its alt text.
//!
//! A bar a film: a filled mark where the curve stood out of support, an open
//! one where it stood in the brace or cast, joined by a line; the percentage
//! beside it always with both dates and postures. The bars of one curve stand
//! under its name, brace after brace, each with its first and its latest film.
//! Nothing joins one bar with the next: it is no course.
//!
//! Must not know: which film serves as baseline, nor how a percentage is made.
//! Data comes from the facts, already rounded; words in the letter's language.

mod alt;
mod draw;

use chrono::NaiveDate;

use super::words::{Calendar, Spoken};
use crate::quantity::Reported;

pub use alt::alt;
pub use draw::{draw, height};

/// The curves of one patient.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrections {
    /// What was worn, in one word or two: `brace`, `brace or cast`.
    pub worn: String,
    /// In order from the head down.
    pub curves: Vec<CurveBars>,
    /// Words in the letter's language.
    pub words: CorrectionWords,
}

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveBars {
    /// Its name as printed, such as `Right thoracic`.
    pub name: String,
    /// Its films in support, by brace and day.
    pub bars: Vec<Bar>,
}

/// One film in support.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Which support, such as `first brace, first film`.
    pub support: String,
    /// In support; below zero if turned to the other side.
    pub held: Shown,
    /// Out of support before; absent if no film serves.
    pub free: Option<Shown>,
    /// The correction in per cent; above 100 if turned to the other side.
    pub percent: Option<Reported>,
}

/// One angle with what it was measured under.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// The angle in degrees.
    pub angle: Reported,
    /// The day of the film.
    pub date: NaiveDate,
    /// The posture in words; absent if not recorded.
    pub posture: Option<String>,
}

impl Bar {
    /// Whether both postures are known and differ: part of the difference may
    /// come from that.
    fn postures_differ(&self) -> bool {
        let free = self.free.as_ref().and_then(|f| f.posture.as_ref());
        matches!((free, &self.held.posture), (Some(a), Some(b)) if a != b)
    }

    fn is_turned(&self) -> bool {
        self.held.angle.sign() < 0
    }
}

/// Words of the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CorrectionWords {
    /// A brace, where there is only one.
    pub brace: String,
    /// A cast, where there is only one.
    pub cast: String,
    /// Both kinds.
    pub either: String,
    /// `{nth}` and `{support}`: one of several.
    pub one_of: String,
    /// First, second and so on.
    pub ordinals: Vec<String>,
    /// `{support}`: its first of several films.
    pub first: String,
    /// `{support}`: its latest of several films.
    pub latest: String,
    /// `{date}` and `{posture}`: the film in support.
    pub held: String,
    /// `{date}` and `{posture}`: the film out of support.
    pub free: String,
    /// Where no film out of support serves.
    pub no_free: String,
    /// Where a posture is missing.
    pub no_posture: String,
    /// Standing, sitting, supine, prone, traction, bolster.
    pub postures: [String; 6],
    /// `{percent}`.
    pub percent: String,
    /// `{percent}`: turned to the other side.
    pub turned: String,
    /// Said where the postures differ.
    pub differ: String,
    /// Months and dates.
    pub calendar: Calendar,
    /// Angles in the alt text.
    pub spoken: Spoken,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

impl Default for CorrectionWords {
    fn default() -> Self {
        let postures = [
            "standing",
            "sitting",
            "lying face up",
            "lying face down",
            "under traction",
            "over a bolster",
        ];
        let ordinals = ["first", "second", "third", "fourth", "fifth", "sixth"];
        CorrectionWords {
            brace: "brace".into(),
            cast: "cast".into(),
            either: "brace or cast".into(),
            one_of: "{nth} {support}".into(),
            ordinals: ordinals.map(str::to_owned).to_vec(),
            first: "{support}, first film".into(),
            latest: "{support}, latest film".into(),
            held: "in it {date}, {posture}".into(),
            free: "out of it {date}, {posture}".into(),
            no_free: "no film out of it to compare".into(),
            no_posture: "posture not recorded".into(),
            postures: postures.map(str::to_owned),
            percent: "{percent} %".into(),
            turned: "{percent} %, turned over".into(),
            differ: "the postures differ".into(),
            calendar: Calendar::default(),
            spoken: Spoken::default(),
            alt: AltWords::default(),
        }
    }
}

/// Sentences of the alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// `{worn}`: opens it.
    pub title: String,
    /// `{curve}` and `{list}`.
    pub curve: String,
    /// `{support}`, `{free}`, `{free_on}`, `{free_posture}`, `{held}`,
    /// `{held_on}`, `{held_posture}` and `{percent}`.
    pub bar: String,
    /// The same without an angle out of support.
    pub alone: String,
    /// Closes a bar that is turned over.
    pub turned: String,
    /// Closes a bar whose postures differ.
    pub differ: String,
    /// Where there is no percentage.
    pub no_percent: String,
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            title: "What each {worn} takes off each curve while it is on; not a result of \
                    treatment."
                .into(),
            curve: "{curve}: {list}.".into(),
            bar: "{support}, {free} out of it on {free_on}, {free_posture}, and {held} in it on \
                  {held_on}, {held_posture}, correction {percent}"
                .into(),
            alone: "{support}, {held} in it on {held_on}, {held_posture}, with no film out of it \
                    to compare"
                .into(),
            turned: ", turned to the other side".into(),
            differ: ", part of which may come from the posture".into(),
            no_percent: "not given".into(),
        }
    }
}
