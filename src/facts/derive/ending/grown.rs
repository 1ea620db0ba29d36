//! `ending.grown.*`: whether growth of the spine is on record as ended.

use crate::case::{Case, Film};
use crate::course::maturity::growth_ended;
use crate::evidence::{Source, works};
use crate::facts::derive::maker::Maker;
use crate::facts::derive::maturity::{latest, scale, series};
use crate::facts::{Missing, Value};
use crate::quantity::Age;

/// From how many completed years growth counts as ended whatever the films
/// say: the age from which the program speaks of an adult.
pub(super) const ADULT: u32 = 18;

/// `ending.grown.state` and `.by`.
pub(super) fn grown(make: &mut Maker, case: &Case) {
    let adult =
        Age::on(case.patient.born.value, make.facts.as_of).is_some_and(|a| a.years >= ADULT);
    let risser = latest(case, |m| m.risser.as_ref());
    let ended = risser.map(|(_, r)| growth_ended(scale(r.scale.value), r.grade.value));
    let (state, by) = match (ended, adult) {
        (Some(true), _) => (Value::Word("yes"), Value::Word("Risser")),
        (_, true) => (Value::Word("yes"), Value::Word("age")),
        (Some(false), false) => (Value::Word("no"), Value::Word("Risser")),
        (None, false) => (Value::Missing(missing()), Value::Missing(missing())),
    };
    let source = Source::read(
        &works::RISSER_2010,
        "grade 5 of the United States scale, grade 4 of the French; 18 years from memory",
    );
    let formula = "the latest Risser grade by its own scale, or 18 completed years";
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
    if Age::on(case.patient.born.value, on).is_some_and(|a| a.years >= ADULT) {
        return Some(true);
    }
    let grades = series(case, |m| m.risser.as_ref()).into_iter();
    let (_, risser) = grades.filter(|(f, _)| f.taken.value <= on).next_back()?;
    Some(growth_ended(scale(risser.scale.value), risser.grade.value))
}

fn missing() -> Missing {
    Missing::NotRecorded { item: "Risser grade".into(), who: "the reader of the film".into() }
}
