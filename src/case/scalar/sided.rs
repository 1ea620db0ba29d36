//! Amounts with a side of the patient: `12 mm right`, `4 deg left up`.
//!
//! The side is always written out, never a sign; only zero has none.

use super::{Fault, Number, quantity};
use crate::case::field::Amount;
use crate::case::suggest::quote;
use crate::diag::Code;
use crate::spine::Side;

/// Reads a distance toward a side: `12 mm right`.
pub fn toward(text: &str, amount: &Amount, key: &str) -> Result<(Number, Option<Side>), Fault> {
    sided(text, amount, key, ["left", "right"])
}

/// Reads an amount with the higher side: `4 deg left up`.
pub fn higher(text: &str, amount: &Amount, key: &str) -> Result<(Number, Option<Side>), Fault> {
    sided(text, amount, key, ["left up", "right up"])
}

fn sided(
    text: &str,
    amount: &Amount,
    key: &str,
    words: [&str; 2],
) -> Result<(Number, Option<Side>), Fault> {
    let text = text.trim();
    let sides = [(words[0], Side::Left), (words[1], Side::Right)];
    // The word stands after a space or the unit; a unit never ends in it.
    let found = sides.iter().find_map(|(word, side)| Some((text.strip_suffix(word)?, *side)));
    let (size, side) = found.map_or((text, None), |(size, side)| (size.trim(), Some(side)));
    let number = quantity(size, amount, key).map_err(|fault| help(fault, text, words))?;
    if number.value != 0.0 && side.is_none() {
        let message = format!("{} has no side", quote(text));
        let remedy =
            format!("write {text} {} or {text} {}, the patient's side", words[0], words[1]);
        return Err(Fault::new(Code::MissingSide, message).remedy(remedy));
    }
    // Zero lies on neither side, whatever was written.
    Ok((number, side.filter(|_| number.value != 0.0)))
}

/// A text that is no quantity may have its side misspelt.
fn help(mut fault: Fault, text: &str, words: [&str; 2]) -> Fault {
    if fault.code == Code::MissingUnit
        && let Some(word) = words.iter().find(|word| text.ends_with(**word))
    {
        fault.remedy = fault.remedy.map(|remedy| format!("{remedy} {word}"));
    }
    let tail = |word: &str| text.contains(&word[..word.find(' ').unwrap_or(word.len())]);
    let misplaced = fault.code == Code::WrongUnit || fault.code == Code::BadNumber;
    if misplaced && (tail(words[0]) || tail(words[1])) {
        let message = format!("{} is not an amount with a side", quote(text));
        let remedy =
            format!("write the amount, its unit and then `{}` or `{}`", words[0], words[1]);
        return Fault::new(fault.code, message).remedy(remedy);
    }
    fault
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Unit;

    const SHIFT: Amount =
        Amount { unit: Unit::Millimetre, also: &[Unit::Centimetre], low: 0.0, high: 200.0 };

    fn read(text: &str) -> Result<(f64, Option<Side>), Code> {
        toward(text, &SHIFT, "balance").map(|(n, side)| (n.value, side)).map_err(|f| f.code)
    }

    #[test]
    fn a_side_is_written_unless_there_is_none() {
        assert_eq!(read("12 mm right"), Ok((12.0, Some(Side::Right))));
        assert_eq!(read("1.2 cm left"), Ok((1.2, Some(Side::Left))));
        assert_eq!(read("0 mm"), Ok((0.0, None)));
        assert_eq!(read("0 mm left"), Ok((0.0, None)));
        assert_eq!(read("12 mm"), Err(Code::MissingSide));
        assert_eq!(read("-12 mm left"), Err(Code::OutOfRange));
        assert_eq!(read("12 left mm"), Err(Code::WrongUnit));
        assert_eq!(read("12 right"), Err(Code::MissingUnit));
        let up = |t| higher(t, &SHIFT, "heads").map(|(n, s)| (n.value, s)).map_err(|f| f.code);
        assert_eq!(up("6 mm left up"), Ok((6.0, Some(Side::Left))));
        assert_eq!(up("6 mm left"), Err(Code::WrongUnit));
    }
}
