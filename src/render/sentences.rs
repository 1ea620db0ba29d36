//! A letter as its sentences, for comparing two versions of it.
//!
//! Every run of words stands as it is printed but without lines: a paragraph
//! gives its sentences, a table a line each row, a figure its caption and
//! description. What stands around the body is one line each. The marks that
//! tell a draft from an issued letter are left out: they are never what
//! changed.

use similar::{Algorithm, DiffOp, capture_diff_slices};

use super::text::words;
use crate::letter::block::{Block, Figure, Frame, Inline, Letter};

/// The sentences of a letter in reading order.
pub fn sentences(letter: &Letter) -> Vec<String> {
    let mut list = head(&letter.frame);
    for block in letter.blocks.iter().flat_map(Block::inside) {
        of_block(block, &mut list);
    }
    list.extend(foot(&letter.frame));
    list.retain(|line| !line.trim().is_empty());
    list
}

/// A sentence that changed, came or went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SentenceChange {
    /// As it was.
    pub old: Option<String>,
    /// As it is now.
    pub new: Option<String>,
}

/// Old and new sentences side by side, those that stayed left out.
pub fn aligned(old: &[String], new: &[String]) -> Vec<SentenceChange> {
    let mut list = Vec::new();
    for op in capture_diff_slices(Algorithm::Patience, old, new) {
        if let DiffOp::Equal { .. } = op {
            continue;
        }
        let (before, after) = (&old[op.old_range()], &new[op.new_range()]);
        for at in 0..before.len().max(after.len()) {
            let (old, new) = (before.get(at).cloned(), after.get(at).cloned());
            list.push(SentenceChange { old, new });
        }
    }
    list
}

fn head(frame: &Frame) -> Vec<String> {
    let mut list = vec![frame.letterhead.name.clone(), frame.letterhead.line.clone()];
    list.extend(frame.letterhead.right.clone());
    list.push(frame.recipient.join(", "));
    list.push(frame.date.clone());
    let patient = &frame.patient;
    let parts = [Some(&patient.name), Some(&patient.born), patient.age.as_ref()];
    let parts = parts.into_iter().chain([patient.record.as_ref()]).flatten();
    list.push(parts.cloned().collect::<Vec<_>>().join(", "));
    list
}

fn foot(frame: &Frame) -> Vec<String> {
    let mut list = vec![frame.closing.clone(), frame.signature.join(", ")];
    list.extend(frame.after.iter().map(|line| words(line)));
    list.extend(frame.notice.clone());
    list.push(frame.caution.clone());
    list
}

fn of_block(block: &Block, list: &mut Vec<String>) {
    match block {
        Block::Heading { text, .. } | Block::Paragraph { text } => {
            list.extend(split(&words(text)));
        }
        Block::Remark { by, paragraphs, .. } => {
            paragraphs.iter().for_each(|p| list.extend(split(p)));
            list.extend(by.clone());
        }
        Block::List { items, .. } => items.iter().for_each(|i| list.extend(split(&words(i)))),
        Block::Table { header, rows, .. } => {
            list.push(row(header));
            list.extend(rows.iter().map(|cells| row(cells)));
        }
        Block::Figures { figures } => figures.iter().for_each(|f| figure(f, list)),
        Block::Slot { .. } | Block::Boxed { .. } => {}
    }
}

fn row(cells: &[Vec<Inline>]) -> String {
    cells.iter().map(|cell| words(cell)).collect::<Vec<_>>().join(" | ")
}

fn figure(figure: &Figure, list: &mut Vec<String>) {
    list.extend(split(&figure.caption));
    list.extend(split(&figure.alt));
}

/// Cuts at a full stop, question or exclamation mark that a capital letter or
/// a digit follows. An abbreviation may be cut too: both versions are cut in
/// the same places, which is all that a comparison needs.
pub fn split(text: &str) -> Vec<String> {
    let text = text.replace('\n', " ");
    let mut list = Vec::new();
    let mut from = 0;
    for (at, _) in text.match_indices(['.', '?', '!']) {
        let rest = &text[at + 1..];
        let next = rest.strip_prefix(' ').and_then(|r| r.chars().next());
        if next.is_some_and(|c| c.is_uppercase() || c.is_ascii_digit()) {
            list.push(text[from..=at].trim().to_string());
            from = at + 1;
        }
    }
    list.push(text[from..].trim().to_string());
    list.retain(|sentence| !sentence.is_empty());
    list
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn sentences_end_where_a_new_one_begins() {
        let text = "It measured 19° (T5–T12). On 4 May it was 26.5 mm, i.e. more. 2 films?";
        let parts =
            ["It measured 19° (T5–T12).", "On 4 May it was 26.5 mm, i.e. more.", "2 films?"];
        assert_eq!(split(text), parts);
        assert_eq!(split("no stop at all"), ["no stop at all"]);
        assert_eq!(split(" "), Vec::<String>::new());
    }
}
