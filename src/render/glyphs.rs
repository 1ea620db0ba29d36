//! Whether every character of a letter can be printed.
//!
//! The engine would stop at export without naming the field, so this is asked
//! before typesetting.

use std::collections::BTreeSet;
use std::fmt;

use typst::text::Font;

use super::walk;
use crate::letter::block::Letter;

/// A character that cannot be printed, and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingGlyph {
    /// The character.
    pub ch: char,
    /// Field, fact or text, in words.
    pub place: String,
    /// The text around it.
    pub text: String,
}

impl fmt::Display for MissingGlyph {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let MissingGlyph { ch, place, .. } = self;
        let code = *ch as u32;
        if is_control(*ch) {
            write!(f, "invisible control character U+{code:04X} in {place}")
        } else {
            write!(f, "no font has the character {ch} (U+{code:04X}) in {place}")
        }
    }
}

/// The code points that some face covers, as sorted, disjoint ranges.
pub struct Coverage {
    ranges: Vec<(u32, u32)>,
}

impl Coverage {
    /// What the program's own faces and those in `extra` files can print.
    pub fn with(extra: Vec<Vec<u8>>) -> Coverage {
        Coverage::of(&super::fonts::Fonts::load(extra).list)
    }

    /// The union over all faces.
    pub(super) fn of(fonts: &[Font]) -> Coverage {
        let all: BTreeSet<u32> =
            fonts.iter().flat_map(|f| f.info().coverage.iter().collect::<Vec<_>>()).collect();
        let mut ranges: Vec<(u32, u32)> = Vec::new();
        for c in all {
            match ranges.last_mut() {
                Some((_, last)) if *last + 1 == c => *last = c,
                _ => ranges.push((c, c)),
            }
        }
        Coverage { ranges }
    }

    /// Whether a character can be printed.
    pub fn has(&self, ch: char) -> bool {
        if ch.is_ascii() {
            return !is_control(ch);
        }
        let c = ch as u32;
        !is_control(ch) && {
            let next = self.ranges.partition_point(|(first, _)| *first <= c);
            next > 0 && c <= self.ranges[next - 1].1
        }
    }

    /// The characters of a letter that cannot be printed, in reading order,
    /// each once per place.
    pub fn missing(&self, letter: &Letter) -> Vec<MissingGlyph> {
        let mut found: Vec<MissingGlyph> = Vec::new();
        walk::printed(letter, &mut |place, text| {
            collect(&mut found, place, text, |ch| !self.has(ch));
        });
        walk::described(letter, &mut |place, text| collect(&mut found, place, text, is_control));
        found
    }
}

fn collect(
    found: &mut Vec<MissingGlyph>,
    place: &dyn fmt::Display,
    text: &str,
    bad: impl Fn(char) -> bool,
) {
    for ch in text.chars().filter(|ch| bad(*ch)) {
        let missing = MissingGlyph { ch, place: place.to_string(), text: text.to_string() };
        if !found.contains(&missing) {
            found.push(missing);
        }
    }
}

/// Characters that print nothing themselves but move or turn what stands
/// around them: tabs, the C0 and C1 controls, and the overrides of writing
/// direction, which could show a number's digits in another order. A line feed
/// is printed as a line end.
fn is_control(ch: char) -> bool {
    (ch.is_control() && ch != '\n')
        || matches!(ch, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}
