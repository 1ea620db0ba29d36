//! Numbers with units as typed: `21 deg`, `0.143 mm/px`, `6/10`.

use super::Fault;
use crate::case::field::Amount;
use crate::case::suggest::quote;
use crate::diag::Code;
use crate::quantity::{Reported, Unit};

/// A number as typed, with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// The value in that unit.
    pub value: f64,
    /// How many decimals were typed.
    pub decimals: u8,
    /// The unit typed.
    pub unit: Unit,
}

impl Number {
    /// The value in another unit of the same dimension.
    pub fn in_unit(self, unit: Unit) -> f64 {
        match (self.unit, unit) {
            (Unit::Centimetre, Unit::Millimetre) => self.value * 10.0,
            (Unit::Millimetre, Unit::Centimetre) => self.value / 10.0,
            (Unit::DecigraySquareCentimetre, Unit::GraySquareCentimetre) => self.value / 10.0,
            // A square metre is 10 000 square centimetres: 1 uGy.m2 = 0.01 Gy.cm2.
            (
                Unit::CentigraySquareCentimetre | Unit::MicrograySquareMetre,
                Unit::GraySquareCentimetre,
            ) => self.value / 100.0,
            _ => self.value,
        }
    }

    /// The number as typed, for printing.
    pub fn reported(self) -> Reported {
        Reported::round(self.value, self.decimals, self.unit)
    }
}

/// How a unit is written after its number.
fn spelled(unit: Unit) -> &'static str {
    unit.spellings()[0]
}

/// A text cut into its number and the rest: digits, at most one point.
fn split(text: &str) -> (&str, &str) {
    let from = usize::from(text.starts_with('-'));
    let more = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let end = text[from..].find(|c| !more(c)).map_or(text.len(), |i| from + i);
    (&text[..end], text[end..].trim())
}

/// The value and decimals of `-12.5`; at most nine digits before the point
/// and six after it, which every instrument of a clinic stays below.
fn number(text: &str) -> Option<(f64, u8)> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, fraction) = match digits.split_once('.') {
        Some((whole, fraction)) if !fraction.is_empty() => (whole, fraction),
        Some(_) => return None,
        None => (digits, ""),
    };
    let plain = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if !(plain(whole) && plain(fraction) && (1..=9).contains(&whole.len()) && fraction.len() <= 6) {
        return None;
    }
    let value: f64 = text.parse().ok()?;
    // -0 is 0: a zero has no side.
    Some((if value == 0.0 { 0.0 } else { value }, fraction.len() as u8))
}

/// Reads a number with one of the units of an amount, in its range.
pub fn quantity(text: &str, amount: &Amount, key: &str) -> Result<Number, Fault> {
    let (digits, unit) = split(text);
    let usual = spelled(amount.unit);
    let Some((value, decimals)) = number(digits) else {
        return Err(no_number(text, digits, unit, usual));
    };
    if unit.is_empty() {
        let message = format!("{} has no unit", quote(text));
        return Err(Fault::new(Code::MissingUnit, message).remedy(format!("write {text} {usual}")));
    }
    if has_exponent(unit) {
        let message = format!("{} is written with an exponent", quote(text));
        return Err(Fault::new(Code::BadNumber, message).remedy("write plain digits"));
    }
    let found = Unit::spelled(unit).and_then(|u| amount.units().find(|a| *a == u));
    let Some(unit) = found else { return Err(wrong_unit(unit, amount, key)) };
    let read = Number { value, decimals, unit };
    in_range(read, amount).map(|()| read)
}

fn in_range(read: Number, amount: &Amount) -> Result<(), Fault> {
    let value = read.in_unit(amount.unit);
    if (amount.low..=amount.high).contains(&value) {
        return Ok(());
    }
    let with = |number: f64, unit| format!("{number} {}", spelled(unit)).trim_end().to_string();
    let (typed, high) = (with(read.value, read.unit), with(amount.high, amount.unit));
    let message = if value < 0.0 && amount.low >= 0.0 {
        format!("{typed} is negative")
    } else {
        format!("{typed} is outside {} to {high}", amount.low)
    };
    Err(Fault::new(Code::OutOfRange, message))
}

fn no_number(text: &str, digits: &str, unit: &str, usual: &str) -> Fault {
    let unit = if unit.is_empty() { usual } else { unit };
    let point = digits.replace(',', ".");
    if digits.contains(',') && number(&point).is_some() {
        let message = format!("{} has a decimal comma", quote(text));
        return Fault::new(Code::DecimalComma, message).remedy(format!("write {point} {unit}"));
    }
    let fault = Fault::new(Code::BadNumber, format!("{} is not a number with a unit", quote(text)));
    match text.chars().next() {
        Some('\u{2212}' | '\u{2013}') => fault.remedy("write the minus sign as a plain `-`"),
        Some('+') => fault.remedy("leave out the plus sign"),
        Some('.') if text[1..].starts_with(|c: char| c.is_ascii_digit()) => {
            fault.remedy("write a zero before the point")
        }
        _ => fault.remedy(format!("write digits and the unit, as in 12 {usual}")),
    }
}

/// What follows the digits of `1.5e2 cm`.
fn has_exponent(unit: &str) -> bool {
    let rest = unit.strip_prefix(['e', 'E']).map(|r| r.trim_start_matches(['+', '-']));
    rest.is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit()))
}

fn wrong_unit(unit: &str, amount: &Amount, key: &str) -> Fault {
    let units: Vec<_> = amount.units().map(spelled).collect();
    let message = match Unit::spelled(unit) {
        Some(_) => format!("{} is not a unit of `{key}`", quote(unit)),
        None => format!("{} is not a unit known here", quote(unit)),
    };
    let remedy = match Unit::spelled(unit) {
        Some(_) => format!("give it in {}", units.join(" or ")),
        // Never the typed number with another unit: 1.53 m is not 1.53 cm.
        None => format!("give it in {}, spelled so", units.join(" or ")),
    };
    Fault::new(Code::WrongUnit, message).remedy(remedy)
}

/// Reads a pain rating, `0/10` to `10/10`.
pub fn pain(text: &str) -> Result<Number, Fault> {
    let (digits, rest) = split(text);
    let remedy = "write it out of ten, as in 6/10";
    let Some((value, decimals)) = number(digits) else {
        return Err(no_number(text, digits, rest, "/10").remedy(remedy));
    };
    match rest.strip_prefix('/').map(str::trim) {
        None if rest.is_empty() => {
            let message = format!("{} has no scale", quote(text));
            Err(Fault::new(Code::MissingUnit, message).remedy(format!("write {text}/10")))
        }
        Some("10") if (0.0..=10.0).contains(&value) => {
            Ok(Number { value, decimals, unit: Unit::OutOfTen })
        }
        Some("10") => Err(Fault::new(Code::OutOfRange, format!("{value} is outside 0 to 10"))),
        _ => {
            let message = format!("{} is not a rating out of ten", quote(text));
            Err(Fault::new(Code::WrongUnit, message).remedy(remedy))
        }
    }
}

/// Scores whose scale is known: name, unit, lowest, highest. The Oswestry
/// index is a percentage of the points that could be reached; an SRS-22r mean
/// runs from 1 to 5, 5 best (both as their questionnaires define them); a
/// visual analogue scale is a line of 100 mm.
const SCALES: &[(&str, Unit, f64, f64)] = &[
    ("ODI", Unit::Percent, 0.0, 100.0),
    ("SRS-22r", Unit::One, 1.0, 5.0),
    ("VAS", Unit::Millimetre, 0.0, 100.0),
];

/// Reads a score; those with a published scale must keep to it.
pub fn score(text: &str, name: &str) -> Result<Number, Fault> {
    if let Some((_, unit, low, high)) = SCALES.iter().find(|s| s.0 == name) {
        let amount = Amount { unit: *unit, also: &[], low: *low, high: *high };
        return match unit {
            Unit::One => bare(text).and_then(|n| in_range(n, &amount).map(|()| n)),
            _ => quantity(text, &amount, name),
        };
    }
    let (digits, rest) = split(text);
    match (number(digits), rest) {
        (Some((value, decimals)), "%") => Ok(Number { value, decimals, unit: Unit::Percent }),
        _ => bare(text),
    }
}

fn bare(text: &str) -> Result<Number, Fault> {
    let (digits, rest) = split(text);
    match number(digits) {
        Some((value, decimals)) if rest.is_empty() => {
            Ok(Number { value, decimals, unit: Unit::One })
        }
        Some(_) => {
            let message = format!("{} is not a unit of this score", quote(rest));
            Err(Fault::new(Code::WrongUnit, message).remedy(format!("write {digits}")))
        }
        None if digits.contains(',') && number(&digits.replace(',', ".")).is_some() => {
            let message = format!("{} has a decimal comma", quote(text));
            let remedy = format!("write {}", digits.replace(',', "."));
            Err(Fault::new(Code::DecimalComma, message).remedy(remedy))
        }
        None => {
            let message = format!("{} is not a number", quote(text));
            Err(Fault::new(Code::BadNumber, message).remedy("write digits, as in 3.9"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COBB: Amount = Amount { unit: Unit::Degree, also: &[], low: -90.0, high: 180.0 };
    const HEIGHT: Amount =
        Amount { unit: Unit::Centimetre, also: &[Unit::Millimetre], low: 20.0, high: 250.0 };

    fn fault(text: &str, amount: &Amount) -> (Code, String) {
        let fault = quantity(text, amount, "cobb").unwrap_err();
        (fault.code, format!("{}; {}", fault.message, fault.remedy.unwrap_or_default()))
    }

    #[test]
    fn a_number_and_its_unit_are_read_as_typed() {
        let read = |t, a: &Amount| quantity(t, a, "k").map(|n| (n.value, n.decimals, n.unit)).ok();
        assert_eq!(read("21 deg", &COBB), Some((21.0, 0, Unit::Degree)));
        assert_eq!(read("-3.50deg", &COBB), Some((-3.5, 2, Unit::Degree)));
        assert_eq!(read("1512 mm", &HEIGHT), Some((1512.0, 0, Unit::Millimetre)));
        assert_eq!(read("-0 deg", &COBB).map(|r| r.0.to_bits()), Some(0));
    }

    #[test]
    fn each_slip_has_its_own_words() {
        let cobb = |t| fault(t, &COBB);
        assert_eq!(cobb("21"), (Code::MissingUnit, "`21` has no unit; write 21 deg".into()));
        assert_eq!(
            cobb("21 mm"),
            (Code::WrongUnit, "`mm` is not a unit of `cobb`; give it in deg".into())
        );
        assert_eq!(
            cobb("21°"),
            (Code::WrongUnit, "`°` is not a unit known here; give it in deg, spelled so".into())
        );
        assert_eq!(
            fault("7,5 cm", &HEIGHT),
            (Code::DecimalComma, "`7,5 cm` has a decimal comma; write 7.5 cm".into())
        );
        assert_eq!(fault("-7 cm", &HEIGHT).1, "-7 cm is negative; ");
        assert_eq!(fault("2 mm", &HEIGHT).1, "2 mm is outside 20 to 250 cm; ");
        for bad in [".nan", "inf deg", "1e3 deg", "0x15 deg", "1:30 deg", "", "--3 deg", "+3 deg"] {
            assert!(
                matches!(cobb(bad).0, Code::BadNumber | Code::WrongUnit),
                "{bad}: {:?}",
                cobb(bad)
            );
        }
        assert_eq!(cobb(&"9".repeat(400)).0, Code::BadNumber);
    }

    #[test]
    fn pain_and_scores_name_their_scale() {
        assert_eq!(pain("6/10").unwrap().reported(), Reported::whole(6, Unit::OutOfTen));
        assert_eq!(pain("6").unwrap_err().code, Code::MissingUnit);
        assert_eq!(pain("60/100").unwrap_err().code, Code::WrongUnit);
        assert_eq!(pain("11/10").unwrap_err().code, Code::OutOfRange);
        assert_eq!(score("34 %", "ODI").unwrap().unit, Unit::Percent);
        assert_eq!(score("34", "ODI").unwrap_err().code, Code::MissingUnit);
        assert_eq!(score("3.9", "SRS-22r").unwrap().reported().digits(), "3.9");
        assert_eq!(score("39", "SRS-22r").unwrap_err().code, Code::OutOfRange);
        assert_eq!(score("3,9", "SRS-22r").unwrap_err().code, Code::DecimalComma);
        assert_eq!(score("12", "other").unwrap().unit, Unit::One);
        assert_eq!(score("4.5", "VAS").unwrap_err().code, Code::MissingUnit);
    }

    #[test]
    fn products_of_dose_and_area_convert() {
        // 1 uGy.m2 = 1e-6 Gy x 1e4 cm2 = 0.01 Gy.cm2, worked by hand.
        let amount = Amount {
            unit: Unit::GraySquareCentimetre,
            also: &[
                Unit::DecigraySquareCentimetre,
                Unit::CentigraySquareCentimetre,
                Unit::MicrograySquareMetre,
            ],
            low: 0.0,
            high: 50.0,
        };
        for text in ["0.47 Gy.cm2", "4.7 dGy.cm2", "47 cGy.cm2", "47 uGy.m2"] {
            let read = quantity(text, &amount, "area_dose").unwrap();
            let gray = read.in_unit(Unit::GraySquareCentimetre);
            assert!((gray - 0.47).abs() < 1e-12, "{text}: {gray}");
        }
    }
}
