//! From a template's Markdown to typed blocks.
//!
//! Markdown is parsed first, with only opaque marks in the places of values;
//! then each mark is replaced by its token, exactly once. What a value holds
//! is therefore never Markdown. Constructs that letters do not have are
//! faults, each with its place in the text.

use std::ops::Range;

use pulldown_cmark::{Alignment, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use super::block::{Align, Block, Inline};
use super::token::{Piece, Token, TokenTable, pieces};
use super::{extra::shorten, tidy};
use crate::diag::Code;

/// A fault of the Markdown that a template made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkdownFault {
    /// Which kind.
    pub code: Code,
    /// What is wrong.
    pub message: String,
    /// Where in the text, in bytes.
    pub at: Range<usize>,
}

/// Reads Markdown with marks into blocks.
pub fn blocks(text: &str, tokens: &TokenTable) -> Result<Vec<Block>, Vec<MarkdownFault>> {
    let lines = Dedented::of(text);
    let events = Parser::new_ext(&lines.text, Options::ENABLE_TABLES).into_offset_iter();
    let mut reader = Reader {
        events: events.collect(),
        next: 0,
        tokens,
        used: Vec::new(),
        faults: Vec::new(),
        summary: None,
    };
    let blocks = reader.blocks();
    reader.unused(&lines.text);
    let mut faults = reader.faults;
    faults.iter_mut().for_each(|f| f.at = lines.origin(f.at.start)..lines.origin(f.at.end));
    if faults.is_empty() { Ok(blocks) } else { Err(faults) }
}

/// The text without the spaces around its lines: templates are indented to
/// be read, and Markdown would take that for code.
struct Dedented {
    text: String,
    /// For each line, where it starts here and where it came from.
    starts: Vec<(usize, usize)>,
}

impl Dedented {
    fn of(text: &str) -> Self {
        let mut found = Dedented { text: String::with_capacity(text.len()), starts: Vec::new() };
        let mut origin = 0;
        for line in text.split_inclusive('\n') {
            let words = line.trim_start();
            found.starts.push((found.text.len(), origin + line.len() - words.len()));
            found.text.push_str(words.trim_end());
            found.text.push('\n');
            origin += line.len();
        }
        found
    }

    fn origin(&self, at: usize) -> usize {
        let line = self.starts.partition_point(|(here, _)| *here <= at).saturating_sub(1);
        self.starts.get(line).map_or(0, |(here, origin)| origin + (at - here))
    }
}

struct Reader<'a> {
    events: Vec<(Event<'a>, Range<usize>)>,
    next: usize,
    tokens: &'a TokenTable,
    /// Numbers of the tokens that came out, in order.
    used: Vec<usize>,
    faults: Vec<MarkdownFault>,
    /// What the table to come shows.
    summary: Option<(String, Range<usize>)>,
}

impl<'a> Reader<'a> {
    fn take(&mut self) -> Option<(Event<'a>, Range<usize>)> {
        let event = self.events.get(self.next).cloned();
        self.next += 1;
        event
    }

    fn fault(&mut self, code: Code, message: impl Into<String>, at: &Range<usize>) {
        self.faults.push(MarkdownFault { code, message: message.into(), at: at.clone() });
    }

    fn refuse(&mut self, what: &str, at: &Range<usize>) {
        self.fault(Code::MarkdownNotAllowed, format!("{what} has no place in a letter"), at);
    }

    fn blocks(&mut self) -> Vec<Block> {
        let mut found = Vec::new();
        while let Some((event, at)) = self.take() {
            let block = match event {
                Event::Start(Tag::Paragraph) => self.paragraph(&at),
                Event::Start(Tag::Heading { level, .. }) => self.heading(level, &at),
                Event::Start(Tag::List(first)) => self.list(first, &at),
                Event::Start(Tag::Table(align)) => self.table(&align, &at),
                other => {
                    self.refused(&other, &at);
                    None
                }
            };
            if !matches!(block, None | Some(Block::Table { .. })) {
                self.spend_summary();
            }
            found.extend(block);
        }
        self.spend_summary();
        found
    }

    /// A summary that no table followed.
    fn spend_summary(&mut self) {
        if let Some((text, at)) = self.summary.take() {
            let message =
                format!("no table follows the summary \u{201c}{}\u{201d}", shorten(&text));
            self.fault(Code::TemplateFault, message, &at);
        }
    }

    /// Reports what letters do not have, and skips it.
    fn refused(&mut self, event: &Event<'_>, at: &Range<usize>) {
        let what = match event {
            Event::Start(Tag::BlockQuote(_)) => "a block quotation",
            Event::Start(Tag::CodeBlock(_)) | Event::Code(_) => "code",
            Event::Start(Tag::HtmlBlock) | Event::Html(_) | Event::InlineHtml(_) => "HTML",
            Event::Start(Tag::Link { .. }) => "a link",
            Event::Start(Tag::Image { .. }) => "an image",
            Event::Start(Tag::List(_)) => "a list inside a list",
            Event::Rule => "a rule",
            _ => "this piece of Markdown",
        };
        self.refuse(what, at);
        if matches!(event, Event::Start(_)) {
            self.skip();
        }
    }

    /// Skips to the end of what was just started.
    fn skip(&mut self) {
        let mut depth = 1;
        while depth > 0 {
            match self.take() {
                Some((Event::Start(_), _)) => depth += 1,
                Some((Event::End(_), _)) => depth -= 1,
                // Marks inside count as used: one fault is enough.
                Some((Event::Text(t) | Event::Code(t) | Event::Html(t), _)) => {
                    self.used.extend(marks(&t));
                }
                Some(_) => {}
                None => break,
            }
        }
    }

    fn paragraph(&mut self, at: &Range<usize>) -> Option<Block> {
        if let Some(index) = self.lone_mark() {
            return self.block_token(index, at);
        }
        let text = tidy::line(self.inlines(TagEnd::Paragraph));
        (!text.is_empty()).then_some(Block::Paragraph { text })
    }

    /// The token of a paragraph that holds nothing but the mark of a block.
    fn lone_mark(&mut self) -> Option<usize> {
        let [(Event::Text(text), _), (Event::End(TagEnd::Paragraph), _)] =
            self.events.get(self.next..self.next + 2)?
        else {
            return None;
        };
        let [Piece::Mark(index)] = pieces(text)[..] else { return None };
        self.tokens.get(index).filter(|t| t.is_block())?;
        self.next += 2;
        Some(index)
    }

    fn block_token(&mut self, index: usize, at: &Range<usize>) -> Option<Block> {
        self.used.push(index);
        match self.tokens.get(index)?.clone() {
            Token::Remark { by, paragraphs, language } => {
                Some(Block::Remark { by, paragraphs, language })
            }
            Token::Slot(wanted) => Some(Block::Slot { wanted }),
            Token::Summary(text) => {
                self.spend_summary();
                self.summary = Some((text, at.clone()));
                None
            }
            Token::Value { .. } | Token::Words(_) => None,
        }
    }

    fn heading(&mut self, level: HeadingLevel, at: &Range<usize>) -> Option<Block> {
        let text = tidy::line(self.inlines(TagEnd::Heading(level)));
        let level = level as u8;
        if level > 3 {
            self.refuse(&format!("a heading of level {level}"), at);
        }
        if text.is_empty() {
            self.fault(Code::EmptyHeading, "a heading has no words", at);
        }
        Some(Block::Heading { level: level.min(3), text })
    }

    fn list(&mut self, first: Option<u64>, at: &Range<usize>) -> Option<Block> {
        if let Some(first) = first.filter(|n| *n != 1) {
            let message = format!("a numbered list starts at {first}, but is set from 1");
            self.fault(Code::MarkdownNotAllowed, message, at);
        }
        let mut items = Vec::new();
        while let Some((event, at)) = self.take() {
            match event {
                Event::Start(Tag::Item) => {
                    let item = tidy::line(self.item(&at));
                    if !item.is_empty() {
                        items.push(item);
                    }
                }
                Event::End(TagEnd::List(_)) => break,
                _ => {}
            }
        }
        (!items.is_empty()).then_some(Block::List { ordered: first.is_some(), items })
    }

    /// An item is one paragraph, tight or loose.
    fn item(&mut self, at: &Range<usize>) -> Vec<Inline> {
        let start = self.events.get(self.next).map(|(event, _)| event);
        if !matches!(start, Some(Event::Start(Tag::Paragraph))) {
            return self.inlines(TagEnd::Item);
        }
        self.next += 1;
        let words = self.inlines(TagEnd::Paragraph);
        match self.take() {
            Some((Event::End(TagEnd::Item), _)) | None => {}
            Some((event, inner)) => {
                self.refuse("a list item of several blocks", at);
                self.refused(&event, &inner);
                self.inlines(TagEnd::Item);
            }
        }
        words
    }

    fn table(&mut self, columns: &[Alignment], at: &Range<usize>) -> Option<Block> {
        let mut header = Vec::new();
        let mut rows = Vec::new();
        while let Some((event, at)) = self.take() {
            match event {
                Event::Start(Tag::TableHead) => header = self.cells(&at),
                Event::Start(Tag::TableRow) => rows.push(self.cells(&at)),
                Event::End(TagEnd::Table) => break,
                _ => {}
            }
        }
        let Some((summary, _)) = self.summary.take() else {
            let message = "a table has no summary: write {{ summary(\"…\") }} on the line above";
            self.fault(Code::MarkdownNotAllowed, message, at);
            return None;
        };
        if rows.is_empty() {
            self.fault(Code::MarkdownNotAllowed, "a table has no rows", at);
        }
        let align = columns.iter().map(alignment).collect();
        Some(Block::Table { summary, align, header, rows })
    }

    /// The cells of one row, to the end of the row or head.
    fn cells(&mut self, at: &Range<usize>) -> Vec<Vec<Inline>> {
        let mut cells = Vec::new();
        while let Some((event, _)) = self.take() {
            match event {
                Event::Start(Tag::TableCell) => {
                    let cell = tidy::line(self.inlines(TagEnd::TableCell));
                    if cell.is_empty() {
                        let message = format!("cell {} of a table row is empty", cells.len() + 1);
                        self.fault(Code::MarkdownNotAllowed, message, at);
                    }
                    cells.push(cell);
                }
                Event::End(TagEnd::TableRow | TagEnd::TableHead) => break,
                _ => {}
            }
        }
        cells
    }

    fn inlines(&mut self, end: TagEnd) -> Vec<Inline> {
        let mut found = Vec::new();
        // Text comes in pieces; a mark must not be torn between two of them.
        let mut open = String::new();
        let mut from = 0..0;
        while let Some((event, at)) = self.take() {
            match event {
                Event::Text(text) => {
                    if open.is_empty() {
                        from = at.clone();
                    }
                    open.push_str(&text);
                    continue;
                }
                Event::SoftBreak => {
                    open.push(' ');
                    continue;
                }
                _ => self.replace(&std::mem::take(&mut open), &from, &mut found),
            }
            match event {
                Event::End(e) if e == end => return found,
                Event::HardBreak => found.push(Inline::Break),
                Event::Start(Tag::Strong) => {
                    found.push(Inline::Strong { children: self.inlines(TagEnd::Strong) });
                }
                Event::Start(Tag::Emphasis) => {
                    found.push(Inline::Emph { children: self.inlines(TagEnd::Emphasis) });
                }
                other => self.refused(&other, &at),
            }
        }
        found
    }

    /// Replaces the marks in a run of words.
    fn replace(&mut self, text: &str, at: &Range<usize>, found: &mut Vec<Inline>) {
        for piece in pieces(text) {
            match piece {
                Piece::Text(words) => push_text(found, words),
                Piece::Broken => self.fault(Code::LetterInternal, "a mark is broken", at),
                Piece::Mark(index) => self.replace_one(index, at, found),
            }
        }
    }

    fn replace_one(&mut self, index: usize, at: &Range<usize>, found: &mut Vec<Inline>) {
        self.used.push(index);
        match self.tokens.get(index) {
            Some(Token::Words(words)) => push_text(found, words),
            Some(Token::Value { fact, text, keep }) => found.push(Inline::Value {
                fact: fact.as_ref().map(ToString::to_string),
                text: text.clone(),
                keep: *keep,
            }),
            Some(_) => {
                let message = "a remark, figures or summary stands inside other text";
                self.fault(Code::MarkdownNotAllowed, message, at);
            }
            None => {
                let message = format!("the mark {index} has no value");
                self.fault(Code::LetterInternal, message, at);
            }
        }
    }

    /// Every mark of the text must have come out once: Markdown drops, for
    /// example, the cells of a row beyond the last column.
    fn unused(&mut self, text: &str) {
        let mut there = marks(text);
        there.sort_unstable();
        self.used.sort_unstable();
        if there == self.used || !self.faults.is_empty() {
            return;
        }
        let lost = there.iter().find(|i| !self.used.contains(i));
        let words = lost.and_then(|i| self.tokens.get(*i)).map(|t| match t {
            Token::Value { text, .. } | Token::Words(text) | Token::Summary(text) => shorten(text),
            Token::Remark { .. } => "a remark".into(),
            Token::Slot(_) => "figures".into(),
        });
        let message = match words {
            Some(words) => {
                format!("\u{201c}{words}\u{201d} is lost: is a row longer than its head?")
            }
            None => "a value came out twice".to_string(),
        };
        self.fault(Code::MarkdownNotAllowed, message, &(0..0));
    }
}

fn marks(text: &str) -> Vec<usize> {
    let mark = |p: Piece<'_>| match p {
        Piece::Mark(index) => Some(index),
        _ => None,
    };
    pieces(text).into_iter().filter_map(mark).collect()
}

fn push_text(found: &mut Vec<Inline>, words: &str) {
    match found.last_mut() {
        Some(Inline::Text { text }) => text.push_str(words),
        _ => found.push(Inline::Text { text: words.to_string() }),
    }
}

fn alignment(a: &Alignment) -> Align {
    match a {
        Alignment::None | Alignment::Left => Align::Left,
        Alignment::Center => Align::Center,
        Alignment::Right => Align::Right,
    }
}
