//! A condition against the facts of one case: the verdict and its evidence.

use std::cmp::Ordering;

use crate::diag::Place;
use crate::facts::{Fact, FactId, Facts, Missing, Value};
use crate::quantity::{Age, Reported, Unit};
use crate::spine::Side;

use super::condition::{BoundSource, Condition, Leaf, Op, Test};
use super::verdict::Verdict;

/// Words of a fact that say nothing is known: a test that does not ask for
/// the word itself cannot be answered by it.
const UNKNOWN_WORDS: &[&str] =
    &["not recorded", "not comparable", "cannot tell", "not sure", "unknown"];

/// The word by which a test asks for what does not apply.
const NOT_APPLICABLE: &str = "not applicable";

/// Something that would have to be known, and who can supply it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct MissingItem {
    /// What is missing and why, in words.
    pub what: String,
    /// Who can supply it, in words; absent where nobody can (it does not
    /// apply, or may not be compared) or nobody is named.
    pub who: Option<String>,
}

/// What one test of one fact came to.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafEvidence {
    /// The fact that was tested.
    pub fact: FactId,
    /// What the fact is, in words; its id if the case has no such fact.
    pub label: String,
    /// What the fact says, if the case has it and it has a value.
    pub value: Option<Value>,
    /// The comparison and its bound.
    pub test: Test,
    /// Where the bound comes from.
    pub source: BoundSource,
    /// Whether the test, as written, holds.
    pub verdict: Verdict,
    /// Whether it stands under an odd number of `not`.
    pub negated: bool,
    /// Whether the verdict of the whole condition rests on this test.
    pub decides: bool,
    /// Why it cannot be told.
    pub missing: Option<MissingItem>,
    /// Value minus bound as reported, in the fact's unit (months for ages).
    pub margin: Option<Reported>,
    /// Whether the value before rounding would give the other verdict.
    pub flips: bool,
    /// Where the test is written.
    pub place: Place,
}

/// A fact whose value is not of the kind its test was written for: a fault of
/// the rule or of the program, never an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mismatch {
    /// The fact.
    pub fact: FactId,
    /// What the test needs, in words.
    pub wanted: String,
    /// What the fact is, in words.
    pub found: String,
    /// Where the test is written.
    pub place: Place,
}

/// The verdict of a condition with everything it rests on.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct Outcome {
    /// The answer; `CannotTell` if there is any mismatch.
    pub verdict: Verdict,
    /// Every test in the order it is written, those that did not decide too.
    pub evidence: Vec<LeafEvidence>,
    /// Tests that could not be made because the fact is of another kind.
    pub mismatches: Vec<Mismatch>,
}

impl Outcome {
    /// What would have to be known for an answer; empty if there is one.
    pub fn missing(&self) -> Vec<MissingItem> {
        let mut list: Vec<MissingItem> = Vec::new();
        for item in self.evidence.iter().filter(|e| e.decides).filter_map(|e| e.missing.as_ref()) {
            if !list.contains(item) {
                list.push(item.clone());
            }
        }
        list
    }
}

impl Condition {
    /// Evaluates the condition on reported values only.
    pub fn evaluate(&self, facts: &Facts) -> Outcome {
        self.evaluate_as(facts, false)
    }

    /// The same, where a course that nothing was compared with yet answers
    /// nothing: who has only one film has not been shown to be stable.
    pub fn evaluate_courses_open(&self, facts: &Facts) -> Outcome {
        self.evaluate_as(facts, true)
    }

    fn evaluate_as(&self, facts: &Facts, courses_open: bool) -> Outcome {
        let asked = Asked { facts, courses_open };
        let mut mismatches = Vec::new();
        let (mut verdict, evidence) = node(self, asked, false, &mut mismatches);
        if !mismatches.is_empty() {
            verdict = Verdict::CannotTell;
        }
        Outcome { verdict, evidence, mismatches }
    }
}

type Answer = (Verdict, Vec<LeafEvidence>);

/// What is asked, and how.
#[derive(Clone, Copy)]
struct Asked<'a> {
    facts: &'a Facts,
    /// Whether a course without an earlier record answers nothing.
    courses_open: bool,
}

/// Whether a fact is the verdict of a course.
pub(super) fn is_course(id: &FactId) -> bool {
    let verdicts = [".since_previous.verdict", ".since_first.verdict", "overall.verdict"];
    verdicts.iter().any(|verdict| id.as_str().ends_with(verdict))
}

fn node(rule: &Condition, asked: Asked, negated: bool, faults: &mut Vec<Mismatch>) -> Answer {
    let mut each = |parts: &[Condition]| -> Vec<Answer> {
        parts.iter().map(|part| node(part, asked, negated, faults)).collect()
    };
    match rule {
        Condition::All(parts) => {
            let answers = each(parts);
            let verdict = Verdict::all(answers.iter().map(|a| a.0));
            join(verdict, answers)
        }
        Condition::Any(parts) => {
            let answers = each(parts);
            let verdict = Verdict::any(answers.iter().map(|a| a.0));
            join(verdict, answers)
        }
        Condition::Not(part) => {
            let (verdict, evidence) = node(part, asked, !negated, faults);
            (verdict.negated(), evidence)
        }
        Condition::Leaf(leaf) => {
            let evidence = test(leaf, asked, negated, faults);
            (evidence.verdict, vec![evidence])
        }
    }
}

/// The verdict of `all` or `any` rests exactly on the parts that share it.
fn join(verdict: Verdict, answers: Vec<Answer>) -> Answer {
    let mut list = Vec::new();
    for (part, mut evidence) in answers {
        for leaf in &mut evidence {
            leaf.decides &= part == verdict;
        }
        list.extend(evidence);
    }
    (verdict, list)
}

/// What a comparison found.
enum Finding {
    Answer { holds: bool, margin: Option<Reported>, flips: bool },
    Unknown(MissingItem),
    Mismatch(String),
}

fn test(leaf: &Leaf, asked: Asked, negated: bool, faults: &mut Vec<Mismatch>) -> LeafEvidence {
    let fact = asked.facts.get(leaf.fact.as_str());
    let mut evidence = LeafEvidence {
        fact: leaf.fact.clone(),
        label: fact.map_or_else(|| leaf.fact.to_string(), |f| f.label.clone()),
        value: fact.filter(|f| f.missing().is_none()).map(|f| f.value.clone()),
        test: leaf.test.clone(),
        source: leaf.source.clone(),
        verdict: Verdict::CannotTell,
        negated,
        decides: true,
        missing: None,
        margin: None,
        flips: false,
        place: leaf.place.clone(),
    };
    match find(leaf, fact, asked.courses_open) {
        Finding::Answer { holds, margin, flips } => {
            evidence.verdict = Verdict::of(holds);
            evidence.margin = margin;
            evidence.flips = flips;
        }
        Finding::Unknown(item) => evidence.missing = Some(item),
        Finding::Mismatch(found) => {
            let wanted = leaf.test.wants();
            let what = format!("{} is {found}, not {wanted}", leaf.fact);
            evidence.missing = Some(MissingItem { what, who: None });
            let (fact, place) = (leaf.fact.clone(), leaf.place.clone());
            faults.push(Mismatch { fact, wanted, found, place });
        }
    }
    evidence
}

fn find(leaf: &Leaf, fact: Option<&Fact>, courses_open: bool) -> Finding {
    let Some(fact) = fact else {
        let what = format!("{}: this case has no such fact", leaf.fact);
        return Finding::Unknown(MissingItem { what, who: None });
    };
    match (&leaf.test, &fact.value) {
        (Test::Words(list), Value::Missing(Missing::NotApplicable(why)))
            if courses_open && is_course(&fact.id) && !list.iter().any(|w| w == NOT_APPLICABLE) =>
        {
            let one = if fact.id.as_str().starts_with("scores.") { "score" } else { "film" };
            let what = format!("{}: {why}; a second comparable {one} is needed", fact.label);
            Finding::Unknown(MissingItem { what, who: None })
        }
        (Test::Words(list), Value::Missing(missing)) => no_word(list, fact, missing),
        (_, Value::Missing(missing)) => Finding::Unknown(lacking(fact, missing)),
        (Test::Number(op, bound), Value::Number(value)) if value.unit() == bound.unit() => {
            number(*op, *value, *bound, fact.unrounded)
        }
        (Test::Numbers(list), Value::Number(value))
            if list.iter().all(|bound| bound.unit() == value.unit()) =>
        {
            let holds = list.iter().any(|bound| value.compare(*bound) == Ordering::Equal);
            Finding::Answer { holds, margin: None, flips: false }
        }
        (Test::Age(op, bound), Value::Age(value)) => age(*op, *value, *bound),
        (Test::Words(list), Value::Word(value)) => word(list, value, fact),
        (Test::Words(list), Value::Side(side)) => {
            let holds = list.iter().any(|w| w == side_word(*side));
            Finding::Answer { holds, margin: None, flips: false }
        }
        (_, value) => Finding::Mismatch(kind_words(value)),
    }
}

fn number(op: Op, value: Reported, bound: Reported, unrounded: Option<f64>) -> Finding {
    let holds = op.holds(value.compare(bound));
    // A number that is not finite is never stored; `partial_cmp` keeps the
    // comparison total all the same.
    let exact = unrounded.and_then(|u| u.partial_cmp(&bound.value())).map(|order| op.holds(order));
    let flips = exact.is_some_and(|exact| exact != holds);
    Finding::Answer { holds, margin: Some(value.minus(bound)), flips }
}

fn age(op: Op, value: Age, bound: Age) -> Finding {
    let holds = op.holds(value.in_months().cmp(&bound.in_months()));
    let months = i64::from(value.in_months()) - i64::from(bound.in_months());
    Finding::Answer { holds, margin: Some(Reported::whole(months, Unit::Month)), flips: false }
}

fn word(list: &[String], value: &str, fact: &Fact) -> Finding {
    let holds = list.iter().any(|w| w == value);
    if !holds && UNKNOWN_WORDS.contains(&value) {
        let what = format!("{}: {value}", fact.label);
        return Finding::Unknown(MissingItem { what, who: None });
    }
    Finding::Answer { holds, margin: None, flips: false }
}

/// Words may ask for the kind of what is missing by its name. What does not
/// apply is none of the words asked for; a number that does not apply is
/// neither above nor below anything, and stays unknown.
fn no_word(list: &[String], fact: &Fact, missing: &Missing) -> Finding {
    let holds = list.iter().any(|w| w == missing.kind());
    if holds || matches!(missing, Missing::NotApplicable(_)) {
        return Finding::Answer { holds, margin: None, flips: false };
    }
    Finding::Unknown(lacking(fact, missing))
}

fn lacking(fact: &Fact, missing: &Missing) -> MissingItem {
    match missing {
        Missing::NotRecorded { item, who } => {
            MissingItem { what: format!("{item}: not recorded"), who: Some(who.clone()) }
        }
        other => MissingItem { what: format!("{}: {}", fact.label, other.reason()), who: None },
    }
}

/// The word of a side in rule files.
pub(super) fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn kind_words(value: &Value) -> String {
    match value {
        Value::Number(n) => super::Kind::Number(n.unit()).words(),
        Value::Date(_) => "a date".into(),
        Value::Age(_) => "an age".into(),
        Value::Level(_) | Value::Levels(..) | Value::Apex(_) => "a level".into(),
        Value::Side(_) => "a side".into(),
        Value::Word(_) => "a word".into(),
        Value::Text(_) => "a text".into(),
        Value::Missing(_) => "missing".into(),
    }
}
