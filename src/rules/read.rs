//! Conditions from a rule file: every fault found, each at its place.

use crate::case::node::{Node, Shape};
use crate::case::suggest::{did_you_mean, list, quote};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::evidence::works;
use crate::facts::FactId;
use crate::quantity::{Reported, Unit};

use super::bound;
use super::condition::{BoundSource, Condition, Kind, Leaf, Op, Test};
use super::fields::{Fields, items, text};
use super::near::nearest;
use super::reach;

/// The kind of the fact of an id, or `None` if the catalogue has no such id.
pub type KnownFact<'a> = &'a dyn Fn(&str) -> Option<Kind>;

const JOINS: [&str; 3] = ["all", "any", "not"];
const TESTS: [&str; 6] = ["at_least", "above", "at_most", "below", "is", "in"];
const KEYS: [&str; 11] =
    ["all", "any", "not", "fact", "at_least", "above", "at_most", "below", "is", "in", "source"];

/// The condition at a node. `source` is where bounds come from that name no
/// source of their own; without it each must name one.
pub(super) fn condition(
    node: &Node,
    known: KnownFact,
    source: Option<&BoundSource>,
    report: &mut Report,
) -> Option<Condition> {
    let fields = Fields::of(node, "a condition", &KEYS, report)?;
    let Some(join) = fields.keys().find(|k| JOINS.contains(&k.value.as_str())) else {
        return leaf(&fields, known, source, report).map(Condition::Leaf);
    };
    if fields.keys().count() > 1 {
        let message = format!("`{}` stands beside other keys of one condition", join.value);
        report.add(Code::RuleForm, &join.place, message);
        return None;
    }
    let value = fields.get(&join.value)?;
    if join.value == "not" {
        let part = condition(value, known, source, report)?;
        return Some(Condition::Not(Box::new(part)));
    }
    // Every part is read, so that the faults of all are found in one run.
    let parts: Vec<Option<Condition>> = items(value, &join.value, report)?
        .iter()
        .map(|part| condition(part, known, source, report))
        .collect();
    let parts = parts.into_iter().collect::<Option<Vec<_>>>()?;
    let joined = if join.value == "all" { Condition::All(parts) } else { Condition::Any(parts) };
    reach::check(&joined, report);
    Some(joined)
}

fn leaf(
    fields: &Fields,
    known: KnownFact,
    source: Option<&BoundSource>,
    report: &mut Report,
) -> Option<Leaf> {
    let fact = fields.need_text("fact", report);
    let kind = fact.as_ref().and_then(|fact| known_kind(fact, known, report));
    let source = bound_source(fields, source, report);
    let test = the_test(fields, report);
    let (fact, kind, (key, value)) = (fact?, kind?, test?);
    let test = test_of(&fact.value, kind, key, value, report)?;
    let place = fields.place.clone();
    Some(Leaf { fact: FactId::new(&fact.value), test, source: source?, place })
}

/// The kind of a fact; an unknown id is reported.
pub(super) fn known_kind(
    fact: &Located<String>,
    known: KnownFact,
    report: &mut Report,
) -> Option<Kind> {
    let kind = known(&fact.value);
    if kind.is_none() {
        let message = format!("there is no fact {}", quote(&fact.value));
        let fault = Diagnostic::new(Code::UnknownFact, Some(fact.place.clone()), message);
        report.push(match nearest(&fact.value) {
            Some(near) => fault.remedy(format!("did you mean `{near}`?")),
            None => fault,
        });
    }
    kind
}

/// The one test of a condition.
fn the_test<'n>(
    fields: &Fields<'n>,
    report: &mut Report,
) -> Option<(&'n Located<String>, &'n Node)> {
    let mut tests = fields.keys().filter(|k| TESTS.contains(&k.value.as_str()));
    let first = tests.next();
    let Some(key) = first else {
        let message = "the condition has no test; it would hold for any value";
        report.add(Code::RuleForm, fields.place, message);
        return None;
    };
    if let Some(second) = tests.next() {
        let message = format!("`{}` and `{}` in one condition", key.value, second.value);
        let fault = Diagnostic::new(Code::RuleForm, Some(second.place.clone()), message);
        report.push(fault.remedy("write two conditions and join them by `all` or `any`"));
        return None;
    }
    fields.get(&key.value).map(|value| (key, value))
}

fn test_of(
    fact: &str,
    kind: Kind,
    key: &Located<String>,
    value: &Node,
    report: &mut Report,
) -> Option<Test> {
    let op = Op::ALL.into_iter().find(|op| op.key() == key.value);
    match (kind, op) {
        (Kind::Number(unit), Some(op)) => {
            bound_of(fact, unit, value, report).map(|bound| Test::Number(op, bound))
        }
        (Kind::Number(unit), None) => {
            each(key, value, report, |node, report| bound_of(fact, unit, node, report))
                .map(Test::Numbers)
        }
        (Kind::Age, Some(op)) => {
            let typed = text(value, &key.value, report)?;
            let age = bound::age(&typed.value).map_err(|why| (why, &typed));
            or_report(age, fact, report).map(|age| Test::Age(op, age))
        }
        (Kind::Word(set), None) => {
            each(key, value, report, |node, report| word(fact, set, node, report)).map(Test::Words)
        }
        (Kind::Side, None) => {
            let sides = &["left", "right"];
            each(key, value, report, |node, report| word(fact, sides, node, report))
                .map(Test::Words)
        }
        _ => {
            let message = format!("`{}` cannot be asked of {fact}, {}", key.value, kind.words());
            report.add(Code::RuleForm, &key.place, message);
            None
        }
    }
}

/// One value for `is`, a list of at least one for `in`.
fn each<T>(
    key: &Located<String>,
    value: &Node,
    report: &mut Report,
    mut read: impl FnMut(&Node, &mut Report) -> Option<T>,
) -> Option<Vec<T>> {
    if key.value == "is" {
        return read(value, report).map(|one| vec![one]);
    }
    let list = items(value, &key.value, report)?;
    let list: Vec<Option<T>> = list.iter().map(|node| read(node, report)).collect();
    list.into_iter().collect()
}

fn bound_of(fact: &str, unit: Unit, node: &Node, report: &mut Report) -> Option<Reported> {
    let typed = text(node, fact, report)?;
    or_report(bound::number(&typed.value, unit).map_err(|why| (why, &typed)), fact, report)
}

fn or_report<T>(
    bound: Result<T, (String, &Located<String>)>,
    fact: &str,
    report: &mut Report,
) -> Option<T> {
    bound
        .map_err(|(why, typed)| {
            let message = format!("{} {why}, as {fact} is", quote(&typed.value));
            report.add(Code::BoundUnit, &typed.place, message);
        })
        .ok()
}

fn word(fact: &str, set: &[&str], node: &Node, report: &mut Report) -> Option<String> {
    let typed = text(node, fact, report)?;
    if set.is_empty() || set.contains(&typed.value.as_str()) {
        return Some(typed.value);
    }
    let message = format!("{fact} never says {}", quote(&typed.value));
    let fault = Diagnostic::new(Code::BoundUnit, Some(typed.place.clone()), message);
    report.push(match did_you_mean(&typed.value, set) {
        Some(near) => fault.remedy(format!("did you mean `{near}`?")),
        None => fault.remedy(format!("its words are: {}", list(set))),
    });
    None
}

fn bound_source(
    fields: &Fields,
    default: Option<&BoundSource>,
    report: &mut Report,
) -> Option<BoundSource> {
    let Some(node) = fields.get("source") else {
        if default.is_none() {
            let message = "the condition names no source of its bound";
            report.add(Code::MissingKey, fields.place, message);
        }
        return default.cloned();
    };
    source_of(node, report)
}

/// A published work, or words of the rule's author.
pub(super) fn source_of(node: &Node, report: &mut Report) -> Option<BoundSource> {
    if let Shape::Map(_) = node.shape {
        return work_source(node, report);
    }
    text(node, "source", report).map(|words| BoundSource::Words(words.value))
}

/// `{work: weinstein-2013, note: inclusion criteria}`.
fn work_source(node: &Node, report: &mut Report) -> Option<BoundSource> {
    let fields = Fields::of(node, "a source", &["work", "note"], report)?;
    let key = fields.need_text("work", report);
    let note = fields.text("note", report).map(|note| note.value);
    let key = key?;
    let Some(work) = works::ALL.iter().find(|work| work.key == key.value) else {
        let message = format!("no published work is known as {}", quote(&key.value));
        let keys: Vec<&str> = works::ALL.iter().map(|work| work.key).collect();
        let fault = Diagnostic::new(Code::RuleForm, Some(key.place.clone()), message);
        report.push(match did_you_mean(&key.value, &keys) {
            Some(near) => fault.remedy(format!("did you mean `{near}`?")),
            None => fault,
        });
        return None;
    };
    Some(BoundSource::Work(work, note))
}
