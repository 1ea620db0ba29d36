//! Facts on exercise, casts and braces: what, since when, how many hours.
//!
//! One file a question: `which` brace is meant, what is on `record` of
//! it, the `hours` in force, `fitting`s and `casts`, `growth` since
//! delivery, the `skin` under it, what it does `in_brace`, one brace
//! [`against`] another, the `order` to its maker, and the check that a letter
//! tells ([`checked`]).

mod against;
mod casts;
mod checked;
mod fitting;
mod growth;
mod hours;
mod in_brace;
mod order;
mod record;
mod skin;
mod spot;
mod which;

use chrono::NaiveDate;

use super::maker::{Maker, day};
use super::wear;
use crate::case::{Case, Limits, Treatment, TreatmentKind};
use crate::evidence::Source;
use crate::facts::{Missing, Value};

pub use against::against;
pub use checked::checked;
pub use hours::{hours_value, on_film, reported_hours};
pub use in_brace::{best_and_latest, corrections};
pub use order::{of_letter as ordered, orders};
pub use which::{current, first_ever, last_worn, previous, supports};

/// `treatments.*`, `treatment.current.*`, `treatment.previous.*`.
pub fn treatments(make: &mut Maker, case: &Case, limits: &Limits, as_of: NaiveDate) {
    for treatment in &case.treatments {
        let root = format!("treatments.{}", treatment.id.value);
        record::one(make, case, &root, treatment, limits, as_of);
    }
    alias(make, "treatment.current", current(case, as_of), "no brace or cast is worn", as_of);
    alias(
        make,
        "treatment.previous",
        previous(case, as_of),
        "no brace or cast was worn before",
        as_of,
    );
    let ordered =
        case.treatments.iter().rfind(|t| supports(t) && t.ordered.is_some() && t.start().is_none());
    alias(make, "treatment.awaited", ordered, "no brace is on order", as_of);
    series(make, case, as_of);
    skin::skin(make, case, current(case, as_of));
    casts::series(make, case);
    hours::weaning_now(make, current(case, as_of));
    exercise(make, case, as_of);
}

fn alias(make: &mut Maker, root: &str, treatment: Option<&Treatment>, why: &str, as_of: NaiveDate) {
    match treatment {
        Some(t) => make.same_tree(root, &format!("treatments.{}", t.id.value)),
        None => {
            let none = Missing::NotApplicable(why.into());
            for (item, label) in ITEMS.into_iter().chain(wear::ITEMS) {
                make.missing(format!("{root}.{item}"), label, none.clone());
            }
        }
    }
    let state = treatment.map_or("none", |t| t.kind.word());
    let mut draft = make.fact(format!("{root}.state"), "brace, cast or none", Value::Word(state));
    if let Some(t) = treatment {
        draft = draft.record(format!("treatment {}", t.id.value), &t.place);
    }
    draft.by(format!("the latest brace or cast as of {as_of}"), Source::definition("")).done();
}

/// `treatment.current.series_started`: the first day of a row of casts or
/// braces of one kind, where the present one is not the first.
fn series(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let now = current(case, as_of);
    let earlier = now.and_then(|now| {
        let same = case.treatments.iter().filter(|t| t.kind.value == now.kind.value);
        let started = same.filter(|t| t.id.value != now.id.value).filter_map(|t| t.start());
        started.min_by_key(|s| s.value).filter(|s| now.start().is_some_and(|n| s.value < n.value))
    });
    let id = "treatment.current.series_started";
    let label = "first day of the first of its kind";
    match earlier {
        Some(first) => make
            .fact(id, label, day(first.value))
            .record("treatments", &first.place)
            .by("earliest first day among those of the same kind", Source::definition(""))
            .done(),
        None => {
            make.missing(id, label, Missing::NotApplicable("it is the first of its kind".into()))
        }
    };
}

/// What every treatment says, or says is missing, with its label.
const ITEMS: [(&str, &str); 28] = [
    ("kind", "kind of treatment"),
    ("class", "class of orthosis"),
    ("principle", "how it acts"),
    ("started", "first day"),
    ("ordered", "day of the order"),
    ("days_to_delivery", "days from order to delivery"),
    ("days", "days since the first day, or to the last"),
    ("prescribed", "what is prescribed"),
    ("hours", "prescribed hours a day"),
    ("when", "when in the day"),
    ("hours_from", "since when these hours"),
    ("hours_why", "why these hours"),
    ("hours_before", "hours a day before these"),
    ("hours_next", "next hours a day"),
    ("hours_next_from", "since when the next hours"),
    ("ended", "last day"),
    ("ended_why", "why it ended"),
    ("adjusted", "latest adjustment"),
    ("wear.several", "whether wear was measured more than once"),
    ("wear.mean", "measured wear"),
    ("wear.from", "first day measured"),
    ("wear.to", "last day measured"),
    ("wear.prescribed", "prescribed hours a day while wear was measured"),
    ("wear.downloaded", "day the sensor was read"),
    ("wear.share", "measured share of the prescribed hours"),
    ("wear.reported", "wear as the family reports it"),
    ("fitting.on", "day of the latest fitting"),
    ("fitting.what", "what was done at the latest fitting"),
];

fn exercise(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let now = case.treatments.iter().rfind(|t| {
        t.kind.value == TreatmentKind::Exercise
            && t.start().is_some_and(|s| s.value <= as_of)
            && t.ended.as_ref().is_none_or(|e| e.on.value > as_of)
    });
    match now {
        Some(t) => {
            let root = format!("treatments.{}", t.id.value);
            make.same("treatment.exercise.prescribed", &format!("{root}.prescribed"));
            make.same("treatment.exercise.started", &format!("{root}.started"));
        }
        None => {
            for item in ["prescribed", "started"] {
                make.missing(
                    format!("treatment.exercise.{item}"),
                    "exercise",
                    Missing::NotApplicable("no exercise is prescribed".into()),
                );
            }
        }
    }
    make.fact(
        "treatment.exercise.state",
        "whether exercise is prescribed",
        Value::Word(if now.is_some() { "yes" } else { "no" }),
    )
    .done();
}
