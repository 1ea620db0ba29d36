//! One build: every letter of every sound case, written where it changed.

use std::path::{Path, PathBuf};

use crate::case::{Clinic, LetterKind, PaperSize};
use crate::diag::{Code, Diagnostic, Report, Sources};

use super::index::{self, Entry, Index};
use super::io::{self, Folder};
use super::letter::{Made, Make};
use super::load::{Loaded, load};
use super::plan::{Job, plan};
use super::workers;

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
    /// Not built: its case or the letter itself has errors.
    Failed,
    /// In the last build but in no case any more; its file was left alone.
    Left,
}

impl State {
    /// The word in the report of a build.
    pub fn word(self) -> &'static str {
        match self {
            State::New => "new",
            State::Changed => "changed",
            State::Unchanged => "unchanged",
            State::Failed => "failed",
            State::Left => "left over",
        }
    }
}

/// One letter of a build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Built {
    /// `mr-0118/l1`.
    pub name: String,
    /// Path below the output folder.
    pub file: String,
    /// What became of it.
    pub state: State,
}

/// What a build did.
#[derive(Debug)]
pub struct Outcome {
    /// Every letter, in the order of the files.
    pub letters: Vec<Built>,
    /// Case files of which nothing could be read.
    pub unreadable: usize,
    /// All faults.
    pub report: Report,
    /// Texts of the files read, for snippets.
    pub sources: Sources,
}

impl Outcome {
    /// How many letters became this.
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

/// Builds. `Err` holds what kept the whole run from starting.
pub fn build(
    request: &Build,
    make: &Make<'_>,
    progress: &dyn Progress,
) -> Result<Outcome, Diagnostic> {
    let loaded = load(&request.folder, &request.paths, request.jobs);
    let _lock = io::lock(&request.out).map_err(|e| unwritable(&request.out, &e))?;
    let mut report = loaded.all_faults();
    let clinic = loaded.clinic.clone().filter(|_| !loaded.report.has_errors());
    let clinic = clinic.map(|clinic| on_paper(clinic, request.paper));
    let jobs = plan(loaded.cases.iter().filter_map(|c| c.sound()), request.kind);
    let jobs = if clinic.is_some() { jobs } else { Vec::new() };
    progress.planned(jobs.len());
    let made = match &clinic {
        Some(clinic) => run(&jobs, clinic, request, make, progress)?,
        None => Vec::new(),
    };
    let mut shelf = Shelf { out: &request.out, index: index::load(&request.out) };
    let mut letters = Vec::new();
    for (job, result) in jobs.iter().zip(made) {
        letters.push(shelf.put(job, result, &mut report));
    }
    letters.extend(held_back(&loaded, clinic.is_none(), request.kind));
    letters.extend(shelf.left_over(&loaded, request));
    letters.sort_by(|a, b| a.file.cmp(&b.file));
    if letters.is_empty() && !report.has_errors() {
        report.push(nothing(request.kind));
    }
    index::save(&request.out, &shelf.index).map_err(|e| unwritable(&request.out, &e))?;
    let unreadable = loaded.cases.iter().filter(|c| c.case.is_none()).count();
    Ok(Outcome { letters, unreadable, report, sources: loaded.sources })
}

fn on_paper(mut clinic: Clinic, paper: Option<PaperSize>) -> Clinic {
    clinic.paper = paper.unwrap_or(clinic.paper);
    clinic
}

fn unwritable(path: &Path, error: &std::io::Error) -> Diagnostic {
    let message = format!("`{}` cannot be written: {}", path.display(), io::reason(error));
    Diagnostic::new(Code::FileUnreadable, None, message)
}

fn nothing(kind: Option<LetterKind>) -> Diagnostic {
    let message = match kind {
        Some(kind) => format!("no case asks for a letter of kind {}", kind.word()),
        None => "no case asks for a letter".to_string(),
    };
    Diagnostic::new(Code::NothingToDo, None, message)
}

type Result1 = Result<Made, Report>;

/// Makes the letters; a panic becomes a diagnostic of that letter.
fn run(
    jobs: &[Job],
    clinic: &Clinic,
    request: &Build,
    make: &Make<'_>,
    progress: &dyn Progress,
) -> Result<Vec<Result1>, Diagnostic> {
    let work = |job: &Job| make(job.case, job.entry, clinic);
    let done = |i: usize| progress.made(&jobs[i].name());
    let results = workers::run(jobs, request.jobs, work, done)
        .map_err(|why| Diagnostic::new(Code::InternalFault, None, why))?;
    let results = jobs
        .iter()
        .zip(results)
        .map(|(job, result)| result.unwrap_or_else(|why| Err(internal(job, &why))));
    Ok(results.collect())
}

/// Faults that lie in another file than the case (a template, a rule) name
/// the letter they were found in.
fn of_letter(job: &Job, faults: Report) -> Report {
    let entry = &job.entry.place;
    let mut report = Report::default();
    for fault in faults.iter() {
        let elsewhere = fault.place.as_ref().is_none_or(|p| p.file != entry.file);
        report.push(match elsewhere {
            true => fault.clone().related(entry.clone(), "in this letter"),
            false => fault.clone(),
        });
    }
    report
}

fn internal(job: &Job, why: &str) -> Report {
    let mut report = Report::default();
    let message = format!("the program failed on letter `{}`: {why}", job.entry.id.value);
    report.add(Code::InternalFault, &job.entry.place, message);
    report
}

/// The output folder with its memory.
struct Shelf<'a> {
    out: &'a Path,
    index: Index,
}

impl Shelf<'_> {
    /// Writes a letter where its bytes changed.
    fn put(&mut self, job: &Job, made: Result1, report: &mut Report) -> Built {
        let (name, file) = (job.name(), job.file());
        let pdf = match made {
            Ok(made) => {
                report.extend(of_letter(job, made.warnings));
                made.pdf
            }
            Err(faults) => {
                report.extend(of_letter(job, faults));
                return Built { name, file, state: State::Failed };
            }
        };
        let path = self.out.join(&file);
        let digest = index::digest(&pdf);
        if !io::holds(&path, &pdf)
            && let Err(error) = io::write_atomic(&path, &pdf)
        {
            let place = Some(job.entry.place.clone());
            let message = format!("`{file}` cannot be written: {}", io::reason(&error));
            report.push(Diagnostic::new(Code::FileUnreadable, place, message));
            return Built { name, file, state: State::Failed };
        }
        let state = match self.index.letters.get(&name) {
            None => State::New,
            Some(old) if old.digest == digest => State::Unchanged,
            Some(_) => State::Changed,
        };
        self.index.letters.insert(name.clone(), Entry { file: file.clone(), digest });
        Built { name, file, state }
    }

    /// Letters of an earlier build that these cases no longer ask for. Their
    /// files stay: the clinic decides what becomes of them.
    fn left_over(&mut self, loaded: &Loaded, request: &Build) -> Vec<Built> {
        let everything = request.paths.is_empty();
        let mut left = Vec::new();
        self.index.letters.retain(|name, entry| {
            let (case_id, letter_id) = name.split_once('/').unwrap_or((name, ""));
            let case = loaded.cases.iter().filter_map(|c| c.case.as_ref());
            let case = case.into_iter().find(|c| c.id.value == case_id);
            let asked = match case {
                Some(case) => case.letters.iter().any(|l| l.id.value == letter_id),
                // Not read in this run, or read in vain: nobody can tell.
                None => !everything || loaded.cases.iter().any(|c| c.case.is_none()),
            };
            let stays = asked || io::exists(&self.out.join(&entry.file));
            if !asked && stays {
                let (name, file) = (name.clone(), entry.file.clone());
                left.push(Built { name, file, state: State::Left });
            }
            stays
        });
        left
    }
}

/// Letters that were asked for but whose case, or the clinic, has errors.
fn held_back(loaded: &Loaded, no_clinic: bool, kind: Option<LetterKind>) -> Vec<Built> {
    let held = loaded.cases.iter().filter(|c| no_clinic || c.sound().is_none());
    plan(held.filter_map(|c| c.case.as_ref()), kind)
        .iter()
        .map(|job| Built { name: job.name(), file: job.file(), state: State::Failed })
        .collect()
}
