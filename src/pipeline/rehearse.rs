//! What would change if a value of a case were different.
//!
//! The value is put into the text in memory, the case is read and checked
//! again, and facts and letters of both are held beside each other: for every
//! letter on its own day, and for the last day of the record. Nothing is
//! written. What the value does to the readings of other people, or to letters
//! already issued, is not this room's business.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;

use super::io::Folder;
use super::letter::Press;
use super::load::{Instead, LoadedCase, instead, last_day};
use crate::case::put::put;
use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::{Diagnostic, Report, Sources};
use crate::facts::{Fact, Facts, Value};
use crate::quantity::Reported;
use crate::render::sentences::{aligned, sentences};
use crate::spine::Side;

pub use crate::render::sentences::SentenceChange;

/// A value to try: `film f1 / reading r1 / curve thoracic / cobb` and `27 deg`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trial {
    /// The entry, from the record down.
    pub at: String,
    /// What it would say.
    pub now: String,
}

impl Trial {
    /// Reads `RECORD=VALUE`; a record never has an equals sign in its path.
    pub fn parse(text: &str) -> Option<Trial> {
        let (at, now) = text.split_once('=')?;
        let trial = Trial { at: at.trim().to_string(), now: now.trim().to_string() };
        (!trial.at.is_empty()).then_some(trial)
    }
}

/// A trial with what the entry says now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tried {
    /// The trial.
    pub trial: Trial,
    /// The value as typed; `None` if it is not recorded.
    pub was: Option<String>,
}

/// A fact that would say something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactChange {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub label: String,
    /// What it says; `None` if it is not derived.
    pub old: Option<String>,
    /// What it would say; `None` if it would not be derived.
    pub new: Option<String>,
    /// Whether it is a verdict of rules, or a code, rather than a value.
    pub verdict: bool,
    /// Where: letters by their id, or the last day of the record.
    pub on: Vec<String>,
}

/// What would happen to one letter.
#[derive(Debug, Clone)]
pub enum LetterChange {
    /// Sentences that went and came, old and new beside each other.
    Words(Vec<SentenceChange>),
    /// It could no longer be written, and why.
    Lost(Report),
    /// It cannot be written today, and then could.
    Gained,
}

/// Everything that would change.
#[derive(Debug)]
pub struct Rehearsal {
    /// The case.
    pub case: String,
    /// What was tried.
    pub tried: Vec<Tried>,
    /// Facts, verdicts first, in the order they are derived.
    pub facts: Vec<FactChange>,
    /// Letters that would change, by id.
    pub letters: Vec<(String, LetterChange)>,
    /// Letters that would stay as they are.
    pub same: Vec<String>,
    /// Faults that the values would cause.
    pub caused: Report,
    /// Faults that they would mend.
    pub mended: Report,
    /// Texts, that of the case as it would be, for snippets.
    pub sources: Sources,
}

impl Rehearsal {
    /// Whether the case could still be used.
    pub fn possible(&self) -> bool {
        !self.caused.has_errors()
    }
}

/// Tries values on a case, or says why one of them cannot be put in.
pub fn rehearse(
    folder: &Folder,
    press: &Press,
    clinic: &Clinic,
    path: &Path,
    trials: &[Trial],
) -> Result<Rehearsal, String> {
    let mut tried = Vec::new();
    let change = |text: &str| {
        trials.iter().try_fold(text.to_string(), |text, trial| {
            let put = put(&text, &trial.at, &trial.now)?;
            tried.push(Tried { trial: trial.clone(), was: put.was.map(|entry| entry.text) });
            Ok(put.text)
        })
    };
    let Instead { before, after, sources } = instead(folder, path, Some(clinic), change)?;
    let Some(old) = before.sound() else {
        return Err("the case has faults of its own: mend them first".into());
    };
    let mut rehearsal = Rehearsal {
        case: old.id.value.clone(),
        tried,
        facts: Vec::new(),
        letters: Vec::new(),
        same: Vec::new(),
        caused: without(&after, &before),
        mended: without(&before, &after),
        sources,
    };
    if let Some(new) = after.sound() {
        let both = Both { press, clinic, old, new };
        rehearsal.facts = both.facts();
        both.letters(&mut rehearsal);
    }
    Ok(rehearsal)
}

/// Faults of one reading that the other does not have, wherever they stand.
fn without(one: &LoadedCase, other: &LoadedCase) -> Report {
    let same = |a: &Diagnostic, b: &Diagnostic| a.code == b.code && a.message == b.message;
    let mut report = one.report.clone();
    report.retain(|fault| !other.report.iter().any(|known| same(fault, known)));
    report
}

/// The case as it is and as it would be.
struct Both<'a> {
    press: &'a Press,
    clinic: &'a Clinic,
    old: &'a Case,
    new: &'a Case,
}

impl Both<'_> {
    /// Letters of both, each with its entry in the other.
    fn entries(&self) -> impl Iterator<Item = (&LetterEntry, &LetterEntry)> {
        let other = |id: &str| self.new.letters.iter().find(|l| l.id.value == id);
        self.old.letters.iter().filter_map(move |old| Some((old, other(&old.id.value)?)))
    }

    fn facts(&self) -> Vec<FactChange> {
        let mut found = Found::default();
        for (old, new) in self.entries() {
            let of = |case, entry: &LetterEntry| {
                self.press.derive(case, self.clinic, entry.as_of.value, Some(entry)).facts
            };
            found.compare(&of(self.old, old), &of(self.new, new), &old.id.value);
        }
        let day = last_day(self.old).max(last_day(self.new));
        let of = |case, day: NaiveDate| self.press.derive(case, self.clinic, day, None).facts;
        found.compare(&of(self.old, day), &of(self.new, day), &day.to_string());
        found.list.sort_by_key(rank);
        found.list
    }

    fn letters(&self, rehearsal: &mut Rehearsal) {
        for (old, new) in self.entries() {
            let id = old.id.value.clone();
            let before = self.press.write(self.old, old, self.clinic);
            let after = self.press.write(self.new, new, self.clinic);
            let change = match (before, after) {
                (Ok(before), Ok(after)) => {
                    let words = aligned(&sentences(&before.letter), &sentences(&after.letter));
                    (!words.is_empty()).then_some(LetterChange::Words(words))
                }
                (Ok(_), Err(faults)) => Some(LetterChange::Lost(faults)),
                (Err(_), Ok(_)) => Some(LetterChange::Gained),
                (Err(_), Err(_)) => None,
            };
            match change {
                Some(change) => rehearsal.letters.push((id, change)),
                None => rehearsal.same.push(id),
            }
        }
    }
}

/// Changes found so far; one that is the same on several days is told once.
#[derive(Default)]
struct Found {
    list: Vec<FactChange>,
    at: BTreeMap<(String, Option<String>, Option<String>), usize>,
}

impl Found {
    fn compare(&mut self, old: &Facts, new: &Facts, on: &str) {
        let gone = old.iter().filter(|fact| new.get(fact.id.as_str()).is_none());
        for fact in new.iter().chain(gone) {
            let id = fact.id.as_str();
            let (was, is) = (old.get(id).map(said), new.get(id).map(said));
            if was == is {
                continue;
            }
            let at =
                *self.at.entry((id.to_string(), was.clone(), is.clone())).or_insert_with(|| {
                    let facts = if new.get(id).is_some() { new } else { old };
                    let label = label(fact, facts);
                    let (id, verdict) = (id.to_string(), verdict(id));
                    self.list.push(FactChange {
                        id,
                        label,
                        old: was,
                        new: is,
                        verdict,
                        on: vec![],
                    });
                    self.list.len() - 1
                });
            self.list[at].on.push(on.to_string());
        }
    }
}

/// Facts that are the word of a rule, whatever their last part is called.
const VERDICTS: [&str; 8] = [
    "verdicts.",
    "protocol.range.",
    "protocol.within",
    "protocol.follow_up.months",
    "red_flags.any",
    "red_flags.unanswered",
    "code.icd",
    "code.proposed",
];

fn verdict(id: &str) -> bool {
    VERDICTS.iter().any(|start| id.starts_with(start))
        || matches!(id.rsplit('.').next(), Some("verdict" | "outcome" | "below_definition"))
}

/// Criteria of payers stand before everything else.
fn rank(change: &FactChange) -> u8 {
    match (change.id.starts_with("criteria."), change.verdict) {
        (true, true) => 0,
        (_, true) => 1,
        _ => 2,
    }
}

/// What a fact is; a criterion's verdict with the criterion as worded.
fn label(fact: &Fact, facts: &Facts) -> String {
    let text = |id: String| match facts.get(&id).map(|f| &f.value) {
        Some(Value::Text(text)) => Some(text.clone()),
        _ => None,
    };
    let worded = fact.id.as_str().strip_suffix(".verdict").and_then(|root| {
        Some(format!("{} \"{}\"", text(format!("{root}.id"))?, text(format!("{root}.worded"))?))
    });
    worded.map_or_else(|| fact.label.clone(), |worded| format!("criterion {worded}"))
}

/// A value in plain words.
fn said(fact: &Fact) -> String {
    match &fact.value {
        Value::Number(n) => number(*n),
        Value::Date(date) => date.to_string(),
        Value::Age(age) => format!("{} years {} months", age.years, age.months),
        Value::Level(level) => level.to_string(),
        Value::Levels(upper, lower) => format!("{upper} to {lower}"),
        Value::Apex(apex) => apex.to_string(),
        Value::Side(Side::Left) => "left".to_string(),
        Value::Side(Side::Right) => "right".to_string(),
        Value::Word(word) => (*word).to_string(),
        Value::Text(text) => text.clone(),
        Value::Missing(missing) => missing.reason(),
    }
}

fn number(n: Reported) -> String {
    let unit = n.unit().spellings()[0];
    let gap = if unit.is_empty() { "" } else { " " };
    format!("{}{gap}{unit}", n.digits())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trial_is_a_record_and_a_value() {
        let trial = Trial::parse("film f1 / why = a=b").unwrap();
        assert_eq!((trial.at.as_str(), trial.now.as_str()), ("film f1 / why", "a=b"));
        assert_eq!(Trial::parse("film f1"), None);
        assert_eq!(Trial::parse(" = 3"), None);
    }
}
