//! Agreement of two readers: limits of their differences, and kappa for words.
//!
//! Limits of agreement are mean difference -+ 1.96 standard deviations of the
//! differences ([`BLAND_ALTMAN_1999`](works::BLAND_ALTMAN_1999)); a limit's
//! own standard error is s x root (1/n + 1.96^2 / (2 (n - 1))).

use super::quantile::{UPPER, student};
use super::spread::{Interval, Z95, mean, sd};
use crate::evidence::{Grade, Source, works};
use crate::quantity::math::sqrt;

/// Where the limits come from.
pub const SOURCE: Source = Source {
    work: Some(&works::BLAND_ALTMAN_1999),
    grade: Grade::Computed,
    note: "mean difference -+ 1.96 SD of the differences, each with its 95 % interval by t",
};

/// Limits of agreement of paired measurements.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Pairs.
    pub pairs: usize,
    /// Mean difference.
    pub bias: f64,
    /// Its 95 % interval.
    pub bias_interval: Interval,
    /// Standard deviation of the differences.
    pub sd: f64,
    /// Lower limit.
    pub lower: f64,
    /// Its 95 % interval.
    pub lower_interval: Interval,
    /// Upper limit.
    pub upper: f64,
    /// Its 95 % interval.
    pub upper_interval: Interval,
}

/// Limits of agreement of these differences; `None` of fewer than two.
pub fn limits(differences: &[f64]) -> Option<Limits> {
    let (bias, sd) = (mean(differences)?, sd(differences)?);
    let n = differences.len() as f64;
    let t = student(UPPER, n - 1.0)?;
    let of_limit = t * sd * sqrt(1.0 / n + Z95 * Z95 / (2.0 * (n - 1.0)));
    let (lower, upper) = (bias - Z95 * sd, bias + Z95 * sd);
    Some(Limits {
        pairs: differences.len(),
        bias,
        bias_interval: Interval::about(bias, t * sd / sqrt(n)),
        sd,
        lower,
        lower_interval: Interval::about(lower, of_limit),
        upper,
        upper_interval: Interval::about(upper, of_limit),
    })
}

/// Cohen's kappa of a square table of counts, one reader's words against the
/// other's: agreement beyond chance, 1 at most.
///
/// `None` if the table is not square, holds nothing, or chance alone agrees
/// fully.
pub fn kappa(counts: &[Vec<u32>]) -> Option<f64> {
    let words = counts.len();
    if counts.iter().any(|row| row.len() != words) {
        return None;
    }
    let total: f64 = counts.iter().flatten().map(|c| f64::from(*c)).sum();
    let sum = |it: &mut dyn Iterator<Item = u32>| it.map(f64::from).sum::<f64>() / total;
    if total == 0.0 {
        return None;
    }
    let seen: f64 = sum(&mut (0..words).map(|i| counts[i][i]));
    let by_chance: f64 = (0..words)
        .map(|i| sum(&mut counts[i].iter().copied()) * sum(&mut counts.iter().map(|row| row[i])))
        .sum();
    (by_chance < 1.0).then(|| (seen - by_chance) / (1.0 - by_chance))
}
