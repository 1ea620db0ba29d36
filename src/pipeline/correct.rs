//! One correction: prepared and shown first, then written in one step.
//!
//! The corrected text is read as any case is before it is written, and must
//! not bring an error that the old one did not have. Writing is refused where
//! the file no longer holds what was read.

use std::path::{Path, PathBuf};

use super::io::{self, Folder, Lock};
use super::load::{LoadedCase, load_text};
use crate::case::Clinic;
use crate::case::address::find;
use crate::case::edit::{self, Correction, Edited};
use crate::case::field::CASE;
use crate::case::near::{Near, near};
use crate::diag::{Diagnostic, Report, Sources};

/// A correction that can be shown and written.
#[derive(Debug)]
pub struct Prepared {
    path: PathBuf,
    old: String,
    /// The new text and where it differs.
    pub edited: Edited,
    /// Faults that the new text has and the old one did not.
    pub faults: Report,
    /// Texts for the snippets of these faults.
    pub sources: Sources,
}

/// Why a correction could not be prepared.
#[derive(Debug)]
pub enum Refused {
    /// The file cannot be read as a case.
    Unreadable(String),
    /// The address names no entry; what may have been meant.
    NoEntry(String, Near),
    /// The value cannot be changed so.
    Value(String),
}

/// Reads the case and makes the correction in its text; writes nothing.
pub fn prepare(
    folder: &Folder,
    path: &Path,
    clinic: Option<&Clinic>,
    correction: &Correction,
) -> Result<Prepared, Refused> {
    let old = text(path).map_err(Refused::Unreadable)?;
    let root = edit::parse(&old).map_err(Refused::Unreadable)?;
    if let Err(why) = find(&root, &CASE, correction.at) {
        return Err(Refused::NoEntry(why, near(&root, correction.at)));
    }
    let edited = edit::correct(&old, correction).map_err(Refused::Value)?;
    let (before, _) = load_text(folder, path, &old, clinic);
    let (after, texts) = load_text(folder, path, &edited.text, clinic);
    let mut sources = Sources::default();
    texts.iter().for_each(|(name, text)| sources.insert(name, text));
    let faults = new_faults(&before, after);
    Ok(Prepared { path: path.to_path_buf(), old, edited, faults, sources })
}

/// The text of a case file as it is, mark included.
pub fn text(path: &Path) -> Result<String, String> {
    let bytes = io::read(path).map_err(|error| io::reason(&error))?;
    String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_string())
}

/// Faults of the new text that the old one did not have, wherever they stand.
fn new_faults(before: &LoadedCase, after: LoadedCase) -> Report {
    let same = |a: &Diagnostic, b: &Diagnostic| a.code == b.code && a.message == b.message;
    let mut old: Vec<&Diagnostic> = before.report.iter().collect();
    let mut faults = after.report;
    faults.retain(|fault| match old.iter().position(|other| same(other, fault)) {
        Some(at) => {
            old.swap_remove(at);
            false
        }
        None => true,
    });
    faults
}

/// Takes the folder in which a case file lies for writing, in turn with other
/// runs; `waiting` is called once if another one holds it.
pub fn hold(path: &Path, waiting: &dyn Fn()) -> std::io::Result<Lock> {
    io::lock_in_turn(&io::real_folder(path)?, waiting)
}

impl Prepared {
    /// The lines that change, before and after.
    pub fn difference(&self) -> String {
        edit::difference(&self.old, &self.edited.splices)
    }

    /// Writes the corrected text under the folder's lock: whole, or not at
    /// all. Refused where the text brings errors, or where the file no longer
    /// holds what was read.
    pub fn write(&self, _held: &Lock) -> std::io::Result<()> {
        if self.faults.has_errors() {
            return Err(std::io::Error::other("the corrected case has errors"));
        }
        io::replace(&self.path, self.old.as_bytes(), self.edited.text.as_bytes())
    }
}
