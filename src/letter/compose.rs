//! From facts and a template to the blocks of a letter.
//!
//! Templates → text with marks → Markdown → blocks with values → checks. What
//! the template looked at and what it printed is handed back, for `explain`
//! and for the check that a reader sees only what is open to them.

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error as _;
use std::ops::Range;
use std::sync::Arc;

use minijinja::{ErrorKind, OutputSpan};

use super::block::Block;
use super::extra::Extra;
use super::lint;
use super::markdown::{self, MarkdownFault};
use super::object::{FactTree, roots};
use super::session::{Fault, Session};
use super::source::{Source, shown_name};
use super::template::Templates;
use super::wording::Style;
use crate::diag::{Code, Diagnostic, Place, Report};
use crate::facts::{FactId, Facts};
use crate::rules::readers::{Absent, Reader};

/// A composed letter.
#[derive(Debug, Clone)]
pub struct Composed {
    /// The body.
    pub blocks: Vec<Block>,
    /// Every fact the template looked up, printed or not.
    pub read: BTreeSet<FactId>,
    /// Paths the template asked for that do not exist.
    pub absent: BTreeSet<String>,
    /// Facts in the order they were printed, with repeats.
    pub printed: Vec<FactId>,
    /// Remarks in another language than the letter's, with the tag of theirs.
    pub foreign: BTreeMap<FactId, String>,
}

/// How many facts without value are looked for before giving up.
const MISSING_AT_MOST: usize = 20;

/// Composes words that no reader's file speaks of: a box, a notice, a list.
/// All printed facts without value are reported at once.
pub fn compose(
    templates: &Templates,
    template: &str,
    facts: &Facts,
    style: &Style,
    extras: &BTreeMap<String, Extra>,
) -> Result<Composed, Report> {
    composed(None, templates, template, facts, style, extras)
}

/// Composes one letter to a reader: what is closed to them cannot be looked
/// at.
pub fn compose_for(
    reader: &Reader,
    templates: &Templates,
    template: &str,
    facts: &Facts,
    style: &Style,
    extras: &BTreeMap<String, Extra>,
) -> Result<Composed, Report> {
    composed(Some(reader), templates, template, facts, style, extras)
}

fn composed(
    reader: Option<&Reader>,
    templates: &Templates,
    template: &str,
    facts: &Facts,
    style: &Style,
    extras: &BTreeMap<String, Extra>,
) -> Result<Composed, Report> {
    let composing = Composing {
        reader: reader.map(|reader| Arc::new(reader.clone())),
        unrecorded: reader.map(|reader| reader.absent(facts)).unwrap_or_default(),
        templates,
        template,
        tree: Arc::new(FactTree::new(facts.clone())),
        style: Arc::new(style.clone()),
        extras,
    };
    let mut report = Report::default();
    let mut tolerated = BTreeSet::new();
    loop {
        match composing.once(&tolerated) {
            Ok(done) if report.is_empty() => return Ok(done),
            Ok(_) => return Err(report),
            Err(Stopped { diagnostics, missing }) => {
                diagnostics.into_iter().for_each(|d| report.push(d));
                // The fact is passed over once, so that the next is found too.
                let next = missing.filter(|_| tolerated.len() < MISSING_AT_MOST);
                if !next.is_some_and(|id| tolerated.insert(id)) {
                    return Err(report);
                }
            }
        }
    }
}

struct Composing<'a> {
    reader: Option<Arc<Reader>>,
    unrecorded: Vec<Absent>,
    templates: &'a Templates,
    template: &'a str,
    tree: Arc<FactTree>,
    style: Arc<Style>,
    extras: &'a BTreeMap<String, Extra>,
}

/// Why a composition stopped.
struct Stopped {
    diagnostics: Vec<Diagnostic>,
    missing: Option<FactId>,
}

impl From<Diagnostic> for Stopped {
    fn from(diagnostic: Diagnostic) -> Self {
        Stopped { diagnostics: vec![diagnostic], missing: None }
    }
}

impl Composing<'_> {
    fn once(&self, tolerated: &BTreeSet<FactId>) -> Result<Composed, Stopped> {
        let (reader, unrecorded) = (self.reader.clone(), self.unrecorded.clone());
        let session = Session::new(self.style.clone(), reader, unrecorded, tolerated.clone());
        let session = Arc::new(session);
        let (text, spans) = self.render(&session)?;
        let gathered = std::mem::take(&mut *session.gathered());
        if let Some(what) = gathered.misused.first() {
            let message = format!("`{what}` stands as a condition, or is compared, as a whole");
            return Err(self.at_template(Code::TemplateFault, message).into());
        }
        let blocks = markdown::blocks(&text, &gathered.tokens)
            .map_err(|faults| self.markdown_faults(faults, &spans))?;
        self.check(&blocks)?;
        let (read, absent, printed) = (gathered.read, gathered.absent, gathered.printed);
        Ok(Composed { blocks, read, absent, printed, foreign: gathered.foreign })
    }

    fn render(&self, session: &Arc<Session>) -> Result<(String, Vec<OutputSpan>), Stopped> {
        let environment = self.templates.for_session(session, self.globals(session)?);
        let sources = self.templates.prepared();
        let template = environment.get_template(self.template).map_err(|_| {
            let message = match sources.contains_key(self.template) {
                true => "the template has faults, so no letter is made from it",
                false => "there is no template of this name",
            };
            self.at_template(Code::TemplateFault, message)
        })?;
        template.render_with_spans(()).map_err(|error| {
            let missing = fault_in(&error).and_then(|f| f.missing.clone());
            let mut found = diagnostic(&error, self.template, sources);
            self.suggest(&mut found);
            Stopped { diagnostics: vec![found], missing }
        })
    }

    /// Facts by their first name, and what the letter knows beside them.
    fn globals(
        &self,
        session: &Arc<Session>,
    ) -> Result<Vec<(String, minijinja::Value)>, Diagnostic> {
        let mut globals = roots(&self.tree, session);
        for (name, extra) in self.extras {
            if self.tree.has_root(name) {
                let message = format!("`{name}` names both facts and something beside them");
                return Err(self.at_template(Code::LetterInternal, message));
            }
            globals.push((name.clone(), extra.object(name, session)));
        }
        let (tree, asked) = (self.tree.clone(), session.clone());
        let has = minijinja::Value::from_function(move |path: &str| tree.has(path, &asked));
        globals.push(("has".to_string(), has));
        Ok(globals)
    }

    fn at_template(&self, code: Code, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(code, Some(Place::whole(&shown_name(self.template))), message)
    }

    /// Names what does exist beside something undefined.
    fn suggest(&self, diagnostic: &mut Diagnostic) {
        let path = diagnostic.message.split('`').nth(1).unwrap_or_default();
        let parent = path.rsplit_once('.').map_or("", |(parent, _)| parent);
        let names = self.tree.names_under(parent);
        if diagnostic.message.ends_with("is undefined") && !names.is_empty() {
            let shown: Vec<&str> = names.iter().take(12).copied().collect();
            let under = if parent.is_empty() { "facts begin with" } else { "under it are" };
            diagnostic.remedy = Some(format!("{under}: {}", shown.join(", ")));
        }
    }

    fn markdown_faults(&self, faults: Vec<MarkdownFault>, spans: &[OutputSpan]) -> Stopped {
        let one =
            |f: MarkdownFault| Diagnostic::new(f.code, Some(self.origin(&f.at, spans)), f.message);
        Stopped { diagnostics: faults.into_iter().map(one).collect(), missing: None }
    }

    /// The place in the template that wrote a stretch of the text.
    fn origin(&self, at: &Range<usize>, spans: &[OutputSpan]) -> Place {
        let sources = self.templates.prepared();
        let span = spans.iter().find(|s| s.output_range().end > at.start);
        let found = span.and_then(|s| Some((s, sources.get(s.name())?)));
        let Some((span, source)) = found.filter(|_| !at.is_empty()) else {
            return Place::whole(&shown_name(self.template));
        };
        let into = at.start.saturating_sub(span.output_range().start);
        let written = span.source_range();
        // Words are copied as they are, so that an offset into them holds.
        let start = match span.kind() {
            minijinja::OutputSpanKind::Raw => (written.start + into).min(written.end),
            _ => written.start,
        };
        source.place(start, written.end)
    }

    fn check(&self, blocks: &[Block]) -> Result<(), Stopped> {
        let bare = lint::bare_headings(blocks).into_iter().map(|heading| {
            let message = format!("nothing stands under the heading \u{201c}{heading}\u{201d}");
            self.at_template(Code::EmptyHeading, message)
        });
        let faults = lint::faults(blocks)
            .into_iter()
            .map(|message| self.at_template(Code::LetterInternal, message));
        let diagnostics: Vec<Diagnostic> = bare.chain(faults).collect();
        match diagnostics.is_empty() {
            true => Ok(()),
            false => Err(Stopped { diagnostics, missing: None }),
        }
    }
}

/// The fault of our own inside an engine's error.
fn fault_in(error: &minijinja::Error) -> Option<&Fault> {
    let mut next = error.source();
    while let Some(source) = next {
        if let Some(fault) = source.downcast_ref::<Fault>() {
            return Some(fault);
        }
        next = source.source();
    }
    None
}

/// An engine's error as a diagnostic at the innermost template line.
pub(super) fn diagnostic(
    error: &minijinja::Error,
    template: &str,
    sources: &BTreeMap<String, Source>,
) -> Diagnostic {
    let chain = engine_errors(error);
    let inner = chain.last().copied().unwrap_or(error);
    let place = |e: &minijinja::Error| {
        let name = e.name()?;
        let source = sources.get(name)?;
        match e.range() {
            Some(range) if !range.is_empty() => Some(source.place(range.start, range.end)),
            _ => Some(source.line(e.line()?)),
        }
    };
    let at = place(inner).unwrap_or_else(|| Place::whole(&shown_name(template)));
    let fault = fault_in(error);
    let code = fault.map_or(Code::TemplateFault, |f| f.code);
    let message = match (fault, faulty_part(inner, sources)) {
        (Some(fault), _) => fault.message.clone(),
        (None, Some(name)) => format!("`{name}` has faults of its own"),
        (None, None) => engine_message(inner),
    };
    let mut found = Diagnostic::new(code, Some(at.clone()), message);
    if let Some(remedy) = fault.and_then(|f| f.remedy.clone()) {
        found.remedy = Some(remedy);
    }
    if let Some((place, role)) = fault.and_then(|f| f.related.clone()) {
        found = found.related(place, role);
    }
    for outer in chain.iter().rev().skip(1).filter_map(|e| place(e)) {
        if outer != at {
            found = found.related(outer, "included or called from here");
        }
    }
    found
}

/// A template that exists, but was left out for its faults.
fn faulty_part<'a>(
    error: &minijinja::Error,
    sources: &'a BTreeMap<String, Source>,
) -> Option<&'a str> {
    let detail = error.detail().filter(|_| error.kind() == ErrorKind::TemplateNotFound)?;
    sources.keys().map(String::as_str).find(|name| detail.contains(&format!("'{name}'")))
}

/// The chain of engine errors, outermost first.
fn engine_errors(error: &minijinja::Error) -> Vec<&minijinja::Error> {
    let mut chain = vec![error];
    let mut next = error.source();
    while let Some(source) = next {
        chain.extend(source.downcast_ref::<minijinja::Error>());
        next = source.source();
    }
    chain
}

fn engine_message(error: &minijinja::Error) -> String {
    match (error.kind(), error.detail()) {
        (ErrorKind::OutOfFuel, _) => "the template does not come to an end".to_string(),
        (_, Some(detail)) => detail.to_string(),
        (kind, None) => kind.to_string(),
    }
}
