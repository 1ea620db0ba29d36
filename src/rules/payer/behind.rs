//! What a fact goes back to: records, the enclosures that carry them, and the
//! newest day among them.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::case::Enclosure;
use crate::facts::{FactId, Facts, Value};

/// Where a piece of evidence can be seen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Behind {
    /// Numbers of the enclosures that carry a record it goes back to.
    pub enclosures: Vec<usize>,
    /// The newest film or examination among those records.
    pub newest: Option<NaiveDate>,
}

/// For each fact, what is behind it.
pub(super) fn numbers(facts: &Facts, ids: &[FactId], enclosures: &[Enclosure]) -> Vec<Behind> {
    let one = |id: &FactId| {
        let records: Vec<String> = records(facts, id).into_iter().collect();
        let newest = records.iter().filter_map(|path| day(facts, path)).max();
        Behind { enclosures: carried(&records, enclosures), newest }
    };
    ids.iter().map(one).collect()
}

/// Numbers, from one on, of the enclosures that carry one of the records.
pub(super) fn carried(records: &[String], enclosures: &[Enclosure]) -> Vec<usize> {
    let carries = |e: &Enclosure| {
        let film = e.film.as_ref().map(|f| format!("film {}", f.value));
        let shown = film.into_iter().chain(e.shows.iter().map(|s| s.value.clone()));
        shown.into_iter().any(|shown| records.iter().any(|path| within(path, &shown)))
    };
    (1..).zip(enclosures).filter(|(_, e)| carries(e)).map(|(n, _)| n).collect()
}

/// Whether a record is one that is shown, or part of it.
fn within(path: &str, shown: &str) -> bool {
    path.strip_prefix(shown).is_some_and(|rest| rest.is_empty() || rest.starts_with(" /"))
}

/// Every record that a fact goes back to, through all it was computed from.
fn records(facts: &Facts, id: &FactId) -> BTreeSet<String> {
    let (mut found, mut seen) = (BTreeSet::new(), BTreeSet::new());
    let mut open = vec![id.clone()];
    while let Some(id) = open.pop() {
        let Some(fact) = facts.get(id.as_str()).filter(|_| seen.insert(id.clone())) else {
            continue;
        };
        found.extend(fact.provenance.records.iter().map(|r| r.path.clone()));
        open.extend(fact.provenance.inputs.iter().cloned());
    }
    found
}

/// The day of a film or of an examination by its record.
fn day(facts: &Facts, path: &str) -> Option<NaiveDate> {
    let first = path.split(" / ").next()?;
    let (kind, name) = first.split_once(' ')?;
    match kind {
        "exam" => name.parse().ok(),
        "film" => match facts.get(&format!("films.{name}.taken")).map(|f| &f.value) {
            Some(Value::Date(date)) => Some(date.first_day()),
            _ => None,
        },
        _ => None,
    }
}
