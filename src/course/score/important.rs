//! Published differences from which a change of a score matters.
//!
//! Each was found in one kind of patient. A difference judges a change in
//! either direction here; the studies looked at improvement, and their
//! figures are less sure for a decline.

use super::Better;
use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

use super::srs22r::Domain;

/// What a change of a score means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Better by at least the important difference.
    Better,
    /// Worse by at least that.
    Worse,
    /// Less than that either way.
    Smaller,
}

impl Verdict {
    /// The word of the closed set.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Better => "better",
            Verdict::Worse => "worse",
            Verdict::Smaller => "no important change",
        }
    }
}

/// Holds a change, now minus before, against a difference of the same unit.
pub fn judge(change: Reported, from: Reported, better: Better) -> Verdict {
    let rises = change.sign() > 0;
    match (change.abs().compare(from).is_ge(), rises == (better == Better::Higher)) {
        (false, _) => Verdict::Smaller,
        (true, true) => Verdict::Better,
        (true, false) => Verdict::Worse,
    }
}

/// Share of the first value from which a change counts in low back pain.
pub const SHARE_OF_BASELINE: i64 = 30;

/// The change in whole per cent of the value before; `None` if that was zero.
pub fn share(before: Reported, now: Reported) -> Option<Reported> {
    let change = now.minus(before).value();
    (before.value() != 0.0)
        .then(|| Reported::round(change * 100.0 / before.value().abs(), 0, Unit::Percent))
}

/// Whether the change reaches 30 % of the value before, judged on the exact
/// share of the reported values.
pub fn reaches_share(before: Reported, now: Reported) -> bool {
    let change = now.minus(before).value().abs();
    before.value() != 0.0 && change * 100.0 >= SHARE_OF_BASELINE as f64 * before.value().abs()
}

/// The people in whom the differences of the SRS-22 were found.
pub const OPERATED: &str = "91 patients with idiopathic scoliosis, mean age 18, before and after an operation; patients treated without one were not studied";

/// The people in whom the changes of pain and disability were agreed.
pub const LOW_BACK_PAIN: &str = "adults with low back pain";

const BAGO: Source = Source::read(
    &works::BAGO_2009,
    "mean change of those who called themselves much better after an operation",
);

/// The important difference of the SRS-22 mean.
pub fn srs22r_mean() -> (Reported, Source) {
    (Reported::round(0.6, 1, Unit::One), BAGO)
}

/// The important difference of the SRS-22 raw sum.
pub fn srs22r_raw() -> (Reported, Source) {
    (Reported::round(13.1, 1, Unit::One), BAGO)
}

/// The smallest detectable change of the raw sum of the 20 questions outside
/// satisfaction.
pub fn srs22r_raw_subtotal() -> (Reported, Source) {
    (
        Reported::round(6.8, 1, Unit::One),
        Source::read(&works::BAGO_2012, "minimum detectable change of the subtotal"),
    )
}

/// The important difference of a domain; none is published for satisfaction.
pub fn srs22r_domain(domain: Domain) -> Option<(Reported, Source)> {
    let from = match domain {
        Domain::Function | Domain::MentalHealth => 0.3,
        Domain::Pain => 0.6,
        Domain::SelfImage => 1.3,
        Domain::Satisfaction => return None,
    };
    Some((Reported::round(from, 1, Unit::One), BAGO))
}

const OSTELO: Source = Source::read(
    &works::OSTELO_2008,
    "consensus for low back pain: disability 10, numerical rating 2, visual analogue scale 15, or 30 % of the first value",
);

/// The important change of the Oswestry index, in per cent points.
pub fn odi() -> (Reported, Source) {
    (Reported::whole(10, Unit::Percent), OSTELO)
}

/// The important change of a pain rating of 0 to 10.
pub fn pain() -> (Reported, Source) {
    (Reported::whole(2, Unit::OutOfTen), OSTELO)
}

/// The important change on a line of 100 mm.
pub fn vas() -> (Reported, Source) {
    (Reported::whole(15, Unit::Millimetre), OSTELO)
}
