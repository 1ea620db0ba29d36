//! Growth inside one brace: the height nearest to its delivery and the last
//! one before its end, each with its day. Figures only: whether a brace is
//! outgrown is for the orthotist to say.

use crate::case::{Case, Exam, Treatment};
use crate::evidence::Source;
use crate::facts::Missing;
use crate::facts::Value;
use crate::facts::derive::maker::{Maker, day};
use crate::facts::derive::record::centimetres;
use crate::quantity::Reported;
use crate::quantity::date::days_between;

use super::which::supports;

/// Furthest day of the height at delivery from the delivery, in days.
const NEAR: i64 = 45;
/// Fewest days between the two heights.
const APART: i64 = 30;

/// What growth in a brace says, or says is missing.
const ITEMS: [(&str, &str); 5] = [
    ("at_delivery", "height nearest to the delivery"),
    ("at_delivery_on", "date of that height"),
    ("latest", "latest height while it was worn"),
    ("latest_on", "date of the latest height"),
    ("amount", "growth since the delivery"),
];

/// `treatments.<id>.growth.*` of a brace or cast.
pub fn growth(make: &mut Maker, case: &Case, root: &str, t: &Treatment) {
    if !supports(t) {
        return;
    }
    let root = format!("{root}.growth");
    match heights(case, t) {
        Ok((first, last)) => {
            height(make, &root, "at_delivery", first);
            height(make, &root, "latest", last);
            amount(make, &root, first, last);
        }
        Err(why) => {
            for (item, label) in ITEMS {
                make.missing(format!("{root}.{item}"), label, why.clone());
            }
        }
    }
}

fn heights<'a>(case: &'a Case, t: &Treatment) -> Result<(&'a Exam, &'a Exam), Missing> {
    let start = t.start().ok_or(Missing::NotApplicable("it has not begun".into()))?.value;
    let measured = || case.exams.iter().filter(|e| e.height.is_some());
    let away = |e: &&Exam| days_between(e.on.value, start).abs();
    let first = measured().filter(|e| away(e) <= NEAR).min_by_key(away).ok_or_else(|| {
        let item = format!("height within {NEAR} days of delivery");
        Missing::NotRecorded { item, who: "the examiner".into() }
    })?;
    let ended = t.ended.as_ref().map(|e| e.on.value);
    let late = |e: &&Exam| {
        let on = e.on.value;
        let (since, between) = (days_between(start, on), days_between(first.on.value, on));
        since >= APART && between >= APART && ended.is_none_or(|end| on <= end)
    };
    let last = measured().rfind(late).ok_or_else(|| {
        let item = format!("height at least {APART} days after delivery");
        Missing::NotRecorded { item, who: "the examiner".into() }
    })?;
    Ok((first, last))
}

fn label(item: &str) -> &'static str {
    ITEMS.iter().find(|(i, _)| *i == item).map_or("", |(_, label)| label)
}

fn height(make: &mut Maker, root: &str, item: &str, exam: &Exam) {
    let height = exam.height.as_ref().expect("only exams with a height are asked");
    let record = format!("exam {}", exam.on.value);
    make.fact(format!("{root}.{item}"), label(item), centimetres(height.value))
        .record(format!("{record} / height"), &height.place)
        .done();
    let dated = format!("{item}_on");
    make.fact(format!("{root}.{dated}"), label(&dated), day(exam.on.value))
        .record(record, &exam.on.place)
        .done();
}

fn amount(make: &mut Maker, root: &str, first: &Exam, last: &Exam) {
    let reported = |e: &Exam| -> Reported {
        match e.height.as_ref().map(|h| centimetres(h.value)) {
            Some(Value::Number(n)) => n,
            _ => unreachable!("only exams with a height are asked, and a length is a number"),
        }
    };
    let grown = reported(last).minus(reported(first));
    make.fact(format!("{root}.amount"), label("amount"), Value::Number(grown))
        .from(format!("{root}.at_delivery"))
        .from(format!("{root}.latest"))
        .by("difference of the two reported heights", Source::definition(""))
        .done();
}
