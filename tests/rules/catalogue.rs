//! The catalogue of what rules may ask, against the facts derived of every
//! demo case on the day of every letter.

use std::collections::BTreeMap;

use endplate::facts::{Fact, Value, derive};
use endplate::rules::{Kind, catalogue};

use super::demo;

fn every_fact() -> Vec<Fact> {
    let clinic = demo::clinic();
    let mut list = Vec::new();
    for case in demo::cases() {
        for letter in &case.letters {
            let derived = derive(&case, &clinic, letter.as_of.value, Some(letter));
            list.extend(derived.facts.iter().cloned());
        }
    }
    assert!(list.len() > 1000);
    list
}

fn agrees(kind: Kind, value: &Value) -> bool {
    match (kind, value) {
        (Kind::Shown, _) | (_, Value::Missing(_)) => true,
        (Kind::Number(unit), Value::Number(n)) => n.unit() == unit,
        (Kind::Age, Value::Age(_)) | (Kind::Side, Value::Side(_)) => true,
        (Kind::Word(set), Value::Word(word)) => set.contains(word),
        _ => false,
    }
}

#[test]
fn every_derived_fact_is_of_the_kind_the_catalogue_says() {
    for fact in every_fact() {
        if let Some(kind) = catalogue::kind(fact.id.as_str()) {
            assert!(agrees(kind, &fact.value), "{}: {kind:?} but {:?}", fact.id, fact.value);
        }
    }
}

#[test]
fn what_payers_and_protocols_ask_for_is_derived_and_in_the_catalogue() {
    let mut seen: BTreeMap<String, bool> = BTreeMap::new();
    for fact in every_fact() {
        let has_value = fact.missing().is_none();
        *seen.entry(fact.id.as_str().to_string()).or_default() |= has_value;
    }
    for id in [
        "patient.age",
        "patient.sex",
        "diagnosis.cause",
        "diagnosis.deformity",
        "major.side",
        "major.region",
        "major.now.cobb",
        "major.now.taken",
        "major.since_previous.amount",
        "major.since_previous.verdict",
        "major.since_previous.rate",
        "major.since_treatment.amount",
        "major.since_treatment.verdict",
        "maturity.risser.grade",
        "maturity.risser.scale",
        "maturity.triradiate.value",
        "maturity.menarche.state",
        "maturity.menarche.months_since_fewest",
        "maturity.menarche.months_since_most",
        "maturity.weaning.risser",
        "maturity.weaning.menarche",
        "maturity.weaning.growth",
        "growth.since_delivery",
        "growth.velocity.height.per_year",
        "growth.velocity.height.change",
        "growth.height_z",
        "growth.phase.value",
        "treatment.current.kind",
        "treatment.current.hours",
        "treatment.current.wear.mean",
        "treatment.current.wear.share",
        "treatment.current.in_brace.first.correction",
        "treatment.current.in_brace.latest.correction",
        "request.seen_before_order",
    ] {
        assert_eq!(seen.get(id), Some(&true), "{id} is never derived with a value");
        assert!(catalogue::kind(id).is_some(), "{id} is not in the catalogue");
    }
}

#[test]
fn what_is_not_listed_may_not_be_asked() {
    for id in
        ["", "major", "major.", "major.now", "major.now.cob", "curves.thoracic", "patient.name"]
    {
        assert_eq!(catalogue::kind(id), None, "{id}");
    }
    assert!(catalogue::kind("curves.thoracic.now.cobb").is_some());
}
