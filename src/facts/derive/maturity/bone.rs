//! Signs of bone beside the Risser grade: triradiate cartilage, stage of the
//! hand, grades of radius and ulna, each with its own film and meaning.

use super::{latest_hand, series};
use crate::case::{Case, Film, Maturity, Triradiate};
use crate::course::maturity::{
    HAND_AGE_SOURCE, hand_stage_bone_age, hand_stage_meaning, radius_meaning, radius_ulna_meaning,
};
use crate::diag::{Located, Place};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, whole};
use crate::facts::{Missing, Value};
use crate::quantity::{Age, Reported, Unit};

const READER: &str = "the reader of the film";

/// Every sign of bone but the Risser grade.
pub(super) fn bones(make: &mut Maker, case: &Case) {
    triradiate(make, case);
    let stage = hand(make, case, "hand_stage", "stage of hand maturity", |m| m.hand_stage.as_ref());
    stage_meaning(make, stage);
    stage_months(make, case);
    let radius = hand(make, case, "radius", "grade of the distal radius", |m| m.radius.as_ref());
    let ulna = hand(make, case, "ulna", "grade of the distal ulna", |m| m.ulna.as_ref());
    let found = radius.map(|radius| radius_meaning(radius.1));
    let input = ["maturity.radius.value"];
    meaning(make, "maturity.radius.meaning", "what the grade of the radius means", found, &input);
    // Only grades of one film make a pair.
    let pair = radius.zip(ulna).filter(|(r, u)| r.0 == u.0);
    let found = pair.map(|(radius, ulna)| radius_ulna_meaning(radius.1, ulna.1));
    let inputs = ["maturity.radius.value", "maturity.ulna.value"];
    let label = "what the grades of radius and ulna mean together";
    meaning(make, "maturity.radius_ulna.meaning", label, found, &inputs);
}

fn value(make: &mut Maker, name: &str, label: &str, film: &Film, value: Value, place: &Place) {
    make.fact(format!("maturity.{name}.value"), label, value)
        .record(format!("film {} / maturity / {name}", film.id.value), place)
        .done();
    let taken = day(film.taken.value);
    make.fact(format!("maturity.{name}.taken"), format!("film of the {label}"), taken)
        .record(format!("film {} / taken", film.id.value), &film.taken.place)
        .done();
}

fn nothing(make: &mut Maker, case: &Case, name: &str, label: &str) {
    for item in ["value", "taken"] {
        let id = format!("maturity.{name}.{item}");
        make.not_recorded(id, label, READER, "films", &case.place);
    }
}

/// A grade of the hand, from the latest hand film; gives back film and grade.
fn hand<'a>(
    make: &mut Maker,
    case: &'a Case,
    name: &str,
    label: &str,
    get: impl Fn(&'a Maturity) -> Option<&'a Located<u8>>,
) -> Option<(&'a str, u8)> {
    match latest_hand(case, get) {
        Some((film, grade)) => {
            let number = whole(i64::from(grade.value), Unit::One);
            value(make, name, label, film, number, &grade.place);
            Some((film.id.value.as_str(), grade.value))
        }
        None => {
            nothing(make, case, name, label);
            None
        }
    }
}

/// What a grade means: not recorded without the grade, not applicable where
/// no publication was read on it.
fn meaning(
    make: &mut Maker,
    id: &str,
    label: &str,
    found: Option<Option<(&'static str, Source)>>,
    inputs: &[&str],
) {
    let value = match found {
        Some(Some((words, _))) => Value::Word(words),
        Some(None) => Value::Missing(unread()),
        None => Value::Missing(unrecorded(label)),
    };
    let mut fact = make.fact(id, label, value);
    for input in inputs {
        fact = fact.from(input);
    }
    match found.flatten() {
        Some((_, source)) => fact.by("as published", source).done(),
        None => fact.done(),
    };
}

fn unread() -> Missing {
    Missing::NotApplicable("no figure was read for this grade".into())
}

fn unrecorded(label: &str) -> Missing {
    Missing::NotRecorded { item: label.into(), who: READER.into() }
}

/// `maturity.hand_stage.months`: how old the hand film is.
fn stage_months(make: &mut Maker, case: &Case) {
    let (id, label) = ("maturity.hand_stage.months", "age of the hand film");
    match latest_hand(case, |m| m.hand_stage.as_ref()) {
        Some((film, _)) => {
            let age = Age::on(film.taken.value, make.facts.as_of);
            let months = age.map_or(0, Age::in_months);
            make.fact(id, label, whole(i64::from(months), Unit::Month))
                .record(format!("film {} / taken", film.id.value), &film.taken.place)
                .by(
                    "completed months from the film to the day of the letter",
                    Source::definition(""),
                )
                .done()
        }
        None => make.missing(id, label, unrecorded("stage of hand maturity from a hand film")),
    };
}

/// `maturity.hand_stage.meaning` and `.bone_age`.
fn stage_meaning(make: &mut Maker, stage: Option<(&str, u8)>) {
    let input = ["maturity.hand_stage.value"];
    let found = stage.map(|stage| hand_stage_meaning(stage.1));
    meaning(make, "maturity.hand_stage.meaning", "what the stage of the hand means", found, &input);
    let (id, label) = ("maturity.hand_stage.bone_age", "mean bone age at the stage of the hand");
    let years = stage.map(|stage| hand_stage_bone_age(stage.1));
    match years {
        Some(Some(years)) => make
            .fact(id, label, Value::Number(Reported::round(years, 1, Unit::Year)))
            .from(input[0])
            .by("as published", HAND_AGE_SOURCE)
            .done(),
        Some(None) => make.missing(id, label, unread()),
        None => make.missing(id, label, unrecorded(label)),
    };
}

/// `maturity.triradiate.*`: the latest state, and between which films it closed.
fn triradiate(make: &mut Maker, case: &Case) {
    let label = "triradiate cartilage";
    let films = series(case, |m| m.triradiate.as_ref());
    match films.last() {
        Some((film, state)) => {
            let word = Value::Word(state.word());
            value(make, "triradiate", label, film, word, &state.place);
        }
        None => nothing(make, case, "triradiate", label),
    }
    let closed = films.iter().find(|(_, state)| state.value == Triradiate::Closed);
    let open = films.iter().rfind(|(_, state)| state.value != Triradiate::Closed);
    for (item, label, found) in [
        ("last_open", "last film with an open triradiate cartilage", open),
        ("first_closed", "first film with a closed triradiate cartilage", closed),
    ] {
        let id = format!("maturity.triradiate.{item}");
        match found {
            Some((film, state)) => make
                .fact(id, label, day(film.taken.value))
                .record(format!("film {} / maturity / triradiate", film.id.value), &state.place)
                .done(),
            None => make.missing(id, label, Missing::NotApplicable("no such film".into())),
        };
    }
}
