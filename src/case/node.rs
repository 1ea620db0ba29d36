//! YAML text as a tree of nodes, each with its place.
//!
//! The tree keeps what was typed and guesses nothing: `007`, `on`, `1e3` and
//! `2024-01-01` are texts here, whatever a YAML reader might take them for.
//! It is built from the event stream of the parser inside serde-saphyr, which
//! is the layer below any typing. What YAML can do but a patient record must
//! not (aliases, anchors, merge keys, tags, a second document) is reported
//! and becomes [`Shape::Refused`], about which nobody complains twice. Knows
//! nothing of cases.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde_saphyr::granit_parser::{
    Event, Marker, Options, Parser, ScalarStyle, ScanError, Span, StrInput, StructureStyle,
};

use super::suggest::quote;
use super::{syntax, text};
use crate::diag::{Code, Diagnostic, Located, Place, Report};

/// How deep lists and records may nest; a case needs six levels.
pub const MAX_DEPTH: usize = 24;

/// One node of the tree.
#[derive(Debug, Clone)]
pub struct Node {
    /// Where it stands.
    pub place: Place,
    /// What it is.
    pub shape: Shape,
}

/// What a node is.
#[derive(Debug, Clone)]
pub enum Shape {
    /// Keys with values, in the order of the file; no key twice.
    Map(Vec<Entry>),
    /// Items in order.
    List(Vec<Node>),
    /// One text, exactly as typed; quotes, escapes and folding undone.
    Scalar {
        /// The text.
        text: String,
        /// Whether it stands without quotes.
        plain: bool,
    },
    /// Nothing after the colon or the dash.
    Empty,
    /// A fault was reported here; say no more about it.
    Refused,
}

impl Shape {
    /// The shape in words.
    pub fn name(&self) -> &'static str {
        match self {
            Shape::Map(_) => "a record",
            Shape::List(_) => "a list",
            Shape::Scalar { .. } => "a single value",
            Shape::Empty => "nothing",
            Shape::Refused => "something refused",
        }
    }
}

/// One key of a record and its value.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The key.
    pub key: Located<String>,
    /// The value.
    pub value: Node,
}

/// The tree of a file, or `None` after a syntax error or if there is nothing
/// in it; every fault is reported.
pub fn parse(source: &str, file: &str, report: &mut Report) -> Option<Node> {
    if source.len() > text::MAX_BYTES {
        return text::decode(source.as_bytes(), file, report).and(None);
    }
    if !text::scan(source, file, report) {
        return None;
    }
    let mut builder = Builder::new(source, file, report);
    let root = builder.document();
    builder.unused_anchors();
    let bracket = builder.brackets.pop();
    match root {
        Ok(Some(root)) => Some(root),
        Ok(None) => {
            report.add(Code::EmptyFile, &Place::whole(file), "the file holds no record");
            None
        }
        Err(error) => {
            report.push(syntax::explain(&error, source, file, bracket));
            None
        }
    }
}

struct Anchor {
    name: String,
    place: Place,
    used: bool,
}

struct Builder<'a> {
    source: &'a str,
    file: Arc<str>,
    events: Parser<'a, StrInput<'a>>,
    anchors: BTreeMap<usize, Anchor>,
    /// Brackets open at this moment, the innermost last.
    brackets: Vec<Place>,
    report: &'a mut Report,
}

type Step<T> = Result<T, Box<ScanError>>;

impl<'a> Builder<'a> {
    fn new(source: &'a str, file: &str, report: &'a mut Report) -> Self {
        let mut options = Options::default();
        options.set_emit_comments(false);
        options.emit_anchor_events = true;
        options.emit_unresolved_aliases = true;
        options.disallow_directives = true;
        options.block_nesting_limit = MAX_DEPTH;
        options.flow_nesting_limit = MAX_DEPTH;
        let events = Parser::new_from_str_with_options(source, options);
        let (anchors, brackets) = (BTreeMap::new(), Vec::new());
        Builder { source, file: file.into(), events, anchors, brackets, report }
    }

    /// The next event that is not an anchor's name; anchors are noted.
    fn next(&mut self) -> Step<Option<(Event<'a>, Span)>> {
        loop {
            match self.events.next().transpose().map_err(Box::new)? {
                Some((Event::Anchor(id, name), span)) => {
                    let place = self.place(&span);
                    self.anchors.insert(id, Anchor { name: name.into(), place, used: false });
                }
                other => return Ok(other),
            }
        }
    }

    fn document(&mut self) -> Step<Option<Node>> {
        let mut root = None;
        while let Some((event, span)) = self.next()? {
            match event {
                Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
                Event::DocumentStart(..) if root.is_some() => {
                    let place = self.place(&span);
                    self.report.add(Code::SeveralDocuments, &place, "a second document starts");
                    break;
                }
                Event::DocumentStart(..) => {}
                event => root = Some(self.node(event, span)?),
            }
        }
        Ok(root)
    }

    fn node(&mut self, event: Event<'a>, span: Span) -> Step<Node> {
        let place = self.place(&span);
        let shape = match event {
            Event::Scalar(text, style, _, tag) => {
                self.cut_by_comment(&text, style, &place);
                self.refuse_tag(tag.is_some(), &span)
                    .unwrap_or_else(|| self.scalar(text.into_owned(), style, &place))
            }
            Event::SequenceStart(style, _, tag) => {
                self.refuse_tag(tag.is_some(), &span);
                self.within(style, &place, Self::list)?
            }
            Event::MappingStart(style, _, tag) => {
                self.refuse_tag(tag.is_some(), &span);
                self.within(style, &place, Self::map)?
            }
            Event::Alias(id) => self.alias(id, &place),
            _ => {
                let message = "this refers to a text that is not defined before it";
                self.report.add(Code::YamlAlias, &place, message);
                Shape::Refused
            }
        };
        Ok(Node { place, shape })
    }

    fn scalar(&mut self, text: String, style: ScalarStyle, place: &Place) -> Shape {
        let plain = style == ScalarStyle::Plain;
        if plain && place.start == place.end {
            return Shape::Empty;
        }
        // Raw characters were reported by the scan; escapes show only here.
        let bad = text.chars().find_map(|c| Some((c, text::forbidden(c)?)));
        let Some((c, why)) = bad else { return Shape::Scalar { text, plain } };
        if !self.source[place.start..place.end].contains(c) {
            self.report.add(Code::ForbiddenCharacter, place, text::describe(c, why));
        }
        Shape::Refused
    }

    /// Reads a list or record; remembers its bracket until it is closed.
    fn within(
        &mut self,
        style: StructureStyle,
        place: &Place,
        read: fn(&mut Self) -> Step<Shape>,
    ) -> Step<Shape> {
        if style == StructureStyle::Block {
            return read(self);
        }
        self.brackets.push(place.clone());
        let shape = read(self)?;
        self.brackets.pop();
        Ok(shape)
    }

    fn list(&mut self) -> Step<Shape> {
        let mut items = Vec::new();
        while let Some((event, span)) = self.next()? {
            if event == Event::SequenceEnd {
                break;
            }
            items.push(self.node(event, span)?);
        }
        Ok(Shape::List(items))
    }

    fn map(&mut self) -> Step<Shape> {
        let mut entries: Vec<Entry> = Vec::new();
        let mut seen: BTreeMap<String, Place> = BTreeMap::new();
        while let Some((event, span)) = self.next()? {
            if event == Event::MappingEnd {
                break;
            }
            let key = self.node(event, span)?;
            let Some((event, span)) = self.next()? else { break };
            let value = self.node(event, span)?;
            let Some(key) = self.key(key, &value) else { continue };
            match seen.get(&key.value) {
                Some(first) => self.duplicate(&key, first),
                None => {
                    seen.insert(key.value.clone(), key.place.clone());
                    entries.push(Entry { key, value });
                }
            }
        }
        Ok(Shape::Map(entries))
    }

    /// A key as text; merge keys and keys that are no text are refused.
    fn key(&mut self, key: Node, value: &Node) -> Option<Located<String>> {
        match key.shape {
            Shape::Scalar { text, plain: true } if text == "<<" => {
                if !matches!(value.shape, Shape::Refused) {
                    self.report.add(Code::YamlAlias, &key.place, "`<<` merges another record");
                }
                None
            }
            Shape::Scalar { text, .. } => Some(Located::new(text, key.place)),
            Shape::Refused => None,
            shape => {
                let message = format!("a key must be a word, found {}", shape.name());
                self.report.add(Code::WrongShape, &key.place, message);
                None
            }
        }
    }

    fn duplicate(&mut self, key: &Located<String>, first: &Place) {
        let message = format!("`{}` stands twice in one record", key.value);
        let diagnostic = Diagnostic::new(Code::DuplicateKey, Some(key.place.clone()), message);
        self.report.push(diagnostic.related(first.clone(), "first here"));
    }

    fn alias(&mut self, id: usize, place: &Place) -> Shape {
        let Some(anchor) = self.anchors.get_mut(&id) else { return Shape::Refused };
        // One report for each anchor: a bomb of a million aliases is one fault.
        if !anchor.used {
            anchor.used = true;
            let message = format!("`*{}` repeats another part of the file", anchor.name);
            let diagnostic = Diagnostic::new(Code::YamlAlias, Some(place.clone()), message);
            let defined = anchor.place.clone();
            self.report.push(diagnostic.related(defined, "the part it repeats"));
        }
        Shape::Refused
    }

    fn unused_anchors(&mut self) {
        for anchor in self.anchors.values().filter(|a| !a.used) {
            let message = format!("`&{}` marks a part of the file for repetition", anchor.name);
            self.report.add(Code::YamlAlias, &anchor.place, message);
        }
    }

    /// Reports a tag; a tagged scalar is not read, for its meaning is in doubt.
    fn refuse_tag(&mut self, tagged: bool, span: &Span) -> Option<Shape> {
        if !tagged {
            return None;
        }
        let start = span.tag_start.unwrap_or(span.start);
        let place = self.between(start, start);
        self.report.add(Code::YamlTag, &place, "a YAML tag (`!...`) changes how a value is read");
        Some(Shape::Refused)
    }

    /// Warns where ` #` may have cut a value short: `name: Ann #1`.
    fn cut_by_comment(&mut self, value: &str, style: ScalarStyle, place: &Place) {
        if style != ScalarStyle::Plain {
            return;
        }
        let rest = &self.source[place.end..];
        let comment = rest.trim_start_matches([' ', '\t']);
        let typed = comment.strip_prefix('#').and_then(|c| c.chars().next());
        if comment.len() < rest.len() && typed.is_some_and(char::is_alphanumeric) {
            let message =
                format!("the value ends at {}: what follows ` #` is a comment", quote(value));
            self.report.add(Code::CommentCutsValue, place, message);
        }
    }

    fn place(&self, span: &Span) -> Place {
        self.between(span.start, span.end)
    }

    fn between(&self, start: Marker, end: Marker) -> Place {
        let byte = |m: Marker| m.byte_offset().unwrap_or(0).min(self.source.len());
        Place {
            file: self.file.clone(),
            line: start.line() as u32,
            column: start.col() as u32 + 1,
            start: byte(start),
            end: byte(end).max(byte(start)),
        }
    }
}
