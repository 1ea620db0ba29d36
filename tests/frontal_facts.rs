//! Facts of frontal films beside their curves: hand-worked cases through the
//! whole reader.

use chrono::NaiveDate;
use endplate::case::Case;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::Report;
use endplate::facts::{Facts, Missing, Value, derive};
use endplate::spine::Side;

use crate::synthetic::mark::{Marks, draw};
use crate::synthetic::{Bow, Film, Shown, Spine, Towards};

const CURVES: &str = "curves: [{name: main, upper: T5, apex: T8, lower: T12, convex: right, \
                      cobb: 34 deg, translation: 30 mm right}]";

fn case(films: &str, more: &str, landmarks: &str) -> Case {
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 2012-01-01, sex: female}}\n\
         diagnosis: {{cause: idiopathic, found: 2024-01}}\ncontacts: []\nfilms:\n{films}{more}"
    );
    let mut report = Report::default();
    let case = read_case(&text, "t-1.yaml", &|_| Ok(landmarks.into()), &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    case.unwrap_or_else(|| panic!("{faults:?}"))
}

fn facts_of(case: &Case, clinic: &str) -> Facts {
    let text = format!(
        "clinic: Test\naddress: [1 Test Row]\npeople: [{{id: ab, name: A B}}, {{id: cd, name: C D}}]\n\
         paper: A4\ndates: day month year\nlanguage: en\n{clinic}"
    );
    let clinic = read_clinic(&text, "clinic.yaml", &mut Report::default()).expect("a clinic");
    derive(case, &clinic, NaiveDate::from_ymd_opt(2026, 6, 1).unwrap(), None).facts
}

fn film(id: &str, taken: &str, posture: &str, readings: &str) -> String {
    format!(
        "  - {{id: {id}, taken: {taken}, view: frontal, projection: PA, displayed: from behind, \
         posture: {posture}, support: none, scale: 0.15 mm/px, readings: [{readings}]}}\n"
    )
}

fn reading(id: &str, by: &str, more: &str) -> String {
    format!("{{id: {id}, by: {by}, read: 2026-05-04, {CURVES}{more}}}")
}

fn typed(more: &str) -> Facts {
    let film = film("f1", "2026-05-04", "standing", &reading("r1", "ab", more));
    facts_of(&case(&film, "", ""), "")
}

fn digits(facts: &Facts, id: &str) -> String {
    let fact = facts.get(id).unwrap_or_else(|| panic!("no fact {id}"));
    fact.number().unwrap_or_else(|| panic!("{id}: {:?}", fact.value)).digits()
}

fn value<'f>(facts: &'f Facts, id: &str) -> &'f Value {
    &facts.get(id).unwrap_or_else(|| panic!("no fact {id}")).value
}

fn why(facts: &Facts, id: &str) -> String {
    match value(facts, id) {
        Value::Missing(missing) => missing.reason(),
        other => panic!("{id} is {other:?}"),
    }
}

#[test]
fn a_typed_distance_has_its_side_beside_it() {
    let facts = typed(
        ", frontal: {balance: 21 mm right, t1_tilt: 4 deg left up, femoral_heads: 0 mm, \
         csvl_at_lumbar_apex: touching}",
    );
    assert_eq!(digits(&facts, "films.f1.frontal.balance"), "21");
    assert_eq!(value(&facts, "films.f1.frontal.balance_side"), &Value::Side(Side::Right));
    assert_eq!(value(&facts, "films.f1.frontal.balance_word"), &Value::Word("off the line"));
    assert_eq!(value(&facts, "films.f1.frontal.t1_tilt_side"), &Value::Side(Side::Left));
    assert_eq!(digits(&facts, "films.f1.frontal.femoral_heads"), "0");
    assert!(why(&facts, "films.f1.frontal.femoral_heads_side").starts_with("not applicable"));
    assert_eq!(
        why(&facts, "films.f1.frontal.clavicle_angle"),
        "clavicle angle: not recorded (ask the reader of the film)"
    );
    assert_eq!(digits(&facts, "curves.main.now.translation"), "30");
    assert_eq!(value(&facts, "curves.main.now.translation_side"), &Value::Side(Side::Right));
    assert_eq!(value(&facts, "major.now.translation_from"), &Value::Word("C7 plumb line"));
    // 2/3 (3.0 + 2.1) - 0.8 = 2.6 cm.
    assert_eq!(digits(&facts, "films.f1.frontal.trunk_shift_estimate"), "2.6");
}

#[test]
fn an_estimate_is_not_made_for_others() {
    let id = "films.f1.frontal.trunk_shift_estimate";
    let clear = typed(", frontal: {balance: 21 mm right, csvl_at_lumbar_apex: clear}");
    assert!(why(&clear, id).contains("fitted on types 1A and 1B"));
    let open = typed(", frontal: {balance: 21 mm right}");
    assert!(why(&open, id).contains("where the CSVL passes the lumbar apex"));
}

#[test]
fn both_published_limits_of_the_rib_difference_are_told() {
    let facts = typed(
        ", frontal: {rib_vertebra: [{level: T8, convex: 47 deg, concave: 65 deg, phase: 1}]}",
    );
    let at = |item: &str| value(&facts, &format!("films.f1.frontal.rvad.T8.{item}")).clone();
    // 65 - 47 = 18: below 20, above 17.1.
    assert_eq!(digits(&facts, "films.f1.frontal.rvad.T8.difference"), "18");
    assert_eq!(at("limit_20"), Value::Word("not reached"));
    assert_eq!(at("limit_17"), Value::Word("reached"));
    assert_eq!(at("limits_differ"), Value::Word("yes"));
    assert_eq!(digits(&facts, "films.f1.frontal.rvad.T8.phase"), "1");
    assert_eq!(digits(&facts, "frontal.now.rvad.T8.difference"), "18");
}

#[test]
fn readers_are_averaged_with_their_sides_and_grades_are_not() {
    let one = reading("r1", "ab", ", frontal: {balance: 8 mm right, rotation: {T8: 1}}");
    let two = reading("r2", "cd", ", frontal: {balance: 2 mm left, rotation: {T8: 2}}");
    let film = film("f1", "2026-05-04", "standing", &format!("{one}, {two}"));
    let facts = facts_of(&case(&film, "", ""), "");
    // (8 right + 2 left) / 2 = 3 right.
    assert_eq!(digits(&facts, "films.f1.frontal.balance"), "3");
    assert_eq!(value(&facts, "films.f1.frontal.balance_side"), &Value::Side(Side::Right));
    assert_eq!(value(&facts, "films.f1.frontal.balance_word"), &Value::Word("neutral"));
    assert_eq!(
        why(&facts, "films.f1.frontal.rotation.T8.grade"),
        "cannot tell: the readers differ: 1 and 2"
    );
    assert!(why(&facts, "curves.main.now.rotation").starts_with("cannot tell"));
}

#[test]
fn lines_drawn_in_different_ways_are_not_averaged() {
    let one = reading("r1", "ab", ", frontal: {balance: 8 mm right, csvl: plumb}");
    let two = reading("r2", "cd", ", frontal: {balance: 2 mm left, csvl: pelvis}");
    let film = film("f1", "2026-05-04", "standing", &format!("{one}, {two}"));
    let facts = facts_of(&case(&film, "", ""), "");
    assert!(why(&facts, "films.f1.frontal.balance").starts_with("not comparable"));
}

#[test]
fn now_is_the_latest_upright_film_that_has_the_item() {
    let with =
        |id, taken, posture, more: &str| film(id, taken, posture, &reading("r1", "ab", more));
    let films = [
        with(
            "f1",
            "2025-05-04",
            "standing",
            ", frontal: {balance: 5 mm left, t1_tilt: 3 deg left up}",
        ),
        with("f2", "2026-05-04", "standing", ", frontal: {balance: 9 mm right}"),
        with("f3", "2026-05-05", "supine", ", frontal: {balance: 1 mm right}"),
    ];
    let facts = facts_of(&case(&films.concat(), "", ""), "");
    assert_eq!(digits(&facts, "frontal.now.balance"), "9");
    assert_eq!(digits(&facts, "frontal.now.t1_tilt"), "3");
    let day = |id| match value(&facts, id) {
        Value::Date(date) => date.first_day().to_string(),
        other => panic!("{other:?}"),
    };
    assert_eq!(day("frontal.now.balance_on"), "2026-05-04");
    assert_eq!(day("frontal.now.t1_tilt_on"), "2025-05-04");
    assert!(matches!(
        value(&facts, "frontal.now.pelvic_obliquity"),
        Value::Missing(Missing::NotRecorded { .. })
    ));
}

/// A film whose landmarks say what the typed numbers do not.
fn drawn(clinic: &str) -> Facts {
    let bow = Bow { upper: "T5", apex: "T8", lower: "T12", towards: Towards::Right, cobb: 34.0 };
    let spine = Spine { thoracic: 12, lumbar: 5, size: 1.0, bows: vec![bow] };
    let film_of = Film {
        shown: Shown::FromBehind,
        scale: 0.15,
        turn: 0.0,
        origin: (1400.0, 300.0),
        noise: 0.0,
        seed: 3,
    };
    let marks = Marks {
        rotation: vec![("T8", Towards::Right, 20.0)],
        ribs: vec![("T8", 68.0, 45.0)],
        trunk: Some(("T8", -12.0)),
        clavicles: Some(-2.0),
        pelvis: Some(3.0),
        heads: Some(7.0),
    };
    let text = draw(&spine, &film_of, &marks).csv();
    let typed = ", frontal: {trunk_shift: 14 mm right, femoral_heads: 6 mm left up}, \
                 landmarks: films/f1.csv";
    let film = film("f1", "2026-05-04", "standing", &reading("r1", "ab", typed));
    facts_of(&case(&film, "", &text), clinic)
}

#[test]
fn landmarks_win_over_typed_numbers() {
    let facts = drawn("");
    let sided = |id: &str| {
        let path = format!("films.f1.frontal.{id}");
        match value(&facts, &format!("{path}_side")) {
            Value::Side(side) => (digits(&facts, &path), *side),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(sided("trunk_shift"), ("12".into(), Side::Right));
    assert_eq!(sided("femoral_heads"), ("7".into(), Side::Left));
    assert_eq!(sided("clavicle_angle"), ("2".into(), Side::Right));
    assert_eq!(sided("pelvic_obliquity"), ("3".into(), Side::Left));
    // Convex right: 68 - 45 = 23, both limits reached.
    assert_eq!(digits(&facts, "films.f1.frontal.rvad.T8.difference"), "23");
    assert_eq!(value(&facts, "films.f1.frontal.rvad.T8.limits_differ"), &Value::Word("no"));
    // The inner pedicle at 0.78 cos 20 - 0.4 sin 20 = 0.596 of its half-body.
    assert_eq!(digits(&facts, "films.f1.frontal.rotation.T8.grade"), "2");
    assert_eq!(digits(&facts, "major.now.rotation"), "2");
    assert_eq!(value(&facts, "films.f1.frontal.csvl"), &Value::Word("plumb"));
}

#[test]
fn the_rotation_by_formula_waits_for_the_clinic() {
    let id = "films.f1.frontal.rotation.T8.angle";
    assert!(why(&drawn(""), id).contains("has not adopted `stokes-1986`"));
    let adopted = drawn("adopted: [stokes-1986]\n");
    assert!(why(&adopted, id).contains("no width over depth of T8"));
    let given = "adopted: [stokes-1986]\nchoices: {width_over_depth: {T8: 390 %}}\n";
    assert_eq!(digits(&drawn(given), id), "20");
}

#[test]
fn the_clinics_choice_of_line_is_printed_and_used() {
    let facts = drawn("choices: {csvl: pelvis}\n");
    assert_eq!(value(&facts, "films.f1.frontal.csvl"), &Value::Word("pelvis"));
    let balance = facts.get("films.f1.frontal.balance").unwrap();
    assert!(balance.provenance.method.formula.contains("square to the line of the iliac crests"));
    // The line square to crests 3 degrees up on the left leans to the right
    // going up, so the spine moves to the left of it.
    let plumb = drawn("");
    let left = |f: &Facts, id: &str| {
        let size = f.get(id).unwrap().unrounded.unwrap();
        let right = value(f, &format!("{id}_side")) == &Value::Side(Side::Right);
        if right { -size } else { size }
    };
    let id = "films.f1.frontal.balance";
    assert!(left(&facts, id) > left(&plumb, id) + 10.0);
}

#[test]
fn curves_expected_from_trunk_rotation() {
    let film = film("f1", "2026-05-04", "standing", &reading("r1", "ab", ""));
    let exams = "exams:\n  - {on: 2026-05-04, by: ab, trunk_rotation: {T8: 5 deg, L2: -6 deg}}\n";
    let facts = facts_of(&case(&film, exams, ""), "");
    // 2.6*5 + 1.4*6 = 21.4 right; -1.5*5 - 2.0*6 = -19.5: 20 left.
    assert_eq!(digits(&facts, "estimates.trunk_rotation.thoracic"), "21");
    assert_eq!(value(&facts, "estimates.trunk_rotation.thoracic_side"), &Value::Side(Side::Right));
    assert_eq!(digits(&facts, "estimates.trunk_rotation.lumbar"), "20");
    assert_eq!(value(&facts, "estimates.trunk_rotation.lumbar_side"), &Value::Side(Side::Left));
}
