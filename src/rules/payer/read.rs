//! A payer's file: read whole or not at all, every fault at its place.

use crate::case::node::{self, Node, Shape};
use crate::case::suggest::quote;
use crate::diag::{Code, Diagnostic, Located, Place, Report};
use crate::facts::FactId;

use super::super::condition::BoundSource;
use super::super::fields::{Fields, items, text};
use super::super::read::{KnownFact, condition, known_kind};
use super::{Answer, Criterion, Payer, Policy};

/// The payer of a file's text, or `None` if the file has any error; every
/// fault is reported. `file` is the path as shown to people, `known` the
/// catalogue of facts.
pub fn read(source: &str, file: &str, known: KnownFact, report: &mut Report) -> Option<Payer> {
    let mut faults = Report::default();
    let payer = node::parse(source, file, &mut faults)
        .and_then(|root| payer(&root, known, &mut faults))
        .filter(|_| !faults.has_errors());
    report.extend(faults);
    payer
}

fn payer(root: &Node, known: KnownFact, report: &mut Report) -> Option<Payer> {
    let fields = Fields::of(root, "a payer", &PAYER, report)?;
    let id = fields.need_text("payer", report);
    let name = fields.need_text("name", report);
    let policies: Vec<Option<Policy>> = fields
        .need("policies", report)
        .and_then(|node| items(node, "policies", report))
        .unwrap_or_default()
        .iter()
        .map(|node| policy(node, known, report))
        .collect();
    let policies = policies.into_iter().collect::<Option<Vec<_>>>()?;
    overlaps(&policies, report);
    let useful_lifetime = useful_lifetime(&fields, report);
    Some(Payer { id: id?, name: name?, policies, useful_lifetime, place: root.place.clone() })
}

const PAYER: [&str; 4] = ["payer", "name", "policies", "useful_lifetime"];

/// Whole years, as in `5 years`.
fn useful_lifetime(fields: &Fields, report: &mut Report) -> Option<Located<u32>> {
    let typed = fields.text("useful_lifetime", report)?;
    let years = typed.value.strip_suffix("years").and_then(|n| n.trim().parse().ok());
    match years.filter(|years| (1..=50).contains(years)) {
        Some(years) => Some(Located::new(years, typed.place)),
        None => {
            let message = format!("`useful_lifetime` is {}, not whole years", quote(&typed.value));
            let fault = Diagnostic::new(Code::RuleForm, Some(typed.place), message);
            report.push(fault.remedy("write it as `5 years`, or leave it out"));
            None
        }
    }
}

/// No two policies may be in force on one day.
fn overlaps(policies: &[Policy], report: &mut Report) {
    for (n, later) in policies.iter().enumerate() {
        for earlier in &policies[..n] {
            let meet = earlier.in_force(later.valid_from.value)
                || later.in_force(earlier.valid_from.value);
            if !meet {
                continue;
            }
            let day = earlier.valid_from.value.max(later.valid_from.value);
            let message = format!("two editions are in force on {day}");
            let place = Some(later.valid_from.place.clone());
            let fault = Diagnostic::new(Code::RuleDates, place, message);
            report.push(fault.related(earlier.valid_from.place.clone(), "the other begins here"));
        }
    }
}

const POLICY: [&str; 6] = ["policy", "section", "edition", "valid_from", "valid_to", "criteria"];

fn policy(node: &Node, known: KnownFact, report: &mut Report) -> Option<Policy> {
    let fields = Fields::of(node, "a policy", &POLICY, report)?;
    let policy = fields.need_text("policy", report);
    let section = fields.text("section", report);
    let edition = fields.need_date("edition", report);
    let from = fields.need("valid_from", report).and(fields.day("valid_from", report));
    let valid_to = fields.day("valid_to", report);
    let criteria: Vec<Option<Criterion>> = fields
        .need("criteria", report)
        .and_then(|node| items(node, "criteria", report))
        .unwrap_or_default()
        .iter()
        .map(|node| criterion(node, known, report))
        .collect();
    let criteria = criteria.into_iter().collect::<Option<Vec<_>>>();
    let valid_from = from?;
    if let Some(end) = valid_to.as_ref().filter(|end| end.value < valid_from.value) {
        let message = format!("valid_to {} is before valid_from {}", end.value, valid_from.value);
        let fault = Diagnostic::new(Code::RuleDates, Some(end.place.clone()), message);
        report.push(fault.related(valid_from.place.clone(), "begins here"));
    }
    let criteria = criteria?;
    repeated(&criteria, report);
    let place = fields.place.clone();
    Some(Policy {
        policy: policy?,
        section,
        edition: edition?,
        valid_from,
        valid_to,
        criteria,
        place,
    })
}

fn repeated(criteria: &[Criterion], report: &mut Report) {
    for (n, later) in criteria.iter().enumerate() {
        let Some(first) = criteria[..n].iter().find(|c| c.id.value == later.id.value) else {
            continue;
        };
        let message = format!("two criteria have the id `{}`", later.id.value);
        let fault = Diagnostic::new(Code::DuplicateId, Some(later.id.place.clone()), message);
        report.push(fault.related(first.id.place.clone(), "first here"));
    }
}

const CRITERION: [&str; 6] = ["id", "worded", "when", "stated", "evidence_of", "needs"];

fn criterion(node: &Node, known: KnownFact, report: &mut Report) -> Option<Criterion> {
    let fields = Fields::of(node, "a criterion", &CRITERION, report)?;
    let id = fields.need_text("id", report);
    let worded = fields.need_text("worded", report);
    let needs = fields.text("needs", report);
    let evidence_of = match fields.get("evidence_of") {
        Some(node) => shown(node, known, report),
        None => Some(Vec::new()),
    };
    let answer = answer(&fields, known, report);
    let place: Place = fields.place.clone();
    let (id, worded, answer, evidence_of) = (id?, worded?, answer?, evidence_of?);
    Some(Criterion { id, worded, answer, evidence_of, needs, place })
}

fn answer(fields: &Fields, known: KnownFact, report: &mut Report) -> Option<Answer> {
    match (fields.get("when"), fields.get("stated")) {
        (Some(when), None) => {
            condition(when, known, Some(&BoundSource::Policy), report).map(Answer::When)
        }
        (None, Some(stated)) => text(stated, "stated", report).map(Answer::Stated),
        (when, _) => {
            let message = match when {
                Some(_) => "a criterion is answered by `when` or by `stated`, not by both",
                None => "a criterion needs `when` or `stated`",
            };
            report.add(Code::RuleForm, fields.place, message);
            None
        }
    }
}

/// One fact id or a list of them.
fn shown(node: &Node, known: KnownFact, report: &mut Report) -> Option<Vec<FactId>> {
    let one = std::slice::from_ref(node);
    let list = match &node.shape {
        Shape::List(_) => items(node, "evidence_of", report)?,
        _ => one,
    };
    let ids: Vec<Option<Located<String>>> =
        list.iter().map(|node| text(node, "evidence_of", report)).collect();
    let ids = ids.into_iter().collect::<Option<Vec<_>>>()?;
    let known: Vec<bool> = ids.iter().map(|id| known_kind(id, known, report).is_some()).collect();
    known.iter().all(|k| *k).then(|| ids.iter().map(|id| FactId::new(&id.value)).collect())
}
