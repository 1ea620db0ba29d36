//! Hours by civil day, and which days can be counted.

use chrono::NaiveDate;

use super::run::{Run, SETTLING, drifted};
use super::{CivilDay, Log, Rule};

/// Why warmth forbids to tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Warm {
    /// The brace was never seen clearly cool.
    NeverCool,
    /// While off, it came near the threshold.
    WarmWhileOff,
    /// A stretch of wear began or ended without a step.
    Drifted,
}

/// What a day is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayState {
    /// Its hours count.
    Counted,
    /// Not a whole day in the brace: the day of delivery or before, the last
    /// day or after.
    Outside,
    /// The first or last day of the log, not logged as a whole.
    Partial,
    /// Too much of it was not logged; never taken for zero.
    Incomplete,
    /// The surroundings may have imitated wear.
    CannotTell(Warm),
}

/// One civil day of a log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// The date.
    pub date: NaiveDate,
    /// Its length in seconds: 86,400 unless the clocks change.
    pub length: i64,
    /// Seconds covered by samples.
    pub recorded: i64,
    /// Seconds worn, as measured: only what samples cover.
    pub worn: i64,
    /// Lowest temperature, if there is a sample, in degrees Celsius.
    pub lowest: Option<f64>,
    /// What it is worth.
    pub state: DayState,
}

impl Day {
    /// Hours worn, not rounded.
    pub fn hours(&self) -> f64 {
        self.worn as f64 / 3600.0
    }

    /// Whether its hours count.
    pub fn counts(&self) -> bool {
        self.state == DayState::Counted
    }
}

/// The days of a log. `inside` says whether the brace was the patient's for
/// the whole of a day.
pub fn days(log: &Log, rule: &Rule, runs: &[Run], inside: &dyn Fn(NaiveDate) -> bool) -> Vec<Day> {
    let mut days: Vec<Day> = log.days.iter().map(empty).collect();
    let mut warm: Vec<Option<Warm>> = vec![None; days.len()];
    for (index, run) in runs.iter().enumerate() {
        add(log, run, &mut days);
        let drift = run.worn && drifted(log, rule, runs, index);
        for at in touched(log, run) {
            if drift {
                warm[at] = warm[at].or(Some(Warm::Drifted));
            }
        }
        if !run.worn {
            while_off(log, rule, run, &mut warm);
        }
    }
    lowest(log, &mut days);
    for (at, day) in days.iter_mut().enumerate() {
        day.state = state(log, rule, &log.days[at], day, warm[at]);
        if !inside(day.date) {
            day.state = DayState::Outside;
        }
    }
    days
}

fn empty(day: &CivilDay) -> Day {
    Day {
        date: day.date,
        length: day.end - day.start,
        recorded: 0,
        worn: 0,
        lowest: None,
        state: DayState::Counted,
    }
}

/// The days a run reaches into.
fn touched(log: &Log, run: &Run) -> std::ops::Range<usize> {
    let first = log.days.partition_point(|d| d.end <= run.start);
    let last = log.days.partition_point(|d| d.start < run.end);
    first..last.max(first)
}

/// Adds a run to the days it reaches into, each its own part.
fn add(log: &Log, run: &Run, days: &mut [Day]) {
    for at in touched(log, run) {
        let day = &log.days[at];
        let part = run.end.min(day.end) - run.start.max(day.start);
        days[at].recorded += part;
        if run.worn {
            days[at].worn += part;
        }
    }
}

/// Marks the days on which a brace that lay about came near the threshold. The
/// hour after taking off and the hour before putting on are not the room's.
fn while_off(log: &Log, rule: &Rule, run: &Run, warm: &mut [Option<Warm>]) {
    let (from, to) = (run.start + SETTLING, run.end - SETTLING);
    let near = rule.worn_above - rule.clear_by;
    let mut at = touched(log, run).start;
    for sample in &log.samples[run.first..run.last] {
        if sample.at < from || sample.at > to || sample.celsius < near {
            continue;
        }
        while log.days.get(at).is_some_and(|d| d.end <= sample.at) {
            at += 1;
        }
        if let Some(mark) = warm.get_mut(at) {
            *mark = Some(Warm::WarmWhileOff);
        }
    }
}

fn lowest(log: &Log, days: &mut [Day]) {
    let mut at = 0;
    for sample in &log.samples {
        while log.days.get(at).is_some_and(|d| d.end <= sample.at) {
            at += 1;
        }
        if let Some(day) = days.get_mut(at) {
            day.lowest = Some(day.lowest.map_or(sample.celsius, |low| low.min(sample.celsius)));
        }
    }
}

fn state(log: &Log, rule: &Rule, civil: &CivilDay, day: &Day, warm: Option<Warm>) -> DayState {
    let first = log.samples.first().map_or(civil.end, |s| s.at);
    let last = log.samples.len().checked_sub(1).map_or(civil.start, |i| log.end_of(i));
    if first > civil.start + log.interval || last < civil.end - log.interval {
        return DayState::Partial;
    }
    let missing = (day.length - day.recorded) as f64 / day.length as f64 * 100.0;
    let Some(lowest) = day.lowest.filter(|_| missing <= rule.missing) else {
        return DayState::Incomplete;
    };
    if lowest > rule.taken_off_below - rule.clear_by {
        return DayState::CannotTell(Warm::NeverCool);
    }
    warm.map_or(DayState::Counted, DayState::CannotTell)
}
