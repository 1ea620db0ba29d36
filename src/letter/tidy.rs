//! Spaces and full stops as a typist would set them.
//!
//! Templates are written in branches, so that spaces pile up where a branch
//! says nothing. Only words of the template are touched; a value is printed
//! as it is.

use super::block::Inline;

/// Marks that no space stands before.
const CLOSING: &[char] = &['.', ',', ';', ':', '!', '?', ')'];

/// Tidies the words of one paragraph, heading, item or cell; nothing is left
/// of one that held no words.
pub fn line(mut words: Vec<Inline>) -> Vec<Inline> {
    let mut end = Edge::Start;
    walk(&mut words, &mut end);
    drop_space_before_closing(&mut words);
    trim_end(&mut words);
    remove_empty(&mut words);
    words
}

/// What the words so far end with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    /// Nothing yet, or a line break.
    Start,
    /// A space.
    Space,
    /// A full stop, exclamation or question mark that belongs to a value.
    ValueStop,
    /// Anything else.
    Word,
}

/// Collapses spaces, drops those at the start of a line, and drops a full
/// stop of the template after a value that brought its own.
fn walk(words: &mut [Inline], end: &mut Edge) {
    for inline in words {
        match inline {
            Inline::Text { text } => *text = collapse(text, end),
            Inline::Value { text, .. } => {
                let stop = text.ends_with(['.', '!', '?', '…']);
                *end = if stop { Edge::ValueStop } else { Edge::Word };
            }
            Inline::Strong { children } | Inline::Emph { children } => walk(children, end),
            Inline::Break => *end = Edge::Start,
        }
    }
}

fn collapse(text: &str, end: &mut Edge) -> String {
    let mut tidy = String::with_capacity(text.len());
    for c in text.chars() {
        let space = matches!(c, ' ' | '\t' | '\n' | '\r');
        match (*end, space) {
            (Edge::Start | Edge::Space, true) => {}
            (_, true) => {
                tidy.push(' ');
                *end = Edge::Space;
            }
            (Edge::ValueStop, false) if c == '.' => *end = Edge::Word,
            (_, false) => {
                tidy.push(c);
                *end = Edge::Word;
            }
        }
    }
    tidy
}

/// Drops a space that closing punctuation of the template follows, even
/// across a value's or a bold word's edge.
fn drop_space_before_closing(words: &mut [Inline]) {
    let mut texts = Vec::new();
    gather(words, &mut texts);
    let mut next: Option<char> = None;
    for leaf in texts.into_iter().rev() {
        match leaf {
            LeafMut::Other(first) => next = first,
            LeafMut::Text(text) => {
                let mut kept: Vec<char> = Vec::with_capacity(text.len());
                for c in text.chars().rev() {
                    let closing = next.is_some_and(|n| CLOSING.contains(&n));
                    if c == ' ' && closing {
                        continue;
                    }
                    kept.push(c);
                    next = Some(c);
                }
                *text = kept.into_iter().rev().collect();
            }
        }
    }
}

enum LeafMut<'a> {
    Text(&'a mut String),
    Other(Option<char>),
}

fn gather<'a>(words: &'a mut [Inline], found: &mut Vec<LeafMut<'a>>) {
    for inline in words {
        match inline {
            Inline::Text { text } => found.push(LeafMut::Text(text)),
            // A value's own first character is not the template's punctuation.
            Inline::Value { .. } | Inline::Break => found.push(LeafMut::Other(None)),
            Inline::Strong { children } | Inline::Emph { children } => gather(children, found),
        }
    }
}

fn trim_end(words: &mut Vec<Inline>) {
    while let Some(last) = words.last_mut() {
        match last {
            Inline::Text { text } => {
                text.truncate(text.trim_end_matches(' ').len());
                if !text.is_empty() {
                    return;
                }
            }
            Inline::Strong { children } | Inline::Emph { children } => {
                trim_end(children);
                if !children.is_empty() {
                    return;
                }
            }
            Inline::Break => {}
            Inline::Value { .. } => return,
        }
        words.pop();
    }
}

fn remove_empty(words: &mut Vec<Inline>) {
    words.retain_mut(|inline| match inline {
        Inline::Text { text } => !text.is_empty(),
        Inline::Strong { children } | Inline::Emph { children } => {
            remove_empty(children);
            !children.is_empty()
        }
        Inline::Value { .. } | Inline::Break => true,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(t: &str) -> Inline {
        Inline::Text { text: t.into() }
    }

    fn value(t: &str) -> Inline {
        Inline::Value { fact: None, text: t.into(), keep: false }
    }

    #[test]
    fn spaces_collapse_and_stand_before_no_stop() {
        let tidied = line(vec![
            text("  The  curve "),
            Inline::Strong { children: vec![text(" rose ")] },
            text(" ."),
            text("  "),
        ]);
        let bold = Inline::Strong { children: vec![text("rose")] };
        assert_eq!(tidied, [text("The curve "), bold, text(".")]);
    }

    #[test]
    fn a_value_is_left_as_typed_and_its_stop_counts() {
        let tidied = line(vec![value("seen  at . school."), text(". Then"), value(".x")]);
        assert_eq!(tidied, [value("seen  at . school."), text(" Then"), value(".x")]);
    }

    #[test]
    fn nothing_but_spaces_is_nothing() {
        assert_eq!(line(vec![text("  "), Inline::Emph { children: vec![text(" ")] }]), []);
    }
}
