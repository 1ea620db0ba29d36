//! The demo's payers of a first brace: by size and maturity, and by proven
//! progression. Every bound just under, at, just over, and every fact missing;
//! expected verdicts are read off the criterion as worded.

use std::collections::BTreeMap;

use endplate::diag::Report;
use endplate::facts::{Missing, Value};
use endplate::quantity::Unit;
use endplate::rules::Verdict::{self, CannotTell, Met, NotMet};
use endplate::rules::catalogue;
use endplate::rules::payer::{self, Payer};
use endplate::rules::{Condition, Test};

use super::support::*;

fn read(text: &str, file: &str) -> Payer {
    let mut report = Report::default();
    let payer = payer::read(text, file, &catalogue::kind, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    payer.unwrap()
}

fn carrow() -> Payer {
    let text = include_str!("../../templates/rules/payers/carrow-vale.yaml");
    read(text, "templates/rules/payers/carrow-vale.yaml")
}

fn tallow() -> Payer {
    let text = include_str!("../../templates/rules/payers/tallow-bridge.yaml");
    read(text, "templates/rules/payers/tallow-bridge.yaml")
}

/// The verdict of one criterion for these facts and statements.
fn said(payer: &Payer, id: &str, values: &[(&str, Value)], said: &[(&str, &str)]) -> Verdict {
    let mut report = Report::default();
    let policy = payer.policy_on(day("2026-06-01"), &mut report).unwrap();
    let said: BTreeMap<_, _> = said.iter().map(|(k, t)| (k.to_string(), t.to_string())).collect();
    let verdicts = payer::evaluate(policy, &facts(values), &said, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    verdicts.into_iter().find(|v| v.id == id).unwrap().verdict
}

fn one(payer: &Payer, id: &str, values: &[(&str, Value)]) -> Verdict {
    said(payer, id, values, &[])
}

/// Each row: a value of the fact and the verdict by the criterion's words.
fn table(payer: &Payer, id: &str, fact: &str, rows: &[(Value, Verdict)]) {
    for (value, expected) in rows {
        assert_eq!(one(payer, id, &[(fact, value.clone())]), *expected, "{id}: {value:?}");
    }
    assert_eq!(one(payer, id, &[(fact, unknown())]), CannotTell, "{id} without {fact}");
    assert_eq!(one(payer, id, &[]), CannotTell, "{id} without {fact}");
}

fn unknown() -> Value {
    not_recorded("it", "them")
}

fn degrees(n: i64) -> Value {
    whole(n, Unit::Degree)
}

fn grade(n: i64) -> Value {
    whole(n, Unit::One)
}

fn months(n: i64) -> Value {
    whole(n, Unit::Month)
}

fn days(n: i64) -> Value {
    whole(n, Unit::Day)
}

#[test]
fn size_at_its_bounds() {
    let (cv, tb) = (carrow(), tallow());
    let rows = [
        (degrees(24), NotMet),
        (degrees(25), Met),
        (degrees(26), Met),
        (degrees(39), Met),
        (degrees(40), Met),
        (degrees(41), NotMet),
    ];
    table(&cv, "1b", "major.now.cobb", &rows);
    let rows = [(degrees(19), NotMet), (degrees(20), NotMet), (degrees(21), Met)];
    table(&tb, "P3", "major.now.cobb", &rows);
}

#[test]
fn days_and_months_at_their_bounds() {
    let (cv, tb) = (carrow(), tallow());
    let rows = [
        (days(-1), NotMet),
        (days(0), Met),
        (days(1), Met),
        (days(29), Met),
        (days(30), Met),
        (days(31), NotMet),
    ];
    table(&cv, "1e", "request.seen_before_order", &rows);
    let rows = [(months(2), NotMet), (months(3), Met), (months(4), Met)];
    table(&tb, "P2", "major.since_first.months", &rows);
}

#[test]
fn the_diagnosis_is_two_words() {
    let cv = carrow();
    let (cause, deformity) = ("diagnosis.cause", "diagnosis.deformity");
    for (a, b, expected) in [
        (Value::Word("idiopathic"), Value::Word("scoliosis"), Met),
        (Value::Word("congenital"), Value::Word("scoliosis"), NotMet),
        (Value::Word("idiopathic"), Value::Word("hyperkyphosis"), NotMet),
        (Value::Word("congenital"), unknown(), NotMet),
        (Value::Word("idiopathic"), unknown(), CannotTell),
        (unknown(), Value::Word("scoliosis"), CannotTell),
        (unknown(), Value::Word("asymmetry"), NotMet),
    ] {
        assert_eq!(
            one(&cv, "1a", &[(cause, a.clone()), (deformity, b.clone())]),
            expected,
            "{a:?} {b:?}"
        );
    }
}

/// Either sign of an immature skeleton is enough; one that is missing never
/// hides the other.
#[test]
fn immaturity_by_either_sign() {
    let cv = carrow();
    let us = || Value::Word("US");
    let row = |scale: Value, risser: Value, hand: Value| {
        let values = [
            ("maturity.risser.scale", scale),
            ("maturity.risser.grade", risser),
            ("maturity.hand_stage.value", hand),
        ];
        one(&cv, "1c", &values)
    };
    assert_eq!(row(us(), grade(1), unknown()), Met);
    assert_eq!(row(us(), grade(2), unknown()), Met);
    assert_eq!(row(us(), grade(3), unknown()), CannotTell);
    assert_eq!(row(us(), grade(3), grade(5)), Met);
    assert_eq!(row(us(), grade(3), grade(6)), NotMet);
    assert_eq!(row(us(), grade(3), grade(7)), NotMet);
    assert_eq!(row(Value::Word("French"), grade(2), grade(6)), NotMet);
    assert_eq!(row(unknown(), grade(2), grade(6)), CannotTell);
    assert_eq!(row(unknown(), grade(3), grade(6)), NotMet);
    assert_eq!(row(unknown(), unknown(), grade(5)), Met);
}

#[test]
fn the_first_period_is_asked_of_girls_only() {
    let cv = carrow();
    let row = |sex: Value, state: Value, since: Value| {
        let values = [
            ("patient.sex", sex),
            ("maturity.menarche.state", state),
            ("maturity.menarche.months_since_most", since),
        ];
        one(&cv, "1d", &values)
    };
    let (girl, had) = (|| Value::Word("female"), || Value::Word("had"));
    assert_eq!(row(Value::Word("male"), unknown(), unknown()), Met);
    assert_eq!(row(girl(), Value::Word("not yet"), unknown()), Met);
    assert_eq!(row(girl(), had(), months(11)), Met);
    assert_eq!(row(girl(), had(), months(12)), Met);
    assert_eq!(row(girl(), had(), months(13)), NotMet);
    assert_eq!(row(girl(), had(), unknown()), CannotTell);
    assert_eq!(row(girl(), unknown(), unknown()), CannotTell);
}

#[test]
fn progression_is_proven_by_the_last_step_or_the_whole_course() {
    let tb = tallow();
    let (last, whole) = ("major.since_previous.verdict", "major.since_first.verdict");
    let row = |a: Value, b: Value| one(&tb, "P1", &[(last, a), (whole, b)]);
    let (worse, same) = (|| Value::Word("worse"), || Value::Word("unchanged"));
    assert_eq!(row(worse(), unknown()), Met);
    assert_eq!(row(unknown(), worse()), Met);
    assert_eq!(row(same(), worse()), Met);
    assert_eq!(row(same(), same()), NotMet);
    assert_eq!(row(same(), unknown()), CannotTell);
    assert_eq!(row(Value::Word("better"), same()), NotMet);
    // One film shows neither progression nor that there is none.
    let one_film = || Value::Missing(Missing::NotApplicable("no earlier film".into()));
    assert_eq!(row(one_film(), one_film()), CannotTell);
}

/// Under `not` as well; elsewhere what does not apply is none of the words.
#[test]
fn one_film_is_no_proof_that_a_curve_is_stable() {
    let id = "major.since_previous.verdict";
    let one_film = Value::Missing(Missing::NotApplicable("no earlier film".into()));
    let case = facts(&[(id, one_film)]);
    let worse = || leaf(id, Test::Words(vec!["worse".into()]));
    let stable = Condition::Not(Box::new(worse()));
    let asked = stable.evaluate_courses_open(&case);
    assert_eq!(asked.verdict, CannotTell);
    let what = &asked.missing()[0].what;
    assert!(what.ends_with("no earlier film; a second comparable film is needed"), "{what}");
    assert_eq!(worse().evaluate(&case).verdict, NotMet);
    let kind = leaf(id, Test::Words(vec!["not applicable".into()]));
    assert_eq!(kind.evaluate_courses_open(&case).verdict, Met);
}

#[test]
fn growth_left_is_the_grade_and_in_girls_the_first_period() {
    let tb = tallow();
    let row = |risser: Value, sex: &'static str, state: Value| {
        let values = [
            ("maturity.risser.grade", risser),
            ("patient.sex", Value::Word(sex)),
            ("maturity.menarche.state", state),
        ];
        one(&tb, "P4", &values)
    };
    let not_yet = || Value::Word("not yet");
    assert_eq!(row(grade(0), "female", not_yet()), Met);
    assert_eq!(row(grade(1), "female", not_yet()), Met);
    assert_eq!(row(grade(2), "female", not_yet()), NotMet);
    assert_eq!(row(grade(1), "female", Value::Word("had")), NotMet);
    assert_eq!(row(grade(1), "female", unknown()), CannotTell);
    assert_eq!(row(grade(2), "female", unknown()), NotMet);
    assert_eq!(row(grade(1), "male", unknown()), Met);
    assert_eq!(row(unknown(), "male", unknown()), CannotTell);
}

#[test]
fn imaging_is_stated_by_a_person() {
    let tb = tallow();
    let row = |text: &str| said(&tb, "P5", &[], &[("cord-imaging", text)]);
    assert_eq!(row("met: MRI of 8 June, report enclosed"), Met);
    assert_eq!(row("not met: refused by the family"), NotMet);
    assert_eq!(row("booked for June"), CannotTell);
    assert_eq!(one(&tb, "P5", &[]), CannotTell);
}
