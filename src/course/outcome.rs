//! Published outcome categories: improved, unchanged, worse.
//!
//! These are words of studies for a whole course of treatment, told apart
//! from whether a change is real ([`change`](super::change)). They are judged
//! on whole reported degrees.

use serde::Serialize;

use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

/// A published outcome category.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// Smaller by at least the band.
    Improved,
    /// Within the band.
    Unchanged,
    /// Larger by at least the band.
    Worse,
}

/// Whose bands are applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Bands {
    /// Scoliosis: improved at -6 or less, worse at +6 or more (also printed
    /// by Kuroki 2015).
    Scoliosis,
    /// Kyphosis: reduced at -5 or less, stable strictly within 5, so worse
    /// at +5 or more.
    Kyphosis,
}

impl Bands {
    /// The first change that leaves the band, in whole degrees.
    pub fn width(self) -> Reported {
        Reported::whole(if self == Bands::Scoliosis { 6 } else { 5 }, Unit::Degree)
    }

    /// Where the bands come from.
    pub fn source(self) -> Source {
        match self {
            Bands::Scoliosis => Source::read(
                &works::NEGRINI_2014,
                "improved by 6 degrees or more, unchanged within 5, worse by 6 or more",
            ),
            Bands::Kyphosis => Source::read(
                &works::PIA_2021,
                "reduced by 5 degrees or more, stable within less than 5",
            ),
        }
    }
}

/// The category of a change in reported degrees, last minus first.
pub fn outcome(change: Reported, bands: Bands) -> Outcome {
    match (change.abs().compare(bands.width()).is_ge(), change.sign() < 0) {
        (false, _) => Outcome::Unchanged,
        (true, true) => Outcome::Improved,
        (true, false) => Outcome::Worse,
    }
}

/// Whether a curve at maturity passed 45 degrees: 45 itself has not
/// ([`NEGRINI_2014`](works::NEGRINI_2014)).
pub fn beyond_45_at_maturity(cobb: Reported) -> bool {
    cobb.abs().compare(Reported::whole(45, Unit::Degree)).is_gt()
}

/// Whether a curve at maturity reached the 50 degrees that the trial of
/// bracing counted as failure ([`WEINSTEIN_2013`](works::WEINSTEIN_2013)).
pub fn reached_50_at_maturity(cobb: Reported) -> bool {
    cobb.abs().compare(Reported::whole(50, Unit::Degree)).is_ge()
}
