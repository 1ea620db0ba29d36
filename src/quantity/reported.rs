//! The one rounding: from a measurement to the number people read.

use serde::Serialize;

use super::Unit;

/// A number as it is printed: a whole count of its last decimal place, with a
/// unit. Comparisons, changes, percentages and rules use this value and no
/// other, so a reader who holds only the letter can redo every sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct Reported {
    scaled: i64,
    decimals: u8,
    unit: Unit,
}

impl Reported {
    /// Rounds once, half away from zero, to that many decimals.
    ///
    /// The value is first taken to nine decimals, so that 0.285 that floats
    /// hold as 0.28499999999999998 rounds as written.
    pub fn round(value: f64, decimals: u8, unit: Unit) -> Self {
        assert!(value.is_finite(), "only finite numbers are reported");
        let factor = 10f64.powi(i32::from(decimals));
        let settled = (value * 1e9).round() / 1e9;
        let scaled = ((settled * factor * 1e6).round() / 1e6).round();
        Reported { scaled: scaled as i64, decimals, unit }
    }

    /// A whole number with a unit.
    pub const fn whole(value: i64, unit: Unit) -> Self {
        Reported { scaled: value, decimals: 0, unit }
    }

    /// The number as a float, exactly as printed.
    pub fn value(self) -> f64 {
        self.scaled as f64 / 10f64.powi(i32::from(self.decimals))
    }

    /// The unit.
    pub fn unit(self) -> Unit {
        self.unit
    }

    /// How many decimals are printed.
    pub fn decimals(self) -> u8 {
        self.decimals
    }

    /// The difference of two reported numbers of one unit, exact.
    ///
    /// Panics if the units differ: a difference of unlike things is a mistake
    /// of the caller, never of the data.
    pub fn minus(self, other: Reported) -> Reported {
        assert_eq!(self.unit, other.unit, "difference of unlike units");
        let decimals = self.decimals.max(other.decimals);
        let at = |r: Reported| r.scaled * 10i64.pow(u32::from(decimals - r.decimals));
        Reported { scaled: at(self) - at(other), decimals, unit: self.unit }
    }

    /// The size without the sign.
    pub fn abs(self) -> Reported {
        Reported { scaled: self.scaled.abs(), ..self }
    }

    /// The sign: -1, 0 or 1.
    pub fn sign(self) -> i64 {
        self.scaled.signum()
    }

    /// Which of two reported numbers of one unit is larger, exactly.
    pub fn compare(self, other: Reported) -> std::cmp::Ordering {
        self.minus(other).scaled.cmp(&0)
    }

    /// The number with its unit as typed in case files: `27 deg`.
    pub fn said(self) -> String {
        let unit = self.unit.spellings()[0];
        let gap = if unit.is_empty() { "" } else { " " };
        format!("{}{gap}{unit}", self.digits())
    }

    /// The digits with a decimal point and, below zero, a true minus sign.
    pub fn digits(self) -> String {
        let sign = if self.scaled < 0 { "\u{2212}" } else { "" };
        let size = self.scaled.unsigned_abs();
        if self.decimals == 0 {
            return format!("{sign}{size}");
        }
        let factor = 10u64.pow(u32::from(self.decimals));
        let width = usize::from(self.decimals);
        format!("{sign}{}.{:0width$}", size / factor, size % factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_round_away_from_zero() {
        // Worked by hand: the design's rule for Cobb angles.
        let whole = |v| Reported::round(v, 0, Unit::Degree).digits();
        assert_eq!(whole(18.5), "19");
        assert_eq!(whole(-18.5), "\u{2212}19");
        assert_eq!(whole(18.499_999), "18");
        assert_eq!(Reported::round(0.285, 2, Unit::Degree).digits(), "0.29");
    }

    #[test]
    fn differences_are_exact() {
        let a = Reported::round(158.6, 1, Unit::Centimetre);
        let b = Reported::round(155.7, 1, Unit::Centimetre);
        assert_eq!(a.minus(b).digits(), "2.9");
    }
}
