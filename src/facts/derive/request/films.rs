//! The films a payer is told of: each with its conditions, curves and readers;
//! whether one is recent enough; and the item that is replaced.

use chrono::Months;

use super::super::maker::{Maker, day, text, whole};
use crate::case::{Case, Clinic, Enclosure, Film, LetterEntry, Request, View};
use crate::evidence::Source;
use crate::facts::derive::compare;
use crate::facts::{Missing, Value};
use crate::quantity::Unit;

/// Oldest film out of support that a request may rest on, in months before
/// the letter. Common practice: reviewers send back what is older, whatever
/// their criteria say.
const RECENT_MONTHS: u32 = 3;

/// `request.films.<id>.*` and `request.recent_film`.
pub(super) fn films(make: &mut Maker, case: &Case, clinic: &Clinic, entry: &LetterEntry) {
    let read = |f: &&Film| *f.view == View::Frontal && !f.readings.is_empty();
    for film in case.films.iter().filter(read) {
        one(make, clinic, film, entry);
    }
    recent(make, case, entry);
}

fn one(make: &mut Maker, clinic: &Clinic, film: &Film, entry: &LetterEntry) {
    let (of, root) =
        (format!("films.{}", film.id.value), format!("request.films.{}", film.id.value));
    for item in ["taken", "posture", "support", "off_for"] {
        let from = format!("{of}.{item}");
        if make.facts.get(&from).is_some() {
            make.same(format!("{root}.{item}"), &from);
        }
    }
    let curves: Vec<String> =
        make.facts.children(&format!("{of}.curves")).iter().map(|c| c.to_string()).collect();
    for curve in curves {
        for item in ["cobb", "levels"] {
            let from = format!("{of}.curves.{curve}.{item}");
            if make.facts.get(&from).is_some() {
                make.same(format!("{root}.curves.{curve}.{item}"), &from);
            }
        }
    }
    let is_it = |e: &&Enclosure| e.film.as_ref().is_some_and(|f| f.value == film.id.value);
    let at = entry.enclosures.iter().position(|e| is_it(&e));
    if let Some(at) = at {
        let label = "number of the enclosure that is this film";
        make.fact(format!("{root}.seen_in.n1"), label, whole(at as i64 + 1, Unit::One))
            .record(format!("letter {} / enclosures", entry.id.value), &entry.place)
            .done();
    }
    read_by(make, clinic, film, &root);
}

/// The readers of a film by name, each once.
fn read_by(make: &mut Maker, clinic: &Clinic, film: &Film, root: &str) {
    let mut named: Vec<&str> = Vec::new();
    for reading in &film.readings {
        let name = clinic.person(&reading.by.value).map_or(&reading.by.value, |p| &p.name.value);
        if named.contains(&name.as_str()) {
            continue;
        }
        named.push(name);
        let record = format!("film {} / reading {} / by", film.id.value, reading.id.value);
        make.fact(format!("{root}.read_by.r{}", named.len()), "reader of the film", text(name))
            .record(record, &reading.by.place)
            .done();
    }
}

/// The latest film out of support, if it is recent enough.
fn recent(make: &mut Maker, case: &Case, entry: &LetterEntry) {
    let (id, label) = ("request.recent_film", "latest film out of support");
    let dated = entry.dated.as_ref().unwrap_or(&entry.as_of).value;
    let free =
        |f: &&Film| *f.view == View::Frontal && !f.readings.is_empty() && compare::natural(case, f);
    let last = case.films.iter().filter(free).max_by_key(|f| f.taken.value);
    let oldest = dated.checked_sub_months(Months::new(RECENT_MONTHS));
    let fresh = last.filter(|f| oldest.is_none_or(|oldest| f.taken.value >= oldest));
    let limit = "taken within three months before the letter";
    match (fresh, last) {
        (Some(film), _) => make
            .fact(id, label, day(film.taken.value))
            .record(format!("film {} / taken", film.id.value), &film.taken.place)
            .by(
                limit,
                Source::common_practice("a request rests on a film of the last three months"),
            )
            .done(),
        (None, last) => {
            let item = match last {
                Some(f) => format!(
                    "a film out of the brace, {limit} (the last one is film {} of {})",
                    f.id.value, f.taken.value
                ),
                None => format!("a film out of the brace, {limit}"),
            };
            let who = "whoever takes and reads the films".into();
            make.missing(id, label, Missing::NotRecorded { item, who })
        }
    };
}

/// `replaced.*`: the brace or cast that the item replaces.
pub(super) fn replaced(make: &mut Maker, case: &Case, r: &Request) {
    let old =
        r.replaces.as_ref().and_then(|id| case.treatments.iter().find(|t| t.id.value == id.value));
    let Some(old) = old else {
        make.fact("replaced.state", "what is replaced", Value::Word("none")).done();
        return;
    };
    // Where it is the present or the last one, its films are told there too.
    let mark = format!("treatment {}", old.id.value);
    let is_at = |make: &Maker, root: &str| {
        let state = make.facts.get(&format!("{root}.state"));
        state.is_some_and(|f| f.provenance.records.iter().any(|rec| rec.path == mark))
    };
    match ["treatment.current", "treatment.previous"].into_iter().find(|root| is_at(make, root)) {
        Some(root) => make.same_tree("replaced", root),
        None => {
            make.same_tree("replaced", &format!("treatments.{}", old.id.value));
            make.fact("replaced.state", "what is replaced", Value::Word(old.kind.word()))
                .record(mark, &old.place)
                .done();
        }
    }
}
