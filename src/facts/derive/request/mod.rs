//! Facts on coverage and on the request a letter supports.

mod answer;
mod enclosure;
mod films;
mod news;
mod people;

use super::maker::{Maker, day, text, whole};
use crate::case::{Case, Clinic, LetterEntry, Request};
use crate::diag::Place;
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Reported, Unit};

/// `coverage.*`.
pub fn coverage(make: &mut Maker, case: &Case) {
    let c = case.coverage.as_ref();
    let home = c.map_or(&case.place, |c| &c.place);
    let part = |make: &mut Maker,
                item: &str,
                label: &str,
                found: Option<&crate::diag::Located<String>>| {
        make.recorded(
            format!("coverage.{item}"),
            label,
            &format!("coverage / {item}"),
            found,
            |t| text(t),
            "the family",
            home,
        )
    };
    part(make, "payer", "payer", c.map(|c| &c.payer));
    part(make, "member", "member number", c.and_then(|c| c.member.as_ref()));
    part(make, "plan", "plan", c.and_then(|c| c.plan.as_ref()));
    part(make, "group", "group number", c.and_then(|c| c.group.as_ref()));
}

/// `enclosures.*`: what goes with the letter.
pub fn enclosures(make: &mut Maker, case: &Case, entry: Option<&LetterEntry>) {
    if let Some(entry) = entry.filter(|e| !e.enclosures.is_empty()) {
        enclosure::enclosures(make, case, entry);
    }
}

/// `request.*` and `replaced.*`: the request of a letter with everything it
/// needs, or every item missing.
pub fn request(make: &mut Maker, case: &Case, clinic: &Clinic, entry: Option<&LetterEntry>) {
    let id = entry.and_then(|e| e.request.as_ref()).map(|r| r.value.as_str());
    let found = id.and_then(|id| case.requests.iter().find(|r| r.id.value == id));
    own(make, case, found);
    if let (Some(r), Some(entry)) = (found, entry) {
        people::people(make, case, clinic, r, entry);
        answer::answer(make, r, entry);
        films::films(make, case, clinic, entry);
        films::replaced(make, case, r);
        news::news(make, case, r);
    }
}

/// What the record itself says.
fn own(make: &mut Maker, case: &Case, found: Option<&Request>) {
    let Some(r) = found else {
        for (item, label) in TEXTS.iter().chain(OTHERS) {
            make.missing(
                format!("request.{item}"),
                label,
                Missing::NotApplicable("the letter supports no request".into()),
            );
        }
        return;
    };
    let record = format!("request {}", r.id.value);
    texts(make, r, &record);
    dates(make, r, &record);
    let home = &r.place;
    let item = case.treatments.iter().find(|t| t.id.value == r.item.value);
    let made = r.made.as_ref().or_else(|| item.and_then(|t| t.made.as_ref()));
    make.recorded(
        "request.made",
        "how the item comes to fit its wearer",
        &record,
        made,
        |made| Value::Word(made.word()),
        "the clinician",
        home,
    );
    make.recorded(
        "request.hours",
        "hours a day asked for",
        &record,
        r.hours.as_ref(),
        |h| Value::Number(Reported::round(h.to_hours(), 0, Unit::HourPerDay)),
        "the clinician",
        home,
    );
    make.recorded(
        "request.months",
        "expected duration",
        &record,
        r.months.as_ref(),
        |m| whole(i64::from(*m), Unit::Month),
        "the clinician",
        home,
    );
    make.recorded(
        "request.kind",
        "what is asked",
        &record,
        r.kind.as_ref(),
        |k| Value::Word(k.word()),
        "the administrator",
        home,
    );
    make.recorded(
        "request.units",
        "how many",
        &record,
        r.units.as_ref(),
        |n| whole(i64::from(*n), Unit::One),
        "the clinician",
        home,
    );
    make.recorded(
        "request.state",
        "state of the request",
        &record,
        r.state.as_ref(),
        |s| Value::Word(s.word()),
        "the administrator",
        home,
    );
    let review = r.expedited.as_ref().map(|e| if e.value { "expedited" } else { "standard" });
    match review {
        Some(word) => make
            .fact("request.review", "kind of review", Value::Word(word))
            .record(&record, home)
            .done(),
        None => make.not_recorded(
            "request.review",
            "kind of review",
            "the administrator",
            &record,
            home,
        ),
    };
    for (n, code) in r.codes.iter().enumerate() {
        make.fact(
            format!("request.codes.c{}", n + 1),
            "item code as the clinician recorded it",
            text(code),
        )
        .record(format!("{record} / codes"), &code.place)
        .done();
    }
}

const TEXTS: &[(&str, &str)] = &[
    ("item", "item asked for"),
    ("reference", "the payer's reference"),
    ("goal", "goal"),
    ("stop_rule", "when treatment is stopped or changed"),
    ("alternatives", "alternatives considered"),
    ("if_not", "what happens otherwise"),
    ("replaces_because", "why the present one cannot be adjusted"),
    ("exception", "why an unmet criterion should not be held against the patient"),
];

const OTHERS: &[(&str, &str)] = &[
    ("ordered", "day of the order"),
    ("seen", "day of the examination in person"),
    ("sent", "day it was sent"),
    ("appealed", "day the appeal was sent"),
    ("kind", "what is asked"),
    ("units", "how many"),
    ("seen_before_order", "days from examination to order"),
    ("made", "how the item comes to fit its wearer"),
    ("hours", "hours a day asked for"),
    ("months", "expected duration"),
    ("state", "state of the request"),
    ("review", "kind of review"),
];

fn texts(make: &mut Maker, r: &Request, record: &str) {
    let found = [
        &r.item_text,
        &r.reference,
        &r.goal,
        &r.stop_rule,
        &r.alternatives,
        &r.if_not,
        &r.replaces_because,
        &r.exception,
    ];
    for ((item, label), found) in TEXTS.iter().zip(found) {
        make.recorded(
            format!("request.{item}"),
            label,
            &format!("{record} / {item}"),
            found.as_ref(),
            |t| text(t),
            "the clinician",
            &r.place,
        );
    }
}

fn dates(make: &mut Maker, r: &Request, record: &str) {
    let home: &Place = &r.place;
    for (item, label, found) in [
        ("ordered", "day of the order", &r.ordered),
        ("seen", "day of the examination in person", &r.seen),
        ("sent", "day it was sent", &r.sent),
        ("appealed", "day the appeal was sent", &r.appealed),
    ] {
        make.recorded(
            format!("request.{item}"),
            label,
            &format!("{record} / {item}"),
            found.as_ref(),
            |d| day(*d),
            "the administrator",
            home,
        );
    }
    match (&r.seen, &r.ordered) {
        (Some(seen), Some(ordered)) => make
            .fact(
                "request.seen_before_order",
                "days from examination to order",
                whole(days_between(seen.value, ordered.value), Unit::Day),
            )
            .record(format!("{record} / seen"), &seen.place)
            .record(format!("{record} / ordered"), &ordered.place)
            .by("whole days between the two dates", Source::definition(""))
            .done(),
        _ => make.not_recorded(
            "request.seen_before_order",
            "days from examination to order",
            "the administrator",
            record,
            home,
        ),
    };
}
