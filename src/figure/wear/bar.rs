//! From days to bars: one for each day, or for each week where days would be
//! too narrow to see.

use chrono::{Datelike, Days, NaiveDate};

use super::{WearCalendar, WearDay};
use crate::figure::time::{Span, day_number};

/// A day narrower than this on paper is not seen, in mm.
const NARROWEST: f64 = 0.28;
/// Shortest span shown, so that a week does not fill the page.
const SHORTEST_DAYS: f64 = 42.0;

/// One bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bar {
    /// First day, and the day after the last.
    pub days: (f64, f64),
    /// Hours a day; absent where they cannot be told.
    pub hours: Option<f64>,
}

/// The days shown, from the first bar to the last.
pub(super) fn shown(calendar: &WearCalendar) -> Option<(NaiveDate, NaiveDate)> {
    let days = calendar.days.iter().map(|d| (d.date, d.date));
    let spans = calendar.typed.iter().map(|s| (s.from, s.to));
    let all: Vec<_> = days.chain(spans).collect();
    Some((all.iter().map(|s| s.0).min()?, all.iter().map(|s| s.1).max()?))
}

/// The scale of days between two edges; nothing without a day to show.
pub(super) fn span(calendar: &WearCalendar, left: f64, right: f64) -> Option<Span> {
    let (first, last) = shown(calendar)?;
    let (first, last) = (day_number(first), day_number(last) + 1.0);
    let spare = (SHORTEST_DAYS - (last - first)).max(0.0);
    Some(Span { left, right, days: (first, last + spare) })
}

/// Whether weeks are drawn in place of days.
pub(super) fn weekly(calendar: &WearCalendar, span: &Span) -> bool {
    let day = (span.right - span.left) / (span.days.1 - span.days.0);
    !calendar.days.is_empty() && day < NARROWEST
}

/// The bars of the log, by date.
pub(super) fn bars(calendar: &WearCalendar, span: &Span) -> Vec<Bar> {
    if weekly(calendar, span) {
        let weeks = calendar.days.chunk_by(|a, b| monday(a) == monday(b));
        return weeks.map(week).collect();
    }
    let day = |d: &WearDay| {
        let start = day_number(d.date);
        Bar { days: (start, start + 1.0), hours: d.hours.map(|h| h.value()) }
    };
    calendar.days.iter().map(day).collect()
}

fn monday(day: &WearDay) -> NaiveDate {
    day.date - Days::new(u64::from(day.date.weekday().num_days_from_monday()))
}

/// The mean of a week's counted days, if at least half of its days count.
fn week(days: &[WearDay]) -> Bar {
    let counted: Vec<f64> = days.iter().filter_map(|d| Some(d.hours?.value())).collect();
    let enough = !counted.is_empty() && counted.len() * 2 >= days.len();
    let mean = counted.iter().sum::<f64>() / counted.len() as f64;
    let (first, last) = (day_number(days[0].date), day_number(days[days.len() - 1].date));
    Bar { days: (first, last + 1.0), hours: enough.then_some(mean) }
}

/// Bars that follow each other without a break and are of one kind: told,
/// with or without wear, or not to be told.
pub(super) fn runs(bars: &[Bar]) -> Vec<&[Bar]> {
    let kind = |bar: &Bar| bar.hours.map(|hours| hours > 0.0);
    bars.chunk_by(|a, b| a.days.1 == b.days.0 && kind(a) == kind(b)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::wear::{WearTold, WearWords};
    use crate::quantity::{Reported, Unit};

    fn log(hours: &[Option<f64>]) -> WearCalendar {
        // 2 March 2026 is a Monday.
        let first = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
        let day = |(n, hours): (usize, &Option<f64>)| WearDay {
            date: first + Days::new(n as u64),
            hours: hours.map(|h| Reported::round(h, 1, Unit::HourPerDay)),
        };
        WearCalendar {
            days: hours.iter().enumerate().map(day).collect(),
            typed: Vec::new(),
            steps: Vec::new(),
            ended: None,
            told: WearTold::default(),
            words: WearWords::default(),
        }
    }

    #[test]
    fn a_week_is_the_mean_of_what_counts_or_unknown() {
        let mut hours = vec![None; 14];
        for (at, value) in [(0, 10.0), (1, 14.0), (2, 0.0), (6, 16.0), (7, 12.0)] {
            hours[at] = Some(value);
        }
        let log = log(&hours);
        // 2 mm for 42 days are 0.05 mm a day: weeks. Four of seven days: (10 + 14 + 0 + 16) / 4;
        // one of seven says nothing.
        let narrow = span(&log, 0.0, 2.0).unwrap();
        let weeks: Vec<_> = bars(&log, &narrow).iter().map(|b| b.hours).collect();
        assert_eq!(weeks, [Some(10.0), None]);
        let wide = span(&log, 0.0, 60.0).unwrap();
        assert_eq!(bars(&log, &wide).len(), 14);
    }

    #[test]
    fn unknown_and_zero_are_runs_of_their_own() {
        let log = log(&[Some(9.0), Some(11.0), Some(0.0), None, None, Some(8.0)]);
        let all = bars(&log, &span(&log, 0.0, 60.0).unwrap());
        let lengths: Vec<_> = runs(&all).iter().map(|run| run.len()).collect();
        assert_eq!(lengths, [2, 1, 2, 1]);
    }
}
