//! One model for everything the tool has to complain about.
//!
//! A [`Diagnostic`] names a stable [`Code`], the place in a file, the reason
//! in the clinic's words, and the remedy. Producers push into a [`Report`];
//! renderers (plain text with a snippet, JSON) live in [`render`]. This room
//! knows nothing of cases or letters, so every other room may use it.

mod code;
mod place;
pub mod render;
mod snippet;

pub use code::{CODES, Code, CodeInfo};
pub use place::{Located, Place, Sources};

use serde::Serialize;

/// How much a diagnostic matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Odd, but safe to go on: the letter is built and the reader is told.
    Warning,
    /// Unsafe: nothing that depends on it is built.
    Error,
}

/// One fault: what, where, why, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// The stable name of the kind of fault.
    pub code: Code,
    /// Error or warning.
    pub severity: Severity,
    /// The fault in one line: lower case, no full stop, numbers included.
    pub message: String,
    /// Where it was found; absent for faults of no single place.
    pub place: Option<Place>,
    /// Other places that take part, each with a word on its role.
    pub related: Vec<(Place, String)>,
    /// What to do about it.
    pub remedy: Option<String>,
}

impl Diagnostic {
    /// A fault with the code's own severity and remedy.
    pub fn new(code: Code, place: Option<Place>, message: impl Into<String>) -> Self {
        let info = code.info();
        Diagnostic {
            code,
            severity: info.severity,
            message: message.into(),
            place,
            related: Vec::new(),
            remedy: Some(info.remedy.to_string()),
        }
    }

    /// Replaces the code's general remedy by one for this very fault.
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }

    /// Adds another place that takes part in the fault.
    pub fn related(mut self, place: Place, role: impl Into<String>) -> Self {
        self.related.push((place, role.into()));
        self
    }
}

/// The faults of one run, in the order they were found.
#[derive(Debug, Clone, Default)]
pub struct Report {
    list: Vec<Diagnostic>,
}

impl Report {
    /// Adds one fault.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.list.push(diagnostic);
    }

    /// Adds a fault with its code's own severity and remedy.
    pub fn add(&mut self, code: Code, place: &Place, message: impl Into<String>) {
        self.push(Diagnostic::new(code, Some(place.clone()), message));
    }

    /// Takes over all faults of another report.
    pub fn extend(&mut self, other: Report) {
        self.list.extend(other.list);
    }

    /// Keeps only the faults that a closure says true to.
    pub fn retain(&mut self, keep: impl FnMut(&Diagnostic) -> bool) {
        self.list.retain(keep);
    }

    /// Whether any fault forbids going on.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|d| d.severity == Severity::Error)
    }

    /// Whether nothing at all was found.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The faults, sorted by file, place and code, without repeats.
    pub fn sorted(&self) -> Vec<&Diagnostic> {
        let mut list: Vec<_> = self.list.iter().collect();
        list.sort_by(|a, b| (&a.place, a.code, &a.message).cmp(&(&b.place, b.code, &b.message)));
        list.dedup();
        list
    }

    /// The faults in the order they were found.
    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.list.iter()
    }
}
