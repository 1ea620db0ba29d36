//! The sentences of two letters beside each other.

use super::SentenceChange;
use crate::letter::block::{Block, Inline, Letter};

/// The sentences of a letter's body in reading order; a row of a table is one.
pub(super) fn sentences(letter: &Letter) -> Vec<String> {
    let mut list = Vec::new();
    for block in &letter.blocks {
        of_block(block, &mut list);
    }
    list.retain(|sentence| !sentence.is_empty());
    list
}

fn of_block(block: &Block, list: &mut Vec<String>) {
    match block {
        Block::Heading { text, .. } | Block::Paragraph { text } => cut(&words(text), list),
        Block::Remark { paragraphs, .. } => paragraphs.iter().for_each(|p| cut(p, list)),
        Block::List { items, .. } => items.iter().for_each(|item| cut(&words(item), list)),
        Block::Table { header, rows, .. } => {
            let row = |cells: &Vec<Vec<Inline>>| {
                cells.iter().map(|cell| words(cell)).collect::<Vec<_>>().join(" | ")
            };
            list.extend([header].into_iter().chain(rows).map(row));
        }
        Block::Figures { figures } => figures.iter().for_each(|figure| {
            cut(&figure.caption, list);
            cut(&figure.alt, list);
        }),
        _ => {}
    }
}

fn words(inlines: &[Inline]) -> String {
    let word = |inline: &Inline| match inline {
        Inline::Text { text } | Inline::Value { text, .. } => text.clone(),
        Inline::Strong { children } | Inline::Emph { children } => words(children),
        Inline::Break => " ".to_string(),
    };
    inlines.iter().map(word).collect()
}

/// Cuts a paragraph into its sentences.
fn cut(text: &str, list: &mut Vec<String>) {
    let whole = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut rest = whole.as_str();
    while let Some(end) = stop(rest) {
        list.push(rest[..end].to_string());
        rest = rest[end..].trim_start();
    }
    list.push(rest.to_string());
}

/// Just after the first full stop, question or exclamation mark that ends a
/// sentence; an initial or a title (`Dr.`) ends none.
fn stop(text: &str) -> Option<usize> {
    let ends = text.match_indices(['.', '?', '!']);
    ends.map(|(at, mark)| at + mark.len()).find(|end| {
        let next = text[*end..].strip_prefix(' ').and_then(|rest| rest.chars().next());
        let word = text[..*end - 1].rsplit(' ').next().unwrap_or_default();
        next.is_some_and(|c| !c.is_lowercase()) && word.chars().count() > 2
    })
}

/// Old and new beside each other, those that stay left out: by the longest
/// common sequence.
pub(super) fn aligned(old: &[String], new: &[String]) -> Vec<SentenceChange> {
    let mut longest = vec![vec![0_usize; new.len() + 1]; old.len() + 1];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            longest[i][j] = match old[i] == new[j] {
                true => longest[i + 1][j + 1] + 1,
                false => longest[i + 1][j].max(longest[i][j + 1]),
            };
        }
    }
    let (mut i, mut j, mut list) = (0, 0, Vec::new());
    let (mut gone, mut come) = (Vec::new(), Vec::new());
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            beside(&mut gone, &mut come, &mut list);
            (i, j) = (i + 1, j + 1);
        } else if j == new.len() || (i < old.len() && longest[i + 1][j] >= longest[i][j + 1]) {
            gone.push(old[i].clone());
            i += 1;
        } else {
            come.push(new[j].clone());
            j += 1;
        }
    }
    beside(&mut gone, &mut come, &mut list);
    list
}

/// What went and came between two sentences that stay, pair by pair.
fn beside(gone: &mut Vec<String>, come: &mut Vec<String>, list: &mut Vec<SentenceChange>) {
    for n in 0..gone.len().max(come.len()) {
        list.push(SentenceChange { old: gone.get(n).cloned(), new: come.get(n).cloned() });
    }
    gone.clear();
    come.clear();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_end_where_they_end() {
        let mut list = Vec::new();
        cut(
            "Dear Dr. Fenner, the curve\nis 26 degrees. It was 19.5 degrees. Does it rise? No.",
            &mut list,
        );
        assert_eq!(
            list,
            [
                "Dear Dr. Fenner, the curve is 26 degrees.",
                "It was 19.5 degrees.",
                "Does it rise?",
                "No."
            ]
        );
    }

    #[test]
    fn what_went_and_came_stands_beside_each_other() {
        let list = |words: &[&str]| words.iter().map(|w| w.to_string()).collect::<Vec<_>>();
        let found = aligned(&list(&["a", "b", "c"]), &list(&["a", "x", "c", "d"]));
        let change = |old: Option<&str>, new: Option<&str>| SentenceChange {
            old: old.map(str::to_string),
            new: new.map(str::to_string),
        };
        assert_eq!(found, [change(Some("b"), Some("x")), change(None, Some("d"))]);
        assert_eq!(aligned(&list(&["a"]), &list(&["a"])), []);
    }
}
