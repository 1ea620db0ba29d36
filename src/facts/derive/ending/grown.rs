//! `ending.grown.*`: whether growth of the spine is on record as ended.

use chrono::NaiveDate;

use crate::case::{Case, Film};
use crate::course::maturity::growth_ended;
use crate::evidence::{Source, works};
use crate::facts::derive::maker::{Maker, yes_no};
use crate::facts::derive::maturity::{latest, scale, series};
use crate::facts::{Missing, Value};
use crate::quantity::Age;

/// From how many completed years growth counts as ended whatever the films
/// say: the age from which the program speaks of an adult.
pub(super) const ADULT: u32 = 18;

/// Below how many completed years growth lies ahead whatever the films say:
/// the age below which the program speaks of a child.
const CHILD: u32 = 10;

/// Whether growth has ended by age alone.
fn by_age(case: &Case, on: NaiveDate) -> Option<bool> {
    match Age::on(case.patient.born.value, on)?.years {
        years if years >= ADULT => Some(true),
        years if years < CHILD => Some(false),
        _ => None,
    }
}

/// `ending.grown.state` and `.by`.
pub(super) fn grown(make: &mut Maker, case: &Case) {
    let age = by_age(case, make.facts.as_of);
    let risser = latest(case, |m| m.risser.as_ref());
    let ended = risser.map(|(_, r)| growth_ended(scale(r.scale.value), r.grade.value));
    let (state, by) = match (ended, age) {
        (Some(true), _) => (Value::Word("yes"), Value::Word("Risser")),
        (_, Some(ended)) => (yes_no(ended), Value::Word("age")),
        (Some(false), None) => (Value::Word("no"), Value::Word("Risser")),
        (None, None) => (Value::Missing(missing()), Value::Missing(missing())),
    };
    let source = Source::read(
        &works::RISSER_2010,
        "grade 5 of the United States scale, grade 4 of the French; the ages are our own choice",
    );
    let formula =
        "the latest Risser grade by its own scale; from 18 completed years yes, below 10 no";
    make.fact("ending.grown.state", "whether growth of the spine has ended", state)
        .from("maturity.risser.grade")
        .from("maturity.risser.scale")
        .from("patient.age")
        .by(formula, source)
        .done();
    make.fact("ending.grown.by", "what shows whether growth has ended", by)
        .from("ending.grown.state")
        .by(formula, source)
        .done();
}

/// Whether growth had ended by the day of a film: by the latest grade up to
/// then, or by age; `None` without a grade.
pub(super) fn by_film(case: &Case, film: &Film) -> Option<bool> {
    let on = film.taken.value;
    if let Some(ended) = by_age(case, on) {
        return Some(ended);
    }
    let mut grades = series(case, |m| m.risser.as_ref()).into_iter();
    let (_, risser) = grades.rfind(|(f, _)| f.taken.value <= on)?;
    Some(growth_ended(scale(risser.scale.value), risser.grade.value))
}

fn missing() -> Missing {
    Missing::NotRecorded { item: "Risser grade".into(), who: "the reader of the film".into() }
}
