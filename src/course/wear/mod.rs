//! Hours of wear from the temperatures that a sensor in a brace has logged.
//!
//! A [`Log`] is samples (an instant and a temperature) and the civil days they
//! fall in; a [`Rule`] says when a brace counts as worn. [`run`] cuts the
//! samples into stretches worn and not worn, [`day`] adds them up by civil day
//! and says which days can be counted, [`table`] means by week, by weekday and
//! by hours in force. The published rule is one threshold with samples half an
//! hour apart ([`HASLER_2010`](works::HASLER_2010)); two rules read the same
//! log differently ([`WEAR_RULES_2012`](works::WEAR_RULES_2012)), so rule, threshold and
//! interval are always printed beside the hours.
//!
//! # When a day cannot be told
//!
//! In a hot room a brace in the wardrobe is as warm as a brace on a child. Our
//! own choice, with settings of the clinic: a day is not counted if
//!
//! - its lowest temperature lies less than [`Rule::clear_by`] below the
//!   threshold of taking off ([`Warm::NeverCool`]): the brace was never seen
//!   cool, so nothing shows that it was on;
//! - more than an hour before and after any wear, its temperature while off
//!   comes within [`Rule::clear_by`] of the threshold ([`Warm::WarmWhileOff`]);
//! - a stretch of wear begins or ends without a step ([`Warm::Drifted`]): on a
//!   body the temperature rises by at least [`Rule::step`] within an hour on
//!   either side of the threshold; a room drifts through it.
//!
//! A day worn for all of its hours is never seen cool and is not counted
//! either; that is the price. The hours of a day are those that samples cover,
//! never stretched over what is missing; a day with more than [`Rule::missing`]
//! of it missing is not counted, and so is the first and the last of a log
//! unless logged as a whole. This room reads no file and knows no time zone:
//! the borders of the days come with the log.

pub mod day;
pub mod run;
pub mod table;

use chrono::NaiveDate;

use crate::evidence::{Source, works};

pub use day::{Day, DayState, Warm};
pub use table::{Break, Mean, Table, evaluate};

/// Where the rule of a single threshold comes from.
pub const RULE_SOURCE: Source =
    Source::read(&works::HASLER_2010, "worn above 30 degrees Celsius, a sample every 30 minutes");

/// Where the adherence in per cent comes from.
pub const ADHERENCE_SOURCE: Source =
    Source::read(&works::HASLER_2010, "hours worn / hours prescribed x 100");

/// One sample of a log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// The instant, in seconds since 1970-01-01 00:00 UTC.
    pub at: i64,
    /// The temperature, in degrees Celsius.
    pub celsius: f64,
}

/// A day of the calendar where the brace is worn: 24 hours long, or 23 or 25
/// (in some places 23.5 or 24.5) when the clocks change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CivilDay {
    /// The date.
    pub date: NaiveDate,
    /// The instant it begins, in seconds since 1970-01-01 00:00 UTC.
    pub start: i64,
    /// The instant it ends: the start of the next.
    pub end: i64,
}

/// A log: samples in the order of time, none twice, and the days they fall in.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// The samples.
    pub samples: Vec<Sample>,
    /// Every civil day from the first sample to the last.
    pub days: Vec<CivilDay>,
    /// Seconds between two samples: the median of the log.
    pub interval: i64,
    /// The time zone the days are taken in, in words.
    pub zone: String,
}

impl Log {
    /// The last civil day the log reaches; none without samples.
    pub fn last_day(&self) -> Option<NaiveDate> {
        self.days.last().map(|d| d.date)
    }

    /// The longest time between two samples that is no gap: one and a half
    /// intervals, so that a clock that ticks unevenly leaves none.
    pub fn bridged(&self) -> i64 {
        self.interval + self.interval / 2
    }

    /// The end of the time that a sample stands for: the next sample, or one
    /// interval where a gap follows.
    pub fn end_of(&self, index: usize) -> i64 {
        let at = self.samples[index].at;
        match self.samples.get(index + 1) {
            Some(next) if next.at - at <= self.bridged() => next.at,
            _ => at + self.interval,
        }
    }
}

/// When a brace counts as worn, and when a day can be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Put on above this temperature, in degrees Celsius.
    pub worn_above: f64,
    /// Taken off below this one: the hysteresis.
    pub taken_off_below: f64,
    /// How far below a threshold is clearly cool, in degrees Celsius.
    pub clear_by: f64,
    /// The smallest step of putting on or taking off, in degrees Celsius.
    pub step: f64,
    /// The largest share of a day without samples, in per cent.
    pub missing: f64,
}

impl Rule {
    /// Threshold of the published rule.
    pub const WORN_ABOVE: f64 = 30.0;
    /// How far below the threshold a brace counts as taken off, unless set;
    /// our own choice, twice the noise of a logger that reads to half a degree.
    pub const HYSTERESIS: f64 = 1.0;
    /// Our own choice: above the noise of a sensor, below what a brace cools
    /// in half an hour in any room of 26 degrees or less.
    pub const CLEAR_BY: f64 = 2.0;
    /// Our own choice: a room in the sun drifts by about 1.5 degrees in an
    /// hour; a body lifts a brace in a room of 29 degrees by 5.
    pub const STEP: f64 = 4.0;
    /// Our own choice: an hour and twelve minutes of a day.
    pub const MISSING: f64 = 5.0;
}

impl Default for Rule {
    fn default() -> Self {
        Rule {
            worn_above: Rule::WORN_ABOVE,
            taken_off_below: Rule::WORN_ABOVE - Rule::HYSTERESIS,
            clear_by: Rule::CLEAR_BY,
            step: Rule::STEP,
            missing: Rule::MISSING,
        }
    }
}
