//! Where in the text a value or a list ends.
//!
//! The places of nodes are those of the parser: a record in braces begins at
//! its brace and has no end, a block text begins at its first word and takes
//! in the empty lines that follow. Here they become stretches of text.

use std::ops::Range;

use crate::case::node::{Node, Shape};
use crate::diag::Place;

/// The stretch of a single value. For a block text it begins with the `|` or
/// `>` and ends with its last word; the second stretch is the rest of the
/// line that opens it, a comment as a rule, which stays.
pub(super) fn value(text: &str, place: &Place) -> (Range<usize>, Range<usize>) {
    let Some(header) = header(text, place.start) else {
        return (place.start..place.end, place.end..place.end);
    };
    let word = text[header..].find(|c: char| c.is_whitespace()).map_or(text.len(), |n| header + n);
    let line = text[header..].find('\n').map_or(text.len(), |n| header + n);
    let line = if text[..line].ends_with('\r') { line - 1 } else { line };
    let end = text[..place.end].trim_end().len();
    (header..end, word..line)
}

/// Where the `|` or `>` stands that opens the block text beginning here.
fn header(text: &str, start: usize) -> Option<usize> {
    let line = text[..start].rfind('\n').map_or(0, |n| n + 1);
    if !text[line..start].trim().is_empty() {
        return None;
    }
    let above = text[..line].trim_end();
    let from = above.rfind('\n').map_or(0, |n| n + 1);
    let opening = above[from..].split(" #").next()?.trim_end();
    let word = opening.rfind([' ', '\t']).map_or(0, |n| n + 1);
    let marks = &opening[word..];
    let rest = marks.strip_prefix(['|', '>'])?;
    let good = rest.chars().all(|c| c.is_ascii_digit() || c == '-' || c == '+');
    good.then_some(from + word)
}

/// Just after the last character of a node.
pub(super) fn end(text: &str, node: &Node) -> usize {
    let inside = match &node.shape {
        Shape::Map(pairs) => pairs.iter().map(|p| p.key.place.end.max(end(text, &p.value))).max(),
        Shape::List(items) => items.iter().map(|item| end(text, item)).max(),
        Shape::Scalar { .. } => return whole_lines(text, node.place.end),
        Shape::Empty | Shape::Refused => None,
    };
    let inside = inside.unwrap_or(node.place.end);
    match bracketed(text, node) {
        true => bracket(text, inside.max(node.place.start + 1)).map_or(inside, |at| at + 1),
        false => inside,
    }
}

/// A block text may reach into the blanks before the next line.
fn whole_lines(text: &str, end: usize) -> usize {
    let cut = text[..end].trim_end_matches(' ');
    if cut.ends_with('\n') { cut.len() } else { end }
}

/// Whether a list or record is written in brackets.
pub(super) fn bracketed(text: &str, node: &Node) -> bool {
    match node.shape {
        Shape::Map(_) => {
            text[node.place.start..].starts_with('{') && node.place.end > node.place.start
        }
        Shape::List(_) => text[node.place.start..].starts_with('['),
        _ => false,
    }
}

/// The closing bracket after the last value inside, comments passed over.
pub(super) fn bracket(text: &str, from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        let next = text[at..].find(|c: char| !c.is_whitespace() && c != ',' && c != ':')? + at;
        match text[next..].chars().next()? {
            ']' | '}' => return Some(next),
            '#' => at = next + text[next..].find('\n')?,
            _ => return None,
        }
    }
}

/// Just after the end of the line that a place lies in, comment included.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    if at > 0 && text[..at].ends_with('\n') {
        return at;
    }
    text[at..].find('\n').map_or(text.len(), |i| at + i + 1)
}

/// The blanks that begin the line of a place.
pub(super) fn indent(text: &str, at: usize) -> &str {
    let line = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let blanks = text[line..at].find(|c| c != ' ').unwrap_or(at - line);
    &text[line..line + blanks]
}
