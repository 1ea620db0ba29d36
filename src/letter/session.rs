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
use crate::diag::Code;
use crate::facts::FactId;

/// A fault with a code of its own, carried inside a template error.
#[derive(Debug)]
pub(super) struct Fault {
    pub code: Code,
    pub message: String,
    pub remedy: Option<String>,
    /// The fact that has no value, so that the next one can be looked for.
    pub missing: Option<FactId>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Fault {}

impl Fault {
    pub fn new(code: Code, message: impl Into<String>) -> Self {
        Fault { code, message: message.into(), remedy: None, missing: None }
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

/// One composition: its style and what it gathers.
#[derive(Debug)]
pub(super) struct Session {
    pub style: Arc<Style>,
    gathered: Mutex<Gathered>,
}

impl Session {
    pub fn new(style: Arc<Style>, tolerated: BTreeSet<FactId>) -> Self {
        Session { style, gathered: Mutex::new(Gathered { tolerated, ..Gathered::default() }) }
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
