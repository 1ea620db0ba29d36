//! How a build has its letters made: in two steps, so that the second, which
//! costs almost all the time, can be spared.
//!
//! A [`Craft`] also names everything beside a case and the clinic's file that
//! decides a letter. The names are complete by construction: the program as a
//! whole (its own file's bytes, which hold the embedded templates, rules,
//! growth data and fonts) and every file below the clinic's `templates/`.

use std::collections::BTreeMap;

use super::embedded;
use super::io::{self, Folder};
use super::letter::{Made, Make, Press, Written};
use super::output::Output;
use super::sign_off::Said;
use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::Report;
use crate::digest::{Digest, Digester};
use crate::render::{digest_bytes, engine_bytes};

/// Inputs that decide letters beside cases and the clinic's file: by name.
pub type Inputs = BTreeMap<String, Digest>;

/// The program's name among the inputs.
pub const PROGRAM: &str = "the program";
/// The engine's name among the inputs.
pub const ENGINE: &str = "the layout engine";
/// Where a clinic's fonts lie.
const FONTS: &str = "templates/fonts/";

/// What makes letters, shared by all workers.
pub trait Craft: Sync {
    /// A letter that is written but not yet set.
    type Draft;

    /// All inputs beside case and clinic. `None` if they cannot be told: then
    /// no case is ever skipped.
    fn inputs(&self) -> Option<&Inputs>;

    /// Writes a letter.
    fn write(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
    ) -> Result<Self::Draft, Report>;

    /// The digest of all that the pages are set from: equal digests, equal
    /// bytes, in every form of the letter. `None` if that cannot be told.
    fn pages(&self, draft: &Self::Draft) -> Option<Digest>;

    /// What the clinic should know although the letter is made.
    fn warnings(&self, draft: &Self::Draft) -> Report;

    /// What a letter says and asks of its signer; nothing where that cannot be
    /// told.
    fn said(&self, _: &Case, _: &LetterEntry, _: &Clinic, _: &Self::Draft) -> Said {
        Said::default()
    }

    /// Sets the pages, or another form of the letter.
    fn set(
        &self,
        draft: &Self::Draft,
        entry: &LetterEntry,
        output: Output,
    ) -> Result<Vec<u8>, Report>;
}

/// A maker that knows only whole letters, as pages: every one is made each time.
pub(super) struct Whole<'a>(pub &'a Make<'a>);

impl Craft for Whole<'_> {
    type Draft = Made;

    fn inputs(&self) -> Option<&Inputs> {
        None
    }

    fn write(&self, case: &Case, entry: &LetterEntry, clinic: &Clinic) -> Result<Made, Report> {
        (self.0)(case, entry, clinic)
    }

    fn pages(&self, draft: &Made) -> Option<Digest> {
        Some(Digest::of(&draft.pdf))
    }

    fn warnings(&self, draft: &Made) -> Report {
        draft.warnings.clone()
    }

    fn set(&self, draft: &Made, _: &LetterEntry, _: Output) -> Result<Vec<u8>, Report> {
        Ok(draft.pdf.clone())
    }
}

impl Craft for Press {
    type Draft = Written;

    fn inputs(&self) -> Option<&Inputs> {
        self.inputs.as_ref()
    }

    fn write(&self, case: &Case, entry: &LetterEntry, clinic: &Clinic) -> Result<Written, Report> {
        Press::write(self, case, entry, clinic)
    }

    /// Blocks and figures, layout and engine, fonts, and the program, which
    /// draws the figures and arranges the blocks.
    fn pages(&self, draft: &Written) -> Option<Digest> {
        let mut all = Digester::default();
        all.part("letter", &digest_bytes(&draft.letter));
        for (name, digest) in self.inputs.as_ref()? {
            if name.starts_with(FONTS) || [PROGRAM, ENGINE].contains(&name.as_str()) {
                all.part(name, digest.to_string().as_bytes());
            }
        }
        Some(all.digest())
    }

    fn warnings(&self, draft: &Written) -> Report {
        draft.derived.report.clone()
    }

    fn said(&self, case: &Case, entry: &LetterEntry, clinic: &Clinic, draft: &Written) -> Said {
        Press::said(self, case, entry, clinic, draft)
    }

    fn set(&self, draft: &Written, entry: &LetterEntry, output: Output) -> Result<Vec<u8>, Report> {
        Press::set(self, draft, entry, output)
    }
}

/// The inputs of a press, to be taken before anything is loaded: a file that
/// changes in between then counts as changed at the next build, never as
/// unchanged. `None` if the program cannot read itself.
pub(super) fn inputs(folder: &Folder) -> Option<Inputs> {
    let mut all = Inputs::from([
        (PROGRAM.to_string(), io::program()?),
        (ENGINE.to_string(), Digest::of(&engine_bytes())),
    ]);
    // Part of the program, named so that `--why` can name them.
    let rules = embedded::PAYERS.iter().chain(embedded::READERS);
    for (name, text) in embedded::TEMPLATES.iter().chain(rules) {
        all.insert(format!("templates/{name}"), Digest::of(text.as_bytes()));
    }
    let root = folder.root().join("templates");
    for file in io::files_below(&root) {
        let read = io::read(&file).unwrap_or_else(|e| format!("unread: {e}").into_bytes());
        all.insert(folder.shown(&file), Digest::of(&read));
    }
    Some(all)
}
