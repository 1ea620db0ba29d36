//! The table of days, and what it says over weeks, weekdays and prescriptions.

use chrono::{Datelike, Days, NaiveDate};

use super::day::{Day, DayState, days};
use super::run::{Run, runs};
use super::{Log, Rule};
use crate::course::hours::{Step, in_force};
use crate::quantity::{Reported, Unit};

/// The days of one log and its longest break.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Every civil day of the log, in order.
    pub days: Vec<Day>,
    /// The longest time without wear within days that count; none if the brace
    /// was never off on them.
    pub longest_break: Option<Break>,
}

/// A time without wear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Break {
    /// Seconds.
    pub seconds: i64,
    /// The day it began.
    pub from: NaiveDate,
    /// The day it ended.
    pub to: NaiveDate,
}

/// A mean over counted days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mean {
    /// First day counted.
    pub from: NaiveDate,
    /// Last day counted.
    pub to: NaiveDate,
    /// Days counted.
    pub days: i64,
    /// Days in the brace among them, counted or not.
    pub among: i64,
    /// Seconds worn on them in all.
    pub worn: i64,
}

impl Mean {
    /// The mean of counted days; `None` if there is none.
    pub fn of<'a>(days: impl IntoIterator<Item = &'a Day>) -> Option<Mean> {
        let inside = |d: &&Day| d.state != DayState::Outside;
        let inside: Vec<&Day> = days.into_iter().filter(inside).collect();
        let among = inside.len() as i64;
        let mut counted = inside.into_iter().filter(|d| d.counts()).peekable();
        let from = counted.peek()?.date;
        let start = Mean { from, to: from, days: 0, among, worn: 0 };
        Some(counted.fold(start, |mean, day| Mean {
            to: day.date,
            days: mean.days + 1,
            worn: mean.worn + day.worn,
            ..mean
        }))
    }

    /// Hours a day, not rounded.
    pub fn hours(&self) -> f64 {
        self.worn as f64 / 3600.0 / self.days as f64
    }
}

/// Whether fewer than half of some days count: what was worn on those days may
/// be far from what was worn on the others. The half is our own choice.
pub fn sparse(counted: i64, among: i64) -> bool {
    counted * 2 < among
}

/// Evaluates a log by a rule. `inside` says whether the brace was the
/// patient's for the whole of a day.
pub fn evaluate(log: &Log, rule: &Rule, inside: &dyn Fn(NaiveDate) -> bool) -> Table {
    let runs = runs(log, rule);
    let days = days(log, rule, &runs, inside);
    let longest_break = longest_break(log, &runs, &days);
    Table { days, longest_break }
}

impl Table {
    /// The days whose hours count.
    pub fn counted(&self) -> impl Iterator<Item = &Day> {
        self.days.iter().filter(|d| d.counts())
    }

    /// How many days are of a state.
    pub fn count(&self, of: impl Fn(&DayState) -> bool) -> i64 {
        self.days.iter().filter(|d| of(&d.state)).count() as i64
    }

    /// Means by week, each with its Monday; weeks without a counted day are
    /// left out.
    pub fn weeks(&self) -> Vec<(NaiveDate, Mean)> {
        let monday =
            |d: &Day| d.date - Days::new(u64::from(d.date.weekday().num_days_from_monday()));
        self.days
            .chunk_by(|a, b| monday(a) == monday(b))
            .filter_map(|week| Some((monday(&week[0]), Mean::of(week)?)))
            .collect()
    }

    /// The mean of Monday to Friday, or of Saturday and Sunday.
    pub fn weekdays(&self, weekend: bool) -> Option<Mean> {
        let at_weekend = |d: &&Day| d.date.weekday().num_days_from_monday() >= 5;
        Mean::of(self.days.iter().filter(|d| at_weekend(d) == weekend))
    }

    /// Means by step of prescribed hours, each with the index of its step;
    /// days before the first step have none.
    pub fn by_step(&self, steps: &[Step]) -> Vec<(Option<usize>, Mean)> {
        self.days
            .chunk_by(|a, b| in_force(steps, a.date) == in_force(steps, b.date))
            .filter_map(|days| Some((in_force(steps, days[0].date), Mean::of(days)?)))
            .collect()
    }

    /// Hours prescribed in all over the counted days among some; `None` if
    /// nothing was in force on one of them.
    pub fn prescribed(&self, steps: &[Step], within: impl Fn(NaiveDate) -> bool) -> Option<f64> {
        let asked = self.counted().filter(|d| within(d.date));
        asked.map(|d| in_force(steps, d.date).map(|at| steps[at].per_day.to_hours())).sum()
    }

    /// Counted days on which the reported hours reach those in force.
    pub fn met(&self, steps: &[Step], within: impl Fn(NaiveDate) -> bool) -> i64 {
        let days = self.counted().filter(|d| within(d.date));
        days.filter(|d| reaches(d, steps)).count() as i64
    }
}

/// Hours of a day as reported: one decimal.
pub fn reported(hours: f64) -> Reported {
    Reported::round(hours, 1, Unit::HourPerDay)
}

fn reaches(day: &Day, steps: &[Step]) -> bool {
    in_force(steps, day.date).is_some_and(|at| {
        reported(day.hours()).compare(reported(steps[at].per_day.to_hours())).is_ge()
    })
}

/// The longest break. Where a day that does not count or a gap comes between,
/// the break ends there: nobody knows what happened then.
fn longest_break(log: &Log, runs: &[Run], days: &[Day]) -> Option<Break> {
    let mut longest: Option<Break> = None;
    for run in runs.iter().filter(|run| !run.worn) {
        let first = log.days.partition_point(|d| d.end <= run.start);
        let last = log.days.partition_point(|d| d.start < run.end).max(first);
        let mut now: Option<Break> = None;
        for (civil, day) in log.days[first..last].iter().zip(&days[first..last]) {
            if !day.counts() {
                now = None;
                continue;
            }
            let seconds = run.end.min(civil.end) - run.start.max(civil.start);
            let began = now.unwrap_or(Break { seconds: 0, from: day.date, to: day.date });
            let grown = Break { seconds: began.seconds + seconds, to: day.date, ..began };
            now = Some(grown);
            if longest.is_none_or(|l| grown.seconds > l.seconds) {
                longest = Some(grown);
            }
        }
    }
    longest
}
