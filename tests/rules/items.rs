//! Item codes of spinal orthoses: the table, contradictions, days counted.

use chrono::NaiveDate;
use endplate::case::{Made, OrthosisClass};
use endplate::diag::{Code, Report};
use endplate::rules::items::{
    Build, ItemKind, ItemTable, LIFETIME_YEARS, check, last_authorised_day, read, useful_lifetime,
};

use super::demo;
use super::support::day;

const FILE: &str = "templates/rules/codes/spinal-orthoses.yaml";

fn table() -> ItemTable {
    let text = include_str!("../../templates/rules/codes/spinal-orthoses.yaml");
    let mut report = Report::default();
    let table = read(text, FILE, &mut report).unwrap();
    assert!(report.is_empty(), "{:?}", report.sorted());
    table
}

#[test]
fn the_table_says_its_edition() {
    let table = table();
    assert_eq!(table.set, "HCPCS Level II");
    assert_eq!(table.valid_from, day("2020-01-01"));
    assert!(table.edition.starts_with("2020"), "{}", table.edition);
}

/// What the set's own descriptors state (HCPCS Level II, 2020, section L), as
/// listed in the clinic's reference: custom fabricated, custom fitted, off the
/// shelf, prefabricated with fitting.
#[test]
fn builds_are_those_of_the_public_set() {
    let lists: [(Build, &[u32]); 4] = [
        (
            Build::CustomFabricated,
            &[
                452, 480, 482, 484, 486, 622, 624, 629, 632, 634, 636, 638, 640, // whole
            ],
        ),
        (
            Build::OffTheShelf,
            &[450, 455, 457, 467, 469, 621, 623, 625, 628, 641, 642, 643, 648, 649, 650, 651],
        ),
        (Build::CustomFitted, &[454, 456, 460, 466, 468, 626, 627, 630, 631, 633, 637, 639]),
        (Build::Prefabricated, &[458, 462, 464, 470, 472, 488, 490, 491, 492, 635, 1001, 1005]),
    ];
    let table = table();
    for (build, numbers) in lists {
        for number in numbers {
            let code = format!("L{number:04}");
            let item = table.item(&code).unwrap_or_else(|| panic!("{code} is missing"));
            assert_eq!(item.build, build, "{code}");
        }
    }
    // Row 17: L0486 is custom fabricated, L0488 prefabricated.
    assert_eq!(table.item("L0486").unwrap().build.word(), "custom fabricated");
    assert_eq!(table.item("L0488").unwrap().build.word(), "prefabricated");
}

#[test]
fn additions_are_the_ones_of_the_scoliosis_section() {
    let table = table();
    let of = |kind| table.items.iter().filter(move |i| i.kind == kind);
    let additions: Vec<&str> = of(ItemKind::Addition).map(|i| i.code.value.as_str()).collect();
    assert_eq!(additions.len(), 14 + 9, "L1010 to L1120, L1210 to L1290");
    assert!(additions.iter().all(|code| ("L1010".."L1300").contains(code)));
    let complete: Vec<&str> = of(ItemKind::Complete).map(|i| i.code.value.as_str()).collect();
    assert_eq!(complete, ["L1001", "L1005"]);
}

/// The codes of complaint about a request for these items.
fn complaints(codes: &[&str], made: Option<Made>, class: Option<OrthosisClass>) -> Vec<Code> {
    let mut case = demo::case("fw-0096");
    let request = &mut case.requests[0];
    let place = request.place.clone();
    let located = |code: &&str| endplate::diag::Located::new(code.to_string(), place.clone());
    request.codes = codes.iter().map(located).collect();
    request.made = made.map(|made| endplate::diag::Located::new(made, place.clone()));
    for treatment in &mut case.treatments {
        treatment.made = None;
        treatment.class = class.map(|c| endplate::diag::Located::new(c, place.clone()));
    }
    let mut report = Report::default();
    check(&case, &table(), &mut report);
    report.iter().map(|d| d.code).collect()
}

#[test]
fn sound_requests_give_no_complaint() {
    for codes in [&["L1300"][..], &["L1200", "L1240", "L1290", "L0984"], &["L1000", "L1060"], &[]] {
        assert_eq!(complaints(codes, None, None), [], "{codes:?}");
    }
    let custom = Some(Made::CustomFabricated);
    let tlso = Some(OrthosisClass::Tlso);
    assert_eq!(complaints(&["L0486"], custom, tlso), []);
    assert_eq!(complaints(&["L1200", "L1240"], custom, tlso), []);
    // The upper part of a low-profile orthosis makes it one with a neck ring.
    assert_eq!(complaints(&["L1000", "L1240"], custom, Some(OrthosisClass::Ctlso)), []);
}

#[test]
fn each_contradiction_is_named_once() {
    let custom = Some(Made::CustomFabricated);
    let ctlso = Some(OrthosisClass::Ctlso);
    // Row 16: a custom addition on a complete prefabricated item.
    assert_eq!(complaints(&["L1005", "L1240"], None, None), [Code::AdditionToComplete]);
    assert_eq!(complaints(&["L1240"], None, None), [Code::AdditionWithoutBase]);
    assert_eq!(complaints(&["L1300", "L1300"], None, None), [Code::ItemCodeRepeated]);
    assert_eq!(complaints(&["L9999"], None, None), [Code::ItemCodeUnknown]);
    // A mistyped base is one fault, not one for each addition too.
    assert_eq!(complaints(&["L12O0", "L1240"], None, None), [Code::ItemCodeUnknown]);
    assert_eq!(complaints(&["L0488"], custom, None), [Code::ItemCodeAgainstMake]);
    let fitted = Some(Made::CustomFitted);
    assert_eq!(complaints(&["L0486"], fitted, None), [Code::ItemCodeAgainstMake]);
    assert_eq!(complaints(&["L0450"], fitted, None), [Code::ItemCodeAgainstMake]);
    assert_eq!(complaints(&["L0488"], fitted, None), []);
    assert_eq!(complaints(&["L0486"], None, ctlso), [Code::ItemCodeAgainstClass]);
}

#[test]
fn faults_of_a_table_are_told_at_their_place() {
    let text = "set: X\nedition: one\nvalid_from: 2026-01-01\nitems:\n  \
        - {code: A1, class: TLSO, kind: base, build: made, text: t}\n  \
        - {code: A2, class: TLSO, kind: base, build: not stated}\n  \
        - {code: A3, class: TLSO, kind: base, build: not stated, text: t}\n  \
        - {code: A3, class: TLSO, kind: base, build: not stated, text: t}\n";
    let mut report = Report::default();
    let table = read(text, "own.yaml", &mut report).unwrap();
    assert_eq!(table.items.len(), 1);
    let lines: Vec<(u32, Code)> =
        report.sorted().iter().map(|d| (d.place.as_ref().unwrap().line, d.code)).collect();
    assert_eq!(lines, [(5, Code::RuleForm), (6, Code::MissingKey), (8, Code::RuleForm)]);
}

#[test]
fn days_that_a_payer_counts() {
    // Row 18: delivered 1 June 2024, Medicare: 1 June 2029 or later.
    assert_eq!(LIFETIME_YEARS, 5);
    assert_eq!(useful_lifetime(day("2024-06-01"), 5), Some(day("2029-06-01")));
    // A leap day has no fifth birthday; five whole years end on 1 March.
    assert_eq!(useful_lifetime(day("2024-02-29"), 5), Some(day("2029-03-01")));
    assert_eq!(useful_lifetime(NaiveDate::MAX, 5), None);
    // Row 19: given 30 April for 60 days, day 1 counts: 1 day of April, 31 of
    // May and 28 of June are 60.
    assert_eq!(last_authorised_day(day("2026-04-30"), 60), Some(day("2026-06-28")));
    assert_eq!(last_authorised_day(day("2026-04-30"), 1), Some(day("2026-04-30")));
    assert_eq!(last_authorised_day(day("2026-04-30"), 0), None);
}

#[test]
fn what_a_recorded_code_describes_is_a_fact() {
    use endplate::facts::{Value, derive};
    use endplate::rules::as_facts;
    let (case, clinic) = (demo::case("fw-0096"), demo::clinic());
    let letter = case.letters.iter().find(|l| l.request.is_some()).unwrap();
    let mut facts = derive(&case, &clinic, letter.as_of.value, Some(letter)).facts;
    as_facts::items(&mut facts, &case.requests[0], &table());
    let text = facts.get("items.L1300.words").unwrap();
    let words = "body jacket for scoliosis, moulded to a model of the patient";
    assert_eq!(text.value, Value::Text(words.into()));
    let lines: Vec<&str> = text.provenance.records.iter().map(|r| r.path.as_str()).collect();
    assert_eq!(lines, ["request q1 / codes", "item L1300"]);
    assert_eq!(facts.get("items.L1300.build").unwrap().word(), Some("custom fabricated"));
    assert_eq!(facts.get("items.L1300.class").unwrap().word(), Some("any"));
    assert!(facts.get("item_codes.valid").is_some());
}

#[test]
fn the_diagnosis_code_carries_edition_and_day() {
    use endplate::facts::{Value, derive};
    use endplate::quantity::PartialDate;
    use endplate::rules::as_facts;
    let (mut case, clinic) = (demo::case("fw-0096"), demo::clinic());
    let day = case.letters[0].as_of.value;
    let mut facts = derive(&case, &clinic, day, None).facts;
    as_facts::code(&mut facts, &case);
    let text = |id: &str| facts.get(id).unwrap().value.clone();
    assert_eq!(text("code.icd"), Value::Text("M41.124".into()));
    assert_eq!(text("code.proposed"), Value::Text("M41.124".into()));
    assert_eq!(facts.get("code.origin").unwrap().word(), Some("recorded"));
    let edition = "ICD-10-CM, tabular list of 1 April 2026";
    assert_eq!(text("code.edition"), Value::Text(edition.into()));
    assert_eq!(text("code.valid"), Value::Date(PartialDate::parse("2026-04-01").unwrap()));
    case.diagnosis.code = None;
    let mut facts = derive(&case, &clinic, day, None).facts;
    as_facts::code(&mut facts, &case);
    assert_eq!(facts.get("code.origin").unwrap().word(), Some("proposed"));
    assert_eq!(facts.get("code.icd").unwrap().value, Value::Text("M41.124".into()));
}

#[test]
fn a_useful_lifetime_is_told_only_where_the_payers_file_says_so() {
    use endplate::facts::{Value, derive};
    use endplate::quantity::PartialDate;
    use endplate::rules::{as_facts, catalogue, payer};
    let text = include_str!("../../templates/rules/payers/brindle-mutual.yaml");
    let (case, clinic) = (demo::case("fw-0096"), demo::clinic());
    let as_of = case.letters.last().unwrap().as_of.value;
    let told = |text: &str| {
        let mut report = Report::default();
        let payer = payer::read(text, "p.yaml", &catalogue::kind, &mut report);
        let faults: Vec<String> = report.iter().map(|d| d.message.clone()).collect();
        let Some(payer) = payer else { return Err(faults) };
        let mut facts = derive(&case, &clinic, as_of, None).facts;
        as_facts::lifetime(&mut facts, &payer, &case, &case.requests[0]);
        Ok(facts.get("policy.lifetime_until").unwrap().value.clone())
    };
    assert!(matches!(told(text), Ok(Value::Missing(_))));
    // The first brace of the demo case was delivered on 31 March 2025.
    let with = |years: &str| told(&format!("useful_lifetime: {years}\n{text}"));
    assert_eq!(with("5 years"), Ok(Value::Date(PartialDate::Day(day("2030-03-31")))));
    let wrong = "`useful_lifetime` is `5`, not whole years".to_string();
    assert_eq!(with("5"), Err(vec![wrong]));
}
