//! Faults in a letter's outline that the standards forbid, said in its own terms.
//!
//! The engine reports some of these at export without naming the block, and a
//! table without a header row not at all.

use crate::letter::block::{Block, Figure, Letter};

/// The faults, each in one line; empty if the letter may be typeset.
pub fn faults(letter: &Letter) -> Vec<String> {
    let mut list = Vec::new();
    if letter.frame.title.trim().is_empty() {
        list.push("the letter has no title".to_string());
    }
    headings(letter, &mut list);
    for (index, block) in letter.blocks.iter().enumerate() {
        for fault in of_block(block) {
            list.push(format!("block {}: {fault}", index + 1));
        }
    }
    list
}

fn headings(letter: &Letter, list: &mut Vec<String>) {
    let mut before = 0;
    for (index, block) in letter.blocks.iter().enumerate() {
        let Block::Heading { level, .. } = block else { continue };
        if *level == 0 || *level > 3 || *level > before + 1 {
            let after = if before == 0 { "no heading".into() } else { format!("level {before}") };
            list.push(format!("block {}: heading of level {level} after {after}", index + 1));
        }
        before = *level;
    }
}

fn of_block(block: &Block) -> Vec<String> {
    match block {
        Block::Boxed { blocks } => blocks.iter().flat_map(boxed).collect(),
        Block::Table { align, header, rows, .. } => table(align.len(), header.len(), rows),
        Block::Figures { figures } => figures.iter().flat_map(figure).collect(),
        Block::Slot { wanted } => vec![format!("no figure was drawn for {}", wanted.join(", "))],
        _ => Vec::new(),
    }
}

/// A box stands before the first heading and holds words alone.
fn boxed(block: &Block) -> Vec<String> {
    match block {
        Block::Heading { .. } => vec!["heading inside a box".to_string()],
        Block::Figures { .. } => vec!["figure inside a box".to_string()],
        Block::Boxed { .. } => vec!["box inside a box".to_string()],
        block => of_block(block),
    }
}

fn table<T>(columns: usize, header: usize, rows: &[Vec<T>]) -> Vec<String> {
    let mut list = Vec::new();
    if header == 0 {
        list.push("table without a header row".to_string());
    }
    if columns != header {
        list.push(format!("table with {header} header cells but {columns} column alignments"));
    }
    for (index, row) in rows.iter().enumerate().filter(|(_, row)| row.len() != header) {
        list.push(format!("table row {} has {} cells, not {header}", index + 1, row.len()));
    }
    list
}

fn figure(figure: &Figure) -> Vec<String> {
    let mut list = Vec::new();
    if figure.alt.trim().is_empty() {
        list.push("figure without alt text".to_string());
    }
    let drawing = &figure.drawing;
    if !(drawing.width > 0.0 && drawing.height > 0.0) {
        list.push(format!("figure of {} by {} mm", drawing.width, drawing.height));
    }
    list
}
