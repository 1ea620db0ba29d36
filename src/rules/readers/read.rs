//! A reader's file: read whole or not at all, every fault at its place.

use std::collections::BTreeSet;

use crate::case::node::{self, Node};
use crate::case::suggest::{did_you_mean, list as words, quote};
use crate::case::{LetterKind, Role};
use crate::diag::{Code, Diagnostic, Located, Place, Report};

use super::super::condition::{BoundSource, Condition};
use super::super::fields::{Fields, items, text};
use super::super::read::{KnownFact, condition};
use super::Reader;
use super::access::Access;
use super::known;
use super::need::Need;
use super::pattern::Pattern;

const READER: [&str; 8] =
    ["reader", "letter", "for", "copies", "required", "optional", "open", "closed"];

/// The reader of a file's text, or `None` if the file has any error; every
/// fault is reported. `file` is the path as shown to people, `known` the
/// catalogue of facts.
pub fn read(source: &str, file: &str, known: KnownFact, report: &mut Report) -> Option<Reader> {
    let mut faults = Report::default();
    let reader = node::parse(source, file, &mut faults)
        .and_then(|root| reader(&root, file, known, &mut faults))
        .filter(|_| !faults.has_errors());
    report.extend(faults);
    reader
}

fn reader(root: &Node, file: &str, known: KnownFact, report: &mut Report) -> Option<Reader> {
    let fields = Fields::of(root, "a reader", &READER, report)?;
    let stem = fields.need_text("reader", report);
    stem.iter().for_each(|stem| named_as_its_file(stem, file, report));
    let kind = fields.need_text("letter", report).and_then(|typed| {
        word(&typed, "kind of letter", LetterKind::WORDS, LetterKind::from_word, report)
    });
    let roles = fields.need("for", report).and_then(|node| roles_of(node, "for", report));
    let copies = match fields.get("copies") {
        Some(node) => roles_of(node, "copies", report),
        None => Some(BTreeSet::new()),
    };
    let required = needs(&fields, "required", known, report);
    let optional = needs(&fields, "optional", known, report);
    optional.iter().flatten().for_each(|need| said_in_words(need, report));
    let access = access(&fields, report);
    Some(Reader {
        stem: stem?,
        kind: kind?,
        roles: roles?,
        copies: copies?,
        required: required?,
        optional: optional?,
        access: access?,
        place: root.place.clone(),
    })
}

fn named_as_its_file(stem: &Located<String>, file: &str, report: &mut Report) {
    let name = file.rsplit('/').next().unwrap_or_default();
    if name.strip_suffix(".yaml") != Some(stem.value.as_str()) {
        let message = format!("the reader {} stands in `{name}`", quote(&stem.value));
        let fault = Diagnostic::new(Code::RuleForm, Some(stem.place.clone()), message);
        report.push(fault.remedy(format!("name the file `{}.yaml`, as its template", stem.value)));
    }
}

/// A word of a closed set.
fn word<T>(
    typed: &Located<String>,
    what: &str,
    all: &[&str],
    of: impl Fn(&str) -> Option<T>,
    report: &mut Report,
) -> Option<T> {
    let found = of(&typed.value);
    if found.is_none() {
        let message = format!("there is no {what} {}", quote(&typed.value));
        let fault = Diagnostic::new(Code::RuleForm, Some(typed.place.clone()), message);
        report.push(match did_you_mean(&typed.value, all) {
            Some(near) => fault.remedy(format!("did you mean `{near}`?")),
            None => fault.remedy(format!("its words are: {}", words(all))),
        });
    }
    found
}

fn roles_of(node: &Node, key: &str, report: &mut Report) -> Option<BTreeSet<Role>> {
    let read = |node: &Node, report: &mut Report| {
        let typed = text(node, key, report)?;
        word(&typed, "role", Role::WORDS, Role::from_word, report)
    };
    let all: Vec<_> = items(node, key, report)?.iter().map(|n| read(n, report)).collect();
    all.into_iter().collect()
}

/// The items of a list that may be absent.
fn needs(fields: &Fields, key: &str, known: KnownFact, report: &mut Report) -> Option<Vec<Need>> {
    let Some(node) = fields.get(key) else { return Some(Vec::new()) };
    let all: Vec<_> =
        items(node, key, report)?.iter().map(|node| need(node, known, report)).collect();
    all.into_iter().collect()
}

const NEED: [&str; 6] = ["fact", "any", "item", "who", "with", "when"];

fn need(node: &Node, known: KnownFact, report: &mut Report) -> Option<Need> {
    let fields = Fields::of(node, "an item", &NEED, report)?;
    let facts = facts(&fields, report);
    let item = fields.text("item", report).map(|t| t.value);
    let who = fields.text("who", report).map(|t| t.value);
    let with = match fields.get("with") {
        Some(node) => Some(fact(node, false, report)?.value),
        None => None,
    };
    let when = match fields.get("when") {
        Some(node) => Some(when(node, known, report)?),
        None => None,
    };
    let (facts, place) = (facts?, fields.place.clone());
    if facts.len() > 1 && item.is_none() {
        let message = "an item that several facts can say has no name";
        let fault = Diagnostic::new(Code::MissingKey, Some(place), message);
        report.push(fault.remedy("call it, as in `item: Risser grade or stage of the hand`"));
        return None;
    }
    Some(Need { facts, item, who, with, when, place })
}

/// When an item applies: bounds are the reader's own.
fn when(node: &Node, known: KnownFact, report: &mut Report) -> Option<Condition> {
    let source = BoundSource::Words("the reader's own condition".into());
    condition(node, known, Some(&source), report)
}

/// What an optional item is called is printed.
fn said_in_words(need: &Need, report: &mut Report) {
    if need.item.is_none() {
        let message = "an optional item has no name to print where it is not recorded";
        let fault = Diagnostic::new(Code::MissingKey, Some(need.place.clone()), message);
        report.push(fault.remedy("call it, as in `item: height`"));
    }
}

/// `fact:` or `any:`, one of the two.
fn facts(fields: &Fields, report: &mut Report) -> Option<Vec<Located<Pattern>>> {
    let nodes = match (fields.get("fact"), fields.get("any")) {
        (Some(one), None) => std::slice::from_ref(one),
        (None, Some(several)) => items(several, "any", report)?,
        (one, _) => {
            let message = match one {
                Some(_) => "`fact` and `any` in one item",
                None => "an item names no fact",
            };
            let fault = Diagnostic::new(Code::RuleForm, Some(fields.place.clone()), message);
            report.push(fault.remedy("write `fact: ID`, or `any: [ID, ID]` where each is enough"));
            return None;
        }
    };
    let single = nodes.len() == 1;
    let all: Vec<_> = nodes.iter().map(|node| fact(node, single, report)).collect();
    all.into_iter().collect()
}

fn fact(node: &Node, single: bool, report: &mut Report) -> Option<Located<Pattern>> {
    let typed = text(node, "fact", report)?;
    let fits = |p: &Pattern| known::is_fact(p) && (single || p.is_exact());
    let found = Pattern::parse(&typed.value).filter(fits);
    if found.is_none() {
        unknown("there is no fact", &typed, report);
    }
    found.map(|pattern| Located::new(pattern, typed.place))
}

fn unknown(what: &str, typed: &Located<String>, report: &mut Report) {
    let message = format!("{what} {}", quote(&typed.value));
    let fault = Diagnostic::new(Code::UnknownFact, Some(typed.place.clone()), message);
    report.push(match known::nearest(&typed.value) {
        Some(near) => fault.remedy(format!("did you mean `{near}`?")),
        None => fault,
    });
}

fn access(fields: &Fields, report: &mut Report) -> Option<Access> {
    let open = match fields.keys().find(|key| key.value == "open") {
        Some(key) => Some((patterns(fields, "open", report)?, key.place.clone())),
        None => None,
    };
    let closed = match fields.get("closed") {
        Some(_) => patterns(fields, "closed", report)?,
        None => Vec::new(),
    };
    if open.is_none() && closed.is_empty() {
        let message = "the file says neither what is open nor what is closed to the reader";
        let place: &Place = fields.place;
        let fault = Diagnostic::new(Code::MissingKey, Some(place.clone()), message);
        report.push(fault.remedy("write `closed: [PATH, PATH]`, or `open: [PATH, PATH]`"));
        return None;
    }
    Some(Access { open, closed })
}

fn patterns(fields: &Fields, key: &str, report: &mut Report) -> Option<Vec<Located<Pattern>>> {
    let node = fields.need(key, report)?;
    let all: Vec<_> =
        items(node, key, report)?.iter().map(|node| path(node, key, report)).collect();
    all.into_iter().collect()
}

fn path(node: &Node, key: &str, report: &mut Report) -> Option<Located<Pattern>> {
    let typed = text(node, key, report)?;
    let found = Pattern::parse(&typed.value).filter(known::is_path);
    if found.is_none() {
        unknown("no facts lie under", &typed, report);
    }
    found.map(|pattern| Located::new(pattern, typed.place))
}
