//! Spans of measured wear: one for each step of prescribed hours in the log,
//! and those typed in for days that the log does not cover.

use chrono::NaiveDate;

use super::record;
use crate::case::{MeasuredHours, Treatment, wear_rule};
use crate::course::hours::{Step, in_force};
use crate::course::wear::table::sparse;
use crate::course::wear::{Mean, Table};
use crate::diag::Place;
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Reported, Unit};

/// A span of measured wear.
pub(super) struct Span {
    /// First day measured.
    pub from: NaiveDate,
    /// Last day measured.
    pub to: NaiveDate,
    /// Days measured.
    pub days: f64,
    /// Days in the brace among them, measured or not.
    pub among: f64,
    /// Hours a day: exact from a log, as reported where typed.
    pub hours: f64,
    /// Hours prescribed over these days in all, if any were on each of them.
    pub prescribed: Option<f64>,
    /// The record it was read from.
    pub record: String,
    /// Where that stands.
    pub place: Place,
    /// Whether it is of a log.
    pub logged: bool,
}

impl Span {
    /// `…spans.wN.*`.
    pub(super) fn facts(&self, make: &mut Maker, path: &str) {
        for (item, label, at) in [
            ("from", "first day of a span of measured wear", self.from),
            ("to", "last day of a span of measured wear", self.to),
        ] {
            let draft = make.fact(format!("{path}.{item}"), label, day(at));
            draft.record(&self.record, &self.place).done();
        }
        let mean = Value::Number(Reported::round(self.hours, 1, Unit::HourPerDay));
        let few = too_few(self.days, self.among);
        let told = few.is_none();
        let mean = few.map_or(mean, Value::Missing);
        let draft = make.fact(format!("{path}.mean"), "measured hours a day in a span", mean);
        let draft = draft.record(&self.record, &self.place);
        if self.logged && told {
            let formula = format!("mean over {} counted days of the log", self.days);
            draft.by(formula, Source::definition("")).unrounded(self.hours).done();
        } else {
            draft.done();
        }
    }
}

/// Why hours of some days do not stand for a whole span, if they do not.
pub(super) fn too_few(counted: f64, among: f64) -> Option<Missing> {
    let why = || format!("counted on {counted} of {among} days");
    sparse(counted as i64, among as i64).then(|| Missing::CannotTell(why()))
}

/// The spans of a treatment in the order of their days.
pub(super) fn spans(t: &Treatment, table: Option<&Table>) -> Vec<Span> {
    let steps = wear_rule::steps(t);
    let mut spans = table.map(|table| logged(t, table, &steps)).unwrap_or_default();
    let covered = spans.first().map(|s| s.from).zip(spans.last().map(|s| s.to));
    let apart = |m: &&MeasuredHours| {
        covered.is_none_or(|(first, last)| m.to.value < first || last < m.from.value)
    };
    let typed = t.wear.iter().flat_map(|w| &w.measured).filter(apart);
    spans.extend(typed.map(|m| typed_span(t, m, &steps)));
    spans.sort_by_key(|s| s.from);
    spans
}

fn logged(t: &Treatment, table: &Table, steps: &[Step]) -> Vec<Span> {
    let place = t.wear.as_ref().and_then(|w| w.log.as_ref()).map_or(&t.place, |l| &l.path.place);
    let span = |(step, mean): (Option<usize>, Mean)| Span {
        from: mean.from,
        to: mean.to,
        days: mean.days as f64,
        among: mean.among as f64,
        hours: mean.hours(),
        prescribed: step.map(|at| steps[at].per_day.to_hours() * mean.days as f64),
        record: format!("{} / wear / log", record(t)),
        place: place.clone(),
        logged: true,
    };
    table.by_step(steps).into_iter().map(span).collect()
}

fn typed_span(t: &Treatment, typed: &MeasuredHours, steps: &[Step]) -> Span {
    let (from, to) = (typed.from.value, typed.to.value);
    let days = from.iter_days().take_while(|day| *day <= to);
    let asked = days.map(|day| in_force(steps, day).map(|at| steps[at].per_day.to_hours()));
    let length = (days_between(from, to) + 1) as f64;
    Span {
        from,
        to,
        days: length,
        among: length,
        hours: Reported::round(typed.per_day.to_hours(), 1, Unit::HourPerDay).value(),
        prescribed: asked.sum(),
        record: format!("{} / wear / measured", record(t)),
        place: typed.per_day.place.clone(),
        logged: false,
    }
}
