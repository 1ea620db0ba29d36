//! Tokens: how values cross Markdown without being read as Markdown.
//!
//! Whatever a template prints goes into the [`TokenTable`]; the text that
//! Markdown sees holds only an opaque mark between two private-use
//! delimiters. After parsing each mark is replaced by its value, exactly once,
//! with the id of the fact it came from. This file knows neither templates
//! nor Markdown.

use crate::facts::FactId;

/// Opens a mark.
pub const OPEN: char = '\u{E000}';
/// Closes a mark.
pub const CLOSE: char = '\u{E001}';
/// The private-use digits of a mark's number start here, so that a mark holds
/// no digit that a check for numbers could see.
const ZERO: u32 = 0xE010;

/// Whether a character may not stand in any text that enters a letter.
pub fn is_reserved(c: char) -> bool {
    matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..='\u{10FFFF}')
}

/// What stands behind a mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Token {
    /// A printed value.
    Value {
        /// The fact it prints; absent for names, addresses and typed text.
        fact: Option<FactId>,
        /// As printed.
        text: String,
        /// Whether it may not break across lines.
        keep: bool,
    },
    /// Words that a template holds in quotes.
    Words(String),
    /// The clinician's own paragraphs, a block of its own.
    Remark {
        /// Who wrote them.
        by: Option<String>,
        /// Paragraphs as typed.
        paragraphs: Vec<String>,
        /// Tag of their language where it is not the letter's.
        language: Option<String>,
    },
    /// A place for figures, a block of its own.
    Slot(Vec<String>),
    /// What the table that follows shows.
    Summary(String),
}

impl Token {
    /// Whether it must stand alone between blank lines.
    pub fn is_block(&self) -> bool {
        matches!(self, Token::Remark { .. } | Token::Slot(_) | Token::Summary(_))
    }
}

/// The tokens of one letter.
#[derive(Debug, Clone, Default)]
pub struct TokenTable {
    list: Vec<Token>,
}

impl TokenTable {
    /// Keeps a token and returns its mark.
    pub fn add(&mut self, token: Token) -> String {
        self.list.push(token);
        mark(self.list.len() - 1)
    }

    /// Text with its marks replaced by what they print, for words that are
    /// not set as blocks.
    pub fn plain(&self, marked: &str) -> String {
        let part = |piece: Piece<'_>| match piece {
            Piece::Text(text) => text.to_string(),
            Piece::Broken => String::new(),
            Piece::Mark(index) => match self.get(index) {
                Some(Token::Value { text, .. } | Token::Words(text)) => text.clone(),
                _ => String::new(),
            },
        };
        pieces(marked).into_iter().map(part).collect()
    }

    /// The token of that number.
    pub fn get(&self, index: usize) -> Option<&Token> {
        self.list.get(index)
    }
}

fn mark(index: usize) -> String {
    let digits = index.to_string();
    let private = digits.bytes().filter_map(|b| char::from_u32(ZERO + u32::from(b - b'0')));
    std::iter::once(OPEN).chain(private).chain(std::iter::once(CLOSE)).collect()
}

/// A piece of text that holds marks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece<'a> {
    /// Words between marks.
    Text(&'a str),
    /// The number of a token.
    Mark(usize),
    /// A private-use character that is no part of a well-formed mark.
    Broken,
}

/// Splits text at its marks.
pub fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(is_reserved) {
        if at > 0 {
            found.push(Piece::Text(&rest[..at]));
        }
        rest = &rest[at..];
        let (piece, length) = read_mark(rest);
        found.push(piece);
        rest = &rest[length..];
    }
    if !rest.is_empty() {
        found.push(Piece::Text(rest));
    }
    found
}

/// Reads the mark at the start of the text; returns it with its length in bytes.
fn read_mark(text: &str) -> (Piece<'_>, usize) {
    let first = text.chars().next().map_or(0, char::len_utf8);
    let end = text.find(CLOSE).filter(|_| text.starts_with(OPEN));
    let index = end.and_then(|end| number(&text[first..end]));
    match (index, end) {
        (Some(index), Some(end)) => (Piece::Mark(index), end + CLOSE.len_utf8()),
        _ => (Piece::Broken, first),
    }
}

fn number(digits: &str) -> Option<usize> {
    let plain: Option<String> = digits
        .chars()
        .map(|c| u32::from(c).checked_sub(ZERO).and_then(|d| char::from_digit(d, 10)))
        .collect();
    plain.filter(|p| !p.is_empty())?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_found_again() {
        let mut table = TokenTable::default();
        let marks: Vec<String> =
            (0..12).map(|i| table.add(Token::Words(format!("w{i}")))).collect();
        let text = format!("a{}b{}", marks[3], marks[11]);
        assert_eq!(
            pieces(&text),
            [Piece::Text("a"), Piece::Mark(3), Piece::Text("b"), Piece::Mark(11)]
        );
        assert!(marks[11].chars().all(|c| is_reserved(c) && !c.is_numeric()));
    }

    #[test]
    fn stray_delimiters_are_broken_marks() {
        assert_eq!(pieces("a\u{E000}b"), [Piece::Text("a"), Piece::Broken, Piece::Text("b")]);
        assert_eq!(pieces("\u{E000}\u{E001}"), [Piece::Broken, Piece::Broken]);
    }
}
