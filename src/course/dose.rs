//! Radiation: effective dose of films, against natural background.
//!
//! A film's dose is the one recorded; where only the dose-area product is
//! known, a published factor gives an estimate for one kind of film at one
//! age and nothing else. Published ranges say what films of the spine usually
//! give at an age; they judge no film.

use crate::evidence::{Constant, Grade, Source, works};
use crate::quantity::date::years_between;
use crate::quantity::{AreaDose, Dose, Reported, Unit};
use chrono::NaiveDate;

/// Natural background in a year.
pub const BACKGROUND: Constant = Constant {
    value: 2.4,
    unit: Unit::MillisievertPerYear,
    source: Source::read(&works::PACE_2013, "2.4 mSv a year (1 to 10 by place), half of it radon"),
};

/// Days of natural background with the same effective dose, of 365.25 a year.
pub fn background_days(dose: Dose) -> f64 {
    dose.to_millisievert() / BACKGROUND.value * 365.25
}

/// Months of natural background with the same effective dose.
pub fn background_months(dose: Dose) -> f64 {
    dose.to_millisievert() / BACKGROUND.value * 12.0
}

/// A dose as it is printed: two decimals of a millisievert, or as many as it
/// takes, up to four, so that a very small dose is not printed as zero.
pub fn reported(dose: Dose) -> Reported {
    let value = dose.to_millisievert();
    let enough = |decimals: u8| {
        (Reported::round(value, decimals, Unit::Millisievert).value() - value).abs() < 1e-9
    };
    let decimals = (2..=4).find(|d| enough(*d)).unwrap_or(4);
    Reported::round(value, decimals, Unit::Millisievert)
}

/// Effective dose for each unit of dose-area product: full spine, PA, age 13.
pub const AREA_FACTOR: Constant = Constant {
    value: 0.28,
    unit: Unit::Millisievert,
    source: Source {
        work: Some(&works::ERNST_2018),
        grade: Grade::Computed,
        note: "0.28 mSv for each Gy.cm2, full spine, PA, at 13 years",
    },
};

/// Completed years for which the factor is used: 13, and a year to each side
/// (our own choice).
pub const AREA_AGES: std::ops::RangeInclusive<u32> = 12..=14;

/// The effective dose of a full-spine PA film at about 13 years; `None` at
/// another age.
pub fn from_area(product: AreaDose, completed_years: u32) -> Option<Dose> {
    let dose = product.to_gray_square_centimetres() * AREA_FACTOR.value;
    AREA_AGES.contains(&completed_years).then(|| Dose::millisievert(dose))
}

/// What one examination of the spine usually gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Usual {
    /// Lowest published effective dose.
    pub low: Reported,
    /// Highest.
    pub high: Reported,
}

/// Where the usual doses come from.
pub const USUAL_SOURCE: Source = Source::read(
    &works::PACE_2013,
    "one examination: below 7 years 0.03 to 0.54 mSv, 7 to 12 0.11 to 0.80, 13 to 18 0.17 to 1.09",
);

/// The published range at an age in completed years; `None` above 18.
pub fn usual(completed_years: u32) -> Option<Usual> {
    let (low, high) = match completed_years {
        0..=6 => (0.03, 0.54),
        7..=12 => (0.11, 0.80),
        13..=18 => (0.17, 1.09),
        _ => return None,
    };
    let dose = |v| Reported::round(v, 2, Unit::Millisievert);
    Some(Usual { low: dose(low), high: dose(high) })
}

/// Where a dose lies against the usual ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// Less than the usual range: digital films and slot scanners.
    Below,
    /// Within it, bounds included.
    Within,
    /// Above it.
    Above,
}

impl Against {
    /// The word of the closed set.
    pub fn word(self) -> &'static str {
        match self {
            Against::Below => "below",
            Against::Within => "within",
            Against::Above => "above",
        }
    }
}

impl Usual {
    /// Where a dose lies.
    pub fn place(&self, dose: Reported) -> Against {
        match (dose.compare(self.low).is_lt(), dose.compare(self.high).is_gt()) {
            (true, _) => Against::Below,
            (_, true) => Against::Above,
            _ => Against::Within,
        }
    }
}

/// From how many times the upper end of the usual range a dose is taken for a
/// slip of the pen; our own choice, above every published film of the spine.
pub const FAR_ABOVE: f64 = 2.0;

/// Below this a dose is taken for a slip of the pen, in mSv: the smallest
/// published, of a slot scanner, is 0.0026 with a deviation of 0.0005.
pub const FAR_BELOW: Constant = Constant {
    value: 0.001,
    unit: Unit::Millisievert,
    source: Source::read(&works::HUI_2016, "slot scanner 2.6 uSv, standard deviation 0.5"),
};

/// Whether a dose of a spine film is so far from every published one that it
/// is a slip; above 18 years only a dose far too small is.
pub fn implausible(dose: Dose, completed_years: u32) -> bool {
    let value = dose.to_millisievert();
    let far = usual(completed_years).is_some_and(|u| value > u.high.value() * FAR_ABOVE);
    value < FAR_BELOW.value || far
}

/// Whole months from one day to a later one, as protocols count them.
pub fn months_between(earlier: NaiveDate, later: NaiveDate) -> u32 {
    let mut months = (years_between(earlier, later) * 12.0).max(0.0) as u32 + 1;
    while months > 0 && earlier + chrono::Months::new(months) > later {
        months -= 1;
    }
    months
}
