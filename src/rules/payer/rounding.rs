//! Criteria whose answer rests on rounding: rules compare reported values, and
//! the value before it was rounded may stand on the other side of the bound.

use crate::diag::{Code, Diagnostic, Report};
use crate::facts::{FactId, Facts, Record, Value};
use crate::quantity::Reported;

use super::super::as_facts::put;
use super::super::condition::Test;
use super::super::evaluate::LeafEvidence;
use super::CriterionVerdict;

/// A test that decides, and that the value before rounding would answer
/// otherwise.
struct Rounded {
    fact: FactId,
    label: String,
    reported: Reported,
    before: Reported,
    bound: Reported,
}

/// Each value once, however many tests of it flip.
fn found(evidence: &[LeafEvidence], facts: &Facts) -> Vec<Rounded> {
    let mut list: Vec<Rounded> = Vec::new();
    for leaf in evidence.iter().filter(|e| e.decides && e.flips) {
        let rounded = one(leaf, facts);
        list.extend(rounded.filter(|r| list.iter().all(|known| known.fact != r.fact)));
    }
    list
}

fn one(leaf: &LeafEvidence, facts: &Facts) -> Option<Rounded> {
    let (Test::Number(op, bound), Some(Value::Number(reported))) = (&leaf.test, &leaf.value) else {
        return None;
    };
    let exact = facts.get(leaf.fact.as_str())?.unrounded?;
    // As few digits as show on which side it stands; a value that only the
    // noise of computing parts from the bound shows none and is not told.
    let digits = reported.decimals() + 1..=9;
    let told = digits.map(|digits| Reported::round(exact, digits, reported.unit()));
    let holds = |value: Reported| op.holds(value.compare(*bound));
    let before = told.into_iter().find(|before| holds(*before) != holds(*reported))?;
    Some(Rounded {
        fact: leaf.fact.clone(),
        label: leaf.label.clone(),
        reported: *reported,
        before,
        bound: *bound,
    })
}

/// Warns of each value whose rounding decides a criterion.
pub(super) fn warn(answer: &CriterionVerdict, facts: &Facts, report: &mut Report) {
    let deciding = |r: &Rounded| answer.evidence.iter().find(|e| e.fact == r.fact);
    for rounded in found(&answer.evidence, facts) {
        let place = deciding(&rounded).map(|e| e.place.clone());
        let Rounded { label, reported, before, bound, .. } = &rounded;
        let message = format!(
            "criterion {} is {} by rounding: {label} is {} as reported and {} before, the bound {}",
            answer.id,
            answer.verdict.word(),
            reported.said(),
            before.said(),
            bound.said()
        );
        let fault = Diagnostic::new(Code::RoundingDecides, place, message);
        report.push(fault.remedy("read the bound in the payer's words; the letter says so too"));
    }
}

/// Writes `criteria.<c>.rounded` and `criteria.<c>.rounding.r<n>.*`.
pub(super) fn tell(
    facts: &mut Facts,
    root: &str,
    answer: &CriterionVerdict,
    written: &dyn Fn() -> Vec<Record>,
) {
    let list = found(&answer.evidence, facts);
    let word = Value::Word(if list.is_empty() { "no" } else { "yes" });
    let inputs = list.iter().map(|r| r.fact.clone()).collect();
    let label = "whether rounding decides the criterion";
    put(facts, &format!("{root}.rounded"), label, word, written(), inputs);
    for (n, r) in list.into_iter().enumerate() {
        let path = format!("{root}.rounding.r{}", n + 1);
        let inputs = || vec![r.fact.clone()];
        let what = "what was rounded";
        put(facts, &format!("{path}.label"), what, Value::Text(r.label), written(), inputs());
        let before = Value::Number(r.before);
        put(facts, &format!("{path}.before"), "before rounding", before, written(), inputs());
    }
}
