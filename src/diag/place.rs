//! Where something stands in a file, and values that remember it.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::Arc;

use serde::Serialize;

/// A span of text in one file. Lines and columns count from 1, columns in
/// characters; `start..end` are byte offsets into the file's text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Place {
    /// Path as shown to people, relative to the clinic's folder.
    #[serde(serialize_with = "as_text")]
    pub file: Arc<str>,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// First byte.
    #[serde(skip)]
    pub start: usize,
    /// One past the last byte.
    #[serde(skip)]
    pub end: usize,
}

fn as_text<S: serde::Serializer>(file: &Arc<str>, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_str(file)
}

impl Place {
    /// The place of a whole file, for faults that have no line.
    pub fn whole(file: &str) -> Self {
        Place { file: file.into(), line: 1, column: 1, start: 0, end: 0 }
    }

    /// `file:line:column`, the form editors jump to.
    pub fn to_line_column(&self) -> String {
        format!("{}:{}:{}", self.file, self.line, self.column)
    }
}

/// `file:line`, the form printed as provenance.
impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{}:{}", self.file, self.line)
    }
}

/// A value read from a file, with the place it was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<T> Located<T> {
    /// A value at a place.
    pub fn new(value: T, place: Place) -> Self {
        Located { value, place }
    }

    /// Changes the value, keeps the place.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Located<U> {
        Located { value: f(self.value), place: self.place }
    }
}

impl<T> Deref for Located<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// The texts of the files read in one run, for snippets.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    texts: BTreeMap<Arc<str>, Arc<str>>,
}

impl Sources {
    /// Remembers a file's text under its shown path.
    pub fn insert(&mut self, file: &str, text: &str) {
        self.texts.insert(file.into(), text.into());
    }

    /// The text of a file, if it was read.
    pub fn get(&self, file: &str) -> Option<&str> {
        self.texts.get(file).map(AsRef::as_ref)
    }

    /// Takes over the texts of another run.
    pub fn extend(&mut self, other: Sources) {
        self.texts.extend(other.texts);
    }
}
