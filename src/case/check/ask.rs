//! Requests to payers, gaps and enclosures: days, kinds, names.

use chrono::NaiveDate;

use crate::case::{Gap, LetterEntry, LetterKind, Request, RequestKind, RequestState};
use crate::diag::{Code, Located, Place};

use super::Check;
use super::reference::must_exist;

pub(super) fn check(look: &mut Check) {
    for request in &look.case.requests {
        days(look, request);
        kind(look, request);
        answer(look, request);
        delivery(look, request);
        names(look, request);
    }
    for gap in &look.case.gaps {
        gap_days(look, gap);
        gap_names(look, gap);
    }
    for letter in &look.case.letters {
        appeal(look, letter);
        gap_letter(look, letter);
        enclosures(look, letter);
    }
}

/// Two days of which the first must not be the later one.
fn in_order(
    look: &mut Check,
    id: &str,
    (first, one): (&str, Option<&Located<NaiveDate>>),
    (second, two): (&str, Option<&Located<NaiveDate>>),
) {
    let (Some(one), Some(two)) = (one, two) else { return };
    if one.value <= two.value {
        return;
    }
    let message = format!("`{id}`: {second} ({}) comes before {first} ({})", two.value, one.value);
    look.fault_with(Code::DaysReversed, &two.place, message, (&one.place, first));
}

fn days(look: &mut Check, r: &Request) {
    let id = &r.id.value;
    let (seen, ordered, sent) = (r.seen.as_ref(), r.ordered.as_ref(), r.sent.as_ref());
    in_order(look, id, ("seen", seen), ("ordered", ordered));
    in_order(look, id, ("ordered", ordered), ("sent", sent));
    if let Some(a) = &r.authorised {
        let given = a.on.as_ref().unwrap_or(&a.from);
        in_order(look, id, ("sent", sent), ("authorised", Some(given)));
        in_order(look, id, ("authorised from", Some(&a.from)), ("authorised to", Some(&a.to)));
    }
    if let Some(d) = &r.denial {
        in_order(look, id, ("sent", sent), ("denied", Some(&d.on)));
        in_order(look, id, ("denied", Some(&d.on)), ("answer by", d.answer_by.as_ref()));
        in_order(look, id, ("denied", Some(&d.on)), ("appealed", r.appealed.as_ref()));
    }
}

/// What is asked and what it replaces must say the same.
fn kind(look: &mut Check, r: &Request) {
    let Some(kind) = &r.kind else { return };
    let id = &r.id.value;
    match (kind.value, &r.replaces) {
        (RequestKind::Replacement, None) => {
            let message = format!("request `{id}` is a replacement, but does not say of what");
            look.fault(Code::RequestKindContradicts, &kind.place, message);
        }
        (RequestKind::New, Some(old)) => {
            let message = format!("request `{id}` is new, but replaces `{}`", old.value);
            let other = (&old.place, "replaces");
            look.fault_with(Code::RequestKindContradicts, &kind.place, message, other);
        }
        _ => {}
    }
}

/// A denial has a day and reasons.
fn answer(look: &mut Check, r: &Request) {
    let denied = |s: &&Located<RequestState>| {
        matches!(s.value, RequestState::Denied | RequestState::Appealed)
    };
    let Some(state) = r.state.as_ref().filter(denied) else { return };
    if r.denial.as_ref().is_none_or(|d| d.reasons.is_empty()) && look.whole(&r.place) {
        let message = format!("request `{}` is {}, but no reason is recorded", *r.id, state.word());
        look.fault(Code::DeniedWithoutReasons, &state.place, message);
    }
}

/// The order comes before the delivery, and the delivery within the days
/// that the payer gave.
fn delivery(look: &mut Check, r: &Request) {
    let item = look.case.treatments.iter().find(|t| t.id.value == r.item.value);
    let Some(start) = item.and_then(|t| t.start()) else { return };
    if let Some(ordered) = r.ordered.as_ref().filter(|o| o.value > start.value) {
        let message = format!(
            "request `{}`: `{}` was ordered on {}, after its delivery on {}",
            *r.id, *r.item, ordered.value, start.value
        );
        let other = (&start.place, "delivered");
        look.fault_with(Code::OrderAfterDelivery, &ordered.place, message, other);
    }
    let Some(window) = r.authorised.as_ref().filter(|w| w.from.value <= w.to.value) else {
        return;
    };
    if start.value < window.from.value || start.value > window.to.value {
        let message = format!(
            "request `{}`: `{}` was delivered on {}, authorised are {} to {}",
            *r.id, *r.item, start.value, window.from.value, window.to.value
        );
        let other = (&window.from.place, "authorised");
        look.fault_with(Code::OutsideAuthorisation, &start.place, message, other);
    }
}

fn names(look: &mut Check, r: &Request) {
    let contacts = || look.case.contacts.iter().map(|c| c.id.as_str());
    let known: Vec<&str> = contacts().collect();
    let named = r.supplier.iter().chain(r.authority.as_ref().map(|a| &a.from));
    for id in named {
        must_exist(look, "contact", id, known.iter().copied());
    }
}

fn gap_days(look: &mut Check, gap: &Gap) {
    let (id, asked) = (&gap.id.value, Some(&gap.asked));
    in_order(look, id, ("asked", asked), ("needed by", Some(&gap.by)));
    let mut last = ("asked", &gap.asked);
    for day in &gap.reminders {
        in_order(look, id, (last.0, Some(last.1)), ("reminded", Some(day)));
        last = ("reminded", day);
    }
    in_order(look, id, ("asked", asked), ("received", gap.received.as_ref()));
}

fn gap_names(look: &mut Check, gap: &Gap) {
    let case = look.case;
    must_exist(look, "contact", &gap.from, case.contacts.iter().map(|c| c.id.as_str()));
    let purposes = (case.requests.iter().map(|r| r.id.as_str()))
        .chain(case.letters.iter().map(|l| l.id.as_str()));
    must_exist(look, "request or letter", &gap.purpose, purposes);
}

/// An appeal answers a denial, in time.
fn appeal(look: &mut Check, letter: &LetterEntry) {
    if *letter.kind != LetterKind::Appeal {
        return;
    }
    let id = letter.request.as_ref().map(|r| r.value.as_str());
    let Some(request) = look.case.requests.iter().find(|r| Some(r.id.as_str()) == id) else {
        return;
    };
    let day = letter.dated.as_ref().unwrap_or(&letter.as_of);
    let known = request.denial.as_ref().filter(|d| d.on.value <= letter.as_of.value);
    let Some(denial) = known else {
        if look.whole(&request.place) {
            let message = format!(
                "letter `{}` as of {} appeals, but request `{}` had not been denied",
                *letter.id, *letter.as_of, *request.id
            );
            let other = (&request.id.place, "the request");
            look.fault_with(Code::AppealWithoutDenial, &letter.kind.place, message, other);
        }
        return;
    };
    if let Some(last) = denial.answer_by.as_ref().filter(|last| last.value < day.value) {
        let message = format!(
            "letter `{}` of {} comes after {}, the last day for an answer",
            *letter.id, day.value, last.value
        );
        look.fault_with(Code::AnswerTooLate, &day.place, message, (&last.place, "answer by"));
    }
}

/// A gap letter asks the holder of a gap that is open.
fn gap_letter(look: &mut Check, letter: &LetterEntry) {
    if *letter.kind != LetterKind::Gap {
        return;
    }
    let Some(id) = &letter.gap else {
        if look.whole(&letter.place) {
            let message = format!("letter `{}` asks for what is missing, but not what", *letter.id);
            look.fault(Code::GapLetterNeedsGap, &letter.kind.place, message);
        }
        return;
    };
    let case = look.case;
    must_exist(look, "gap", id, case.gaps.iter().map(|g| g.id.as_str()));
    let Some(gap) = case.gaps.iter().find(|g| g.id.value == id.value) else { return };
    if gap.from.value != letter.to.value {
        let message = format!(
            "letter `{}` goes to `{}`, but `{}` is asked of `{}`",
            *letter.id, *letter.to, *gap.id, *gap.from
        );
        let other = (&gap.from.place, "asked of");
        look.fault_with(Code::GapOtherHolder, &letter.to.place, message, other);
    }
    let (asked, as_of) = (&gap.asked, &letter.as_of);
    in_order(look, &letter.id, ("asked", Some(asked)), ("as of", Some(as_of)));
}

fn enclosures(look: &mut Check, letter: &LetterEntry) {
    let films: Vec<&str> = look.case.films.iter().map(|f| f.id.as_str()).collect();
    for film in letter.enclosures.iter().filter_map(|e| e.film.as_ref()) {
        must_exist(look, "film", film, films.iter().copied());
        look.film_later(letter, film);
    }
    for record in letter.enclosures.iter().flat_map(|e| &e.shows) {
        if !known_record(look, &record.value) && look.complete() {
            let message =
                format!("letter `{}` encloses `{}`, which no record is", *letter.id, record.value);
            look.fault(Code::EnclosureShowsNothing, &record.place, message);
        }
    }
}

/// Whether `exam 2026-10-12`, `film f1`, `treatment b1 / wear` is of a record
/// of this case.
fn known_record(look: &Check, path: &str) -> bool {
    let case = look.case;
    let first = path.split('/').next().unwrap_or_default().trim();
    let Some((kind, name)) = first.split_once(' ') else { return false };
    match kind {
        "film" => case.films.iter().any(|f| f.id.value == name),
        "treatment" => case.treatments.iter().any(|t| t.id.value == name),
        "exam" => case.exams.iter().any(|e| e.on.value.to_string() == name),
        "plan" => case.plans.iter().any(|p| p.on.value.to_string() == name),
        "request" => case.requests.iter().any(|r| r.id.value == name),
        _ => false,
    }
}

impl Check<'_> {
    /// A film enclosed before it was taken.
    pub(super) fn film_later(&mut self, letter: &LetterEntry, id: &Located<String>) {
        let film = self.case.films.iter().find(|f| f.id.value == id.value);
        let Some(film) = film.filter(|f| f.taken.value > letter.as_of.value) else { return };
        let message = format!(
            "letter `{}` as of {} encloses film `{}` of {}",
            *letter.id, *letter.as_of, **id, *film.taken
        );
        let other: (&Place, &str) = (&film.taken.place, "taken later");
        self.fault_with(Code::EnclosedFilmLater, &id.place, message, other);
    }
}
