//! Calendar dates of day, month or year precision, and ages.

use chrono::{Datelike, Months, NaiveDate};
use serde::Serialize;

/// A date as precisely as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartialDate {
    /// A year.
    Year(i32),
    /// A year and a month.
    Month(i32, u32),
    /// A day.
    Day(NaiveDate),
}

impl PartialDate {
    /// Reads `2024`, `2024-10` or `2024-10-21`; nothing else is a date.
    pub fn parse(text: &str) -> Option<PartialDate> {
        let digits = |s: &str, n: usize| {
            (s.len() == n && s.bytes().all(|b| b.is_ascii_digit()))
                .then(|| s.parse::<u32>().ok())?
        };
        let mut parts = text.split('-');
        let year = digits(parts.next()?, 4)? as i32;
        let Some(month) = parts.next() else { return Some(PartialDate::Year(year)) };
        let month = digits(month, 2).filter(|m| (1..=12).contains(m))?;
        let Some(day) = parts.next() else { return Some(PartialDate::Month(year, month)) };
        let day = digits(day, 2)?;
        if parts.next().is_some() {
            return None;
        }
        NaiveDate::from_ymd_opt(year, month, day).map(PartialDate::Day)
    }

    /// The first day it can mean.
    pub fn first_day(self) -> NaiveDate {
        match self {
            PartialDate::Year(y) => NaiveDate::from_ymd_opt(y, 1, 1),
            PartialDate::Month(y, m) => NaiveDate::from_ymd_opt(y, m, 1),
            PartialDate::Day(d) => Some(d),
        }
        .expect("a partial date holds a year and month that exist")
    }

    /// The last day it can mean.
    pub fn last_day(self) -> NaiveDate {
        match self {
            PartialDate::Year(y) => NaiveDate::from_ymd_opt(y, 12, 31).expect("year exists"),
            PartialDate::Month(..) => {
                let next = self.first_day() + Months::new(1);
                next.pred_opt().expect("a day before the first of a month exists")
            }
            PartialDate::Day(d) => d,
        }
    }
}

/// The ISO form, as precise as the date.
impl std::fmt::Display for PartialDate {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            PartialDate::Year(y) => write!(f, "{y:04}"),
            PartialDate::Month(y, m) => write!(f, "{y:04}-{m:02}"),
            PartialDate::Day(d) => write!(f, "{d}"),
        }
    }
}

/// An age in completed years and months, as letters give it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Age {
    /// Completed years.
    pub years: u32,
    /// Completed months beyond the years, 0 to 11.
    pub months: u32,
}

impl Age {
    /// The age on a day, or `None` before birth. A child born on the 31st
    /// completes a month on the last day of a shorter month.
    pub fn on(born: NaiveDate, day: NaiveDate) -> Option<Age> {
        if day < born {
            return None;
        }
        let span = (day.year() - born.year()) * 12 + day.month() as i32 - born.month() as i32;
        let mut months = span.max(0) as u32;
        if born + Months::new(months) > day {
            months -= 1;
        }
        Some(Age { years: months / 12, months: months % 12 })
    }

    /// Completed months in all.
    pub fn in_months(self) -> u32 {
        self.years * 12 + self.months
    }
}

/// Whole days from one day to another, negative if the second is earlier.
pub fn days_between(from: NaiveDate, to: NaiveDate) -> i64 {
    to.signed_duration_since(from).num_days()
}

/// Years from one day to another, of 365.25 days each.
pub fn years_between(from: NaiveDate, to: NaiveDate) -> f64 {
    days_between(from, to) as f64 / 365.25
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        PartialDate::parse(text).unwrap().first_day()
    }

    #[test]
    fn only_iso_dates_are_dates() {
        for bad in ["2024-2-3", "24-02-03", "2024-02-30", "2024/02/03", "2024-02-03T00:00", ""] {
            assert_eq!(PartialDate::parse(bad), None, "{bad}");
        }
    }

    #[test]
    fn ages_complete_on_the_birthday() {
        // Worked by hand on a calendar.
        let age = |a, b| Age::on(day(a), day(b)).map(|a| (a.years, a.months));
        assert_eq!(age("2013-03-18", "2026-10-27"), Some((13, 7)));
        assert_eq!(age("2013-03-18", "2026-03-17"), Some((12, 11)));
        assert_eq!(age("2012-02-29", "2013-02-28"), Some((1, 0)));
        assert_eq!(age("2013-03-18", "2013-03-17"), None);
    }
}
