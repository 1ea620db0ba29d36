//! How far repeated measurements of one thing lie apart.
//!
//! Mean and standard deviation, the standard error of measurement and the
//! smallest difference that it allows to be called real. Nothing here knows
//! what was measured: all values of one call are in one unit, and so are the
//! answers.

use super::quantile::{UPPER, chi_square};
use crate::evidence::Source;
use crate::quantity::math::sqrt;

/// Where the formulas come from; verified in `tests/published/` against an
/// independent statistics library.
pub const SOURCE: Source = Source::definition(
    "standard error of measurement = root of the mean square within; repeatability = 1.96 x root 2 x standard error of measurement",
);

/// The factor from one standard deviation to a 95 % limit.
pub const Z95: f64 = 1.96;
/// The factor from one standard deviation to a 90 % limit.
pub const Z90: f64 = 1.645;

/// An interval of 95 % confidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// Symmetric about a middle.
    pub fn about(middle: f64, half_width: f64) -> Interval {
        Interval { low: middle - half_width, high: middle + half_width }
    }
}

/// Arithmetic mean; `None` of nothing.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Sum of squared distances from the mean.
fn squares(values: &[f64]) -> f64 {
    let middle = mean(values).unwrap_or(0.0);
    values.iter().map(|v| (v - middle) * (v - middle)).sum()
}

/// Standard deviation of a sample (over n - 1); `None` of fewer than two.
pub fn sd(values: &[f64]) -> Option<f64> {
    (values.len() > 1).then(|| sqrt(squares(values) / (values.len() - 1) as f64))
}

/// Standard error of the mean of these values: SD / root n.
pub fn standard_error(values: &[f64]) -> Option<f64> {
    sd(values).map(|sd| sd / sqrt(values.len() as f64))
}

/// Standard error of measurement from the spread between people and a
/// reliability: SD x root (1 - ICC). `None` unless the reliability lies from
/// 0 to 1.
pub fn measurement_error(sd: f64, icc: f64) -> Option<f64> {
    (0.0..=1.0).contains(&icc).then(|| sd * sqrt(1.0 - icc))
}

/// The 95 % limit between two measurements (repeatability, minimal detectable
/// change): 1.96 x root 2 x standard error of measurement.
pub fn repeatability(measurement_error: f64) -> f64 {
    Z95 * sqrt(2.0) * measurement_error
}

/// The same at 90 %.
pub fn detectable_90(measurement_error: f64) -> f64 {
    Z90 * sqrt(2.0) * measurement_error
}

/// Standard error of measurement from a published 95 % limit between two
/// measurements.
pub fn of_limit(limit: f64) -> f64 {
    limit / (Z95 * sqrt(2.0))
}

/// The spread within things measured several times, pooled over the things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    /// Things measured at least twice.
    pub things: usize,
    /// Degrees of freedom: measurements beyond the first of each thing.
    pub freedom: usize,
    /// Standard deviation within one thing: the standard error of measurement.
    pub sd: f64,
    /// Its 95 % interval, by chi-square.
    pub interval: Option<Interval>,
}

/// Pools the spread within things; one measured n times weighs n - 1, so
/// unequal numbers need no measurement left out. Things measured once say
/// nothing and are passed over. `None` if no thing was measured twice.
pub fn within<'a>(things: impl IntoIterator<Item = &'a [f64]>) -> Option<Within> {
    let several: Vec<&[f64]> = things.into_iter().filter(|v| v.len() > 1).collect();
    let freedom: usize = several.iter().map(|v| v.len() - 1).sum();
    if freedom == 0 {
        return None;
    }
    let sum: f64 = several.iter().map(|v| squares(v)).sum();
    let (f, things) = (freedom as f64, several.len());
    let end = |p: f64| chi_square(p, f).map(|q| sqrt(sum / q));
    let interval = end(UPPER).zip(end(1.0 - UPPER)).map(|(low, high)| Interval { low, high });
    Some(Within { things, freedom, sd: sqrt(sum / f), interval })
}
