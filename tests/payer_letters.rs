//! Letters to payers and to holders of what is missing, from the demo cases:
//! what they cannot do without, what they knew on their day, and whether each
//! claim says where it can be seen.

#![allow(clippy::disallowed_methods)] // Tests make files.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use endplate::case::{Case, LetterEntry};
use endplate::diag::{Code, Report};
use endplate::evidence::Source;
use endplate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Value};
use endplate::letter::block::Block;
use endplate::letter::lint;
use endplate::pipeline::Press;
use endplate::pipeline::io::Folder;
use endplate::render::text::plain;
use endplate::rules::catalogue;
use endplate::rules::payer::{self, Asking};
use serde_yaml::Value as Yaml;

use crate::support::demo::{case_text, demo, read_text, shown, sound};

const CASE: &str = "fw-0096";

fn entry<'a>(case: &'a Case, id: &str) -> &'a LetterEntry {
    case.letters.iter().find(|l| l.id.value == id).expect("a letter of the demo")
}

/// A letter's text without line ends.
fn text(case: &str, id: &str) -> String {
    let case = demo().case(case);
    let letter = demo().written(case, entry(case, id)).letter;
    plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The cells of a letter's tables.
fn cells(id: &str) -> Vec<String> {
    let case = demo().case(CASE);
    let blocks = demo().written(case, entry(case, id)).letter.blocks;
    let rows = blocks.into_iter().filter_map(|block| match block {
        Block::Table { rows, .. } => Some(rows),
        _ => None,
    });
    rows.flatten().flatten().map(|cell| lint::plain(&cell)).collect()
}

fn facts(id: &str) -> Facts {
    let case = demo().case(CASE);
    let letter = entry(case, id);
    demo().press.derive(case, &demo().clinic, letter.as_of.value, Some(letter)).facts
}

fn word(facts: &Facts, id: &str) -> Option<&'static str> {
    facts.get(id).and_then(|f| f.word())
}

fn printed(facts: &Facts, id: &str) -> Option<String> {
    match &facts.get(id)?.value {
        Value::Text(text) => Some(text.clone()),
        Value::Number(n) => Some(n.digits()),
        Value::Date(date) => Some(date.to_string()),
        _ => None,
    }
}

fn yaml(case: &str) -> Yaml {
    serde_yaml::from_str(&case_text(case)).unwrap()
}

/// The second brace's case without a film and without whatever names it.
fn without_film(id: &str) -> String {
    let mut file = yaml(CASE);
    let is_it = |v: &Yaml, key: &str| v.get(key).and_then(Yaml::as_str) == Some(id);
    file["films"].as_sequence_mut().unwrap().retain(|f| !is_it(f, "id"));
    for treatment in file["treatments"].as_sequence_mut().unwrap() {
        let Some(fittings) = treatment.get_mut("fittings") else { continue };
        for fitting in fittings.as_sequence_mut().unwrap() {
            if is_it(fitting, "film") {
                fitting.as_mapping_mut().unwrap().remove("film");
            }
        }
    }
    for letter in file["letters"].as_sequence_mut().unwrap() {
        if let Some(enclosures) = letter.get_mut("enclosures") {
            enclosures.as_sequence_mut().unwrap().retain(|e| !is_it(e, "film"));
        }
    }
    serde_yaml::to_string(&file).unwrap()
}

fn refused(text: &str, id: &str) -> Report {
    let case = sound(text, CASE);
    let letter = entry(&case, id);
    match demo().press.write(&case, letter, &demo().clinic) {
        Ok(_) => panic!("{id} was written"),
        Err(report) => report,
    }
}

fn lacks(report: &Report) -> Vec<(&str, Option<&str>)> {
    let items = report.iter().map(|d| {
        assert_eq!(d.code, Code::LetterLacksItem, "{}", shown(report));
        let what = d.message.split_once("lacks: ").expect("what is lacking").1;
        (what, d.remedy.as_deref())
    });
    items.collect()
}

/// A film left out as by a slip of the hand: what still names it is refused.
#[test]
fn the_second_brace_with_any_one_film_missing_is_refused() {
    for id in ["f1", "f2", "f3", "f4", "f5", "f6"] {
        let mut file = yaml(CASE);
        let named = |f: &Yaml| f.get("id").and_then(Yaml::as_str) == Some(id);
        file["films"].as_sequence_mut().unwrap().retain(|f| !named(f));
        let (_, report) = read_text(&serde_yaml::to_string(&file).unwrap(), CASE);
        let says = format!("no film has the id `{id}`");
        assert!(report.iter().any(|d| d.message == says), "{id}: {}", shown(&report));
    }
}

/// And left out everywhere: the letter says which film it needs, and of whom.
#[test]
fn the_second_brace_without_its_last_film_says_which_it_needs() {
    let report = refused(&without_film("f6"), "l4");
    let wanted = "a film out of the brace, taken within three months before the letter \
                  (the last one is film f4 of 2026-04-20): not recorded";
    assert_eq!(lacks(&report), [(wanted, Some("ask whoever takes and reads the films"))]);
    // Without the film before the brace no correction in it can be told.
    let report = refused(&without_film("f1"), "l4");
    let [(what, _)] = lacks(&report)[..] else { panic!("{}", shown(&report)) };
    assert!(what.starts_with("in-brace correction"), "{what}");
}

/// Each item of the request left out: the refusal names it and who has it.
#[test]
fn each_item_left_out_is_named_with_who_has_it() {
    let table: &[(&str, &[&str])] = &[
        ("kind", &["what is asked"]),
        ("units", &["how many"]),
        ("codes", &["item code"]),
        ("item_text", &["item asked for"]),
        ("ordered", &["day of the order"]),
        ("seen", &["day of the examination in person"]),
        ("ordered_by", &["who ordered it", "provider number of who", "telephone of who"]),
        ("supplier", &["supplier", "provider number of the", "telephone of the supplier"]),
        ("hours", &["hours a day asked for"]),
        ("months", &["expected duration"]),
        ("goal", &["goal"]),
        ("stop_rule", &["when treatment is stopped"]),
        ("alternatives", &["alternatives considered"]),
        ("if_not", &["what happens otherwise"]),
        ("expedited", &["kind of review"]),
        ("replaces_because", &["why the present one cannot be adjusted"]),
    ];
    for (key, expected) in table {
        let mut file = yaml(CASE);
        file["requests"][0].as_mapping_mut().unwrap().remove(*key);
        let report = refused(&serde_yaml::to_string(&file).unwrap(), "l4");
        let lacks = lacks(&report);
        assert_eq!(lacks.len(), expected.len(), "{key}: {lacks:?}");
        for ((what, who), wanted) in lacks.iter().zip(*expected) {
            assert!(what.starts_with(wanted), "{key}: {what}");
            assert!(who.is_some_and(|who| who.starts_with("ask ")), "{key}: {who:?}");
        }
    }
}

#[test]
fn what_an_appeal_needs_is_named() {
    let table: &[(&str, &str)] = &[
        ("authority", "the authority to appeal for the member"),
        ("reference", "the payer's reference"),
    ];
    for (key, expected) in table {
        let mut file = yaml(CASE);
        file["requests"][0].as_mapping_mut().unwrap().remove(*key);
        let report = refused(&serde_yaml::to_string(&file).unwrap(), "l6");
        assert!(lacks(&report)[0].0.starts_with(expected), "{key}: {}", shown(&report));
    }
    for (key, expected) in
        [("level", "step of the denial"), ("answer_by", "last day for an answer")]
    {
        let mut file = yaml(CASE);
        file["requests"][0]["denial"].as_mapping_mut().unwrap().remove(key);
        let report = refused(&serde_yaml::to_string(&file).unwrap(), "l6");
        assert!(lacks(&report)[0].0.starts_with(expected), "{key}: {}", shown(&report));
    }
    // The fourth reason names no criterion: its answer is the clinician's.
    let mut file = yaml(CASE);
    let reason = &mut file["requests"][0]["denial"]["reasons"][3];
    reason.as_mapping_mut().unwrap().remove("answer");
    let report = refused(&serde_yaml::to_string(&file).unwrap(), "l6");
    assert_eq!(
        lacks(&report),
        [("answer to reason 4 of the denial: not recorded", Some("ask the clinician"))]
    );
}

/// The request of October knows nothing of the answer of November.
#[test]
fn a_letter_knows_what_was_known_on_its_day() {
    let (october, november) = (facts("l4"), facts("l6"));
    assert!(october.get("request.denial.on").unwrap().missing().is_some());
    assert!(october.get("request.state").unwrap().missing().is_some());
    assert!(october.get("request.reference").unwrap().missing().is_some());
    assert!(october.get("request.new.any").is_none());
    assert_eq!(word(&october, "criteria.c9.verdict"), Some("cannot tell"));
    assert_eq!(printed(&november, "request.denial.on").as_deref(), Some("2026-11-04"));
    assert_eq!(word(&november, "request.state"), Some("denied"));
    assert_eq!(word(&november, "criteria.c9.verdict"), Some("met"));
    // 12 November to 4 December.
    assert_eq!(printed(&november, "request.denial.days_to_go").as_deref(), Some("22"));
}

/// Only the hand film of 9 November is newer than the denial of 4 November.
#[test]
fn new_evidence_is_marked_and_nothing_else() {
    let facts = facts("l6");
    let mut new = BTreeSet::new();
    for c in facts.children("criteria") {
        for e in facts.children(&format!("criteria.{c}.evidence")) {
            if word(&facts, &format!("criteria.{c}.evidence.{e}.new")) == Some("yes") {
                new.insert(c.to_string());
            }
        }
    }
    assert_eq!(new, BTreeSet::from(["c9".to_string()]));
    assert_eq!(facts.children("request.new.films").len(), 1);
    assert!(text(CASE, "l6").contains("New since your decision: hand film of 9 November 2026."));
}

/// Every piece of evidence but the age, which is in every letter's head, says
/// in which enclosure it can be seen, and every number is one of the list.
#[test]
fn every_claim_says_where_it_can_be_seen() {
    for (case, letter) in [(CASE, "l4"), (CASE, "l6"), ("fw-0131", "l5"), ("fw-0171", "l3")] {
        let case = demo().case(case);
        let letter = entry(case, letter);
        let facts =
            demo().press.derive(case, &demo().clinic, letter.as_of.value, Some(letter)).facts;
        let listed = facts.children("enclosures.list").len();
        assert_eq!(listed, letter.enclosures.len());
        for c in facts.children("criteria") {
            for e in facts.children(&format!("criteria.{c}.evidence")) {
                let root = format!("criteria.{c}.evidence.{e}");
                let of = &facts.get(&format!("{root}.value")).unwrap().provenance.inputs[0];
                let head = ["patient.", "diagnosis."];
                if head.iter().any(|h| of.as_str().starts_with(h)) {
                    continue;
                }
                let seen = facts.children(&format!("{root}.seen_in"));
                let told = of.as_str().starts_with("maturity.menarche") || !seen.is_empty();
                assert!(told, "{}: {of} of {c} is in no enclosure", *case.id);
                for n in seen {
                    let number = printed(&facts, &format!("{root}.seen_in.{n}")).unwrap();
                    assert!((1..=listed).contains(&number.parse().unwrap()));
                }
            }
        }
    }
}

/// The film of 12 October is the sixth enclosure; the sensor's report the ninth.
#[test]
fn evidence_names_the_right_enclosure() {
    let cells = cells("l4");
    for part in [
        "right thoracic curve: Cobb angle 36°, T5–T11, 12 Oct 2026, read by Linnet Barrowe and \
         Dr Emlyn Vasko (Encl. 6)",
        "measured share of the prescribed hours 73 %, 14.6 h/day of 20 h/day, 1 May 2025 to \
         11 Oct 2026 (Encl. 9); asked at least 75 %, short by two percentage points",
        "in-brace correction 13 %, 28° on 7 Sep 2026 from 32° on 20 Apr 2026, read by Linnet \
         Barrowe (Encl. 4 and 5); in-brace correction 50 %, 14° on 28 Apr 2025 from 28° on 24 Feb \
         2025, read by Linnet Barrowe (Encl. 1 and 2)",
    ] {
        assert!(cells.iter().any(|c| c == part), "{part} in {cells:#?}");
    }
    let facts = facts("l4");
    let seen = |c: &str, e: &str| {
        let root = format!("criteria.{c}.evidence.{e}.seen_in");
        let numbers = facts.children(&root).into_iter();
        numbers.filter_map(|n| printed(&facts, &format!("{root}.{n}"))).collect::<Vec<_>>()
    };
    assert_eq!(seen("c2", "e1"), ["6"]);
    // 13 % is 28 degrees of film f5 against 32 of film f4.
    assert_eq!(seen("c5", "e1"), ["4", "5"]);
    assert_eq!(seen("c7", "e1"), ["9"]);
    assert_eq!(seen("c4", "e1"), ["7"]);
}

#[test]
fn what_is_not_met_says_by_how_much() {
    let facts = facts("l4");
    // 73 of at least 75 per cent.
    assert_eq!(word(&facts, "criteria.c7.short.s1.asked"), Some("at least"));
    assert_eq!(printed(&facts, "criteria.c7.short.s1.bound").as_deref(), Some("75"));
    assert_eq!(printed(&facts, "criteria.c7.short.s1.by").as_deref(), Some("2"));
    assert!(facts.get("criteria.c2.short.s1.by").is_none());
}

/// Each reason as the payer wrote it, then its answer; nothing is left out.
#[test]
fn each_reason_of_the_denial_is_answered_in_turn() {
    let case = demo().case(CASE);
    let letter = text(CASE, "l6");
    let mut at = 0;
    for reason in &case.requests[0].denial.as_ref().unwrap().reasons {
        let said = reason.text.value.split_whitespace().collect::<Vec<_>>().join(" ");
        let here = letter[at..].find(&said).unwrap_or_else(|| panic!("{said}")) + at;
        let answer = letter[here..].find("Answer.").unwrap() + here;
        assert!(answer - here < said.len() + 20, "an answer follows at once");
        at = answer;
    }
    for part in [
        "Your letter sets 4 December 2026 as the last day for an answer; this letter is in time",
        "We act for the member: Mr and Mrs Orrelby, 6 November 2026",
        "a reviewer of the same specialty as Dr Emlyn Vasko",
        "Please send us the file on which it rests",
        "licence INV-60418",
    ] {
        assert!(letter.contains(part), "{part}");
    }
}

/// Two editions of one policy: which of them counts is the letter's date.
#[test]
fn the_letters_date_chooses_the_edition() {
    let case = demo().case(CASE);
    let mut letter = entry(case, "l4").clone();
    let day = |d: u32, m: u32| NaiveDate::from_ymd_opt(2026, m, d).unwrap();
    let mut of = |on: NaiveDate| {
        let mut dated = letter.as_of.clone();
        dated.value = on;
        letter.dated = Some(dated);
        let as_of = letter.as_of.value;
        let facts = demo().press.derive(case, &demo().clinic, as_of, Some(&letter)).facts;
        (printed(&facts, "policy.edition").unwrap(), facts.children("criteria").len())
    };
    assert_eq!(of(day(31, 8)), ("2025-01".to_string(), 3));
    assert_eq!(of(day(1, 9)), ("2026-09".to_string(), 9));
}

/// Whoever holds a film learns what is needed, and nothing of the illness.
#[test]
fn a_gap_letter_tells_what_is_needed_and_no_more() {
    let letter = text(CASE, "l5");
    for part in [
        "Please send us by 11 November 2026",
        "This is reminder one. We first asked on 9 November 2026.",
        "the written report, with the stage of hand maturity",
        "11 November 2026, in one day",
        "Mrs Orrelby agreed in writing on 6 November 2026",
    ] {
        assert!(letter.contains(part), "{part} in {letter}");
    }
    for word in ["scoliosis", "°", "brace", "Risser", "BM-771", "Brindle"] {
        assert!(!letter.contains(word), "{word} in {letter}");
    }
}

/// Digests are of the bytes of the files; what has no file is on paper.
#[test]
fn enclosures_are_listed_with_pages_and_digests() {
    let facts = facts("l4");
    // 1+1+1+1+1+1 films, 4 + 3 + 2 notes, 1 order.
    assert_eq!(printed(&facts, "enclosures.pages").as_deref(), Some("16"));
    assert_eq!(printed(&facts, "enclosures.count").as_deref(), Some("10"));
    let bytes = include_bytes!("../cases/films/fw-0096-f1.csv");
    let digest = blake3::hash(bytes).to_hex()[..16].to_string();
    assert_eq!(printed(&facts, "enclosures.list.e1.digest"), Some(digest));
    assert!(facts.get("enclosures.list.e3.digest").unwrap().missing().is_some());
}

/// A reason may name a criterion that no edition has: what a person answers is
/// printed, and a reason without answer is asked for.
#[test]
fn a_reason_that_names_no_known_criterion_keeps_its_answer() {
    let mut file = yaml(CASE);
    let reason = &mut file["requests"][0]["denial"]["reasons"][3];
    reason["criterion"] = "S9".into();
    reason["answer"] = "She is not".into();
    let case = sound(&serde_yaml::to_string(&file).unwrap(), CASE);
    let written = demo().press.write(&case, entry(&case, "l6"), &demo().clinic).unwrap();
    let text = plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Answer. She is not."), "{text}");

    let reason = &mut file["requests"][0]["denial"]["reasons"][3];
    reason.as_mapping_mut().unwrap().remove("answer");
    let report = refused(&serde_yaml::to_string(&file).unwrap(), "l6");
    assert_eq!(
        lacks(&report),
        [("answer to reason 4 of the denial: not recorded", Some("ask the clinician"))]
    );
}

/// A criterion that is decided by what does not apply says so.
#[test]
fn a_criterion_without_a_value_says_what_decides_it() {
    const POLICY: &str = "payer: p\nname: P (invented)\npolicies:\n\
        - policy: P 1\n  edition: 2026-01\n  valid_from: 2026-01-01\n  criteria:\n  - id: A\n    \
        worded: Not a girl.\n    \
        when: {not: {fact: patient.sex, is: female}}\n";
    let case = demo().case(CASE);
    let letter = entry(case, "l4");
    let mut report = Report::default();
    let payer = payer::read(POLICY, "p.yaml", &catalogue::kind, &mut report).unwrap();
    let asking = Asking::of(case, letter).unwrap();
    let mut facts = Facts::new(letter.as_of.value);
    let method = Method { formula: String::new(), source: Source::definition("") };
    facts.insert(Fact {
        id: FactId::new("patient.sex"),
        label: "sex".into(),
        value: Value::Missing(Missing::NotApplicable("left out".into())),
        uncertainty: None,
        unrounded: None,
        provenance: Provenance { records: vec![], inputs: vec![], method },
    });
    let policy = &payer.policies[0];
    let answers = payer::evaluate(policy, &facts, &asking.statements(), &mut report);
    payer::told::tell(&mut facts, &payer, policy, &answers, &asking);
    assert_eq!(word(&facts, "criteria.c1.verdict"), Some("met"));
    assert!(facts.children("criteria.c1.evidence").is_empty());
    let said = printed(&facts, "criteria.c1.because.b1");
    assert_eq!(said.as_deref(), Some("sex: not applicable: left out"));
}

/// Facts of a brace that is not worn yet are called by their words.
#[test]
fn what_is_said_of_no_brace_has_a_label() {
    let case = demo().case("fw-0131");
    let born = case.films[0].taken.value;
    let facts = demo().press.derive(case, &demo().clinic, born, None).facts;
    let share = facts.get("treatment.current.wear.share").unwrap();
    assert_eq!(share.label, "measured share of the prescribed hours");
}

/// The words of an item code say scoliosis; below its definition they are
/// left out, and the code alone is printed.
#[test]
fn below_the_definition_no_code_says_scoliosis() {
    let mut file = yaml(CASE);
    for film in file["films"].as_sequence_mut().unwrap() {
        let Some(readings) = film.get_mut("readings") else { continue };
        for reading in readings.as_sequence_mut().unwrap() {
            reading.as_mapping_mut().unwrap().remove("landmarks");
            let Some(curves) = reading.get_mut("curves") else { continue };
            for curve in curves.as_sequence_mut().unwrap() {
                if curve.get("cobb").is_some() {
                    curve["cobb"] = "8 deg".into();
                }
            }
        }
    }
    file["requests"][0]["codes"] = vec![Yaml::from("L1300")].into();
    let (case, report) = read_text(&serde_yaml::to_string(&file).unwrap(), CASE);
    let case = case.unwrap_or_else(|| panic!("{}", shown(&report)));
    let written = demo().press.write(&case, entry(&case, "l4"), &demo().clinic);
    let letter = written.unwrap_or_else(|report| panic!("{}", shown(&report))).letter;
    let text = plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("(item code L1300; as the clinician ordered)"), "{text}");
    assert!(!text.contains("body jacket"), "{text}");
}

/// The trial of bracing speaks for who could have entered it, and for nobody
/// else; the bounds are from memory, so that it is not called alike.
#[test]
fn the_trial_is_told_only_of_who_could_have_entered_it() {
    const TRIAL: &str = "In a trial with a randomised and a preference part";
    const NONE: &str = "No published trial of children like this one was read.";
    let told = |file: &Yaml| {
        let case = sound(&serde_yaml::to_string(file).unwrap(), CASE);
        let written = demo().press.write(&case, entry(&case, "l4"), &demo().clinic);
        let letter = written.unwrap_or_else(|report| panic!("{}", shown(&report))).letter;
        let text = plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(!text.contains("a trial of children like this one"), "{text}");
        (text.contains(TRIAL), text.contains(NONE))
    };
    // 11 years old, Risser 0 and 28 degrees when the first brace began.
    let mut file = yaml(CASE);
    assert_eq!(told(&file), (true, false));
    file["diagnosis"]["cause"] = "neuromuscular".into();
    assert_eq!(told(&file), (false, true));
    // Nine years old at that time.
    let mut file = yaml(CASE);
    file["patient"]["born"] = "2015-09-14".into();
    assert_eq!(told(&file), (false, true));
}

/// 14.9 of 20 hours are 74.5 %, told as 75 %: the criterion asks for 75.
#[test]
fn a_value_that_rounding_lifts_over_the_bound_is_told_unrounded() {
    let mut file = yaml(CASE);
    for treatment in file["treatments"].as_sequence_mut().unwrap() {
        let Some(wear) = treatment.get_mut("wear") else { continue };
        for span in wear["measured"].as_sequence_mut().unwrap() {
            span["per_day"] = "14.9 h/day".into();
        }
    }
    let case = sound(&serde_yaml::to_string(&file).unwrap(), CASE);
    let written = demo().press.write(&case, entry(&case, "l4"), &demo().clinic);
    let written = written.unwrap_or_else(|report| panic!("{}", shown(&report)));
    let text = plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ");
    let mut rows = written.letter.blocks.iter().filter_map(|block| match block {
        Block::Table { rows, .. } => Some(rows.iter().flatten().map(|cell| lint::plain(cell))),
        _ => None,
    });
    let wanted = "; measured share of the prescribed hours before rounding 74.5 %";
    assert!(rows.any(|mut row| row.any(|cell| cell.ends_with(wanted))), "{text}");
    let warned = written.derived.report.iter().filter(|d| d.code == Code::RoundingDecides);
    assert_eq!(warned.count(), 1);
    assert_eq!(word(&written.derived.facts, "criteria.c7.rounded"), Some("yes"));
}

/// The same criterion in a letter: its cell is not empty.
#[test]
fn a_criterion_without_a_value_has_evidence_in_its_cell() {
    const POLICY: &str = "payer: brindle-mutual\nname: Brindle (invented)\npolicies:\n\
        - policy: P 1\n  edition: 2026-01\n  valid_from: 2026-01-01\n  criteria:\n  - id: A\n    \
        worded: No rise before the brace.\n    \
        when: {not: {fact: major.before_treatment.verdict, is: worse}}\n";
    let root = tempfile::tempdir().unwrap();
    let payers = root.path().join("templates/rules/payers");
    std::fs::create_dir_all(root.path().join("cases")).unwrap();
    std::fs::create_dir_all(&payers).unwrap();
    std::fs::copy("cases/clinic.yaml", root.path().join("cases/clinic.yaml")).unwrap();
    std::fs::write(payers.join("brindle-mutual.yaml"), POLICY).unwrap();
    let press = Press::open(&Folder::at(root.path()).unwrap());
    assert!(press.report.is_empty(), "{}", shown(&press.report));
    let case = demo().case(CASE);
    let written = press.write(case, entry(case, "l4"), &demo().clinic);
    let letter = written.unwrap_or_else(|report| panic!("{}", shown(&report))).letter;
    let cell = |block: &Block| match block {
        Block::Table { rows, .. } => rows.iter().flatten().map(|c| lint::plain(c)).collect(),
        _ => Vec::new(),
    };
    let cells: Vec<String> = letter.blocks.iter().flat_map(cell).collect();
    let said = "not applicable: no two comparable films before the brace";
    assert!(cells.iter().any(|cell| cell.contains(said)), "{cells:?}");
}
