//! Letters to families: one page, what was decided told together, and nothing
//! left out that a clinician decided.

use endplate::case::{Case, LetterEntry, LetterKind, PaperSize, Role};
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
    let says = "Please keep the brace on for 20 hours a day and keep up the exercises.";
    assert!(both.contains(says), "{both}");
    assert_eq!(both.matches("Please keep").count(), 1, "{both}");
    let opinions = told("[continue, surgical opinion, neurological opinion]");
    let says =
        "for 20 hours a day. We would like a surgeon and a nerve specialist to look at it too.";
    assert!(opinions.contains(says), "{opinions}");
    let second = told("[second brace, exercise]");
    assert!(second.contains("Please keep up the exercises. We suggest a new brace."), "{second}");
    let watched = told("[neurological opinion, watch]");
    let says = "We would like a nerve specialist to look at it too. We will go on measuring it.";
    assert!(watched.contains(says), "{watched}");
    assert!(told("watch").contains("We will watch it and measure again."));
}

#[test]
fn a_red_flag_and_what_was_decided_are_told() {
    let scan = words(demo().case("fw-0131"), "l4");
    let says = "can have another cause than the curve itself. On 22 June 2026 we went through the scan that was done.";
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
