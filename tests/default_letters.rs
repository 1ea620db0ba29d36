//! Letters that follow from visits, plans and fittings by the clinic's rules.
//! Expected entries are worked by hand from the invented case below.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;

use endplate::case::LetterEntry;
use endplate::diag::{Code, Report, Severity};
use endplate::pipeline::impact::Class;
use endplate::pipeline::issue::{Act, Amendment, Desk};
use endplate::pipeline::{Press, load};
use endplate::register::DocumentId;

use crate::support::demo::shown;
use crate::support::small::{CASE, Small, told};

const CLINIC: &str = "clinic: Hollow Lane Clinic (invented)
people:
  - {id: hk, name: Hanna Korr}
  - {id: ms, name: Dr Milo Sarn}
responsible: ms
letters:
  since: 2026-09-01
  follow:
    - {after: visit, kind: progress, to: referring doctor, copies: [family], except: surgical opinion}
    - {after: plan, choice: surgical opinion, kind: surgical opinion, to: surgeon, copies: [referring doctor]}
    - {after: fitting, what: delivered, kind: check, to: referring doctor}
";

/// Invented. Three visits after the first of September, one before; a plan
/// six days after the second visit, one two days after the third; a reading
/// made again, and one made six weeks late.
const TEXT: &str = "case: base
patient: {name: Ines Quarrel, called: Ines, born: 2013-05-06, sex: female, pronouns: she}
background: {menarche: {not_yet: 2027-02-16}, allergies: none known, implants: none}
contacts:
  - {id: gp, role: referring doctor, name: Dr Iris Fenner}
  - {id: home, role: family, name: Mrs Quarrel}
  - {id: father, role: family, name: Mr Quarrel, may_receive: [discharge]}
  - {id: surgeon, role: surgeon, name: Miss Ada Trellick}
diagnosis: {cause: idiopathic, found: 2026-08}
films:
  - id: f1
    taken: 2026-10-20
    view: frontal
    projection: PA
    displayed: from behind
    posture: standing
    support: none
    readings:
      - {id: r1, by: hk, read: 2026-10-22, curves: [{name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 28 deg}]}
      - {id: r2, by: hk, read: 2026-12-20, repeat_of: r1, curves: [{name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 29 deg}]}
    maturity: {risser: {grade: 0, scale: US}}
  - id: f2
    taken: 2026-12-01
    view: frontal
    projection: PA
    displayed: from behind
    posture: standing
    support: b1
    readings:
      - {id: r1, by: hk, read: 2026-12-02, curves: [{name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 17 deg}]}
  - id: f3
    taken: 2027-02-16
    view: frontal
    projection: PA
    displayed: from behind
    posture: standing
    support: none
    off_for: 24 h
    readings:
      - {id: r1, by: hk, read: 2027-04-01, curves: [{name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 31 deg}]}
exams:
  - {on: 2026-08-31, by: hk, height: 150.0 cm}
  - {on: 2026-10-20, by: hk, height: 151.2 cm}
  - {on: 2026-12-01, height: 152.0 cm}
  - {on: 2027-02-16, height: 153.1 cm}
treatments:
  - id: b1
    kind: brace
    class: TLSO
    fittings: [{on: 2026-11-10, what: delivered, film: f2}, {on: 2026-12-01, what: checked}]
plans:
  - {on: 2026-10-26, by: ms, choice: full-time brace}
  - {on: 2026-12-03, choice: [continue, surgical opinion]}
";

fn clinic(text: &str) -> Small {
    with_rules(text, CLINIC)
}

fn with_rules(text: &str, rules: &str) -> Small {
    let small = Small::new();
    fs::write(small.path("cases/clinic.yaml"), rules).unwrap();
    small.write(text);
    small
}

fn loaded(small: &Small) -> (Vec<LetterEntry>, Report) {
    let loaded = load(&small.folder(), &[], 1);
    let report = loaded.all_faults();
    let case = loaded.cases.into_iter().next().and_then(|c| c.case).expect("a case");
    (case.letters, report)
}

/// The entries that nobody typed: id, day, signer, copies.
fn follow(text: &str) -> Vec<String> {
    following(&clinic(text))
}

fn following(small: &Small) -> Vec<String> {
    let (letters, report) = loaded(small);
    assert!(!report.has_errors(), "{}", shown(&report));
    letters.iter().filter(|l| l.follows.is_some()).map(line).collect()
}

fn line(letter: &LetterEntry) -> String {
    let copies: Vec<&str> = letter.copies.iter().map(|c| c.as_str()).collect();
    let record = letter.follows.as_ref().map_or("", |f| f.as_str());
    format!(
        "{} as of {} by {} [{}] {record}:{}",
        *letter.id,
        *letter.as_of,
        *letter.signed_by,
        copies.join(" "),
        letter.place.line
    )
}

const VISIT: &str = "visit-2026-10-20-progress-gp as of 2026-10-26 by ms [home] exam 2026-10-20:43";
const LAST: &str = "visit-2027-02-16-progress-gp as of 2027-02-16 by ms [home] exam 2027-02-16:45";
const PLAN: &str =
    "plan-2026-12-03-surgical-opinion-surgeon as of 2026-12-03 by ms [gp] plan 2026-12-03:53";
const CHECK: &str = "fitting-b1-2026-11-10-check-gp as of 2026-12-02 by ms [] \
                     treatment b1 / fitting 2026-11-10:50";

/// The visit of October waits for its film's first reading (22 October, not
/// the one made again) and for its plan (26 October); that of December came to
/// a plan that excepts it; that of February is not held back by a reading six
/// weeks late. The father agreed to discharge letters alone. The check waits
/// for the film that the fitting names.
#[test]
fn letters_follow_from_what_was_recorded() {
    assert_eq!(follow(TEXT), [VISIT, LAST, PLAN, CHECK]);
}

#[test]
fn nothing_follows_from_before_the_first_day() {
    let since = |day: &str| {
        let rules = CLINIC.replace("2026-09-01", day);
        following(&with_rules(TEXT, &rules)).len()
    };
    // All four visits but the excepted one, the plan, the fitting.
    assert_eq!(since("2026-08-31"), 5);
    assert_eq!(since("2026-10-20"), 4);
    // Of that visit nothing, though its plan was made later.
    assert_eq!(since("2026-10-21"), 3);
    assert_eq!(since("2027-02-16"), 1);
    assert_eq!(since("2027-02-17"), 0);
}

#[test]
fn a_typed_entry_takes_the_place_of_the_one_that_would_follow() {
    let typed = |entry: &str| follow(&format!("{TEXT}letters:\n  - {entry}\n"));
    let l1 = |rest: &str| format!("{{id: l1, kind: progress, to: gp, signed_by: hk, {rest}}}");
    assert_eq!(typed(&l1("as_of: 2026-10-20")), [LAST, PLAN, CHECK]);
    assert_eq!(typed(&l1("as_of: 2026-11-30")), [LAST, PLAN, CHECK]);
    // From the next visit on it is another one's; another reader's is another.
    assert_eq!(typed(&l1("as_of: 2026-12-01")), [VISIT, LAST, PLAN, CHECK]);
    let other = l1("as_of: 2026-10-26").replace("to: gp", "to: home");
    assert_eq!(typed(&other), [VISIT, LAST, PLAN, CHECK]);
    // An addendum adds to it.
    let adds = l1("as_of: 2026-11-02, adds_to: visit-2026-10-20-progress-gp");
    assert_eq!(typed(&adds), [VISIT, LAST, PLAN, CHECK]);
    let opinion = "{id: l1, kind: surgical opinion, to: surgeon, as_of: 2027-01-04, signed_by: ms}";
    assert_eq!(typed(opinion), [VISIT, LAST, CHECK]);
}

#[test]
fn who_may_not_get_it_is_passed_over_in_silence_and_who_is_missing_is_told() {
    let of = |text: &str| {
        let (letters, report) = loaded(&clinic(text));
        let told: Vec<String> =
            report.iter().map(|d| format!("{} {}", d.code.name(), d.message)).collect();
        (letters.iter().map(|l| l.id.value.clone()).collect::<Vec<_>>(), told)
    };
    let none: Vec<String> = Vec::new();
    let gp = "role: referring doctor, name: Dr Iris Fenner";
    let text = TEXT.replace(gp, &format!("{gp}, may_receive: [check]"));
    let (letters, told) = of(&text);
    assert_eq!(
        letters,
        ["plan-2026-12-03-surgical-opinion-surgeon", "fitting-b1-2026-11-10-check-gp"]
    );
    assert_eq!(told, none);
    // Two contacts of one role: the first who may get it.
    let two = text.replace(
        "  - {id: home,",
        "  - {id: gp2, role: referring doctor, name: Dr Orla Vance}\n  - {id: home,",
    );
    let (letters, told) = of(&two);
    assert_eq!(letters[0], "visit-2026-10-20-progress-gp2");
    assert_eq!(told, none);
    // From the day on which letters are withheld, not before.
    let held = "role: family, name: Mrs Quarrel";
    let text =
        TEXT.replace(held, &format!("{held}, withheld: {{since: 2027-01-10, why: court order}}"));
    assert_eq!(follow(&text), [VISIT, &LAST.replace("[home]", "[]"), PLAN, CHECK]);
    // Nobody has the role.
    let text = TEXT.replace("  - {id: surgeon, role: surgeon, name: Miss Ada Trellick}\n", "");
    let (letters, told) = of(&text);
    assert_eq!(letters.len(), 3);
    assert_eq!(
        told,
        ["default-letter-omitted no letter of kind surgical opinion follows plan 2026-12-03: no \
          contact has the role surgeon"]
    );
}

#[test]
fn a_letter_that_nobody_could_sign_does_not_follow() {
    let rules = CLINIC.replace("responsible: ms\n", "");
    let (letters, report) = loaded(&with_rules(TEXT, &rules));
    let ids: Vec<String> = letters.iter().map(line).collect();
    // The visit of October has its planner; the others have nobody known.
    assert_eq!(ids, [VISIT]);
    let told: Vec<&str> = report.iter().map(|d| d.message.as_str()).collect();
    let omitted = |kind: &str, record: &str| {
        format!("no letter of kind {kind} follows {record}: nobody who could sign it is recorded")
    };
    assert_eq!(
        told,
        [
            omitted("progress", "exam 2027-02-16"),
            omitted("surgical opinion", "plan 2026-12-03"),
            omitted("check", "treatment b1 / fitting 2026-11-10"),
        ]
    );
}

#[test]
fn rules_that_can_never_hold_are_faults_of_the_clinics_file() {
    let faults = |rule: &str| -> Vec<String> {
        let head = CLINIC.split("    - {").next().unwrap();
        let (_, report) = loaded(&with_rules(TEXT, &format!("{head}    - {rule}\n")));
        let line = |d: &endplate::diag::Diagnostic| {
            let place = d.place.as_ref().unwrap();
            format!("{}:{} {} {}", place.line, place.column, d.code.name(), d.message)
        };
        let errors = report.iter().filter(|d| d.severity == Severity::Error);
        errors.map(line).collect()
    };
    assert_eq!(
        faults("{after: visit, what: delivered, kind: progress, to: referring doctor}"),
        ["9:28 follow-rule `what` cannot be asked of a visit"]
    );
    assert_eq!(
        faults("{after: fitting, choice: watch, kind: check, to: referring doctor}"),
        ["9:32 follow-rule `choice` cannot be asked of a fitting"]
    );
    assert_eq!(
        faults("{after: visit, kind: progress, to: school, copies: [payer]}"),
        [
            "9:42 kind-not-for-role a letter of kind progress goes by default to the role school",
            "9:59 kind-not-for-role a letter of kind progress is copied by default to the role payer",
        ]
    );
    let [fault] = &faults("{after: visit, kind: justification, to: payer}")[..] else {
        panic!("one fault")
    };
    assert!(fault.starts_with("9:28 unknown-word"), "{fault}");
}

// --- built, explained, lacking ------------------------------------------------

/// Progress and opinions alone: their templates are there.
fn letters_only() -> String {
    CLINIC
        .replace("    - {after: fitting, what: delivered, kind: check, to: referring doctor}\n", "")
}

#[test]
fn they_are_built_explained_and_told_apart_like_typed_ones() {
    let small = with_rules(TEXT, &letters_only());
    let (code, out, said) = told(&small.run(&["build"]));
    assert_eq!(code, 0, "{said}");
    assert_eq!(
        out,
        "new        base/plan-2026-12-03-surgical-opinion-surgeon.pdf\n\
         new        base/visit-2026-10-20-progress-gp.pdf\n\
         new        base/visit-2027-02-16-progress-gp.pdf\n"
    );
    // Nothing changed: the case is skipped whole.
    let (_, out, said) = told(&small.run(&["build"]));
    assert_eq!((out.as_str(), said.as_str()), ("", "3 letters: 3 unchanged\n"));
    let (code, out, _) = told(&small.run(&["explain", "base", "visit-2026-10-20-progress-gp"]));
    assert_eq!(code, 0);
    // As of 26 October the film of October is known, that of December is not.
    assert!(out.contains("cobb: 28 deg") && !out.contains("17 deg"), "{out}");
}

#[test]
fn a_visit_of_another_day_is_another_letter_unless_the_day_is_corrected() {
    let small = with_rules(TEXT, &letters_only());
    small.run(&["build"]);
    let moved = TEXT.replace("{on: 2026-10-20, by: hk", "{on: 2026-10-21, by: hk");
    small.write(&moved);
    let (code, out, said) = told(&small.run(&["build"]));
    assert_eq!(code, 0, "{said}");
    assert_eq!(
        out,
        "moved aside  base/visit-2026-10-20-progress-gp.pdf → .aside/base/visit-2026-10-20-progress-gp.pdf\n\
         new        base/visit-2026-10-21-progress-gp.pdf\n\
         changed    base/visit-2027-02-16-progress-gp.pdf\n"
    );
    // Corrected, it stays the letter it was.
    let corrected = format!(
        "{moved}corrections:\n  - {{on: 2027-01-02, by: hk, at: exam 2026-10-21 / on, was: \
         2026-10-20, now: 2026-10-21, because: typed from the wrong list}}\n"
    );
    small.write(&corrected);
    let ids = following(&small);
    assert!(ids[0].starts_with("visit-2026-10-20-progress-gp as of 2026-10-26"), "{ids:?}");
    assert!(ids[0].contains("exam 2026-10-21"), "{ids:?}");
}

#[test]
fn a_record_that_is_not_complete_gives_the_usual_fault() {
    // No film is read: an opinion cannot be asked for.
    let read =
        |line: &&str| !line.starts_with("    readings:") && !line.starts_with("      - {id: r");
    let text: String = TEXT.lines().filter(read).map(|line| format!("{line}\n")).collect();
    let small = with_rules(&text, &letters_only());
    let (code, out, said) = told(&small.run(&["build", "--letter", "surgical opinion"]));
    assert_eq!(
        (code, out.as_str()),
        (1, "failed     base/plan-2026-12-03-surgical-opinion-surgeon.pdf\n"),
        "{said}"
    );
    assert!(said.contains("letter-lacks-item"), "{said}");
    assert!(said.contains("lacks: a reading of a film out of any brace or cast"), "{said}");
    assert!(said.contains("ask the reader of the film"), "{said}");
}

// --- issued -------------------------------------------------------------------

fn desk<T>(small: &Small, work: impl FnOnce(&Desk) -> T) -> T {
    let folder = small.folder();
    let loaded = load(&folder, &[], 1);
    let press = Press::open(&folder);
    work(&Desk::new(&folder, &loaded, &press, &|| {}))
}

fn act(when: &str) -> Act<'_> {
    Act { by: "ms", at: when.parse().unwrap() }
}

#[test]
fn one_that_left_stays_known_when_its_visit_is_no_more() {
    let small = with_rules(TEXT, &letters_only());
    let id = DocumentId::new("base", "visit-2026-10-20-progress-gp");
    let sent = desk(&small, |desk| desk.issue(&id, act("2026-10-27T09:00:00Z")));
    sent.unwrap_or_else(|r| panic!("{}", shown(&r)));
    let class = |small: &Small| {
        let touched =
            desk(small, |desk| desk.impact(&[])).unwrap_or_else(|r| panic!("{}", shown(&r)));
        let [one] = &touched[..] else { panic!("one letter") };
        let difference = one.difference.as_ref().unwrap_or_else(|r| panic!("{}", shown(r)));
        let holders: Vec<&str> = one.holders.iter().map(|h| h.contact.as_str()).collect();
        assert_eq!(holders, ["gp", "home"]);
        difference.class
    };
    assert_eq!(class(&small), Class::Unchanged);
    // The day edited without a correction: the register says what went out.
    let moved = TEXT.replace("{on: 2026-10-20, by: hk", "{on: 2026-10-21, by: hk");
    small.write(&moved);
    assert_eq!(class(&small), Class::Numbers);
    let again = desk(&small, |desk| desk.issue(&id, act("2026-10-28T09:00:00Z")));
    let codes: Vec<Code> = again.expect_err("issued twice").iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::AlreadyIssued]);
    // Who may not get it by now does not, though no entry says so any more.
    let held = "role: referring doctor, name: Dr Iris Fenner";
    small.write(&moved.replace(held, &format!("{held}, may_receive: [check]")));
    let amendment = Amendment { reason: "transcription", advice_changes: false };
    let amend = desk(&small, |desk| desk.amend(&id, act("2026-10-28T10:00:00Z"), amendment));
    let codes: Vec<Code> = amend.expect_err("amended").iter().map(|d| d.code).collect();
    assert_eq!(codes, [Code::ReaderMayNotReceive]);
    small.write(&moved);
    let gone =
        desk(&small, |desk| desk.withdraw(&id, act("2026-10-29T09:00:00Z"), "not to be relied on"));
    let gone = gone.unwrap_or_else(|r| panic!("{}", shown(&r)));
    assert!(gone.file.is_some());
    // A typed entry that went out and is gone is still asked for by name.
    let other = DocumentId::new("base", "l1");
    let none =
        desk(&small, |desk| desk.withdraw(&other, act("2026-10-29T09:00:00Z"), "wrong reader"));
    assert!(none.is_err());
    assert!(small.path(CASE).is_file());
}
