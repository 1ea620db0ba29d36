//! Every text of a letter with the name of its place, in reading order.

use std::fmt::Display;

use crate::letter::block::{Block, Figure, Frame, Inline, Letter};
use crate::letter::drawing::Shape;

/// Gets each text with the words for its place.
pub type Visit<'v> = dyn FnMut(&dyn Display, &str) + 'v;

/// Visits all text that is set on the page.
pub fn printed(letter: &Letter, visit: &mut Visit) {
    frame(&letter.frame, visit);
    for (index, each) in letter.blocks.iter().enumerate() {
        block(index + 1, each, visit);
    }
    ending(&letter.frame, visit);
}

/// Visits all text that is stored for readers who cannot see the page.
pub fn described(letter: &Letter, visit: &mut Visit) {
    visit(&"title", &letter.frame.title);
    visit(&"kind", &letter.frame.kind);
    for (index, each) in letter.blocks.iter().enumerate() {
        match each {
            Block::Table { summary, .. } => {
                visit(&format_args!("block {}: summary of the table", index + 1), summary);
            }
            Block::Boxed { blocks } => {
                for inner in blocks {
                    if let Block::Table { summary, .. } = inner {
                        let place = format_args!("block {}: summary of the table", index + 1);
                        visit(&place, summary);
                    }
                }
            }
            Block::Figures { figures } => {
                for (n, figure) in figures.iter().enumerate() {
                    let place = format_args!("block {}: alt text of figure {}", index + 1, n + 1);
                    visit(&place, &figure.alt);
                }
            }
            _ => {}
        }
    }
}

fn frame(frame: &Frame, visit: &mut Visit) {
    visit(&"letterhead: name", &frame.letterhead.name);
    visit(&"letterhead: address line", &frame.letterhead.line);
    lines("letterhead: right line", &frame.letterhead.right, visit);
    lines("recipient line", &frame.recipient, visit);
    visit(&"date", &frame.date);
    visit(&"letter id", &frame.letter_id);
    visit(&"patient: name", &frame.patient.name);
    visit(&"patient: born", &frame.patient.born);
    visit(&"patient: age", frame.patient.age.as_deref().unwrap_or(""));
    visit(&"patient: record", frame.patient.record.as_deref().unwrap_or(""));
    visit(&"draft mark", frame.draft_mark.as_deref().unwrap_or(""));
    visit(&"issued mark", frame.issued_mark.as_deref().unwrap_or(""));
}

fn ending(frame: &Frame, visit: &mut Visit) {
    visit(&"closing words", &frame.closing);
    lines("signature line", &frame.signature, visit);
    for (index, line) in frame.after.iter().enumerate() {
        inlines(&format_args!("line {} after the signature", index + 1), line, visit);
    }
    visit(&"notice", frame.notice.as_deref().unwrap_or(""));
    visit(&"caution", &frame.caution);
    visit(&"word for page", &frame.words.page);
    visit(&"word for of", &frame.words.of);
    visit(&"word for letter", &frame.words.letter);
}

fn lines(what: &str, list: &[String], visit: &mut Visit) {
    for (index, line) in list.iter().enumerate() {
        visit(&format_args!("{what} {}", index + 1), line);
    }
}

fn block(number: usize, block: &Block, visit: &mut Visit) {
    match block {
        Block::Heading { text, .. } => {
            inlines(&format_args!("block {number}: heading"), text, visit)
        }
        Block::Paragraph { text } => {
            inlines(&format_args!("block {number}: paragraph"), text, visit);
        }
        Block::Remark { by, paragraphs, .. } => {
            visit(
                &format_args!("block {number}: author of the remark"),
                by.as_deref().unwrap_or(""),
            );
            lines(&format!("block {number}: remark, paragraph"), paragraphs, visit);
        }
        Block::List { items, .. } => {
            for (n, item) in items.iter().enumerate() {
                inlines(&format_args!("block {number}: list item {}", n + 1), item, visit);
            }
        }
        Block::Table { header, rows, .. } => table(number, header, rows, visit),
        Block::Slot { .. } => {}
        Block::Boxed { blocks } => {
            blocks.iter().for_each(|inner| self::block(number, inner, visit))
        }
        Block::Figures { figures } => {
            for (n, each) in figures.iter().enumerate() {
                figure(&format_args!("block {number}: figure {}", n + 1), each, visit);
            }
        }
    }
}

fn table(number: usize, header: &[Vec<Inline>], rows: &[Vec<Vec<Inline>>], visit: &mut Visit) {
    for (c, cell) in header.iter().enumerate() {
        inlines(&format_args!("block {number}: table header, column {}", c + 1), cell, visit);
    }
    for (r, row) in rows.iter().enumerate() {
        for (c, cell) in row.iter().enumerate() {
            let place = format_args!("block {number}: table row {}, column {}", r + 1, c + 1);
            inlines(&place, cell, visit);
        }
    }
}

fn figure(place: &dyn Display, figure: &Figure, visit: &mut Visit) {
    visit(&format_args!("{place}, caption"), &figure.caption);
    for shape in &figure.drawing.shapes {
        if let Shape::Text { text, .. } = shape {
            visit(&format_args!("{place}, text in the drawing"), text);
        }
    }
}

fn inlines(place: &dyn Display, list: &[Inline], visit: &mut Visit) {
    for each in list {
        match each {
            Inline::Text { text } => visit(place, text),
            Inline::Value { fact: Some(fact), text, .. } => {
                visit(&format_args!("{place}, fact {fact}"), text);
            }
            Inline::Value { fact: None, text, .. } => {
                visit(&format_args!("{place}, typed text"), text);
            }
            Inline::Strong { children } | Inline::Emph { children } => {
                inlines(place, children, visit);
            }
            Inline::Break => {}
        }
    }
}
