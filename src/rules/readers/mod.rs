//! What each reader of a letter needs, and what is closed to them.
//!
//! One file a wording (`templates/rules/readers/school.yaml` for the template
//! `school`): the kind of letter, the roles it is written for, the items
//! without which it is not written, those whose absence it says, and what of
//! the facts its template may not look at. A file with a fault is absent, and
//! without its file no letter of that wording is written: nothing is open
//! because nobody said that it is closed. It must not know templates, letters
//! or files; of cases only contacts and what letters are asked for.

mod access;
mod check;
mod known;
mod need;
mod pattern;
mod read;

pub use access::{Access, Door};
pub use check::{check, check_clinic};
pub use need::{Absent, Need};
pub use pattern::Pattern;
pub use read::read;

use std::collections::{BTreeMap, BTreeSet};

use crate::case::{LetterKind, Role};
use crate::diag::{Located, Place, Report};
use crate::facts::Facts;

use super::evaluate::MissingItem;
use super::read::KnownFact;

/// Whether a reader's file may open or close that path of facts.
pub fn is_path(path: &str) -> bool {
    Pattern::parse(path).is_some_and(|pattern| known::is_path(&pattern))
}

/// What one wording's reader needs.
#[derive(Debug, Clone)]
pub struct Reader {
    /// The stem of the template, also the name of the file: `progress-family`.
    pub stem: Located<String>,
    /// The kind of letter.
    pub kind: LetterKind,
    /// Roles it is written for.
    pub roles: BTreeSet<Role>,
    /// Further roles that may get a copy of it.
    pub copies: BTreeSet<Role>,
    /// Without these it is not written.
    pub required: Vec<Need>,
    /// The absence of these is said.
    pub optional: Vec<Need>,
    /// What its template may look at.
    pub access: Access,
    /// Where the file begins.
    pub place: Place,
}

impl Reader {
    /// Everything required that is missing, in the order of the file, each
    /// item once.
    pub fn lacking(&self, facts: &Facts) -> Vec<MissingItem> {
        let mut missing: Vec<MissingItem> = Vec::new();
        for item in self.required.iter().flat_map(|need| need.lacking(facts)) {
            if !missing.contains(&item) {
                missing.push(item);
            }
        }
        missing
    }

    /// The optional items that apply to the patient and are not recorded.
    pub fn absent(&self, facts: &Facts) -> Vec<Absent> {
        self.optional.iter().filter_map(|need| need.absent(facts)).collect()
    }

    /// The reader's file as shown to people.
    pub fn file(&self) -> &str {
        &self.place.file
    }
}

/// The readers of a clinic by the stem of their template.
#[derive(Debug, Clone, Default)]
pub struct Readers {
    list: BTreeMap<String, Reader>,
    /// Whether a file was refused, so that nobody can say who may get what.
    incomplete: bool,
}

impl Readers {
    /// Reads all files (path below `templates/` and text); each with a fault
    /// is left out, and its faults are reported.
    pub fn read<'t>(
        files: impl Iterator<Item = (&'t str, &'t str)>,
        known: KnownFact,
        report: &mut Report,
    ) -> Readers {
        let mut readers = Readers::default();
        for (name, text) in files {
            match read(text, &format!("templates/{name}"), known, report) {
                Some(reader) => drop(readers.list.insert(reader.stem.value.clone(), reader)),
                None => readers.incomplete = true,
            }
        }
        readers
    }

    /// The reader of the wording of that stem.
    pub fn get(&self, stem: &str) -> Option<&Reader> {
        self.list.get(stem)
    }

    /// All readers in the order of their stems.
    pub fn iter(&self) -> impl Iterator<Item = &Reader> {
        self.list.values()
    }

    /// Whether a kind of letter is written for a role, in any wording.
    pub fn written_for(&self, kind: LetterKind, role: Role) -> bool {
        self.incomplete || self.of(kind).any(|r| r.roles.contains(&role))
    }

    /// Whether somebody of a role may see a letter of that kind: it is
    /// written for the role, or may be copied to it.
    pub fn may_see(&self, kind: LetterKind, role: Role) -> bool {
        let copied = || self.of(kind).any(|r| r.copies.contains(&role));
        self.written_for(kind, role) || copied()
    }

    fn of(&self, kind: LetterKind) -> impl Iterator<Item = &Reader> {
        self.list.values().filter(move |r| r.kind == kind)
    }
}
