//! The order to a maker and the check in a brace or cast: what they cannot do
//! without, what they say of sides and levels, and that a percentage always
//! stands with what it came from. Expected numbers are worked by hand from the
//! recorded angles.

use endplate::case::{Case, LetterEntry, LetterKind};
use endplate::diag::{Code, Diagnostic, Report};
use endplate::letter::block::{Block, Figure};
use endplate::letter::lint;
use endplate::render::text::plain;
use lopdf::Document;
use serde_yaml::Value as Yaml;

use crate::support::demo::{case_text, demo, read_text, shown, sound};

fn entry<'a>(case: &'a Case, id: &str) -> &'a LetterEntry {
    case.letters.iter().find(|l| l.id.value == id).expect("a letter of the case")
}

/// A letter's text on one line.
fn flat(case: &Case, id: &str) -> String {
    let letter = demo().written(case, entry(case, id)).letter;
    plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn text(case: &str, id: &str) -> String {
    flat(demo().case(case), id)
}

fn blocks(case: &Case, id: &str) -> Vec<Block> {
    demo().written(case, entry(case, id)).letter.blocks
}

/// The rows of a letter's tables, cell by cell.
fn rows(blocks: &[Block]) -> Vec<Vec<String>> {
    let tables = blocks.iter().filter_map(|block| match block {
        Block::Table { rows, .. } => Some(rows),
        _ => None,
    });
    tables.flatten().map(|row| row.iter().map(|cell| lint::plain(cell)).collect()).collect()
}

fn figures(blocks: &[Block]) -> Vec<&Figure> {
    let each = blocks.iter().filter_map(|b| match b {
        Block::Figures { figures } => Some(figures),
        _ => None,
    });
    each.flatten().collect()
}

fn yaml(case: &str) -> Yaml {
    serde_yaml::from_str(&case_text(case)).unwrap()
}

fn typed(file: &Yaml) -> String {
    serde_yaml::to_string(file).unwrap()
}

/// The record of a list by its id.
fn of<'a>(file: &'a mut Yaml, list: &str, id: &str) -> &'a mut Yaml {
    let items = file[list].as_sequence_mut().unwrap();
    let named = |i: &&mut Yaml| i.get("id").and_then(Yaml::as_str) == Some(id);
    items.iter_mut().find(named).expect("a record of that id")
}

fn remove(record: &mut Yaml, key: &str) {
    record.as_mapping_mut().unwrap().remove(key).expect("the key is there");
}

fn refused(text: &str, case: &str, id: &str) -> Report {
    let case = sound(text, case);
    match demo().press.write(&case, entry(&case, id), &demo().clinic) {
        Ok(_) => panic!("{id} was written"),
        Err(report) => report,
    }
}

// --- the order to a maker

/// Every pad and relief of the record stands in the table from the head down,
/// with its level, the patient's side and the curve it lies beside.
#[test]
fn an_order_lists_every_pad_and_relief_with_level_and_side() {
    let rows = rows(&blocks(demo().case("fw-0096"), "l10"));
    let told: Vec<[&str; 4]> = rows
        .iter()
        .filter(|row| row.len() == 5)
        .map(|row| [row[0].as_str(), &row[1], &row[2], &row[4]])
        .collect();
    // Right thoracic T5 to T11, left lumbar T11 to L4, as recorded.
    assert_eq!(
        told,
        [
            ["Pad 1", "T3–T4", "left, at the flank", "–"],
            ["Pad 2", "T8–T9", "right, at the back", "convex side, right thoracic"],
            ["Pad 3", "L2–L3", "left, at the back", "convex side, left lumbar"],
            ["Pad 4", "S1", "right, at the flank", "–"],
            ["Relief 1", "T7–T10", "left, at the back", "concave side, right thoracic"],
            ["Relief 2", "L1–L3", "right, at the flank", "concave side, left lumbar"],
        ]
    );
}

#[test]
fn an_order_says_who_when_how_long_and_whom_to_ring() {
    let said = text("fw-0096", "l10");
    for words in [
        "Please make a TLSO brace for Tamsin Orrelby, as Dr Emlyn Vasko decided on 19 October 2026",
        "All sides in this letter are the patient’s own",
        "20 hours a day, day and night; begins with: two hours on the first day",
        "wanted by 30 November 2026",
        "the first film in it is due in December 2026",
        "Linnet Barrowe, 0555 010 3327, before you move a pad to another level or side",
        "Allergies: none known. Implants: none.",
        "to stay below 40 degrees until growth ends",
    ] {
        assert!(said.contains(words), "no `{words}` in:\n{said}");
    }
    // Hours that the order does not repeat are those of the first step.
    assert!(text("fw-0131", "l7").contains("9 hours a day, at night"));
    assert!(text("fw-0147", "l4").contains("Allergies: latex."));
}

/// What a maker cannot do without: the letter is not built, and the message
/// names the item and who has it.
#[test]
fn an_order_without_what_a_maker_needs_is_not_built() {
    let needed = [
        ("by", "who decided"),
        ("pads", "pads, each with its level and side"),
        ("check_by", "when the first film in it is due"),
        ("hours", "hours a day it is made for"),
        ("opening", "where it is opened"),
    ];
    for (key, item) in needed {
        let mut file = yaml("fw-0096");
        // The plan of that day would tell when the film is due.
        for plan in file["plans"].as_sequence_mut().unwrap() {
            plan["next"].as_mapping_mut().unwrap().remove("film");
        }
        remove(&mut of(&mut file, "treatments", "b2")["order"], key);
        let report = refused(&typed(&file), "fw-0096", "l10");
        let told = shown(&report);
        assert!(report.iter().all(|d| d.code == Code::LetterLacksItem), "{told}");
        let first = report.iter().next().unwrap();
        let asks = first.remedy.as_ref().is_some_and(|r| r.starts_with("ask "));
        assert!(first.message.contains(item) && asks, "{key}: {told}");
    }
    let mut file = yaml("fw-0096");
    remove(of(&mut file, "treatments", "b2"), "class");
    assert!(shown(&refused(&typed(&file), "fw-0096", "l10")).contains("class of orthosis"));
}

/// Without an order at all every item is asked for, and no template is blamed.
#[test]
fn an_order_that_was_never_recorded_is_asked_for() {
    let mut file = yaml("fw-0096");
    remove(of(&mut file, "treatments", "b2"), "order");
    remove(of(&mut file, "treatments", "b1"), "ordered");
    remove(of(&mut file, "treatments", "b2"), "ordered");
    let report = refused(&typed(&file), "fw-0096", "l10");
    assert!(report.iter().all(|d| d.code == Code::LetterLacksItem), "{}", shown(&report));
}

/// Nothing can be built over a curve that nobody measured.
#[test]
fn an_order_without_a_measured_curve_is_asked_for() {
    let mut file = yaml("fw-0109");
    file["films"].as_sequence_mut().unwrap().remove(0);
    let report = refused(&typed(&file), "fw-0109", "l4");
    let told = shown(&report);
    assert!(told.contains("a reading of a film out of any brace or cast"), "{told}");
    assert!(report.iter().all(|d| d.code == Code::LetterLacksItem), "{told}");
}

/// Absence is said, never taken for "none".
#[test]
fn what_is_not_recorded_of_the_patient_is_said_to_be_so() {
    let mut file = yaml("fw-0096");
    remove(&mut file["background"], "allergies");
    remove(&mut file["background"], "implants");
    let case = sound(&typed(&file), "fw-0096");
    let said = flat(&case, "l10");
    assert!(said.contains("Allergies: not recorded. Implants: not recorded."), "{said}");
    assert!(said.contains("Kyphosis: not recorded."), "{said}");
}

/// A figure over another film than the one the table is of would show pads
/// beside other angles: there is none.
#[test]
fn pads_are_drawn_only_over_the_film_that_the_order_goes_by() {
    let drawn = |case: &str, id: &str| {
        let blocks = blocks(demo().case(case), id);
        figures(&blocks).iter().filter(|f| f.alt.contains("Pads press")).count()
    };
    assert_eq!(drawn("fw-0096", "l10"), 1);
    assert_eq!(drawn("fw-0109", "l4"), 1, "a kyphosis is drawn from the side");
    assert_eq!(drawn("fw-0147", "l4"), 0, "its film of that month has no landmarks");
    let blocks = blocks(demo().case("fw-0096"), "l10");
    let alt = &figures(&blocks)[0].alt;
    assert!(alt.contains("pad 2 at T8 to T9 on the patient's right, at the back"), "{alt}");
    assert!(alt.contains("relief 1 at T7 to T10 on the patient's left, at the back"), "{alt}");
}

/// A letter may name the brace it is about.
#[test]
fn an_order_is_of_the_brace_that_the_letter_names() {
    let mut file = yaml("fw-0096");
    let order = of(&mut file, "treatments", "b2")["order"].clone();
    of(&mut file, "treatments", "b1")["order"] = order;
    of(&mut file, "letters", "l10")["about"] = "b1".into();
    let case = sound(&typed(&file), "fw-0096");
    assert!(flat(&case, "l10").contains("decided on 3 March 2025"));
    of(&mut file, "letters", "l10")["about"] = "q1".into();
    let (_, report) = read_text(&typed(&file), "fw-0096");
    assert!(shown(&report).contains("no brace or cast has the id `q1`"), "{}", shown(&report));
}

// --- the check

/// One angle in it, one out of it, both days and postures, one percentage.
#[test]
fn a_check_tells_both_angles_both_days_and_both_postures() {
    // (22 - 8) / 22 = 63.6
    let said = text("fw-0131", "l8");
    for words in [
        "On 29 June 2026, lying face up in the brace, the left thoracolumbar curve (T10–L3) measured 8°.",
        "Out of it, on 18 May 2026 (1 month earlier), standing, it had measured 22°.",
        "That is an in-brace correction of 64 %.",
        "The two films were taken in different postures",
        "not a result of treatment",
        "on the day it was first worn",
        "It was accepted as it is.",
        "“He can roll over in it and calls it his shell.”",
    ] {
        assert!(said.contains(words), "no `{words}` in:\n{said}");
    }
}

#[test]
fn two_curves_of_one_film_are_told_together() {
    // (28 - 14) / 28 = 50, (25 - 13) / 25 = 48; the second reader came later.
    let said = text("fw-0096", "l7");
    assert!(said.contains("they had measured 28° and 25°"), "{said}");
    assert!(said.contains("an in-brace correction of 50 % and 48 %"), "{said}");
    assert!(said.contains("28 days after it was first worn"), "{said}");
}

#[test]
fn a_curve_turned_over_is_told_with_its_side_and_more_than_full() {
    // (27 + 4) / 27 = 114.8
    let said = text("fw-0103", "l6");
    assert!(said.contains("measured 4° to the other side"), "{said}");
    assert!(said.contains("an in-brace correction of 115 % (more than full)"), "{said}");
}

#[test]
fn a_cast_is_called_a_cast() {
    // (38 - 21) / 38 = 44.7
    let said = text("fw-0118", "l5");
    assert!(
        said.contains("Check in the cast: left thoracic curve 38° without the cast, 21° in it")
    );
    assert!(said.contains("a correction in the cast of 45 %"), "{said}");
    let body = said.split("Dear").nth(1).unwrap();
    assert!(!body.contains("brace"), "{body}");
}

/// A check without a film tells the last film in the same brace, as such.
#[test]
fn a_check_without_a_film_says_so() {
    let said = text("fw-0103", "l7");
    assert!(said.contains("No film was taken in the brace at this check."), "{said}");
    assert!(said.contains("On the last one, of 17 March 2025, standing"), "{said}");
    let said = text("fw-0171", "l6");
    assert!(said.contains("We did not take an X-ray this time."), "{said}");
    assert!(!said.contains('%'), "{said}");
}

#[test]
fn a_brace_never_filmed_is_said_to_be_so() {
    let mut file = yaml("fw-0103");
    remove(&mut file["films"][2], "readings");
    let case = sound(&typed(&file), "fw-0103");
    assert!(flat(&case, "l7").contains("There is no earlier film in it."));
}

/// The check of a second brace tells the first film in the earlier one, with
/// its own days and postures, and ranks neither.
#[test]
fn a_second_brace_is_told_beside_the_first() {
    let mut file = yaml("fw-0147");
    let fitting = &mut of(&mut file, "treatments", "b2")["fittings"][0];
    fitting["decision"] = "accept".into();
    let letter: Yaml = serde_yaml::from_str(
        "{id: l9, kind: check, to: gp, as_of: 2025-11-17, signed_by: lb, about: b2}",
    )
    .unwrap();
    file["letters"].as_sequence_mut().unwrap().push(letter);
    let case = sound(&typed(&file), "fw-0147");
    let said = flat(&case, "l9");
    // (38 - 29) / 38 = 23.7 and (31 - 21) / 31 = 32.3
    for words in [
        "sitting in the brace, the left thoracolumbar curve (T8–L4) measured 29°",
        "an in-brace correction of 24 %",
        "At the first film in the brace worn before, on 18 November 2024, sitting, it had measured \
         21°, from 31° on 16 September 2024, sitting (32 %)",
        "do not say which is the better one",
    ] {
        assert!(said.contains(words), "no `{words}` in:\n{said}");
    }
    let blocks = blocks(&case, "l9");
    let all = figures(&blocks);
    let alt = &all.iter().find(|f| f.alt.contains("What each brace")).expect("bars").alt;
    for words in ["first brace, 31 degrees", "second brace, 38 degrees", "32 %", "24 %"] {
        assert!(alt.contains(words), "no `{words}` in: {alt}");
    }
}

#[test]
fn what_is_to_be_changed_stands_first_with_level_and_side() {
    let rows = rows(&blocks(demo().case("fw-0171"), "l4"));
    assert_eq!(rows[0], ["1", "T12–L1", "left, at the back", "pad 4 mm thicker"]);
    assert_eq!(
        rows[1],
        ["2", "T10–T11", "right, at the flank", "rim lowered by 1 cm, its edge rounded"]
    );
    let said = text("fw-0171", "l4");
    assert!(said.contains("Please make the changes below by 13 April 2026."), "{said}");
    // What was changed on the spot is not asked for again.
    let said = text("fw-0103", "l7");
    assert!(said.contains("It was changed here; please note the changes on your model."));
    assert!(text("fw-0096", "l8").contains("The brace is to be made again"));
}

/// A decision is the clinician's: none is made up, and one taken later was not
/// known before.
#[test]
fn a_check_without_a_decision_is_not_built() {
    for (case, id, letter) in [("fw-0131", "b1", "l8"), ("fw-0118", "c1", "l5")] {
        let mut file = yaml(case);
        remove(&mut of(&mut file, "treatments", id)["fittings"][0], "decision");
        let report = refused(&typed(&file), case, letter);
        let told = shown(&report);
        assert!(told.contains("decision: accept, adjust or remake"), "{told}");
        let asked = report.iter().filter_map(|d| d.remedy.as_deref());
        assert!(asked.eq(["ask the clinician"]), "{told}");
    }
    // Decided on 14 September, the letter of 10 September cannot know it.
    let mut file = yaml("fw-0096");
    of(&mut file, "letters", "l8")["as_of"] = "2026-09-10".into();
    let report = refused(&typed(&file), "fw-0096", "l8");
    assert!(shown(&report).contains("decision"), "{}", shown(&report));
}

/// An adjustment is nothing to a maker without what is to be adjusted.
#[test]
fn an_adjustment_without_changes_is_not_sent_to_the_maker() {
    let mut file = yaml("fw-0171");
    remove(&mut of(&mut file, "treatments", "b1")["fittings"][1], "changes");
    let report = refused(&typed(&file), "fw-0171", "l4");
    assert!(shown(&report).contains("changes, each with level and side"), "{}", shown(&report));
}

/// Ten curves on one film: all in the table, the largest drawn, no line of it
/// reads badly, and the pages hold them.
#[test]
fn ten_curves_read_well() {
    let ends = [
        ("C3", "C5", "C4"),
        ("C5", "C7", "C6"),
        ("T1", "T3", "T2"),
        ("T3", "T5", "T4"),
        ("T5", "T7", "T6"),
        ("T7", "T9", "T8"),
        ("T9", "T11", "T10"),
        ("T11", "L1", "T12"),
        ("L1", "L3", "L2"),
        ("L3", "L5", "L4"),
    ];
    let film = |id: &str, day: &str, support: &str, more: usize| {
        let curve = |(n, (upper, lower, apex)): (usize, &(&str, &str, &str))| {
            let side = if n % 2 == 0 { "right" } else { "left" };
            let cobb = 8 + n + more;
            format!(
                "          - {{name: curve {n}, upper: {upper}, apex: {apex}, lower: {lower}, \
                 convex: {side}, cobb: {cobb} deg}}\n"
            )
        };
        let curves: String = ends.iter().enumerate().map(curve).collect();
        format!(
            "  - id: {id}\n    taken: {day}\n    view: frontal\n    projection: PA\n    \
             displayed: from behind\n    posture: standing\n    support: {support}\n    \
             readings:\n      - id: r1\n        by: lb\n        read: {day}\n        curves:\n\
             {curves}"
        )
    };
    let text = format!(
        "# Invented: nobody here exists.\ncase: zz-0010\n\
         patient: {{name: Bo Ash, born: 2012-03-04, sex: other}}\n\
         contacts: [{{id: gp, role: referring doctor, name: Dr Wren, address: [1 Mill Row]}}]\n\
         diagnosis: {{cause: not yet known}}\n\
         films:\n{}{}treatments:\n  - id: b1\n    kind: brace\n    fittings:\n      \
         - {{on: 2026-02-02, what: delivered, film: f2, decision: accept}}\n\
         letters: [{{id: l1, kind: check, to: gp, as_of: 2026-02-02, signed_by: lb}}]\n",
        film("f1", "2026-01-12", "none", 9),
        film("f2", "2026-02-02", "b1", 0),
    );
    let case = sound(&text, "zz-0010");
    let blocks = blocks(&case, "l1");
    assert_eq!(rows(&blocks).len(), 10);
    let drawn = &figures(&blocks)[0];
    assert!(drawn.caption.contains("Only the largest curves are drawn"), "{}", drawn.caption);
    assert_eq!(lint::faults(&blocks), [""; 0]);
    let pages = Document::load_mem(&demo().pdf(&case, &case.letters[0])).unwrap().get_pages();
    assert!(pages.len() <= 3, "{} pages", pages.len());
}

// --- all of them

fn ours() -> Vec<(&'static Case, &'static LetterEntry)> {
    let kinds = [LetterKind::Prescription, LetterKind::Check];
    demo().letters().into_iter().filter(|(_, e)| kinds.contains(&e.kind)).collect()
}

/// No percentage without the words that keep it from being taken for a result,
/// and nothing that is never claimed.
#[test]
fn a_correction_is_never_told_as_a_result() {
    assert!(ours().len() >= 15, "{} letters", ours().len());
    for (case, letter) in ours() {
        let said = flat(case, &letter.id);
        let name = format!("{}/{}", *case.id, *letter.id);
        let family = said.contains("X-ray");
        if *letter.kind == LetterKind::Check && said.contains("correction of") {
            assert!(said.contains("not a result of treatment"), "{name}: {said}");
        }
        if family && said.contains("What the brace does") {
            assert!(said.contains("It is not a lasting change."), "{name}: {said}");
        }
        for word in ["failed", "necessary", "prevents", " normal"] {
            assert!(!said.contains(word), "{name} says `{word}`: {said}");
        }
    }
}

/// A family's letter is one page on either paper, and the child is spoken to.
#[test]
fn a_family_reads_one_page() {
    for (case, letter) in ours() {
        let lay = case.contacts.iter().any(|c| c.id.value == *letter.to && c.id.value == "home");
        if !lay {
            continue;
        }
        let name = format!("{}/{}", *case.id, *letter.id);
        let whole = demo().written(case, letter);
        let mut written = whole.letter;
        for paper in [endplate::letter::block::Paper::A4, endplate::letter::block::Paper::UsLetter]
        {
            written.frame.paper = paper;
            let pdf = demo().press.pdf(&written, &whole.pictures).unwrap();
            let pages = Document::load_mem(&pdf).unwrap().get_pages().len();
            assert_eq!(pages, 1, "{name} on {paper:?}");
        }
        let called = case.patient.called.as_ref().unwrap();
        assert!(flat(case, &letter.id).contains(&format!(", dear {},", **called)), "{name}");
    }
}

/// Whatever is left out of an order or a fitting, the letters read well or say
/// what is missing and who has it.
#[test]
fn an_order_or_fitting_with_anything_left_out_reads_well() {
    let tried = [("fw-0096", "b2", &["l10"][..]), ("fw-0171", "b1", &["l4", "l5", "l6"])];
    for (case, treatment, letters) in tried {
        let whole = yaml(case);
        for path in paths_below(&whole, treatment) {
            let text = typed(&without(&whole, treatment, &path));
            let (found, report) = read_text(&text, case);
            if report.has_errors() {
                continue;
            }
            let found = found.unwrap();
            for id in letters {
                written_or_asked(&found, id, &format!("{case}/{id} without {path:?}"));
            }
        }
    }
}

fn written_or_asked(case: &Case, id: &str, name: &str) {
    let asks = |d: &Diagnostic| {
        d.code == Code::LetterLacksItem && d.remedy.as_ref().is_some_and(|r| r.contains("ask"))
    };
    match demo().press.write(case, entry(case, id), &demo().clinic) {
        Ok(written) => reads_well(&written.letter.blocks, name),
        Err(report) => assert!(report.iter().all(asks), "{name}: {}", shown(&report)),
    }
}

fn reads_well(blocks: &[Block], name: &str) {
    assert_eq!(lint::faults(blocks), [""; 0], "{name}");
    assert_eq!(lint::bare_headings(blocks), [""; 0], "{name}");
    let cells = rows(blocks).into_iter().flatten();
    let lines = blocks.iter().filter_map(|b| match b {
        Block::Heading { text, .. } | Block::Paragraph { text } => Some(lint::plain(text)),
        _ => None,
    });
    for line in cells.chain(lines) {
        for mark in ["  ", " .", " ,", "()", "( ", "..", ",,", ": .", ", .", "None"] {
            assert!(!line.contains(mark), "{name}: `{mark}` in: {line}");
        }
    }
}

/// A step into a file: a key, or a place in a list.
#[derive(Debug, Clone)]
enum Step {
    Key(String),
    Item(usize),
}

fn paths_below(file: &Yaml, treatment: &str) -> Vec<Vec<Step>> {
    let items = file["treatments"].as_sequence().unwrap();
    let named = |i: &&Yaml| i.get("id").and_then(Yaml::as_str) == Some(treatment);
    let mut found = Vec::new();
    walk(items.iter().find(named).unwrap(), &[], &mut found);
    found
}

fn walk(value: &Yaml, here: &[Step], found: &mut Vec<Vec<Step>>) {
    let mut visit = |step: Step, child: &Yaml| {
        let path = [here, &[step]].concat();
        found.push(path.clone());
        walk(child, &path, found);
    };
    match value {
        Yaml::Mapping(map) => {
            map.iter().for_each(|(k, v)| visit(Step::Key(k.as_str().unwrap().into()), v));
        }
        Yaml::Sequence(list) => {
            list.iter().enumerate().for_each(|(n, v)| visit(Step::Item(n), v));
        }
        _ => {}
    }
}

fn without(file: &Yaml, treatment: &str, path: &[Step]) -> Yaml {
    let mut file = file.clone();
    let (last, way) = path.split_last().unwrap();
    let record = of(&mut file, "treatments", treatment);
    let parent = way.iter().fold(record, |at, step| match step {
        Step::Key(key) => at.get_mut(key.as_str()).unwrap(),
        Step::Item(n) => at.get_mut(n).unwrap(),
    });
    match last {
        Step::Key(key) => drop(parent.as_mapping_mut().unwrap().remove(key.as_str())),
        Step::Item(n) => drop(parent.as_sequence_mut().unwrap().remove(*n)),
    }
    file
}
