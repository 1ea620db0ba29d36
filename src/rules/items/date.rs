//! Days that a payer counts: the useful lifetime of an item, and the days for
//! which an authorisation holds.

use chrono::{Datelike, Days, NaiveDate};

use crate::evidence::{Grade, Source};

/// Years that the useful lifetime of an orthosis lasts at least, for Medicare.
pub const LIFETIME_YEARS: u32 = 5;

/// Where the lifetime comes from; other payers may have another, or none.
pub const LIFETIME: Source = Source {
    work: None,
    grade: Grade::Read,
    note: "Medicare contractors' pages on replacement: at least 5 years from delivery; wear is no reason before, loss, irreparable damage or a changed condition may be",
};

/// The first day on which the useful lifetime of an item is over, `years`
/// after its delivery; one delivered on 29 February reaches 1 March. `None`
/// beyond the calendar.
pub fn useful_lifetime(delivered: NaiveDate, years: u32) -> Option<NaiveDate> {
    let year = delivered.year().checked_add(i32::try_from(years).ok()?)?;
    delivered.with_year(year).or_else(|| NaiveDate::from_ymd_opt(year, 3, 1))
}

/// The last day of an authorisation that holds for `days` days, the day it was
/// given counted as the first. `None` for no day, or beyond the calendar.
pub fn last_authorised_day(given: NaiveDate, days: u32) -> Option<NaiveDate> {
    given.checked_add_days(Days::new(u64::from(days.checked_sub(1)?)))
}
