//! `ending.weaning.*`, `ending.discharge.*`: the plan that decided it.
//!
//! A weaning may also be decided by lower hours alone: then the plan of the
//! day on which they were decided is meant.

use chrono::NaiveDate;

use crate::case::{Case, Choice, Plan, Treatment};
use crate::facts::derive::maker::{Maker, day, text};
use crate::facts::derive::record::person;
use crate::facts::derive::span::Setting;
use crate::facts::derive::treatment;
use crate::facts::{Missing, Value};

const WHO: &str = "the clinician";

/// The latest plan with that choice.
fn chosen(case: &Case, choice: Choice) -> Option<&Plan> {
    case.plans.iter().rfind(|p| p.choice.iter().any(|c| c.value == choice))
}

/// The plan of the day on which the first step down was decided.
fn by_hours(case: &Case, as_of: NaiveDate) -> Option<&Plan> {
    let worn = treatment::current(case, as_of).or_else(|| treatment::last_worn(case, as_of))?;
    let on = first_step_down(worn)?;
    case.plans.iter().find(|p| p.on.value == on)
}

/// The day on which the way down was decided.
fn first_step_down(t: &Treatment) -> Option<NaiveDate> {
    let lower = t.hours.windows(2).rev().take_while(|p| p[1].per_day.value < p[0].per_day.value);
    let step = &t.hours[t.hours.len() - Some(lower.count()).filter(|n| *n > 0)?];
    Some(step.decided.as_ref().unwrap_or(&step.from).value)
}

/// `ending.weaning.*`.
pub(super) fn weaning(make: &mut Maker, set: &Setting) {
    let plan = chosen(set.case, Choice::Wean).or_else(|| by_hours(set.case, set.as_of));
    told(make, set, "ending.weaning", "decision to wean", plan);
    let (id, label) = ("ending.weaning.changes_if", "sign that would change the plan");
    let home = plan.map_or(&set.case.place, |p| &p.place);
    let record = plan.map_or_else(|| "plans".to_string(), |p| format!("plan {}", p.on.value));
    let found = plan.and_then(|p| p.changes_if.as_ref());
    make.recorded(id, label, &record, found, |t| text(t), WHO, home);
}

/// `ending.discharge.*`, with what brings the patient back, who looks after
/// them and where the films are.
pub(super) fn discharge(make: &mut Maker, set: &Setting) {
    let plan = chosen(set.case, Choice::Discharge);
    told(make, set, "ending.discharge", "decision to discharge", plan);
    come_back(make, set, plan);
    adult_care(make, set, plan);
    let (found, home) = (set.clinic.films_kept.as_ref(), &set.clinic.place);
    let (id, label, record) = ("ending.films_kept", "place of the films", "clinic / films_kept");
    make.recorded(id, label, record, found, |t| text(t), "the clinic", home);
}

/// `ending.adult_care`: the plan's words, else the clinic's, which do not
/// speak of children.
fn adult_care(make: &mut Maker, set: &Setting, plan: Option<&Plan>) {
    let (id, label) = ("ending.adult_care", "care as an adult");
    let own = plan.and_then(|p| Some((p, p.adult_care.as_ref()?)));
    let home = &set.clinic.place;
    let (record, found) = match own {
        Some((p, words)) => (format!("plan {} / adult_care", p.on.value), Some(words)),
        None if make.facts.get("patient.stage").and_then(|f| f.word()) == Some("child") => {
            make.missing(id, label, Missing::NotApplicable("the patient is a child".into()));
            return;
        }
        None => ("clinic / adult_care".to_string(), set.clinic.adult_care.as_ref()),
    };
    make.recorded(id, label, &record, found, |t| text(t), WHO, home);
}

fn come_back(make: &mut Maker, set: &Setting, plan: Option<&Plan>) {
    let (id, label) = ("ending.come_back_state", "signs that should bring the patient back");
    let signs = plan.map(|p| p.come_back_if.as_slice()).unwrap_or_default();
    let (Some(plan), Some(first)) = (plan, signs.first()) else {
        let home = plan.map_or(&set.case.place, |p| &p.place);
        make.not_recorded(id, label, WHO, "plans / come_back_if", home);
        return;
    };
    let record = format!("plan {} / come_back_if", plan.on.value);
    make.fact(id, label, Value::Word("some")).record(&record, &first.place).done();
    for (n, sign) in signs.iter().enumerate() {
        make.fact(format!("ending.come_back_if.c{}", n + 1), label, text(sign))
            .record(&record, &sign.place)
            .done();
    }
}

fn told(make: &mut Maker, set: &Setting, root: &str, what: &str, plan: Option<&Plan>) {
    let home = plan.map_or(&set.case.place, |p| &p.place);
    let record = plan.map_or_else(|| "plans".to_string(), |p| format!("plan {}", p.on.value));
    let on = plan.map(|p| &p.on);
    make.recorded(format!("{root}.on"), what, &record, on, |d| day(*d), WHO, home);
    let by = plan.and_then(|p| p.by.as_ref());
    person(make, &format!("{root}.by"), "who decided it", by, set.clinic, &record, home);
    for (item, label, found) in [
        ("because", "reason for it", plan.and_then(|p| p.because.as_ref())),
        ("told", "words told to the family", plan.and_then(|p| p.told.as_ref())),
    ] {
        make.recorded(format!("{root}.{item}"), label, &record, found, |t| text(t), WHO, home);
    }
}
