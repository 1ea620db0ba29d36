//! The check of a brace or cast that a letter tells: what was seen and
//! decided at a fitting, the film taken in it, and the checks before.
//!
//! Every angle in support stands beside the one out of support it is held
//! against, as [`crate::facts::derive::span::check`] chose it; nothing here is
//! a result of treatment.

mod film;

use chrono::NaiveDate;

use crate::case::{
    Case, Clinic, Film, Fitting, FittingKind, InLanguages, LetterEntry, LetterKind, Support,
    Treatment,
};
use crate::course::dose::months_between;
use crate::diag::{Located, Place};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, text, whole, yes_no};
use crate::facts::derive::record::person;
use crate::facts::derive::tongue::{self, Tongue, Words};
use crate::facts::derive::track::Track;
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Age, PartialDate, Unit};

use super::which::{before, supports};
use super::{order, spot};

/// Who can supply what a check lacks.
const WHO: &str = "whoever fitted the brace";

/// What a check says, or says is missing.
const ITEMS: [(&str, &str); 22] = [
    ("on", "day of a check of a brace or cast"),
    ("kind", "brace or cast"),
    ("id", "id of the brace or cast"),
    ("what", "what was done"),
    ("by", "who checked"),
    ("skin", "skin"),
    ("fit", "how it fits"),
    ("says", "what the patient says of it"),
    ("why", "detail of the fitting"),
    ("decision", "decision: accept, adjust or remake"),
    ("decided", "day of the decision"),
    ("because", "reason for the decision"),
    ("told", "what the family was told"),
    ("changes_by", "when the changes are to be done"),
    ("changes_named", "changes, each with level and side"),
    ("worn_for", "time since it was first worn"),
    ("started", "first day"),
    ("several", "whether braces or casts were worn before"),
    ("planned", "whether the plan is as recent as the check"),
    ("spoken_to", "whether the child is spoken to"),
    ("next_film", "next film"),
    ("next_visit", "next visit"),
];

/// `checked.*` of a letter on a check.
pub fn checked(
    make: &mut Maker,
    case: &Case,
    clinic: &Clinic,
    tracks: &[Track],
    as_of: NaiveDate,
    entry: Option<&LetterEntry>,
) {
    let Some(entry) = entry.filter(|e| *e.kind == LetterKind::Check) else { return };
    let Some((t, fitting)) = meant(case, entry) else { return nothing(make, case) };
    let record = format!("treatment {} / fitting {}", t.id.value, fitting.on.value);
    device(make, t, &record, case);
    let tongue = Tongue::of(case, clinic, Some(entry));
    seen(make, clinic, fitting, &record, tongue);
    decided(make, fitting, &record, tongue);
    since(make, t, fitting, &record);
    planned(make, case, fitting, &record);
    spoken_to(make, case, as_of);
    next(make, case, fitting, as_of);
    changes(make, fitting, &record, tongue);
    if t.order.is_some() {
        order::one(make, case, clinic, tracks, "order", t);
    }
    match film_of(case, t, fitting) {
        Some(film) => film::shown(make, case, tracks, t, film, &record),
        None => film::no_film(make, "no film was taken in it at this check"),
    }
    film::latest(make, tracks, t);
}

/// Every item of a check that is not on record.
fn nothing(make: &mut Maker, case: &Case) {
    for (item, label) in ITEMS {
        let id = format!("checked.{item}");
        make.not_recorded(id, label, WHO, "treatments / fittings", &case.place);
    }
    film::no_film(make, "no check is recorded");
    film::no_curve(make, "checked.latest", "no check is recorded");
    no_earlier(make);
}

/// The brace or cast and the fitting meant: the letter's own, else the one
/// with the latest fitting. What is taken off is no longer checked.
fn meant<'a>(case: &'a Case, entry: &LetterEntry) -> Option<(&'a Treatment, &'a Fitting)> {
    let last = |t: &'a Treatment| {
        let fitted = t.fittings.iter().filter(|f| f.what.value != FittingKind::Removed);
        fitted.max_by_key(|f| f.on.value).map(|f| (t, f))
    };
    let worn = case.treatments.iter().filter(|t| supports(t));
    let named = |t: &&Treatment| entry.about.as_ref().is_none_or(|id| id.value == t.id.value);
    worn.filter(named).filter_map(last).max_by_key(|(_, f)| f.on.value)
}

/// The film a fitting names, once it is known; else the latest in that brace
/// since the fitting.
fn film_of<'a>(case: &'a Case, t: &Treatment, fitting: &Fitting) -> Option<&'a Film> {
    if let Some(named) = &fitting.film {
        return case.films.iter().find(|f| f.id.value == named.value);
    }
    let within = |f: &&Film| {
        f.taken.value >= fitting.on.value
            && f.support.as_ref().is_some_and(|s| s.value == Support::Treatment(t.id.value.clone()))
    };
    case.films.iter().rfind(within)
}

/// What is worn, and which it is of those worn.
fn device(make: &mut Maker, t: &Treatment, record: &str, case: &Case) {
    make.fact("checked.kind", "brace or cast", Value::Word(t.kind.word()))
        .record(record, &t.kind.place)
        .done();
    make.fact("checked.id", "id of the brace or cast", text(&t.id))
        .record(record, &t.id.place)
        .done();
    let earlier = before(case, t);
    make.fact(
        "checked.several",
        "whether braces or casts were worn before",
        yes_no(earlier.is_some()),
    )
    .record(record, &t.place)
    .by("braces and casts that began earlier", Source::definition(""))
    .done();
    let root = "checked.earlier";
    match earlier {
        Some(e) => {
            let record = format!("treatment {}", e.id.value);
            make.fact(
                format!("{root}.kind"),
                "the one before: brace or cast",
                Value::Word(e.kind.word()),
            )
            .record(&record, &e.kind.place)
            .done();
            for item in ["started", "ended"] {
                make.same(format!("{root}.{item}"), &format!("treatments.{}.{item}", e.id.value));
            }
        }
        None => no_earlier(make),
    }
}

fn no_earlier(make: &mut Maker) {
    for item in ["kind", "started", "ended"] {
        let none = Missing::NotApplicable("no brace or cast was worn before".into());
        make.missing(format!("checked.earlier.{item}"), "the brace or cast before", none);
    }
}

/// What whoever fitted it saw and heard.
fn seen(make: &mut Maker, clinic: &Clinic, f: &Fitting, record: &str, tongue: Tongue) {
    make.fact("checked.on", "day of the check", day(f.on.value)).record(record, &f.on.place).done();
    make.fact("checked.what", "what was done", Value::Word(f.what.word()))
        .record(record, &f.what.place)
        .done();
    person(make, "checked.by", "who checked", f.by.as_ref(), clinic, record, &f.place);
    // How it fits, and why, are told to those who treat alone.
    let none = InLanguages::new();
    for (item, label, own, others) in [
        ("skin", "skin", &f.skin, &f.skin_in),
        ("fit", "how it fits", &f.fit, &none),
        ("says", "what the patient says of it", &f.says, &f.says_in),
        ("why", "detail of the fitting", &f.why, &none),
    ] {
        typed(make, (item, label), own.as_ref(), others, (record, &f.place, WHO), tongue);
    }
}

/// What was typed, in the reader's language where it was written in it.
fn typed(
    make: &mut Maker,
    (item, label): (&str, &str),
    own: Option<&Located<String>>,
    others: &InLanguages,
    (record, place, who): (&str, &Place, &str),
    tongue: Tongue,
) {
    let (id, record_in) = (format!("checked.{item}"), format!("{record} / {item}_in"));
    let (id, record_in, home) = (&id, &record_in, (place, who));
    tongue::words(make, tongue, &Words { id, label, record, record_in, own, others, home });
}

fn decided(make: &mut Maker, f: &Fitting, record: &str, tongue: Tongue) {
    let (label, found) = ("decision: accept, adjust or remake", f.decision.as_ref());
    let word = |d: &crate::case::Decision| Value::Word(d.word());
    make.recorded("checked.decision", label, record, found, word, "the clinician", &f.place);
    let on = f.decided.as_ref().unwrap_or(&f.on);
    let label = "day of the decision";
    if f.decision.is_some() {
        make.fact("checked.decided", label, day(on.value))
            .record(record, &on.place)
            .by("as recorded; the day of the check where nothing else is", Source::definition(""))
            .done();
    } else {
        make.not_recorded("checked.decided", label, "the clinician", record, &f.place);
    }
    let (label, found) = ("reason for the decision", f.because.as_ref());
    make.recorded("checked.because", label, record, found, |w| text(w), "the clinician", &f.place);
    let (what, home) = (("told", "what the family was told"), (record, &f.place, "the clinician"));
    typed(make, what, f.told.as_ref(), &f.told_in, home, tongue);
    let (label, found) = ("when the changes are to be done", f.changes_by.as_ref());
    let date = |d: &PartialDate| Value::Date(*d);
    make.recorded("checked.changes_by", label, record, found, date, "the clinician", &f.place);
}

/// What is to be changed; a decision to adjust is nothing without it.
fn changes(make: &mut Maker, f: &Fitting, record: &str, tongue: Tongue) {
    let (id, label) = ("checked.changes_named", "changes, each with level and side");
    match f.changes.first() {
        Some(change) => make
            .fact(id, label, Value::Word("yes"))
            .record(format!("{record} / changes"), &change.place)
            .done(),
        None => make.not_recorded(id, label, "the clinician", record, &f.place),
    };
    spot::changes(make, "checked.changes", &f.changes, record, tongue);
}

/// How long it had been worn, in days at first, later in whole months.
fn since(make: &mut Maker, t: &Treatment, f: &Fitting, record: &str) {
    let (id, label) = ("checked.worn_for", "time since it was first worn");
    match t.start() {
        Some(start) if start.value <= f.on.value => make
            .fact(id, label, time(start.value, f.on.value))
            .record(record, &f.on.place)
            .record(format!("treatment {} / first day", t.id.value), &start.place)
            .by(
                "whole days from the first day to the check; from two months on completed months",
                Source::definition(""),
            )
            .done(),
        _ => make.missing(id, label, Missing::NotApplicable("it was not worn before".into())),
    };
    make.same("checked.started", &format!("treatments.{}.started", t.id.value));
}

fn time(from: NaiveDate, to: NaiveDate) -> Value {
    match i64::from(months_between(from, to)) {
        months if months >= 2 => whole(months, Unit::Month),
        _ => whole(days_between(from, to), Unit::Day),
    }
}

/// Whether the plan in force was made on the day of the check or later: an
/// older one does not know of it.
fn planned(make: &mut Maker, case: &Case, f: &Fitting, record: &str) {
    let plan = case.plans.last();
    let since = plan.is_some_and(|p| p.on.value >= f.on.value);
    let mut draft = make
        .fact("checked.planned", "whether the plan is as recent as the check", yes_no(since))
        .record(record, &f.on.place);
    if let Some(plan) = plan {
        draft = draft.record(format!("plan {}", plan.on.value), &plan.on.place);
    }
    draft.by("the plan is of that day or later", Source::definition("")).done();
}

/// From this age on a letter to the family speaks to the child as well; our
/// own choice: most can read by then.
const SPOKEN_TO: u32 = 6;

fn spoken_to(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let age = Age::on(case.patient.born.value, as_of);
    let fits = age.is_some_and(|a| (SPOKEN_TO..18).contains(&a.years));
    make.fact("checked.spoken_to", "whether the child is spoken to", yes_no(fits))
        .record("patient / born", &case.patient.born.place)
        .by("from six years to below eighteen", Source::common_practice("our own choice"))
        .done();
}

/// `checked.next_film`, `.next_visit`: what the plan says, if it still lies
/// ahead: not begun by the letter's day, and not what this check was.
fn next(make: &mut Maker, case: &Case, f: &Fitting, as_of: NaiveDate) {
    let plan = case.plans.last();
    let next = plan.and_then(|p| p.next.as_ref());
    let filmed = case.films.iter().map(|film| film.taken.value).max();
    let ahead = |date: Option<&Located<PartialDate>>, done: NaiveDate| {
        date.filter(|d| d.last_day() >= as_of && d.first_day() > done).cloned()
    };
    let film = ahead(next.and_then(|n| n.film.as_ref()), filmed.unwrap_or(f.on.value));
    let visit = ahead(next.and_then(|n| n.visit.as_ref()), f.on.value);
    for (item, label, found) in
        [("next_film", "next film", film), ("next_visit", "next visit", visit)]
    {
        let (id, record) = (format!("checked.{item}"), "plan / next");
        let home = plan.map_or(&case.place, |p| &p.place);
        let date = |d: &PartialDate| Value::Date(*d);
        make.recorded(id, label, record, found.as_ref(), date, "the clinician", home);
    }
}
