//! `maturity.menarche.*`: whether and when, and what a partial date leaves open.
//!
//! A month or a year is an interval of days. The months since then have a
//! fewest and a most; a day on which it had not come narrows it. Only where
//! both are equal is there one number.

use chrono::NaiveDate;

use crate::case::{Case, Menarche, Opt};
use crate::course::maturity::MonthsSince;
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, whole};
use crate::facts::derive::patient::menarche_applies;
use crate::facts::{Missing, Value};
use crate::quantity::{Age, PartialDate, Unit};

/// What is known of it on the day.
pub(in crate::facts::derive) enum State {
    /// It came that many months ago.
    Had(MonthsSince),
    /// It had not come by that day.
    NotYet(NaiveDate),
}

/// The state, where it means something and is recorded.
pub(in crate::facts::derive) fn sign(case: &Case, as_of: NaiveDate) -> Option<State> {
    if means_nothing(case, as_of).is_some() {
        return None;
    }
    let menarche = case.background.menarche.as_ref()?;
    match (&menarche.on, &menarche.not_yet) {
        (Some(on), not_yet) => Some(State::Had(since(on.value, not_yet, as_of))),
        (None, Some(not_yet)) => Some(State::NotYet(not_yet.value)),
        (None, None) => None,
    }
}

/// Months since a first period: it came on a day the date can mean, after any
/// day on which it had not come, and not after the day of the letter.
fn since(on: PartialDate, not_yet: &Opt<NaiveDate>, as_of: NaiveDate) -> MonthsSince {
    let after = not_yet.as_ref().and_then(|day| day.value.succ_opt());
    let latest = on.last_day().min(as_of);
    let earliest = after.map_or(on.first_day(), |day| day.max(on.first_day())).min(latest);
    MonthsSince::of(earliest, latest, as_of)
}

/// Why the first period says nothing of this patient's growth, unless it is
/// recorded all the same. The bounds are common practice, no source: nobody
/// asks it of a child below 8 or of an adult.
fn means_nothing(case: &Case, as_of: NaiveDate) -> Option<&'static str> {
    if !menarche_applies(case) {
        return Some("the patient is recorded as male");
    }
    let recorded =
        case.background.menarche.as_ref().is_some_and(|m| m.on.is_some() || m.not_yet.is_some());
    match Age::on(case.patient.born.value, as_of).map(|a| a.years) {
        Some(0..8) if !recorded => Some("the patient is younger than 8"),
        Some(18..) if !recorded => Some("the patient is an adult"),
        _ => None,
    }
}

const ITEMS: [&str; 6] =
    ["state", "on", "not_yet", "months_since", "months_since_fewest", "months_since_most"];

/// The facts of the first period.
pub(super) fn menarche(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    if let Some(why) = means_nothing(case, as_of) {
        for item in ITEMS {
            let none = Missing::NotApplicable(why.into());
            make.missing(format!("maturity.menarche.{item}"), "first period", none);
        }
        return;
    }
    let found: Option<&Menarche> = case.background.menarche.as_ref();
    recorded(make, case, found);
    months(make, found, as_of);
}

fn recorded(make: &mut Maker, case: &Case, found: Option<&Menarche>) {
    let on = found.and_then(|m| m.on.as_ref());
    let not_yet = found.and_then(|m| m.not_yet.as_ref());
    let (state, home) = ("maturity.menarche.state", &case.place);
    match (on, not_yet) {
        (Some(on), _) => make
            .fact(state, "first period", Value::Word("had"))
            .record("background / menarche / on", &on.place)
            .done(),
        (None, Some(day)) => make
            .fact(state, "first period", Value::Word("not yet"))
            .record("background / menarche / not_yet", &day.place)
            .done(),
        _ => make.not_recorded(state, "first period", "the family", "background / menarche", home),
    };
    make.recorded(
        "maturity.menarche.on",
        "first period",
        "background / menarche / on",
        on,
        |d| Value::Date(*d),
        "the family",
        home,
    );
    make.recorded(
        "maturity.menarche.not_yet",
        "last day without a first period",
        "background / menarche / not_yet",
        not_yet,
        |d| day(*d),
        "the family",
        home,
    );
}

/// The fewest and the most months, and the one number where there is one.
fn months(make: &mut Maker, found: Option<&Menarche>, as_of: NaiveDate) {
    let labels = [
        ("months_since", "completed months since the first period"),
        ("months_since_fewest", "fewest completed months since the first period"),
        ("months_since_most", "most completed months since the first period"),
    ];
    let Some((menarche, on)) = found.and_then(|m| Some((m, m.on.as_ref()?))) else {
        let none = Missing::CannotTell("no first period is recorded".into());
        for (item, label) in labels {
            make.missing(format!("maturity.menarche.{item}"), label, none.clone());
        }
        return;
    };
    let since = since(on.value, &menarche.not_yet, as_of);
    let number = |months: u32| whole(i64::from(months), Unit::Month);
    let exact = since.exact().map_or_else(
        || {
            Value::Missing(Missing::CannotTell(format!(
                "the date {} leaves {} to {} months",
                on.value, since.fewest, since.most
            )))
        },
        number,
    );
    let values = [exact, number(since.fewest), number(since.most)];
    let formulas = [
        "where the fewest and the most months are the same",
        "completed months from the last day the date can mean",
        "completed months from the first day the date can mean, after any day it had not come",
    ];
    for (((item, label), value), formula) in labels.into_iter().zip(values).zip(formulas) {
        let mut fact = make
            .fact(format!("maturity.menarche.{item}"), label, value)
            .record("background / menarche / on", &on.place);
        if let Some(not_yet) = &menarche.not_yet {
            fact = fact.record("background / menarche / not_yet", &not_yet.place);
        }
        fact.by(formula, Source::definition("")).done();
    }
}
