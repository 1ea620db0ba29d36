//! The patient's body: sex and maturity, heights and weights.

use crate::case::{Exam, Sex};
use crate::diag::{Code, Located, Place};
use crate::quantity::{Age, Length};

use super::{Check, plain};

/// Heights of people, in mm: from the most premature newborn to the tallest
/// man measured (2.72 m). Bounds for slips of digit or unit; common practice,
/// no source.
const HEIGHT: (f64, f64) = (250.0, 2750.0);
/// Sitting heights, in mm, with the same meaning.
const SITTING: (f64, f64) = (150.0, 1400.0);
/// Weights, in kg, with the same meaning.
const WEIGHT: (f64, f64) = (0.4, 650.0);
/// Leg length differences, in mm, with the same meaning.
const LEGS: (f64, f64) = (-150.0, 150.0);
/// Angles of trunk rotation, in degrees: a scoliometer ends at 30.
const ROTATION: f64 = 45.0;
/// A child's height may fall by this much between two measurements, in mm,
/// through measurement alone; common practice, no source.
const HEIGHT_NOISE: f64 = 10.0;
/// Below this age in years a falling height is doubted.
const ADULT: u32 = 18;

pub(super) fn check(look: &mut Check) {
    menarche(look);
    for exam in &look.case.exams {
        measures(look, exam);
        levels(look, exam);
    }
    heights(look);
}

fn menarche(look: &mut Check) {
    let Some(menarche) = &look.case.background.menarche else { return };
    let (on, not_yet) = (&menarche.on, &menarche.not_yet);
    let sex = &look.case.patient.sex;
    let place = on.as_ref().map(|d| &d.place).or(not_yet.as_ref().map(|d| &d.place));
    if let (Sex::Male, Some(place)) = (sex.value, place) {
        let message = "a first period is recorded for a patient recorded as male";
        look.fault_with(Code::MenarcheOnMale, place, message, (&sex.place, "recorded as male"));
    }
    if let (Some(on), Some(not_yet)) = (on, not_yet)
        && on.last_day() < **not_yet
    {
        let message = format!("first period in {} although not yet on {}", **on, **not_yet);
        let other = (&not_yet.place, "not yet on this day");
        look.fault_with(Code::MenarcheContradicts, &on.place, message, other);
    }
}

/// Reports a number outside what people have.
fn within(look: &mut Check, what: &str, shown: String, bounds: (f64, f64), at: (f64, &Place)) {
    let (value, place) = at;
    if !(bounds.0..=bounds.1).contains(&value) {
        look.fault(Code::MeasureImplausible, place, format!("{what} of {shown}"));
    }
}

fn centimetres(length: Length) -> String {
    format!("{} cm", plain(length.to_millimetres() / 10.0))
}

fn measures(look: &mut Check, exam: &Exam) {
    let lengths = [
        ("height", &exam.height, HEIGHT),
        ("arm span", &exam.arm_span, HEIGHT),
        ("sitting height", &exam.sitting_height, SITTING),
        ("difference in leg length", &exam.leg_difference, LEGS),
    ];
    for (what, length, bounds) in lengths {
        if let Some(Located { value, place }) = length {
            let at = (value.to_millimetres(), place);
            within(look, what, centimetres(*value), bounds, at);
        }
    }
    if let Some(Located { value, place }) = &exam.weight {
        let kilograms = value.to_kilograms();
        within(look, "weight", format!("{} kg", plain(kilograms)), WEIGHT, (kilograms, place));
    }
    for (level, angle) in &exam.trunk_rotation {
        let degrees = angle.to_degrees();
        let what = format!("trunk rotation at {}", **level);
        let shown = format!("{} deg", plain(degrees));
        within(look, &what, shown, (-ROTATION, ROTATION), (degrees, &angle.place));
    }
    sitting(look, exam);
}

fn sitting(look: &mut Check, exam: &Exam) {
    if let (Some(sitting), Some(standing)) = (&exam.sitting_height, &exam.height)
        && sitting.to_millimetres() >= standing.to_millimetres()
    {
        let message = format!(
            "sitting height of {} is not below the height of {}",
            centimetres(**sitting),
            centimetres(**standing)
        );
        let other = (&standing.place, "height");
        look.fault_with(Code::MeasureImplausible, &sitting.place, message, other);
    }
}

fn levels(look: &mut Check, exam: &Exam) {
    for (level, _) in &exam.trunk_rotation {
        super::curve::level(look, level.value, &level.place);
    }
}

fn heights(look: &mut Check) {
    let mut measured: Vec<_> = look
        .case
        .exams
        .iter()
        .filter_map(|exam| exam.height.as_ref().map(|height| (*exam.on, height)))
        .collect();
    measured.sort_by_key(|(on, _)| *on);
    for pair in measured.windows(2) {
        let ((before, old), (on, new)) = (pair[0], pair[1]);
        let fall = old.to_millimetres() - new.to_millimetres();
        let age = Age::on(*look.case.patient.born, on).map_or(0, |age| age.years);
        if fall > HEIGHT_NOISE && age < ADULT {
            let message = format!(
                "height falls by {} cm, from {} on {before} to {} on {on}",
                plain(fall / 10.0),
                centimetres(**old),
                centimetres(**new)
            );
            look.fault_with(Code::HeightFalling, &new.place, message, (&old.place, "before"));
        }
    }
}
