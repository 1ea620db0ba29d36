//! Verdicts and codes as facts, so that letters print them like any value.
//!
//! `policy.*`, `criteria.*`, `verdicts.*` come from a payer's policy,
//! `code.*` from the public set of diagnosis codes. Each verdict names the
//! facts it rests on as its inputs.

use std::collections::BTreeMap;

use crate::case::Case;
use crate::diag::Place;
use crate::evidence::{Grade, Source};
use crate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Value};

use super::codes::{self, Asked};
use super::payer::{CriterionVerdict, Payer, Policy};
use super::verdict::Verdict;

/// Writes the policy and the answers to its criteria.
pub fn criteria(facts: &mut Facts, payer: &Payer, policy: &Policy, answers: &[CriterionVerdict]) {
    let policy_record = || record(format!("policy {}", policy.policy.value), &policy.place);
    put(
        facts,
        "policy.payer",
        "payer",
        Value::Text(payer.name.value.clone()),
        vec![record("payer / name", &payer.name.place)],
        vec![],
    );
    put(
        facts,
        "policy.name",
        "policy",
        Value::Text(policy.policy.value.clone()),
        vec![policy_record()],
        vec![],
    );
    let section = policy.section.as_ref().map_or_else(
        || {
            Value::Missing(Missing::NotRecorded {
                item: "section".into(),
                who: "whoever wrote the payer's file".into(),
            })
        },
        |s| Value::Text(s.value.clone()),
    );
    put(facts, "policy.section", "section of the policy", section, vec![policy_record()], vec![]);
    put(
        facts,
        "policy.edition",
        "edition of the policy",
        Value::Date(policy.edition.value),
        vec![record("policy / edition", &policy.edition.place)],
        vec![],
    );
    for (n, (answer, criterion)) in answers.iter().zip(&policy.criteria).enumerate() {
        one(facts, &format!("criteria.c{}", n + 1), answer, &criterion.place);
    }
    counts(facts, answers);
}

fn one(facts: &mut Facts, root: &str, answer: &CriterionVerdict, place: &Place) {
    let written = || vec![record(format!("criterion {}", answer.id), place)];
    put(
        facts,
        &format!("{root}.id"),
        "number of the criterion",
        Value::Text(answer.id.clone()),
        written(),
        vec![],
    );
    put(
        facts,
        &format!("{root}.worded"),
        "criterion as worded",
        Value::Text(answer.worded.clone()),
        written(),
        vec![],
    );
    let evidence = evidence_ids(facts, answer);
    put(
        facts,
        &format!("{root}.verdict"),
        "whether the criterion is met",
        Value::Word(answer.verdict.word()),
        written(),
        evidence.clone(),
    );
    for (n, id) in evidence.iter().enumerate() {
        quote(facts, &format!("{root}.evidence.e{}", n + 1), id);
    }
    let statement = answer.statement.as_ref().map_or_else(
        || Value::Missing(Missing::NotApplicable("no statement answers this criterion".into())),
        |s| Value::Text(s.text.clone()),
    );
    put(
        facts,
        &format!("{root}.statement"),
        "statement that answers the criterion",
        statement,
        written(),
        vec![],
    );
    for (n, item) in answer.missing.iter().enumerate() {
        let path = format!("{root}.missing.m{}", n + 1);
        put(
            facts,
            &format!("{path}.what"),
            "what is missing",
            Value::Text(item.what.clone()),
            written(),
            vec![],
        );
        let who = item.who.clone().map_or_else(
            || Value::Missing(Missing::NotApplicable("nobody is named".into())),
            Value::Text,
        );
        put(facts, &format!("{path}.who"), "who can supply it", who, written(), vec![]);
    }
}

/// The facts a verdict rests on and those shown beside it, each once, that
/// have a value.
fn evidence_ids(facts: &Facts, answer: &CriterionVerdict) -> Vec<FactId> {
    let mut ids: Vec<FactId> = Vec::new();
    for id in answer.evidence.iter().map(|e| &e.fact).chain(&answer.shown) {
        let known = facts.get(id.as_str()).is_some_and(|f| f.missing().is_none());
        if known && !ids.contains(id) {
            ids.push(id.clone());
        }
    }
    ids
}

/// A fact quoted as evidence, with the day of its film or examination if the
/// facts hold one beside it.
pub(super) fn quote(facts: &mut Facts, root: &str, id: &FactId) {
    let Some(fact) = facts.get(id.as_str()).cloned() else { return };
    put(
        facts,
        &format!("{root}.label"),
        "what the evidence is",
        Value::Text(fact.label.clone()),
        vec![],
        vec![id.clone()],
    );
    put(facts, &format!("{root}.value"), &fact.label, fact.value, vec![], vec![id.clone()]);
    let parent = id.as_str().rsplit_once('.').map_or("", |(parent, _)| parent);
    let day = ["taken", "on"]
        .iter()
        .map(|item| format!("{parent}.{item}"))
        .find(|p| facts.get(p).is_some_and(|f| f.missing().is_none()));
    let (value, inputs) = match day {
        Some(path) => {
            (facts.get(&path).expect("just found").value.clone(), vec![FactId::new(&path)])
        }
        None => (Value::Missing(Missing::NotApplicable("no single day".into())), vec![]),
    };
    put(facts, &format!("{root}.day"), "day of the evidence", value, vec![], inputs);
    // A percentage stands with the two angles it came from.
    for (item, name) in
        [("cobb", "within"), ("baseline_cobb", "before"), ("baseline_taken", "before_day")]
    {
        let path = format!("{parent}.{item}");
        let known = facts.get(&path).filter(|f| f.missing().is_none());
        if let (true, Some(fact)) = (id.as_str().ends_with(".correction"), known) {
            let (label, value) = (fact.label.clone(), fact.value.clone());
            put(facts, &format!("{root}.{name}"), &label, value, vec![], vec![FactId::new(&path)]);
        }
    }
}

fn counts(facts: &mut Facts, answers: &[CriterionVerdict]) {
    for (name, verdict) in
        [("met", Verdict::Met), ("not_met", Verdict::NotMet), ("cannot_tell", Verdict::CannotTell)]
    {
        let any = answers.iter().any(|a| a.verdict == verdict);
        let one = answers.iter().filter(|a| a.verdict == verdict).count() == 1;
        put(
            facts,
            &format!("verdicts.{name}"),
            "whether any criterion has this verdict",
            Value::Word(if any { "yes" } else { "no" }),
            vec![],
            vec![],
        );
        put(
            facts,
            &format!("verdicts.{name}_one"),
            "whether exactly one has",
            Value::Word(if one { "yes" } else { "no" }),
            vec![],
            vec![],
        );
    }
}

/// Writes `code.icd`: the diagnosis code proposed, or why there is none.
pub fn code(facts: &mut Facts, case: &Case) {
    let records = vec![record("diagnosis", &case.diagnosis.place)];
    let inputs = vec![FactId::new("diagnosis.name")];
    if let Some(code) = &case.diagnosis.code {
        let records = vec![record("diagnosis / code", &code.place)];
        put(
            facts,
            "code.icd",
            "diagnosis code as recorded",
            Value::Text(code.value.clone()),
            records,
            vec![],
        );
        put(
            facts,
            "code.origin",
            "whether the code is recorded or proposed",
            Value::Word("recorded"),
            vec![],
            vec![FactId::new("code.icd")],
        );
        conditions(facts, None, None);
        return;
    }
    let asked = Asked::of(facts).ok_or("no cause or deformity is recorded");
    let proposal = asked.and_then(|asked| codes::propose(&asked));
    let code = proposal.as_ref().map(|p| p.code.clone());
    let value = match code {
        Ok(code) => Value::Text(code),
        Err(why) => Value::Missing(Missing::NotApplicable((*why).into())),
    };
    // What the record does not show stands beside the code, or it is no proposal.
    let (only_if, beside) = proposal.as_ref().map_or((None, None), |p| (p.only_if, p.beside));
    conditions(facts, only_if, beside);
    put(
        facts,
        "code.icd",
        "diagnosis code proposed from cause, age class and region",
        value,
        records,
        inputs,
    );
    put(
        facts,
        "code.origin",
        "whether the code is recorded or proposed",
        Value::Word("proposed"),
        vec![],
        vec![FactId::new("code.icd")],
    );
}

/// `code.only_if`, `code.beside`: what must be true, and what is coded before
/// or beside, for a proposed code to be right.
fn conditions(facts: &mut Facts, only_if: Option<&'static str>, beside: Option<&'static str>) {
    let none = || Value::Missing(Missing::NotApplicable("the code set asks for nothing".into()));
    let said = |text: Option<&'static str>| text.map_or_else(none, |t| Value::Text(t.into()));
    let inputs = || vec![FactId::new("diagnosis.name")];
    let (only_if, beside) = (said(only_if), said(beside));
    put(
        facts,
        "code.only_if",
        "what the proposed code takes for granted",
        only_if,
        vec![],
        inputs(),
    );
    put(facts, "code.beside", "what is coded before or beside it", beside, vec![], inputs());
}

/// Requests of the case by what a person stated for them.
pub fn statements(case: &Case, request: Option<&str>) -> BTreeMap<String, String> {
    let found = case.requests.iter().find(|r| Some(r.id.value.as_str()) == request);
    let pairs = found.iter().flat_map(|r| &r.statements);
    pairs.map(|(key, text)| (key.clone(), text.value.clone())).collect()
}

pub(super) fn record(path: impl Into<String>, place: &Place) -> Record {
    Record { path: path.into(), place: place.clone() }
}

pub(super) fn put(
    facts: &mut Facts,
    id: &str,
    label: &str,
    value: Value,
    records: Vec<Record>,
    inputs: Vec<FactId>,
) {
    let source =
        Source { work: None, grade: Grade::Definition, note: "the rule file named decides" };
    let method = Method { formula: "by the rule named, on reported values".into(), source };
    facts.insert(Fact {
        id: FactId::new(id),
        label: label.into(),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance { records, inputs, method },
    });
}
