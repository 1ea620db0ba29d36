//! One time of a log: ISO forms and dotted days without a pattern, all others
//! by the pattern that the case gives.

use chrono::NaiveDate;
use chrono::format::{Item, Parsed, StrftimeItems, parse};

use super::Spec;
use crate::case::suggest::quote;
use crate::diag::{Code, Report};

/// A time as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stamp {
    /// With its offset from UTC, both in seconds: an instant.
    Instant {
        /// Seconds since 1970-01-01 00:00 UTC.
        at: i64,
        /// Seconds east of UTC.
        offset: i64,
    },
    /// As a clock on the wall shows it: seconds since 1970-01-01 00:00 there.
    Local(i64),
}

impl Stamp {
    /// Seconds by which times of one log can be put in order.
    pub(super) fn rough(self) -> i64 {
        match self {
            Stamp::Instant { at, .. } | Stamp::Local(at) => at,
        }
    }
}

/// How times are written.
#[derive(Debug)]
pub(super) enum Format<'a> {
    /// A form that can be read in one way alone.
    Plain,
    /// By a pattern.
    Pattern(&'a str, Vec<Item<'a>>),
}

/// Years in which sensors log; another year is a clock that was never set.
const YEARS: std::ops::RangeInclusive<i32> = 2000..=2099;

/// The format the case asks for; a faulty pattern is reported.
pub(super) fn format<'a>(spec: &'a Spec, report: &mut Report) -> Option<Format<'a>> {
    let Some(pattern) = &spec.time_format else { return Some(Format::Plain) };
    let items: Vec<Item> = StrftimeItems::new(pattern).collect();
    if items.iter().any(|item| matches!(item, Item::Error)) || !pattern.contains('%') {
        let message = format!("{} is not a pattern of times", quote(pattern));
        report.add(Code::TimeFormat, &pattern.place, message);
        return None;
    }
    Some(Format::Pattern(pattern, items))
}

/// Reads one time, or says why it is none.
pub(super) fn stamp(text: &str, format: &Format) -> Result<Stamp, String> {
    let stamp = match format {
        Format::Plain => plain(text.as_bytes()).ok_or_else(|| {
            let why = "is no time as 2026-03-01 14:30; other forms need `time_format:`";
            format!("{} {why}", quote(text))
        })?,
        Format::Pattern(pattern, items) => by_pattern(text, items).ok_or_else(|| {
            format!("{} is not a time of the form {}", quote(text), quote(pattern))
        })?,
    };
    let year = i32::try_from(1970 + stamp.rough().div_euclid(31_556_952)).unwrap_or(0);
    if !YEARS.contains(&year) {
        return Err(format!("{} lies before 2000 or after 2099", quote(text)));
    }
    Ok(stamp)
}

fn by_pattern(text: &str, items: &[Item]) -> Option<Stamp> {
    let mut parsed = Parsed::new();
    parse(&mut parsed, text.trim(), items.iter()).ok()?;
    let offset = i64::from(parsed.offset().unwrap_or(0));
    if parsed.timestamp().is_some() || parsed.offset().is_some() {
        let local = parsed.to_naive_datetime_with_offset(offset as i32).ok()?;
        let at = local.and_utc().timestamp() - offset;
        return Some(Stamp::Instant { at, offset });
    }
    let local = parsed.to_naive_datetime_with_offset(0).ok()?;
    Some(Stamp::Local(local.and_utc().timestamp()))
}

/// `2026-03-01 14:30`, `2026-03-01T14:30:00.5+01:00`, `2026/03/01 14:30`,
/// `01.03.2026 14:30`: the forms in which day and month cannot be exchanged.
fn plain(text: &[u8]) -> Option<Stamp> {
    let text = text.trim_ascii();
    let (date, rest) = text.split_at_checked(10)?;
    let day = match (date[4], date[7], date[2], date[5]) {
        (b'-', b'-', ..) | (b'/', b'/', ..) => ymd(&date[0..4], &date[5..7], &date[8..10])?,
        (_, _, b'.', b'.') => ymd(&date[6..10], &date[3..5], &date[0..2])?,
        _ => return None,
    };
    let rest = rest.strip_prefix(b"T").or_else(|| rest.strip_prefix(b" "))?.trim_ascii_start();
    let (clock, rest) = rest.split_at_checked(5)?;
    let (hour, minute) = (digits(&clock[0..2])?, digits(&clock[3..5])?);
    let (second, rest) = seconds(rest)?;
    if clock[2] != b':' || hour > 23 || minute > 59 || second > 60 {
        return None;
    }
    let local = day * 86_400 + hour * 3600 + minute * 60 + second;
    match offset(rest.trim_ascii())? {
        Some(offset) => Some(Stamp::Instant { at: local - offset, offset }),
        None => Some(Stamp::Local(local)),
    }
}

/// Days from 1970-01-01 to a date.
fn ymd(year: &[u8], month: &[u8], day: &[u8]) -> Option<i64> {
    let (year, month, day) = (digits(year)?, digits(month)?, digits(day)?);
    let date = NaiveDate::from_ymd_opt(year as i32, month as u32, day as u32)?;
    Some(date.signed_duration_since(NaiveDate::default()).num_days())
}

fn digits(text: &[u8]) -> Option<i64> {
    text.iter().try_fold(0, |n, b| b.is_ascii_digit().then(|| n * 10 + i64::from(b - b'0')))
}

/// Seconds with a fraction that is dropped: a sample a minute is the finest
/// that wear is logged in.
fn seconds(text: &[u8]) -> Option<(i64, &[u8])> {
    let Some(rest) = text.strip_prefix(b":") else { return Some((0, text)) };
    let (second, rest) = rest.split_at_checked(2)?;
    let rest = match rest {
        [b'.' | b',', fraction @ ..] => {
            let end = fraction.iter().position(|b| !b.is_ascii_digit()).unwrap_or(fraction.len());
            &fraction[end..]
        }
        _ => rest,
    };
    Some((digits(second)?, rest))
}

/// `Z`, `+01:00`, `+0100`, `+01`, or nothing.
fn offset(text: &[u8]) -> Option<Option<i64>> {
    let (sign, rest) = match text {
        [] => return Some(None),
        b"Z" | b"z" | b"UTC" => return Some(Some(0)),
        [b'+', rest @ ..] => (1, rest),
        [b'-', rest @ ..] => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = match rest {
        [a, b] => (digits(&[*a, *b])?, 0),
        [a, b, c, d] | [a, b, b':', c, d] => (digits(&[*a, *b])?, digits(&[*c, *d])?),
        _ => return None,
    };
    (hours <= 18 && minutes <= 59).then_some(Some(sign * (hours * 3600 + minutes * 60)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_that_read_one_way_need_no_pattern() {
        // 2026-03-01 is day 20,513 after 1970-01-01: 56 years of 365 days,
        // 14 leap days (1972 to 2024), 31 + 28 days of 2026.
        let local = 20_513 * 86_400 + 14 * 3600 + 30 * 60;
        for text in
            ["2026-03-01 14:30", "2026-03-01T14:30:00", "2026/03/01 14:30", "01.03.2026 14:30"]
        {
            assert_eq!(stamp(text, &Format::Plain), Ok(Stamp::Local(local)), "{text}");
        }
        for (text, offset) in [("Z", 0), ("+01:00", 3600), ("-0330", -12_600), (" +02", 7200)] {
            let text = format!("2026-03-01 14:30:00.250{text}");
            let instant = Stamp::Instant { at: local - offset, offset };
            assert_eq!(stamp(&text, &Format::Plain), Ok(instant), "{text}");
        }
        for bad in
            ["03/01/2026 14:30", "2026-02-30 14:30", "2026-03-01", "14:30", "1970-01-01 00:00", ""]
        {
            assert!(stamp(bad, &Format::Plain).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_pattern_reads_what_could_be_read_in_two_ways() {
        let read = |pattern, text| {
            let items = StrftimeItems::new(pattern).collect();
            stamp(text, &Format::Pattern(pattern, items)).ok()
        };
        let local = Some(Stamp::Local(20_513 * 86_400 + 14 * 3600 + 30 * 60));
        assert_eq!(read("%m/%d/%Y %I:%M %p", "03/01/2026 02:30 PM"), local);
        assert_eq!(read("%d/%m/%y %H:%M", "01/03/26 14:30"), local);
        let at = 20_513 * 86_400;
        // 20,513 x 86,400 seconds.
        assert_eq!(read("%s", "1772323200"), Some(Stamp::Instant { at, offset: 0 }));
        let east = Some(Stamp::Instant { at: at - 3600, offset: 3600 });
        assert_eq!(read("%Y%m%d %H%M%z", "20260301 0000+0100"), east);
    }
}
