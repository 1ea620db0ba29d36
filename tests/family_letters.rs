//! Letters to families: one page, what was decided told together, and nothing
//! left out that a clinician decided.

use endplate::case::{Case, LetterEntry, LetterKind, PaperSize, Role};
use endplate::diag::{Code, Located};
use endplate::render::text::plain;

use crate::support::demo::{case_text, demo, sound};

/// The demo's progress letters to families.
fn letters() -> Vec<(&'static Case, &'static LetterEntry)> {
    let to_family = |(case, entry): &(&Case, &LetterEntry)| {
        let to = case.contacts.iter().find(|c| c.id.value == entry.to.value);
        *entry.kind == LetterKind::Progress && to.is_some_and(|c| *c.role == Role::Family)
    };
    demo().letters().into_iter().filter(to_family).collect()
}

fn entry(case: &Case, id: &str) -> LetterEntry {
    case.letters.iter().find(|l| l.id.value == id).expect("a letter").clone()
}

/// Words of a letter on one line.
fn words(case: &Case, id: &str) -> String {
    let written = demo().written(case, &entry(case, id));
    plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn pages(case: &Case, entry: &LetterEntry, paper: PaperSize) -> usize {
    let mut clinic = demo().clinic.clone();
    clinic.paper = paper;
    let written = demo().press.write(case, entry, &clinic).expect("a letter");
    let pdf = demo().press.pdf(&written.letter, &written.pictures).expect("its pages");
    lopdf::Document::load_mem(&pdf).expect("a PDF").get_pages().len()
}

#[test]
fn every_one_is_one_page_on_both_papers() {
    let all = letters();
    assert!(all.len() >= 10, "{}", all.len());
    for (case, entry) in all {
        for paper in [PaperSize::A4, PaperSize::UsLetter] {
            assert_eq!(pages(case, entry, paper), 1, "{}/{}", case.id.value, entry.id.value);
        }
    }
}

/// The longest of them, two curves with a long course, a brace with its log
/// and a talk, with as long a remark as a clinician is likely to write.
#[test]
fn the_longest_one_with_a_long_remark_is_one_page() {
    let remark = "Tilly, write down what you want to ask about the cello and take the list with you. \
        If the pad rubs when you sit for a long time, try a second vest and tell us how it went. \
        We will write to your school as well, so that you can stand up in class when you need to.";
    let text = case_text("fw-0087");
    let (before, _) = text.rsplit_once("    remarks: ").expect("the last letter has remarks");
    let case = sound(&format!("{before}    remarks: {remark}\n"), "fw-0087");
    for paper in [PaperSize::A4, PaperSize::UsLetter] {
        assert_eq!(pages(&case, &entry(&case, "l4"), paper), 1);
    }
}

/// The choices of fw-0118's last plan in other combinations.
#[test]
fn what_was_decided_is_told_together() {
    let told = |choice: &str| {
        let text = case_text("fw-0118");
        let (before, after) = text.rsplit_once("    choice: continue\n").expect("a plan");
        let case = sound(&format!("{before}    choice: {choice}\n{after}"), "fw-0118");
        words(&case, "l4")
    };
    let both = told("[continue, exercise]");
    let says = "Please keep the brace on for 20 hours a day and do the exercises.";
    assert!(both.contains(says), "{both}");
    assert_eq!(both.matches("Please keep").count(), 1, "{both}");
    let opinions = told("[continue, surgical opinion, neurological opinion]");
    let says =
        "for 20 hours a day. We would like a surgeon and a nerve specialist to look at it too.";
    assert!(opinions.contains(says), "{opinions}");
    let second = told("[second brace, exercise]");
    assert!(second.contains("Please do the exercises. We suggest a new brace."), "{second}");
    let watched = told("[neurological opinion, watch]");
    let says = "We would like a nerve specialist to look at it too. We will go on measuring it.";
    assert!(watched.contains(says), "{watched}");
    assert!(told("watch").contains("We will watch it and measure again."));
}

#[test]
fn a_red_flag_and_what_was_decided_are_told() {
    let scan = words(demo().case("fw-0131"), "l4");
    let says = "can have another cause than the curve itself. On 22 June 2026 we looked at the scan that was done.";
    assert!(scan.contains(says), "{scan}");
    let asked = words(demo().case("fw-0163"), "l2");
    assert!(asked.contains("On 30 September 2026 we asked for a scan."), "{asked}");
    // Without the answer the family learns that something is still open.
    let text = case_text("fw-0163");
    let (before, rest) = text.split_once("\nanswers:\n").expect("answers");
    let (_, letters) = rest.split_once("\nletters:\n").expect("letters");
    let case = sound(&format!("{before}\nletters:\n{letters}"), "fw-0163");
    let open = words(&case, "l2");
    assert!(open.contains("We will talk with you about what should be looked into."), "{open}");
    // Nothing is said where nothing was found.
    assert!(!words(demo().case("fw-0096"), "l3").contains("another cause"));
}

/// In fw-0096 the upper curve grew and the lower one did not: "no change
/// either" would say that neither did.
#[test]
fn no_change_either_is_said_only_where_the_larger_curve_did_not_change() {
    let grown = words(demo().case("fw-0096"), "l3");
    assert!(!grown.contains("either"), "{grown}");
    assert!(grown.contains("So small a difference can come from measuring alone."), "{grown}");
}

/// What was said at the visit is told as such, in the words it was noted in.
#[test]
fn what_was_told_is_told_as_a_talk() {
    let text = words(demo().case("fw-0118"), "l4");
    let says = "What we talked about. A second brace will be needed when this one is too short";
    assert!(text.contains(says), "{text}");
}

/// The last letter of a case with a request for figures of risk, or without
/// the one it has.
fn asking(id: &str, risk: Option<&str>) -> Case {
    let text = case_text(id).replace("    risk: by_size_and_risser\n", "");
    let at = text.find("    to: home\n").expect("a letter to the family");
    let (before, letter) = text.split_at(at);
    let asked = risk.map_or(String::new(), |key| format!("    risk: {key}\n"));
    sound(&format!("{before}{asked}{letter}"), id)
}

fn refused(case: &Case, id: &str) -> String {
    let faults = demo().press.write(case, &entry(case, id), &demo().clinic).expect_err("refused");
    let [fault] = &faults.iter().collect::<Vec<_>>()[..] else { panic!("{faults:?}") };
    assert_eq!(fault.code, Code::RiskNotTold, "{}", fault.message);
    fault.message.clone()
}

/// 29 degrees and Risser 0: the published table has 68 per cent for 20 to 29
/// degrees and Risser 0 or 1, a whole number, so that nothing is "about".
#[test]
fn risk_is_told_both_ways_where_the_clinician_asks_for_it() {
    let text = words(demo().case("fw-0171"), "l2");
    let says = "Of 100 growing children with a curve like Saskia\u{2019}s on 2 February 2026 (before any brace or cast), 68 had one that went on to grow and 32 had one that did not.";
    assert!(text.contains(says), "{text}");
    assert!(text.contains("cannot say what will happen to Saskia."), "{text}");
    assert!(text.contains("Source: Clinical Advisor"), "{text}");
    assert!(!words(&asking("fw-0103", None), "l4").contains("What a study found"));
}

/// 17 degrees and Risser 3: the table has 1.6 per cent, two of a hundred when
/// rounded, and 98 of a hundred not.
#[test]
fn about_stands_only_where_the_count_is_rounded() {
    let text = "\
case: fw-0902
patient: {name: Ada Thorsby, called: Ada, born: 2012-05-06, sex: female, pronouns: she}
contacts: [{id: home, role: family, name: Ms Thorsby}]
diagnosis: {cause: idiopathic, found: 2024-10}
films:
  - id: f1
    taken: 2025-11-04
    view: frontal
    projection: PA
    displayed: from behind
    posture: standing
    support: none
    readings:
      - id: r1
        by: ev
        read: 2025-11-05
        curves: [{name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 17 deg}]
    maturity: {risser: {grade: 3, scale: US}}
letters: [{id: l1, kind: progress, to: home, as_of: 2025-11-05, signed_by: ev, risk: by_size_and_risser}]
";
    let told = words(&sound(text, "fw-0902"), "l1");
    let says = "with a curve like Ada\u{2019}s on 4 November 2025, about 2 had one that went on to grow and about 98 had one that did not.";
    assert!(told.contains(says), "{told}");
}

/// The bounds of the trial's people are known from memory; the demo clinic
/// has not adopted it.
#[test]
fn a_figure_from_memory_waits_until_the_clinic_adopts_it() {
    let case = asking("fw-0171", Some("trial"));
    // The last letter with remarks is the family's.
    let id = case.letters.iter().find(|l| !l.risk.is_empty()).unwrap().id.value.clone();
    let why = refused(&case, &id);
    assert!(why.contains("letter `l2` cannot tell the risk by `trial`: "), "{why}");
    assert!(why.contains("from memory alone; name `trial` under `adopted:`"), "{why}");
    let mut clinic = demo().clinic.clone();
    clinic.adopted.push(Located { value: "trial".into(), place: clinic.place.clone() });
    let written = demo().press.write(&case, &entry(&case, &id), &clinic).expect("adopted");
    let text = plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ");
    // 72 and 48 per cent of the whole trial stayed below 50 degrees.
    for says in [
        "Of 100 young people with a brace, 72 ended their growth with a curve below 50 degrees, and 28 did not.",
        "Of 100 who were watched without one, 48 did, and 52 did not.",
    ] {
        assert!(text.contains(says), "{says} in {text}");
    }
}

/// fw-0087 measured 34 degrees before her brace; the table ends at 29.
#[test]
fn a_figure_of_other_people_is_refused_with_what_does_not_hold() {
    let case = asking("fw-0087", Some("by_size_and_risser"));
    let why = refused(&case, "l4");
    let says = "not applicable: for curves of 5 to 29 degrees; this one measures 34 degrees";
    assert!(why.ends_with(says), "{why}");
}
