//! `ending.weaning.*`, `ending.discharge.*`: the plan that decided it.
//!
//! A weaning may also be decided by lower hours alone: then the plan of the
//! day on which they were decided is meant.

use chrono::NaiveDate;

use crate::case::{Case, Choice, Plan, Treatment};
use crate::facts::Value;
use crate::facts::derive::maker::{Maker, day, text};
use crate::facts::derive::record::person;
use crate::facts::derive::span::Setting;
use crate::facts::derive::treatment;

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
    told(make, set, "ending.weaning", "the decision to wean", plan);
}

/// `ending.discharge.*`, with what brings the patient back, who looks after
/// them and where the films are.
pub(super) fn discharge(make: &mut Maker, set: &Setting) {
    let plan = chosen(set.case, Choice::Discharge);
    told(make, set, "ending.discharge", "the decision to discharge", plan);
    come_back(make, set, plan);
    let own = plan.and_then(|p| p.adult_care.as_ref());
    let (record, found) = match (plan, own) {
        (Some(p), Some(words)) => (format!("plan {} / adult_care", p.on.value), Some(words)),
        _ => ("clinic / adult_care".to_string(), set.clinic.adult_care.as_ref()),
    };
    let (id, home) = ("ending.adult_care", &set.clinic.place);
    let label = "who looks after the patient as an adult";
    make.recorded(id, label, &record, found, |t| text(t), WHO, home);
    let found = set.clinic.films_kept.as_ref();
    let (id, label, record) = ("ending.films_kept", "where films are kept", "clinic / films_kept");
    make.recorded(id, label, record, found, |t| text(t), "the clinic", home);
}

fn come_back(make: &mut Maker, set: &Setting, plan: Option<&Plan>) {
    let (id, label) = ("ending.come_back_state", "what should bring the patient back");
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
        ("because", "why it was decided", plan.and_then(|p| p.because.as_ref())),
        ("changes_if", "what would change it", plan.and_then(|p| p.changes_if.as_ref())),
        ("told", "what the family was told", plan.and_then(|p| p.told.as_ref())),
    ] {
        make.recorded(format!("{root}.{item}"), label, &record, found, |t| text(t), WHO, home);
    }
}
