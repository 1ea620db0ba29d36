//! Quantiles of the distributions behind intervals.
//!
//! The one place that asks the distributions library. Every function takes the
//! probability below the quantile and returns `None` where the distribution
//! has no such member (no degrees of freedom, a probability of 0 or 1).

use statrs::distribution::{ChiSquared, ContinuousCDF, FisherSnedecor, Normal, StudentsT};

/// The probability below the upper end of a two-sided 95 % interval.
pub const UPPER: f64 = 0.975;

fn at(distribution: Option<impl ContinuousCDF<f64, f64>>, p: f64) -> Option<f64> {
    let inside = p > 0.0 && p < 1.0;
    distribution.filter(|_| inside).map(|d| d.inverse_cdf(p)).filter(|q| q.is_finite())
}

/// Of the standard normal distribution.
pub fn normal(p: f64) -> Option<f64> {
    at(Normal::new(0.0, 1.0).ok(), p)
}

/// Of Student's t with that many degrees of freedom.
pub fn student(p: f64, freedom: f64) -> Option<f64> {
    at(StudentsT::new(0.0, 1.0, freedom).ok(), p)
}

/// Of chi-square with that many degrees of freedom.
pub fn chi_square(p: f64, freedom: f64) -> Option<f64> {
    at(ChiSquared::new(freedom).ok(), p)
}

/// Of the F distribution with those degrees of freedom.
pub fn fisher(p: f64, numerator: f64, denominator: f64) -> Option<f64> {
    at(FisherSnedecor::new(numerator, denominator).ok(), p)
}
