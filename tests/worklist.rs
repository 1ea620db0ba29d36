//! `check --for justification` and `--for appeal`: what is still to be done.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use endplate::case::LetterKind;
use endplate::pipeline::io::Folder;
use endplate::pipeline::worklist::{Standing, Task, distance, worklist};
use endplate::pipeline::{Press, load};

use crate::support::demo::case_text;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The list of a clinic that has this one case.
fn list(text: &str, kind: LetterKind) -> Vec<Task> {
    let dir = tempfile::tempdir().unwrap();
    let films = dir.path().join("cases/films");
    fs::create_dir_all(&films).unwrap();
    fs::copy(root().join("cases/clinic.yaml"), dir.path().join("cases/clinic.yaml")).unwrap();
    for n in [1, 2, 4, 5, 6] {
        let name = format!("fw-0096-f{n}.csv");
        fs::copy(root().join("cases/films").join(&name), films.join(&name)).unwrap();
    }
    fs::write(dir.path().join("cases/fw-0096.yaml"), text).unwrap();
    let folder = Folder::at(dir.path()).unwrap();
    let loaded = load(&folder, &[], 1);
    let clinic = loaded.clinic.clone().expect("a clinic");
    worklist(&Press::open(&folder), &loaded, &clinic, kind)
}

/// The second brace before it was asked for: a draft, no answer, no gap.
fn draft() -> String {
    let text = case_text("fw-0096");
    let text = text.replace("    sent: 2026-10-20\n", "").replace("state: denied", "state: draft");
    let (head, rest) = text.split_once("    denial:\n").unwrap();
    let (_, letters) = rest.split_once("\nletters:\n").unwrap();
    let (letters, _) = letters.split_once("  - id: l5\n").unwrap();
    format!("{head}\nletters:\n{letters}")
}

#[test]
fn a_draft_that_lacks_the_hand_film_is_missing_it_and_will_not_meet_one_criterion() {
    let [task] = &list(&draft(), LetterKind::Justification)[..] else { panic!("one task") };
    assert_eq!((task.case.as_str(), task.letter.as_deref()), ("fw-0096", Some("l4")));
    assert_eq!(task.standing, Standing::Missing);
    let [missing] = &task.missing[..] else { panic!("{:?}", task.missing) };
    assert_eq!(missing.what, "D2: stage of hand maturity from a hand film: not recorded");
    assert_eq!(missing.who.as_deref(), Some("the reader of the film"));
    let [unmet] = &task.unmet[..] else { panic!("{:?}", task.unmet) };
    assert_eq!(unmet.criterion, "C1");
    assert_eq!(distance(&unmet.by[0]), "2 percentage points");
    assert!(task.exception && !task.done());
}

#[test]
fn what_the_letter_cannot_do_without_is_in_the_list() {
    let text = draft().replace("    units: 1\n", "");
    let [task] = &list(&text, LetterKind::Justification)[..] else { panic!("one task") };
    assert_eq!(task.missing[0].what, "how many: not recorded");
    assert_eq!(task.missing[0].who.as_deref(), Some("the clinician"));
}

/// 15.9 h/day over the last span too makes it 15.6 of 20, 78 per cent; with
/// the hand film earlier nothing is missing either.
#[test]
fn a_draft_with_everything_is_ready() {
    let text = draft()
        .replace("per_day: 8.6 h/day", "per_day: 15.9 h/day")
        .replace("taken: 2026-11-09", "taken: 2026-10-12");
    let [task] = &list(&text, LetterKind::Justification)[..] else { panic!("one task") };
    assert_eq!(task.standing, Standing::Ready, "{task:?}");
    assert!(task.done());
}

#[test]
fn without_anything_missing_the_unmet_criterion_is_the_standing() {
    let text = draft().replace("taken: 2026-11-09", "taken: 2026-10-12");
    let [task] = &list(&text, LetterKind::Justification)[..] else { panic!("one task") };
    assert_eq!(task.standing, Standing::WillNotMeet, "{task:?}");
}

#[test]
fn a_request_without_its_letter_is_in_the_list() {
    let text = draft();
    let (text, _) = text.split_once("  - id: l4\n").unwrap();
    let [task] = &list(text, LetterKind::Justification)[..] else { panic!("one task") };
    assert_eq!((task.letter.as_deref(), task.request.as_deref()), (None, Some("q1")));
    assert_eq!(task.missing[0].what, "a letter of kind justification that names this request");
    assert!(list(text, LetterKind::Appeal).is_empty());
}

#[test]
fn what_was_asked_for_stands_beside_what_is_missing() {
    let gap = "gaps:\n  - {id: g1, from: xray, asked: 2026-10-13, items: [hand film], for: q1, \
               by: 2026-10-30}\n\nletters:\n";
    let [task] = &list(&draft().replace("letters:\n", gap), LetterKind::Justification)[..] else {
        panic!("one task")
    };
    assert_eq!(task.asked, ["hand film (asked of The Reporting Office, needed by 2026-10-30)"]);
}

#[test]
fn an_appeal_after_its_day_needs_more_time() {
    let text = case_text("fw-0096").replace("answer_by: 2026-12-04", "answer_by: 2026-11-10");
    let [task] = &list(&text, LetterKind::Appeal)[..] else { panic!("one task") };
    assert_eq!(task.standing, Standing::Missing);
    let says = "more time: the last day for an answer was 2 days before the letter";
    assert_eq!(task.missing[0].what, says);
}

#[test]
fn a_case_with_errors_is_faulty_and_not_left_out() {
    let text = case_text("fw-0096").replace("apex: T8, lower: T11", "apex: T8, lower: T31");
    let tasks = list(&text, LetterKind::Appeal);
    assert_eq!(tasks.iter().map(|t| t.standing).collect::<Vec<_>>(), [Standing::Faulty]);
}

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_endplate")).args(args).current_dir(root()).output().unwrap()
}

#[test]
fn the_demos_lists_and_their_exit_codes() {
    let seen = run(&["check", "--for", "justification"]);
    assert_eq!(seen.status.code(), Some(0));
    let told = String::from_utf8(seen.stdout).unwrap();
    assert_eq!(told.lines().count(), 4, "{told}");
    assert!(told.lines().skip(1).all(|line| line.contains("settled")), "{told}");

    let seen = run(&["check", "--for", "appeal"]);
    assert_eq!(seen.status.code(), Some(1));
    let told = String::from_utf8(seen.stdout).unwrap();
    assert!(told.contains("fw-0096  l6      q1       will not meet"), "{told}");
    let short = "measured share of the prescribed hours 73 %, asked at least 75 %, \
                 off by 2 percentage points";
    assert!(told.contains(short), "{told}");

    let seen = run(&["check", "--for", "appeal", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&seen.stdout).unwrap();
    assert_eq!(json[0]["state"], "will not meet");
    assert_eq!(json[0]["unmet"][0]["criterion"], "C1");
    assert_eq!(json[0]["unmet"][0]["by"][0]["fact"], "treatment.current.wear.share");
    assert_eq!(json[0]["exception"], true);

    assert_eq!(run(&["check", "--for", "progress"]).status.code(), Some(2));
}
