//! The kyphosis of fixed stretches that the types of curves ask for.

use chrono::{Months, NaiveDate};

use super::found::sound;
use super::maker::Maker;
use super::tracks::one_per_reader;
use crate::case::{Case, Film, Opt, Posture, Reading, Sagittal, View};
use crate::diag::Place;
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::{Missing, Value};
use crate::quantity::{Angle, Reported, Unit};
use crate::spine::cobb::Convexity;
use crate::spine::{Level, cobb};

/// A stretch of the spine seen from the side.
#[derive(Debug, Clone, Copy)]
pub struct Stretch {
    /// Its first vertebra.
    pub upper: Level,
    /// Its last vertebra.
    pub lower: Level,
    /// Its word in ids of facts.
    pub key: &'static str,
    typed: fn(&Sagittal) -> &Opt<Angle>,
}

/// The stretches of the structural criteria and of the sagittal modifier.
pub const STRETCHES: [Stretch; 3] = [
    Stretch { upper: Level::T(2), lower: Level::T(5), key: "t2_t5", typed: |s| &s.t2_t5 },
    Stretch { upper: Level::T(10), lower: Level::L(2), key: "t10_l2", typed: |s| &s.t10_l2 },
    Stretch { upper: Level::T(5), lower: Level::T(12), key: "t5_t12", typed: |s| &s.t5_t12 },
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

/// The kyphosis of one reading, positive to the back, and where it stands:
/// from its landmarks where both levels are marked, else as typed.
fn of_reading<'a>(
    case: &Case,
    film: &Film,
    reading: &'a Reading,
    stretch: Stretch,
) -> Option<(f64, &'a Place)> {
    let measured = sound(case, film, reading)
        .and_then(|spine| cobb(&spine, stretch.upper, stretch.lower).ok())
        .map(|angle| angle.toward(Convexity::Kyphosis).to_degrees());
    let typed = reading.sagittal.as_ref().and_then(|s| (stretch.typed)(s).as_ref());
    match (measured, &reading.landmarks, typed) {
        (Some(angle), Some(landmarks), _) => Some((angle, &landmarks.path.place)),
        (_, _, Some(typed)) => Some((typed.to_degrees(), &typed.place)),
        _ => None,
    }
}

/// Whether a film may give the kyphosis beside a frontal film of that day.
fn serves(case: &Case, film: &Film, beside: NaiveDate) -> bool {
    film.view.value == View::Lateral
        && compare::held(case, film) == Held::Free
        && compare::posture(film) == Some(Posture::Standing)
        && near(film.taken.value, beside)
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
        let label = format!("kyphosis {} to {}", stretch.upper, stretch.lower);
        let films = case.films.iter().rev();
        let found = films
            .filter(|f| beside.is_some_and(|day| serves(case, f, day)))
            .map(|film| (film, readings(case, film, stretch)))
            .find(|(_, readings)| !readings.is_empty());
        let Some((film, readings)) = found else {
            make.missing(
                stretch.id(),
                &label,
                Missing::NotRecorded {
                    item: stretch.needed(),
                    who: "whoever takes and reads the films".into(),
                },
            );
            continue;
        };
        let mean = readings.iter().map(|r| r.0).sum::<f64>() / readings.len() as f64;
        let value = Value::Number(Reported::round(mean, 0, Unit::Degree));
        let mut draft = make.fact(stretch.id(), &label, value).unrounded(mean);
        for (_, place, id) in &readings {
            draft = draft.record(format!("film {} / reading {id}", film.id.value), place);
        }
        draft
            .by(
                "angle between the upper endplate of the first and the lower endplate of the last vertebra, a kyphosis positive; from landmarks where they exist, else as typed; mean over the readers",
                Source::read(&works::AO_LENKE, "fixed levels"),
            )
            .done();
    }
}

fn readings<'a>(case: &Case, film: &'a Film, stretch: Stretch) -> Vec<(f64, &'a Place, &'a str)> {
    let of = |r: &'a Reading| {
        of_reading(case, film, r, stretch).map(|(angle, at)| (angle, at, r.id.value.as_str()))
    };
    one_per_reader(film).into_iter().filter_map(of).collect()
}
