//! By which rule a brace's log is evaluated: the case's own thresholds, else
//! the clinic's limits, else the published ones.

use chrono::NaiveDate;

use super::{Limits, Treatment, Wear};
use crate::course::hours::Step;
use crate::course::wear::{self, Day, Mean, Rule, Table};
use crate::quantity::date::days_between;

/// The rule for one log. Without a lower threshold the brace is taken off
/// [`Rule::HYSTERESIS`] below the upper one.
pub fn rule(wear: &Wear, limits: Option<&Limits>) -> Rule {
    let set = |of: fn(&Limits) -> Option<f64>| limits.and_then(of);
    let worn_above = wear.worn_above.as_ref().map(|t| t.to_celsius());
    let worn_above = worn_above
        .or_else(|| set(|l| l.worn_above.as_ref().map(|t| t.to_celsius())))
        .unwrap_or(Rule::WORN_ABOVE);
    let off = wear.taken_off_below.as_ref().map(|t| t.to_celsius());
    let cool = set(|l| l.wear_cool_by.as_ref().map(|t| t.to_celsius()));
    let step = set(|l| l.wear_step.as_ref().map(|t| t.to_celsius()));
    let missing = set(|l| l.wear_missing.as_ref().map(|share| share.value));
    Rule {
        worn_above,
        taken_off_below: off.unwrap_or(worn_above - Rule::HYSTERESIS),
        clear_by: cool.unwrap_or(Rule::CLEAR_BY),
        step: step.unwrap_or(Rule::STEP),
        missing: missing.unwrap_or(Rule::MISSING),
    }
}

/// The hours prescribed, in the order of their days.
pub fn steps(treatment: &Treatment) -> Vec<Step> {
    let step = |h: &super::HoursStep| Step { from: *h.from, per_day: h.per_day.value };
    let mut steps: Vec<Step> = treatment.hours.iter().map(step).collect();
    steps.sort_by_key(|step| step.from);
    steps
}

/// The days of a treatment's log; `None` without a log that could be read. The
/// day of delivery and the last day are no whole days in the brace.
pub fn table(treatment: &Treatment, limits: Option<&Limits>) -> Option<Table> {
    let wear = treatment.wear.as_ref()?;
    let log = wear.log.as_ref()?.content.as_ref()?;
    let start = treatment.start().map(|s| s.value);
    let end = treatment.ended.as_ref().map(|e| *e.on);
    let inside =
        |day: NaiveDate| start.is_none_or(|start| day > start) && end.is_none_or(|end| day < end);
    Some(wear::evaluate(log, &rule(wear, limits), &inside))
}

/// The log's mean over a span of days, if at least half of them count.
pub fn logged(table: &Table, from: NaiveDate, to: NaiveDate) -> Option<Mean> {
    let within = |d: &&Day| from <= d.date && d.date <= to;
    let mean = Mean::of(table.days.iter().filter(within))?;
    (mean.days * 2 > days_between(from, to)).then_some(mean)
}
