//! Braces and casts: order, fitting, films, hours, end.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::case::wear_rule;
use crate::case::{Ended, Film, Support, Treatment, TreatmentKind, Wear, WearWhen};
use crate::diag::{Code, Place};

use super::{Check, plain};

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        in_support(look, film);
    }
    for treatment in &look.case.treatments {
        fittings(look, treatment);
        end(look, treatment);
        hours(look, treatment);
        spans(look, treatment);
        log(look, treatment);
    }
    overlaps(look);
}

/// Two braces at once, unless one is worn by night and the other by day. The
/// day of the change may be the last of one and the first of the other.
fn overlaps(look: &mut Check) {
    let case = look.case;
    let mut begun: Vec<&Treatment> =
        case.treatments.iter().filter(|t| worn(t) && t.start().is_some()).collect();
    begun.sort_by_key(|t| t.start().map(|s| s.value));
    for pair in begun.windows(2) {
        let (earlier, later) = (pair[0], pair[1]);
        let Some(start) = later.start() else { continue };
        let until = ended(earlier).map(|e| e.on.value);
        if until.is_some_and(|until| until <= start.value) || in_turn(earlier, later) {
            continue;
        }
        let (first, second) = (&earlier.id.value, &later.id.value);
        let message = match until {
            Some(day) => {
                format!("`{second}` begins on {}, before `{first}` ended on {day}", **start)
            }
            None => format!("`{second}` begins on {}, and `{first}` has no last day", **start),
        };
        let other = (&earlier.place, "the earlier one");
        look.fault_with(Code::BracesOverlap, &start.place, message, other);
    }
}

/// Whether one is prescribed for the night and the other for part of the day.
fn in_turn(a: &Treatment, b: &Treatment) -> bool {
    let when = |t: &Treatment| t.hours.last().and_then(|h| h.when.as_ref()).map(|w| w.value);
    let turns = |a, b| a == Some(WearWhen::Night) && b == Some(WearWhen::PartTime);
    turns(when(a), when(b)) || turns(when(b), when(a))
}

fn treatment_of<'a>(look: &Check<'a>, film: &Film) -> Option<&'a Treatment> {
    let Some(Support::Treatment(id)) = film.support.as_ref().map(|s| &s.value) else { return None };
    look.case.treatments.iter().find(|t| t.id.value == *id).filter(|t| worn(t))
}

/// The end, unless it lies before the start: that is one fault, not many.
fn ended(treatment: &Treatment) -> Option<&Ended> {
    let start = treatment.start().map(|s| s.value);
    treatment.ended.as_ref().filter(|e| start.is_none_or(|start| start <= *e.on))
}

fn worn(treatment: &Treatment) -> bool {
    matches!(*treatment.kind, TreatmentKind::Brace | TreatmentKind::Cast)
}

/// A film in a brace lies between its first and its last day.
fn in_support(look: &mut Check, film: &Film) {
    let Some(treatment) = treatment_of(look, film) else { return };
    let (id, taken) = (&treatment.id.value, *film.taken);
    let Some(start) = treatment.start() else {
        if !look.whole(&treatment.place) {
            return;
        }
        let message = format!("film `{}` is in `{id}`, which was never fitted", *film.id);
        let place = film.support.as_ref().map_or(&film.place, |s| &s.place);
        look.fault_with(Code::SupportNeverFitted, place, message, (&treatment.id.place, "here"));
        return;
    };
    if taken < start.value {
        let message = format!(
            "film `{}` of {taken} is in `{id}`, which was first fitted on {}",
            *film.id, **start
        );
        let other = (&start.place, "first fitted");
        look.fault_with(Code::FilmBeforeFitting, &film.taken.place, message, other);
    }
    if let Some(ended) = ended(treatment).filter(|e| *e.on < taken) {
        let message =
            format!("film `{}` of {taken} is in `{id}`, which ended on {}", *film.id, *ended.on);
        let other = (&ended.on.place, "ended");
        look.fault_with(Code::FilmAfterEnd, &film.taken.place, message, other);
    }
}

fn fittings(look: &mut Check, treatment: &Treatment) {
    let id = &treatment.id.value;
    for fitting in &treatment.fittings {
        let on = &fitting.on;
        if let Some(ordered) = treatment.ordered.as_ref().filter(|o| o.value > on.value) {
            let message = format!("`{id}` is fitted on {} but ordered on {}", **on, **ordered);
            let other = (&ordered.place, "ordered");
            look.fault_with(Code::FittingBeforeOrder, &on.place, message, other);
        }
        if let Some(ended) = ended(treatment).filter(|e| *e.on < on.value) {
            let message = format!("`{id}` is fitted on {} but ended on {}", **on, *ended.on);
            let other = (&ended.on.place, "ended");
            look.fault_with(Code::FittingAfterEnd, &on.place, message, other);
        }
        let Some(named) = &fitting.film else { continue };
        let film = look.case.films.iter().find(|f| f.id.value == named.value);
        let Some(support) = film.and_then(|f| f.support.as_ref()) else { continue };
        if support.value != Support::Treatment(id.clone()) {
            let shown = match &support.value {
                Support::None => "without brace or cast".to_string(),
                Support::Treatment(other) => format!("in `{other}`"),
            };
            let message = format!("film `{}` of a fitting of `{id}` was taken {shown}", **named);
            let other = (&support.place, "the film's support");
            look.fault_with(Code::FittingFilmOutOfSupport, &named.place, message, other);
        }
    }
}

fn end(look: &mut Check, treatment: &Treatment) {
    let (Some(start), Some(ended)) = (treatment.start(), &treatment.ended) else { return };
    if *ended.on < start.value {
        let id = &treatment.id.value;
        let message = format!("`{id}` ended on {}, before it started on {}", *ended.on, **start);
        let other = (&start.place, "started");
        look.fault_with(Code::EndedBeforeStart, &ended.on.place, message, other);
    }
}

fn hours(look: &mut Check, treatment: &Treatment) {
    let mut seen = BTreeMap::new();
    for step in &treatment.hours {
        inside(look, treatment, "hours from", step.from.value, &step.from.place);
        if let Some(first) = seen.insert(step.from.value, &step.from.place) {
            let message = format!("`{}` has two prescriptions from {}", *treatment.id, *step.from);
            let other = (first, "the other prescription");
            look.fault_with(Code::HoursStepRepeated, &step.from.place, message, other);
        }
    }
}

/// A day on which a treatment is said to act lies within it.
fn inside(look: &mut Check, treatment: &Treatment, what: &str, day: NaiveDate, place: &Place) {
    let id = &treatment.id.value;
    if let Some(start) = treatment.start().filter(|s| s.value > day) {
        let message = format!("`{id}` has {what} {day} but was first fitted on {}", **start);
        let other = (&start.place, "first fitted");
        look.fault_with(Code::HoursOutsideTreatment, place, message, other);
    }
    if let Some(ended) = ended(treatment).filter(|e| *e.on < day) {
        let message = format!("`{id}` has {what} {day} but ended on {}", *ended.on);
        let other = (&ended.on.place, "ended");
        look.fault_with(Code::HoursOutsideTreatment, place, message, other);
    }
}

fn spans(look: &mut Check, treatment: &Treatment) {
    let measured = treatment.wear.iter().flat_map(|w| &w.measured);
    for span in measured {
        if *span.to < *span.from {
            let message = format!("wear is measured from {} to {}", *span.from, *span.to);
            let other = (&span.from.place, "begins");
            look.fault_with(Code::SpanReversed, &span.to.place, message, other);
            continue;
        }
        inside(look, treatment, "wear measured from", *span.from, &span.from.place);
    }
}

/// Largest difference between typed hours and the log's, in hours a day: our
/// own choice, above the 0.37 that an evaluation of a log errs by
/// ([`WEAR_EVENTS_2012`](crate::evidence::works::WEAR_EVENTS_2012)).
const HOURS_APART: f64 = 0.5;

fn log(look: &mut Check, treatment: &Treatment) {
    let Some(wear) = &treatment.wear else { return };
    thresholds(look, wear);
    let content = wear.log.as_ref().and_then(|l| l.content.as_ref());
    let (Some(last), Some(downloaded)) = (content.and_then(|l| l.last_day()), &wear.downloaded)
    else {
        return typed_and_logged(look, treatment);
    };
    if last > **downloaded {
        let message = format!("the log runs to {last} but was downloaded on {}", **downloaded);
        look.fault(Code::WearLogAfterDownload, &downloaded.place, message);
    }
    typed_and_logged(look, treatment);
}

fn thresholds(look: &mut Check, wear: &Wear) {
    let Some(off) = &wear.taken_off_below else { return };
    let rule = wear_rule::rule(wear, look.clinic.map(|c| &c.limits));
    if rule.taken_off_below > rule.worn_above {
        let (on, at) = (plain(rule.worn_above), plain(rule.taken_off_below));
        let message = format!("worn above {on} degC but taken off below {at} degC");
        look.fault(Code::WearThresholdsReversed, &off.place, message);
    }
}

fn typed_and_logged(look: &mut Check, treatment: &Treatment) {
    if treatment.wear.iter().all(|w| w.measured.is_empty()) {
        return;
    }
    let limits = look.clinic.map(|c| &c.limits);
    let Some(table) = wear_rule::table(treatment, limits) else { return };
    for typed in treatment.wear.iter().flat_map(|w| &w.measured) {
        let Some(mean) = wear_rule::logged(&table, *typed.from, *typed.to) else { continue };
        let (said, logged) = (typed.per_day.to_hours(), mean.hours());
        if (said - logged).abs() > HOURS_APART {
            let message = format!(
                "{} h/day are typed for {} to {}, the log shows {:.1} on {} counted days",
                plain(said),
                *typed.from,
                *typed.to,
                logged,
                mean.days,
            );
            look.fault(Code::WearDiffers, &typed.per_day.place, message);
        }
    }
}
