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

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: Option<f64>, expected: f64) {
        let got = got.expect("a quantile");
        assert!((got / expected - 1.0).abs() < 1e-8, "{got} is not {expected}");
    }

    #[test]
    fn quantiles_agree_with_another_library() {
        // scipy 1.17.1: norm.ppf, t.ppf, chi2.ppf, f.ppf.
        near(normal(0.975), 1.959963984540054);
        near(student(0.975, 1.0), 12.706204736174694);
        near(student(0.975, 29.0), 2.045229642132703);
        near(student(0.995, 5.0), 4.032142983555228);
        near(chi_square(0.975, 12.0), 23.33666415864534);
        near(chi_square(0.025, 12.0), 4.4037885069817015);
        near(fisher(0.975, 5.0, 18.0), 3.381967805875243);
        near(fisher(0.975, 18.0, 5.0), 6.361883204654352);
        // Degrees of freedom that are no whole number.
        near(fisher(0.975, 5.0, 4.19), 8.803212524160914);
        near(fisher(0.025, 11.0, 12.0), 0.29157808661560064);
    }

    #[test]
    fn nothing_where_there_is_no_distribution() {
        assert_eq!(student(0.975, 0.0), None);
        assert_eq!(chi_square(0.975, -1.0), None);
        assert_eq!(fisher(0.975, 0.0, 5.0), None);
        assert_eq!(fisher(0.975, f64::NAN, 5.0), None);
        assert_eq!(normal(1.0), None);
        assert_eq!(normal(f64::NAN), None);
    }
}
