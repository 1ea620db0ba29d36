//! One build: every letter of every sound case, written where it changed.
//!
//! Work is spared at two levels, both decided by content: a case none of whose
//! inputs changed is not even read (`memory.rs`); a letter whose blocks
//! and figures are the old ones is not typeset. Letters are written as they
//! are made, the index after all of them, so that a build may be stopped at
//! any moment and the next one goes on.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::case::{Clinic, LetterKind, PaperSize};
use crate::diag::{Code, Diagnostic, Report, Sources};

use super::craft::{Craft, Whole};
use super::index;
use super::io::{self, Folder};
use super::letter::Make;
use super::load::{self, Loaded, LoadedCase};
use super::memory::{self, Basis, Recalled};
use super::output::{Output, with_pages};
use super::run::{Ended, Run};
use super::shelf::Shelf;
use super::sign_off::ToSign;
use super::why::Why;
use super::workers;

pub use super::shelf::Edited;

/// What to build.
#[derive(Debug, Clone)]
pub struct Build {
    /// The clinic's folder.
    pub folder: Folder,
    /// Case files or folders; empty means all of the clinic's.
    pub paths: Vec<PathBuf>,
    /// Only letters of this kind.
    pub kind: Option<LetterKind>,
    /// Where letters are written.
    pub out: PathBuf,
    /// Workers at a time.
    pub jobs: usize,
    /// Paper instead of the clinic's own.
    pub paper: Option<PaperSize>,
    /// What every letter is written as beside its pages.
    pub also: Vec<Output>,
}

/// What became of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Not built before.
    New,
    /// Other bytes than in the last build.
    Changed,
    /// The same bytes as in the last build.
    Unchanged,
    /// Its file is not as it was built, or was never built here: left alone.
    Kept,
    /// Not built: its case or the letter itself has errors.
    Failed,
    /// In no case any more, or now in another file; its file was moved aside.
    Moved,
    /// The same, but its file is not as it was built and was left alone.
    Left,
}

impl State {
    /// Every state, in the order of a summary.
    pub const ALL: [State; 7] = [
        State::New,
        State::Changed,
        State::Unchanged,
        State::Kept,
        State::Failed,
        State::Moved,
        State::Left,
    ];

    /// The word in the report of a build.
    pub fn word(self) -> &'static str {
        match self {
            State::New => "new",
            State::Changed => "changed",
            State::Unchanged => "unchanged",
            State::Kept => "kept",
            State::Failed => "failed",
            State::Moved => "moved aside",
            State::Left => "left over",
        }
    }

    /// Whether a case asks for the letter.
    pub fn asked(self) -> bool {
        !matches!(self, State::Moved | State::Left)
    }
}

/// One letter of a build, in one of its forms.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Built {
    /// `mr-0118/l1`.
    pub name: String,
    /// The form.
    pub output: Output,
    /// Path below the output folder.
    pub file: String,
    /// What became of it.
    pub state: State,
    /// Why it is new or changed, or was written again.
    pub why: Vec<Why>,
    /// Where a file that was moved aside is now, below the output folder.
    pub aside: Option<String>,
}

impl Built {
    /// Without reasons.
    pub(super) fn plain(name: &str, output: Output, file: &str, state: State) -> Built {
        let (name, file) = (name.to_string(), file.to_string());
        Built { name, output, file, state, why: Vec::new(), aside: None }
    }
}

/// What a build did.
#[derive(Debug)]
pub struct Outcome {
    /// Every letter in every form, in the order of the files.
    pub letters: Vec<Built>,
    /// Case files of which nothing could be read.
    pub unreadable: usize,
    /// Cases that were not even read, since nothing about them changed.
    pub skipped: usize,
    /// The letters that are new or changed, as a sign-off sheet tells them.
    pub to_sign: Vec<ToSign>,
    /// The clinic they were made for, on the paper they were made on.
    pub clinic: Option<Clinic>,
    /// All faults.
    pub report: Report,
    /// Texts of the files read, for snippets.
    pub sources: Sources,
}

impl Outcome {
    /// How many files became this.
    pub fn count(&self, state: State) -> usize {
        self.letters.iter().filter(|l| l.state == state).count()
    }
}

/// What a build tells while it runs; called from any worker.
pub trait Progress: Sync {
    /// So many letters will be made.
    fn planned(&self, _letters: usize) {}
    /// One letter is made or has failed.
    fn made(&self, _name: &str) {}
}

impl Progress for () {}

/// Builds with a maker that knows only whole letters, as pages: every letter is
/// made, and written where its bytes changed. Other forms are not made, even if
/// they are asked for. `Err` holds what kept the whole run from starting.
pub fn build(
    request: &Build,
    make: &Make<'_>,
    progress: &dyn Progress,
) -> Result<Outcome, Diagnostic> {
    let request = Build { also: Vec::new(), ..request.clone() };
    rebuild(&request, Edited::Keep, &Whole(make), progress)
}

/// Builds what changed. `Err` holds what kept the whole run from starting.
pub fn rebuild<C: Craft>(
    request: &Build,
    edited: Edited,
    craft: &C,
    progress: &dyn Progress,
) -> Result<Outcome, Diagnostic> {
    let _lock = io::lock(&request.out).map_err(|e| unwritable(&request.out, &e))?;
    let index = index::load(&request.out);
    let shelf = Shelf { out: &request.out, index: &index, edited };
    let survey = load::survey(&request.folder, &request.paths);
    let outputs = with_pages(&request.also);
    let basis = Basis::of(craft.inputs(), &request.folder, &survey, request.paper, outputs);
    let (recalled, loaded) = read(request, &survey, &basis, &shelf)?;
    let mut run = Run::new(request, shelf, basis, &loaded);
    run.recall(&recalled);
    run.make(craft, progress)?;
    run.hold_back();
    run.clear();
    let clinic = run.clinic().cloned();
    let Ended { letters, to_sign, report } = run.end();
    let unreadable = loaded.cases.iter().filter(|c| c.case.is_none()).count();
    let mut sources = loaded.sources;
    for (file, text) in recalled.iter().flat_map(|case| &case.texts) {
        sources.insert(file, text);
    }
    let skipped = recalled.len();
    Ok(Outcome { letters, unreadable, skipped, to_sign, clinic, report, sources })
}

/// Reads the cases that are not skipped.
fn read(
    request: &Build,
    survey: &load::Survey,
    basis: &Basis,
    shelf: &Shelf,
) -> Result<(Vec<Recalled>, Loaded), Diagnostic> {
    let load = |files: &[PathBuf]| load::read(&request.folder, survey.clone(), files, request.jobs);
    let sound = survey.clinic.is_some() && !survey.report.has_errors();
    if !(basis.complete && sound && request.kind.is_none()) {
        return Ok((Vec::new(), load(&survey.files)));
    }
    let one = |path: &PathBuf| memory::recall(&request.folder, path, basis, shelf);
    let known = workers::run(&survey.files, request.jobs, one, |_| {})
        .map_err(|why| Diagnostic::new(Code::InternalFault, None, why))?;
    let known: Vec<_> = known.into_iter().map(|known| known.ok().flatten()).collect();
    let files = survey.files.iter().zip(&known);
    let rest: Vec<_> = files.filter(|(_, k)| k.is_none()).map(|(path, _)| path.clone()).collect();
    let loaded = load(&rest);
    let known: Vec<_> = known.into_iter().flatten().collect();
    let ids: BTreeSet<_> = known.iter().map(|known| known.record.id.as_str()).collect();
    let again = |c: &LoadedCase| c.case.as_ref().is_some_and(|c| ids.contains(c.id.value.as_str()));
    // Two files of one case: which of them is at fault needs both.
    if ids.len() < known.len() || loaded.cases.iter().any(again) {
        return Ok((Vec::new(), load(&survey.files)));
    }
    Ok((known, loaded))
}

/// A folder that cannot be written to.
pub(super) fn unwritable(path: &Path, error: &std::io::Error) -> Diagnostic {
    let message = format!("`{}` cannot be written: {}", path.display(), io::reason(error));
    Diagnostic::new(Code::OutputUnwritable, None, message)
}
