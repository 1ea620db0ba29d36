//! `growth.*`: height now, before, and since the current brace was delivered.

use chrono::NaiveDate;

use crate::case::{Case, Exam};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day};
use crate::facts::derive::record::{centimetres, exam_path};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;

/// `growth.height` and what is told from it: now, before, and since the current brace was delivered.
pub(super) fn heights(make: &mut Maker, case: &Case, delivered: Option<NaiveDate>) {
    let measured: Vec<&Exam> = case.exams.iter().filter(|e| e.height.is_some()).collect();
    let Some(now) = measured.last() else {
        make.not_recorded("growth.height", "height", "the examiner", "exams", &case.place);
        for (item, label) in [
            ("height_on", "date of the height"),
            ("gain", "growth since the height before"),
            ("since", "date of the height before"),
            ("since_delivery", "growth since the brace was delivered"),
            ("at_delivery", "height nearest to the delivery of the brace"),
            ("at_delivery_on", "date of that height"),
        ] {
            make.missing(
                format!("growth.{item}"),
                label,
                Missing::NotRecorded { item: "height".into(), who: "the examiner".into() },
            );
        }
        return;
    };
    height(make, "growth.height", "standing height", now);
    make.fact("growth.height_on", "date of the height", day(now.on.value))
        .record(exam_path(now), &now.on.place)
        .done();
    let before = measured.iter().rev().find(|e| days_between(e.on.value, now.on.value) >= 80);
    gain(
        make,
        "growth.gain",
        "growth since the height before",
        before.copied(),
        now,
        "no earlier height at least 80 days before",
    );
    match before {
        Some(e) => make
            .fact("growth.since", "date of the height before", day(e.on.value))
            .record(exam_path(e), &e.on.place)
            .done(),
        None => make.missing(
            "growth.since",
            "date of the height before",
            Missing::NotApplicable("no earlier height".into()),
        ),
    };
    since_delivery(make, &measured, now, delivered);
}

/// `growth.heights.*`: every standing height by date, for the figure of growth.
pub(super) fn series(make: &mut Maker, case: &Case) {
    for (n, exam) in case.exams.iter().filter(|e| e.height.is_some()).enumerate() {
        let root = format!("growth.heights.h{}", n + 1);
        make.fact(format!("{root}.on"), "day of a standing height", day(exam.on.value))
            .record(exam_path(exam), &exam.on.place)
            .done();
        height(make, &format!("{root}.height"), "standing height on that day", exam);
    }
}

/// Growth since the brace was delivered: from the height nearest to that day,
/// at most 45 days off, to one at least 30 days later.
fn since_delivery(make: &mut Maker, measured: &[&Exam], now: &Exam, delivered: Option<NaiveDate>) {
    let nearest = delivered.and_then(|d| {
        let near = |e: &&&Exam| days_between(e.on.value, d).abs() <= 45;
        measured.iter().filter(near).min_by_key(|e| days_between(e.on.value, d).abs()).copied()
    });
    let later = |e: &&Exam| {
        let (from, day) = (e.on.value, now.on.value);
        days_between(from, day) >= 30 && delivered.is_some_and(|d| days_between(d, day) >= 30)
    };
    let label = "height nearest to the delivery of the brace";
    match nearest {
        Some(e) => {
            height(make, "growth.at_delivery", label, e);
            make.fact("growth.at_delivery_on", "date of that height", day(e.on.value))
                .record(exam_path(e), &e.on.place)
                .done();
        }
        None => {
            for (id, label) in
                [("growth.at_delivery", label), ("growth.at_delivery_on", "date of that height")]
            {
                let item = "height within 45 days of delivery".into();
                make.missing(id, label, Missing::NotRecorded { item, who: "the examiner".into() });
            }
        }
    }
    gain(
        make,
        "growth.since_delivery",
        "growth since the brace was delivered",
        nearest.filter(later),
        now,
        "no height near the delivery and one at least 30 days later",
    );
}

fn height(make: &mut Maker, id: &str, label: &str, exam: &Exam) {
    let height = exam.height.as_ref().expect("only exams with a height are asked");
    make.fact(id, label, centimetres(height.value))
        .record(format!("{} / height", exam_path(exam)), &height.place)
        .done();
}

fn gain(make: &mut Maker, id: &str, label: &str, before: Option<&Exam>, now: &Exam, why: &str) {
    let Some(before) = before else {
        make.missing(id, label, Missing::CannotTell(why.into()));
        return;
    };
    let at = |e: &Exam| match centimetres(e.height.as_ref().expect("has a height").value) {
        Value::Number(n) => n,
        _ => unreachable!("a length is a number"),
    };
    let record = |e: &Exam| format!("{} / height", exam_path(e));
    make.fact(id, label, Value::Number(at(now).minus(at(before))))
        .record(record(before), &before.height.as_ref().expect("has a height").place)
        .record(record(now), &now.height.as_ref().expect("has a height").place)
        .by("difference of the two reported heights", Source::definition(""))
        .done();
}
