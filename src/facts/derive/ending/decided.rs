//! `ending.weaning.*`, `ending.discharge.*`: the plan that decided it.
//!
//! A weaning may also be decided by lower hours alone: then the plan of the
//! day on which they were decided is meant.

use chrono::NaiveDate;

use crate::case::{Case, Choice, InLanguages, Plan, Treatment};
use crate::diag::Located;
use crate::facts::derive::maker::{Maker, day, text};
use crate::facts::derive::record::person;
use crate::facts::derive::span::Setting;
use crate::facts::derive::tongue::{self, List, Tongue, Words};
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
pub(super) fn weaning(make: &mut Maker, set: &Setting, tongue: Tongue) {
    let plan = chosen(set.case, Choice::Wean).or_else(|| by_hours(set.case, set.as_of));
    told(make, set, "ending.weaning", "decision to wean", plan, tongue);
    let none = InLanguages::new();
    let changes = plan.map_or((None, &none), |p| (p.changes_if.as_ref(), &p.changes_if_in));
    let label = "sign that would change the plan";
    spoken(make, set, ("ending.weaning.changes_if", label), plan, changes, tongue);
}

/// `ending.discharge.*`, with what brings the patient back, who looks after
/// them and where the films are.
pub(super) fn discharge(make: &mut Maker, set: &Setting, tongue: Tongue) {
    let plan = chosen(set.case, Choice::Discharge);
    told(make, set, "ending.discharge", "decision to discharge", plan, tongue);
    come_back(make, set, plan, tongue);
    afterwards(make, set, plan, tongue);
}

/// Who looks after the patient as an adult (the plan's words, else the
/// clinic's, which do not speak of children), and where the films are.
fn afterwards(make: &mut Maker, set: &Setting, plan: Option<&Plan>, tongue: Tongue) {
    let (clinic, home) = (set.clinic, &set.clinic.place);
    let own = plan.filter(|p| p.adult_care.is_some());
    let record = own.map_or("clinic".to_string(), |p| format!("plan {}", p.on.value));
    let (care, care_in) = match own {
        Some(plan) => (&plan.adult_care, &plan.adult_care_in),
        None => (&clinic.adult_care, &clinic.adult_care_in),
    };
    let care = Words {
        id: "ending.adult_care",
        label: "care as an adult",
        record: &format!("{record} / adult_care"),
        record_in: &format!("{record} / adult_care_in"),
        own: care.as_ref(),
        others: care_in,
        home: (home, WHO),
    };
    let films = Words {
        id: "ending.films_kept",
        label: "place of the films",
        record: "clinic / films_kept",
        record_in: "clinic / films_kept_in",
        own: clinic.films_kept.as_ref(),
        others: &clinic.films_kept_in,
        home: (home, "the clinic"),
    };
    let child = make.facts.get("patient.stage").and_then(|f| f.word()) == Some("child");
    match own {
        None if child => {
            let why = Missing::NotApplicable("the patient is a child".into());
            make.missing(care.id, care.label, why);
        }
        _ => tongue::words(make, tongue, &care),
    }
    tongue::words(make, tongue, &films);
}

fn come_back(make: &mut Maker, set: &Setting, plan: Option<&Plan>, tongue: Tongue) {
    let (id, label) = ("ending.come_back_state", "signs that should bring the patient back");
    let signs = plan.map(|p| p.come_back_if.as_slice()).unwrap_or_default();
    let (Some(plan), Some(first)) = (plan, signs.first()) else {
        let home = plan.map_or(&set.case.place, |p| &p.place);
        make.not_recorded(id, label, WHO, "plans / come_back_if", home);
        return;
    };
    let record = format!("plan {} / come_back_if", plan.on.value);
    make.fact(id, label, Value::Word("some")).record(&record, &first.place).done();
    let list = List {
        id: ("ending.come_back_if.c", ""),
        label,
        record: &record,
        record_in: &format!("{record}_in"),
        own: signs,
        others: &plan.come_back_if_in,
    };
    tongue::list(make, tongue, &list);
}

fn told(
    make: &mut Maker,
    set: &Setting,
    root: &str,
    what: &str,
    plan: Option<&Plan>,
    tongue: Tongue,
) {
    let home = plan.map_or(&set.case.place, |p| &p.place);
    let record = plan.map_or_else(|| "plans".to_string(), |p| format!("plan {}", p.on.value));
    let on = plan.map(|p| &p.on);
    make.recorded(format!("{root}.on"), what, &record, on, |d| day(*d), WHO, home);
    let by = plan.and_then(|p| p.by.as_ref());
    person(make, &format!("{root}.by"), "who decided it", by, set.clinic, &record, home);
    let why = plan.and_then(|p| p.because.as_ref());
    let label = "reason for it";
    make.recorded(format!("{root}.because"), label, &record, why, |t| text(t), WHO, home);
    let none = InLanguages::new();
    let said = plan.map_or((None, &none), |p| (p.told.as_ref(), &p.told_in));
    spoken(make, set, (&format!("{root}.told"), "words told to the family"), plan, said, tongue);
}

/// Words of a plan in the language of the letter's reader.
fn spoken(
    make: &mut Maker,
    set: &Setting,
    (id, label): (&str, &str),
    plan: Option<&Plan>,
    (own, others): (Option<&Located<String>>, &InLanguages),
    tongue: Tongue,
) {
    let item = id.rsplit('.').next().unwrap_or_default();
    let home = plan.map_or(&set.case.place, |p| &p.place);
    let record = plan.map_or_else(|| "plans".to_string(), |p| format!("plan {}", p.on.value));
    let (record, record_in) = (&record, &format!("{record} / {item}_in"));
    let words = Words { id, label, record, record_in, own, others, home: (home, WHO) };
    tongue::words(make, tongue, &words);
}
