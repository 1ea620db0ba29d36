//! What was decided for the maker of a brace or cast.

use crate::case::order::Order;
use crate::case::{Case, Clinic, HoursStep, LetterEntry, LetterKind, Opt, Plan, Treatment};
use crate::diag::Place;
use crate::evidence::Source;
use crate::facts::Value;
use crate::facts::derive::maker::{Maker, day, text};
use crate::facts::derive::record::person;
use crate::facts::derive::track::Track;
use crate::quantity::PartialDate;

use super::hours::hours_value;
use super::spot;
use super::which::supports;

/// Who can supply what an order lacks.
const WHO: &str = "the prescriber";

/// `treatments.<id>.order.*` of every brace or cast with an order.
pub fn orders(make: &mut Maker, case: &Case, clinic: &Clinic, tracks: &[Track]) {
    for t in case.treatments.iter().filter(|t| supports(t) && t.order.is_some()) {
        let root = format!("treatments.{}.order", t.id.value);
        one(make, case, clinic, tracks, &root, t);
    }
}

/// `order.*` of a prescription: the order it tells, or what is missing of it.
pub fn of_letter(
    make: &mut Maker,
    case: &Case,
    clinic: &Clinic,
    tracks: &[Track],
    entry: Option<&LetterEntry>,
) {
    let Some(entry) = entry.filter(|e| *e.kind == LetterKind::Prescription) else { return };
    match ordered_last(case, entry) {
        Some(t) => one(make, case, clinic, tracks, "order", t),
        None => {
            for (item, label) in ITEMS {
                let id = format!("order.{item}");
                make.not_recorded(id, label, WHO, "treatments", &case.place);
            }
        }
    }
}

/// What an order says, or says is missing.
const ITEMS: [(&str, &str); 21] = [
    ("ordered", "day on which a brace or cast was ordered"),
    ("kind", "kind of treatment"),
    ("class", "class of orthosis"),
    ("made", "how it comes to fit its wearer"),
    ("by", "who decided"),
    ("ring.name", "whom to ring"),
    ("ring.phone", "number to ring"),
    ("trim", "edges"),
    ("closure", "how it is closed"),
    ("material", "material"),
    ("lining", "what lies on the skin"),
    ("shape", "how the shape of the trunk is taken"),
    ("step_in", "how wearing begins"),
    ("opening", "where it is opened"),
    ("hours", "hours a day it is made for"),
    ("when", "when in the day"),
    ("deliver_by", "when it is wanted"),
    ("check_by", "when the first film in it is due"),
    ("pads_given", "pads, each with its level and side"),
    ("reliefs_given", "reliefs"),
    ("curve_given", "curve measured on a film out of support"),
];

/// The brace or cast named by the letter; else the one with an order that was
/// ordered last, else the one ordered last.
fn ordered_last<'a>(case: &'a Case, entry: &LetterEntry) -> Option<&'a Treatment> {
    // What has come and gone is not ordered any more.
    let open = |t: &&Treatment| supports(t) && t.ordered.is_some() && t.ended.is_none();
    let worn = || case.treatments.iter().filter(open);
    if let Some(about) = &entry.about {
        return case.treatments.iter().find(|t| supports(t) && t.id.value == about.value);
    }
    worn().max_by_key(|t| (t.order.is_some(), t.ordered.as_ref().map(|d| d.value)))
}

/// Everything of one order.
pub fn one(
    make: &mut Maker,
    case: &Case,
    clinic: &Clinic,
    tracks: &[Track],
    root: &str,
    t: &Treatment,
) {
    let record = format!("treatment {}", t.id.value);
    device(make, root, t, &record);
    let record = format!("{record} / order");
    let order = t.order.as_ref();
    people(make, clinic, root, t, &record);
    words(make, root, order, &t.place, &record);
    opened(make, root, order, &t.place, &record);
    hours(make, root, t, &record);
    days(make, case, root, t, &record);
    let pads = order.map_or(&[][..], |o| &o.pads);
    let reliefs = order.map_or(&[][..], |o| &o.reliefs);
    given(make, root, order, &t.place, &record);
    curve_given(make, case, root);
    let list = |path: &str| format!("{root}.{path}");
    spot::spots(make, case, tracks, &list("pads"), ("p", "pad"), pads, &record);
    spot::spots(make, case, tracks, &list("reliefs"), ("r", "relief"), reliefs, &record);
}

/// What is to be made.
fn device(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let home = &t.place;
    make.fact(format!("{root}.kind"), "kind of treatment", Value::Word(t.kind.word()))
        .record(format!("{record} / kind"), &t.kind.place)
        .done();
    let id = format!("{root}.ordered");
    make.recorded(id, "day of the order", record, t.ordered.as_ref(), |d| day(*d), WHO, home);
    let (id, found) = (format!("{root}.class"), t.class.as_ref());
    make.recorded(id, "class of orthosis", record, found, |c| Value::Word(c.word()), WHO, home);
    let (id, found) = (format!("{root}.made"), t.made.as_ref());
    let label = "how it comes to fit its wearer";
    make.recorded(id, label, record, found, |m| Value::Word(m.word()), WHO, home);
    for (n, principle) in t.principle.iter().enumerate() {
        let id = format!("{root}.principles.q{}", n + 1);
        make.fact(id, "how it acts", Value::Word(principle.word()))
            .record(format!("{record} / principle"), &principle.place)
            .done();
    }
}

/// Who decided, and whom the maker rings.
fn people(make: &mut Maker, clinic: &Clinic, root: &str, t: &Treatment, record: &str) {
    let order = t.order.as_ref();
    let by = order.and_then(|o| o.by.as_ref());
    person(make, &format!("{root}.by"), "who decided", by, clinic, record, &t.place);
    let ring = order.and_then(|o| o.ring.as_ref());
    person(make, &format!("{root}.ring.name"), "whom to ring", ring, clinic, record, &t.place);
    let phone = ring.and_then(|id| clinic.person(&id.value)?.phone.as_ref());
    let (id, label) = (format!("{root}.ring.phone"), "number to ring");
    make.recorded(id, label, "clinic / people", phone, |p| text(p), "the clinic", &clinic.place);
}

/// What stays in the words of whoever decided.
fn words(make: &mut Maker, root: &str, order: Option<&Order>, home: &Place, record: &str) {
    type Of = fn(&Order) -> &Opt<String>;
    let items: [(&str, &str, Of); 6] = [
        ("trim", "edges", |o| &o.trim),
        ("closure", "how it is closed", |o| &o.closure),
        ("material", "material", |o| &o.material),
        ("lining", "what lies on the skin", |o| &o.lining),
        ("shape", "how the shape of the trunk is taken", |o| &o.shape),
        ("step_in", "how wearing begins", |o| &o.step_in),
    ];
    for (item, label, of) in items {
        let found = order.and_then(|o| of(o).as_ref());
        let record = format!("{record} / {item}");
        make.recorded(format!("{root}.{item}"), label, &record, found, |w| text(w), WHO, home);
    }
}

fn opened(make: &mut Maker, root: &str, order: Option<&Order>, home: &Place, record: &str) {
    let (id, label) = (format!("{root}.opening"), "where it is opened");
    match order.and_then(|o| spot::opening(&o.opening)) {
        Some((value, place)) => {
            make.fact(id, label, value).record(format!("{record} / opening"), place).done()
        }
        None => make.not_recorded(id, label, WHO, record, home),
    };
}

/// The hours it is made for: the order's own, else those of the first step.
fn hours(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let order = t.order.as_ref();
    let step = t.hours.first();
    let home = &t.place;
    let own = order.and_then(|o| o.hours.as_ref());
    let steps = |h: &HoursStep| h.per_day.clone();
    let found = own.cloned().or_else(|| step.map(steps));
    let (id, label) = (format!("{root}.hours"), "hours a day it is made for");
    let value = |h: &crate::quantity::HoursPerDay| hours_value(h.to_hours());
    make.recorded(id, label, record, found.as_ref(), value, WHO, home);
    let own = order.and_then(|o| o.when.as_ref());
    let found = own.or_else(|| step.and_then(|h| h.when.as_ref()));
    let (id, label) = (format!("{root}.when"), "when in the day");
    make.recorded(id, label, record, found, |w| Value::Word(w.word()), WHO, home);
}

/// When it is wanted, and when the first film in it is due: as ordered, else
/// as the plan of that day or later says.
fn days(make: &mut Maker, case: &Case, root: &str, t: &Treatment, record: &str) {
    let date = |d: &PartialDate| Value::Date(*d);
    let order = t.order.as_ref();
    let wanted = order.and_then(|o| o.deliver_by.as_ref());
    let (id, label) = (format!("{root}.deliver_by"), "when it is wanted");
    make.recorded(id, label, record, wanted, date, WHO, &t.place);
    let (id, label) = (format!("{root}.check_by"), "when the first film in it is due");
    if let Some(due) = order.and_then(|o| o.check_by.as_ref()) {
        make.recorded(id, label, record, Some(due), date, WHO, &t.place);
        return;
    }
    let since = |p: &&Plan| t.ordered.as_ref().is_none_or(|on| p.on.value >= on.value);
    let planned = case.plans.iter().rfind(since).and_then(|p| {
        let next = p.next.as_ref()?;
        Some((p, next.film.as_ref()?))
    });
    match planned {
        Some((plan, film)) => make
            .fact(id, label, Value::Date(film.value))
            .record(format!("plan {} / next / film", plan.on.value), &film.place)
            .by("the next film of the plan, as the order names no day", Source::definition(""))
            .done(),
        None => make.not_recorded(id, label, WHO, record, &t.place),
    };
}

/// Whether any curve is measured out of support: nothing can be built over
/// none.
fn curve_given(make: &mut Maker, case: &Case, root: &str) {
    let (id, label) = (format!("{root}.curve_given"), "curve measured on a film out of support");
    let known = make.facts.get("major.now.cobb").is_some_and(|f| f.missing().is_none());
    match known {
        true => make
            .fact(id, label, Value::Word("yes"))
            .from("major.now.cobb")
            .by("the largest curve has an angle", Source::definition(""))
            .done(),
        false => make.not_recorded(id, label, "the reader of the film", "films", &case.place),
    };
}

/// Whether there is a pad at all: a brace without one is not an order.
fn given(make: &mut Maker, root: &str, order: Option<&Order>, home: &Place, record: &str) {
    let (id, label) = (format!("{root}.pads_given"), "pads, each with its level and side");
    match order.and_then(|o| o.pads.first()) {
        Some(pad) => make
            .fact(id, label, Value::Word("yes"))
            .record(format!("{record} / pads"), &pad.place)
            .done(),
        None => make.not_recorded(id, label, WHO, record, home),
    };
    let (id, label) = (format!("{root}.reliefs_given"), "reliefs, each with its level and side");
    match order.and_then(|o| o.reliefs.first()) {
        Some(relief) => make
            .fact(id, label, Value::Word("yes"))
            .record(format!("{record} / reliefs"), &relief.place)
            .done(),
        None => make.not_recorded(id, label, WHO, record, home),
    };
}
