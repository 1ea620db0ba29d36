//! A diagnostic in the shape the snippet printer wants.

use std::fmt;

use miette::{
    LabeledSpan, MietteError, MietteSpanContents, Severity as Level, SourceCode, SourceSpan,
    SpanContents,
};

use super::render::{printable, steers};
use super::{Diagnostic, Place, Severity, Sources};

/// A message with the lines it speaks of.
#[derive(Debug)]
pub(super) struct Shown {
    message: String,
    severity: Severity,
    text: Option<Text>,
    labels: Vec<LabeledSpan>,
}

impl Shown {
    /// The fault itself, with every related place of the same file.
    pub(super) fn main(diagnostic: &Diagnostic, sources: &Sources) -> Shown {
        let text = diagnostic.place.as_ref().and_then(|p| Text::of(p, sources));
        let mut labels = Vec::new();
        if let (Some(text), Some(place)) = (&text, &diagnostic.place) {
            labels.push(LabeledSpan::new_primary_with_span(None, text.span(place)));
            for (other, role) in &diagnostic.related {
                if other.file == place.file {
                    let span = text.span(other);
                    labels.push(LabeledSpan::new_with_span(Some(printable(role)), span));
                }
            }
        }
        let message = printable(&diagnostic.message);
        Shown { message, severity: diagnostic.severity, text, labels }
    }

    /// A related place of another file.
    pub(super) fn related(place: &Place, role: &str, sources: &Sources) -> Shown {
        let text = Text::of(place, sources);
        let label = |text: &Text| LabeledSpan::new_primary_with_span(None, text.span(place));
        let labels = text.iter().map(label).collect();
        Shown { message: printable(role), severity: Severity::Warning, text, labels }
    }

    /// Whether lines of a file are shown.
    pub(super) fn has_snippet(&self) -> bool {
        self.text.is_some()
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl miette::Diagnostic for Shown {
    fn severity(&self) -> Option<Level> {
        Some(match self.severity {
            Severity::Error => Level::Error,
            Severity::Warning => Level::Warning,
        })
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.text.as_ref().map(|t| t as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}

/// A file's text, safe to print, that counts columns in characters.
#[derive(Debug)]
struct Text(String);

impl Text {
    /// The text of a place's file; none for whole-file places and files that
    /// were not read.
    fn of(place: &Place, sources: &Sources) -> Option<Text> {
        if place.end == 0 {
            return None;
        }
        let text = sources.get(&place.file)?;
        (place.end <= text.len()).then(|| Text(masked(text)))
    }

    /// The part of a place on its first line: a record of twenty lines is
    /// marked where it begins.
    fn span(&self, place: &Place) -> SourceSpan {
        let slice = self.0.get(place.start..place.end.min(self.0.len())).unwrap_or("");
        let line = slice.split(['\n', '\r']).next().unwrap_or("");
        (place.start.min(self.0.len()), line.trim_end().len()).into()
    }
}

/// Replaces what could steer a terminal by question marks, byte for byte, so
/// that spans still fit.
fn masked(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if steers(c) && !matches!(c, '\n' | '\r' | '\t') {
            out.extend(std::iter::repeat_n('?', c.len_utf8()));
        } else {
            out.push(c);
        }
    }
    out
}

impl SourceCode for Text {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let found = self.0.as_str().read_span(span, before, after)?;
        let start = found.span().offset();
        let line_start = self.0[..start].rfind(['\n', '\r']).map_or(0, |i| i + 1);
        let column = self.0[line_start..start].chars().count();
        let shown = &self.0[start..start + found.span().len()];
        Ok(Box::new(MietteSpanContents::new(
            found.data(),
            *found.span(),
            found.line(),
            column,
            // Of the lines shown, so that far ones are not joined to them.
            shown.matches('\n').count(),
        )))
    }
}
