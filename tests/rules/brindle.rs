//! The demo clinic's payer: a boundary table for every criterion of both
//! editions, and the criteria of the demo's second brace worked by hand.

use std::collections::BTreeMap;

use endplate::diag::Report;
use endplate::facts::{Facts, Value, derive};
use endplate::quantity::{Age, Reported, Unit};
use endplate::rules::Verdict::{self, CannotTell, Met, NotMet};
use endplate::rules::catalogue;
use endplate::rules::payer::{self, CriterionVerdict, Payer};

use super::demo;
use super::support::*;

const OLD: &str = "2026-08-31";
const NEW: &str = "2026-09-01";

fn brindle() -> Payer {
    let mut report = Report::default();
    let text = include_str!("../../templates/rules/payers/brindle-mutual.yaml");
    let file = "templates/rules/payers/brindle-mutual.yaml";
    let payer = payer::read(text, file, &catalogue::kind, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    payer.unwrap()
}

fn all(on: &str, facts: &Facts, said: &BTreeMap<String, String>) -> Vec<CriterionVerdict> {
    let mut report = Report::default();
    let payer = brindle();
    let policy = payer.policy_on(day(on), &mut report).unwrap();
    let verdicts = payer::evaluate(policy, facts, said, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    verdicts
}

fn verdict(on: &str, id: &str, values: &[(&str, Value)]) -> Verdict {
    let verdicts = all(on, &facts(values), &BTreeMap::new());
    verdicts.iter().find(|v| v.id == id).unwrap().verdict
}

/// Each row: a value of the fact and the verdict by the criterion's words.
fn table(on: &str, id: &str, fact: &str, rows: Vec<(Value, Verdict)>) {
    for (value, expected) in rows {
        let found = verdict(on, id, &[(fact, value.clone())]);
        assert_eq!(found, expected, "{id} on {on}: {fact} {value:?}");
    }
    assert_eq!(verdict(on, id, &[(fact, not_recorded("it", "them"))]), CannotTell);
    assert_eq!(verdict(on, id, &[]), CannotTell);
}

#[test]
fn the_older_edition_at_its_bounds() {
    let deg = |n| whole(n, Unit::Degree);
    table(OLD, "A1", "major.now.cobb", vec![(deg(24), NotMet), (deg(25), NotMet), (deg(26), Met)]);
    let one = |n| whole(n, Unit::One);
    let rows = vec![(one(0), Met), (one(1), Met), (one(2), Met), (one(3), NotMet)];
    table(OLD, "A2", "maturity.risser.grade", rows);
    let cm = |n| tenths(n, Unit::Centimetre);
    let rows = vec![(cm(3.9), NotMet), (cm(4.0), Met), (cm(4.1), Met)];
    table(OLD, "B1", "growth.since_delivery", rows);
}

#[test]
fn the_newer_edition_at_its_bounds() {
    let age = |years, months| Value::Age(Age { years, months });
    let rows = vec![(age(18, 11), Met), (age(19, 0), NotMet), (age(19, 1), NotMet)];
    table(NEW, "A1", "patient.age", rows);
    let deg = |n| whole(n, Unit::Degree);
    let rows = vec![
        (deg(24), NotMet),
        (deg(25), Met),
        (deg(26), Met),
        (deg(44), Met),
        (deg(45), Met),
        (deg(46), NotMet),
    ];
    table(NEW, "A2", "major.now.cobb", rows);
    let cm = |n| tenths(n, Unit::Centimetre);
    let rows = vec![(cm(3.9), NotMet), (cm(4.0), Met), (cm(4.1), Met)];
    table(NEW, "B1", "growth.since_delivery", rows);
    let percent = |n| whole(n, Unit::Percent);
    let rows = vec![(percent(19), Met), (percent(20), NotMet), (percent(21), NotMet)];
    table(NEW, "B2", "treatment.current.in_brace.latest.correction", rows);
    let rows = vec![(percent(74), NotMet), (percent(75), Met), (percent(76), Met)];
    table(NEW, "C1", "treatment.current.wear.share", rows);
    let days = |n| whole(n, Unit::Day);
    let rows = vec![
        (days(-1), NotMet),
        (days(0), Met),
        (days(1), Met),
        (days(59), Met),
        (days(60), Met),
        (days(61), NotMet),
    ];
    table(NEW, "D1", "request.seen_before_order", rows);
    let months = |n| whole(n, Unit::Month);
    let rows = vec![(months(5), Met), (months(6), Met), (months(7), NotMet)];
    table(NEW, "D2", "maturity.hand_stage.months", rows);
}

#[test]
fn growth_remaining_needs_grade_and_scale() {
    let (us, french) = (|| Value::Word("US"), || Value::Word("French"));
    let grade = |n| whole(n, Unit::One);
    let missing = || not_recorded("it", "them");
    for (scale, value, expected) in [
        (us(), grade(2), Met),
        (us(), grade(3), Met),
        (us(), grade(4), NotMet),
        (us(), missing(), CannotTell),
        (french(), grade(3), NotMet),
        (french(), missing(), NotMet),
        (missing(), grade(3), CannotTell),
        (missing(), grade(4), NotMet),
    ] {
        let values = [("maturity.risser.scale", scale), ("maturity.risser.grade", value)];
        assert_eq!(verdict(NEW, "A3", &values), expected, "{values:?}");
    }
}

#[test]
fn statements_answer_what_no_fact_can() {
    let (key, id) = ("adjustment", "B3");
    let say = |text: Option<&str>| {
        let said = text.map(|t| (key.to_string(), t.to_string())).into_iter().collect();
        let verdicts = all(NEW, &facts(&[]), &said);
        verdicts.into_iter().find(|v| v.id == id).unwrap().verdict
    };
    assert_eq!(say(Some("met: as seen on 1 May")), Met);
    assert_eq!(say(Some("not met: not done")), NotMet);
    assert_eq!(say(Some("booked for November")), CannotTell);
    assert_eq!(say(None), CannotTell);
}

/// The second brace of the demo: Tamsin Orrelby, letter of 19 October 2026.
#[test]
fn the_demos_second_brace() {
    let (case, clinic) = (demo::case("fw-0096"), demo::clinic());
    let letter = case.letters.iter().find(|l| l.id.value == "l4").unwrap();
    let facts = derive(&case, &clinic, day("2026-10-19"), Some(letter)).facts;
    let request = &case.requests[0];
    let said = request.statements.iter().map(|(k, t)| (k.clone(), t.value.clone())).collect();
    let verdicts = all("2026-10-19", &facts, &said);
    let found: Vec<_> = verdicts.iter().map(|v| (v.id.as_str(), v.verdict)).collect();
    assert_eq!(
        found,
        [
            ("A1", Met), // born 2013-09-14: 13 years
            ("A2", Met), // readings of 36 and 37 deg
            ("A3", Met), // Risser 1, United States scale
            ("B1", Met), // 161.0 - 150.3 = 10.7 cm
            ("B2", Met), // 28 deg in the brace, 32 deg before it: 4 / 32 = 12.5, 13 %
            ("B3", Met), // stated
            // 335 days at 15.9, 122 at 14.6, 72 at 8.6 h: 14.6 of 20 h/day, 73 %
            ("C1", NotMet),
            ("D1", Met), // 12 to 19 October: 7 days
            ("D2", CannotTell),
        ]
    );
    let by_id = |id: &str| verdicts.iter().find(|v| v.id == id).unwrap();
    let margin = |id: &str| by_id(id).margins.iter().map(|m| m.1).collect::<Vec<_>>();
    // 73 - 75 = -2; 10.7 - 4 = 6.7; 7 - 0 = 7 and 7 - 60 = -53.
    assert_eq!(margin("C1"), [Reported::whole(-2, Unit::Percent)]);
    assert_eq!(margin("B1"), [Reported::round(6.7, 1, Unit::Centimetre)]);
    let days = |n| Reported::whole(n, Unit::Day);
    assert_eq!(margin("D1"), [days(7), days(-53)]);
    let open = by_id("D2");
    assert_eq!(open.missing[0].what, "stage of hand maturity from a hand film: not recorded");
    assert_eq!(open.missing[0].who.as_deref(), Some("the reader of the film"));
}
