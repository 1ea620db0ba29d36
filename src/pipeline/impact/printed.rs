//! Which printed values changed, told so that a reader knows what they are of.

use std::collections::{BTreeMap, BTreeSet};

use super::{FactChange, PrintedChange};
use crate::facts::FactId;
use crate::pipeline::issue::{Record, printed};
use crate::pipeline::letter::Written;
use crate::pipeline::sign_off::said;

/// Printed values and verdicts whose fact changed, in the order of the letter,
/// each told once however often and by whatever name it was printed.
pub fn changes(record: &Record, written: &Written, facts: &[FactChange]) -> Vec<PrintedChange> {
    let now = printed(&written.letter.blocks);
    let (old, new) = (firsts(&record.printed), firsts(&now));
    let changed: BTreeMap<&str, &FactChange> = facts.iter().map(|f| (f.id.as_str(), f)).collect();
    let order = record.printed.iter().chain(&now).map(|(fact, _)| fact.as_str());
    let values = order.filter_map(|id| {
        let (fact, old, new) = (changed.get(id)?, old.get(id)?, new.get(id)?);
        Some((*fact, (*old).to_string(), (*new).to_string()))
    });
    let asked = facts.iter().filter(|f| f.id.ends_with(".verdict"));
    let asked = asked.filter(|f| f.verdict && written.read.contains(&FactId::new(&f.id)));
    let verdicts = asked.filter_map(|f| Some((f, f.old.clone()?, f.new.clone()?)));
    let mut told = BTreeSet::new();
    values
        .chain(verdicts)
        .map(|(fact, old, new)| (label(fact, &changed), fact, old, new))
        // What it is of counts: two curves may change alike.
        .filter(|(label, fact, ..)| told.insert((label.clone(), &fact.old, &fact.new)))
        .map(|(label, fact, old, new)| PrintedChange {
            fact: fact.id.clone(),
            label,
            verdict: fact.verdict,
            old: Some(old),
            new: Some(new),
        })
        .collect()
}

/// The first printing of each fact.
fn firsts(list: &[(String, String)]) -> BTreeMap<&str, &str> {
    let mut map = BTreeMap::new();
    for (fact, text) in list {
        map.entry(fact.as_str()).or_insert(text.as_str());
    }
    map
}

/// The fact's label after what it is of: `Thoracic, now: Cobb angle`.
fn label(fact: &FactChange, changed: &BTreeMap<&str, &FactChange>) -> String {
    let id = named(fact, changed);
    said::label(id, &fact.label)
}

/// The id under the curve's own name, where the fact is one of the largest
/// curve's.
fn named<'f>(fact: &'f FactChange, changed: &BTreeMap<&str, &'f FactChange>) -> &'f str {
    let Some(rest) = fact.id.strip_prefix("major.") else { return &fact.id };
    let same = changed.values().find(|other| {
        let curve = other.id.strip_prefix("curves.").and_then(|r| r.split_once('.'));
        curve.is_some_and(|(_, r)| r == rest) && (&other.old, &other.new) == (&fact.old, &fact.new)
    });
    same.map_or(&fact.id, |other| &other.id)
}
