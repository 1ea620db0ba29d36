//! Days in an order that can have happened.

use chrono::NaiveDate;

use crate::case::{Case, Treatment};
use crate::diag::{Code, Diagnostic, Located, Place};
use crate::quantity::{Age, PartialDate};

use super::Check;

/// No person was ever older than this for certain (122 years), in years; a
/// bound for slips of the keyboard, not a medical one.
const OLDEST: u32 = 120;

pub(super) fn check(look: &mut Check) {
    birth(look);
    readings(look);
    plans(look);
    due(look);
}

/// A day on which something was recorded.
struct Dated<'a> {
    what: String,
    /// The last day it can mean, so that a month of birth is no fault.
    day: NaiveDate,
    place: &'a Place,
}

/// All days of the past that a case records.
fn dated(case: &Case) -> Vec<Dated<'_>> {
    let mut list = Vec::new();
    let mut add = |what: String, date: PartialDate, place| {
        list.push(Dated { what, day: date.last_day(), place });
    };
    if let Some(referral) = &case.referral {
        add("the referral".into(), PartialDate::Day(*referral.on), &referral.on.place);
    }
    if let Some(found) = &case.diagnosis.found {
        add("the diagnosis".into(), found.value, &found.place);
    }
    if let Some(menarche) = &case.background.menarche {
        if let Some(on) = &menarche.on {
            add("the first period".into(), on.value, &on.place);
        }
        if let Some(day) = &menarche.not_yet {
            add("the question about the first period".into(), PartialDate::Day(**day), &day.place);
        }
    }
    for film in &case.films {
        add(format!("film `{}`", *film.id), PartialDate::Day(*film.taken), &film.taken.place);
    }
    for exam in &case.exams {
        add("the examination".into(), PartialDate::Day(*exam.on), &exam.on.place);
    }
    for plan in &case.plans {
        add("the plan".into(), PartialDate::Day(*plan.on), &plan.on.place);
    }
    for note in &case.school {
        add("the school note".into(), PartialDate::Day(*note.on), &note.on.place);
    }
    for answer in &case.answers {
        add("the answer to a red flag".into(), PartialDate::Day(*answer.on), &answer.on.place);
    }
    for (what, day, place) in case.treatments.iter().flat_map(treatment_days) {
        add(what, PartialDate::Day(day), place);
    }
    for letter in &case.letters {
        let what = format!("letter `{}`", *letter.id);
        add(what, PartialDate::Day(*letter.as_of), &letter.as_of.place);
    }
    list
}

fn treatment_days(treatment: &Treatment) -> Vec<(String, NaiveDate, &Place)> {
    let id = &treatment.id.value;
    let ordered = treatment.ordered.iter().map(|d| (format!("the order of `{id}`"), d));
    let from = treatment.from.iter().map(|d| (format!("the first day of `{id}`"), d));
    let fittings = treatment.fittings.iter().map(|f| (format!("a fitting of `{id}`"), &f.on));
    ordered.chain(from).chain(fittings).map(|(what, d)| (what, d.value, &d.place)).collect()
}

/// One wrong birth date is one fault, not one per record.
fn birth(look: &mut Check) {
    let born = &look.case.patient.born;
    let records = dated(look.case);
    let (Some(first), Some(last)) =
        (records.iter().map(|r| r.day).min(), records.iter().map(|r| r.day).max())
    else {
        return;
    };
    if last < born.value {
        let message = format!("birth on {} lies after every record, the last on {last}", **born);
        look.fault(Code::BornAfterRecords, &born.place, message);
        return;
    }
    if first < born.value {
        before_birth(look, &records);
    }
    let age = Age::on(born.value, last).map_or(0, |age| age.years);
    if age > OLDEST {
        let message = format!("born on {}, the patient would be {age} years old on {last}", **born);
        look.fault(Code::AgeImplausible, &born.place, message);
    }
}

fn before_birth(look: &mut Check, records: &[Dated]) {
    let born = &look.case.patient.born;
    for record in records.iter().filter(|r| r.day < born.value) {
        let message =
            format!("{} is dated {}, before birth on {}", record.what, record.day, **born);
        look.fault_with(Code::BeforeBirth, record.place, message, (&born.place, "born"));
    }
}

fn readings(look: &mut Check) {
    for film in &look.case.films {
        for reading in film.readings.iter().filter(|r| *r.read < *film.taken) {
            let (read, taken) = (*reading.read, *film.taken);
            let message = format!(
                "reading `{}` of {read} is earlier than its film `{}` of {taken}",
                *reading.id, *film.id
            );
            let fault =
                Diagnostic::new(Code::ReadingBeforeFilm, Some(reading.read.place.clone()), message);
            look.report.push(fault.related(film.taken.place.clone(), "taken"));
        }
    }
}

fn plans(look: &mut Check) {
    for plan in &look.case.plans {
        let Some(next) = &plan.next else { continue };
        for (what, date) in [("film", &next.film), ("visit", &next.visit)] {
            let Some(date) = date.as_ref().filter(|d| d.last_day() < *plan.on) else { continue };
            let message =
                format!("next {what} in {} is earlier than the plan of {}", **date, *plan.on);
            let other = (&plan.on.place, "planned");
            look.fault_with(Code::NextBeforePlan, &date.place, message, other);
        }
    }
}

/// A day by which something is due, with the day it was decided.
type Due<'a> = (&'static str, &'a Located<PartialDate>, &'a Located<NaiveDate>);

fn due(look: &mut Check) {
    let case = look.case;
    let notes = case
        .school
        .iter()
        .filter_map(|n| Some(("the end of a school note", n.until.as_ref()?, &n.on)));
    for (what, by, from) in case.treatments.iter().flat_map(dues).chain(notes) {
        if by.value.last_day() < from.value {
            let message = format!("{what} is due by {}, before it was decided on {}", **by, **from);
            look.fault_with(Code::DueBeforeDecided, &by.place, message, (&from.place, "decided"));
        }
    }
}

fn dues(treatment: &Treatment) -> Vec<Due<'_>> {
    let order = treatment.order.as_ref().zip(treatment.ordered.as_ref());
    let ordered = order.into_iter().flat_map(|(order, on)| {
        let days = [("the delivery", &order.deliver_by), ("the first check", &order.check_by)];
        days.into_iter().filter_map(move |(what, by)| Some((what, by.as_ref()?, on)))
    });
    let changes = treatment.fittings.iter().filter_map(|f| {
        Some(("a change", f.changes_by.as_ref()?, f.decided.as_ref().unwrap_or(&f.on)))
    });
    ordered.chain(changes).collect()
}
