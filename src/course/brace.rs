//! What a brace or a bend takes off a curve, in per cent.
//!
//! Both angles are reported values of one curve: the film before, and the
//! film in the brace ([`IN_BRACE_CORRECTION`](works::IN_BRACE_CORRECTION)) or
//! bent, lying or pulled ([`CHEUNG_2020`](works::CHEUNG_2020)). An angle is
//! negative when the curve bulges the other way. This is what the brace does
//! while it is on; it is never a result of treatment.

use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

/// Where the in-brace correction comes from.
pub const CORRECTION_SOURCE: Source =
    Source::read(&works::IN_BRACE_CORRECTION, "(before - in brace) / before x 100");

/// Where the flexibility comes from.
pub const FLEXIBILITY_SOURCE: Source =
    Source::read(&works::CHEUNG_2020, "(standing - bending or supine) / standing x 100");

/// A reduction of an angle in per cent of the angle before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduction {
    before: Reported,
    with: Reported,
}

impl Reduction {
    /// From the angle before and the angle with the support; `None` if the
    /// angle before is not above zero, since a share of nothing has no size.
    pub fn new(before: Reported, with: Reported) -> Option<Reduction> {
        let same_unit = before.unit() == Unit::Degree && with.unit() == Unit::Degree;
        (same_unit && before.sign() > 0).then_some(Reduction { before, with })
    }

    /// The exact per cent, for comparison with the printed one.
    pub fn exact(self) -> f64 {
        100.0 * (self.before.value() - self.with.value()) / self.before.value()
    }

    /// The per cent as printed: whole.
    pub fn percent(self) -> Reported {
        Reported::round(self.exact(), 0, Unit::Percent)
    }

    /// Whether the curve bulges the other way: more than 100 per cent.
    pub fn is_overcorrected(self) -> bool {
        self.with.sign() < 0
    }
}

/// In-brace correction over supine flexibility, both exact
/// ([`CHEUNG_2022`](works::CHEUNG_2022)); `None` for a curve with no
/// flexibility.
pub fn correction_to_flexibility(correction: Reduction, flexibility: Reduction) -> Option<f64> {
    (flexibility.exact() > 0.0).then(|| correction.exact() / flexibility.exact())
}
