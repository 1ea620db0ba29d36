//! How fast an angle goes: the rate between two films and the median slope of
//! a series.

use std::fmt;

use chrono::{Months, NaiveDate};

use crate::evidence::Source;
use crate::quantity::date::years_between;
use crate::quantity::{Reported, Unit};

/// Fewest months between two films for a yearly rate, unless the clinic sets
/// another. Our own choice: a limit of 6 degrees over half a year is already
/// 12 degrees a year.
pub const RATE_MONTHS: u32 = 6;

/// Where the rate comes from.
pub const RATE_SOURCE: Source =
    Source::definition("change in reported degrees over years of 365.25 days");

/// Where the slope comes from.
pub const SLOPE_SOURCE: Source =
    Source::definition("median of the slopes between all pairs (Theil and Sen)");

/// A value on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dated {
    /// The day.
    pub on: NaiveDate,
    /// The reported value.
    pub value: Reported,
}

/// Why there is no rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoRate {
    /// The films lie too close together.
    TooClose {
        /// Days between them.
        days: i64,
        /// Months that are asked for.
        months: u32,
    },
}

impl fmt::Display for NoRate {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let NoRate::TooClose { days, months } = self;
        write!(f, "{days} days between the films, fewer than the {months} months for a rate")
    }
}

/// Degrees per year between two films, to one decimal.
///
/// The interval counts in calendar months: from 31 August six months end on
/// the last day of February.
pub fn rate_per_year(earlier: Dated, later: Dated, fewest_months: u32) -> Result<Reported, NoRate> {
    let days = later.on.signed_duration_since(earlier.on).num_days();
    let reached = earlier
        .on
        .checked_add_months(Months::new(fewest_months))
        .is_some_and(|first| later.on >= first && days > 0);
    if !reached {
        return Err(NoRate::TooClose { days, months: fewest_months });
    }
    let change = later.value.minus(earlier.value).value();
    Ok(Reported::round(change / years_between(earlier.on, later.on), 1, Unit::DegreePerYear))
}

/// The median of the slopes between all pairs of points at different times;
/// `None` without such a pair.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<f64> {
    let mut slopes: Vec<f64> = points
        .iter()
        .enumerate()
        .flat_map(|(i, a)| points[i + 1..].iter().map(move |b| (a, b)))
        .filter(|(a, b)| a.0 != b.0)
        .map(|(a, b)| (b.1 - a.1) / (b.0 - a.0))
        .collect();
    slopes.sort_by(f64::total_cmp);
    let middle = slopes.len() / 2;
    match slopes.len() {
        0 => None,
        n if n % 2 == 1 => Some(slopes[middle]),
        _ => Some((slopes[middle - 1] + slopes[middle]) / 2.0),
    }
}

/// The slope of least squares, for comparison with the median one; `None`
/// unless the points have at least two different times. One wild point moves
/// it, which is why the median slope is the one reported.
pub fn least_squares(points: &[(f64, f64)]) -> Option<f64> {
    let n = points.len() as f64;
    let middle = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (x, y) = (middle(|p| p.0), middle(|p| p.1));
    let spread: f64 = points.iter().map(|p| (p.0 - x) * (p.0 - x)).sum();
    let shared: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    (spread > 0.0).then(|| shared / spread)
}

/// The median slope of a dated series in degrees per year, to one decimal.
pub fn slope_per_year(series: &[Dated]) -> Option<Reported> {
    theil_sen(&in_years(series)).map(|slope| Reported::round(slope, 1, Unit::DegreePerYear))
}

/// A dated series as years since its first day against reported values.
pub fn in_years(series: &[Dated]) -> Vec<(f64, f64)> {
    let first = series.iter().map(|d| d.on).min();
    let years = |d: &Dated| first.map_or(0.0, |f| years_between(f, d.on));
    series.iter().map(|d| (years(d), d.value.value())).collect()
}
