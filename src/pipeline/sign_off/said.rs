//! What a letter says: the values it prints, each with the records it came
//! from, and the verdicts that its words follow.
//!
//! The next build compares its letters with the texts kept of these.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::facts::{Fact, FactId, Facts, Value};
use crate::pipeline::issue::printed;
use crate::pipeline::letter::Written;

/// A value that a letter prints, or a verdict that its words follow.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaidValue {
    /// The fact.
    pub fact: String,
    /// The fact that it is a copy of, or itself: one value is told once.
    pub root: String,
    /// What it is and of what: `Thoracic, now: Cobb angle`.
    pub label: String,
    /// As printed; a verdict as its word.
    pub text: String,
    /// Where it came from, in the order of the file.
    pub from: Vec<Origin>,
}

/// A record that a value came from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// The way to it: `film f1 / reading r1 / curve thoracic / cobb`.
    pub record: String,
    /// `cases/fw-0118.yaml:87`.
    pub at: String,
    /// The day of its film, if it is of one.
    pub film: Option<NaiveDate>,
}

/// What a letter says, and what its signer should look at first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Said {
    /// Values in the order of the letter, each fact once; typed text is left
    /// out, as it is in the case.
    pub values: Vec<SaidValue>,
    /// What to look at first, in words.
    pub alerts: Vec<String>,
}

impl Said {
    /// The texts by fact, as they are remembered.
    pub fn texts(&self) -> BTreeMap<String, String> {
        self.values.iter().map(|v| (v.fact.clone(), v.text.clone())).collect()
    }
}

/// The values of a written letter.
pub fn values(written: &Written) -> Vec<SaidValue> {
    let facts = &written.derived.facts;
    let typed = |id: &str| {
        facts.get(id).is_none_or(|f| matches!(f.value, Value::Text(_) | Value::Missing(_)))
    };
    let shown = printed(&written.letter.blocks).into_iter().filter(|(id, _)| !typed(id));
    let verdict = |id: &&FactId| id.as_str().ends_with(".verdict");
    let asked = written.read.iter().filter(verdict).filter_map(|id| {
        let word = facts.get(id.as_str())?.word()?;
        Some((id.to_string(), word.to_string()))
    });
    let mut seen = BTreeSet::new();
    shown
        .chain(asked)
        .filter(|(id, _)| seen.insert(id.clone()))
        .filter_map(|(id, text)| value(facts, facts.get(&id)?, text))
        .collect()
}

fn value(facts: &Facts, fact: &Fact, text: String) -> Option<SaidValue> {
    let copies = copies(facts, fact);
    // The curve's own name says more than "the largest one".
    let named = copies.iter().rev().find(|f| f.id.as_str().starts_with("curves."));
    let named = named.unwrap_or(&fact);
    Some(SaidValue {
        fact: fact.id.to_string(),
        root: copies.last()?.id.to_string(),
        label: label(named.id.as_str(), &named.label),
        text,
        from: origins(facts, fact),
    })
}

/// A fact and those it is a copy of, one after the other.
fn copies<'f>(facts: &'f Facts, fact: &'f Fact) -> Vec<&'f Fact> {
    let mut chain = vec![fact];
    let mut last = fact;
    while let ([of], []) = (&last.provenance.inputs[..], &last.provenance.records[..]) {
        let Some(next) = facts.get(of.as_str()).filter(|next| next.value == last.value) else {
            break;
        };
        chain.push(next);
        last = next;
    }
    chain
}

/// A fact's label after what it is of: `Thoracic, now: Cobb angle`.
pub fn label(id: &str, label: &str) -> String {
    let parts: Vec<&str> = id.split('.').collect();
    let of = match parts.as_slice() {
        ["curves" | "films" | "treatments", of @ .., _] | [of @ .., _] => of.join(", "),
        [] => String::new(),
    };
    let of = of.replace('_', " ");
    let mut letters = of.chars();
    match letters.next() {
        Some(first) => format!("{}{}: {label}", first.to_uppercase(), letters.as_str()),
        None => label.to_string(),
    }
}

/// The records of a fact and of all facts it rests on, each place once.
fn origins(facts: &Facts, fact: &Fact) -> Vec<Origin> {
    let mut found = BTreeMap::new();
    let mut seen = BTreeSet::new();
    let mut open = vec![fact.id.clone()];
    while let Some(id) = open.pop() {
        let Some(fact) = facts.get(id.as_str()) else { continue };
        if !seen.insert(id) {
            continue;
        }
        open.extend(fact.provenance.inputs.iter().cloned());
        for record in &fact.provenance.records {
            let (place, path) = (&record.place, record.path.clone());
            let at = format!("{}:{}", place.file, place.line);
            let film = film(facts, &path);
            found.insert((place.start, path.clone()), Origin { record: path, at, film });
        }
    }
    found.into_values().collect()
}

/// The day of the film that a record is of.
fn film(facts: &Facts, path: &str) -> Option<NaiveDate> {
    let id = path.strip_prefix("film ")?.split(' ').next()?;
    match facts.get(&format!("films.{id}.taken"))?.value {
        Value::Date(date) => Some(date.first_day()),
        _ => None,
    }
}
