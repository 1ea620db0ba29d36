//! How fast a length grows, and how surely that is known.
//!
//! Both ends of a velocity are measured, so their errors add: with a standard
//! deviation s of one measurement, the difference of two lies within
//! 1.96·√2·s of the truth in 95 of 100 cases, and the yearly velocity within
//! that over the interval in years. Over short intervals the error is larger
//! than the growth, which is why an interval is asked for.

use std::fmt;

use chrono::{Months, NaiveDate};

use crate::course::trend::Dated;
use crate::evidence::{Constant, Grade, Source, works};
use crate::quantity::date::years_between;
use crate::quantity::{Reported, Unit, math};

/// Fewest months between two measurements for a yearly velocity, unless the
/// clinic sets another. Our own choice: with the error below, half a year
/// leaves about 1.7 cm a year either way, three months 3.3.
pub const VELOCITY_MONTHS: u32 = 6;

/// Standard deviation of one measurement of a length in millimetres, unless
/// the clinic sets another. Our own choice: what a trained examiner with a
/// wall scale is usually credited with; no study was read.
pub const MEASUREMENT_SD: f64 = 3.0;

/// Where the two defaults come from.
pub const DEFAULT_SOURCE: Source =
    Source::common_practice("our own choice; a clinic sets its own from repeated measurements");

/// Where velocity and its uncertainty come from.
pub const VELOCITY_SOURCE: Source = Source::definition(
    "difference of the reported lengths over years of 365.25 days; 95 %: 1.96 x sqrt 2 x SD of one measurement over those years",
);

/// Factor of a 95 % interval for the difference of two measurements.
fn difference_factor() -> f64 {
    1.96 * math::sqrt(2.0)
}

/// Half the 95 % interval of the difference of two measurements, in the unit
/// of the standard deviation of one.
pub fn difference_limit(sd: f64) -> f64 {
    difference_factor() * sd
}

/// A yearly velocity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Velocity {
    /// Centimetres a year, one decimal.
    pub per_year: Reported,
    /// The same before rounding.
    pub exact: f64,
    /// Half the 95 % interval, one decimal.
    pub uncertainty: Reported,
    /// Completed months between the measurements.
    pub months: u32,
}

/// Why there is no velocity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooClose {
    /// Days between the two.
    pub days: i64,
    /// Months that are asked for.
    pub months: u32,
}

impl fmt::Display for TooClose {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let TooClose { days, months } = self;
        write!(
            f,
            "{days} days between the measurements, fewer than the {months} months for a velocity"
        )
    }
}

/// Completed calendar months from one day to a later one; 0 if it is earlier.
pub fn months_between(from: NaiveDate, to: NaiveDate) -> u32 {
    let mut months = 0;
    while from.checked_add_months(Months::new(months + 1)).is_some_and(|day| day <= to) {
        months += 1;
    }
    months
}

/// The velocity between two lengths reported in centimetres; `sd` is that of
/// one measurement, in millimetres.
pub fn velocity(
    earlier: Dated,
    later: Dated,
    fewest_months: u32,
    sd: f64,
) -> Result<Velocity, TooClose> {
    let months = months_between(earlier.on, later.on);
    let years = years_between(earlier.on, later.on);
    if months < fewest_months || years <= 0.0 {
        let days = later.on.signed_duration_since(earlier.on).num_days();
        return Err(TooClose { days, months: fewest_months });
    }
    let exact = later.value.minus(earlier.value).value() / years;
    let per_year = |value| Reported::round(value, 1, Unit::CentimetrePerYear);
    Ok(Velocity {
        per_year: per_year(exact),
        exact,
        uncertainty: per_year(difference_limit(sd) / 10.0 / years),
        months,
    })
}

/// Mean peak height velocity of girls, in cm a year.
pub const PEAK_GIRLS: Constant = Constant {
    value: 7.43,
    unit: Unit::CentimetrePerYear,
    source: Source::read(&works::PEAK_HEIGHT, "girls: 7.43 (SD 1.45) cm a year"),
};

/// Mean age of girls at peak height velocity, in years.
pub const PEAK_AGE_GIRLS: Constant = Constant {
    value: 11.9,
    unit: Unit::Year,
    source: Source::read(&works::PEAK_HEIGHT, "girls: at 11.9 (SD 0.86) years"),
};

/// Standard deviation of that age, in years.
pub const PEAK_AGE_SD_GIRLS: Constant = Constant {
    value: 0.86,
    unit: Unit::Year,
    source: Source::read(&works::PEAK_HEIGHT, "girls: at 11.9 (SD 0.86) years"),
};

/// Mean age at the first period, in years.
pub const MENARCHE_AGE: Constant = Constant {
    value: 12.57,
    unit: Unit::Year,
    source: Source::read(&works::PEAK_HEIGHT, "first period at 12.57 years on average"),
};

/// Growth still to come when puberty begins, in cm: standing height, trunk, legs.
#[derive(Debug, Clone, Copy)]
pub struct GrowthLeft {
    /// Bone age at which puberty begins, in years.
    pub from_bone_age: f64,
    /// Standing height.
    pub total: f64,
    /// Of it the trunk.
    pub trunk: f64,
    /// Of it the legs.
    pub legs: f64,
    /// Where that was read.
    pub source: Source,
}

/// Girls from the beginning of puberty.
pub const LEFT_GIRLS: GrowthLeft = GrowthLeft {
    from_bone_age: 11.0,
    total: 20.5,
    trunk: 12.0,
    legs: 8.5,
    source: Source::read(&works::DIMEGLIO_GROWTH, "girls: 20.5 cm, trunk 12, legs 8.5"),
};

/// Boys from the beginning of puberty.
pub const LEFT_BOYS: GrowthLeft = GrowthLeft {
    from_bone_age: 13.0,
    total: 22.5,
    trunk: 13.0,
    legs: 9.5,
    source: Source::read(
        &works::DIMEGLIO_GROWTH,
        "boys: 22.5 cm, trunk 13, legs 9.5; Dimeglio 2011 divides it 12.5 and 10",
    ),
};

/// Where the beginning and length of puberty come from.
pub const PUBERTY_SOURCE: Source = Source {
    work: Some(&works::DIMEGLIO_2013),
    grade: Grade::Read,
    note: "puberty begins at a bone age of 11 (girls) or 13 (boys): 2 years of acceleration, 3 of deceleration",
};
