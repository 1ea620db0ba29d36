//! Facts and conditions built by hand.

use chrono::NaiveDate;
use endplate::diag::Place;
use endplate::evidence::Source;
use endplate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Value};
use endplate::quantity::{Reported, Unit};
use endplate::rules::{BoundSource, Condition, Leaf, Op, Test};

/// A day from its ISO form.
pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Facts of an invented case with these values.
pub fn facts(values: &[(&str, Value)]) -> Facts {
    let mut facts = Facts::new(day("2026-10-27"));
    for (id, value) in values {
        facts.insert(fact(id, value.clone()));
    }
    facts
}

/// One fact.
pub fn fact(id: &str, value: Value) -> Fact {
    let method = Method { formula: "as recorded".into(), source: Source::definition("test") };
    Fact {
        id: FactId::new(id),
        label: format!("the {id}"),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance { records: vec![], inputs: vec![], method },
    }
}

/// A whole number with a unit.
pub fn whole(value: i64, unit: Unit) -> Value {
    Value::Number(Reported::whole(value, unit))
}

/// A number with one decimal.
pub fn tenths(value: f64, unit: Unit) -> Value {
    Value::Number(Reported::round(value, 1, unit))
}

/// Nobody wrote it down.
pub fn not_recorded(item: &str, who: &str) -> Value {
    Value::Missing(Missing::NotRecorded { item: item.into(), who: who.into() })
}

/// A test of one fact.
pub fn leaf(id: &str, test: Test) -> Condition {
    Condition::Leaf(Leaf {
        fact: FactId::new(id),
        test,
        source: BoundSource::Policy,
        place: Place::whole("rules/test.yaml"),
    })
}

/// A test of a number.
pub fn number(id: &str, op: Op, bound: i64, unit: Unit) -> Condition {
    leaf(id, Test::Number(op, Reported::whole(bound, unit)))
}
