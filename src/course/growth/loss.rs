//! Standing height lost to a frontal curve, estimated from its Cobb angle.
//!
//! Every formula here is known from memory. Bjure's and the first variant of
//! Stokes's give the ranges that one paper prints for curves of 21 to 74
//! degrees (11 to 43 mm and 5 to 47 mm,
//! [`TYRAKOWSKI_2014`](works::TYRAKOWSKI_2014)); the second variant of
//! Stokes's gives 6 to 52 mm, so that paper used the first; both circulate.
//! Outside 21 to 74 degrees nothing has been checked and nothing is said.
//! Measured losses of that paper were 3 to 50 mm, mean 18, against estimates
//! of 23 (Bjure) and 20 (Stokes): an estimate, never a measurement.

use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit, math};

/// Whose formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Formula {
    /// log10(y in cm) = 0.011·C − 0.177.
    Bjure,
    /// mm = 1.55 − 0.0471·C + 0.009·C²: gives the printed range.
    StokesA,
    /// mm = 1.0 + 0.066·C + 0.0084·C²: circulates as well.
    StokesB,
}

/// Smallest and largest curve for which the formulas were held against print.
pub const RANGE: (f64, f64) = (21.0, 74.0);

impl Formula {
    /// Every formula, for facts that show them side by side.
    pub const ALL: [Formula; 3] = [Formula::StokesA, Formula::StokesB, Formula::Bjure];

    /// The height lost in mm to a curve of that reported Cobb angle; `None`
    /// outside [`RANGE`].
    pub fn millimetres(self, cobb: Reported) -> Option<f64> {
        let c = cobb.value();
        let known = cobb.unit() == Unit::Degree && (RANGE.0..=RANGE.1).contains(&c);
        known.then(|| self.value(c))
    }

    fn value(self, c: f64) -> f64 {
        match self {
            Formula::Bjure => 10.0 * math::power(10.0, 0.011 * c - 0.177),
            Formula::StokesA => 1.55 - 0.0471 * c + 0.009 * c * c,
            Formula::StokesB => 1.0 + 0.066 * c + 0.0084 * c * c,
        }
    }

    /// The formula in symbols.
    pub fn words(self) -> &'static str {
        match self {
            Formula::Bjure => "log10(loss in cm) = 0.011 C - 0.177",
            Formula::StokesA => "loss in mm = 1.55 - 0.0471 C + 0.009 C^2",
            Formula::StokesB => "loss in mm = 1.0 + 0.066 C + 0.0084 C^2",
        }
    }

    /// The short name, in ids of facts and in the clinic's `adopted:`.
    pub fn key(self) -> &'static str {
        match self {
            Formula::Bjure => "bjure",
            Formula::StokesA => "stokes_a",
            Formula::StokesB => "stokes_b",
        }
    }

    /// Where it comes from.
    pub fn source(self) -> Source {
        let (work, note) = match self {
            Formula::Bjure => (
                &works::BJURE_1968,
                "gives the 11 to 43 mm printed for 21 to 74 degrees by Tyrakowski 2014",
            ),
            Formula::StokesA => (
                &works::STOKES_2008,
                "first variant; gives the 5 to 47 mm printed for 21 to 74 degrees by Tyrakowski 2014",
            ),
            Formula::StokesB => (
                &works::STOKES_2008,
                "second variant; gives 6 to 52 mm where Tyrakowski 2014 prints 5 to 47",
            ),
        };
        Source { work: Some(work), grade: Grade::Memory, note }
    }
}
