//! What a condition asked and found, in one line for `explain`.

use crate::facts::Value;
use crate::quantity::{Age, Reported, Unit};

use super::condition::Test;
use super::evaluate::{LeafEvidence, Outcome};
use super::verdict::Verdict;

/// Every test of an outcome with what was found: `major.now.cobb at least
/// 21 deg: 27 deg, met; ...`.
pub(super) fn line(outcome: &Outcome) -> String {
    let parts: Vec<String> = outcome.evidence.iter().map(leaf).collect();
    parts.join("; ")
}

fn leaf(evidence: &LeafEvidence) -> String {
    let not = if evidence.negated { "not " } else { "" };
    let found = match (&evidence.value, &evidence.missing) {
        (_, Some(missing)) => missing.what.clone(),
        (Some(value), None) => value_words(value),
        (None, None) => "not applicable".into(),
    };
    let near = if evidence.flips { ", decided by rounding" } else { "" };
    let verdict = match evidence.verdict {
        Verdict::CannotTell => "cannot tell",
        verdict => verdict.word(),
    };
    format!("{not}{} {}: {found}, {verdict}{near}", evidence.fact, test(&evidence.test))
}

fn test(test: &Test) -> String {
    match test {
        Test::Number(op, at) => format!("{} {}", op.key().replace('_', " "), number(*at)),
        Test::Age(op, at) => format!("{} {}", op.key().replace('_', " "), age(*at)),
        Test::Numbers(list) => {
            let list: Vec<String> = list.iter().map(|n| number(*n)).collect();
            format!("is {}", list.join(" or "))
        }
        Test::Words(list) => format!("is {}", list.join(" or ")),
    }
}

fn value_words(value: &Value) -> String {
    match value {
        Value::Number(n) => number(*n),
        Value::Age(a) => age(*a),
        Value::Word(word) => (*word).into(),
        Value::Side(side) => super::evaluate::side_word(*side).into(),
        Value::Date(date) => date.to_string(),
        _ => "known".into(),
    }
}

/// A number as it is typed in a file.
pub(super) fn number(n: Reported) -> String {
    match n.unit() {
        Unit::One => n.digits(),
        unit => format!("{} {}", n.digits(), unit.spellings()[0]),
    }
}

fn age(age: Age) -> String {
    match age.months {
        0 => format!("{} years", age.years),
        months => format!("{} years {months} months", age.years),
    }
}
