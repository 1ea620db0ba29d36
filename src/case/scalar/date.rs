//! Dates as typed: ISO only, never guessed.

use chrono::NaiveDate;

use super::Fault;
use crate::case::field::Precision;
use crate::case::suggest::quote;
use crate::diag::Code;
use crate::quantity::PartialDate;

/// Years a record can speak of; outside, it is a slip of the pen.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// Reads an ISO date that is at least as precise as asked.
pub fn date(text: &str, precision: Precision) -> Result<PartialDate, Fault> {
    let Some(date) = PartialDate::parse(text) else { return Err(explain(text)) };
    let (year, lacks) = match date {
        PartialDate::Year(y) => (y, (precision != Precision::Year).then_some("month")),
        PartialDate::Month(y, _) => (y, (precision == Precision::Day).then_some("day")),
        PartialDate::Day(day) => (chrono::Datelike::year(&day), None),
    };
    if !YEARS.contains(&year) {
        let message = format!("{text} is in the year {year}");
        return Err(Fault::new(Code::ImpossibleDate, message).remedy("mend the year"));
    }
    if let Some(lacks) = lacks {
        let message = format!("{text} has no {lacks}");
        let form = if precision == Precision::Day { "2024-11-04" } else { "2024-11" };
        let remedy = format!("add the {lacks}, as in {form}");
        return Err(Fault::new(Code::BadDate, message).remedy(remedy));
    }
    Ok(date)
}

/// Three numbers between two equal separators, as texts.
fn three(text: &str) -> Option<[&str; 3]> {
    let separator = text.chars().find(|c| !c.is_ascii_digit())?;
    let parts: Vec<&str> = text.split(separator).map(str::trim).collect();
    let parts: [&str; 3] = parts.try_into().ok()?;
    let digits = |p: &&str| (1..=4).contains(&p.len()) && p.bytes().all(|b| b.is_ascii_digit());
    (['-', '/', '.', ' '].contains(&separator) && parts.iter().all(digits)).then_some(parts)
}

fn real(year: &str, month: &str, day: &str) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

fn explain(text: &str) -> Fault {
    let fault = Fault::new(Code::BadDate, format!("{} is not an ISO date", quote(text)));
    let Some([a, b, c]) = three(text) else { return fault };
    if a.len() == 4 {
        return match real(a, b, c) {
            Some(day) => fault.remedy(format!("write {day}")),
            None => impossible(text, a, b),
        };
    }
    match (real(c, b, a), real(c, a, b)) {
        _ if c.len() != 4 => fault,
        (Some(d), Some(m)) if d != m => {
            fault.remedy(format!("it may be read as {d} or {m}: write the one that is meant"))
        }
        (Some(day), _) | (None, Some(day)) => fault.remedy(format!("write {day}")),
        (None, None) => fault,
    }
}

fn impossible(text: &str, year: &str, month: &str) -> Fault {
    let first = real(year, month, "1").map(PartialDate::Day);
    let days = first.and_then(|f| match f {
        PartialDate::Day(d) => {
            let month = PartialDate::Month(chrono::Datelike::year(&d), chrono::Datelike::month(&d));
            Some(chrono::Datelike::day(&month.last_day()))
        }
        _ => None,
    });
    let message = match days {
        Some(days) => format!("{text} does not exist: that month has {days} days"),
        None => format!("{text} does not exist: there is no month {month}"),
    };
    Fault::new(Code::ImpossibleDate, message)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(text: &str) -> (Code, String, String) {
        let fault = date(text, Precision::Day).unwrap_err();
        (fault.code, fault.message, fault.remedy.unwrap_or_default())
    }

    #[test]
    fn what_is_no_iso_date_is_explained() {
        assert_eq!(
            fault("04/03/2026"),
            (
                Code::BadDate,
                "`04/03/2026` is not an ISO date".into(),
                "it may be read as 2026-03-04 or 2026-04-03: write the one that is meant".into()
            )
        );
        assert_eq!(fault("31.3.2026").2, "write 2026-03-31");
        assert_eq!(fault("2024-2-3").2, "write 2024-02-03");
        assert_eq!(fault("2024-02-30").1, "2024-02-30 does not exist: that month has 29 days");
        assert_eq!(fault("2024-13-01").1, "2024-13-01 does not exist: there is no month 13");
        assert_eq!(fault("2024-10").1, "2024-10 has no day");
        assert_eq!(fault("0204-11-04").0, Code::ImpossibleDate);
        assert_eq!(fault("spring").0, Code::BadDate);
        assert_eq!(date("2024", Precision::Month).unwrap_err().message, "2024 has no month");
        assert!(date("2024", Precision::Year).is_ok());
    }
}
