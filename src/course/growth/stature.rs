//! The public table of heights by age, 2 to 20 years.
//!
//! The data are `templates/rules/growth/cdc-stature.csv`: standing height of
//! boys and girls from 24 to 240 months, a row each half-month
//! ([`CDC_2000`](works::CDC_2000)). Between two rows L, M and S are taken in
//! proportion (linear interpolation; our own choice, the table does not say).
//! Below 24 months children are measured lying, by another table that is not
//! held here; above 240 months there are no rows. Outside, nothing is
//! extrapolated.

use std::fmt;
use std::sync::LazyLock;

use chrono::NaiveDate;

use super::lms::Lms;
use crate::evidence::{Source, works};
use crate::quantity::date::days_between;

/// Where the table comes from.
pub const STATURE_SOURCE: Source = Source::read(
    &works::CDC_2000,
    "table of stature for age, 24 to 240 months; between half-months L, M and S in proportion",
);

/// Days of a month of the table: a twelfth of 365.25.
const DAYS_A_MONTH: f64 = 30.4375;

/// Whose table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum ReferenceSex {
    Boys,
    Girls,
}

/// An age the table does not hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutsideTable {
    /// Below 24 months.
    Below,
    /// Above 240 months.
    Above,
}

impl fmt::Display for OutsideTable {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            OutsideTable::Below => {
                "the table of standing heights begins at 24 months; lengths before are not covered"
            }
            OutsideTable::Above => "the table of heights ends at 240 months",
        })
    }
}

/// One row as published.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Boys or girls.
    pub sex: ReferenceSex,
    /// Age in months.
    pub months: f64,
    /// Its parameters.
    pub lms: Lms,
    /// Published heights in cm at the centiles [`PUBLISHED_CENTILES`].
    pub centiles: [f64; 9],
}

/// The centiles that the table prints beside L, M and S.
pub const PUBLISHED_CENTILES: [f64; 9] = [3.0, 5.0, 10.0, 25.0, 50.0, 75.0, 90.0, 95.0, 97.0];

static TABLE: LazyLock<Vec<Row>> =
    LazyLock::new(|| read(include_str!("../../../templates/rules/growth/cdc-stature.csv")));

/// Every row, boys first, by age.
pub fn rows() -> &'static [Row] {
    &TABLE
}

/// Reads the table; a test holds its number of rows, so a line that is not
/// one cannot be lost unseen.
fn read(text: &str) -> Vec<Row> {
    text.lines().filter(|line| line.starts_with(['1', '2'])).filter_map(row).collect()
}

fn row(line: &str) -> Option<Row> {
    let fields: Vec<f64> = line.split(',').map(|f| f.trim().parse().ok()).collect::<Option<_>>()?;
    let [sex, months, l, m, s, centiles @ ..] = fields.as_slice() else { return None };
    Some(Row {
        sex: if *sex == 1.0 { ReferenceSex::Boys } else { ReferenceSex::Girls },
        months: *months,
        lms: Lms { l: *l, m: *m, s: *s },
        centiles: centiles.try_into().ok()?,
    })
}

/// An age in months of the table: days over 30.4375.
pub fn months_of_age(born: NaiveDate, on: NaiveDate) -> f64 {
    days_between(born, on) as f64 / DAYS_A_MONTH
}

/// The parameters of standing height in cm at an age in months.
pub fn stature(sex: ReferenceSex, months: f64) -> Result<Lms, OutsideTable> {
    let of_sex: Vec<&Row> = rows().iter().filter(|r| r.sex == sex).collect();
    let after = of_sex.partition_point(|r| r.months < months);
    match (after.checked_sub(1).map(|i| of_sex[i]), of_sex.get(after)) {
        (_, Some(row)) if row.months == months => Ok(row.lms),
        (None, _) => Err(OutsideTable::Below),
        (_, None) => Err(OutsideTable::Above),
        (Some(low), Some(high)) => Ok(between(low, high, months)),
    }
}

fn between(low: &Row, high: &Row, months: f64) -> Lms {
    let share = (months - low.months) / (high.months - low.months);
    let mix = |a: f64, b: f64| a + share * (b - a);
    let (low, high) = (low.lms, high.lms);
    Lms { l: mix(low.l, high.l), m: mix(low.m, high.m), s: mix(low.s, high.s) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole() {
        // 24, 24.5, 25.5 ... 239.5 and 240 months: 218 rows a sex.
        for sex in [ReferenceSex::Boys, ReferenceSex::Girls] {
            let ages: Vec<f64> = rows().iter().filter(|r| r.sex == sex).map(|r| r.months).collect();
            assert_eq!(ages.len(), 218);
            assert!(ages.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }

    #[test]
    fn outside_the_table_there_is_nothing() {
        let girls = |months| stature(ReferenceSex::Girls, months);
        assert_eq!(girls(23.99), Err(OutsideTable::Below));
        assert!(girls(24.0).is_ok() && girls(240.0).is_ok());
        assert_eq!(girls(240.01), Err(OutsideTable::Above));
        assert_eq!(girls(-1.0), Err(OutsideTable::Below));
    }
}
