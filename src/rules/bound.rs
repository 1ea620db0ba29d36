//! Bounds as typed in rule files: a number with its unit, an age.

use crate::quantity::{Age, Reported, Unit};

/// Digits before and after the decimal point that a bound may have: more than
/// any quantity of a case needs, few enough for exact sums.
const WHOLE_DIGITS: usize = 6;
const DECIMALS: usize = 3;

/// A number in exactly that unit: `25 deg`, `70 %`, and `2` without unit.
/// The fault is said so that "as the fact is" can follow.
pub(super) fn number(text: &str, unit: Unit) -> Result<Reported, String> {
    let wanted = match unit {
        Unit::One => "is not a number without unit".to_string(),
        unit => format!("is not a number in {}", unit.spellings()[0]),
    };
    let (digits, spelled) = split(text);
    let (value, decimals) = decimal(digits).ok_or(&wanted)?;
    if !unit.spellings().contains(&spelled) {
        return Err(wanted);
    }
    Ok(Reported::round(value, decimals, unit))
}

/// An age: `18 years`, `30 months`, `12 years 6 months`.
pub(super) fn age(text: &str) -> Result<Age, String> {
    let fault = || "is not an age in years or months".to_string();
    let words: Vec<&str> = text.split_whitespace().collect();
    let (years, months) = match words[..] {
        [years, "years" | "year"] => (years, "0"),
        [months, "months" | "month"] => ("0", months),
        [years, "years" | "year", months, "months" | "month"] => (years, months),
        _ => return Err(fault()),
    };
    let (years, months) = whole(years).zip(whole(months)).ok_or_else(fault)?;
    let total = years * 12 + months;
    Ok(Age { years: total / 12, months: total % 12 })
}

/// The leading number and what follows it.
fn split(text: &str) -> (&str, &str) {
    let number = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let end = text.find(|c| !number(c)).unwrap_or(text.len());
    (&text[..end], text[end..].trim())
}

/// A plain decimal number with how many decimals it was typed with: no plus,
/// no exponent, no leading zero, nothing that is not a number.
fn decimal(text: &str) -> Option<(f64, u8)> {
    let size = text.strip_prefix('-').unwrap_or(text);
    let (whole, fraction) = size.split_once('.').unwrap_or((size, "0"));
    let digits =
        |s: &str, most| !s.is_empty() && s.len() <= most && s.bytes().all(|b| b.is_ascii_digit());
    let leading_zero = whole.len() > 1 && whole.starts_with('0');
    if !digits(whole, WHOLE_DIGITS) || !digits(fraction, DECIMALS) || leading_zero {
        return None;
    }
    let decimals = if size.contains('.') { fraction.len() } else { 0 };
    Some((text.parse().ok()?, decimals as u8))
}

/// A whole number of years or months, at most three digits.
fn whole(text: &str) -> Option<u32> {
    let plain = text.len() <= 3 && !(text.len() > 1 && text.starts_with('0'));
    (plain && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_in_their_own_unit_only() {
        let deg = |text| number(text, Unit::Degree).ok();
        assert_eq!(deg("25 deg"), Some(Reported::whole(25, Unit::Degree)));
        assert_eq!(deg("-5 deg"), Some(Reported::whole(-5, Unit::Degree)));
        assert_eq!(deg("24.5 deg"), Some(Reported::round(24.5, 1, Unit::Degree)));
        for bad in [
            "25",
            "25 cm",
            "25 %",
            "deg",
            "",
            "NaN deg",
            "inf deg",
            "1e3 deg",
            "+5 deg",
            "05 deg",
            "5. deg",
            ".5 deg",
            "1.2345 deg",
            "1234567 deg",
            "5-3 deg",
            "--5 deg",
            "- deg",
            "25 deg deg",
            "２５ deg",
        ] {
            assert_eq!(deg(bad), None, "{bad}");
        }
        assert_eq!(number("2", Unit::One), Ok(Reported::whole(2, Unit::One)));
        assert!(number("2 deg", Unit::One).is_err());
        assert_eq!(number("70 %", Unit::Percent), Ok(Reported::whole(70, Unit::Percent)));
    }

    #[test]
    fn ages_are_years_months_or_both() {
        let of = |text| age(text).ok().map(|a| (a.years, a.months));
        assert_eq!(of("18 years"), Some((18, 0)));
        assert_eq!(of("30 months"), Some((2, 6)));
        assert_eq!(of("12 years 6 months"), Some((12, 6)));
        for bad in ["18", "18.5 years", "-1 years", "years", "", "9999 years", "1 years 2"] {
            assert_eq!(of(bad), None, "{bad}");
        }
    }
}
