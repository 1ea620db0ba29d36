//! `ending.risk.*`, `ending.outcome.*`: which published figure speaks of the
//! curve that remains, or why none does; and how it stands to the sizes that
//! studies count at maturity.

use super::grown;
use crate::case::{Case, Cause, Deformity, RisserScale, Sex};
use crate::course::outcome::{beyond_45_at_maturity, reached_50_at_maturity};
use crate::evidence::{Source, works};
use crate::facts::Value;
use crate::facts::derive::curves;
use crate::facts::derive::maker::{Maker, yes_no};
use crate::facts::derive::maturity::latest;
use crate::facts::derive::span::Setting;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::facts::{Fact, Missing};
use crate::quantity::Age;

/// The largest angle of which the published rate after growth does not speak.
const NO_RATE_UP_TO: f64 = 30.0;

/// The facts of what remains.
pub(super) fn remains(make: &mut Maker, tracks: &[Track], set: &Setting) {
    let now = curves::largest(tracks, set).and_then(|t| t.now(set.case));
    risk(make, set.case, now);
    boys(make, set.case);
    followed_growing(make, set.case);
    outcome(make, set.case, now);
}

/// `ending.risk.state`: `given` where the published rate after growth is for
/// curves like this one, else why it is not.
fn risk(make: &mut Maker, case: &Case, now: Option<&FilmCurve>) {
    let id = "risk.after_maturity.value";
    let given = make.facts.get(id).is_some_and(|f| f.missing().is_none());
    let word = if given { "given" } else { why_not(make, case, now) };
    make.fact(
        "ending.risk.state",
        "whether a published rate after growth is told",
        Value::Word(word),
    )
    .from(id)
    .from("major.now.cobb")
    .from("ending.grown.state")
    .by(
        "for idiopathic curves above 30 degrees after growth",
        Source::read(&works::NATURAL_HISTORY_2023, ""),
    )
    .done();
}

fn why_not(make: &Maker, case: &Case, now: Option<&FilmCurve>) -> &'static str {
    let word = |id: &str| make.facts.get(id).and_then(Fact::word);
    let Some(now) = now else { return "no curve" };
    if case.diagnosis.deformity.value == Deformity::Hyperkyphosis {
        return "kyphosis";
    }
    if word("diagnosis.below_definition") == Some("yes") {
        return "asymmetry";
    }
    if case.diagnosis.cause.value != Cause::Idiopathic {
        return "other cause";
    }
    match grown::by_film(case, now.film) {
        None => "growth not known",
        Some(false) => "growing",
        Some(true) if now.reported().value() <= NO_RATE_UP_TO => "smaller",
        Some(true) => "growth not known",
    }
}

/// `ending.risk.boy_at_four`: a boy whose latest grade is 4 of the United
/// States scale, of whom a study of boys speaks.
fn boys(make: &mut Maker, case: &Case) {
    let four = latest(case, |m| m.risser.as_ref())
        .is_some_and(|(_, r)| r.scale.value == RisserScale::Us && r.grade.value == 4);
    let boy = case.patient.sex.value == Sex::Male;
    let idiopathic = case.diagnosis.cause.value == Cause::Idiopathic
        && case.diagnosis.deformity.value == Deformity::Scoliosis;
    make.fact("ending.risk.boy_at_four", "boy at Risser 4", yes_no(four && boy && idiopathic))
        .from("patient.sex")
        .from("maturity.risser.grade")
        .from("maturity.risser.scale")
        .by("United States scale, idiopathic scoliosis", Source::read(&works::BOYS_1993, ""))
        .done();
}

/// `ending.followed_growing`: whether the first film was taken before adult
/// age; rates found in adults do not speak of those who were.
fn followed_growing(make: &mut Maker, case: &Case) {
    let first = case.films.iter().min_by_key(|f| f.taken.value);
    let age = first.and_then(|f| Age::on(case.patient.born.value, f.taken.value));
    let value = match age {
        Some(age) => yes_no(age.years < grown::ADULT),
        None => Value::Missing(Missing::NotApplicable("no film is on record".into())),
    };
    let mut draft =
        make.fact("ending.followed_growing", "whether films began before adult age", value);
    if let Some(film) = first {
        draft = draft.record(format!("film {} / taken", film.id.value), &film.taken.place);
    }
    draft.by("age on the day of the first film, below 18 years", Source::definition("")).done();
}

/// `ending.outcome.over_45`, `.reached_50`, of idiopathic curves once growth
/// had ended by the film of now.
fn outcome(make: &mut Maker, case: &Case, now: Option<&FilmCurve>) {
    let speaks = case.diagnosis.cause.value == Cause::Idiopathic
        && case.diagnosis.deformity.value == Deformity::Scoliosis;
    let cobb = now.filter(|n| speaks && grown::by_film(case, n.film) == Some(true));
    let cobb = cobb.map(|n| n.reported());
    let why = "counted for idiopathic curves on films after growth";
    for (item, label, value, work) in [
        (
            "over_45",
            "whether the curve passed 45 degrees at maturity",
            cobb.map(beyond_45_at_maturity),
            &works::NEGRINI_2014,
        ),
        (
            "reached_50",
            "whether the curve reached 50 degrees at maturity",
            cobb.map(reached_50_at_maturity),
            &works::WEINSTEIN_2013,
        ),
    ] {
        let none = || Value::Missing(Missing::NotApplicable(why.into()));
        make.fact(format!("ending.outcome.{item}"), label, value.map_or_else(none, yes_no))
            .from("major.now.cobb")
            .from("ending.grown.state")
            .by("45 itself has not passed; 50 itself has been reached", Source::read(work, ""))
            .done();
    }
}
