//! By how much a criterion is not met: each test that decides, with its bound.

use crate::facts::{FactId, Facts, Record, Value};
use crate::quantity::{Age, Reported, Unit};

use super::super::as_facts::put;
use super::super::condition::{Op, Test};
use super::super::evaluate::LeafEvidence;
use super::super::verdict::Verdict;
use super::CriterionVerdict;

/// One test that a value fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortfall {
    /// The fact.
    pub fact: FactId,
    /// What it is, in words.
    pub label: String,
    /// What it says.
    pub value: Value,
    /// What was asked.
    pub asked: Op,
    /// The bound.
    pub bound: Value,
    /// How far the value is from it, never negative; months for ages. Zero
    /// where the bound itself does not pass.
    pub by: Reported,
}

impl CriterionVerdict {
    /// By how much it is not met; empty unless it is not met, and for tests of
    /// words, which have no distance.
    pub fn short(&self) -> Vec<Shortfall> {
        if self.verdict != Verdict::NotMet {
            return Vec::new();
        }
        self.evidence.iter().filter(|e| e.decides).filter_map(shortfall).collect()
    }
}

fn shortfall(e: &LeafEvidence) -> Option<Shortfall> {
    let (op, bound) = match &e.test {
        Test::Number(op, bound) => (*op, Value::Number(*bound)),
        Test::Age(op, bound) => (*op, Value::Age(Age { ..*bound })),
        _ => return None,
    };
    let asked = if e.negated { opposite(op) } else { op };
    let (value, by) = (e.value.clone()?, e.margin?.abs());
    Some(Shortfall { fact: e.fact.clone(), label: e.label.clone(), value, asked, bound, by })
}

/// What must hold where the test must not.
fn opposite(op: Op) -> Op {
    match op {
        Op::AtLeast => Op::Below,
        Op::Above => Op::AtMost,
        Op::AtMost => Op::Above,
        Op::Below => Op::AtLeast,
    }
}

/// The word of a comparison that templates compare.
fn word(op: Op) -> &'static str {
    match op {
        Op::AtLeast => "at least",
        Op::Above => "above",
        Op::AtMost => "at most",
        Op::Below => "below",
    }
}

/// Writes `criteria.<c>.short.s<n>.*`.
pub(super) fn shortfalls(
    facts: &mut Facts,
    root: &str,
    answer: &CriterionVerdict,
    written: &dyn Fn() -> Vec<Record>,
) {
    for (n, s) in answer.short().into_iter().enumerate() {
        let path = format!("{root}.short.s{}", n + 1);
        let inputs = || vec![s.fact.clone()];
        let points = s.by.unit() == Unit::Percent;
        for (item, label, value) in [
            ("asked", "what was asked", Value::Word(word(s.asked))),
            ("bound", "bound of the criterion", s.bound.clone()),
            ("by", "distance from the bound", Value::Number(s.by)),
            ("points", "whether the distance is in percentage points", yes_no(points)),
            ("at_bound", "whether the value is the bound itself", yes_no(s.by.sign() == 0)),
        ] {
            put(facts, &format!("{path}.{item}"), label, value, written(), inputs());
        }
    }
}

fn yes_no(yes: bool) -> Value {
    Value::Word(if yes { "yes" } else { "no" })
}
