//! `exam.flags.*` and `rib_vertebra.latest.*`: findings that rules ask for.
//!
//! A finding that is not written down is not absent: it is not recorded. Free
//! text is never read for it.

use super::frontal;
use super::maker::{Maker, day};
use super::record::{exam_path, slug};
use crate::case::field::FLAGS;
use crate::case::{Case, Exam, Finding};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::Reported;
use crate::spine::{Level, rib};

/// Every finding a rule may ask for, from the latest examination that has it,
/// and since when it has been there without a break.
pub fn findings(make: &mut Maker, case: &Case) {
    let mut names: Vec<&str> = FLAGS.to_vec();
    for name in case.exams.iter().flat_map(|e| e.flags.keys()) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    names.iter().for_each(|name| finding(make, case, name));
    asked(make, case);
    ribs(make, case);
}

fn finding(make: &mut Maker, case: &Case, name: &str) {
    let root = format!("exam.flags.{}", slug(name));
    let label = name.replace('_', " ");
    let told: Vec<(&Exam, &Located<Finding>)> =
        case.exams.iter().filter_map(|e| Some((e, e.flags.get(name)?))).collect();
    let Some((exam, found)) = told.last() else {
        make.not_recorded(format!("{root}.value"), &label, "the examiner", "exams", &case.place);
        return;
    };
    let record = format!("{} / flags / {name}", exam_path(exam));
    make.fact(format!("{root}.value"), &label, Value::Word(found.value.word()))
        .record(&record, &found.place)
        .done();
    make.fact(format!("{root}.on"), format!("day of the finding: {label}"), day(exam.on.value))
        .record(&record, &exam.on.place)
        .done();
    let same = told.iter().rev().take_while(|(_, f)| f.value == found.value);
    let (first, _) = same.last().unwrap_or(&told[told.len() - 1]);
    make.fact(format!("{root}.since"), format!("since when: {label}"), day(first.on.value))
        .record(exam_path(first), &first.on.place)
        .from(format!("{root}.value"))
        .by("first of the unbroken examinations that say the same", Source::definition(""))
        .done();
}

/// `exam.flags_on`: the day of all findings told, if it is one day.
fn asked(make: &mut Maker, case: &Case) {
    let (id, label) = ("exam.flags_on", "day on which the findings were told");
    let last = |name: &String| case.exams.iter().rfind(|e| e.flags.contains_key(name));
    let names = case.exams.iter().flat_map(|e| e.flags.keys());
    let exams: Vec<&Exam> = names.filter_map(last).collect();
    match exams.split_first() {
        None => make.not_recorded(id, label, "the examiner", "exams", &case.place),
        Some((first, rest)) if rest.iter().all(|e| e.on.value == first.on.value) => make
            .fact(id, label, day(first.on.value))
            .record(format!("{} / flags", exam_path(first)), &first.on.place)
            .done(),
        Some(_) => {
            let several = Missing::CannotTell("they were told on several days".into());
            make.missing(id, label, several)
        }
    };
}

/// The latest frontal film on which the rib-vertebra angle difference is
/// known, whatever the posture: infants lie.
fn ribs(make: &mut Maker, case: &Case) {
    let label = "rib-vertebra angle difference on the latest film that shows it";
    limits(make);
    let at = case.films.iter().rev().find_map(|film| {
        let tree = format!("{}.rvad", frontal::root(film));
        let levels = make.facts.children(&tree);
        let known = |level: &&str| {
            let fact = make.facts.get(&format!("{tree}.{level}.difference"));
            fact.is_some_and(|f| f.missing().is_none())
        };
        let level = levels.into_iter().find(known)?;
        Some((film, Level::parse(level), format!("{tree}.{level}")))
    });
    let Some((film, level, path)) = at else {
        for item in ["difference", "limit_20", "limit_17", "phase", "on", "level"] {
            let missing = Missing::NotRecorded {
                item: "rib-vertebra angles".into(),
                who: "the reader of the film".into(),
            };
            make.missing(format!("rib_vertebra.latest.{item}"), label, missing);
        }
        return;
    };
    for item in ["difference", "limit_20", "limit_17", "phase"] {
        make.same(format!("rib_vertebra.latest.{item}"), &format!("{path}.{item}"));
    }
    make.fact("rib_vertebra.latest.on", "day of that film", day(film.taken.value))
        .record(format!("film {} / taken", film.id.value), &film.taken.place)
        .done();
    let (id, label) = ("rib_vertebra.latest.level", "vertebra of that difference");
    match level {
        Some(level) => make
            .fact(id, label, Value::Level(level))
            .from("rib_vertebra.latest.difference")
            .record(format!("film {}", film.id.value), &film.place)
            .done(),
        None => make.missing(id, label, Missing::CannotTell("its name is no level".into())),
    };
}

/// `rib_vertebra.limits.*`: the two published limits and how well a difference
/// repeats.
fn limits(make: &mut Maker) {
    let all = [
        ("first", "difference from which a curve is likely to progress", &rib::LIKELY_FROM, 0),
        ("later", "the lower limit of a later study", &rib::LIKELY_FROM_LATER, 1),
        ("repeats", "most repeated differences lie within this", &rib::REPEATS_WITHIN, 0),
    ];
    for (item, label, constant, decimals) in all {
        let value = Reported::round(constant.value, decimals, constant.unit);
        make.fact(format!("rib_vertebra.limits.{item}"), label, Value::Number(value))
            .by("as published", constant.source)
            .done();
    }
}
