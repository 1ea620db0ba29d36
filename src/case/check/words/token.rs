//! Free text as sentences of tokens.
//!
//! A token is a word, a figure, a vertebra or a sign, in lower case, with its
//! place in the text. Words in quotation marks are somebody else's: they are
//! left out, and one sign stands for all of them. A hyphen inside a word parts
//! it (`right-sided`), and one between vertebrae stays (`T5-T12`).

use std::ops::Range;

use crate::spine::Level;

/// What stands for words in quotation marks.
pub const QUOTED: &str = "\u{201c}";
/// What stands for every dash between vertebrae.
pub const DASH: &str = "\u{2013}";

/// One token.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// In lower case.
    pub text: String,
    /// Where it stands in the text, in bytes.
    pub at: Range<usize>,
    /// The vertebra that it names.
    pub level: Option<Level>,
}

impl Token {
    /// Whether it is a figure.
    pub fn is_number(&self) -> bool {
        self.level.is_none() && self.text.starts_with(|c: char| c.is_ascii_digit())
    }
}

/// The sentences of a text.
pub fn sentences(text: &str) -> Vec<Vec<Token>> {
    let mut all = vec![Vec::new()];
    let mut rest = 0;
    while let Some(next) = text[rest..].chars().next() {
        let here = rest;
        if let Some(end) = quotation(text, here) {
            push(&mut all, QUOTED, here..end);
            rest = end;
        } else if next.is_alphanumeric() {
            rest = here + word_length(&text[here..]);
            push(&mut all, &text[here..rest], here..rest);
        } else {
            rest = here + next.len_utf8();
            sign(text, here..rest, next, &mut all);
        }
    }
    all.retain(|sentence| !sentence.is_empty());
    all
}

fn push(all: &mut [Vec<Token>], text: &str, at: Range<usize>) {
    if let Some(sentence) = all.last_mut() {
        sentence.push(Token { text: text.to_lowercase(), at, level: level(text) });
    }
}

/// A sign: it ends the sentence, joins vertebrae, or parts clauses.
fn sign(text: &str, at: Range<usize>, sign: char, all: &mut Vec<Vec<Token>>) {
    let after = &text[at.end..];
    let spaced = after.chars().next().is_none_or(char::is_whitespace);
    let blank = sign == '\n' && after.trim_start_matches([' ', '\t']).starts_with('\n');
    match sign {
        '!' | '?' | ';' | '…' => all.push(Vec::new()),
        '.' if spaced => all.push(Vec::new()),
        _ if blank => all.push(Vec::new()),
        '-' | '\u{2010}'..='\u{2015}' => {
            let before = all.last().and_then(|s| s.last());
            let joins = before.is_some_and(|t| t.level.is_some());
            let inside = before.is_some_and(|t| t.at.end == at.start) && !spaced;
            if joins || !inside {
                push(all, DASH, at);
            }
        }
        ',' | ':' | '(' | ')' | '/' | '°' => push(all, &text[at.clone()], at),
        _ => {}
    }
}

/// Letters and digits, with an apostrophe or a decimal point inside.
fn word_length(text: &str) -> usize {
    let mut end = 0;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, c)| *c);
        let goes_on = next.is_some_and(char::is_alphanumeric);
        let joins = matches!(c, '\'' | '\u{2019}')
            || (c == '.' && next.is_some_and(|n| n.is_ascii_digit()));
        if !(c.is_alphanumeric() || (joins && goes_on)) {
            break;
        }
        end = at + c.len_utf8();
    }
    end
}

/// The end of words in quotation marks that begin here.
fn quotation(text: &str, start: usize) -> Option<usize> {
    let open = text[start..].chars().next()?;
    let close = match open {
        '\u{201c}' | '\u{201e}' => ['\u{201d}', '\u{201c}'],
        '"' => ['"', '"'],
        '«' => ['»', '»'],
        '\u{2018}' => ['\u{2019}', '\u{2019}'],
        _ => return None,
    };
    let inside = start + open.len_utf8();
    let mut ends = text[inside..].char_indices().filter(|(_, c)| close.contains(c));
    // The closing single mark is an apostrophe, too.
    let closes = |(at, c): &(usize, char)| {
        let after = text[inside + at + c.len_utf8()..].chars().next();
        *c != '\u{2019}' || !after.is_some_and(char::is_alphanumeric)
    };
    ends.find(closes).map(|(at, c)| inside + at + c.len_utf8())
}

/// The vertebra that a word names; `D` and `Th` are other letters for `T`.
fn level(word: &str) -> Option<Level> {
    let word = word.to_uppercase();
    let usual = match word.strip_prefix("TH").or_else(|| word.strip_prefix('D')) {
        Some(number) => format!("T{number}"),
        None => word,
    };
    Level::parse(&usual)
}
