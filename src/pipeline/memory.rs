//! Recognising a case none of whose inputs changed: the first of the two
//! levels at which work is spared.
//!
//! A case is skipped only if every byte that can decide its letters is the
//! same: its file, each file it named, present or absent, and everything the
//! cases share. What a case named is known from the last build, and the same
//! bytes name the same files. Its letters' files are looked at too: one that
//! is missing has to be written again.

use std::collections::BTreeMap;
use std::path::Path;

use super::build::{Built, State};
use super::craft::Inputs;
use super::index::{CaseRecord, Seen, Shared, Snapshot, Typed, Warning};
use super::io::{self, Folder};
use super::load::{LoadedCase, Survey};
use super::output::{self, Output, Outputs};
use super::shelf::{Edited, Shelf, edited};
use crate::case::address;
use crate::case::field::{CASE, CLINIC, Record};
use crate::case::node::{self, Node};
use crate::case::read::{beside, decode};
use crate::case::{Case, PaperSize};
use crate::diag::{Diagnostic, Report};
use crate::digest::Digest;

/// The inputs that the cases of this run share.
pub(super) struct Basis {
    /// All of them.
    pub shared: Shared,
    /// Their digest.
    pub id: Digest,
    /// The clinic's file as shown.
    pub clinic: String,
    /// Whether they are known to be all: else no case is skipped.
    pub complete: bool,
    /// The forms in which every letter is written.
    pub outputs: Outputs,
}

impl Basis {
    /// Of a run.
    pub fn of(
        inputs: Option<&Inputs>,
        folder: &Folder,
        survey: &Survey,
        paper: Option<PaperSize>,
        outputs: Outputs,
    ) -> Basis {
        let clinic = folder.shown(&folder.clinic_file());
        let mut shared = Shared { files: inputs.cloned().unwrap_or_default(), ..Shared::default() };
        if let Some(text) = survey.sources.get(&clinic) {
            shared.files.insert(clinic.clone(), Digest::of(text.as_bytes()));
            if let Some(root) = node::parse(text, &clinic, &mut Report::default()) {
                shared.values = typed(&root, &CLINIC);
            }
        }
        if let Some(paper) = paper {
            let word = match paper {
                PaperSize::A4 => "A4",
                PaperSize::UsLetter => "US-Letter",
            };
            shared.values.insert("--paper".to_string(), Typed(word.to_string(), 0));
        }
        if let Some(also) = output::beside_pages(&outputs) {
            shared.values.insert("--also".to_string(), Typed(also, 0));
        }
        let id = shared.id();
        Basis { shared, id, clinic, complete: inputs.is_some(), outputs }
    }

    /// The inputs of a case that was read.
    pub fn snapshot(&self, loaded: &LoadedCase, case: &Case) -> Option<Snapshot> {
        Some(Snapshot {
            own: loaded.own?,
            beside: loaded.beside.clone(),
            shared: self.id,
            values: typed(&case.tree, &CASE),
        })
    }
}

fn typed(root: &Node, table: &'static Record) -> BTreeMap<String, Typed> {
    let entries = address::entries(root, table).into_iter();
    entries.map(|(path, entry)| (path, Typed(entry.text, entry.place.line))).collect()
}

/// A case that was skipped, with what was found and made before.
pub(super) struct Recalled {
    /// Its file as shown.
    pub file: String,
    /// What is remembered of it.
    pub record: CaseRecord,
    /// The files of its letters.
    pub letters: Vec<Built>,
    /// Its warnings, and letters whose files were edited.
    pub report: Report,
    /// Texts the warnings point into.
    pub texts: Vec<(String, String)>,
}

/// The case of that file, if nothing about it changed since its letters were
/// made.
pub(super) fn recall(
    folder: &Folder,
    path: &Path,
    basis: &Basis,
    shelf: &Shelf,
) -> Option<Recalled> {
    let file = folder.shown(path);
    let record = shelf.index.cases.get(&file)?;
    let then = shelf.index.snapshots.get(&record.snapshot)?;
    if then.shared != basis.id || then.id(&file) != record.snapshot {
        return None;
    }
    let bytes = io::read(path).ok().filter(|bytes| Digest::of(bytes) == then.own)?;
    let mut texts = vec![(file.clone(), decode(&bytes, &file, &mut Report::default())?)];
    for (name, seen) in &then.beside {
        let read = io::read_beside(path, name);
        if Seen::of(&read) != *seen {
            return None;
        }
        let text = read.ok().and_then(|bytes| String::from_utf8(bytes).ok());
        texts.extend(text.map(|text| (beside(&file, name), text)));
    }
    let warnings = record.warnings.iter().map(Warning::told).collect::<Option<Vec<_>>>()?;
    let mut report = Report::default();
    warnings.into_iter().for_each(|warning| report.push(warning));
    let all = record.letters.iter();
    let all = all.flat_map(|name| basis.outputs.iter().map(move |output| (name.as_str(), *output)));
    let one = |(name, output)| standing(name, output, record, shelf, &mut report);
    let letters = all.map(one).collect::<Option<Vec<_>>>()?;
    Some(Recalled { file, record: record.clone(), letters, report, texts })
}

/// A letter of a skipped case, in one of its forms; nothing if it has to be
/// made.
fn standing(
    name: &str,
    output: Output,
    record: &CaseRecord,
    shelf: &Shelf,
    report: &mut Report,
) -> Option<Built> {
    let entry = shelf.index.entry(name, output)?;
    let stands = shelf.stands(&entry.file).ok().flatten()?;
    let state = match stands == entry.digest {
        _ if entry.made_from != Some(record.snapshot) => return None,
        true => State::Unchanged,
        false if shelf.edited == Edited::Keep => {
            report.push(edited(&entry.file, true, None));
            State::Kept
        }
        false => return None,
    };
    Some(Built::plain(name, output, &entry.file, state))
}

/// What to remember of a case all of whose letters were made.
pub(super) fn record(
    case: &Case,
    snapshot: Digest,
    letters: Vec<String>,
    found: &[&Diagnostic],
) -> CaseRecord {
    let warnings = found.iter().map(|found| Warning::of(found)).collect();
    CaseRecord { id: case.id.value.clone(), snapshot, letters, warnings }
}
