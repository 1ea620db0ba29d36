//! A share of few, with its interval.

use super::quantile::{UPPER, normal};
use super::spread::Interval;
use crate::evidence::{Source, works};
use crate::quantity::math::sqrt;

/// Where the interval comes from.
pub const SOURCE: Source =
    Source::read(&works::NEWCOMBE_1998, "Wilson's score interval without continuity correction");

/// Wilson's 95 % interval of `of` successes in `all`; `None` of nothing or of
/// more successes than trials.
pub fn wilson(of: u32, all: u32) -> Option<Interval> {
    if all == 0 || of > all {
        return None;
    }
    let (n, z) = (f64::from(all), normal(UPPER)?);
    let p = f64::from(of) / n;
    let scale = 1.0 + z * z / n;
    let centre = (p + z * z / (2.0 * n)) / scale;
    let half = z / scale * sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    Some(Interval { low: (centre - half).max(0.0), high: (centre + half).min(1.0) })
}
