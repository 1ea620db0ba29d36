//! An invented payer's criteria, with alternatives: every bound just under, at, just over, and
//! every fact missing. Expected verdicts are read off the criterion as worded.

use std::collections::BTreeMap;

use endplate::diag::{Code, Report};
use endplate::facts::{Facts, Missing, Value};
use endplate::quantity::{Age, Reported, Unit};
use endplate::rules::Verdict::{self, CannotTell, Met, NotMet};
use endplate::rules::catalogue;
use endplate::rules::payer::{self, CriterionVerdict, Payer};

use super::support::*;

const FILE: &str = "northmere.yaml";

fn northmere() -> Payer {
    let mut report = Report::default();
    let text = include_str!("northmere.yaml");
    let payer = payer::read(text, FILE, &catalogue::kind, &mut report);
    let faults: Vec<&str> = report.iter().map(|d| d.message.as_str()).collect();
    assert!(report.is_empty(), "{faults:?}");
    payer.unwrap()
}

/// Every criterion of the edition in force on a day.
fn all(on: &str, facts: &Facts, statements: &BTreeMap<String, String>) -> Vec<CriterionVerdict> {
    let mut report = Report::default();
    let payer = northmere();
    let policy = payer.policy_on(day(on), &mut report).unwrap();
    let verdicts = payer::evaluate(policy, facts, statements, &mut report);
    assert!(report.is_empty());
    verdicts
}

fn one(on: &str, id: &str, values: &[(&str, Value)]) -> CriterionVerdict {
    let verdicts = all(on, &facts(values), &BTreeMap::new());
    verdicts.into_iter().find(|v| v.id == id).unwrap()
}

/// Rows of one criterion that one fact decides.
fn rows(on: &str, id: &str, fact: &str, rows: &[(Value, Verdict)]) {
    for (value, expected) in rows {
        let found = one(on, id, &[(fact, value.clone())]);
        assert_eq!(found.verdict, *expected, "{id} with {fact} {value:?}");
        assert_eq!(found.missing.is_empty(), *expected != CannotTell);
    }
}

const NEW: &str = "2026-10-27";
const OLD: &str = "2025-03-03";

fn missing() -> Value {
    not_recorded("the item", "the one who knows")
}

#[test]
fn age() {
    let age = |years, months| Value::Age(Age { years, months });
    let table =
        [(age(17, 11), Met), (age(18, 0), NotMet), (age(18, 1), NotMet), (missing(), CannotTell)];
    rows(NEW, "1", "patient.age", &table);
}

#[test]
fn size_of_the_curve() {
    let cobb = |value| whole(value, Unit::Degree);
    let table = [
        (cobb(19), NotMet),
        (cobb(20), Met),
        (cobb(21), Met),
        (cobb(44), Met),
        (cobb(45), Met),
        (cobb(46), NotMet),
        (missing(), CannotTell),
    ];
    rows(NEW, "2a", "major.now.cobb", &table);
    let table = [(cobb(19), NotMet), (cobb(20), NotMet), (cobb(21), Met), (missing(), CannotTell)];
    rows(OLD, "4a", "major.now.cobb", &table);
}

#[test]
fn growth_remaining() {
    let lacking = || missing();
    let grade = |n| whole(n, Unit::One);
    let table = [
        // grade, scale, first period, verdict
        (grade(1), Value::Word("French"), Value::Word("had"), Met),
        (grade(2), Value::Word("French"), Value::Word("had"), Met),
        (grade(3), Value::Word("French"), Value::Word("had"), NotMet),
        (grade(2), lacking(), lacking(), Met),
        (grade(2), Value::Word("US"), Value::Word("had"), Met),
        (grade(3), Value::Word("US"), Value::Word("had"), Met),
        (grade(4), Value::Word("US"), Value::Word("had"), NotMet),
        (grade(4), lacking(), Value::Word("had"), NotMet),
        (grade(3), lacking(), Value::Word("had"), CannotTell),
        (grade(3), lacking(), Value::Word("not yet"), Met),
        (lacking(), lacking(), Value::Word("not yet"), Met),
        (lacking(), Value::Word("US"), Value::Word("had"), CannotTell),
        (grade(4), Value::Word("US"), Value::Word("not recorded"), CannotTell),
        // A boy: the first period does not come into it.
        (grade(4), Value::Word("US"), Value::Word("not applicable"), NotMet),
        (grade(3), Value::Word("US"), Value::Word("not applicable"), Met),
    ];
    for (grade, scale, menarche, expected) in table {
        let values = [
            ("maturity.risser.grade", grade),
            ("maturity.risser.scale", scale),
            ("maturity.menarche.state", menarche),
        ];
        assert_eq!(one(NEW, "2b", &values).verdict, expected, "{values:?}");
    }
    let table = [
        (whole(0, Unit::One), Met),
        (whole(2, Unit::One), Met),
        (whole(3, Unit::One), NotMet),
        (missing(), CannotTell),
    ];
    rows(OLD, "4b", "maturity.risser.grade", &table);
}

#[test]
fn outgrown_or_no_longer_correcting() {
    let grown = |value| tenths(value, Unit::Centimetre);
    let correction = |value| whole(value, Unit::Percent);
    let table = [
        (grown(2.9), correction(30), NotMet),
        (grown(3.0), correction(30), Met),
        (grown(3.1), correction(30), Met),
        (grown(2.9), correction(29), Met),
        (grown(2.9), correction(31), NotMet),
        (grown(2.9), missing(), CannotTell),
        (grown(3.0), missing(), Met),
        (missing(), correction(30), CannotTell),
        (missing(), correction(29), Met),
        (missing(), missing(), CannotTell),
    ];
    for (grown, correction, expected) in table {
        let values = [
            ("growth.since_delivery", grown),
            ("treatment.current.in_brace.latest.correction", correction),
        ];
        assert_eq!(one(NEW, "3a", &values).verdict, expected, "{values:?}");
    }
    let table =
        [(grown(1.9), NotMet), (grown(2.0), Met), (grown(2.1), Met), (missing(), CannotTell)];
    rows(OLD, "4c", "growth.since_delivery", &table);
}

#[test]
fn wear() {
    let share = |value| whole(value, Unit::Percent);
    let table = [(share(69), NotMet), (share(70), Met), (share(71), Met), (missing(), CannotTell)];
    rows(NEW, "3b", "treatment.current.wear.share", &table);
}

#[test]
fn examined_before_the_order() {
    let days = |value| whole(value, Unit::Day);
    let table = [
        // Examined after the order.
        (days(-1), NotMet),
        (days(0), Met),
        (days(1), Met),
        (days(179), Met),
        (days(180), Met),
        (days(181), NotMet),
        (missing(), CannotTell),
    ];
    rows(NEW, "4a", "request.seen_before_order", &table);
}

#[test]
fn what_only_a_person_can_say() {
    let say = |text: Option<&str>| {
        let statements =
            text.map(|t| ("lung-function".to_string(), t.to_string())).into_iter().collect();
        all(NEW, &facts(&[]), &statements).pop().unwrap()
    };
    let met = say(Some("met: vital capacity 84 % of predicted, 2026-05-19"));
    assert_eq!(met.verdict, Met);
    assert_eq!(met.statement.unwrap().text, "vital capacity 84 % of predicted, 2026-05-19");
    assert_eq!(say(Some("not met: not measured yet")).verdict, NotMet);
    let nothing = say(None);
    assert_eq!(nothing.verdict, CannotTell);
    assert_eq!(nothing.missing[0].what, "statement lung-function: not recorded");
    let who = nothing.missing[0].who.as_deref();
    assert_eq!(who, Some("the ordering clinician or the family doctor"));
    // A remark is no answer, and neither is a bare word.
    for remark in ["asked for on 2026-05-01", "met", "met:", "Not Met: x", "unmet: x", "  "] {
        assert_eq!(say(Some(remark)).verdict, CannotTell, "{remark}");
    }
    let remark = say(Some("asked for on 2026-05-01"));
    assert_eq!(remark.statement.unwrap().text, "asked for on 2026-05-01");
    let key = BTreeMap::from([("adjustment".to_string(), "met: no room left".to_string())]);
    assert_eq!(all(OLD, &facts(&[]), &key).pop().unwrap().verdict, Met);
}

#[test]
fn the_edition_is_that_of_the_letters_date() {
    let payer = northmere();
    let edition = |on: &str| {
        let mut report = Report::default();
        let policy = payer.policy_on(day(on), &mut report);
        policy.map(|p| p.edition.value.to_string()).ok_or_else(|| {
            let fault = report.iter().next().unwrap().clone();
            assert_eq!(fault.code, Code::NoPolicyInForce);
            assert_eq!(fault.place.unwrap().to_line_column(), format!("{FILE}:9:1"));
            fault.message
        })
    };
    assert_eq!(edition("2024-01-01").unwrap(), "2024-01");
    assert_eq!(edition("2026-06-30").unwrap(), "2024-01");
    assert_eq!(edition("2026-07-01").unwrap(), "2026-07");
    assert_eq!(edition("2031-01-01").unwrap(), "2026-07");
    assert_eq!(
        edition("2023-12-31").unwrap_err(),
        "no policy of northmere is in force on 2023-12-31; the file has \
         2024-01 (2024-01-01 to 2026-06-30), 2026-07 (2026-07-01 to further notice)"
    );
}

/// A case that meets every criterion, with nothing to spare but what is needed.
fn good_case() -> Vec<(&'static str, Value)> {
    vec![
        ("patient.age", Value::Age(Age { years: 13, months: 7 })),
        ("major.now.cobb", whole(34, Unit::Degree)),
        ("maturity.risser.grade", whole(1, Unit::One)),
        ("maturity.risser.scale", Value::Word("US")),
        ("maturity.menarche.state", Value::Word("had")),
        ("growth.since_delivery", tenths(4.2, Unit::Centimetre)),
        ("treatment.current.in_brace.latest.correction", whole(35, Unit::Percent)),
        ("treatment.current.wear.share", whole(81, Unit::Percent)),
        ("request.seen_before_order", whole(12, Unit::Day)),
    ]
}

#[test]
fn each_fact_removed_gives_exactly_its_own_cannot_tell() {
    let said = BTreeMap::from([("lung-function".into(), "met: on file".to_string())]);
    let verdicts = |values: &[(&str, Value)]| all(NEW, &facts(values), &said);
    assert!(verdicts(&good_case()).iter().all(|v| v.verdict == Met));
    let removed = |id: &str| {
        let mut values = good_case();
        values.retain(|(fact, _)| *fact != id);
        let open = verdicts(&values).into_iter().filter(|v| v.verdict != Met);
        open.map(|v| (v.id, v.verdict)).collect::<Vec<_>>()
    };
    let only = |id: &str| vec![(id.to_string(), CannotTell)];
    assert_eq!(removed("patient.age"), only("1"));
    assert_eq!(removed("major.now.cobb"), only("2a"));
    assert_eq!(removed("maturity.risser.grade"), only("2b"));
    assert_eq!(removed("growth.since_delivery"), only("3a"));
    assert_eq!(removed("treatment.current.wear.share"), only("3b"));
    assert_eq!(removed("request.seen_before_order"), only("4a"));
    // These decide nothing here: another part of the criterion is met.
    assert_eq!(removed("maturity.risser.scale"), []);
    assert_eq!(removed("maturity.menarche.state"), []);
    assert_eq!(removed("treatment.current.in_brace.latest.correction"), []);
}

#[test]
fn a_verdict_carries_what_it_rests_on() {
    let grown = one(NEW, "3a", &good_case());
    let rests: Vec<_> =
        grown.evidence.iter().map(|e| (e.fact.as_str(), e.verdict, e.decides)).collect();
    let correction = "treatment.current.in_brace.latest.correction";
    assert_eq!(rests, [("growth.since_delivery", Met, true), (correction, NotMet, false)]);
    // 4.2 cm are 1.2 cm over the bound of 3 cm.
    let over = Reported::round(1.2, 1, Unit::Centimetre);
    assert_eq!(grown.margins.len(), 1);
    assert_eq!((grown.margins[0].0.as_str(), grown.margins[0].1), ("growth.since_delivery", over));
    assert_eq!(grown.shown[0].as_str(), "treatment.current.in_brace.first.correction");
    assert_eq!(grown.evidence[0].place.to_line_column(), format!("{FILE}:64:15"));
    // 48 deg are 3 deg over the largest size.
    let large = one(NEW, "2a", &[("major.now.cobb", whole(48, Unit::Degree))]);
    assert_eq!(large.margins.len(), 1);
    assert_eq!(large.margins[0].1, Reported::whole(3, Unit::Degree));
    let open = one(NEW, "2a", &[]);
    assert_eq!(open.missing[0].what, "major.now.cobb: this case has no such fact");
    assert_eq!(open.missing[0].who.as_deref(), Some("whoever reads the films"));
}

#[test]
fn a_fact_of_another_kind_is_an_error() {
    let payer = northmere();
    let mut report = Report::default();
    let policy = payer.policy_on(day(NEW), &mut report).unwrap();
    let case = facts(&[("treatment.current.wear.share", whole(14, Unit::HourPerDay))]);
    let verdicts = payer::evaluate(policy, &case, &BTreeMap::new(), &mut report);
    let fault = report.iter().next().unwrap();
    assert_eq!(fault.code, Code::FactOfOtherKind);
    assert_eq!(
        fault.message,
        "fact treatment.current.wear.share is a number in h/day, but the rule needs a number in %"
    );
    assert!(report.has_errors());
    assert_eq!(verdicts.iter().find(|v| v.id == "3b").unwrap().verdict, CannotTell);
}

/// 69.5 % is told as 70 %: the criterion is met by its reported value, and
/// whoever sends the letter hears of it.
#[test]
fn a_criterion_that_rounding_decides_is_told() {
    let payer = northmere();
    let id = "treatment.current.wear.share";
    let warned = |reported: i64, unrounded: f64| {
        let mut case = facts(&[]);
        let mut share = fact(id, whole(reported, Unit::Percent));
        share.unrounded = Some(unrounded);
        case.insert(share);
        let mut report = Report::default();
        let policy = payer.policy_on(day(NEW), &mut report).unwrap();
        let verdicts = payer::evaluate(policy, &case, &BTreeMap::new(), &mut report);
        let list = report.iter().map(|d| (d.code, d.message.clone())).collect::<Vec<_>>();
        (verdicts.into_iter().find(|v| v.id == "3b").unwrap().verdict, list)
    };
    let (verdict, told) = warned(70, 69.5);
    assert_eq!(verdict, Met);
    assert_eq!(
        told,
        [(
            Code::RoundingDecides,
            format!(
                "criterion 3b is met by rounding: the {id} is 70 % as reported and 69.5 % before, \
                 the bound 70 %"
            )
        )]
    );
    // As many digits as show the side on which it stands.
    assert!(warned(70, 69.996).1[0].1.contains("and 69.996 % before"));
    for (reported, unrounded) in [(70, 70.2), (69, 69.4), (71, 70.6)] {
        assert!(warned(reported, unrounded).1.is_empty());
    }
    // The noise of computing is no rounding.
    assert_eq!(warned(70, 70.0 - 1e-12), (Met, vec![]));
}

/// Nobody can supply what does not apply.
#[test]
fn what_does_not_apply_is_asked_of_nobody() {
    let id = "treatment.current.wear.share";
    let none = Value::Missing(Missing::NotApplicable("no brace or cast is worn".into()));
    let found = one(NEW, "3b", &[(id, none)]);
    assert_eq!(found.verdict, CannotTell);
    assert_eq!(
        found.missing[0].what,
        format!("the {id}: not applicable: no brace or cast is worn")
    );
    assert_eq!(found.missing[0].who, None);
    // A reading that was not typed in can be.
    assert!(one(NEW, "3b", &[(id, missing())]).missing[0].who.is_some());
}
