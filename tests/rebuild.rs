//! What a second build does: what it leaves alone, what it says, and what it
//! never writes over. A desk stands in for templates and engine.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use endplate::case::{Case, Clinic, LetterEntry, PaperSize};
use endplate::diag::{Code, Report};
use endplate::digest::Digest;
use endplate::pipeline::craft::Inputs;
use endplate::pipeline::{Build, Craft, Edited, Outcome, Output, State, rebuild};

use crate::pipeline::{BASE, Place, files, without_justification};

/// Writes letters of one line, and counts.
struct Desk {
    inputs: Inputs,
    written: AtomicUsize,
    set: Mutex<Vec<String>>,
}

impl Desk {
    fn new() -> Desk {
        let inputs = Inputs::from([("the program".to_string(), Digest::of(b"one"))]);
        Desk { inputs, written: AtomicUsize::new(0), set: Mutex::default() }
    }

    fn with(name: &str, text: &str) -> Desk {
        let mut desk = Desk::new();
        desk.inputs.insert(name.to_string(), Digest::of(text.as_bytes()));
        desk
    }

    fn written(&self) -> usize {
        self.written.load(Ordering::Relaxed)
    }

    fn set(&self) -> Vec<String> {
        let mut set = self.set.lock().unwrap().clone();
        set.sort();
        set
    }
}

impl Craft for Desk {
    type Draft = String;

    fn inputs(&self) -> Option<&Inputs> {
        Some(&self.inputs)
    }

    fn write(&self, case: &Case, entry: &LetterEntry, clinic: &Clinic) -> Result<String, Report> {
        self.written.fetch_add(1, Ordering::Relaxed);
        let name = format!("{}/{}", *case.id, *entry.id);
        Ok(format!("{name} {} {} {:?}", *entry.as_of, *clinic.name, clinic.paper))
    }

    fn pages(&self, draft: &String) -> Option<Digest> {
        Some(Digest::of(draft.as_bytes()))
    }

    fn warnings(&self, _: &String) -> Report {
        Report::default()
    }

    fn set(&self, draft: &String, _: &LetterEntry, output: Output) -> Result<Vec<u8>, Report> {
        let name = draft.split(' ').next().unwrap_or_default().to_string();
        match output {
            Output::Pdf => {
                self.set.lock().unwrap().push(name);
                Ok(draft.clone().into_bytes())
            }
            other => {
                self.set.lock().unwrap().push(format!("{name} {}", other.word()));
                Ok(format!("{draft} {}", other.word()).into_bytes())
            }
        }
    }
}

const L1: &str = "a/l1-progress-gp.pdf";
const L2: &str = "a/l2-justification-payer.pdf";

fn run(place: &Place, edited: Edited, desk: &Desk) -> Outcome {
    rebuild(&place.request(), edited, desk, &()).unwrap()
}

fn keep(place: &Place) -> (Outcome, Desk) {
    let desk = Desk::new();
    (run(place, Edited::Keep, &desk), desk)
}

fn state(outcome: &Outcome, file: &str) -> State {
    outcome.letters.iter().find(|l| l.file == file).unwrap_or_else(|| panic!("no {file}")).state
}

fn whys(outcome: &Outcome) -> Vec<String> {
    let told = |l: &endplate::pipeline::Built| {
        l.why.iter().map(|why| format!("{}: {why}", l.name)).collect::<Vec<_>>()
    };
    outcome.letters.iter().flat_map(told).collect()
}

fn codes(outcome: &Outcome) -> Vec<Code> {
    outcome.report.sorted().iter().map(|d| d.code).collect()
}

fn base(case: &str) -> String {
    BASE.replace("case: base", &format!("case: {case}"))
}

fn path(place: &Place, file: &str) -> PathBuf {
    place.out().join(file)
}

#[test]
fn a_case_without_changes_is_not_even_read() {
    let place = Place::new(&["a", "b"]);
    let (first, desk) = keep(&place);
    assert_eq!((first.skipped, desk.written(), desk.set().len()), (0, 4, 4));
    let before = files(&place.out());
    let (second, desk) = keep(&place);
    assert_eq!((second.skipped, desk.written(), desk.set().len()), (2, 0, 0));
    assert_eq!(second.count(State::Unchanged), 4);
    assert_eq!(files(&place.out()), before);
    assert!(whys(&second).is_empty());
}

#[test]
fn content_decides_and_not_the_time() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    // Written again with the same bytes, and later: the same case.
    place.write("a", &base("a"));
    let (same, _) = keep(&place);
    assert_eq!(same.skipped, 2);
    // Other bytes at the old time: another case.
    let file = place.root.path().join("cases/a.yaml");
    let time = fs::metadata(&file).unwrap().modified().unwrap();
    place.write("a", &base("a").replace("as_of: 2025-02-12", "as_of: 2025-02-13"));
    let opened = fs::File::options().write(true).open(&file).unwrap();
    opened.set_modified(time).unwrap();
    let (other, desk) = keep(&place);
    assert_eq!((other.skipped, desk.set()), (1, vec!["a/l1".to_string()]));
}

#[test]
fn a_comment_makes_a_case_read_but_no_letter_set() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    place.write("a", &format!("# Looked at again.\n{}", base("a")));
    let (outcome, desk) = keep(&place);
    assert_eq!((outcome.skipped, desk.written(), desk.set().len()), (1, 2, 0));
    assert_eq!(outcome.count(State::Unchanged), 4);
    assert_eq!(keep(&place).0.skipped, 2, "the comment is known now");
}

#[test]
fn a_landmark_file_that_changes_or_vanishes_is_an_input() {
    let place = Place::new(&["a"]);
    keep(&place);
    let film = place.root.path().join("cases/films/base-f1.csv");
    let text = fs::read_to_string(&film).unwrap();
    fs::write(&film, format!("{text}\n")).unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!((outcome.skipped, outcome.count(State::Unchanged)), (0, 2));
    fs::remove_file(&film).unwrap();
    let (gone, _) = keep(&place);
    assert_eq!((gone.skipped, gone.count(State::Failed)), (0, 2), "the file is missed");
    fs::write(&film, &text).unwrap();
    assert_eq!(keep(&place).0.count(State::Unchanged), 2);
}

#[test]
fn what_all_cases_share_is_an_input_of_each() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    for desk in [
        Desk::with("the program", "two"),
        Desk::with("templates/letters/en/progress.md.j2", "words"),
        Desk::new(),
    ] {
        let outcome = run(&place, Edited::Keep, &desk);
        assert_eq!((outcome.skipped, desk.written(), desk.set().len()), (0, 4, 0));
    }
    let clinic = place.root.path().join("cases/clinic.yaml");
    let text = fs::read_to_string(&clinic).unwrap();
    fs::write(&clinic, format!("# Ours.\n{text}")).unwrap();
    assert_eq!(keep(&place).0.skipped, 0);
    let request = Build { paper: Some(PaperSize::UsLetter), ..place.request() };
    let desk = Desk::new();
    let outcome = rebuild(&request, Edited::Keep, &desk, &()).unwrap();
    assert_eq!((outcome.skipped, desk.set().len()), (0, 4));
    assert!(whys(&outcome).contains(&"a/l1: --paper: not given → US-Letter".to_string()));
}

#[test]
fn a_build_says_which_record_made_a_letter_new() {
    let place = Place::new(&["a", "b"]);
    let (first, _) = keep(&place);
    assert!(whys(&first).iter().all(|why| why.ends_with("not built here before")));
    let later = base("a").replace("as_of: 2025-02-12", "as_of: 2025-03-12");
    place.write("a", &later);
    let line = later.lines().position(|l| l.contains("as_of: 2025-03-12")).unwrap() + 1;
    let (outcome, _) = keep(&place);
    let wanted = format!("a/l1: letter l1 / as_of: 2025-02-12 → 2025-03-12 (cases/a.yaml:{line})");
    assert_eq!(whys(&outcome), [wanted]);
    let clinic = place.root.path().join("cases/clinic.yaml");
    let text = fs::read_to_string(&clinic).unwrap();
    let name = text.lines().find_map(|l| l.strip_prefix("clinic: ")).unwrap();
    fs::write(&clinic, text.replace(name, "Harbour Row East")).unwrap();
    let (outcome, _) = keep(&place);
    let told = whys(&outcome);
    assert_eq!(told.len(), 4, "{told:?}");
    assert!(told[0].contains(&format!("clinic: {name} → Harbour Row East (cases/clinic.yaml:")));
}

#[test]
fn inputs_since_the_letter_was_last_made_are_told_not_since_the_last_run() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    // Another case is built with the new template first.
    let only_b = Build { paths: vec![place.root.path().join("cases/b.yaml")], ..place.request() };
    let desk = Desk::with("templates/x.j2", "new");
    rebuild(&only_b, Edited::Keep, &desk, &()).unwrap();
    place.write("a", &base("a").replace("as_of: 2025-02-12", "as_of: 2025-03-12"));
    let outcome = run(&place, Edited::Keep, &Desk::with("templates/x.j2", "new"));
    let told = whys(&outcome);
    assert_eq!(told.len(), 2, "{told:?}");
    assert_eq!(told[1], "a/l1: templates/x.j2 is new");
}

#[test]
fn an_edited_letter_is_noticed_and_kept() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    fs::write(path(&place, L1), "edited by hand").unwrap();
    for change in [base("a"), base("a").replace("as_of: 2025-02-12", "as_of: 2025-03-12")] {
        place.write("a", &change);
        // However often: it stays, and stays told.
        for _ in 0..2 {
            let (outcome, _) = keep(&place);
            assert_eq!(state(&outcome, L1), State::Kept);
            assert_eq!(codes(&outcome), [Code::OutputEdited]);
            let fault = outcome.report.iter().next().unwrap();
            assert!(fault.message.contains(L1), "{}", fault.message);
            assert_eq!(fs::read(path(&place, L1)).unwrap(), b"edited by hand");
            assert_eq!(outcome.count(State::Unchanged), 3, "the rest is built");
        }
    }
    let outcome = run(&place, Edited::WriteOver, &Desk::new());
    assert_eq!(codes(&outcome), []);
    assert!(fs::read_to_string(path(&place, L1)).unwrap().contains("2025-03-12"));
    assert_eq!(keep(&place).0.skipped, 2);
}

#[test]
fn an_edited_letter_of_an_unchanged_case_is_written_over_when_asked() {
    let place = Place::new(&["a"]);
    keep(&place);
    fs::write(path(&place, L1), "edited by hand").unwrap();
    let outcome = run(&place, Edited::WriteOver, &Desk::new());
    assert_eq!(whys(&outcome), ["a/l1: its file was not as written; written over"]);
    assert!(fs::read_to_string(path(&place, L1)).unwrap().contains("2025-02-12"));
}

#[test]
fn a_missing_letter_is_written_again() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    let before = files(&place.out());
    fs::remove_file(path(&place, L2)).unwrap();
    let (outcome, desk) = keep(&place);
    assert_eq!((outcome.skipped, desk.set()), (1, vec!["a/l2".to_string()]));
    assert_eq!(whys(&outcome), ["a/l2: its file was missing and is written again"]);
    assert_eq!(files(&place.out()), before);
}

#[test]
fn a_file_of_somebody_else_is_not_written_over() {
    let place = Place::new(&["a"]);
    fs::create_dir_all(path(&place, "a")).unwrap();
    fs::write(path(&place, L1), "mine").unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!((state(&outcome, L1), state(&outcome, L2)), (State::Kept, State::New));
    assert_eq!(codes(&outcome), [Code::OutputNotOurs]);
    assert_eq!(fs::read(path(&place, L1)).unwrap(), b"mine");
    let outcome = run(&place, Edited::WriteOver, &Desk::new());
    assert!(!outcome.report.has_errors());
    assert_ne!(fs::read(path(&place, L1)).unwrap(), b"mine");
}

#[test]
fn letters_of_a_lost_index_are_known_by_their_bytes() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    let before = files(&place.out());
    for index in ["", "{\"letters\": {", "{\"letters\": {}}"] {
        fs::write(path(&place, ".endplate-build.json"), index).unwrap();
        let (outcome, _) = keep(&place);
        assert_eq!(outcome.count(State::Unchanged), 4);
        assert_eq!(files(&place.out()), before);
    }
}

#[test]
fn a_build_stopped_before_its_index_was_written_is_continued() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    let old = fs::read(path(&place, ".endplate-build.json")).unwrap();
    let later = |text: &str| text.replace("as_of: 2025-02-12", "as_of: 2025-03-12");
    place.write("a", &later(&base("a")));
    keep(&place);
    let whole = files(&place.out());
    // The new letter is there, the index is the old one, half a file lies about.
    fs::write(path(&place, ".endplate-build.json"), &old).unwrap();
    fs::write(path(&place, "a/.l1-progress-gp.pdf.4711.part"), "%PD").unwrap();
    let (outcome, _) = keep(&place);
    assert!(!outcome.report.has_errors());
    assert_eq!(state(&outcome, L1), State::Changed);
    assert_eq!(files(&place.out()), whole);
}

fn to_family() -> String {
    base("a").replace("to: gp, copies: [home]", "to: home")
}

#[test]
fn a_letter_to_somebody_else_leaves_no_stale_file() {
    let place = Place::new(&["a"]);
    keep(&place);
    let was = fs::read(path(&place, L1)).unwrap();
    place.write("a", &to_family());
    let (outcome, _) = keep(&place);
    let moved = outcome.letters.iter().find(|l| l.file == L1).unwrap();
    assert_eq!(moved.state, State::Moved);
    assert_eq!(moved.aside.as_deref(), Some(".aside/a/l1-progress-gp.pdf"));
    assert_eq!(fs::read(path(&place, ".aside/a/l1-progress-gp.pdf")).unwrap(), was);
    assert_eq!(state(&outcome, "a/l1-progress-home.pdf"), State::Changed);
    assert_eq!(whys(&outcome)[0], "a/l1: was a/l1-progress-gp.pdf");
    // There and back: nothing that was moved aside is ever written over.
    place.write("a", &base("a"));
    keep(&place);
    place.write("a", &to_family());
    let (outcome, _) = keep(&place);
    let moved = outcome.letters.iter().find(|l| l.file == L1).unwrap();
    assert_eq!(moved.aside.as_deref(), Some(".aside/a/l1-progress-gp.2.pdf"));
}

#[test]
fn an_edited_letter_that_nobody_asks_for_stays() {
    let place = Place::new(&["b"]);
    keep(&place);
    let l2 = "b/l2-justification-payer.pdf";
    fs::write(path(&place, l2), "edited by hand").unwrap();
    place.write("b", &without_justification("b"));
    for _ in 0..2 {
        let (outcome, _) = keep(&place);
        assert_eq!(state(&outcome, l2), State::Left);
        assert_eq!(fs::read(path(&place, l2)).unwrap(), b"edited by hand");
    }
    fs::remove_file(path(&place, l2)).unwrap();
    assert!(keep(&place).0.letters.iter().all(|l| l.file != l2), "it is forgotten");
}

#[test]
fn letters_of_a_case_with_faults_are_not_moved_aside() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    // The faulty letter is left out of what is read; it is still asked for.
    place.write("a", &base("a").replace("kind: justification", "kind: poem"));
    let (outcome, _) = keep(&place);
    assert_eq!(outcome.count(State::Moved), 0);
    assert!(path(&place, L2).exists());
    fs::write(place.root.path().join("cases/a.yaml"), "case: a\npatient: [\n").unwrap();
    assert_eq!(keep(&place).0.count(State::Moved), 0);
    // The clinic's file is broken: nothing can be told.
    fs::write(place.root.path().join("cases/clinic.yaml"), "nmae: x\n").unwrap();
    fs::remove_file(place.root.path().join("cases/a.yaml")).unwrap();
    assert_eq!(keep(&place).0.count(State::Moved), 0);
    assert!(path(&place, L1).exists() && path(&place, L2).exists());
}

#[test]
fn letters_of_a_case_that_is_gone_are_moved_aside() {
    let place = Place::new(&["a", "b"]);
    keep(&place);
    fs::remove_file(place.root.path().join("cases/a.yaml")).unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!((outcome.count(State::Moved), outcome.count(State::Unchanged)), (2, 2));
    assert!(path(&place, ".aside").join(L1).exists() && !path(&place, L1).exists());
}

#[test]
fn a_letter_that_cannot_be_written_fails_alone() {
    let place = Place::new(&["a", "b"]);
    // A file where the folder should be; a folder where a file should be.
    fs::create_dir_all(place.out()).unwrap();
    fs::write(place.out().join("a"), "in the way").unwrap();
    fs::create_dir_all(place.out().join("b/l1-progress-gp.pdf/x")).unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!((outcome.count(State::Failed), outcome.count(State::New)), (3, 1));
    assert!(codes(&outcome).iter().all(|code| *code == Code::OutputUnwritable));
    assert_eq!(fs::read(place.out().join("a")).unwrap(), b"in the way");
    // Once the way is free, the next build makes what is missing.
    fs::remove_file(place.out().join("a")).unwrap();
    fs::remove_dir_all(place.out().join("b/l1-progress-gp.pdf")).unwrap();
    let (outcome, desk) = keep(&place);
    assert_eq!((outcome.count(State::Failed), desk.set().len()), (0, 3));
}

#[test]
fn an_index_that_cannot_be_written_loses_no_letter() {
    let place = Place::new(&["a"]);
    fs::create_dir_all(place.out().join(".endplate-build.json/x")).unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!((outcome.count(State::New), codes(&outcome)), (2, vec![Code::OutputUnwritable]));
    fs::remove_dir_all(place.out().join(".endplate-build.json")).unwrap();
    assert_eq!(keep(&place).0.count(State::Unchanged), 2);
}

#[test]
fn a_second_file_of_a_skipped_case_is_noticed() {
    let place = Place::new(&["b"]);
    keep(&place);
    // It comes first by name, so that the known file is the one refused.
    fs::write(place.root.path().join("cases/a.yaml"), base("b")).unwrap();
    let (outcome, _) = keep(&place);
    assert_eq!(outcome.skipped, 0);
    assert!(codes(&outcome).contains(&Code::CaseFileName));
}

#[test]
fn warnings_of_a_skipped_case_are_told_again() {
    let place = Place::new(&["a"]);
    place.write("a", &base("a").replace("cobb: 15 deg", "cobb: 150 deg"));
    let (first, _) = keep(&place);
    let (second, _) = keep(&place);
    assert_eq!((second.skipped, codes(&second)), (1, vec![Code::CobbUnusual]));
    assert_eq!(format!("{:?}", first.report.sorted()), format!("{:?}", second.report.sorted()));
}

#[test]
fn two_letters_never_share_a_file() {
    let place = Place::new(&["a"]);
    let twin = "  - {id: l1-progress, kind: progress, to: gp, as_of: 2025-02-12, signed_by: ms}\n";
    let contact = "  - {id: progress-gp, role: referring doctor, name: Dr Ivo Pell}\n  - {id: gp,";
    let text = base("a").replace("  - {id: gp,", contact).replace("to: gp,", "to: progress-gp,");
    place.write("a", &format!("{text}{twin}"));
    let (outcome, desk) = keep(&place);
    assert_eq!(codes(&outcome), [Code::OutputNotOurs], "{:?}", outcome.report);
    assert_eq!(desk.set(), ["a/l1", "a/l2"]);
}

const L1_HTML: &str = "a/l1-progress-gp.html";
const L2_HTML: &str = "a/l2-justification-payer.html";
const L1_TEXT: &str = "a/l1-progress-gp.txt";

/// A build with other forms beside the pages.
fn also(place: &Place, also: &[Output]) -> (Outcome, Desk) {
    let desk = Desk::new();
    (with(Build { also: also.to_vec(), ..place.request() }, &desk), desk)
}

fn with(request: Build, desk: &Desk) -> Outcome {
    rebuild(&request, Edited::Keep, desk, &()).unwrap()
}

const BOTH: &[Output] = &[Output::Html, Output::Text];

#[test]
fn forms_beside_the_pages_are_made_and_left_alone_like_them() {
    let place = Place::new(&["a", "b"]);
    let (first, desk) = also(&place, BOTH);
    assert_eq!((first.count(State::New), desk.written(), desk.set().len()), (12, 4, 12));
    assert_eq!(state(&first, L1_TEXT), State::New);
    let before = files(&place.out());
    let (second, desk) = also(&place, BOTH);
    assert_eq!((second.skipped, desk.written(), second.count(State::Unchanged)), (2, 0, 12));
    assert_eq!(files(&place.out()), before);
    // One letter changes: its three files, and no other.
    place.write("a", &base("a").replace("as_of: 2025-02-12", "as_of: 2025-02-13"));
    let (third, desk) = also(&place, BOTH);
    assert_eq!(desk.set(), ["a/l1", "a/l1 html", "a/l1 text"]);
    assert_eq!((third.count(State::Changed), third.count(State::Unchanged)), (3, 9));
}

#[test]
fn forms_asked_for_later_are_made_without_setting_pages_again() {
    let place = Place::new(&["a"]);
    keep(&place);
    let (outcome, desk) = also(&place, &[Output::Html]);
    assert_eq!((outcome.skipped, desk.set()), (0, vec!["a/l1 html".into(), "a/l2 html".into()]));
    assert_eq!((outcome.count(State::New), outcome.count(State::Unchanged)), (2, 2));
    let (outcome, desk) = also(&place, BOTH);
    assert_eq!(desk.set(), ["a/l1 text", "a/l2 text"]);
    assert_eq!(outcome.count(State::Unchanged), 4);
    // Pages alone count as asked for a second time: nothing is set.
    assert_eq!(also(&place, &[Output::Pdf, Output::Text, Output::Html]).0.skipped, 1);
}

#[test]
fn forms_that_are_no_longer_asked_for_are_moved_aside() {
    let place = Place::new(&["a"]);
    also(&place, BOTH);
    let html = fs::read(path(&place, L1_HTML)).unwrap();
    fs::write(path(&place, L2_HTML), "edited by hand").unwrap();
    for round in 0..2 {
        let (outcome, desk) = also(&place, &[Output::Text]);
        assert_eq!(desk.set(), Vec::<String>::new());
        assert_eq!(state(&outcome, L2_HTML), State::Left, "edited: it stays and is told");
        assert_eq!(outcome.count(State::Moved), 1 - round);
        assert_eq!((outcome.count(State::Unchanged), outcome.skipped), (4, round));
    }
    assert_eq!(fs::read(path(&place, ".aside").join(L1_HTML)).unwrap(), html);
    assert!(!path(&place, L1_HTML).exists() && path(&place, L1_TEXT).exists());
    assert_eq!(fs::read(path(&place, L2_HTML)).unwrap(), b"edited by hand");
    // Asked for again: what was edited is kept, the other made anew.
    let (outcome, desk) = also(&place, BOTH);
    assert_eq!(
        (state(&outcome, L2_HTML), codes(&outcome)),
        (State::Kept, vec![Code::OutputEdited])
    );
    assert_eq!(desk.set(), ["a/l1 html"]);
}

#[test]
fn a_form_edited_by_hand_or_missing_is_told_apart_from_its_pages() {
    let place = Place::new(&["a"]);
    also(&place, BOTH);
    fs::write(path(&place, L1_TEXT), "edited by hand").unwrap();
    fs::remove_file(path(&place, L2_HTML)).unwrap();
    for round in 0..2 {
        let (outcome, desk) = also(&place, BOTH);
        assert_eq!(
            (state(&outcome, L1_TEXT), state(&outcome, L1)),
            (State::Kept, State::Unchanged)
        );
        assert_eq!(desk.set().len(), 1 - round, "only the missing one");
        assert_eq!(fs::read(path(&place, L1_TEXT)).unwrap(), b"edited by hand");
    }
    let request = Build { also: BOTH.to_vec(), ..place.request() };
    let outcome = rebuild(&request, Edited::WriteOver, &Desk::new(), &()).unwrap();
    assert_eq!(codes(&outcome), []);
    assert!(fs::read_to_string(path(&place, L1_TEXT)).unwrap().ends_with("text"));
}

/// A build of one kind speaks for the letters of that kind alone.
#[test]
fn forms_of_letters_that_were_not_looked_at_stay() {
    let place = Place::new(&["a"]);
    also(&place, &[Output::Html]);
    let kind = Some(endplate::case::LetterKind::Progress);
    let outcome = with(Build { kind, ..place.request() }, &Desk::new());
    assert_eq!(outcome.count(State::Moved), 1);
    assert!(!path(&place, L1_HTML).exists() && path(&place, L2_HTML).exists());
    // Nor does a build of a case with faults, or of another case.
    place.write("a", &base("a").replace("patient:", "patiend:"));
    keep(&place);
    assert!(path(&place, L2_HTML).exists());
    let paths = vec![place.root.path().join("cases/b.yaml")];
    place.write("b", &base("b"));
    with(Build { paths, ..place.request() }, &Desk::new());
    assert!(path(&place, L2_HTML).exists());
    place.write("a", &base("a"));
    assert_eq!(keep(&place).0.count(State::Moved), 1);
    assert!(!path(&place, L2_HTML).exists());
}

#[test]
fn all_forms_of_a_letter_to_somebody_else_move() {
    let place = Place::new(&["a"]);
    also(&place, BOTH);
    place.write("a", &to_family());
    let (outcome, _) = also(&place, BOTH);
    let moved: Vec<_> =
        outcome.letters.iter().filter(|l| l.state == State::Moved).map(|l| &l.file).collect();
    assert_eq!(moved, [L1_HTML, L1, L1_TEXT]);
    assert_eq!(state(&outcome, "a/l1-progress-home.html"), State::Changed);
}

/// No form is newer than the pages: where these cannot be written, the others
/// stay as they are.
#[test]
fn a_letter_whose_pages_fail_keeps_its_other_forms() {
    let place = Place::new(&["a"]);
    also(&place, BOTH);
    let before = fs::read(path(&place, L1_HTML)).unwrap();
    fs::remove_file(path(&place, L1)).unwrap();
    fs::create_dir_all(path(&place, L1).join("x")).unwrap();
    place.write("a", &base("a").replace("as_of: 2025-02-12", "as_of: 2025-03-12"));
    let (outcome, _) = also(&place, BOTH);
    assert_eq!((outcome.count(State::Failed), outcome.count(State::Unchanged)), (3, 3));
    assert_eq!(codes(&outcome), [Code::OutputUnwritable], "told once");
    assert_eq!(fs::read(path(&place, L1_HTML)).unwrap(), before);
    fs::remove_dir_all(path(&place, L1)).unwrap();
    let (outcome, _) = also(&place, BOTH);
    assert_eq!((outcome.count(State::Failed), outcome.count(State::Changed)), (0, 3));
}

#[test]
fn an_option_that_made_a_new_form_is_told() {
    let place = Place::new(&["a"]);
    also(&place, &[Output::Html]);
    place.write("a", &base("a").replace("as_of: 2025-02-12", "as_of: 2025-03-12"));
    let (outcome, _) = also(&place, BOTH);
    let told = whys(&outcome);
    assert!(told.contains(&"a/l1: --also: html → html, text".to_string()), "{told:?}");
}
