//! Casts in series: how many, and how many days each was on.
//!
//! A cast is on from the day it was applied until the day it came off or the
//! next one was put on; the day of the change belongs to the new one, so the
//! days of a series without a gap add up to its length.

use chrono::NaiveDate;

use crate::quantity::date::days_between;

/// What happened on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// A cast was put on.
    Applied,
    /// The cast came off.
    Removed,
}

/// One cast of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cast {
    /// The day it was put on.
    pub on: NaiveDate,
    /// The day it came off; `None` while it is still on.
    pub off: Option<NaiveDate>,
}

impl Cast {
    /// Days it was on; `None` while it is still on.
    pub fn days(self) -> Option<i64> {
        self.off.map(|off| days_between(self.on, off))
    }
}

/// The casts of a series from what happened, given by date. `ended` is the
/// last day of the treatment; it takes off a cast that nothing else took off.
pub fn casts(events: &[(NaiveDate, Event)], ended: Option<NaiveDate>) -> Vec<Cast> {
    let mut series: Vec<Cast> = Vec::new();
    for (day, event) in events {
        if let Some(last) = series.last_mut().filter(|cast| cast.off.is_none()) {
            last.off = Some(*day);
        }
        if *event == Event::Applied {
            series.push(Cast { on: *day, off: None });
        }
    }
    if let Some(last) = series.last_mut().filter(|cast| cast.off.is_none()) {
        last.off = ended.filter(|end| last.on <= *end);
    }
    series
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    #[test]
    fn days_run_from_one_cast_to_the_next() {
        let events = [
            (day("2024-01-01"), Event::Applied),
            (day("2024-03-11"), Event::Applied),
            (day("2024-05-20"), Event::Removed),
            (day("2024-06-03"), Event::Applied),
        ];
        let series = casts(&events, None);
        let days: Vec<_> = series.iter().map(|cast| cast.days()).collect();
        // 31 + 29 + 10 and 20 + 30 + 20 days, counted on the calendar.
        assert_eq!(days, [Some(70), Some(70), None]);
        let ended = casts(&events, Some(day("2024-06-10")));
        assert_eq!(ended[2].days(), Some(7));
    }

    #[test]
    fn a_removal_without_a_cast_is_none() {
        assert!(casts(&[(day("2024-01-01"), Event::Removed)], None).is_empty());
    }
}
