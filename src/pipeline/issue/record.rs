//! What is kept beside the pages of an issued letter.
//!
//! The record says again, for programs, what the letter printed: its words,
//! the printed values with their facts, every fact they rest on, the case
//! values those came from, and the digests of all that made the pages. It is
//! frozen like the pages. Names stand here and on the pages only, never in an
//! event.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::case::field::CASE;
use crate::case::read::beside;
use crate::case::{Case, LetterEntry, address};
use crate::diag::Sources;
use crate::digest::Digest;
use crate::facts::{Fact, FactId, Facts, Value};
use crate::letter::block::{Block, Inline};
use crate::letter::frame::letter_date;
use crate::pipeline::letter::Written;
use crate::pipeline::record::Printed;
use crate::register::InstanceId;
use crate::render::{digest_bytes, engine_bytes, sentences, text};

/// The form of the records written by this program.
pub const FORM: u32 = 1;

/// The record of one issued version of a letter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Form of this record; a later program may write another one.
    pub form: u32,
    /// Which version of which letter.
    pub instance: InstanceId,
    /// Kind of letter.
    pub kind: String,
    /// The day whose knowledge it states, as `2026-06-16`.
    pub as_of: String,
    /// The date on the letter.
    pub dated: String,
    /// Person whose name stands under it.
    pub signed_by: String,
    /// Digest of the register's last event as printed on it.
    pub head: Option<String>,
    /// Names of the contacts who got it, by id.
    pub people: BTreeMap<String, String>,
    /// Its words as plain text.
    pub text: String,
    /// Its words as sentences.
    pub sentences: Vec<String>,
    /// Printed values in order: fact and text.
    pub printed: Vec<(String, String)>,
    /// Every fact printed or asked about, and every fact those rest on.
    pub facts: BTreeMap<String, Kept>,
    /// What those facts came from.
    pub rests_on: Printed,
    /// Digest of frame and blocks.
    pub blocks: Digest,
    /// Digest of layout and engine.
    pub engine: Digest,
    /// Digest of the pages.
    pub pdf: Digest,
    /// The box before its words, if it has one.
    pub boxed: Option<Block>,
}

/// A fact as it was.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kept {
    /// What it is, in words.
    pub label: String,
    /// Its value in plain words.
    pub value: String,
    /// Sort of value: `number`, `word`, `text`, …
    pub sort: String,
    /// Paths of the records it was read from.
    pub records: Vec<String>,
}

/// What the record says beside the letter's own content.
#[derive(Debug)]
pub struct About<'a> {
    /// Which version of which letter.
    pub instance: InstanceId,
    /// Digest printed on it.
    pub head: Option<&'a str>,
    /// The box before its words.
    pub boxed: Option<&'a Block>,
}

impl Record {
    /// The record of a letter that is about to be frozen with these pages.
    pub fn of(
        about: About<'_>,
        case: &Case,
        entry: &LetterEntry,
        written: &Written,
        texts: &Sources,
        pdf: &[u8],
    ) -> Record {
        let letter = &written.letter;
        let facts = rests_on(written);
        let values = entries(case, &facts);
        let attachments = attachments(case, &values, texts);
        Record {
            form: FORM,
            instance: about.instance,
            kind: entry.kind.word().to_string(),
            as_of: entry.as_of.to_string(),
            dated: letter_date(entry).to_string(),
            signed_by: entry.signed_by.value.clone(),
            head: about.head.map(str::to_string),
            people: people(case, entry),
            text: text::plain(letter),
            sentences: sentences::sentences(letter),
            printed: printed(&letter.blocks),
            facts: facts.iter().map(|f| (f.id.to_string(), kept(f))).collect(),
            rests_on: Printed { values, attachments },
            blocks: Digest::of(&digest_bytes(letter)),
            engine: Digest::of(&engine_bytes()),
            pdf: Digest::of(pdf),
            boxed: about.boxed.cloned(),
        }
    }

    /// The one form of the record on disk.
    pub fn to_bytes(&self) -> Vec<u8> {
        // Plain data of strings and numbers: nothing in it can fail to write.
        let mut text = serde_json::to_string(self).unwrap_or_default();
        text.push('\n');
        text.into_bytes()
    }

    /// Reads a record; `Err` says why it cannot be used.
    pub fn read(bytes: &[u8]) -> Result<Record, String> {
        let record: Record = serde_json::from_slice(bytes).map_err(|e| e.to_string())?;
        match record.form {
            FORM => Ok(record),
            form => Err(format!("it has the form {form}, known is {FORM}")),
        }
    }
}

/// The fact as it is kept.
pub fn kept(fact: &Fact) -> Kept {
    let records = fact.provenance.records.iter().map(|r| r.path.clone());
    Kept {
        label: fact.label.clone(),
        value: fact.value.said(),
        sort: sort(&fact.value).to_string(),
        records: records.collect::<BTreeSet<_>>().into_iter().collect(),
    }
}

fn sort(value: &Value) -> &'static str {
    match value {
        Value::Number(_) => "number",
        Value::Date(_) => "date",
        Value::Age(_) => "age",
        Value::Level(_) | Value::Levels(..) | Value::Apex(_) => "level",
        Value::Side(_) => "side",
        Value::Word(_) => "word",
        Value::Text(_) => "text",
        Value::Missing(_) => "missing",
    }
}

/// Names of those who get the letter.
fn people(case: &Case, entry: &LetterEntry) -> BTreeMap<String, String> {
    let ids = std::iter::once(&entry.to).chain(&entry.copies);
    ids.filter_map(|id| case.contacts.iter().find(|c| c.id.value == id.value))
        .map(|c| (c.id.value.clone(), c.name.value.clone()))
        .collect()
}

/// The printed values of blocks in reading order, with their facts.
pub fn printed(blocks: &[Block]) -> Vec<(String, String)> {
    let mut list = Vec::new();
    for block in blocks.iter().flat_map(Block::inside) {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => values(text, &mut list),
            Block::List { items, .. } => items.iter().for_each(|i| values(i, &mut list)),
            Block::Table { header, rows, .. } => {
                header.iter().chain(rows.iter().flatten()).for_each(|c| values(c, &mut list));
            }
            Block::Remark { .. }
            | Block::Slot { .. }
            | Block::Figures { .. }
            | Block::Boxed { .. } => {}
        }
    }
    list
}

fn values(words: &[Inline], list: &mut Vec<(String, String)>) {
    for inline in words {
        match inline {
            Inline::Value { fact: Some(fact), text, .. } => list.push((fact.clone(), text.clone())),
            Inline::Strong { children } | Inline::Emph { children } => values(children, list),
            Inline::Value { .. } | Inline::Text { .. } | Inline::Break => {}
        }
    }
}

/// The facts that a letter printed or asked about, and all they rest on.
/// Figures draw films, curves, treatments and growth, so all of those that have
/// a value count where a letter has a figure.
fn rests_on(written: &Written) -> Vec<&Fact> {
    const DRAWN: [&str; 5] =
        ["films.", "curves.", "treatments.", "growth.heights.", "growth.steps."];
    let facts = &written.derived.facts;
    let figures = written.letter.blocks.iter().any(|b| matches!(b, Block::Figures { .. }));
    let drawn = |f: &&Fact| {
        figures && f.missing().is_none() && DRAWN.iter().any(|d| f.id.as_str().starts_with(d))
    };
    let drawn = facts.iter().filter(drawn).map(|f| f.id.clone());
    let mut seen = BTreeSet::new();
    let first = written.printed.iter().chain(&written.read).cloned().chain(drawn);
    first.for_each(|id| follow(facts, id, &mut seen));
    facts.iter().filter(|f| seen.contains(&f.id)).collect()
}

fn follow(facts: &Facts, id: FactId, seen: &mut BTreeSet<FactId>) {
    let mut open = vec![id];
    while let Some(id) = open.pop() {
        let Some(fact) = facts.get(id.as_str()) else { continue };
        if seen.insert(id) {
            open.extend(fact.provenance.inputs.iter().cloned());
        }
    }
}

/// The values of the case file that facts were read from: those at the very
/// place, and the own values of a record that a fact names as a whole, without
/// those of records further in, which may have come later.
fn entries(case: &Case, facts: &[&Fact]) -> BTreeMap<String, String> {
    let records = || facts.iter().flat_map(|f| &f.provenance.records);
    let places: BTreeSet<(usize, usize)> =
        records().map(|r| (r.place.start, r.place.end)).collect();
    let paths: BTreeSet<&str> = records().map(|r| r.path.as_str()).collect();
    let own = |path: &str| {
        let whole = |at: usize| paths.contains(&path[..at]) && !path[at + 3..].contains(' ');
        let cuts = path.match_indices(" / ").map(|(at, _)| at);
        paths.contains(path) || cuts.filter(|at| whole(*at)).count() > 0
    };
    address::entries(&case.tree, &CASE)
        .into_iter()
        .filter(|(path, entry)| places.contains(&(entry.place.start, entry.place.end)) || own(path))
        .map(|(path, entry)| (path, entry.text))
        .collect()
}

/// Digests of the files that these values name, where they were read.
pub fn attachments(
    case: &Case,
    entries: &BTreeMap<String, String>,
    texts: &Sources,
) -> BTreeMap<String, Digest> {
    let named = |path: &str| path.ends_with("/ landmarks") || path.ends_with("/ log");
    let digest = |name: &String| {
        let text = texts.get(&beside(&case.place.file, name))?;
        Some((name.clone(), Digest::of(text.as_bytes())))
    };
    let read = entries.iter().filter(|(path, _)| named(path));
    let texts = read.filter_map(|(_, name)| digest(name));
    texts.chain(pictures(case, entries)).collect()
}

/// Digests of the films' pictures among these values.
fn pictures(case: &Case, entries: &BTreeMap<String, String>) -> Vec<(String, Digest)> {
    let named: BTreeSet<&str> = entries
        .iter()
        .filter(|(path, _)| path.ends_with("/ image"))
        .map(|(_, name)| name.trim())
        .collect();
    let images = case.films.iter().filter_map(|film| film.image.as_ref());
    let images = images.filter(|image| named.contains(image.path.as_str()));
    images.filter_map(|i| Some((i.path.value.clone(), i.picture.as_ref()?.file))).collect()
}
