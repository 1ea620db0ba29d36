//! Facts on wear: what a sensor measured beside what was prescribed and told.
//!
//! The hours come from the brace's log where there is one (`log`), else from
//! spans that were typed in (`span`); typed spans of days that the log covers
//! are only a check. Both fill the same ids: spans, their mean, the hours in
//! force and the share of them.

mod log;
mod span;

use chrono::NaiveDate;

use super::maker::{Maker, day, yes_no};
use super::treatment::{hours_value, reported_hours, supports};
use crate::case::{Limits, Treatment, TreatmentKind, wear_rule};
use crate::course::wear::{ADHERENCE_SOURCE, DayState, Table};
use crate::evidence::{Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use span::{Span, spans, too_few};

/// What a log says beyond the spans, or says is missing.
pub const ITEMS: [(&str, &str); 23] = [
    ("wear.rule.worn_above", "temperature above which the brace counts as worn"),
    ("wear.rule.taken_off_below", "temperature below which it counts as taken off"),
    ("wear.rule.cool_by", "how far below a threshold is clearly cool"),
    ("wear.rule.step", "smallest step of putting on or taking off"),
    ("wear.rule.missing", "largest share of a counted day without samples"),
    ("wear.rule.interval", "minutes between two samples"),
    ("wear.rule.zone", "time zone of the days"),
    ("wear.days.logged", "days of the log in the brace"),
    ("wear.days.counted", "days whose hours count"),
    ("wear.days.cannot_tell", "days too warm to tell wear"),
    ("wear.days.some_untold", "whether some days were too warm to tell"),
    ("wear.days.some_uncounted", "whether some days were too warm to tell or incomplete"),
    ("wear.days.incomplete", "days with too many samples missing"),
    ("wear.days.unworn", "counted days without wear"),
    ("wear.days.met", "counted days that met the prescription"),
    ("wear.days.met_share", "share of the counted days that met the prescription"),
    ("wear.days.weekday", "measured hours on Monday to Friday"),
    ("wear.days.weekend", "measured hours on Saturday and Sunday"),
    ("wear.days.longest_break", "longest time without wear"),
    ("wear.days.longest_break_days", "longest time without wear, in days"),
    ("wear.days.longest_break_from", "day the longest break began"),
    ("wear.days.longest_break_to", "day the longest break ended"),
    ("wear.reported_ratio", "hours as told over hours measured"),
];

/// `treatments.<id>.wear.*`.
pub fn wear(make: &mut Maker, root: &str, t: &Treatment, limits: &Limits, as_of: NaiveDate) {
    let table = evaluate(t, limits, as_of);
    let path = format!("{root}.wear");
    recorded(make, &path, t);
    let spans = spans(t, table.as_ref());
    for (n, span) in spans.iter().enumerate() {
        span.facts(make, &format!("{path}.spans.w{}", n + 1));
    }
    make.fact(
        format!("{path}.several"),
        "whether wear was measured over several spans",
        yes_no(spans.len() > 1),
    )
    .record(record(t), &t.place)
    .done();
    over_all(make, &path, t, &spans, table.as_ref());
    ratio(make, &path, t);
    match &table {
        Some(table) => log::facts(make, &path, t, limits, table),
        None if supports(t) => log::none(make, &path, t),
        None => {}
    }
}

/// The days of a treatment's log as known on a day: for a figure of the
/// calendar, which shows each day. `t` is of the case as known on that day.
pub fn evaluate(t: &Treatment, limits: &Limits, as_of: NaiveDate) -> Option<Table> {
    let mut table = wear_rule::table(t, Some(limits))?;
    table.days.retain(|d| d.date <= as_of);
    Some(table)
}

fn record(t: &Treatment) -> String {
    format!("treatment {}", t.id.value)
}

/// Download and hours as told.
fn recorded(make: &mut Maker, path: &str, t: &Treatment) {
    let downloaded = t.wear.as_ref().filter(|w| w.log.is_some());
    make.recorded(
        format!("{path}.downloaded"),
        "download of the sensor's log",
        &record(t),
        downloaded.and_then(|w| w.downloaded.as_ref()),
        |d| day(*d),
        "the orthotist",
        &t.place,
    );
    make.recorded(
        format!("{path}.reported"),
        "hours a day as told",
        &record(t),
        t.reported.last().map(|r| &r.per_day),
        |h| hours_value(h.to_hours()),
        "the family",
        &t.place,
    );
}

/// First and last day, mean, prescription and share over all days measured:
/// never over the best or the worst span alone.
fn over_all(make: &mut Maker, path: &str, t: &Treatment, spans: &[Span], table: Option<&Table>) {
    let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
        return unmeasured(make, path, t, table);
    };
    for (item, label, at, span) in [
        ("from", "first day of the measured wear", first.from, first),
        ("to", "last day of the measured wear", last.to, last),
    ] {
        let draft = make.fact(format!("{path}.{item}"), label, day(at));
        draft.record(&span.record, &span.place).done();
    }
    let all: f64 = spans.iter().map(|s| s.days).sum();
    let worn: f64 = spans.iter().map(|s| s.hours * s.days).sum();
    let mean = Reported::round(worn / all, 1, Unit::HourPerDay);
    let few = too_few(all, among(spans, table));
    let told = few.clone().map_or(Value::Number(mean), Value::Missing);
    let mut draft = make.fact(format!("{path}.mean"), "measured hours a day", told);
    for span in spans {
        draft = draft.record(&span.record, &span.place);
    }
    if few.is_none() {
        let formula = "mean over all days measured, each span by its days";
        draft = draft.by(formula, Source::definition("")).unrounded(worn / all);
    }
    draft.done();
    let asked: Option<f64> = spans.iter().map(|s| s.prescribed).sum();
    share(make, path, t, few.map_or(Ok(mean), Err), asked.map(|hours| hours / all));
}

/// Days in the brace over all: those of a log, with the steps of which no day
/// counts, and those typed beside it.
fn among(spans: &[Span], table: Option<&Table>) -> f64 {
    let logged = table.map_or(0, |t| t.count(|s| *s != DayState::Outside));
    logged as f64 + spans.iter().filter(|s| !s.logged).map(|s| s.among).sum::<f64>()
}

/// The hours in force on the days measured, and the measured share of them.
fn share(
    make: &mut Maker,
    path: &str,
    t: &Treatment,
    mean: Result<Reported, Missing>,
    asked: Option<f64>,
) {
    let Some(asked) = asked else {
        for item in ["prescribed", "share"] {
            let why = Missing::CannotTell("hours are not prescribed on every day measured".into());
            make.missing(format!("{path}.{item}"), "prescribed hours while wear was measured", why);
        }
        return;
    };
    let prescribed = reported_hours(asked);
    let mut draft = make.fact(
        format!("{path}.prescribed"),
        "prescribed hours a day while wear was measured",
        Value::Number(prescribed),
    );
    for step in &t.hours {
        draft = draft.record(format!("{} / hours", record(t)), &step.per_day.place);
    }
    draft
        .by("mean of the hours in force on the days measured", Source::definition(""))
        .unrounded(asked)
        .done();
    if prescribed.sign() == 0 {
        let why = "no hours of wear were asked for on the days measured";
        let label = "measured share of the prescribed hours";
        make.missing(format!("{path}.share"), label, Missing::NotApplicable(why.into()));
        return;
    }
    let mean = match mean {
        Ok(mean) => mean,
        Err(why) => {
            let label = "measured share of the prescribed hours";
            make.missing(format!("{path}.share"), label, why);
            return;
        }
    };
    let share = mean.value() / prescribed.value() * 100.0;
    make.fact(
        format!("{path}.share"),
        "measured share of the prescribed hours",
        Value::Number(Reported::round(share, 0, Unit::Percent)),
    )
    .from(format!("{path}.mean"))
    .from(format!("{path}.prescribed"))
    .by("measured / prescribed hours x 100, both as reported", ADHERENCE_SOURCE)
    .unrounded(share)
    .done();
}

/// No measured hours: nobody typed or logged any, or no day of the log counts.
fn unmeasured(make: &mut Maker, path: &str, t: &Treatment, table: Option<&Table>) {
    for item in ["from", "to", "mean", "prescribed", "share"] {
        let id = format!("{path}.{item}");
        match table {
            Some(table) => {
                let why = Missing::CannotTell(log::why_none_counts(table));
                make.missing(id, "measured wear", why);
            }
            None => {
                let place = &t.place;
                make.not_recorded(id, "measured wear", "the orthotist", &record(t), place);
            }
        }
    }
}

/// How much more was told than measured.
fn ratio(make: &mut Maker, path: &str, t: &Treatment) {
    if !supports(t) {
        return;
    }
    let (id, label) = (format!("{path}.reported_ratio"), "hours as told over hours measured");
    let number = |item: &str| make.facts.get(&format!("{path}.{item}")).and_then(|f| f.number());
    let (Some(told), Some(mean)) = (number("reported"), number("mean")) else {
        let why = "hours as told and measured hours are not both on record";
        make.missing(id, label, Missing::CannotTell(why.into()));
        return;
    };
    if mean.sign() == 0 {
        let why = "the brace was not worn, so there is no ratio";
        make.missing(id, label, Missing::NotApplicable(why.into()));
        return;
    }
    let ratio = told.value() / mean.value();
    let note = "told 17.8, measured 13.3 hours a day: 1.34 times";
    make.fact(id, label, Value::Number(Reported::round(ratio, 2, Unit::One)))
        .from(format!("{path}.reported"))
        .from(format!("{path}.mean"))
        .by(
            "hours as told / hours measured, both as reported",
            Source::read(&works::WEAR_TOLD_2024, note),
        )
        .unrounded(ratio)
        .done();
}

/// Whether a treatment can have a log at all.
fn removable(t: &Treatment) -> bool {
    t.kind.value == TreatmentKind::Brace
}
