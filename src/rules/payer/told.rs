//! A policy and the answers to its criteria as facts, so that letters print
//! them like any value: `policy.*`, `criteria.*`, `verdicts.*`.
//!
//! Each verdict names the facts it rests on as its inputs; each piece of
//! evidence says what it is, its value, its day, who read it, in which
//! enclosure it can be seen and whether it is newer than the denial.

use std::collections::BTreeMap;

use crate::case::{Case, Enclosure, LetterEntry, Request};
use crate::diag::Place;
use crate::facts::{FactId, Facts, Missing, Record, Value};
use crate::quantity::{Reported, Unit};

use super::super::as_facts::{put, record};
use super::super::verdict::Verdict;
use super::behind::{self, Behind};
use super::rounding;
use super::short::shortfalls;
use super::{CriterionVerdict, Payer, Policy};

/// What stands around the criteria of one letter.
#[derive(Debug, Clone, Copy)]
pub struct Asking<'a> {
    /// The request.
    pub request: &'a Request,
    /// What goes with the letter.
    pub enclosures: &'a [Enclosure],
}

impl<'a> Asking<'a> {
    /// The request that a letter of a case supports.
    pub fn of(case: &'a Case, entry: &'a LetterEntry) -> Option<Asking<'a>> {
        let id = entry.request.as_ref()?;
        let request = case.requests.iter().find(|r| r.id.value == id.value)?;
        Some(Asking { request, enclosures: &entry.enclosures })
    }

    /// What a person stated for the request, by key.
    pub fn statements(&self) -> BTreeMap<String, String> {
        let pairs = self.request.statements.iter();
        pairs.map(|(key, text)| (key.clone(), text.value.clone())).collect()
    }
}

/// Writes the policy and the answers to its criteria.
pub fn tell(
    facts: &mut Facts,
    payer: &Payer,
    policy: &Policy,
    answers: &[CriterionVerdict],
    asking: &Asking,
) {
    self::policy(facts, payer, policy);
    for (n, (answer, criterion)) in answers.iter().zip(&policy.criteria).enumerate() {
        one(facts, &format!("criteria.c{}", n + 1), answer, &criterion.place, asking);
    }
    counts(facts, answers);
    reasons(facts, policy);
    shown(facts, asking);
}

/// `request.denial.reasons.<r>.in_policy`: whether the policy has the
/// criterion that a reason of the denial names, so that its evidence answers.
fn reasons(facts: &mut Facts, policy: &Policy) {
    let root = "request.denial.reasons";
    let list: Vec<String> = facts.children(root).iter().map(|r| format!("{root}.{r}")).collect();
    for reason in list {
        let named = format!("{reason}.criterion");
        let value = facts.get(&named).map(|f| &f.value);
        let has = |id: &String| policy.criteria.iter().any(|c| c.id.value == *id);
        let word = if matches!(value, Some(Value::Text(id)) if has(id)) { "yes" } else { "no" };
        let label = "whether the policy has the criterion that the reason names";
        let inputs = vec![FactId::new(&named)];
        put(facts, &format!("{reason}.in_policy"), label, Value::Word(word), vec![], inputs);
        answered(facts, &reason);
    }
}

/// `request.denial.reasons.<r>.answered`: by whom a reason of the denial is
/// answered. Evidence of the policy's own criterion answers; else a person
/// must.
fn answered(facts: &mut Facts, reason: &str) {
    let (answer, policy) = (format!("{reason}.answer"), format!("{reason}.in_policy"));
    let by_clinician = facts.get(&answer).is_some_and(|f| f.missing().is_none());
    let by_policy = facts.get(&policy).and_then(|f| f.word()) == Some("yes");
    let value = match (by_clinician, by_policy) {
        (true, _) => Value::Word("by the clinician"),
        (false, true) => Value::Word("by the policy"),
        (false, false) => {
            let number = reason.rsplit(".r").next().unwrap_or_default();
            let item = format!("answer to reason {number} of the denial");
            Value::Missing(Missing::NotRecorded { item, who: "the clinician".into() })
        }
    };
    let inputs = vec![FactId::new(&answer), FactId::new(&policy)];
    let label = "by whom the reason is answered";
    put(facts, &format!("{reason}.answered"), label, value, vec![], inputs);
}

/// What the letter tells outside its table of criteria, and the fact by which
/// its enclosures are found.
const TOLD: [(&str, &str); 7] = [
    ("order", "request.ordered"),
    ("visit", "request.seen"),
    ("maturity", "maturity.risser.grade"),
    ("wear", "replaced.wear.mean"),
    ("fittings", "replaced.fittings.f1.on"),
    ("growth", "replaced.growth.amount"),
    ("checks", "replaced.in_brace.latest.correction"),
];

/// `shown.<what>.n<k>`: the enclosures in which it can be seen.
fn shown(facts: &mut Facts, asking: &Asking) {
    for (what, id) in TOLD {
        let known = facts.get(id).is_some_and(|f| f.missing().is_none());
        let id = FactId::new(id);
        if known {
            let seen = behind::numbers(facts, std::slice::from_ref(&id), asking.enclosures);
            let root = format!("shown.{what}");
            enclosed(facts, &root, &seen[0].enclosures, &Vec::new, &[id]);
        }
    }
}

fn policy(facts: &mut Facts, payer: &Payer, policy: &Policy) {
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
}

fn one(facts: &mut Facts, root: &str, answer: &CriterionVerdict, place: &Place, asking: &Asking) {
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
    let numbers = behind::numbers(facts, &evidence, asking.enclosures);
    for (n, id) in evidence.iter().enumerate() {
        let path = format!("{root}.evidence.e{}", n + 1);
        quote(facts, &path, id);
        beside(facts, &path, id, &numbers[n], asking);
    }
    if evidence.is_empty() {
        because(facts, root, answer, &written);
    }
    stated(facts, root, answer, &written, asking);
    shortfalls(facts, root, answer, &written);
    rounding::tell(facts, root, answer, &written);
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

/// `criteria.<c>.because.b<n>`: where no fact with a value decides, what does
/// not apply to the patient and decides by that.
fn because(
    facts: &mut Facts,
    root: &str,
    answer: &CriterionVerdict,
    written: &dyn Fn() -> Vec<Record>,
) {
    let deciding = answer.evidence.iter().filter(|e| e.decides && e.missing.is_none());
    for (n, id) in deciding.map(|e| &e.fact).enumerate() {
        let Some(fact) = facts.get(id.as_str()) else { continue };
        let Some(missing) = fact.missing() else { continue };
        let text = Value::Text(format!("{}: {}", fact.label, missing.reason()));
        let path = format!("{root}.because.b{}", n + 1);
        put(facts, &path, "what decides by not applying", text, written(), vec![id.clone()]);
    }
}

/// What a person stated, with the enclosures that carry it.
fn stated(
    facts: &mut Facts,
    root: &str,
    answer: &CriterionVerdict,
    written: &dyn Fn() -> Vec<Record>,
    asking: &Asking,
) {
    let statement = answer.statement.as_ref().map_or_else(
        || Value::Missing(Missing::NotApplicable("no statement answers this criterion".into())),
        |s| Value::Text(s.text.clone()),
    );
    let label = "statement that answers the criterion";
    put(facts, &format!("{root}.statement"), label, statement, written(), vec![]);
    let Some(statement) = &answer.statement else { return };
    let path = format!("request {} / statements / {}", asking.request.id.value, statement.key);
    let numbers = behind::carried(&[path], asking.enclosures);
    enclosed(facts, &format!("{root}.stated_in"), &numbers, written, &[]);
}

/// The facts a verdict rests on and those shown beside it, each once, that
/// have a value. What did not decide is no evidence; where nothing could be
/// decided, whatever is known is shown.
fn evidence_ids(facts: &Facts, answer: &CriterionVerdict) -> Vec<FactId> {
    let open = answer.verdict == Verdict::CannotTell;
    let deciding = answer.evidence.iter().filter(|e| e.decides || open).map(|e| &e.fact);
    let mut ids: Vec<FactId> = Vec::new();
    for id in deciding.chain(&answer.shown) {
        let known = facts.get(id.as_str()).is_some_and(|f| f.missing().is_none());
        if known && !ids.contains(id) {
            ids.push(id.clone());
        }
    }
    ids
}

/// A fact quoted as evidence, with the day of its film or examination if the
/// facts hold one beside it.
pub(in crate::rules) fn quote(facts: &mut Facts, root: &str, id: &FactId) {
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
    let parent = parent(id);
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
    for (name, path) in with_it(id, parent) {
        let known = facts.get(&path).filter(|f| f.missing().is_none());
        if let Some(fact) = known {
            let (label, value) = (fact.label.clone(), fact.value.clone());
            put(facts, &format!("{root}.{name}"), &label, value, vec![], vec![FactId::new(&path)]);
        }
    }
}

fn parent(id: &FactId) -> &str {
    id.as_str().rsplit_once('.').map_or("", |(parent, _)| parent)
}

/// What stands beside a value so that it can be read alone: a percentage and
/// a change with the two angles they came from, an angle with its curve and
/// levels, growth with the two heights, a share with its two amounts.
fn with_it(id: &FactId, parent: &str) -> Vec<(&'static str, String)> {
    let item = id.as_str().rsplit('.').next().unwrap_or_default();
    let of = |pairs: &[(&'static str, &str)]| -> Vec<(&'static str, String)> {
        pairs.iter().map(|(name, item)| (*name, format!("{parent}.{item}"))).collect()
    };
    let curve = id.as_str().strip_prefix("major.").map(|_| "major");
    let mut list = match item {
        "correction" => {
            of(&[("within", "cobb"), ("before", "baseline_cobb"), ("before_day", "baseline_taken")])
        }
        "cobb" => of(&[("levels", "levels")]),
        "amount" | "verdict" if curve.is_some() => of(&[
            ("from", "from_cobb"),
            ("from_day", "from_taken"),
            ("to", "to_cobb"),
            ("to_day", "to_taken"),
            ("limit", "limit"),
            ("verdict", "verdict"),
        ]),
        "rate" | "months" if curve.is_some() => of(&[
            ("from", "from_cobb"),
            ("from_day", "from_taken"),
            ("to", "to_cobb"),
            ("to_day", "to_taken"),
        ]),
        "since_delivery" => of(&[
            ("from", "at_delivery"),
            ("from_day", "at_delivery_on"),
            ("to", "height"),
            ("to_day", "height_on"),
        ]),
        "share" => {
            of(&[("of", "prescribed"), ("worn", "mean"), ("from_day", "from"), ("to_day", "to")])
        }
        _ => vec![],
    };
    if let Some(curve) = curve {
        list.push(("curve", format!("{curve}.name")));
        list.push(("side", format!("{curve}.side")));
    }
    list
}

/// Who read it, where it can be seen, and whether it is new.
fn beside(facts: &mut Facts, root: &str, id: &FactId, seen: &Behind, asking: &Asking) {
    let inputs = || vec![id.clone()];
    let film = facts.get(&format!("{}.film", parent(id))).map(|f| f.value.clone());
    if let Some(Value::Text(film)) = film {
        let readers = format!("request.films.{film}.read_by");
        let names: Vec<String> =
            facts.children(&readers).iter().map(|r| format!("{readers}.{r}")).collect();
        for (n, path) in names.iter().enumerate() {
            let value = facts.get(path).expect("a child exists").value.clone();
            let to = format!("{root}.read_by.r{}", n + 1);
            put(facts, &to, "reader of the film", value, vec![], vec![FactId::new(path)]);
        }
    }
    enclosed(facts, &format!("{root}.seen_in"), &seen.enclosures, &Vec::new, &inputs());
    if let Some(denied) = asking.request.denial.as_ref().map(|d| d.on.value) {
        let new = seen.newest.is_some_and(|day| day > denied);
        let word = Value::Word(if new { "yes" } else { "no" });
        put(
            facts,
            &format!("{root}.new"),
            "whether it is newer than the denial",
            word,
            vec![],
            inputs(),
        );
    }
}

/// The numbers of the enclosures that carry something.
fn enclosed(
    facts: &mut Facts,
    root: &str,
    numbers: &[usize],
    written: &dyn Fn() -> Vec<Record>,
    inputs: &[FactId],
) {
    for (n, number) in numbers.iter().enumerate() {
        let value = Value::Number(Reported::whole(*number as i64, Unit::One));
        let label = "number of an enclosure that carries it";
        put(facts, &format!("{root}.n{}", n + 1), label, value, written(), inputs.to_vec());
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
