//! A policy against the facts and statements of one request.

use std::collections::BTreeMap;

use crate::diag::{Code, Diagnostic, Report};
use crate::facts::{Fact, FactId, Facts, Missing};
use crate::quantity::Reported;

use super::super::evaluate::{LeafEvidence, Mismatch, MissingItem, is_course};
use super::super::verdict::Verdict;
use super::{Answer, Criterion, Policy, rounding};

/// A person's answer to a criterion that no fact can answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// The key under the request's statements.
    pub key: String,
    /// The evidence as written, without the leading `met:` or `not met:`.
    pub text: String,
}

/// One criterion with its answer and everything the answer rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct CriterionVerdict {
    /// The payer's number for it.
    pub id: String,
    /// The criterion in the payer's words.
    pub worded: String,
    /// The answer.
    pub verdict: Verdict,
    /// Every test, in the order it is written; empty for a stated criterion.
    pub evidence: Vec<LeafEvidence>,
    /// The statement, for a criterion that a person answers.
    pub statement: Option<Statement>,
    /// What would have to be known, and who can supply it; empty unless the
    /// verdict is that it cannot be told.
    pub missing: Vec<MissingItem>,
    /// How far the tests that decide are from their bounds: fact, value minus
    /// bound (months for ages).
    pub margins: Vec<(FactId, Reported)>,
    /// Facts to show beside the verdict, not judged.
    pub shown: Vec<FactId>,
}

/// Answers every criterion of a policy, in the payer's order.
///
/// `statements` are the request's own, by key. A statement begins with `met:`
/// or `not met:` and gives its evidence after the colon; anything else is
/// somebody's remark, and the criterion cannot be told. A fact of another
/// kind than its test was written for is reported as an error.
pub fn evaluate(
    policy: &Policy,
    facts: &Facts,
    statements: &BTreeMap<String, String>,
    report: &mut Report,
) -> Vec<CriterionVerdict> {
    policy.criteria.iter().map(|c| criterion(c, facts, statements, report)).collect()
}

fn criterion(
    criterion: &Criterion,
    facts: &Facts,
    statements: &BTreeMap<String, String>,
    report: &mut Report,
) -> CriterionVerdict {
    let mut answer = CriterionVerdict {
        id: criterion.id.value.clone(),
        worded: criterion.worded.value.clone(),
        verdict: Verdict::CannotTell,
        evidence: Vec::new(),
        statement: None,
        missing: Vec::new(),
        margins: Vec::new(),
        shown: criterion.evidence_of.clone(),
    };
    match &criterion.answer {
        Answer::When(condition) => {
            let outcome = condition.evaluate_courses_open(facts);
            outcome.mismatches.iter().for_each(|m| report.push(fault(m)));
            answer.verdict = outcome.verdict;
            if outcome.verdict == Verdict::CannotTell {
                answer.missing = outcome.missing();
            }
            answer.margins = margins(&outcome.evidence);
            answer.evidence = outcome.evidence;
            rounding::warn(&answer, facts, report);
        }
        Answer::Stated(key) => {
            state(&mut answer, &key.value, statements.get(&key.value).map(String::as_str));
        }
    }
    let needs = criterion.needs.as_ref().map(|n| n.value.clone());
    let nobody = inapplicable(&answer.evidence, facts);
    for item in answer.missing.iter_mut().filter(|item| !nobody.contains(item)) {
        item.who = item.who.take().or_else(|| needs.clone());
    }
    answer
}

/// What nobody can supply, because it does not apply. A course is not among
/// it: it needs another film.
fn inapplicable(evidence: &[LeafEvidence], facts: &Facts) -> Vec<MissingItem> {
    let applies = |e: &&LeafEvidence| {
        let missing = facts.get(e.fact.as_str()).and_then(Fact::missing);
        is_course(&e.fact) || !matches!(missing, Some(Missing::NotApplicable(_)))
    };
    evidence.iter().filter(|e| !applies(e)).filter_map(|e| e.missing.clone()).collect()
}

fn margins(evidence: &[LeafEvidence]) -> Vec<(FactId, Reported)> {
    let deciding = evidence.iter().filter(|e| e.decides);
    deciding.filter_map(|e| e.margin.map(|margin| (e.fact.clone(), margin))).collect()
}

fn state(answer: &mut CriterionVerdict, key: &str, text: Option<&str>) {
    let said = text.map(str::trim).filter(|text| !text.is_empty());
    let parts = said.and_then(|text| text.split_once(':'));
    let (verdict, evidence) = match parts.map(|(word, rest)| (word.trim(), rest.trim())) {
        Some(("met", rest)) if !rest.is_empty() => (Verdict::Met, rest),
        Some(("not met", rest)) if !rest.is_empty() => (Verdict::NotMet, rest),
        _ => (Verdict::CannotTell, said.unwrap_or_default()),
    };
    answer.verdict = verdict;
    if said.is_some() {
        answer.statement = Some(Statement { key: key.into(), text: evidence.into() });
    }
    if verdict == Verdict::CannotTell {
        let what = match said {
            None => format!("statement {key}: not recorded"),
            Some(_) => format!(
                "statement {key}: does not say `met:` or `not met:` followed by the evidence"
            ),
        };
        answer.missing = vec![MissingItem { what, who: None }];
    }
}

fn fault(mismatch: &Mismatch) -> Diagnostic {
    let Mismatch { fact, wanted, found, place } = mismatch;
    let message = format!("fact {fact} is {found}, but the rule needs {wanted}");
    Diagnostic::new(Code::FactOfOtherKind, Some(place.clone()), message)
}
