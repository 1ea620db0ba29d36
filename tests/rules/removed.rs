//! Each fact that a payer's criteria ask for, taken away in turn: exactly the
//! criteria that rest on it cannot be told, and every other stands as before.

use std::collections::{BTreeMap, BTreeSet};

use endplate::diag::Report;
use endplate::facts::{Facts, Missing, Value, derive};
use endplate::rules::Verdict::{self, CannotTell};
use endplate::rules::catalogue;
use endplate::rules::payer::{self, Answer, Asking, CriterionVerdict, Payer, Policy};

use super::demo;

const LETTERS: [(&str, &str, &str); 3] = [
    ("fw-0096", "l6", include_str!("../../templates/rules/payers/brindle-mutual.yaml")),
    ("fw-0131", "l5", include_str!("../../templates/rules/payers/tallow-bridge.yaml")),
    ("fw-0171", "l3", include_str!("../../templates/rules/payers/carrow-vale.yaml")),
];

fn without(facts: &Facts, id: &str) -> Facts {
    let mut left = Facts::new(facts.as_of);
    for fact in facts.iter() {
        let mut fact = fact.clone();
        if fact.id.as_str() == id {
            let (item, who) = ("what was taken away".into(), "nobody".into());
            fact.value = Value::Missing(Missing::NotRecorded { item, who });
            fact.unrounded = None;
        }
        left.insert(fact);
    }
    left
}

fn verdicts(answers: &[CriterionVerdict]) -> Vec<(String, Verdict)> {
    answers.iter().map(|a| (a.id.clone(), a.verdict)).collect()
}

/// Criteria one of whose tests on the fact decides, where no other test that
/// stands beside it decides the same way.
fn resting_on(answers: &[CriterionVerdict], id: &str) -> BTreeSet<String> {
    let rests =
        |a: &&CriterionVerdict| a.evidence.iter().any(|e| e.decides && e.fact.as_str() == id);
    answers.iter().filter(rests).map(|a| a.id.clone()).collect()
}

fn asked(policy: &Policy) -> BTreeSet<String> {
    let conditions = policy.criteria.iter().filter_map(|c| match &c.answer {
        Answer::When(condition) => Some(condition),
        Answer::Stated(_) => None,
    });
    conditions.flat_map(|c| c.leaves()).map(|leaf| leaf.fact.as_str().to_string()).collect()
}

fn payer(text: &str) -> Payer {
    let mut report = Report::default();
    payer::read(text, "payer.yaml", &catalogue::kind, &mut report).unwrap()
}

#[test]
fn each_fact_taken_away_leaves_exactly_its_own_criteria_open() {
    let clinic = demo::clinic();
    let mut opened = 0;
    for (id, letter, text) in LETTERS {
        let case = demo::case(id);
        let entry = case.letters.iter().find(|l| l.id.value == letter).unwrap();
        let facts = derive(&case, &clinic, entry.as_of.value, Some(entry)).facts;
        let said = Asking::of(&case, entry).unwrap().statements();
        let payer = payer(text);
        let mut report = Report::default();
        let policy = payer.policy_on(entry.as_of.value, &mut report).unwrap();
        let mut judge = |facts: &Facts, said: &BTreeMap<String, String>| {
            payer::evaluate(policy, facts, said, &mut report)
        };
        let whole = judge(&facts, &said);
        for fact in asked(policy) {
            let now = judge(&without(&facts, &fact), &said);
            let rest = resting_on(&whole, &fact);
            for ((criterion, before), (_, after)) in verdicts(&whole).iter().zip(verdicts(&now)) {
                match rest.contains(criterion) {
                    // Another sign may still decide; nothing turns round.
                    true => assert!(after == CannotTell || after == *before, "{id} {criterion}"),
                    false => assert_eq!(after, *before, "{id} {criterion} without {fact}"),
                }
                if after == CannotTell && *before != CannotTell {
                    opened += 1;
                    let open = now.iter().find(|a| a.id == *criterion).unwrap();
                    let named = open.missing.iter().any(|m| m.what.contains("what was taken away"));
                    assert!(named, "{id} {criterion} does not name {fact}: {:?}", open.missing);
                }
            }
        }
        assert!(report.is_empty(), "{:?}", report.sorted());
    }
    // Nine single facts of the second brace, and those of the first braces
    // that stand alone.
    assert!(opened >= 15, "only {opened} verdicts were opened");
}
