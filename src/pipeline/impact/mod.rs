//! Every issued letter against what would be issued today.
//!
//! A version in force is written again as of its own day, with the same
//! version and register digest printed on it, so that only real changes show.
//! It is then compared with what was frozen: words, printed values, the facts
//! they rest on, and the pages.

mod printed;
mod worklist;

pub use worklist::worklist;

use super::issue::{Debt, Desk, Found, Record, attachments, in_force, kept, same_reader};
use super::letter::{Press, Written};

use crate::case::address::Entry;
use crate::case::{Case, Correction, LetterEntry, rename};
use crate::diag::{Located, Report, Sources};
use crate::digest::Digest;
use crate::letter::frame::Standing;
use crate::register::{Document, DocumentId, Issue, Role, State, Version};
use crate::render::sentences::{self, aligned};
use crate::render::{digest_bytes, engine_bytes};

pub use crate::render::sentences::SentenceChange;

/// How much a letter differs from what would be issued today.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Not at all.
    #[default]
    Unchanged,
    /// The same words in other bytes.
    Layout,
    /// Other words; no number and no verdict behind them differs.
    Wording,
    /// A number, a verdict, a level or a side differs.
    Numbers,
}

impl Class {
    /// The words in reports and templates.
    pub fn word(self) -> &'static str {
        match self {
            Class::Unchanged => "unchanged",
            Class::Layout => "layout only",
            Class::Wording => "wording",
            Class::Numbers => "numbers or verdicts",
        }
    }
}

/// A printed value that changed, or a verdict that the words followed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrintedChange {
    /// The fact.
    pub fact: String,
    /// What it is, in words, with what it is of.
    pub label: String,
    /// Whether it is a verdict, which letters say in words of their own.
    pub verdict: bool,
    /// As printed.
    pub old: Option<String>,
    /// As it would be printed today.
    pub new: Option<String>,
}

/// A fact that the letter rests on and that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactChange {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub label: String,
    /// Its value when the letter was issued; none if it did not exist.
    pub old: Option<String>,
    /// Its value today.
    pub new: Option<String>,
    /// Records it was or is read from.
    pub records: Vec<String>,
    /// Whether it is a word of a closed set: a verdict, a choice, a state.
    pub verdict: bool,
    /// Whether it is words alone: text as typed, or why there is no value.
    pub text: bool,
}

/// A value of the case file that the letter rests on and that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryChange {
    /// The way to it.
    pub path: String,
    /// As typed when the letter was issued.
    pub old: Option<String>,
    /// As typed today.
    pub new: Option<String>,
    /// Who corrected it and when, if the case says so.
    pub correction: Option<(String, String)>,
}

/// What differs between a version and what would be issued today.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Difference {
    /// How much.
    pub class: Class,
    /// Sentences, in the order of the letter.
    pub sentences: Vec<SentenceChange>,
    /// Printed values, in the order of the letter.
    pub printed: Vec<PrintedChange>,
    /// Facts, by id.
    pub facts: Vec<FactChange>,
    /// Values of the case file, by path.
    pub entries: Vec<EntryChange>,
}

impl Difference {
    /// Whether a verdict of a rule or of a comparison differs.
    pub fn verdict(&self) -> bool {
        self.facts.iter().any(|f| f.verdict && !f.id.starts_with("plan"))
    }

    /// Whether the plan differs.
    pub fn plan(&self) -> bool {
        self.facts.iter().any(|f| f.id.starts_with("plan"))
    }
}

/// Somebody who holds a copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holder {
    /// Id of the contact.
    pub contact: String,
    /// Their name, where the case still knows them.
    pub name: Option<String>,
    /// Versions they got, and whether as reader or in copy.
    pub versions: Vec<(u32, Role)>,
}

/// One letter in force, compared.
#[derive(Debug)]
pub struct Touched {
    /// The letter.
    pub document: DocumentId,
    /// The version in force.
    pub version: u32,
    /// What it is now.
    pub state: State,
    /// Kind of letter.
    pub kind: String,
    /// The date on it.
    pub dated: chrono::NaiveDate,
    /// What differs, or why nobody can tell.
    pub difference: Result<Difference, Report>,
    /// Who holds a copy of any version.
    pub holders: Vec<Holder>,
    /// Who must still be told of an earlier change.
    pub owed: Vec<Debt>,
}

impl Desk<'_> {
    /// Every letter in force of these cases (of all, if none is named). The
    /// cases themselves must have been loaded.
    pub fn impact(&self, cases: &[&str]) -> Result<Vec<Touched>, Report> {
        let mut list = Vec::new();
        for (id, document) in &self.documents()? {
            if !cases.is_empty() && !cases.contains(&id.case()) {
                continue;
            }
            let Some(version) = in_force(document).filter(|v| !v.erased) else { continue };
            list.push(self.touched(id, document, version));
        }
        Ok(list)
    }

    fn touched(&self, id: &DocumentId, document: &Document, version: &Version) -> Touched {
        let compared = |found: Found<'_>| {
            // As an amendment would go out; where none can, as the case has it.
            let held = same_reader(found, &version.issue);
            let entry = held.unwrap_or_else(|_| found.entry.clone());
            let found = Found { entry: &entry, ..found };
            compare(self.press(), found, &self.record(version)?, self.texts())
        };
        let difference = self.sound(id).and_then(compared);
        let holder = |(contact, versions): (String, Vec<(u32, Role)>)| Holder {
            name: self.name_of(id, &contact),
            contact,
            versions,
        };
        Touched {
            document: id.clone(),
            version: version.issue.instance.version,
            state: version.state,
            kind: version.issue.kind.clone(),
            dated: version.issue.dated,
            difference,
            holders: document.holders().into_iter().map(holder).collect(),
            owed: self.debts(id, document),
        }
    }
}

/// The entry with the days of an issued version.
pub(super) fn as_issued(entry: &LetterEntry, issue: &Issue) -> LetterEntry {
    on_days(entry, issue.as_of, issue.dated)
}

fn on_days(entry: &LetterEntry, as_of: chrono::NaiveDate, dated: chrono::NaiveDate) -> LetterEntry {
    let mut entry = entry.clone();
    let place = entry.dated.as_ref().map_or(&entry.as_of.place, |d| &d.place).clone();
    // Where as_of gives the date, nothing is added that was not there.
    entry.dated = (dated != as_of).then(|| Located::new(dated, place));
    entry.as_of.value = as_of;
    entry
}

/// Writes a version again and compares it with its record.
pub(super) fn compare(
    press: &Press,
    found: Found<'_>,
    record: &Record,
    texts: &Sources,
) -> Result<Difference, Report> {
    let day = |text: &str| text.parse().unwrap_or(found.entry.as_of.value);
    let entry = on_days(found.entry, day(&record.as_of), day(&record.dated));
    let standing =
        Standing::Issued { version: record.instance.version, head: record.head.as_deref() };
    let mut written = press.write_as(found.case, &entry, found.clinic, standing)?;
    written.letter.blocks.splice(0..0, record.boxed.clone());
    let letter = &written.letter;
    let sentences = aligned(&record.sentences, &sentences::sentences(letter));
    if sentences.is_empty() && same_pages(press, &written, record)? {
        return Ok(Difference::default());
    }
    let facts = facts(record, &written);
    let class = class(&sentences, &facts);
    let printed = printed::changes(record, &written, &facts);
    let entries = entries(record, found.case, texts);
    Ok(Difference { class, sentences, printed, facts, entries })
}

/// Whether the pages would be the same bytes; typeset only where content or
/// engine differ, since a later program may hold the same content otherwise.
fn same_pages(press: &Press, written: &Written, record: &Record) -> Result<bool, Report> {
    let Written { letter, pictures, .. } = written;
    let same_content = Digest::of(&digest_bytes(letter)) == record.blocks;
    let same_engine = Digest::of(&engine_bytes()) == record.engine;
    Ok((same_content && same_engine) || Digest::of(&press.pdf(letter, pictures)?) == record.pdf)
}

/// How much differs. Where the words are the same, a figure can differ; a
/// fact that a later program no longer has is no ground for saying so.
fn class(sentences: &[SentenceChange], facts: &[FactChange]) -> Class {
    let same_words = sentences.is_empty();
    let counts = |f: &FactChange| !f.text && (f.new.is_some() || !same_words);
    match (same_words, facts.iter().any(counts)) {
        (_, true) => Class::Numbers,
        (true, false) => Class::Layout,
        (false, false) => Class::Wording,
    }
}

/// Facts of the record whose value is another today.
fn facts(record: &Record, written: &Written) -> Vec<FactChange> {
    let today = &written.derived.facts;
    let change = |(id, old): (&String, &super::issue::Kept)| {
        let new = today.get(id).map(kept);
        if new.as_ref().is_some_and(|new| new.value == old.value) {
            return None;
        }
        let sorts = |sort: &str| old.sort == sort || new.as_ref().is_some_and(|n| n.sort == sort);
        let words = |sort: &str| matches!(sort, "text" | "missing");
        let mut records = old.records.clone();
        records.extend(new.iter().flat_map(|n| n.records.clone()));
        records.sort();
        records.dedup();
        Some(FactChange {
            id: id.clone(),
            label: old.label.clone(),
            verdict: sorts("word"),
            // Another picture of a film is no other wording of it.
            text: words(&old.sort)
                && new.as_ref().is_none_or(|n| n.sort == old.sort)
                && !id.ends_with(".picture"),
            old: Some(old.value.clone()),
            new: new.map(|n| n.value),
            records,
        })
    };
    record.facts.iter().filter_map(change).collect()
}

/// Values and files of the case that are others today, with the corrections.
fn entries(record: &Record, case: &Case, texts: &Sources) -> Vec<EntryChange> {
    let value = |(path, old): (&String, &String)| {
        let today = rename::find(case, path).ok();
        if today.as_ref().is_some_and(|entry| entry.says(old)) {
            return None;
        }
        let here = |e: &Entry| today.as_ref().is_some_and(|now| now.place == e.place);
        let same = |c: &&Correction| {
            c.at.value == *path || rename::find(case, &c.at).is_ok_and(|e| here(&e))
        };
        let correction = case.corrections.iter().rev().find(same);
        let new = today.as_ref().map(|entry| entry.text.clone());
        Some(EntryChange {
            path: path.clone(),
            old: Some(old.clone()),
            new,
            correction: correction.map(|c| (c.by.value.clone(), c.on.to_string())),
        })
    };
    let files = attachments(case, &record.rests_on.values, texts);
    let file = |(name, old): (&String, &Digest)| {
        let new = files.get(name);
        (new != Some(old)).then(|| EntryChange {
            path: name.clone(),
            old: Some(old.short()),
            new: new.map(Digest::short),
            correction: None,
        })
    };
    let values = record.rests_on.values.iter().filter_map(value);
    values.chain(record.rests_on.attachments.iter().filter_map(file)).collect()
}
