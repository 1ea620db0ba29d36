//! What a letter knows beside its facts, as opaque template objects.
//!
//! Names, greetings and remarks are printed as typed and never compared;
//! words of closed sets are compared through `.word`.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use minijinja::Error;
use minijinja::value::{Object, ObjectRepr, Value};

use super::session::{Fault, Session, fault};
use super::token::{Token, is_reserved};
use super::wording;
use crate::diag::Code;

/// Text that is no fact: a name, an address, a greeting. Never evaluated.
pub(super) struct Typed {
    path: String,
    pub text: Option<String>,
    session: Arc<Session>,
}

impl Typed {
    fn text(&self) -> Result<&str, Error> {
        let text = self.text.as_deref().filter(|t| !t.trim().is_empty());
        text.ok_or_else(|| {
            let message = format!("`{}` has no text", self.path);
            Fault::new(Code::PrintsMissing, message)
                .remedy(format!("write it in the case, or ask `{}.known` first", self.path))
                .into()
        })
    }

    pub fn mark(&self) -> Result<String, Error> {
        let text = wording::one_line(self.text()?);
        self.session.token(Token::Value { fact: None, text, keep: false }, &self.path)
    }

    pub fn remark(&self, by: Option<String>) -> Result<String, Error> {
        let language = self.session.style.foreign(None);
        remark_mark(&self.session, self.text()?, by, language, &self.path)
    }
}

/// The first words of a text, without characters that no terminal shows.
pub(super) fn shorten(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !is_reserved(*c)).take(40).collect();
    if text.chars().count() > 40 { format!("{plain}…") } else { plain }
}

pub(super) fn typed(session: &Arc<Session>, path: &str, text: Option<&str>) -> Value {
    let text = text.map(str::to_string);
    Value::from_object(Typed { path: path.to_string(), text, session: session.clone() })
}

impl fmt::Debug for Typed {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("<text>")
    }
}

impl Object for Typed {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }

    fn get_value_by_str(self: &Arc<Self>, key: &str) -> Option<Value> {
        match key {
            "known" => Some(Value::from(self.text.is_some())),
            "foreign" => {
                let foreign = self.session.style.foreign(None).is_some();
                Some(Value::from(self.text.is_some() && foreign))
            }
            // An absent word of a closed set is an absent text.
            "word" if self.text.is_none() => Some(Value::from(())),
            _ => None,
        }
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        self.get_value_by_str(key.as_str()?)
    }

    fn is_true(self: &Arc<Self>) -> bool {
        self.session.misuse(&self.path);
        false
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.session.misuse(&self.path);
        f.write_str("<text>")
    }
}

/// A word of a closed set that is no fact, such as the kind of the letter.
#[derive(Debug)]
pub(super) struct WordOf {
    pub word: String,
    session: Arc<Session>,
}

impl WordOf {
    pub fn mark(&self) -> Result<String, Error> {
        let text = wording::word(&self.word, &self.session.style)
            .map_err(|why| Fault::new(Code::PhraseMissing, format!("a word {why}")))?;
        let token = Token::Value { fact: None, text, keep: false };
        self.session.token(token, "a word")
    }
}

impl Object for WordOf {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }

    fn get_value_by_str(self: &Arc<Self>, key: &str) -> Option<Value> {
        match key {
            "word" => Some(Value::from(self.word.as_str())),
            "known" => Some(Value::from(true)),
            _ => None,
        }
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        self.get_value_by_str(key.as_str()?)
    }

    fn is_true(self: &Arc<Self>) -> bool {
        self.session.misuse("a word");
        false
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.session.misuse("a word");
        f.write_str("<word>")
    }
}

pub(super) fn remark_mark(
    session: &Session,
    text: &str,
    by: Option<String>,
    language: Option<String>,
    what: &str,
) -> Result<String, Error> {
    let paragraphs = wording::paragraphs(text);
    if paragraphs.is_empty() {
        return Err(fault(format!("remark takes text, and {what} is empty")));
    }
    session.token(Token::Remark { by, paragraphs, language }, what)
}

/// What a letter knows beside its facts, handed to templates as opaque objects.
#[derive(Debug, Clone, PartialEq)]
pub enum Extra {
    /// Text as typed; printed, never compared.
    Text(String),
    /// A word of a closed set; compared through `.word`, printed through the
    /// style's words.
    Word(String),
    /// Nothing was written; `.known` is false, printing it is an error.
    Absent,
    /// Yes or no, for conditions.
    Flag(bool),
    /// Named parts.
    Group(BTreeMap<String, Extra>),
    /// Parts in order.
    List(Vec<Extra>),
}

impl Extra {
    /// A group of named parts.
    pub fn group<const N: usize>(parts: [(&str, Extra); N]) -> Extra {
        Extra::Group(parts.into_iter().map(|(name, part)| (name.to_string(), part)).collect())
    }

    /// Text as typed, or its absence.
    pub fn text(text: Option<impl Into<String>>) -> Extra {
        text.map_or(Extra::Absent, |text| Extra::Text(text.into()))
    }

    pub(super) fn object(&self, path: &str, session: &Arc<Session>) -> Value {
        match self {
            Extra::Text(text) => typed(session, path, Some(text)),
            Extra::Absent => typed(session, path, None),
            Extra::Word(word) => {
                Value::from_object(WordOf { word: word.clone(), session: session.clone() })
            }
            Extra::Flag(flag) => Value::from(*flag),
            Extra::List(parts) => {
                let objects = parts.iter().map(|p| p.object(path, session));
                Value::from(objects.collect::<Vec<_>>())
            }
            Extra::Group(parts) => {
                let object = |(name, part): (&String, &Extra)| {
                    (name.clone(), part.object(&format!("{path}.{name}"), session))
                };
                Value::from(parts.iter().map(object).collect::<BTreeMap<String, Value>>())
            }
        }
    }
}
