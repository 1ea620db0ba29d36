//! Builds of a small clinic with a stand-in for the letter itself: what is
//! written, what is left alone, and what happens when something fails.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::{Path, PathBuf};

use endplate::case::{Case, Clinic, LetterEntry, LetterKind};
use endplate::diag::{Code, Report, render};
use endplate::pipeline::io::{self, Folder};
use endplate::pipeline::{Build, Made, Outcome, State, build};

/// A small clinic in a folder of its own.
pub struct Place {
    /// The clinic's folder.
    pub root: tempfile::TempDir,
}

impl Place {
    /// A clinic whose cases are copies of the one without a fault.
    pub fn new(cases: &[&str]) -> Place {
        let place = Place { root: tempfile::tempdir().unwrap() };
        place.copy("clinic.yaml");
        place.copy("films/base-f1.csv");
        for case in cases {
            place.write(case, &BASE.replace("case: base", &format!("case: {case}")));
        }
        place
    }

    /// Takes over a file of the broken cases' clinic.
    pub fn copy(&self, file: &str) {
        let to = self.root.path().join("cases").join(file);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(broken().join(file), to).unwrap();
    }

    /// Writes a case file.
    pub fn write(&self, case: &str, text: &str) {
        fs::write(self.root.path().join(format!("cases/{case}.yaml")), text).unwrap();
    }

    /// Where letters go.
    pub fn out(&self) -> PathBuf {
        self.root.path().join("out")
    }

    /// Everything, by two workers.
    pub fn request(&self) -> Build {
        Build {
            folder: Folder::at(self.root.path()).unwrap(),
            paths: vec![],
            kind: None,
            out: self.out(),
            jobs: 2,
            paper: None,
            also: vec![],
        }
    }

    fn build(&self) -> Outcome {
        build(&self.request(), &letter, &()).unwrap()
    }
}

/// The case without a fault.
pub const BASE: &str = include_str!("invalid/cases/base.yaml");

fn broken() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/invalid/cases")
}

/// Stands in for a letter: what it depends on, as text.
fn letter(case: &Case, entry: &LetterEntry, clinic: &Clinic) -> Result<Made, Report> {
    let pdf = format!("{} {} {} {:?}", *case.id, *entry.id, *entry.as_of, clinic.paper);
    Ok(Made { pdf: pdf.into_bytes(), warnings: Report::default() })
}

fn states(outcome: &Outcome) -> Vec<(&str, State)> {
    outcome.letters.iter().map(|l| (l.file.as_str(), l.state)).collect()
}

/// Every file below a folder, with its bytes.
pub fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut list = Vec::new();
    for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
        let entry = entry.unwrap();
        if entry.file_type().is_file() {
            let name = entry.path().strip_prefix(folder).unwrap().to_string_lossy().into_owned();
            list.push((name, fs::read(entry.path()).unwrap()));
        }
    }
    list
}

#[test]
fn a_second_build_touches_nothing() {
    let place = Place::new(&["a", "b"]);
    let first = place.build();
    assert_eq!(
        states(&first),
        [
            ("a/l1-progress-gp.pdf", State::New),
            ("a/l2-justification-payer.pdf", State::New),
            ("b/l1-progress-gp.pdf", State::New),
            ("b/l2-justification-payer.pdf", State::New),
        ]
    );
    let modified = |name| fs::metadata(place.out().join(name)).unwrap().modified().unwrap();
    let names = ["a/l1-progress-gp.pdf", ".endplate-build.json"];
    let before = names.map(modified);
    let second = place.build();
    assert!(second.letters.iter().all(|l| l.state == State::Unchanged));
    assert_eq!(names.map(modified), before);
}

#[test]
fn the_number_of_workers_changes_nothing() {
    let cases: Vec<String> = (0..40).map(|i| format!("c{i:02}")).collect();
    let place = Place::new(&cases.iter().map(String::as_str).collect::<Vec<_>>());
    let mut request = place.request();
    let mut seen = Vec::new();
    for jobs in [1, 2, 8] {
        request.jobs = jobs;
        request.out = place.root.path().join(format!("out{jobs}"));
        let outcome = build(&request, &letter, &()).unwrap();
        let names: Vec<_> = outcome.letters.iter().map(|l| l.name.clone()).collect();
        seen.push((names, files(&request.out)));
    }
    assert_eq!(seen[0], seen[1]);
    assert_eq!(seen[0], seen[2]);
}

#[test]
fn a_build_says_which_letters_changed() {
    let place = Place::new(&["a", "b"]);
    place.build();
    let later =
        BASE.replace("case: base", "case: b").replace("as_of: 2025-02-12", "as_of: 2025-03-12");
    place.write("b", &later);
    let changed: Vec<_> = place
        .build()
        .letters
        .into_iter()
        .filter(|l| l.state != State::Unchanged)
        .map(|l| (l.name, l.state))
        .collect();
    assert_eq!(changed, [("b/l1".to_string(), State::Changed)]);
}

#[test]
fn a_bad_case_holds_back_its_own_letters_only() {
    let place = Place::new(&["a", "b"]);
    place.write(
        "b",
        &BASE.replace("case: base", "case: b").replace("signed_by: ms", "signed_by: sm"),
    );
    let outcome = place.build();
    assert_eq!(outcome.count(State::New), 2);
    assert_eq!(outcome.count(State::Failed), 2);
    let codes: Vec<_> = outcome.report.iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::UnknownPerson]);
    assert!(!place.out().join("b").exists());
}

#[test]
fn an_unreadable_case_is_counted_and_the_rest_is_built() {
    let place = Place::new(&["a"]);
    place.write("b", "case: b\npatient: {name: [\n");
    let outcome = place.build();
    assert_eq!((outcome.count(State::New), outcome.unreadable), (2, 1));
    assert!(outcome.report.has_errors());
}

#[test]
fn a_panic_in_one_letter_fails_that_letter_only() {
    let place = Place::new(&["a", "b"]);
    let make = |case: &Case, entry: &LetterEntry, clinic: &Clinic| {
        assert!(*case.id != "a" || *entry.id != "l1", "no such vertebra");
        letter(case, entry, clinic)
    };
    let outcome = build(&place.request(), &make, &()).unwrap();
    assert_eq!((outcome.count(State::New), outcome.count(State::Failed)), (3, 1));
    let fault = outcome.report.iter().next().unwrap();
    assert_eq!(fault.code, Code::InternalFault);
    assert!(fault.message.contains("no such vertebra"), "{}", fault.message);
    assert_eq!(fault.place.as_ref().unwrap().to_string(), "cases/a.yaml:65");
}

#[test]
fn one_kind_of_letter_can_be_built_alone() {
    let place = Place::new(&["a"]);
    let request = Build { kind: Some(LetterKind::Progress), ..place.request() };
    let outcome = build(&request, &letter, &()).unwrap();
    assert_eq!(states(&outcome), [("a/l1-progress-gp.pdf", State::New)]);
    let none = Build { kind: Some(LetterKind::School), ..place.request() };
    let outcome = build(&none, &letter, &()).unwrap();
    assert!(outcome.letters.is_empty() && !outcome.report.has_errors());
    assert_eq!(outcome.report.iter().next().unwrap().code, Code::NothingToDo);
}

#[test]
fn letters_no_longer_asked_for_are_named_and_moved_aside() {
    let place = Place::new(&["a", "b"]);
    place.build();
    let name = "b/l2-justification-payer.pdf";
    let was = fs::read(place.out().join(name)).unwrap();
    place.write("b", &without_justification("b"));
    assert!(states(&place.build()).contains(&(name, State::Moved)));
    assert!(!place.out().join(name).exists());
    assert_eq!(fs::read(place.out().join(".aside").join(name)).unwrap(), was, "it was lost");
    // It is told once.
    assert!(place.build().letters.iter().all(|l| l.state == State::Unchanged));
}

/// The case without its second letter.
pub fn without_justification(case: &str) -> String {
    let text = BASE.replace("case: base", &format!("case: {case}"));
    let kept = text.lines().filter(|line| !line.contains("id: l2"));
    kept.map(|line| format!("{line}\n")).collect()
}

#[test]
fn what_the_build_did_not_make_is_never_touched() {
    let place = Place::new(&["a"]);
    fs::create_dir_all(place.out().join("a")).unwrap();
    fs::write(place.out().join("a/notes.txt"), "mine").unwrap();
    place.build();
    assert_eq!(fs::read_to_string(place.out().join("a/notes.txt")).unwrap(), "mine");
}

#[test]
fn a_letter_removed_by_hand_is_written_again() {
    let place = Place::new(&["a"]);
    place.build();
    let path = place.out().join("a/l1-progress-gp.pdf");
    fs::remove_file(&path).unwrap();
    assert_eq!(place.build().count(State::Unchanged), 2, "its content did not change");
    assert!(path.exists());
}

#[test]
fn two_builds_do_not_write_to_one_folder_at_once() {
    let place = Place::new(&["a"]);
    let _held = io::lock(&place.out()).unwrap();
    let fault = build(&place.request(), &letter, &()).unwrap_err();
    assert!(fault.message.contains("another build is writing there"), "{}", fault.message);
}

#[test]
fn two_files_of_one_case_are_refused() {
    let place = Place::new(&["a"]);
    fs::create_dir_all(place.root.path().join("cases/old")).unwrap();
    fs::create_dir_all(place.root.path().join("cases/old/films")).unwrap();
    let from = place.root.path().join("cases");
    fs::copy(from.join("a.yaml"), from.join("old/a.yaml")).unwrap();
    fs::copy(from.join("films/base-f1.csv"), from.join("old/films/base-f1.csv")).unwrap();
    let outcome = place.build();
    let fault = outcome.report.sorted()[0].clone();
    assert_eq!(
        render::concise(&fault),
        "2:7 error case-file-name case `a` is also in cases/a.yaml"
    );
    assert_eq!(outcome.count(State::New), 2, "the first file is built");
}

#[test]
fn a_broken_clinic_file_builds_nothing_and_says_so() {
    let place = Place::new(&["a"]);
    fs::write(place.root.path().join("cases/clinic.yaml"), "clinc: Harbour Row\n").unwrap();
    let outcome = place.build();
    assert_eq!(outcome.count(State::Failed), 2);
    assert!(outcome.report.has_errors());
}
