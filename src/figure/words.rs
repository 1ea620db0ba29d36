//! Words of figures in the letter's language, English unless replaced.
//!
//! Sentences are patterns with named places, `{value} on {date}`; a place is
//! filled once, and what fills it is never read as a pattern again.

use chrono::NaiveDate;

use crate::letter::language::ENGLISH;
use crate::letter::locale::{self, DateForm, Forms, Locale};
use crate::quantity::Reported;

/// How dates and numbers are written: as in the letter around the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    locale: Locale,
}

impl Default for Calendar {
    fn default() -> Self {
        Calendar::of(&ENGLISH.locale(None, crate::case::DateStyle::DayMonthYear))
    }
}

impl Calendar {
    /// As a place writes them.
    pub fn of(locale: &Locale) -> Calendar {
        Calendar { locale: locale.clone() }
    }

    /// A date in words, such as `4 March 2026`.
    pub fn date(&self, day: NaiveDate) -> String {
        locale::date(day, DateForm::Day, &self.locale)
    }

    /// A month on an axis, such as `Mar`.
    pub fn month(&self, month: u32) -> String {
        locale::short_month(month, &self.locale)
    }

    /// The digits of a number, such as `16.5`.
    pub fn digits(&self, value: Reported) -> String {
        locale::digits(value, &self.locale)
    }
}

/// Words of one kind of figure: English by default.
pub trait Worded: Default {
    /// The same in Spanish.
    fn spanish() -> Self;

    /// Takes over how the letter writes dates and numbers.
    fn write_as(&mut self, _calendar: &Calendar) {}
}

/// How an angle is spoken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// One degree: `{n} degree`.
    pub degree: String,
    /// Any other number: `{n} degrees`.
    pub degrees: String,
    /// Before a number below zero, in place of the sign.
    pub minus: String,
    /// How numbers are written.
    pub calendar: Calendar,
}

impl Default for Spoken {
    fn default() -> Self {
        Spoken {
            degree: "{n} degree".into(),
            degrees: "{n} degrees".into(),
            minus: "minus ".into(),
            calendar: Calendar::default(),
        }
    }
}

impl Spoken {
    /// An angle in words for a reader who listens: `minus 3 degrees`.
    pub fn angle(&self, value: Reported) -> String {
        let forms = Forms::new(self.degree.as_str(), self.degrees.as_str());
        let pattern = forms.of(locale::category(value, &self.calendar.locale));
        let sign = if value.sign() < 0 { self.minus.as_str() } else { "" };
        let n = format!("{sign}{}", self.calendar.digits(value.abs()));
        fill(pattern, &[("n", n)])
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
    use crate::quantity::Unit;

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
