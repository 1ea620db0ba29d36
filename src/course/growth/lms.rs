//! Z-scores by the LMS method.
//!
//! A reference gives, for each sex and age, the power L that makes a measure
//! normal, its median M and its coefficient of variation S. Then
//! z = ((X/M)^L − 1) / (L·S), or ln(X/M) / S where L is zero
//! ([`CDC_2000`](works::CDC_2000), read in the text of the data files).

use statrs::distribution::{ContinuousCDF, Normal};

use crate::evidence::{Grade, Source, works};
use crate::quantity::math;

/// Where the method comes from.
pub const LMS_SOURCE: Source =
    Source::read(&works::CDC_2000, "z = ((X/M)^L - 1) / (L S), or ln(X/M) / S if L is 0");

/// Where the restricted z-score comes from.
pub const RESTRICTED_SOURCE: Source = Source {
    work: Some(&works::WHO_2007),
    grade: Grade::Memory,
    note: "beyond 3 SD the distance between 2 and 3 SD is carried on",
};

/// Below this size L counts as zero: the two forms differ there by less than
/// a float can hold of a z-score printed to two decimals.
const ZERO_POWER: f64 = 1e-9;
/// From how many standard deviations the restricted form differs.
const RESTRICTED_FROM: f64 = 3.0;

/// The three parameters for one sex and age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lms {
    /// Power of the transformation.
    pub l: f64,
    /// Median, in the unit of the measure.
    pub m: f64,
    /// Coefficient of variation.
    pub s: f64,
}

impl Lms {
    /// The z-score of a measure above zero, in the unit of M; `None` for a
    /// measure that no logarithm exists of.
    pub fn z(self, measure: f64) -> Option<f64> {
        if !(measure.is_finite() && measure > 0.0) {
            return None;
        }
        let ratio = measure / self.m;
        Some(if self.l.abs() < ZERO_POWER {
            math::ln(ratio) / self.s
        } else {
            (math::power(ratio, self.l) - 1.0) / (self.l * self.s)
        })
    }

    /// The measure at a z-score; `None` where the distribution has none.
    pub fn at_z(self, z: f64) -> Option<f64> {
        if self.l.abs() < ZERO_POWER {
            return Some(self.m * math::exp(self.s * z));
        }
        let base = 1.0 + self.l * self.s * z;
        (base > 0.0).then(|| self.m * math::power(base, 1.0 / self.l))
    }

    /// The z-score whose tails beyond 3 SD are carried on by the distance
    /// from 2 to 3 SD, as the standards for weight do
    /// ([`RESTRICTED_SOURCE`]). Heights have no need of it.
    pub fn restricted_z(self, measure: f64) -> Option<f64> {
        let z = self.z(measure)?;
        if z.abs() <= RESTRICTED_FROM {
            return Some(z);
        }
        let sign = z.signum();
        let third = self.at_z(sign * 3.0)?;
        let step = (third - self.at_z(sign * 2.0)?).abs();
        Some(sign * 3.0 + (measure - third) / step)
    }
}

fn normal() -> Normal {
    Normal::standard()
}

/// The share of the reference population below a z-score, in per cent.
pub fn centile(z: f64) -> f64 {
    100.0 * normal().cdf(z)
}

/// The z-score of a centile between 0 and 100, both excluded.
pub fn z_of_centile(centile: f64) -> Option<f64> {
    (centile > 0.0 && centile < 100.0).then(|| normal().inverse_cdf(centile / 100.0))
}
