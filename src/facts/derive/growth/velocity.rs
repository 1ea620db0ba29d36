//! `growth.velocity.*`: how fast height, sitting height and arm span grow.

use crate::case::{Clinic, Exam};
use crate::course::growth::velocity::{
    DEFAULT_SOURCE, MEASUREMENT_SD, VELOCITY_MONTHS, VELOCITY_SOURCE, Velocity, months_between,
    velocity,
};
use crate::course::trend::Dated;
use crate::diag::{Located, Place};
use crate::evidence::{Grade, Source};
use crate::facts::derive::maker::{Draft, Maker, day, whole};
use crate::facts::derive::record::exam_path;
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::{Length, Reported, Unit};

/// The settings of growth in force: fewest months, and the standard deviation
/// of one measurement in mm.
pub(super) fn settings(clinic: &Clinic) -> (u32, f64) {
    let limits = &clinic.limits;
    let months = limits.velocity_months.as_ref().map_or(VELOCITY_MONTHS, |m| m.value);
    let sd = limits.height_error.as_ref().map_or(MEASUREMENT_SD, |e| e.to_millimetres());
    (months, sd)
}

/// `limits.velocity_months`, `limits.height_error`.
pub(super) fn limits(make: &mut Maker, clinic: &Clinic) {
    let (months, sd) = settings(clinic);
    let limits = &clinic.limits;
    let set = Source { work: None, grade: Grade::ClinicSetting, note: "" };
    let finish = |fact: Draft, place: Option<&Place>| match place {
        Some(place) => fact.record("clinic / limits", place).by("the clinic's setting", set).done(),
        // Where it would stand: a letter that prints a velocity rests on it.
        None => fact
            .record("clinic / limits", &clinic.place)
            .by("default of this program", DEFAULT_SOURCE)
            .done(),
    };
    let label = "fewest months between two measurements for a velocity of growth";
    let value = whole(i64::from(months), Unit::Month);
    let place = limits.velocity_months.as_ref().map(|m| &m.place);
    finish(make.fact("limits.velocity_months", label, value), place);
    let label = "standard deviation of one measurement of a height";
    let value = Value::Number(Reported::round(sd, 1, Unit::Millimetre));
    let place = limits.height_error.as_ref().map(|e| &e.place);
    finish(make.fact("limits.height_error", label, value), place);
}

/// One measured length that is followed.
struct Measure {
    /// Part of the fact ids.
    key: &'static str,
    /// The field of an examination.
    field: &'static str,
    /// In words.
    label: &'static str,
    get: fn(&Exam) -> Option<&Located<Length>>,
}

const MEASURES: [Measure; 3] = [
    Measure {
        key: "height",
        field: "height",
        label: "standing height",
        get: |e| e.height.as_ref(),
    },
    Measure {
        key: "sitting",
        field: "sitting_height",
        label: "sitting height",
        get: |e| e.sitting_height.as_ref(),
    },
    Measure { key: "span", field: "arm_span", label: "arm span", get: |e| e.arm_span.as_ref() },
];

/// A velocity with the examinations at its ends.
struct Interval<'a> {
    from: &'a Exam,
    to: &'a Exam,
    velocity: Velocity,
}

/// `growth.velocity.*`. Gives back whether the velocity of height rose (true)
/// or fell beyond its error, for the phase of growth.
pub(super) fn velocities(make: &mut Maker, set: &Setting) -> Option<(bool, chrono::NaiveDate)> {
    let mut height = None;
    for measure in &MEASURES {
        let exams: Vec<&Exam> =
            set.case.exams.iter().filter(|e| (measure.get)(e).is_some()).collect();
        let found = exams.split_last().and_then(|(now, before)| latest(measure, now, before, set));
        let root = format!("growth.velocity.{}", measure.key);
        match &found {
            _ if super::adult(set) => none(make, &root, measure, &adult()),
            Some(interval) => one(make, &root, measure, interval),
            None => none(make, &root, measure, &why_none(measure, &exams, set)),
        }
        let turned = change(make, &root, measure, found.as_ref(), &exams, set);
        if measure.key == "height" {
            height = turned;
        }
    }
    height
}

fn adult() -> Missing {
    Missing::NotApplicable("the patient is an adult".into())
}

fn why_none(measure: &Measure, exams: &[&Exam], set: &Setting) -> Missing {
    if exams.is_empty() {
        return Missing::NotRecorded { item: measure.label.into(), who: "the examiner".into() };
    }
    let (months, _) = settings(set.clinic);
    Missing::CannotTell(format!("no {} at least {months} months before", measure.label))
}

/// A length as reported, in centimetres.
fn reported(measure: &Measure, exam: &Exam) -> Dated {
    let length = (measure.get)(exam).expect("only exams that have it are asked");
    let value = Reported::round(length.to_millimetres() / 10.0, 1, Unit::Centimetre);
    Dated { on: exam.on.value, value }
}

/// From the latest measurement that lies far enough before `to`.
fn latest<'a>(
    measure: &Measure,
    to: &'a Exam,
    before: &[&'a Exam],
    set: &Setting,
) -> Option<Interval<'a>> {
    let (months, sd) = settings(set.clinic);
    let far = |e: &&&Exam| months_between(e.on.value, to.on.value) >= months;
    let from = *before.iter().rev().find(far)?;
    let velocity = velocity(reported(measure, from), reported(measure, to), months, sd).ok()?;
    Some(Interval { from, to, velocity })
}

/// Velocities of height that follow each other without overlap, each ending
/// where the next begins; the last one is that of now.
pub(super) fn steps(make: &mut Maker, set: &Setting) {
    let measure = &MEASURES[0];
    let exams: Vec<&Exam> = set.case.exams.iter().filter(|e| e.height.is_some()).collect();
    let mut found: Vec<Interval> = Vec::new();
    let mut until = exams.len();
    while let Some((to, before)) = exams[..until].split_last() {
        match latest(measure, to, before, set) {
            Some(interval) => {
                let from = interval.from.on.value;
                until = exams.iter().position(|e| e.on.value == from).map_or(0, |at| at + 1);
                found.push(interval);
            }
            None => break,
        }
    }
    for (n, interval) in found.iter().rev().enumerate() {
        step(make, &format!("growth.steps.s{}", n + 1), interval);
    }
}

fn step(make: &mut Maker, root: &str, Interval { from, to, velocity }: &Interval) {
    for (item, label, exam) in
        [("from", "first height of a step of growth", from), ("to", "last height of it", to)]
    {
        make.fact(format!("{root}.{item}"), label, day(exam.on.value))
            .record(exam_path(exam), &exam.on.place)
            .done();
    }
    make.fact(
        format!("{root}.per_year"),
        "growth a year in a step, standing height",
        Value::Number(velocity.per_year),
    )
    .record(exam_path(from), &from.on.place)
    .record(exam_path(to), &to.on.place)
    .from("limits.velocity_months")
    .from("limits.height_error")
    .by("(last - first) / years between", VELOCITY_SOURCE)
    .uncertain(velocity.uncertainty, VELOCITY_SOURCE)
    .unrounded(velocity.exact)
    .done();
}

const ITEMS: [(&str, &str); 5] = [
    ("per_year", "growth a year"),
    ("from", "first measurement of the velocity"),
    ("to", "last measurement of the velocity"),
    ("months", "months between the two measurements"),
    ("uncertainty", "95 % limit of the velocity"),
];

fn none(make: &mut Maker, root: &str, measure: &Measure, missing: &Missing) {
    for (item, label) in ITEMS {
        let label = format!("{label}, {}", measure.label);
        make.missing(format!("{root}.{item}"), &label, missing.clone());
    }
}

fn one(make: &mut Maker, root: &str, measure: &Measure, interval: &Interval) {
    let Interval { from, to, velocity } = interval;
    let place = |e: &Exam| (measure.get)(e).expect("has it").place.clone();
    let record = |e: &Exam| format!("{} / {}", exam_path(e), measure.field);
    let label = |n: usize| format!("{}, {}", ITEMS[n].1, measure.label);
    make.fact(format!("{root}.per_year"), label(0), Value::Number(velocity.per_year))
        .record(record(from), &place(from))
        .record(record(to), &place(to))
        .from("limits.velocity_months")
        .from("limits.height_error")
        .by("(last - first) / years between", VELOCITY_SOURCE)
        .uncertain(velocity.uncertainty, VELOCITY_SOURCE)
        .unrounded(velocity.exact)
        .done();
    for (n, exam) in [(1, from), (2, to)] {
        make.fact(format!("{root}.{}", ITEMS[n].0), label(n), day(exam.on.value))
            .record(exam_path(exam), &exam.on.place)
            .done();
    }
    make.fact(format!("{root}.months"), label(3), whole(i64::from(velocity.months), Unit::Month))
        .from(format!("{root}.from"))
        .from(format!("{root}.to"))
        .by("completed calendar months", Source::definition(""))
        .done();
    make.fact(format!("{root}.uncertainty"), label(4), Value::Number(velocity.uncertainty))
        .from(format!("{root}.per_year"))
        .from("limits.height_error")
        .by("1.96 x sqrt 2 x SD of one measurement / years between", VELOCITY_SOURCE)
        .done();
}

/// `growth.velocity.*.before` and `.change`: the interval before, and whether
/// the two velocities differ by more than both their errors.
fn change(
    make: &mut Maker,
    root: &str,
    measure: &Measure,
    now: Option<&Interval>,
    exams: &[&Exam],
    set: &Setting,
) -> Option<(bool, chrono::NaiveDate)> {
    let earlier = now.filter(|_| !super::adult(set)).and_then(|now| {
        let at = exams.iter().position(|e| e.on.value == now.from.on.value)?;
        latest(measure, exams[at], &exams[..at], set)
    });
    let labels = ["growth a year in the interval before", "how the velocity changed"];
    let labels = labels.map(|l| format!("{l}, {}", measure.label));
    let (Some(now), Some(earlier)) = (now, earlier) else {
        for (item, label) in ["before", "change"].iter().zip(&labels) {
            let why = "fewer than two velocities, one after the other";
            make.missing(format!("{root}.{item}"), label, Missing::CannotTell(why.into()));
        }
        return None;
    };
    let before = earlier.velocity;
    make.fact(format!("{root}.before"), &labels[0], Value::Number(before.per_year))
        .record(exam_path(earlier.from), &earlier.from.on.place)
        .record(exam_path(earlier.to), &earlier.to.on.place)
        .from("limits.height_error")
        .by("(last - first) / years between", VELOCITY_SOURCE)
        .uncertain(before.uncertainty, VELOCITY_SOURCE)
        .unrounded(before.exact)
        .done();
    let difference = now.velocity.per_year.minus(before.per_year);
    let error = now.velocity.uncertainty.value() + before.uncertainty.value();
    let turned = (difference.abs().value() > error).then_some(difference.sign() > 0);
    let word = match turned {
        Some(true) => "rose",
        Some(false) => "fell",
        None => "same",
    };
    make.fact(format!("{root}.change"), &labels[1], Value::Word(word))
        .from(format!("{root}.per_year"))
        .from(format!("{root}.before"))
        .by("rose or fell by more than both 95 % limits together", Source::definition(""))
        .done();
    turned.map(|rose| (rose, now.to.on.value))
}
