//! The kyphosis of fixed stretches that the types of curves ask for.

use chrono::{Months, NaiveDate};

use super::maker::Maker;
use super::sagittal;
use crate::case::Case;
use crate::facts::Missing;
use crate::spine::Level;

/// A stretch of the spine seen from the side.
#[derive(Debug, Clone, Copy)]
pub struct Stretch {
    /// Its first vertebra.
    pub upper: Level,
    /// Its last vertebra.
    pub lower: Level,
    /// Its word in ids of facts.
    pub key: &'static str,
}

/// The stretches of the structural criteria and of the sagittal modifier.
pub const STRETCHES: [Stretch; 3] = [
    Stretch { upper: Level::T(2), lower: Level::T(5), key: "t2_t5" },
    Stretch { upper: Level::T(10), lower: Level::L(2), key: "t10_l2" },
    Stretch { upper: Level::T(5), lower: Level::T(12), key: "t5_t12" },
];

impl Stretch {
    /// The id of its fact.
    pub fn id(&self) -> String {
        format!("classification.kyphosis.{}", self.key)
    }

    /// What is asked for where it is missing.
    pub fn needed(&self) -> String {
        format!("{}-{} kyphosis from a standing lateral film", self.upper, self.lower)
    }
}

/// Whether two films lie within six months of each other; the interval is
/// our own choice, as for flexibility.
pub fn near(a: NaiveDate, b: NaiveDate) -> bool {
    a <= b + Months::new(6) && b <= a + Months::new(6)
}

/// `classification.kyphosis.*`: each stretch on the latest standing lateral
/// film out of support within six months of the frontal film `beside`.
pub fn kyphosis(make: &mut Maker, case: &Case, beside: Option<NaiveDate>) {
    for stretch in STRETCHES {
        let films = sagittal::films_with(make, case, stretch.key);
        let serves = |day: NaiveDate| beside.is_some_and(|beside| near(day, beside));
        match films.into_iter().rfind(|film| serves(film.taken.value)) {
            Some(film) => {
                let of = format!("films.{}.sagittal.{}", film.id.value, stretch.key);
                make.same(stretch.id(), &of);
            }
            None => {
                let label = format!("kyphosis {} to {}", stretch.upper, stretch.lower);
                let missing = Missing::NotRecorded {
                    item: stretch.needed(),
                    who: "whoever takes and reads the films".into(),
                };
                make.missing(stretch.id(), &label, missing);
            }
        }
    }
}
