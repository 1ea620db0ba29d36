//! The prose of a letter: what its grade is taken from.
//!
//! | in the letter | in the count |
//! |---|---|
//! | headings, paragraphs, items of lists | prose |
//! | the bold words that head a paragraph, up to five, with a full stop | no sentence, left out |
//! | a salutation: a paragraph that ends with a comma | left out |
//! | tables, figures, frame with its addresses and numbers | left out |
//! | remarks, and typed text of more than four words in a sentence | the clinician's own words, counted apart |
//! | shorter typed text, people's names, greetings | words of one syllable, where they begin with a capital |
//! | numbers, days, years | words of one syllable; units and months as spoken |

use std::ops::Range;

use crate::facts::{Facts, Value};
use crate::letter::block::{Block, Inline};

use super::count::words;

/// Typed text of more words is somebody's own words, not a name.
const NAME_WORDS: usize = 4;
/// Bold words of more words are a sentence, not a heading.
const HEADING_WORDS: usize = 5;

/// Words that belong together, as printed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Passage {
    /// The words.
    pub text: String,
    /// Where names stand in it, in bytes.
    pub names: Vec<Range<usize>>,
}

impl Passage {
    /// A passage without names.
    pub fn plain(text: &str) -> Passage {
        Passage { text: text.to_string(), names: Vec::new() }
    }
}

/// The words of a letter, the template's and the clinician's apart.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Prose {
    /// What the template says.
    pub passages: Vec<Passage>,
    /// What somebody typed.
    pub own: Vec<Passage>,
}

/// The words of a letter's body; `facts` tells which values were typed.
pub fn prose(blocks: &[Block], facts: &Facts) -> Prose {
    let mut found = Prose::default();
    for block in blocks.iter().flat_map(Block::inside) {
        match block {
            Block::Heading { text, .. } => found.take(text, facts),
            Block::Paragraph { text } => found.take(without_heading(text), facts),
            Block::List { items, .. } => items.iter().for_each(|item| found.take(item, facts)),
            Block::Remark { paragraphs, .. } => {
                found.own.extend(paragraphs.iter().map(|text| Passage::plain(text)));
            }
            Block::Table { .. }
            | Block::Slot { .. }
            | Block::Figures { .. }
            | Block::Boxed { .. } => {}
        }
    }
    found
}

impl Prose {
    fn take(&mut self, inlines: &[Inline], facts: &Facts) {
        let mut passage = Passage::default();
        self.add(inlines, facts, &mut passage);
        let text = passage.text.trim_end();
        if !text.is_empty() && !text.ends_with(',') {
            self.passages.push(passage);
        }
    }

    fn add(&mut self, inlines: &[Inline], facts: &Facts, passage: &mut Passage) {
        for inline in inlines {
            match inline {
                Inline::Text { text } => passage.text.push_str(text),
                Inline::Break => passage.text.push(' '),
                Inline::Strong { children } | Inline::Emph { children } => {
                    self.add(children, facts, passage);
                }
                Inline::Value { fact, text, .. } => match fact.as_deref().map(|id| facts.get(id)) {
                    Some(Some(fact)) if !matches!(fact.value, Value::Text(_)) => {
                        passage.text.push_str(text);
                    }
                    Some(_) if words(text).len() > NAME_WORDS => {
                        self.own.push(Passage::plain(text));
                    }
                    _ => {
                        let start = passage.text.len();
                        passage.text.push_str(text);
                        passage.names.push(start..passage.text.len());
                    }
                },
            }
        }
    }
}

/// A paragraph without the bold words that head it.
fn without_heading(text: &[Inline]) -> &[Inline] {
    match text.split_first() {
        Some((Inline::Strong { children }, rest)) if !rest.is_empty() => {
            let bold = crate::letter::lint::plain(children);
            let heads = bold.trim_end().ends_with(['.', ':', '?']);
            if heads && words(&bold).len() <= HEADING_WORDS { rest } else { text }
        }
        _ => text,
    }
}
