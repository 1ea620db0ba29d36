//! What was known on a day.
//!
//! A film counts from the day it was taken, a reading from the day it was
//! read, a log from its download, a decision from the day it was made. What
//! came later is cut away here, once, so that no derivation can see it. A
//! correction is not cut: the file already holds the corrected value, and it
//! reaches back.

use chrono::NaiveDate;

use crate::case::{
    Authorised, Case, Film, Fitting, Gap, Menarche, Opt, Request, RequestState, Treatment, Wear,
};
use crate::diag::Located;

/// The case as it stood on that day: later records removed, nothing else changed.
pub fn known_on(case: &Case, day: NaiveDate) -> Case {
    let mut case = case.clone();
    case.films.retain(|f| f.taken.value <= day);
    for film in &mut case.films {
        set_repeats_apart(film);
        film.repeats.retain(|r| r.read.value <= day);
        let unread = !film.readings.is_empty();
        film.readings.retain(|r| r.read.value <= day);
        // What bones show is known once somebody has read the film.
        if unread && film.readings.is_empty() {
            film.maturity = None;
        }
    }
    case.films.sort_by_key(|f| (f.taken.value, f.place.clone()));
    case.exams.retain(|e| e.on.value <= day);
    case.exams.sort_by_key(|e| (e.on.value, e.place.clone()));
    case.plans.retain(|p| p.on.value <= day);
    case.plans.sort_by_key(|p| (p.on.value, p.place.clone()));
    case.school.retain(|s| s.on.value <= day);
    case.school.sort_by_key(|s| (s.on.value, s.place.clone()));
    case.answers.retain(|a| a.on.value <= day);
    case.answers.sort_by_key(|a| (a.on.value, a.place.clone()));
    for treatment in &mut case.treatments {
        cut_treatment(treatment, day);
    }
    case.treatments.retain(began_or_ordered);
    case.treatments.sort_by_key(|t| (t.start().map(|s| s.value), t.place.clone()));
    case.background.menarche = case.background.menarche.take().map(|m| cut_menarche(m, day));
    if case.diagnosis.found.as_ref().is_some_and(|f| f.first_day() > day) {
        case.diagnosis.found = None;
    }
    case.requests.iter_mut().for_each(|request| cut_request(request, day));
    case.gaps.retain(|gap| gap.asked.value <= day);
    case.gaps.iter_mut().for_each(|gap| cut_gap(gap, day));
    case.referral = case.referral.take().filter(|r| r.on.value <= day);
    case
}

/// The whole case with readings made again set apart, whatever the day.
pub fn repeats_apart(mut case: Case) -> Case {
    case.films.iter_mut().for_each(set_repeats_apart);
    case
}

fn set_repeats_apart(film: &mut Film) {
    let all = std::mem::take(&mut film.readings);
    let (again, first) = all.into_iter().partition(|r| r.repeat_of.is_some());
    film.readings = first;
    film.repeats.extend::<Vec<_>>(again);
}

fn cut_treatment(treatment: &mut Treatment, day: NaiveDate) {
    let keep = |on: NaiveDate| on <= day;
    treatment.ordered = treatment.ordered.take().filter(|on| keep(on.value));
    treatment.from = treatment.from.take().filter(|on| keep(on.value));
    // What was decided for the maker is known from the day of the order.
    treatment.order = treatment.order.take().filter(|_| treatment.ordered.is_some());
    treatment.fittings.retain(|f| keep(f.on.value));
    treatment.fittings.iter_mut().for_each(|f| cut_decision(f, day));
    treatment.fittings.sort_by_key(|f| (f.on.value, f.place.clone()));
    treatment.hours.retain(|h| keep(h.decided.as_ref().unwrap_or(&h.from).value));
    treatment.hours.sort_by_key(|h| (h.from.value, h.place.clone()));
    treatment.reported.retain(|r| keep(r.on.value));
    treatment.ended = treatment.ended.take().filter(|e| keep(e.on.value));
    treatment.wear = treatment.wear.take().map(|wear| cut_wear(wear, day));
}

/// A decision taken some days after the fitting was not known before.
fn cut_decision(fitting: &mut Fitting, day: NaiveDate) {
    if fitting.decided.as_ref().is_some_and(|on| on.value > day) {
        fitting.decision = None;
        fitting.decided = None;
        fitting.because = None;
        fitting.told = None;
        fitting.told_in.clear();
        fitting.changes.clear();
        fitting.changes_by = None;
    }
}

fn cut_wear(mut wear: Wear, day: NaiveDate) -> Wear {
    // A log counts from its download, and so does what was read off it;
    // without a day of download, from the last day it covers.
    let covered = wear.log.as_ref().and_then(|l| l.content.as_ref()).and_then(|l| l.last_day());
    let log = wear.downloaded.as_ref().map(|d| d.value);
    wear.measured.retain(|m| {
        let read = m.downloaded.as_ref().map(|d| d.value).or(log).unwrap_or(m.to.value);
        read <= day && m.to.value <= day
    });
    if log.or(covered).is_some_and(|d| d > day) {
        wear.log = None;
        wear.downloaded = None;
    }
    wear.measured.sort_by_key(|m| (m.from.value, m.place.clone()));
    wear
}

fn cut_request(request: &mut Request, day: NaiveDate) {
    let keep = |on: Opt<NaiveDate>| on.filter(|on| on.value <= day);
    let sent = request.sent.is_some();
    let later = request.denial.as_ref().is_some_and(|d| d.on.value > day)
        || request.authorised.as_ref().is_some_and(|a| given(a) > day)
        || request.appealed.as_ref().is_some_and(|on| on.value > day);
    request.ordered = keep(request.ordered.take());
    request.seen = keep(request.seen.take());
    request.sent = keep(request.sent.take());
    request.appealed = keep(request.appealed.take());
    request.denial = request.denial.take().filter(|d| d.on.value <= day);
    request.authorised = request.authorised.take().filter(|a| given(a) <= day);
    request.authority = request.authority.take().filter(|a| a.on.value <= day);
    // A payer's answer comes after the sending.
    if sent && request.sent.is_none() {
        request.state = None;
        request.reference = None;
    } else if later {
        // The state of today is not the one of that day.
        let stage = match (&request.denial, &request.sent) {
            (Some(_), _) => Some(RequestState::Denied),
            (None, Some(_)) => Some(RequestState::Sent),
            (None, None) => None,
        };
        let place = request.state.take().map(|s| s.place);
        request.state = stage.zip(place).map(|(stage, place)| Located::new(stage, place));
    }
}

fn given(authorised: &Authorised) -> NaiveDate {
    authorised.on.as_ref().unwrap_or(&authorised.from).value
}

fn cut_gap(gap: &mut Gap, day: NaiveDate) {
    gap.reminders.retain(|on| on.value <= day);
    gap.received = gap.received.take().filter(|on| on.value <= day);
}

fn cut_menarche(mut menarche: Menarche, day: NaiveDate) -> Menarche {
    menarche.on = menarche.on.take().filter(|on| on.last_day() <= day);
    menarche.not_yet = menarche.not_yet.take().filter(|on| on.value <= day);
    menarche
}

fn began_or_ordered(treatment: &Treatment) -> bool {
    treatment.ordered.is_some() || treatment.start().is_some() || !treatment.hours.is_empty()
}
