//! The Oswestry disability index: 10 sections, 0 to 5 points, 0 best.
//!
//! The sum over what the answered sections could reach, in per cent: an
//! unanswered section leaves the denominator
//! ([`ODI`](crate::evidence::works::ODI)). The bands are published in whole
//! per cent, so the index is reported so.

use super::{Answer, tally};
use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

/// How many sections there are.
pub const SECTIONS: usize = 10;

/// How few answered sections make an index; common practice, no source.
pub const FEWEST: u32 = 8;

/// Where the index comes from.
pub const SOURCE: Source = Source::read(
    &works::ODI,
    "sum / (5 x answered sections) x 100; at least 8 of 10 sections answered is common practice",
);

/// Where the bands come from; the words for them are ours.
pub const BANDS_SOURCE: Source =
    Source::read(&works::ODI, "0 to 20, 21 to 40, 41 to 60, 61 to 80, 81 to 100 %");

/// The index of one questionnaire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Odi {
    /// Sum of the points.
    pub points: u32,
    /// Sections with one answer.
    pub answered: u32,
}

impl Odi {
    /// From the answers in the order of the sections; `None` for any other
    /// count than 10.
    pub fn new(answers: &[Answer]) -> Option<Odi> {
        let (points, answered) = tally(answers.iter().copied());
        (answers.len() == SECTIONS).then_some(Odi { points, answered })
    }

    /// The percentage before rounding; `None` with fewer than [`FEWEST`]
    /// sections answered.
    pub fn exact(self) -> Option<f64> {
        let reachable = f64::from(5 * self.answered);
        (self.answered >= FEWEST).then(|| f64::from(self.points) * 100.0 / reachable)
    }

    /// The index in whole per cent.
    pub fn reported(self) -> Option<Reported> {
        self.exact().map(|percent| Reported::round(percent, 0, Unit::Percent))
    }
}

/// The published band of an index in whole per cent.
pub fn band(index: Reported) -> &'static str {
    match Reported::round(index.value(), 0, Unit::Percent).value() {
        v if v <= 20.0 => "minimal",
        v if v <= 40.0 => "moderate",
        v if v <= 60.0 => "severe",
        v if v <= 80.0 => "very severe",
        _ => "most severe",
    }
}
