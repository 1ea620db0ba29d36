//! The order of samples: jumps backwards, repeats, gaps, the interval.

use std::sync::Arc;

use chrono::DateTime;

use super::{Line, Row, Tally};
use crate::course::wear::Sample;
use crate::diag::{Code, Report};

/// A sample with its instant and its line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// Seconds since 1970-01-01 00:00 UTC.
    pub at: i64,
    /// Degrees Celsius.
    pub celsius: f64,
    /// Where it stands.
    pub line: Line,
}

impl Placed {
    /// Without its line.
    pub(super) fn sample(&self) -> Sample {
        Sample { at: self.at, celsius: self.celsius }
    }
}

/// Whether a log runs from the newest sample to the oldest, as some loggers
/// write it.
pub(super) fn newest_first(rows: &[Row]) -> bool {
    let steps = || rows.windows(2).map(|w| w[1].stamp.rough() - w[0].stamp.rough());
    let backwards = steps().filter(|s| *s < 0).count();
    let forwards = steps().filter(|s| *s > 0).count();
    backwards > forwards * 4
}

/// Puts samples in the order of time, each instant once, and reports what was
/// out of order.
pub(super) fn clean(mut placed: Vec<Placed>, file: &Arc<str>, report: &mut Report) -> Vec<Placed> {
    let mut back = Tally::default();
    for pair in placed.windows(2).filter(|pair| pair[1].at < pair[0].at) {
        back.add(pair[1].line, || format!("{} after {}", shown(pair[1].at), shown(pair[0].at)));
    }
    let what = ("a jump backwards in time", "jumps backwards in time");
    if back.count > 0 {
        placed.sort_by_key(|p| p.at);
    }
    back.tell(Code::WearLogBackwards, what, file, report);
    let mut twice = Tally::default();
    placed.dedup_by(|later, kept| {
        let same = later.at == kept.at;
        if same {
            let (a, b) = (kept.celsius, later.celsius);
            twice.add(later.line, || format!("{}, {a} and {b} degC", shown(later.at)));
        }
        same
    });
    let what = ("a time that stands twice", "times that stand twice");
    twice.tell(Code::WearLogRepeated, what, file, report);
    gaps(&placed, file, report);
    placed
}

fn gaps(placed: &[Placed], file: &Arc<str>, report: &mut Report) {
    let Some(interval) = interval(placed) else { return };
    let (mut gaps, mut lost) = (Tally::default(), 0);
    for pair in placed.windows(2) {
        let length = pair[1].at - pair[0].at;
        if length > interval + interval / 2 {
            lost += length - interval;
            let from = shown(pair[0].at + interval);
            gaps.add(pair[1].line, || format!("{} from {from}", hours(length - interval)));
        }
    }
    let all = format!("gaps of {} in all", hours(lost));
    gaps.tell(Code::WearLogGap, ("a gap", &all), file, report);
}

/// The median time between two samples, in seconds.
pub(super) fn interval(placed: &[Placed]) -> Option<i64> {
    let mut steps: Vec<i64> = placed.windows(2).map(|w| w[1].at - w[0].at).collect();
    let middle = steps.len() / 2;
    (!steps.is_empty()).then(|| *steps.select_nth_unstable(middle).1)
}

fn shown(at: i64) -> String {
    let utc = DateTime::from_timestamp(at, 0).unwrap_or_default();
    utc.format("%Y-%m-%d %H:%M UTC").to_string()
}

fn hours(seconds: i64) -> String {
    let hours = (seconds as f64 / 360.0).round() / 10.0;
    format!("{hours} h")
}
