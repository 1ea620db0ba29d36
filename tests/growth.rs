//! Facts of growth and maturity, hand-worked through the whole reader.

use chrono::NaiveDate;
use endplate::case::Clinic;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::Report;
use endplate::evidence::Grade;
use endplate::facts::{Fact, Facts, Value, derive};

fn clinic(more: &str) -> Clinic {
    let text = format!("clinic: Test\npeople: [{{id: ab, name: A B}}]\n{more}");
    let mut report = Report::default();
    let clinic = read_clinic(&text, "clinic.yaml", &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    clinic.expect("a clinic")
}

/// Facts of a case on 15 June 2026.
fn facts_with(patient: &str, more: &str, settings: &str) -> Facts {
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, {patient}}}\n\
         diagnosis: {{cause: idiopathic, found: 2025-06}}\ncontacts: []\n{more}"
    );
    let mut report = Report::default();
    let case = read_case(&text, "t-1.yaml", &|_| Err("none".into()), &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    let day = NaiveDate::from_ymd_opt(2026, 6, 15).unwrap();
    derive(&case.unwrap(), &clinic(settings), day, None).facts
}

fn facts(patient: &str, more: &str) -> Facts {
    facts_with(patient, more, "")
}

fn fact<'a>(facts: &'a Facts, id: &str) -> &'a Fact {
    facts.get(id).unwrap_or_else(|| panic!("no fact {id}"))
}

fn said(facts: &Facts, id: &str) -> String {
    match &fact(facts, id).value {
        Value::Number(n) => n.digits().replace('\u{2212}', "-"),
        Value::Word(word) => (*word).to_string(),
        Value::Date(date) => date.to_string(),
        Value::Missing(missing) => missing.reason(),
        other => panic!("{id}: {other:?}"),
    }
}

fn expect(facts: &Facts, expected: &[(&str, &str)]) {
    for (id, value) in expected {
        assert_eq!(said(facts, id), *value, "{id}");
    }
}

const GIRL: &str = "born: 2014-06-02, sex: female";

/// A girl of twelve whose films were read on two scales.
const COURSE: &str = "background: {menarche: {not_yet: 2026-02-10, on: 2026-02}}
films:
  - id: f1
    taken: 2025-06-01
    view: frontal
    projection: PA
    posture: standing
    support: none
    maturity: {risser: {grade: 0, scale: US}, triradiate: open}
  - id: f2
    taken: 2026-06-01
    view: frontal
    projection: PA
    posture: standing
    support: none
    readings:
      - id: r1
        by: ab
        read: 2026-06-01
        curves: [{name: main, upper: T5, apex: T8, lower: T12, convex: right, cobb: 30 deg}]
    maturity: {risser: {grade: 1, scale: French}, triradiate: closed}
  - {id: f3, taken: 2026-06-01, view: hand, maturity: {hand_stage: 5, radius: 7, ulna: 5}}
exams:
  - {on: 2025-06-01, height: 142.0 cm, sitting_height: 74.0 cm}
  - {on: 2025-12-01, height: 145.5 cm}
  - {on: 2026-06-01, height: 150.0 cm, sitting_height: 78.4 cm, arm_span: 149 cm}
";

#[test]
fn velocities_with_their_errors() {
    // By hand: 4.5 cm in 182 days, 9.03 cm a year; error 0.8316 cm over
    // 0.4983 years, 1.67. Before: 3.5 cm in 183 days, 6.99. The difference of
    // 2.0 lies within 1.7 + 1.7. Sitting: 4.4 cm in a year.
    expect(
        &facts(GIRL, COURSE),
        &[
            ("limits.velocity_months", "6"),
            ("limits.height_error", "3.0"),
            ("growth.velocity.height.per_year", "9.0"),
            ("growth.velocity.height.uncertainty", "1.7"),
            ("growth.velocity.height.from", "2025-12-01"),
            ("growth.velocity.height.to", "2026-06-01"),
            ("growth.velocity.height.months", "6"),
            ("growth.velocity.height.before", "7.0"),
            ("growth.velocity.height.change", "same"),
            ("growth.velocity.sitting.per_year", "4.4"),
            ("growth.velocity.sitting.months", "12"),
            ("growth.velocity.span.per_year", "cannot tell: no arm span at least 6 months before"),
        ],
    );
}

#[test]
fn a_clinic_sets_interval_and_error_of_its_own() {
    let settings = "limits: {velocity_months: 9, height_error: 1.5 mm}\n";
    // 8.0 cm in 365 days; error 1.96 x sqrt 2 x 1.5 mm = 4.16 mm, 0.4 a year.
    expect(
        &facts_with(GIRL, COURSE, settings),
        &[
            ("limits.velocity_months", "9"),
            ("growth.velocity.height.per_year", "8.0"),
            ("growth.velocity.height.uncertainty", "0.4"),
            ("growth.velocity.height.from", "2025-06-01"),
        ],
    );
}

#[test]
fn height_for_age_and_what_the_curve_hides() {
    // 4382 days over 30.4375 are 143.967 months. SciPy 1.17.1 (boxcox, ndtr)
    // and NumPy 2.4.6 (interp): 150.0 cm z -0.15856, half width 0.07956 for
    // 0.588 cm; centile of -0.16 is 43.644; 150.8 cm z -0.05024. Stokes A at 30 deg: 1.55 - 1.413 +
    // 8.1 = 8.24 mm, B 1 + 1.98 + 7.56 = 10.54, Bjure 10^0.153 cm = 14.2.
    let facts = facts(GIRL, COURSE);
    expect(
        &facts,
        &[
            ("growth.height_age", "144.0"),
            ("growth.height_z", "-0.16"),
            ("growth.height_centile", "43.6"),
            ("growth.loss.formula", "Stokes"),
            ("growth.loss.adopted", "no"),
            ("growth.loss.cobb", "30"),
            ("growth.loss.stokes_a", "8"),
            ("growth.loss.stokes_b", "11"),
            ("growth.loss.bjure", "14"),
            ("growth.loss.amount", "8"),
            ("growth.corrected.height", "150.8"),
            ("growth.corrected.z", "-0.05"),
            ("patient.decimal_age", "12.04"),
        ],
    );
    let half = fact(&facts, "growth.height_z").uncertainty.as_ref().unwrap().half_width;
    assert_eq!(half.digits(), "0.08");
    for item in ["loss.amount", "corrected.height", "corrected.z", "corrected.centile"] {
        let source = fact(&facts, &format!("growth.{item}")).provenance.method.source;
        assert_eq!(source.grade, Grade::Memory, "{item}");
    }
    let settings = "adopted: [height-loss]\nchoices: {height_loss: Bjure}\n";
    expect(
        &facts_with(GIRL, COURSE, settings),
        &[
            ("growth.loss.formula", "Bjure"),
            ("growth.loss.adopted", "yes"),
            ("growth.corrected.height", "151.4"),
        ],
    );
}

#[test]
fn the_tables_say_nothing_outside_what_they_cover() {
    let film = "films: []\n";
    let exam = |day: &str, cm: &str| format!("{film}exams: [{{on: {day}, height: {cm} cm}}]\n");
    let infant = facts("born: 2024-07-01, sex: female", &exam("2026-06-10", "84.0"));
    let below = "not applicable: the table of standing heights begins at 24 months; lengths before are not covered";
    expect(&infant, &[("growth.height_z", below), ("growth.height_centile", below)]);
    let adult = facts("born: 2001-07-01, sex: female", &exam("2026-06-10", "164.0"));
    expect(
        &adult,
        &[
            ("growth.height_z", "not applicable: the table of heights ends at 240 months"),
            ("growth.velocity.height.per_year", "not applicable: the patient is an adult"),
            ("growth.phase.value", "not applicable: the patient is an adult"),
            ("growth.reference.left_at_puberty", "not applicable: the patient is an adult"),
            ("growth.corrected.height", "not applicable: no frontal curve is measured"),
        ],
    );
    let other = facts("born: 2012-07-01, sex: other", &exam("2026-06-10", "160.0"));
    let sex = "cannot tell: the figures are by sex, female or male";
    expect(&other, &[("growth.height_z", sex), ("growth.reference.left_at_puberty", sex)]);
    let none = facts(GIRL, film);
    expect(&none, &[("growth.height_z", "height: not recorded (ask the examiner)")]);
}

#[test]
fn reference_figures_stand_only_for_whom_they_were_found() {
    let girl = facts(GIRL, "films: []\n");
    expect(
        &girl,
        &[("growth.reference.peak_velocity", "7.4"), ("growth.reference.left_at_puberty", "20.5")],
    );
    let boy = facts("born: 2012-06-02, sex: male", "films: []\n");
    expect(
        &boy,
        &[
            ("growth.reference.peak_velocity", "not applicable: the figures are of girls"),
            ("growth.reference.left_at_puberty", "22.5"),
            ("growth.reference.puberty_bone_age", "13.0"),
        ],
    );
}

#[test]
fn maturity_with_scale_meaning_and_interval() {
    // From 28 February to 15 June three completed months, from 11 February,
    // the day after it had not come, four.
    expect(
        &facts(GIRL, COURSE),
        &[
            ("maturity.risser.grade", "1"),
            ("maturity.risser.scale", "French"),
            ("maturity.risser.meaning", "up to a third of the apophysis"),
            ("maturity.risser.before.grade", "0"),
            (
                "maturity.risser.step",
                "not comparable: read on the US scale before and on the French scale now",
            ),
            ("maturity.triradiate.value", "closed"),
            ("maturity.triradiate.last_open", "2025-06-01"),
            ("maturity.triradiate.first_closed", "2026-06-01"),
            ("maturity.hand_stage.meaning", "all distal phalangeal growth plates closed"),
            ("maturity.hand_stage.bone_age", "13.0"),
            ("maturity.radius.meaning", "as at peak height velocity"),
            ("maturity.ulna.value", "5"),
            ("maturity.menarche.months_since_fewest", "3"),
            ("maturity.menarche.months_since_most", "4"),
            (
                "maturity.menarche.months_since",
                "cannot tell: the date 2026-02 leaves 3 to 4 months",
            ),
            ("maturity.weaning.risser", "no"),
            ("maturity.weaning.menarche", "no"),
            ("maturity.weaning.growth", "no"),
        ],
    );
    let sharp = COURSE.replace("on: 2026-02}", "on: 2026-02-20}");
    expect(&facts(GIRL, &sharp), &[("maturity.menarche.months_since", "3")]);
}

#[test]
fn the_phase_is_what_all_signs_allow() {
    // By the table of signs: French 1 around the peak, hand stage 5 after it,
    // radius 7 around it, first period within two years after it.
    let facts_now = facts(GIRL, COURSE);
    expect(
        &facts_now,
        &[
            ("growth.phase.value", "deceleration"),
            ("growth.phase.signs.risser.allows", "acceleration or deceleration"),
            ("growth.phase.signs.hand.allows", "deceleration"),
            ("growth.phase.signs.menarche.allows", "deceleration or nearly mature"),
            (
                "growth.phase.signs.triradiate.allows",
                "not applicable: this sign decides nothing by itself",
            ),
        ],
    );
    let contrary = COURSE.replace("hand_stage: 5", "hand_stage: 2");
    let said = said(&facts(GIRL, &contrary), "growth.phase.value");
    assert!(said.starts_with("cannot tell: the signs contradict each other: "), "{said}");
    let little = "films:\n  - {id: f1, taken: 2026-05-01, view: frontal, maturity: {risser: {grade: 0, scale: US}}}\n";
    expect(
        &facts(GIRL, little),
        &[(
            "growth.phase.value",
            "cannot tell: the signs allow acceleration or deceleration; missing: triradiate cartilage, hand film, two velocities of height, first period",
        )],
    );
    expect(
        &facts("born: 2020-06-02, sex: female", little),
        &[(
            "growth.phase.value",
            "not applicable: the patient is younger than puberty is looked for",
        )],
    );
}

#[test]
fn signs_for_weaning_are_answered_one_by_one() {
    let grown = "background: {menarche: {on: 2023-11}}
films:
  - {id: f1, taken: 2026-05-01, view: frontal, maturity: {risser: {grade: 4, scale: US}}}
exams:
  - {on: 2025-09-01, height: 163.0 cm}
  - {on: 2026-05-01, height: 163.8 cm}
";
    let girl = "born: 2010-06-02, sex: female";
    expect(
        &facts(girl, grown),
        &[
            ("maturity.weaning.risser", "yes"),
            ("maturity.weaning.menarche", "yes"),
            ("maturity.weaning.growth", "yes"),
            ("growth.phase.value", "nearly mature"),
        ],
    );
    let french = grown.replace("4, scale: US", "3, scale: French");
    expect(
        &facts(girl, &french),
        &[(
            "maturity.weaning.risser",
            "cannot tell: French grade 3 lies on both sides of United States grade 4",
        )],
    );
    let more = grown.replace("163.8", "164.4");
    expect(
        &facts(girl, &more),
        &[(
            "maturity.weaning.growth",
            "cannot tell: 1.4 cm from 2025-09-01 to 2026-05-01 do not say how much fell into six months",
        )],
    );
    let boy = facts("born: 2010-06-02, sex: male", "films: []\n");
    expect(
        &boy,
        &[
            ("maturity.weaning.menarche", "not applicable: the patient is recorded as male"),
            ("maturity.weaning.risser", "Risser grade: not recorded (ask the reader of the film)"),
            ("maturity.weaning.growth", "cannot tell: there are not two heights"),
        ],
    );
}
