//! The patient's body: sex and maturity, heights and weights.

use crate::case::{Exam, Sex};
use crate::course::growth::velocity::{MEASUREMENT_SD, difference_limit};
use crate::diag::{Code, Located};
use crate::quantity::{Age, Length};

use super::{Check, plain};

/// Weight over height squared, in kg/m²: below, nobody lives; above, a digit
/// slipped far more often. For slips only; common practice, no source.
const MASS_INDEX: (f64, f64) = (8.0, 110.0);
/// Sitting height over height: about two thirds in infants, half in adults,
/// less with a severe curve. For slips only; common practice, no source.
const SITTING: (f64, f64) = (0.35, 0.8);
/// Arm span over height, with the same meaning.
const SPAN: (f64, f64) = (0.7, 1.4);
/// Below this age in years a falling height is doubted.
const ADULT: u32 = 18;

pub(super) fn check(look: &mut Check) {
    menarche(look);
    for exam in &look.case.exams {
        measures(look, exam);
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
        && on.last_day() <= **not_yet
    {
        let message = format!("first period in {} although not yet on {}", **on, **not_yet);
        let other = (&not_yet.place, "not yet on this day");
        look.fault_with(Code::MenarcheContradicts, &on.place, message, other);
    }
}

fn centimetres(length: Length) -> String {
    format!("{} cm", plain(length.to_millimetres() / 10.0))
}

/// Each measure by itself is bounded by the reader; here they are held
/// against one another.
fn measures(look: &mut Check, exam: &Exam) {
    let Some(height) = &exam.height else { return };
    let tall = height.to_millimetres();
    let lengths =
        [("sitting height", &exam.sitting_height, SITTING), ("arm span", &exam.arm_span, SPAN)];
    for (what, length, bounds) in lengths {
        let Some(length) = length else { continue };
        if !within(length.to_millimetres() / tall, bounds) {
            let message = format!(
                "{what} of {} with a height of {}",
                centimetres(**length),
                centimetres(**height)
            );
            let other = (&height.place, "the height");
            look.fault_with(Code::MeasureImplausible, &length.place, message, other);
        }
    }
    if let Some(weight) = &exam.weight
        && !within(weight.to_kilograms() / (tall * tall / 1e6), MASS_INDEX)
    {
        let message = format!(
            "weight of {} kg with a height of {}",
            plain(weight.to_kilograms()),
            centimetres(**height)
        );
        let other = (&height.place, "the height");
        look.fault_with(Code::MeasureImplausible, &weight.place, message, other);
    }
}

fn within(value: f64, bounds: (f64, f64)) -> bool {
    (bounds.0..=bounds.1).contains(&value)
}

/// A length of an examination that only grows in a child.
type Measure = fn(&Exam) -> Option<&Located<Length>>;

fn heights(look: &mut Check) {
    let measures: [(&str, Measure); 3] = [
        ("height", |e| e.height.as_ref()),
        ("sitting height", |e| e.sitting_height.as_ref()),
        ("arm span", |e| e.arm_span.as_ref()),
    ];
    for (what, get) in measures {
        falling(look, what, get);
    }
}

/// A fall beyond what two measurements of one height differ by.
fn falling(look: &mut Check, what: &str, get: Measure) {
    let error = look.clinic.and_then(|c| c.limits.height_error.as_ref());
    let limit = difference_limit(error.map_or(MEASUREMENT_SD, |e| e.to_millimetres()));
    let mut measured: Vec<_> =
        look.case.exams.iter().filter_map(|exam| Some((*exam.on, get(exam)?))).collect();
    measured.sort_by_key(|(on, _)| *on);
    for pair in measured.windows(2) {
        let ((before, old), (on, new)) = (pair[0], pair[1]);
        let fall = old.to_millimetres() - new.to_millimetres();
        let age = Age::on(*look.case.patient.born, on).map_or(0, |age| age.years);
        if fall > limit && age < ADULT {
            let message = format!(
                "{what} falls by {} cm, from {} on {before} to {} on {on}",
                plain(fall / 10.0),
                centimetres(**old),
                centimetres(**new)
            );
            look.fault_with(Code::HeightFalling, &new.place, message, (&old.place, "before"));
        }
    }
}
