//! How surely a film is read: the published error of one measurement.
//!
//! Every figure is a 95 % limit between two readings of one film by the same
//! reader. One reading lies within that limit / root 2 of what the reader
//! would find on average, the mean of n readings within that / root n.
//!
//! | group | limit | source |
//! |---|---|---|
//! | scoliosis, end vertebrae kept from the film before | 3.8 | Morrissy 1990 |
//! | scoliosis, end vertebrae chosen | 4.9 | Morrissy 1990 |
//! | child of ten or less | 6 | Loder 2004 |
//! | congenital | 9.6 | Loder 1995 |
//! | lateral films | 9.6 | Kyphosis 2002 (Carman 1990: 95 % of differences 7 at most) |
//!
//! A clinic's own repeatability takes the place of Morrissy's figures, as in
//! the real-change table ([`change`](super::change)); in the other groups the
//! larger of the two is used.

use super::change::{Ends, Group};
use crate::evidence::{Constant, Grade, Source, Work, works};
use crate::quantity::{Angle, Reported, Unit, math};

const fn limit(value: f64, work: &'static Work, note: &'static str) -> Constant {
    Constant { value, unit: Unit::Degree, source: Source::read(work, note) }
}

const SAME_ENDS: Constant = limit(
    3.8,
    &works::MORRISSY_1990,
    "95 % limit within one reader 3.8 with end vertebrae given; one measurement: 3.8 / root 2",
);
const FREE_ENDS: Constant = limit(
    4.9,
    &works::MORRISSY_1990,
    "95 % limit within one reader 4.9 with end vertebrae chosen; one measurement: 4.9 / root 2",
);
const YOUNG_CHILD: Constant = limit(
    6.0,
    &works::LODER_2004,
    "95 % limit within one reader 6 at ten years or less, not congenital; one measurement: 6 / root 2",
);
const CONGENITAL: Constant = limit(
    9.6,
    &works::LODER_1995,
    "95 % limit within one reader 9.6 for congenital curves; one measurement: 9.6 / root 2",
);
const LATERAL: Constant = limit(
    9.6,
    &works::KYPHOSIS_2002,
    "95 % limit within one reader 9.6 for kyphosis; one measurement: 9.6 / root 2; Carman 1990 found 95 % of differences at most 7",
);

/// The limit between two readings by one reader that applies, with its source.
pub fn repeat_limit(group: Group, ends: Ends, clinic: Option<Angle>) -> Constant {
    let published = match (group, ends) {
        (Group::Scoliosis, Ends::Same) => SAME_ENDS,
        (Group::Scoliosis, Ends::Free) => FREE_ENDS,
        (Group::YoungChild, _) => YOUNG_CHILD,
        (Group::Congenital, _) => CONGENITAL,
        (Group::Kyphosis, _) => LATERAL,
    };
    let own = clinic.map(|own| Constant { value: own.to_degrees(), source: OWN, ..published });
    match own {
        Some(own) if group == Group::Scoliosis || own.value > published.value => own,
        _ => published,
    }
}

const OWN: Source = Source {
    work: None,
    grade: Grade::ClinicSetting,
    note: "the clinic's own 95 % limit between two readings; one measurement: limit / root 2",
};

/// 95 % half-width of the mean of that many readings, to a tenth of a degree.
/// Panics without a reading.
pub fn half_width(limit: &Constant, readings: usize) -> Reported {
    assert!(readings > 0, "a film's value has a reading");
    let one = limit.value / math::sqrt(2.0);
    Reported::round(one / math::sqrt(readings as f64), 1, limit.unit)
}
