//! What one composition gathers, and the faults it can raise.
//!
//! Every object of a letter shares one [`Session`]: it holds the tokens, what
//! was read and printed, and the style. Faults carry a code of their own
//! through the template engine.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use minijinja::value::{Object, ObjectRepr};
use minijinja::{Error, ErrorKind};

use super::token::{Token, TokenTable, is_reserved};
use super::wording::Style;
use crate::diag::{Code, Place};
use crate::facts::FactId;
use crate::rules::readers::{Absent, Door, Reader};

/// A fault with a code of its own, carried inside a template error.
#[derive(Debug)]
pub(super) struct Fault {
    pub code: Code,
    pub message: String,
    pub remedy: Option<String>,
    /// The fact that has no value, so that the next one can be looked for.
    pub missing: Option<FactId>,
    /// Another place that takes part, with its role.
    pub related: Option<(Place, &'static str)>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Fault {}

impl Fault {
    pub fn new(code: Code, message: impl Into<String>) -> Self {
        Fault { code, message: message.into(), remedy: None, missing: None, related: None }
    }

    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }
}

impl From<Fault> for Error {
    fn from(fault: Fault) -> Error {
        Error::new(ErrorKind::InvalidOperation, fault.message.clone()).with_source(fault)
    }
}

/// Something that is closed to the letter's reader.
fn closed(path: &str, reader: &Reader, line: &Place) -> Fault {
    let message = format!("`{path}` is closed to the reader `{}`", *reader.stem);
    let fault = Fault::new(Code::ClosedToReader, message);
    let remedy = format!("leave it out of the template, or open it in {}", reader.file());
    Fault { related: Some((line.clone(), CLOSED_HERE)), ..fault.remedy(remedy) }
}

/// The role of the line that closes something.
pub(super) const CLOSED_HERE: &str = "closed here";

/// A fault of a template in general.
pub(super) fn fault(message: impl Into<String>) -> Error {
    Fault::new(Code::TemplateFault, message).into()
}

/// What one composition gathers.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub tokens: TokenTable,
    pub read: BTreeSet<FactId>,
    pub absent: BTreeSet<String>,
    pub printed: Vec<FactId>,
    /// Facts used as a whole where only an attribute has a meaning.
    pub misused: BTreeSet<String>,
    /// Typed text set as a remark in another language than the letter's, with
    /// the tag of that language.
    pub foreign: BTreeMap<FactId, String>,
    /// Facts without value already complained of.
    pub tolerated: BTreeSet<FactId>,
}

/// One composition: its style, what its reader may see, and what it gathers.
#[derive(Debug)]
pub(super) struct Session {
    pub style: Arc<Style>,
    /// The reader; none for words that speak of no patient.
    reader: Option<Arc<Reader>>,
    /// Optional items of the reader's that nobody recorded.
    pub unrecorded: Vec<Absent>,
    gathered: Mutex<Gathered>,
}

impl Session {
    pub fn new(
        style: Arc<Style>,
        reader: Option<Arc<Reader>>,
        unrecorded: Vec<Absent>,
        tolerated: BTreeSet<FactId>,
    ) -> Self {
        let gathered = Mutex::new(Gathered { tolerated, ..Gathered::default() });
        Session { style, reader, unrecorded, gathered }
    }

    /// Whether the reader may see what lies under a path of facts; false
    /// where it may only be passed on the way to something. An error where it
    /// is closed.
    pub fn open(&self, path: &str) -> Result<bool, Error> {
        let Some(reader) = &self.reader else { return Ok(true) };
        match reader.access.door(path) {
            Door::Open => Ok(true),
            Door::Way => Ok(false),
            Door::Closed(line) => Err(closed(path, reader, line).into()),
        }
    }

    pub fn gathered(&self) -> MutexGuard<'_, Gathered> {
        self.gathered.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Keeps a token and returns its mark; refuses reserved characters.
    pub fn token(&self, token: Token, what: &str) -> Result<String, Error> {
        let texts: Vec<&str> = match &token {
            Token::Value { text, .. } | Token::Words(text) | Token::Summary(text) => vec![text],
            Token::Remark { paragraphs, .. } => paragraphs.iter().map(String::as_str).collect(),
            Token::Slot(wanted) => wanted.iter().map(String::as_str).collect(),
        };
        match texts.iter().flat_map(|t| t.chars()).find(|c| is_reserved(*c)) {
            Some(c) => Err(Fault::new(
                Code::ReservedCharacter,
                format!("{what} holds the private-use character U+{:04X}", u32::from(c)),
            )
            .into()),
            None => Ok(self.gathered().tokens.add(token)),
        }
    }

    /// Remembers that something was used as a whole where it has no meaning.
    pub fn misuse(&self, what: &str) {
        self.gathered().misused.insert(what.to_string());
    }
}

/// The session as a hidden global, for filters and functions.
#[derive(Debug)]
pub(super) struct SessionObject(pub Arc<Session>);

impl Object for SessionObject {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }
}
