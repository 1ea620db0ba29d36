//! Red flags without answer, findings in free text, findings nobody asks for.

use std::collections::BTreeMap;

use crate::case::suggest::{did_you_mean, quote};
use crate::case::{Case, Exam};
use crate::diag::{Code, Diagnostic, Place, Report};
use crate::facts::{FactId, Facts, Value};

use super::Edition;
use super::as_facts::answer;
use super::evaluate::{Counts, FlagVerdict};

/// The warnings of red flags, by the id of the flag: one flag is one warning,
/// whatever the number of days it is found on.
pub type Warned = BTreeMap<String, Diagnostic>;

/// Every red flag that counts and is not answered. The answers of `whole`
/// count, so that a letter of an earlier day is content with an answer that
/// came after it.
pub fn open<'e>(edition: &'e Edition, facts: &Facts, whole: &Case) -> Vec<FlagVerdict<'e>> {
    let mut judged = super::evaluate(edition, facts);
    judged.retain(|f| f.counts == Counts::Yes && answer(facts, f, whole).is_none());
    judged
}

/// Warns of every red flag that is [`open`], at the record it rests on.
pub fn check(edition: &Edition, facts: &Facts, whole: &Case, warned: &mut Warned) {
    for flag in &open(edition, facts, whole) {
        let (id, kind) = (&flag.flag.id.value, flag.flag.letter.word());
        let place = place(facts, flag).unwrap_or_else(|| whole.place.clone());
        let message = format!("red flag `{id}`: {}", flag.flag.says.value);
        let remedy = format!(
            "answer it: `answers: [{{flag: {id}, on: DATE, by: ID, what: imaging asked}}]`; a letter of kind {kind} is proposed"
        );
        let fault = Diagnostic::new(Code::RedFlag, Some(place), message).remedy(remedy);
        warned.insert(id.clone(), fault);
    }
}

/// Where the evidence stands: that of a number first, else of the last test.
fn place(facts: &Facts, flag: &FlagVerdict) -> Option<Place> {
    let met = || flag.outcome.evidence.iter().filter(|e| e.decides && !e.negated);
    let number = met().rfind(|e| matches!(e.value, Some(Value::Number(_))));
    number.or_else(|| met().next_back()).and_then(|e| place_of(facts, &e.fact, 0))
}

/// The record of the case that a fact rests on.
fn place_of(facts: &Facts, id: &FactId, depth: u8) -> Option<Place> {
    let fact = facts.get(id.as_str())?;
    if let Some(record) = fact.provenance.records.first() {
        return Some(record.place.clone());
    }
    let inputs = fact.provenance.inputs.iter().filter(|_| depth < 8);
    inputs.filter_map(|input| place_of(facts, input, depth + 1)).next()
}

/// Answers to flags that no rule has.
pub fn unknown(edition: &Edition, case: &Case, report: &mut Report) {
    let ids: Vec<&str> = edition.flags.iter().map(|f| f.id.as_str()).collect();
    let named = case.answers.iter().flat_map(|a| &a.flags);
    for flag in named.filter(|flag| !ids.contains(&flag.as_str())) {
        let message = format!("no red flag has the id {}", quote(flag));
        let fault = Diagnostic::new(Code::AnswerToNoFlag, Some(flag.place.clone()), message);
        report.push(match did_you_mean(flag, &ids) {
            Some(near) => fault.remedy(format!("did you mean `{near}`?")),
            None => fault,
        });
    }
}

/// Findings recorded as present that no rule asks for.
pub fn unasked(edition: &Edition, case: &Case, report: &mut Report) {
    let asked: Vec<&str> =
        edition.flags.iter().flat_map(|f| f.when.leaves()).map(|l| l.fact.as_str()).collect();
    for (name, found) in case.exams.iter().flat_map(|e| &e.flags) {
        let id = format!("exam.flags.{name}.value");
        if found.word() == "present" && !asked.contains(&id.as_str()) {
            let message = format!("no red flag asks for the finding {}", quote(name));
            report.push(Diagnostic::new(Code::FindingNotAsked, Some(found.place.clone()), message));
        }
    }
}

/// Free texts of the neurological examination with the finding each may hold.
const TEXTS: &[(&str, &str)] = &[
    ("abdominal_reflexes", "abdominal_reflex_abnormal"),
    ("bladder_bowel", "bladder_bowel_change"),
    ("clonus", "neurological_signs"),
    ("feet", "cavus_feet"),
    ("gait", "gait_change"),
    ("plantar_response", "neurological_signs"),
    ("power", "progressive_weakness"),
    ("reflexes", "neurological_signs"),
    ("sensation", "neurological_signs"),
];

/// Words that may tell of something wrong.
const WORRYING: &[&str] = &[
    "absent",
    "weak",
    "reduced",
    "brisk",
    "upgoing",
    "numb",
    "incontinen",
    "retention",
    "asymmetr",
    "unequal",
    "less on",
    "clawed",
    "high arch",
    "unsteady",
    "limp",
    "sustained",
    "weaker",
];

/// Warns, quoting it, of a free text of the latest examination that may tell
/// of a finding which is not recorded as one. Nothing is concluded from it.
pub fn quoted(case: &Case, report: &mut Report) {
    if let Some(exam) = case.exams.iter().rfind(|e| !e.neurology.is_empty()) {
        for (text, flag) in TEXTS {
            let Some(told) = exam.neurology.get(*text) else { continue };
            if recorded(case, exam, flag) || !worrying(&told.value) {
                continue;
            }
            let message = format!("{} says {}", text.replace('_', " "), quote(&told.value));
            let fault = Diagnostic::new(Code::FindingInText, Some(told.place.clone()), message);
            let remedy = format!(
                "free text decides nothing: write `flags: {{{flag}: present}}`, or `absent`, in this examination"
            );
            report.push(fault.remedy(remedy));
        }
    }
}

fn recorded(case: &Case, exam: &Exam, flag: &str) -> bool {
    case.exams.iter().any(|e| e.on.value >= exam.on.value && e.flags.contains_key(flag))
}

fn worrying(text: &str) -> bool {
    let text = text.to_lowercase();
    let denied = |at: usize| {
        let before = text[..at].trim_end();
        ["no", "not", "nor", "without", "never"].iter().any(|no| {
            before.ends_with(no)
                && !before[..before.len() - no.len()].ends_with(char::is_alphabetic)
        })
    };
    WORRYING.iter().any(|word| text.match_indices(word).any(|(at, _)| !denied(at)))
}
