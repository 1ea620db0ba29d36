//! Stretches of wear: from samples to times on and off, and how each began.

use super::{Log, Rule};

/// Time on either side of a threshold in which a step must show, and after
/// which a brace that was taken off has the temperature of the room: an hour.
pub const SETTLING: i64 = 3600;

/// A time without a gap in which the brace was worn, or was not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// First instant, in seconds since 1970-01-01 00:00 UTC.
    pub start: i64,
    /// The instant after the last.
    pub end: i64,
    /// Whether it was worn.
    pub worn: bool,
    /// Index of the first sample.
    pub first: usize,
    /// Index after the last sample.
    pub last: usize,
    /// Whether it begins where the run before it ends, without a gap.
    pub joined: bool,
}

/// Cuts a log into runs. The brace is put on by a sample above the upper
/// threshold and taken off by one below the lower; after a gap nothing is
/// carried over.
pub fn runs(log: &Log, rule: &Rule) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (index, sample) in log.samples.iter().enumerate() {
        let end = log.end_of(index);
        let joined = runs.last().is_some_and(|run| run.end == sample.at);
        let before = joined && runs.last().is_some_and(|run| run.worn);
        let worn = if before {
            sample.celsius >= rule.taken_off_below
        } else {
            sample.celsius > rule.worn_above
        };
        match runs.last_mut().filter(|run| joined && run.worn == worn) {
            Some(run) => (run.end, run.last) = (end, index + 1),
            None => runs.push(Run {
                start: sample.at,
                end,
                worn,
                first: index,
                last: index + 1,
                joined,
            }),
        }
    }
    runs
}

/// Whether a run of wear began or ended without a step: the temperature went
/// through the threshold by less than a body would move it. An end that a gap
/// hides is not held against the run.
pub fn drifted(log: &Log, rule: &Rule, runs: &[Run], index: usize) -> bool {
    let run = &runs[index];
    let begins = run.joined.then_some(run.start);
    let ends = runs.get(index + 1).is_some_and(|next| next.joined).then_some(run.end);
    let sides = |at: i64| (side(log, at - SETTLING, at), side(log, at, at + SETTLING + 1));
    let rise = begins.map(sides).map(|(off, on)| on.1 - off.0);
    let fall = ends.map(sides).map(|(on, off)| on.1 - off.0);
    run.worn && [rise, fall].into_iter().flatten().any(|size| size < rule.step)
}

/// Lowest and highest temperature of the samples from one instant to before
/// another. Around a crossing both sides hold a sample.
fn side(log: &Log, from: i64, to: i64) -> (f64, f64) {
    let first = log.samples.partition_point(|s| s.at < from);
    let last = log.samples.partition_point(|s| s.at < to);
    let celsius = log.samples[first..last].iter().map(|s| s.celsius);
    celsius.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), c| (low.min(c), high.max(c)))
}
