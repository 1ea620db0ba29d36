//! Contacts from whom letters are withheld: nothing reaches them, whatever way
//! a letter goes.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use endplate::diag::{Code, Report};
use endplate::pipeline::issue::{Act, Amendment, Desk, Done};
use endplate::pipeline::{Archive, Press, load};
use endplate::register::{DocumentId, Role};

use crate::support::demo::shown;
use crate::support::small::{Small, told};

const HOME: &str = "{id: home, role: family, name: Mr and Mrs Ellwood}";
const WITHHELD: &str = "{id: home, role: family, name: Mr Ellwood, \
                        withheld: {since: 2025-03-03, why: order of the family court}}";

fn desk<T>(small: &Small, work: impl FnOnce(&Desk) -> T) -> T {
    let folder = small.folder();
    let loaded = load(&folder, &[], 1);
    let press = Press::open(&folder);
    work(&Desk::new(&folder, &loaded, &press, &|| {}))
}

fn act(when: &str) -> Act<'_> {
    Act { by: "hk", at: when.parse().unwrap() }
}

fn letter(id: &str) -> DocumentId {
    DocumentId::new("base", id)
}

fn must(result: Result<Done, Report>) -> Done {
    result.unwrap_or_else(|report| panic!("{}", shown(&report)))
}

fn codes(result: Result<Done, Report>) -> Vec<Code> {
    match result {
        Ok(done) => panic!("{} went out", done.instance),
        Err(report) => report.iter().map(|d| d.code).collect(),
    }
}

fn amend(small: &Small, id: &str, when: &str) -> Result<Done, Report> {
    let amendment = Amendment { reason: "transcription", advice_changes: false };
    desk(small, |desk| desk.amend(&letter(id), act(when), amendment))
}

fn withhold(small: &Small) {
    small.write(&small.text().replace(HOME, WITHHELD));
}

/// A letter to the doctor with a copy to the family, and one to the family,
/// both issued; then a court, and then an angle that was wrong.
fn story() -> Small {
    let small = Small::new();
    let more = "  - {id: l3, kind: progress, to: home, as_of: 2025-02-12, signed_by: hk}\n";
    small.write(&format!("{}{more}", small.text()));
    must(desk(&small, |desk| desk.issue(&letter("l1"), act("2025-02-13T09:00:00Z"))));
    must(desk(&small, |desk| desk.issue(&letter("l3"), act("2025-02-13T09:05:00Z"))));
    withhold(&small);
    let text = small.text().replace("convex: right, cobb: 15 deg", "convex: right, cobb: 19 deg");
    small.write(&text);
    small
}

#[test]
fn a_draft_of_an_earlier_day_does_not_leave_later() {
    let small = Small::new();
    withhold(&small);
    // The entry is of a day before the order, so the case is sound.
    let (code, _, said) = told(&small.run(&["check"]));
    assert_eq!(code, 0, "{said}");
    let issue = |when: &str| desk(&small, |desk| desk.issue(&letter("l1"), act(when)));
    assert_eq!(codes(issue("2025-03-03T09:00:00Z")), [Code::ReaderWithheld]);
    // A clinic's day may be a day ahead of the register's.
    assert_eq!(codes(issue("2025-03-02T23:00:00Z")), [Code::ReaderWithheld]);
    must(issue("2025-03-01T09:00:00Z"));
}

#[test]
fn an_amendment_leaves_them_out_and_nobody_is_asked_to_tell_them() {
    let small = story();
    let done = must(amend(&small, "l1", "2025-03-10T09:00:00Z"));
    let documents = desk(&small, |desk| desk.documents()).unwrap();
    let recipients = &documents[&letter("l1")].version(2).unwrap().issue.recipients;
    assert_eq!(recipients[..], [(Role::To, "gp".to_string())]);
    let record = std::fs::read_to_string(small.path(&done.file.unwrap().replace(".pdf", ".json")));
    assert!(!record.unwrap().contains("Ellwood, copy"));
    let (_, out, said) = told(&small.run(&["owed"]));
    let home = "home (Mr Ellwood) holds version 1 of base/l1, amended as version 2 on 2025-03-10; \
                do not tell them: letters are withheld from them since 2025-03-03";
    assert!(out.lines().any(|line| line == home), "{out}");
    assert_eq!(said, "1 holder must still be told\n");
    let on = "2025-03-11".parse().unwrap();
    let tell = desk(&small, |desk| {
        desk.told(&letter("l1"), "home", act("2025-03-11T09:00:00Z"), on, "telephone")
    });
    assert_eq!(codes(tell), [Code::ReaderWithheld]);
}

#[test]
fn a_letter_of_their_own_is_not_amended_and_its_withdrawal_makes_no_notice() {
    let small = story();
    assert_eq!(codes(amend(&small, "l3", "2025-03-10T09:00:00Z")), [Code::ReaderWithheld]);
    let withdraw = |id: &str| {
        let act = act("2025-03-12T09:00:00Z");
        must(desk(&small, |desk| desk.withdraw(&letter(id), act, "not to be relied on")))
    };
    assert_eq!(withdraw("l3").file, None);
    // The doctor's copy is withdrawn with a notice, to the doctor alone.
    let file = withdraw("l1").file.expect("a notice");
    let pdf = lopdf::Document::load(small.path(&file)).unwrap();
    let text = pdf.extract_text(&[1]).unwrap_or_default();
    assert!(!text.contains("Ellwood,"), "{text}");
    let mut report = Report::default();
    Archive::of(&small.folder()).verify(&mut report).unwrap();
    assert!(report.is_empty(), "{}", shown(&report));
}

#[test]
fn the_reason_is_never_printed() {
    let small = story();
    let loaded = load(&small.folder(), &[], 1);
    let (case, press) = (loaded.cases[0].sound().unwrap(), Press::open(&small.folder()));
    let clinic = loaded.clinic.as_ref().unwrap();
    for entry in case.letters.iter().filter(|l| l.kind.word() == "progress") {
        let written = press.write(case, entry, clinic).unwrap_or_else(|r| panic!("{}", shown(&r)));
        let text = endplate::render::text::plain(&written.letter);
        assert!(!text.contains("court"), "{text}");
        let facts = written.derived.facts.iter().map(|f| f.value.said());
        assert!(!facts.collect::<String>().contains("court"));
    }
}
