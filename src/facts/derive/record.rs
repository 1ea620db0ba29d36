//! Facts taken over from records: examinations, plans, settings.

use chrono::Months;

use super::maker::{Maker, day, text};
use super::tongue::{self, Tongue, Words};
use crate::case::{Case, Clinic, Exam, Limits, Plan};
use crate::course::change::FLOOR;
use crate::diag::Located;
use crate::evidence::{Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Length, Reported, Unit};
use crate::spine::Side;

/// `limits.*`: the clinic's limits with their defaults.
pub fn limits(make: &mut Maker, clinic: &Clinic) {
    let limits = &clinic.limits;
    let number = |make: &mut Maker,
                  id: &str,
                  label: &str,
                  set: Option<(f64, &crate::diag::Place)>,
                  default: f64,
                  unit,
                  source| {
        let value = set.map_or(default, |s| s.0);
        let fact = make.fact(id, label, Value::Number(Reported::round(value, 0, unit)));
        match set {
            Some((_, place)) => fact
                .record("clinic / limits", place)
                .by(
                    "the clinic's setting",
                    Source { work: None, grade: crate::evidence::Grade::ClinicSetting, note: "" },
                )
                .done(),
            None => fact.by("default of this program", source).done(),
        }
    };
    number(
        make,
        "limits.real_change",
        "smallest change called real",
        limits.real_change.as_ref().map(|l| (l.to_degrees(), &l.place)),
        FLOOR.value,
        Unit::Degree,
        Source::read(&works::NEGRINI_2014, "6 degrees; others use 5"),
    );
    number(
        make,
        "limits.scoliosis_from",
        "angle from which a curve is called scoliosis",
        limits.scoliosis_from.as_ref().map(|l| (l.to_degrees(), &l.place)),
        Limits::SCOLIOSIS_FROM,
        Unit::Degree,
        Source::read(&works::COBB_ORTHOFRACS, "above 10 in this source, 10 and more in others"),
    );
    match &limits.surgeon_from {
        Some(l) => make
            .fact(
                "limits.surgeon_from",
                "angle at which a surgeon's view is asked while growing",
                Value::Number(Reported::round(l.to_degrees(), 0, Unit::Degree)),
            )
            .record("clinic / limits / surgeon_from", &l.place)
            .done(),
        None => make.not_recorded(
            "limits.surgeon_from",
            "angle at which a surgeon's view is asked",
            "the clinic",
            "clinic / limits",
            &clinic.place,
        ),
    };
}

/// `exam.*`: the latest examination, and when it was.
pub fn exam(make: &mut Maker, case: &Case, clinic: &Clinic) {
    let Some(exam) = case.exams.last() else {
        for (item, label) in [
            ("on", "date of examination"),
            ("skin", "skin"),
            ("pain", "pain"),
            ("findings", "findings"),
            ("says", "what the patient says"),
            ("height", "height"),
            ("weight", "weight"),
            ("leg_difference", "leg length difference"),
            ("by", "examiner"),
        ] {
            make.not_recorded(format!("exam.{item}"), label, "the examiner", "exams", &case.place);
        }
        neurology(make, case);
        return;
    };
    let record = exam_path(exam);
    let home = &exam.place;
    make.fact("exam.on", "date of the latest examination", day(exam.on.value))
        .record(format!("{record} / on"), &exam.on.place)
        .done();
    person(make, "exam.by", "examiner", exam.by.as_ref(), clinic, &record, home);
    for (item, label, found) in [
        ("skin", "skin", &exam.skin),
        ("findings", "findings", &exam.findings),
        ("says", "what the patient says", &exam.says),
    ] {
        make.recorded(
            format!("exam.{item}"),
            label,
            &record,
            found.as_ref(),
            |t| text(t),
            "the examiner",
            home,
        );
    }
    make.recorded(
        "exam.pain",
        "pain now, 0 to 10",
        &record,
        exam.pain.as_ref(),
        |n| Value::Number(*n),
        "the examiner",
        home,
    );
    length(make, "exam.height", "standing height", &record, exam.height.as_ref(), exam);
    let sitting = exam.sitting_height.as_ref();
    length(make, "exam.sitting_height", "sitting height", &record, sitting, exam);
    length(make, "exam.arm_span", "arm span", &record, exam.arm_span.as_ref(), exam);
    make.recorded(
        "exam.leg_difference",
        "leg length difference",
        &record,
        exam.leg_difference.as_ref(),
        |l| Value::Number(Reported::round(l.to_millimetres(), 0, Unit::Millimetre)),
        "the examiner",
        home,
    );
    make.recorded(
        "exam.weight",
        "weight",
        &record,
        exam.weight.as_ref(),
        |w| Value::Number(Reported::round(w.to_kilograms(), 1, Unit::Kilogram)),
        "the examiner",
        home,
    );
    for (level, angle) in &exam.trunk_rotation {
        let degrees = Reported::round(angle.to_degrees(), 0, Unit::Degree);
        let path = format!("exam.trunk_rotation.{}", level.value);
        make.fact(
            format!("{path}.amount"),
            "angle of trunk rotation",
            Value::Number(degrees.abs()),
        )
        .record(format!("{record} / trunk_rotation"), &angle.place)
        .done();
        let side = match degrees.sign() {
            1 => Value::Side(Side::Right),
            -1 => Value::Side(Side::Left),
            _ => Value::Missing(Missing::NotApplicable("the trunk is not rotated".into())),
        };
        make.fact(format!("{path}.side"), "side that stands up", side)
            .record(format!("{record} / trunk_rotation"), &angle.place)
            .by("right above zero, left below", Source::definition(""))
            .done();
        make.fact(format!("{path}.level"), "level of trunk rotation", Value::Level(level.value))
            .record(format!("{record} / trunk_rotation"), &level.place)
            .done();
    }
    neurology(make, case);
    other_findings(make, case, exam);
    for (id, (name, score)) in slugs(exam.scores.keys()).into_iter().zip(&exam.scores) {
        make.fact(
            format!("exam.scores.{id}.value"),
            format!("score {name}"),
            Value::Number(score.value),
        )
        .record(format!("{record} / scores / {name}"), &score.place)
        .done();
        make.fact(format!("exam.scores.{id}.name"), "name of a score", text(name))
            .record(format!("{record} / scores / {name}"), &score.place)
            .done();
    }
}

/// `exam.neurology.*`: the latest examination that has any, with its day. An
/// older one is still an examination, and its day says how old it is.
fn neurology(make: &mut Maker, case: &Case) {
    let Some(exam) = case.exams.iter().rfind(|e| !e.neurology.is_empty()) else {
        make.not_recorded(
            "exam.neurology_on",
            "neurological examination",
            "the examiner",
            "exams",
            &case.place,
        );
        return;
    };
    let record = exam_path(exam);
    make.fact("exam.neurology_on", "date of the neurological examination", day(exam.on.value))
        .record(format!("{record} / on"), &exam.on.place)
        .done();
    for (id, (name, finding)) in slugs(exam.neurology.keys()).into_iter().zip(&exam.neurology) {
        let path = format!("exam.neurology.{id}");
        let record = format!("{record} / neurology / {name}");
        make.fact(format!("{path}.finding"), "neurological finding", text(finding))
            .record(&record, &finding.place)
            .done();
        make.fact(format!("{path}.name"), "what was examined", text(&name.replace('_', " ")))
            .record(&record, &finding.place)
            .done();
    }
}

/// `exam.other.*`: findings written at earlier examinations of the last half
/// year, which a letter since may not have told.
fn other_findings(make: &mut Maker, case: &Case, latest: &Exam) {
    let recent =
        |e: &&Exam| e.on.value < latest.on.value && e.on.value + Months::new(6) > latest.on.value;
    let earlier = case.exams.iter().filter(recent);
    for (n, (exam, found)) in earlier.filter_map(|e| Some((e, e.findings.as_ref()?))).enumerate() {
        let path = format!("exam.other.o{}", n + 1);
        make.fact(format!("{path}.finding"), "findings of an earlier examination", text(found))
            .record(format!("{} / findings", exam_path(exam)), &found.place)
            .done();
        make.fact(format!("{path}.on"), "date of an earlier examination", day(exam.on.value))
            .record(exam_path(exam), &exam.on.place)
            .done();
    }
}

/// A name that can stand in a fact id.
pub fn slug(name: &str) -> String {
    name.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '_' }).collect()
}

/// Ids of names, each only once: `a b` and `a-b` come to the same id, and the
/// second gets a number.
pub fn slugs<'a>(names: impl Iterator<Item = &'a String>) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for name in names {
        let plain = slug(name);
        let mut id = plain.clone();
        let mut number = 1;
        while ids.contains(&id) {
            number += 1;
            id = format!("{plain}__{number}");
        }
        ids.push(id);
    }
    ids
}

/// The path of an examination, as in corrections.
pub fn exam_path(exam: &Exam) -> String {
    format!("exam {}", exam.on.value)
}

fn length(
    make: &mut Maker,
    id: &str,
    label: &str,
    record: &str,
    found: Option<&Located<Length>>,
    exam: &Exam,
) {
    make.recorded(id, label, record, found, |l| centimetres(*l), "the examiner", &exam.place);
}

/// A body length, printed in centimetres to one decimal.
pub fn centimetres(length: Length) -> Value {
    Value::Number(Reported::round(length.to_millimetres() / 10.0, 1, Unit::Centimetre))
}

/// The name of a person of the clinic, or the id as typed for an outsider.
pub fn person(
    make: &mut Maker,
    id: &str,
    label: &str,
    by: Option<&Located<String>>,
    clinic: &Clinic,
    record: &str,
    home: &crate::diag::Place,
) {
    let name = |short: &String| {
        text(clinic.person(short).map_or(short.as_str(), |p| p.name.value.as_str()))
    };
    make.recorded(id, label, record, by, name, "the clinic", home);
}

/// `plan.*`: the latest decision.
pub fn plan(make: &mut Maker, case: &Case, clinic: &Clinic, tongue: Tongue) {
    let Some(plan) = case.plans.last() else {
        for (item, label) in PLAN_ITEMS {
            make.not_recorded(format!("plan.{item}"), label, "the clinician", "plans", &case.place);
        }
        return;
    };
    let record = format!("plan {}", plan.on.value);
    make.fact("plan.on", "date of the plan", day(plan.on.value))
        .record(format!("{record} / on"), &plan.on.place)
        .done();
    person(make, "plan.by", "who decided", plan.by.as_ref(), clinic, &record, &plan.place);
    plan_texts(make, plan, &record);
    for (item, label, own, others) in [
        ("changes_if", "what would change the plan", &plan.changes_if, &plan.changes_if_in),
        ("told", "what the family was told", &plan.told, &plan.told_in),
    ] {
        let words = Words {
            id: &format!("plan.{item}"),
            label,
            record: &format!("{record} / {item}"),
            record_in: &format!("{record} / {item}_in"),
            own: own.as_ref(),
            others,
            home: (&plan.place, "the clinician"),
        };
        tongue::words(make, tongue, &words);
    }
    plan_next(make, plan, &record);
    for (n, choice) in plan.choice.iter().enumerate() {
        make.fact(
            format!("plan.choices.c{}", n + 1),
            "what was decided",
            Value::Word(choice.word()),
        )
        .record(format!("{record} / choice"), &choice.place)
        .done();
    }
    let main = plan.choice.first();
    make.recorded(
        "plan.choice",
        "what was decided first",
        &record,
        main,
        |c| Value::Word(c.word()),
        "the clinician",
        &plan.place,
    );
}

const PLAN_ITEMS: [(&str, &str); 10] = [
    ("on", "date of the plan"),
    ("by", "who decided"),
    ("choice", "what was decided"),
    ("because", "reason for the plan"),
    ("aim", "aim of treatment"),
    ("changes_if", "what would change the plan"),
    ("told", "what the family was told"),
    ("next_film", "next film"),
    ("next_visit", "next visit"),
    ("off_for", "hours out of the brace before the next film"),
];

fn plan_texts(make: &mut Maker, plan: &Plan, record: &str) {
    for (item, label, found) in
        [("because", "reason for the plan", &plan.because), ("aim", "aim of treatment", &plan.aim)]
    {
        make.recorded(
            format!("plan.{item}"),
            label,
            &format!("{record} / {item}"),
            found.as_ref(),
            |t| text(t),
            "the clinician",
            &plan.place,
        );
    }
}

fn plan_next(make: &mut Maker, plan: &Plan, record: &str) {
    let next = plan.next.as_ref();
    let date = |d: &crate::quantity::PartialDate| Value::Date(*d);
    make.recorded(
        "plan.next_film",
        "next film",
        record,
        next.and_then(|n| n.film.as_ref()),
        date,
        "the clinician",
        &plan.place,
    );
    make.recorded(
        "plan.next_visit",
        "next visit",
        record,
        next.and_then(|n| n.visit.as_ref()),
        date,
        "the clinician",
        &plan.place,
    );
    make.recorded(
        "plan.off_for",
        "hours out of the brace before the next film",
        record,
        next.and_then(|n| n.off_for.as_ref()),
        |h| Value::Number(Reported::round(h.to_hours(), 0, Unit::Hour)),
        "the clinician",
        &plan.place,
    );
}
