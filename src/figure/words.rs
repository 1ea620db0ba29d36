//! Words of figures in the letter's language, English unless replaced.
//!
//! Sentences are patterns with named places, `{value} on {date}`; a place is
//! filled once, and what fills it is never read as a pattern again.

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

use crate::quantity::{Reported, Unit};

/// Months and how dates are written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Calendar {
    /// The twelve months, January first.
    pub months: Vec<String>,
    /// Their short forms for an axis.
    pub short: Vec<String>,
    /// A date with the places `{day}`, `{month}` and `{year}`.
    pub date: String,
}

impl Default for Calendar {
    fn default() -> Self {
        let months = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        Calendar {
            short: months.iter().map(|m| m[..3].to_owned()).collect(),
            months: months.map(str::to_owned).to_vec(),
            date: "{day} {month} {year}".into(),
        }
    }
}

impl Calendar {
    /// A date in words, such as `4 March 2026`.
    pub fn date(&self, day: NaiveDate) -> String {
        let values = [
            ("day", day.day().to_string()),
            ("month", named(&self.months, day.month())),
            ("year", day.year().to_string()),
        ];
        fill(&self.date, &values)
    }

    /// A month on an axis, such as `Mar`.
    pub fn month(&self, month: u32) -> String {
        named(&self.short, month)
    }
}

/// A month's name, or its number where the list is too short.
fn named(names: &[String], month: u32) -> String {
    names.get(month as usize - 1).cloned().unwrap_or_else(|| month.to_string())
}

/// How an angle is spoken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spoken {
    /// One degree: `{n} degree`.
    pub degree: String,
    /// Any other number: `{n} degrees`.
    pub degrees: String,
    /// Before a number below zero, in place of the sign.
    pub minus: String,
}

impl Default for Spoken {
    fn default() -> Self {
        Spoken {
            degree: "{n} degree".into(),
            degrees: "{n} degrees".into(),
            minus: "minus ".into(),
        }
    }
}

impl Spoken {
    /// An angle in words for a reader who listens: `minus 3 degrees`.
    pub fn angle(&self, value: Reported) -> String {
        let one = value.abs() == Reported::whole(1, Unit::Degree);
        let sign = if value.sign() < 0 { self.minus.as_str() } else { "" };
        let n = format!("{sign}{}", value.abs().digits());
        fill(if one { &self.degree } else { &self.degrees }, &[("n", n)])
    }
}

/// Fills the named places of a pattern in one pass; an unknown place stays.
pub(super) fn fill(pattern: &str, values: &[(&str, String)]) -> String {
    let mut out = String::new();
    let mut rest = pattern;
    while let Some(open) = rest.find('{') {
        out.push_str(&rest[..open]);
        rest = &rest[open..];
        let found = values.iter().find(|(name, _)| {
            rest[1..].strip_prefix(name).is_some_and(|after| after.starts_with('}'))
        });
        match found {
            Some((name, value)) => {
                out.push_str(value);
                rest = &rest[name.len() + 2..];
            }
            None => {
                out.push('{');
                rest = &rest[1..];
            }
        }
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filled_place_is_not_read_again() {
        let values = [("a", "{b}".to_owned()), ("b", "no".to_owned())];
        assert_eq!(fill("{a} {c} {", &values), "{b} {c} {");
    }

    #[test]
    fn angles_and_dates_are_spoken() {
        let spoken = Spoken::default();
        assert_eq!(spoken.angle(Reported::whole(-3, Unit::Degree)), "minus 3 degrees");
        assert_eq!(spoken.angle(Reported::whole(1, Unit::Degree)), "1 degree");
        let day = NaiveDate::from_ymd_opt(2026, 3, 4).unwrap();
        assert_eq!(Calendar::default().date(day), "4 March 2026");
    }
}
