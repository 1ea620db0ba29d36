//! Every input of the demo clinic changed in turn: a build over what was there
//! sets the pages of exactly those letters that a clean build of the changed
//! clinic makes differently.
//!
//! The engine is left out: a letter's pages are stood for by the digest of its
//! blocks, and each call that would set them is counted. What "differently"
//! means is told by the clean build alone, which has no memory. Real pages are
//! compared byte by byte on a sample. `cargo test` takes one change in seven,
//! `.ci/nightly` all of them.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use endplate::case::field::{CASE, CLINIC};
use endplate::case::{Case, Clinic, LetterEntry};
use endplate::diag::Report;
use endplate::digest::Digest;
use endplate::pipeline::craft::Inputs;
use endplate::pipeline::io::Folder;
use endplate::pipeline::letter::Written;
use endplate::pipeline::{Build, Craft, Edited, Outcome, Output, Press, State, rebuild, workers};
use endplate::render::digest_bytes;

use crate::support::mutate::{Mutant, of_entries, of_rules, of_table, of_template};

/// The real press with a stand-in for the engine.
struct Counted<'a> {
    press: &'a Press,
    set: Mutex<BTreeSet<String>>,
}

impl Counted<'_> {
    fn over(press: &Press) -> Counted<'_> {
        Counted { press, set: Mutex::default() }
    }
}

impl Craft for Counted<'_> {
    type Draft = (String, Written);

    fn inputs(&self) -> Option<&Inputs> {
        Craft::inputs(self.press)
    }

    fn write(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
    ) -> Result<Self::Draft, Report> {
        let name = format!("{}/{}", *case.id, *entry.id);
        Ok((name, self.press.write(case, entry, clinic)?))
    }

    fn pages(&self, draft: &Self::Draft) -> Option<Digest> {
        Craft::pages(self.press, &draft.1)
    }

    fn warnings(&self, draft: &Self::Draft) -> Report {
        Craft::warnings(self.press, &draft.1)
    }

    fn set(&self, draft: &Self::Draft, _: &LetterEntry, _: Output) -> Result<Vec<u8>, Report> {
        assert!(self.set.lock().unwrap().insert(draft.0.clone()), "set twice");
        Ok(Digest::of(&digest_bytes(&draft.1.letter)).to_string().into_bytes())
    }
}

fn demo() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Copies the files of a folder, without what was issued.
fn copy(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from).sort_by_file_name() {
        let entry = entry.unwrap();
        let name = entry.path().strip_prefix(from).unwrap();
        let place = to.join(name);
        match entry.file_type().is_dir() {
            true => fs::create_dir_all(place).unwrap(),
            false if name.starts_with("issued") => {}
            false => _ = fs::copy(entry.path(), place).unwrap(),
        }
    }
}

/// A folder that vanishes; in memory where the system has such a place, since
/// thousands of small builds would wait for the disk.
fn scratch() -> tempfile::TempDir {
    let memory = Path::new("/dev/shm");
    let made = if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() };
    made.or_else(|_| tempfile::tempdir()).unwrap()
}

/// The demo clinic's cases in a folder of their own.
fn clinic() -> tempfile::TempDir {
    let root = scratch();
    copy(&demo().join("cases"), &root.path().join("cases"));
    root
}

fn run<C: Craft>(root: &Path, out: &Path, paths: &[PathBuf], craft: &C) -> Outcome {
    let request = Build {
        folder: Folder::at(root).unwrap(),
        paths: paths.to_vec(),
        kind: None,
        out: out.to_path_buf(),
        jobs: 1,
        paper: None,
        also: vec![],
    };
    rebuild(&request, Edited::Keep, craft, &()).unwrap()
}

/// What a build left: the bytes of each letter that was made, and the letters
/// that failed.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Result1 {
    made: BTreeMap<String, Vec<u8>>,
    failed: BTreeSet<String>,
}

fn result(outcome: &Outcome, out: &Path, of: impl Fn(&str) -> bool) -> Result1 {
    let asked = outcome.letters.iter().filter(|l| l.state.asked() && of(&l.name));
    let (failed, made): (Vec<_>, Vec<_>) = asked.partition(|l| l.state == State::Failed);
    let bytes = |file: &str| fs::read(out.join(file)).unwrap();
    Result1 {
        made: made.into_iter().map(|l| (l.name.clone(), bytes(&l.file))).collect(),
        failed: failed.into_iter().map(|l| l.name.clone()).collect(),
    }
}

/// A changed file of a clinic.
struct Change {
    file: String,
    mutant: Mutant,
}

/// The clinic as built before anything is changed.
struct Before {
    press: Press,
    out: tempfile::TempDir,
    made: BTreeMap<String, Vec<u8>>,
    cases: usize,
}

impl Before {
    fn new() -> Before {
        let (root, out) = (clinic(), scratch());
        let press = Press::open(&Folder::at(root.path()).unwrap());
        let outcome = run(root.path(), out.path(), &[], &Counted::over(&press));
        assert!(!outcome.report.has_errors(), "{:?}", outcome.report);
        let made = result(&outcome, out.path(), |_| true).made;
        Before { press, out, made, cases: case_files().len() }
    }

    /// Builds the changed clinic over what was there, and cleanly; returns the
    /// letters set, or says where the two differ.
    fn check(&self, change: &Change) -> Result<usize, String> {
        let (root, out) = (clinic(), scratch());
        copy(self.out.path(), out.path());
        let path = root.path().join(&change.file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, &change.mutant.text).unwrap();
        // Only a change of a case leaves the other cases as they are.
        let case = case_files().contains(&change.file);
        let own = case.then(|| path.clone());
        let open = (!change.file.starts_with("cases/"))
            .then(|| Press::open(&Folder::at(root.path()).unwrap()));
        let press = open.as_ref().unwrap_or(&self.press);
        let over = Counted::over(press);
        let outcome = run(root.path(), out.path(), &[], &over);
        let set = over.set.into_inner().unwrap();
        let fresh = scratch();
        let paths: Vec<_> = own.iter().cloned().collect();
        let clean = run(root.path(), fresh.path(), &paths, &Counted::over(press));
        let clean = result(&clean, fresh.path(), |_| true);
        let differs = |(name, bytes): &(&String, &Vec<u8>)| self.made.get(*name) != Some(bytes);
        let wanted: BTreeSet<String> =
            clean.made.iter().filter(differs).map(|(name, _)| name.clone()).collect();
        let is_of = |name: &str| clean.made.contains_key(name) || clean.failed.contains(name);
        let here = |what: &str| format!("{} {}: {what}", change.file, change.mutant.what);
        if set != wanted {
            return Err(here(&format!("set {set:?}, a clean build differs in {wanted:?}")));
        }
        if result(&outcome, out.path(), is_of) != clean {
            return Err(here("other letters than a clean build makes"));
        }
        if own.is_some() && outcome.skipped + 1 != self.cases {
            return Err(here(&format!("{} cases skipped", outcome.skipped)));
        }
        // The file of a letter's former kind is moved aside under the same name.
        let bare = |l: &&endplate::pipeline::Built| {
            set.contains(&l.name) && l.why.is_empty() && l.state != endplate::pipeline::State::Moved
        };
        match outcome.letters.iter().find(bare) {
            Some(letter) => Err(here(&format!("nobody says why {} changed", letter.name))),
            None => Ok(set.len()),
        }
    }

    /// Checks one change in so many; each touches what it touches, and enough
    /// of them touch something.
    fn check_all(&self, changes: Vec<Change>, one_in: usize, start: usize) {
        let changes: Vec<_> = changes.into_iter().skip(start).step_by(one_in).collect();
        let results = workers::run(&changes, workers::suggested(), |c| self.check(c), |_| {});
        let results: Vec<_> = results.unwrap().into_iter().map(|r| r.unwrap_or_else(Err)).collect();
        let wrong: Vec<_> = results.iter().filter_map(|r| r.as_ref().err()).collect();
        assert!(wrong.is_empty(), "{} of {}: {wrong:#?}", wrong.len(), changes.len());
        let touched = results.iter().filter(|r| matches!(r, Ok(n) if *n > 0)).count();
        println!("{} changes, {touched} of them change letters", changes.len());
        assert!(touched * 8 > changes.len(), "only {touched} of {} matter", changes.len());
    }
}

fn text(file: &str) -> String {
    fs::read_to_string(demo().join(file)).unwrap()
}

fn changes(file: &str, of: impl Fn(&str) -> Vec<Mutant>) -> Vec<Change> {
    let of_file = |mutant| Change { file: file.to_string(), mutant };
    of(&text(file)).into_iter().map(of_file).collect()
}

/// The changes of all files; a file without words or bounds of its own (a
/// template that only calls phrases, a list of what a reader needs) has none.
fn changes_of(files: &[String], of: impl Fn(&str) -> Vec<Mutant>) -> Vec<Change> {
    let each: Vec<_> = files.iter().map(|file| changes(file, &of)).collect();
    let some = each.iter().filter(|of| !of.is_empty()).count();
    assert!(some > 4, "only {some} of {} have any", files.len());
    each.into_iter().flatten().collect()
}

/// The demo's files below a folder that end so.
fn below(folder: &str, ending: &str) -> Vec<String> {
    let files = walkdir::WalkDir::new(demo().join(folder)).sort_by_file_name();
    let files = files.into_iter().map(|e| e.unwrap().into_path());
    let name = |p: PathBuf| p.strip_prefix(demo()).unwrap().to_string_lossy().replace('\\', "/");
    files.map(name).filter(|name| name.ends_with(ending)).collect()
}

fn case_files() -> Vec<String> {
    let mut files = below("cases", ".yaml");
    files.retain(|file| !file.contains("/clinic") && !file.contains("/issued/"));
    assert!(files.len() >= 8, "{files:?}");
    files
}

fn every_field() -> Vec<Change> {
    case_files().iter().flat_map(|file| changes(file, |text| of_entries(text, &CASE))).collect()
}

/// A number of each landmark file and each log.
fn every_attachment() -> Vec<Change> {
    below("cases", ".csv").iter().flat_map(|file| changes(file, of_table)).collect()
}

fn every_template() -> Vec<Change> {
    let files = below("templates", ".j2");
    changes_of(&files, of_template)
}

fn every_rule() -> Vec<Change> {
    let files = below("templates/rules", ".yaml");
    changes_of(&files, of_rules)
}

fn every_setting() -> Vec<Change> {
    changes("cases/clinic.yaml", |text| of_entries(text, &CLINIC))
}

/// Of each file the change in the middle.
fn one_a_file(all: Vec<Change>) -> Vec<Change> {
    let mut files: BTreeMap<String, Vec<Change>> = BTreeMap::new();
    all.into_iter().for_each(|c| files.entry(c.file.clone()).or_default().push(c));
    files
        .into_values()
        .filter_map(|mut of| (!of.is_empty()).then(|| of.swap_remove(of.len() / 2)))
        .collect()
}

#[test]
fn a_changed_field_sets_the_letters_it_changes() {
    Before::new().check_all(every_field(), 7, 3);
}

#[test]
fn a_changed_template_rule_or_setting_sets_the_letters_it_changes() {
    let before = Before::new();
    // One template in four here, every one in the nightly run.
    before.check_all(one_a_file(every_template()), 4, 1);
    before.check_all(one_a_file(every_rule()), 1, 0);
    before.check_all(every_setting(), 7, 0);
}

#[test]
fn a_changed_attachment_sets_the_letters_it_changes() {
    Before::new().check_all(every_attachment(), 7, 0);
}

#[test]
#[ignore = "takes minutes; run by .ci/nightly"]
fn every_changed_field_sets_the_letters_it_changes() {
    Before::new().check_all(every_field(), 1, 0);
}

#[test]
#[ignore = "takes minutes; run by .ci/nightly"]
fn every_changed_template_rule_setting_or_attachment_sets_the_letters_it_changes() {
    let before = Before::new();
    before.check_all(every_template(), 1, 0);
    before.check_all(every_rule(), 1, 0);
    before.check_all(every_setting(), 1, 0);
    before.check_all(every_attachment(), 1, 0);
}

/// Real pages: two cases, one of which is changed three times, each time over
/// the build before.
#[test]
fn a_build_over_an_older_one_has_the_bytes_of_a_clean_one() {
    let root = clinic();
    for file in case_files() {
        if !["fw-0118", "fw-0140"].iter().any(|case| file.contains(case)) {
            fs::remove_file(root.path().join(file)).unwrap();
        }
    }
    let press = Press::open(&Folder::at(root.path()).unwrap());
    let out = scratch();
    run(root.path(), out.path(), &[], &press);
    let mutants = of_entries(&text("cases/fw-0118.yaml"), &CASE);
    let sample = ["film f5 / reading r1 / by", "film f6 / off_for", "patient / called"];
    let mut changed = 0;
    for (at, mutant) in mutants.iter().enumerate() {
        let named = sample.iter().any(|path| mutant.what.starts_with(path));
        if !named && at % 97 != 5 {
            continue;
        }
        fs::write(root.path().join("cases/fw-0118.yaml"), &mutant.text).unwrap();
        let over = run(root.path(), out.path(), &[], &press);
        let fresh = scratch();
        let clean = run(root.path(), fresh.path(), &[], &press);
        let all = |_: &str| true;
        assert_eq!(
            result(&over, out.path(), all),
            result(&clean, fresh.path(), all),
            "{}",
            mutant.what
        );
        changed += over.count(State::Changed);
    }
    assert!(changed > 3, "only {changed} letters changed");
}
