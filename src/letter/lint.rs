//! Checks of a composed letter: what the room promises, checked on the result.
//!
//! Every fault here is one of the program or of a template, never of the
//! case. Typed text is not judged: it is printed as it is.

use super::block::{Block, Inline};
use super::token::is_reserved;

/// Everything wrong with the blocks of a letter, in words.
pub fn faults(blocks: &[Block]) -> Vec<String> {
    let mut found = Vec::new();
    for block in blocks.iter().flat_map(Block::inside) {
        lines(block).into_iter().for_each(|words| line_faults(words, &mut found));
    }
    found.extend(loose_numbers(blocks).into_iter().map(|n| format!("the number {n} is no fact")));
    found
}

/// Headings with nothing under them: before another heading of the same or a
/// higher rank, or at the end.
pub fn bare_headings(blocks: &[Block]) -> Vec<String> {
    let rank = |b: Option<&Block>| match b {
        Some(Block::Heading { level, .. }) => Some(*level),
        Some(_) => None,
        None => Some(0),
    };
    let bare = |(at, block): (usize, &Block)| match (block, rank(blocks.get(at + 1))) {
        (Block::Heading { level, text }, Some(next)) if next <= *level => Some(plain(text)),
        _ => None,
    };
    blocks.iter().enumerate().filter_map(bare).collect()
}

/// Every run of digits in the words of a letter that no value stands behind.
pub fn loose_numbers(blocks: &[Block]) -> Vec<String> {
    let mut found = Vec::new();
    for words in blocks.iter().flat_map(Block::inside).flat_map(lines) {
        for text in texts(words) {
            let runs = text.split(|c: char| !c.is_numeric()).filter(|run| !run.is_empty());
            found.extend(runs.map(str::to_string));
        }
    }
    found
}

/// The words as plain text.
pub fn plain(words: &[Inline]) -> String {
    let part = |inline: &Inline| match inline {
        Inline::Text { text } | Inline::Value { text, .. } => text.clone(),
        Inline::Strong { children } | Inline::Emph { children } => plain(children),
        Inline::Break => " ".to_string(),
    };
    words.iter().map(part).collect()
}

/// The runs of words of a block: its paragraph, items or cells.
fn lines(block: &Block) -> Vec<&[Inline]> {
    match block {
        Block::Heading { text, .. } | Block::Paragraph { text } => vec![text],
        Block::List { items, .. } => items.iter().map(Vec::as_slice).collect(),
        Block::Table { header, rows, .. } => {
            header.iter().chain(rows.iter().flatten()).map(Vec::as_slice).collect()
        }
        Block::Remark { .. } | Block::Slot { .. } | Block::Figures { .. } | Block::Boxed { .. } => {
            Vec::new()
        }
    }
}

/// The template's own words in a run, values left out.
fn texts(words: &[Inline]) -> Vec<&str> {
    let mut found = Vec::new();
    for inline in words {
        match inline {
            Inline::Text { text } => found.push(text.as_str()),
            Inline::Strong { children } | Inline::Emph { children } => {
                found.extend(texts(children));
            }
            Inline::Value { .. } | Inline::Break => {}
        }
    }
    found
}

fn line_faults(words: &[Inline], found: &mut Vec<String>) {
    let whole = plain(words);
    if whole.trim().is_empty() {
        found.push("a paragraph, item or cell is empty".to_string());
    }
    if whole.chars().any(is_reserved) {
        found.push(format!("a mark was not replaced in \u{201c}{whole}\u{201d}"));
    }
    for text in texts(words) {
        let none = text.split(|c: char| !c.is_alphanumeric()).any(|w| w == "None" || w == "none()");
        let wrong = [
            (text.contains("  "), "two spaces"),
            ([" .", " ,", " ;"].iter().any(|s| text.contains(s)), "a space before punctuation"),
            (none, "the word None"),
        ];
        let faults = wrong.iter().filter(|(is, _)| *is);
        found.extend(faults.map(|(_, what)| format!("{what} in \u{201c}{text}\u{201d}")));
    }
}
