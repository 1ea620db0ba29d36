//! Every number of every demo letter can be followed to records and sources.

use std::collections::BTreeSet;
use std::path::Path;

use endplate::evidence::Grade;
use endplate::facts::{Fact, Facts};
use endplate::pipeline::io::Folder;
use endplate::pipeline::{Press, load};

/// Follows a fact to where it ends; complains where it ends in nothing.
fn follow<'a>(
    fact: &'a Fact,
    facts: &'a Facts,
    seen: &mut BTreeSet<&'a str>,
    wrong: &mut Vec<String>,
) {
    if !seen.insert(fact.id.as_str()) {
        return;
    }
    let from = &fact.provenance;
    let source = from.method.source;
    let by_practice = source.grade == Grade::CommonPractice && !source.note.is_empty();
    let by_setting = source.work.is_some() || source.grade == Grade::ClinicSetting || by_practice;
    let missing = fact.missing().is_some();
    if from.records.is_empty() && from.inputs.is_empty() && !by_setting && !missing {
        wrong.push(format!("{}: neither records nor inputs nor a source", fact.id));
    }
    if from.method.formula.is_empty() {
        wrong.push(format!("{}: no formula", fact.id));
    }
    for record in &from.records {
        if record.place.line == 0 || record.path.is_empty() {
            wrong.push(format!("{}: a record without place or path", fact.id));
        }
    }
    for input in &from.inputs {
        match facts.get(input.as_str()) {
            Some(input) => follow(input, facts, seen, wrong),
            None => wrong.push(format!("{}: input `{input}` is no fact", fact.id)),
        }
    }
}

#[test]
fn every_printed_fact_ends_at_records_and_sources() {
    let folder = Folder::at(Path::new(env!("CARGO_MANIFEST_DIR"))).expect("the demo clinic");
    let press = Press::open(&folder);
    let loaded = load(&folder, &[], 2);
    let clinic = loaded.clinic.as_ref().unwrap();
    let mut wrong = Vec::new();
    for case in loaded.cases.iter().filter_map(|c| c.sound()) {
        for entry in &case.letters {
            let Ok(written) = press.write(case, entry, clinic) else {
                wrong.push(format!("{}/{} cannot be written", *case.id, *entry.id));
                continue;
            };
            let facts = &written.derived.facts;
            let mut seen = BTreeSet::new();
            for id in &written.printed {
                match facts.get(id.as_str()) {
                    Some(fact) => follow(fact, facts, &mut seen, &mut wrong),
                    None => wrong.push(format!("{}/{}: `{id}` is no fact", *case.id, *entry.id)),
                }
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
