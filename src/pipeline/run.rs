//! One build, after its cases were read: letters made, put on the shelf,
//! remembered; what is no longer asked for set aside.

use std::collections::{BTreeMap, BTreeSet};

use super::build::{Build, Built, State, unwritable};
use super::craft::Craft;
use super::index::{self, Entry, Index};
use super::io;
use super::load::{Loaded, LoadedCase};
use super::memory::{self, Basis, Recalled};
use super::output::{Output, Outputs};
use super::plan::{Job, plan};
use super::shelf::{Form, Put, Shelf};
use super::sign_off::{Behind, Said, ToSign};
use super::why::{Now, Why, why};
use super::workers;
use crate::case::{Case, Clinic, LetterKind, PaperSize};
use crate::diag::{Code, Diagnostic, Report};

/// A letter that went through the workers: its forms in order, up to the first
/// that failed.
#[derive(Default)]
struct Done {
    puts: Vec<Put>,
    warnings: Report,
    /// What it says and asks of its signer.
    said: Said,
    /// Why the letter, or one of its forms, could not be made.
    faults: Option<Report>,
}

/// What a build did, once it has ended.
pub(super) struct Ended {
    /// Every letter, in the order of the files.
    pub letters: Vec<Built>,
    /// Those that are new or changed.
    pub to_sign: Vec<ToSign>,
    /// All faults.
    pub report: Report,
}

/// A build under way.
pub(super) struct Run<'a> {
    request: &'a Build,
    shelf: Shelf<'a>,
    basis: Basis,
    loaded: &'a Loaded,
    clinic: Option<Clinic>,
    skipped: &'a [Recalled],
    /// Which letter a file belongs to.
    taken: BTreeMap<String, String>,
    next: Index,
    letters: Vec<Built>,
    to_sign: Vec<ToSign>,
    report: Report,
}

impl<'a> Run<'a> {
    /// Of the cases that were read.
    pub fn new(request: &'a Build, shelf: Shelf<'a>, basis: Basis, loaded: &'a Loaded) -> Run<'a> {
        let clinic = loaded.clinic.clone().filter(|_| !loaded.report.has_errors());
        Run {
            clinic: clinic.map(|clinic| on_paper(clinic, request.paper)),
            next: shelf.index.clone(),
            report: loaded.all_faults(),
            skipped: &[],
            taken: BTreeMap::new(),
            letters: Vec::new(),
            to_sign: Vec::new(),
            request,
            shelf,
            basis,
            loaded,
        }
    }

    /// The clinic, on the paper asked for.
    pub fn clinic(&self) -> Option<&Clinic> {
        self.clinic.as_ref()
    }

    /// Takes over what is known of skipped cases.
    pub fn recall(&mut self, skipped: &'a [Recalled]) {
        self.skipped = skipped;
        for case in skipped {
            self.report.extend(case.report.clone());
            for letter in &case.letters {
                self.taken.insert(letter.file.clone(), letter.name.clone());
                self.letters.push(letter.clone());
            }
        }
    }

    /// Makes the letters of all sound cases that were read.
    pub fn make<C: Craft>(
        &mut self,
        craft: &C,
        progress: &dyn super::build::Progress,
    ) -> Result<(), Diagnostic> {
        let Some(clinic) = self.clinic.clone() else { return Ok(()) };
        let sound = self.loaded.cases.iter().filter_map(|c| c.sound());
        let jobs = self.claim(plan(sound, self.request.kind));
        self.sweep(&jobs);
        progress.planned(jobs.len());
        let outputs = &self.basis.outputs;
        let work = |job: &Job| one(job, &clinic, craft, &self.shelf, outputs);
        let done = |i: usize| progress.made(&jobs[i].name());
        let results = workers::run(&jobs, self.request.jobs, work, done)
            .map_err(|why| Diagnostic::new(Code::InternalFault, None, why))?;
        let mut made: BTreeMap<&str, Vec<(&Job, Done)>> = BTreeMap::new();
        for (job, result) in jobs.iter().zip(results) {
            let result = result.unwrap_or_else(|why| failed(internal(job, &why)));
            made.entry(&job.case.id.value).or_default().push((job, result));
        }
        for found in &self.loaded.cases {
            if let Some(case) = found.sound() {
                self.take(found, case, made.remove(case.id.value.as_str()).unwrap_or_default());
            }
        }
        Ok(())
    }

    /// Keeps the letters that have a file of their own; of two that would be
    /// written to one file the second fails.
    fn claim(&mut self, jobs: Vec<Job<'a>>) -> Vec<Job<'a>> {
        let mut kept = Vec::new();
        for job in jobs {
            // In every form alike: the names differ in their endings only.
            let file = job.file(Output::Pdf);
            if let Some(other) = self.taken.get(&file) {
                let message = format!("`{file}` is already the file of letter `{other}`");
                self.report.add(Code::OutputNotOurs, &job.entry.place, message);
                self.mark_failed(&job, &[]);
                continue;
            }
            let files = self.basis.outputs.iter().map(|output| (job.file(*output), job.name()));
            self.taken.extend(files);
            kept.push(job);
        }
        kept
    }

    /// Tells a letter as failed in all its forms but those that were put.
    fn mark_failed(&mut self, job: &Job, puts: &[Put]) {
        for output in self.basis.outputs.iter().filter(|o| puts.iter().all(|p| p.output != **o)) {
            let (name, file) = (job.name(), job.file(*output));
            self.letters.push(Built::plain(&name, *output, &file, State::Failed));
        }
    }

    /// Removes what a build that was stopped left half-written. What cannot be
    /// removed hurts nothing.
    fn sweep(&self, jobs: &[Job]) {
        let _ = io::sweep(self.shelf.out);
        for file in jobs.iter().map(|job| job.file(Output::Pdf)) {
            let folder = self.shelf.out.join(file);
            let _ = folder.parent().map(io::sweep);
        }
    }

    /// Remembers the letters of a case.
    fn take(&mut self, found: &LoadedCase, case: &Case, made: Vec<(&Job, Done)>) {
        let Some(snapshot) = self.basis.snapshot(found, case) else { return };
        let id = snapshot.id(&found.file);
        let mut complete = self.basis.complete && made.len() == case.letters.len();
        let mut warnings = found.report.clone();
        for (job, done) in made {
            let more = of_letter(job, done.warnings);
            warnings.extend(more.clone());
            self.report.extend(more.clone());
            let mut behind = found.report.clone();
            behind.extend(more);
            if let Some(faults) = done.faults {
                self.report.extend(of_letter(job, faults));
                self.mark_failed(job, &done.puts);
                complete = false;
            }
            for put in done.puts {
                put.fault.iter().for_each(|fault| self.report.push(fault.clone()));
                let now = Now {
                    file: &found.file,
                    clinic: &self.basis.clinic,
                    snapshot: &snapshot,
                    shared: &self.basis.shared,
                };
                let built = told(job, &put, self.shelf.index, &now);
                if put.output == Output::Pdf {
                    self.sign(job, &built, &done.said, &behind);
                }
                self.letters.push(built);
                complete &= put.entry.is_some();
                if let Some(entry) = put.entry {
                    let printed = done.said.texts();
                    let entry = Entry { made_from: Some(id), printed, ..entry };
                    self.remember(&job.name(), put.output, entry);
                }
            }
        }
        self.next.snapshots.insert(id, snapshot);
        self.next.shared.insert(self.basis.id, self.basis.shared.clone());
        if complete {
            let letters = plan(std::iter::once(case), None).iter().map(Job::name).collect();
            let record = memory::record(case, id, letters, &warnings.sorted());
            self.next.cases.insert(found.file.clone(), record);
        }
    }

    /// Notes a letter that somebody has to read and sign.
    fn sign(&mut self, job: &Job, built: &Built, said: &Said, warnings: &Report) {
        let Some(clinic) = &self.clinic else { return };
        if !matches!(built.state, State::New | State::Changed) {
            return;
        }
        let old = self.shelf.index.entry(&built.name, Output::Pdf);
        let (state, why) = (built.state, &built.why[..]);
        let behind = Behind { job, clinic, state, said, warnings, old, why };
        self.to_sign.push(behind.to_sign());
    }

    /// Remembers a file; where a letter's file has another name now, the old
    /// one goes.
    fn remember(&mut self, name: &str, output: Output, entry: Entry) {
        if let Some(old) = self.shelf.index.entry(name, output)
            && old.file != entry.file
        {
            self.set_aside(name, output, old);
        }
        self.next.remember(name, output, entry);
    }

    /// Sets an old file aside. Whether it is to be remembered still.
    fn set_aside(&mut self, name: &str, output: Output, old: &Entry) -> bool {
        let Some((state, aside, fault)) = self.shelf.set_aside(old, &self.taken) else {
            return false;
        };
        fault.into_iter().for_each(|fault| self.report.push(fault));
        self.letters.push(Built { aside, ..Built::plain(name, output, &old.file, state) });
        state == State::Left
    }

    /// Letters that were asked for but whose case, or the clinic, has errors.
    pub fn hold_back(&mut self) {
        let no_clinic = self.clinic.is_none();
        let held = self.loaded.cases.iter().filter(|c| no_clinic || c.sound().is_none());
        let jobs = plan(held.filter_map(|c| c.case.as_ref()), self.request.kind);
        for job in jobs {
            for output in &self.basis.outputs {
                self.taken.entry(job.file(*output)).or_insert_with(|| job.name());
            }
            self.mark_failed(&job, &[]);
        }
    }

    /// Files of earlier builds that nobody asks for any more, because no case
    /// has the letter or this build does not want the form, are set aside,
    /// never deleted.
    pub fn clear(&mut self) {
        let (index, known) = (self.shelf.index, self.looked_after());
        for (name, output, old) in index.entries() {
            let wanted = self.basis.outputs.contains(&output) || !known.contains(name);
            let stays = wanted && self.asked(name);
            if !stays && !self.set_aside(name, output, old) {
                self.next.forget(name, output);
            }
        }
        if self.request.paths.is_empty() && self.clinic.is_some() {
            let gone = |file: &String| {
                let read = self.loaded.cases.iter().any(|c| c.file == *file);
                let skipped = self.skipped.iter().any(|c| c.file == *file);
                !read && !skipped
            };
            self.next.cases.retain(|file, _| !gone(file));
        }
    }

    /// The letters that this run made or knew to stand: only for these do the
    /// forms of this run speak.
    fn looked_after(&self) -> BTreeSet<String> {
        let skipped = self.skipped.iter().flat_map(|case| case.record.letters.iter().cloned());
        let sound = self.loaded.cases.iter().filter_map(|c| c.sound());
        let made = plan(sound.filter(|_| self.clinic.is_some()), self.request.kind);
        skipped.chain(made.iter().map(Job::name)).collect()
    }

    /// Whether a case asks for a letter, or nobody can tell in this run.
    fn asked(&self, name: &str) -> bool {
        let (case_id, letter_id) = name.split_once('/').unwrap_or((name, ""));
        if let Some(case) = self.skipped.iter().find(|c| c.record.id == case_id) {
            return case.record.letters.iter().any(|letter| letter == name);
        }
        let of_id = |c: &&LoadedCase| c.case.as_ref().is_some_and(|c| c.id.value == case_id);
        match self.loaded.cases.iter().find(of_id) {
            // A faulty letter entry is left out of what was read.
            Some(found) => found
                .sound()
                .is_none_or(|case| case.letters.iter().any(|l| l.id.value == letter_id)),
            None => {
                let all = self.request.paths.is_empty() && self.clinic.is_some();
                !all || self.loaded.cases.iter().any(|c| c.case.is_none())
            }
        }
    }

    /// Writes the index, last of all, and tells what was done.
    pub fn end(mut self) -> Ended {
        self.letters.sort_by(|a, b| a.file.cmp(&b.file));
        self.to_sign.sort_by(|a, b| a.name.cmp(&b.name));
        if self.letters.is_empty() && !self.report.has_errors() {
            self.report.push(nothing(self.request.kind));
        }
        self.next.prune();
        if let Err(error) = index::save(self.shelf.out, &self.next) {
            self.report.push(unwritable(&self.shelf.out.join(index::FILE), &error));
        }
        Ended { letters: self.letters, to_sign: self.to_sign, report: self.report }
    }
}

/// Writes a letter as blocks, and in each form that has to be made. The first
/// form that fails keeps the others as they are, so that no form of a letter
/// is newer than its pages.
fn one<C: Craft>(job: &Job, clinic: &Clinic, craft: &C, shelf: &Shelf, outputs: &Outputs) -> Done {
    let draft = match craft.write(job.case, job.entry, clinic) {
        Ok(draft) => draft,
        Err(faults) => return failed(faults),
    };
    let (mut done, key) = (Done::default(), craft.pages(&draft));
    for output in outputs.iter().copied() {
        let set = || craft.set(&draft, job.entry, output);
        match shelf.put(job, Form { output, key, set }) {
            Ok(put) => done.puts.push(put),
            Err(faults) => {
                done.faults = Some(faults);
                break;
            }
        }
    }
    done.warnings = craft.warnings(&draft);
    done.said = craft.said(job.case, job.entry, clinic, &draft);
    done
}

/// A letter that could not be written.
fn failed(faults: Report) -> Done {
    Done { faults: Some(faults), ..Done::default() }
}

/// What is told of a letter that was made.
fn told(job: &Job, put: &Put, index: &Index, now: &Now) -> Built {
    let file = job.file(put.output);
    let built = Built::plain(&job.name(), put.output, &file, put.state);
    let old = index.entry(&built.name, put.output);
    let mut reasons = Vec::new();
    if matches!(put.state, State::New | State::Changed) {
        let from = old.filter(|old| old.file != built.file).map(|old| old.file.clone());
        reasons.extend(from.map(|from| Why::Renamed { from }));
        reasons.extend(why(&job.entry.id.value, old, index, now));
    }
    reasons.extend(put.why.clone());
    Built { why: reasons, ..built }
}

fn on_paper(mut clinic: Clinic, paper: Option<PaperSize>) -> Clinic {
    clinic.paper = paper.unwrap_or(clinic.paper);
    clinic
}

fn nothing(kind: Option<LetterKind>) -> Diagnostic {
    let message = match kind {
        Some(kind) => format!("no case asks for a letter of kind {}", kind.word()),
        None => "no case asks for a letter".to_string(),
    };
    Diagnostic::new(Code::NothingToDo, None, message)
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
