//! Facts and letter texts as template objects.
//!
//! A template holds a [`Leaf`] (one fact), a [`Group`] (a step of the dotted
//! ids above facts), a [`Typed`] text or a [`WordOf`] a closed set. None of
//! them can be cut, joined, compared or computed with: they have no string
//! form, and only the formatter in [`super::template`] prints them, as
//! tokens. Every fact that is looked up is recorded in the [`Session`].

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use minijinja::value::{DynObject, Enumerator, Object, ObjectRepr, Value};
use minijinja::{Error, ErrorKind};

use super::token::{Token, TokenTable, is_reserved};
use super::wording::{self, Say, Style};
use crate::diag::Code;
use crate::facts::{Fact, FactId, Facts, Missing, Value as FactValue};

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

    fn misuse(&self, what: &str) {
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

/// One step of the dotted ids.
#[derive(Debug, Default)]
struct Step {
    key: String,
    path: String,
    fact: Option<FactId>,
    children: Vec<usize>,
}

/// All facts as a tree by dotted id, in the order they were derived.
#[derive(Debug)]
pub(super) struct FactTree {
    facts: Facts,
    steps: Vec<Step>,
}

impl FactTree {
    pub fn new(facts: Facts) -> Self {
        let mut tree = FactTree { facts, steps: vec![Step::default()] };
        let ids: Vec<FactId> = tree.facts.iter().map(|f| f.id.clone()).collect();
        for id in ids {
            let at = id.as_str().split('.').fold(0, |at, key| tree.child_or_new(at, key));
            tree.steps[at].fact = Some(id);
        }
        tree
    }

    fn child(&self, at: usize, key: &str) -> Option<usize> {
        self.steps[at].children.iter().copied().find(|c| self.steps[*c].key == key)
    }

    fn child_or_new(&mut self, at: usize, key: &str) -> usize {
        if let Some(found) = self.child(at, key) {
            return found;
        }
        let parent = &self.steps[at].path;
        let path = if at == 0 { key.to_string() } else { format!("{parent}.{key}") };
        self.steps.push(Step { key: key.to_string(), path, ..Step::default() });
        let new = self.steps.len() - 1;
        self.steps[at].children.push(new);
        new
    }

    /// The step of a dotted path.
    fn find(&self, path: &str) -> Option<usize> {
        path.split('.').try_fold(0, |at, key| self.child(at, key))
    }

    /// Whether a fact or group of that path exists.
    pub fn has(&self, path: &str) -> bool {
        self.find(path).is_some()
    }

    /// Names under a path, for remedies; nothing if the path does not exist.
    pub fn names_under(&self, path: &str) -> Vec<&str> {
        let at = if path.is_empty() { Some(0) } else { self.find(path) };
        let names = |at: usize| self.steps[at].children.iter().map(|c| self.steps[*c].key.as_str());
        at.map(|at| names(at).collect()).unwrap_or_default()
    }
}

/// The top-level names with their objects.
pub(super) fn roots(tree: &Arc<FactTree>, session: &Arc<Session>) -> Vec<(String, Value)> {
    let object = |at: &usize| (tree.steps[*at].key.clone(), object_at(tree, session, *at));
    tree.steps[0].children.iter().map(object).collect()
}

fn object_at(tree: &Arc<FactTree>, session: &Arc<Session>, at: usize) -> Value {
    let group = Group { tree: tree.clone(), session: session.clone(), at };
    let fact = tree.steps[at].fact.as_ref().and_then(|id| tree.facts.get(id.as_str()));
    match fact {
        Some(fact) => Value::from_object(Leaf::of(fact, session.clone(), Some(group))),
        None => Value::from_object(group),
    }
}

/// A step above facts.
#[derive(Clone)]
pub(super) struct Group {
    tree: Arc<FactTree>,
    session: Arc<Session>,
    at: usize,
}

impl Group {
    pub fn path(&self) -> &str {
        &self.tree.steps[self.at].path
    }

    fn child(&self, key: &str) -> Option<Value> {
        let found = self.tree.child(self.at, key);
        if found.is_none() {
            self.session.gathered().absent.insert(format!("{}.{key}", self.path()));
        }
        found.map(|at| self.object(at))
    }

    /// A leaf that is handed out counts as read.
    fn object(&self, at: usize) -> Value {
        if let Some(id) = &self.tree.steps[at].fact {
            self.session.gathered().read.insert(id.clone());
        }
        object_at(&self.tree, &self.session, at)
    }
}

impl fmt::Debug for Group {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "<facts {}>", self.path())
    }
}

impl Object for Group {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Iterable
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        self.get_value_by_str(key.as_str()?)
    }

    fn get_value_by_str(self: &Arc<Self>, key: &str) -> Option<Value> {
        // A fact may be called `key`; then that is what was meant.
        match (key, self.tree.child(self.at, key)) {
            ("key", None) => Some(Value::from(self.tree.steps[self.at].key.as_str())),
            ("path", None) => Some(Value::from(self.path())),
            _ => self.child(key),
        }
    }

    fn enumerate(self: &Arc<Self>) -> Enumerator {
        let children = &self.tree.steps[self.at].children;
        Enumerator::Values(children.iter().map(|at| self.object(*at)).collect())
    }

    fn enumerator_len(self: &Arc<Self>) -> Option<usize> {
        Some(self.tree.steps[self.at].children.len())
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.session.misuse(self.path());
        fmt::Debug::fmt(self, f)
    }
}

/// One fact, with what the template asked of its wording.
#[derive(Clone)]
pub(super) struct Leaf {
    pub id: FactId,
    pub value: FactValue,
    pub say: Say,
    label: String,
    uncertainty: Option<FactValue>,
    citation: Option<&'static str>,
    group: Option<Group>,
    session: Arc<Session>,
}

impl Leaf {
    fn of(fact: &Fact, session: Arc<Session>, group: Option<Group>) -> Self {
        let half = fact.uncertainty.as_ref().map(|u| FactValue::Number(u.half_width));
        Leaf {
            id: fact.id.clone(),
            value: fact.value.clone(),
            say: Say::default(),
            label: fact.label.clone(),
            uncertainty: half,
            citation: fact.provenance.method.source.work.map(|w| w.citation),
            group,
            session,
        }
    }

    /// The same fact with another value beside it, such as its uncertainty.
    fn beside(&self, value: FactValue) -> Value {
        let leaf = Leaf { value, say: Say::default(), group: None, ..self.clone() };
        Value::from_object(leaf)
    }

    /// The mark that prints it.
    pub fn mark(&self) -> Result<String, Error> {
        let said = match wording::say(&self.value, &self.say, &self.session.style) {
            Ok(said) => said,
            Err(why) => match self.excused() {
                true => wording::Said { text: "-".into(), keep: false },
                false => return Err(self.unsayable(&why)),
            },
        };
        let mut what = format!("the text of `{}`", self.id);
        if !matches!(self.value, FactValue::Text(_)) {
            what = format!("`{}`", self.id);
        }
        let token = Token::Value { fact: Some(self.id.clone()), text: said.text, keep: said.keep };
        let mark = self.session.token(token, &what)?;
        self.session.gathered().printed.push(self.id.clone());
        Ok(mark)
    }

    /// Fails if there is no value.
    pub fn require(&self) -> Result<(), Error> {
        match &self.value {
            FactValue::Missing(_) if !self.excused() => Err(self.unsayable("")),
            _ => Ok(()),
        }
    }

    fn excused(&self) -> bool {
        self.session.gathered().tolerated.contains(&self.id)
    }

    fn unsayable(&self, why: &str) -> Error {
        let FactValue::Missing(missing) = &self.value else {
            return fault(format!("`{}` {why}", self.id));
        };
        let reason = missing.reason();
        let mut fault =
            Fault::new(Code::PrintsMissing, format!("`{}` has no value: {reason}", self.id));
        if let Missing::NotRecorded { item, who } = missing {
            fault = fault.remedy(format!(
                "record the {item} (ask {who}), or let the template say so: \
                 {{{{ … | or_say(\"not recorded\") }}}}"
            ));
        }
        fault.missing = Some(self.id.clone());
        fault.into()
    }

    /// The mark of the fact as a remark: a block of paragraphs.
    pub fn remark(&self, by: Option<String>) -> Result<String, Error> {
        let FactValue::Text(text) = &self.value else {
            return Err(match self.value {
                FactValue::Missing(_) => self.unsayable(""),
                _ => fault(format!("remark takes typed text, and `{}` is none", self.id)),
            });
        };
        self.session.gathered().printed.push(self.id.clone());
        remark_mark(&self.session, text, by, self.id.as_str())
    }

    fn attribute(&self, key: &str) -> Option<Value> {
        let missing = match &self.value {
            FactValue::Missing(m) => Some(m),
            _ => None,
        };
        match key {
            "known" => Some(Value::from(missing.is_none())),
            "missing" => Some(missing.map_or(Value::from(()), |m| Value::from(m.kind()))),
            "key" => Some(Value::from(self.id.as_str().rsplit('.').next().unwrap_or_default())),
            "path" => Some(Value::from(self.id.as_str())),
            "word" => Some(self.word()),
            "text" => Some(match &self.value {
                FactValue::Text(text) => Value::from(text.as_str()),
                FactValue::Missing(_) => Value::from(()),
                _ => fault(format!("`{}` has no attribute `text`: it is no text", self.id)).into(),
            }),
            "sign" => Some(self.sign()),
            "reason" => Some(match missing {
                Some(m) => self.beside(FactValue::Text(m.reason())),
                None => fault(format!("`{}` has a value, so no reason", self.id)).into(),
            }),
            "label" => Some(typed(&self.session, self.id.as_str(), Some(&self.label))),
            "citation" => self.citation.map(|c| typed(&self.session, self.id.as_str(), Some(c))),
            "uncertainty" => self.uncertainty.clone().map(|u| self.beside(u)),
            _ => None,
        }
    }

    /// A missing fact has no word: compare `.missing`, or ask `.known` first.
    fn word(&self) -> Value {
        match &self.value {
            FactValue::Word(w) => Value::from(*w),
            // Compared, not said: these are the case file's words.
            FactValue::Side(crate::spine::Side::Left) => Value::from("left"),
            FactValue::Side(crate::spine::Side::Right) => Value::from("right"),
            FactValue::Missing(_) => Value::from(()),
            _ => fault(format!(
                "`{}` has no attribute `word`: it is no word of a closed set",
                self.id
            ))
            .into(),
        }
    }

    fn sign(&self) -> Value {
        match &self.value {
            FactValue::Number(n) => {
                Value::from(["below", "zero", "above"][(n.sign() + 1) as usize])
            }
            FactValue::Missing(_) => Value::from(()),
            _ => fault(format!("`{}` has no attribute `sign`: it is no number", self.id)).into(),
        }
    }
}

impl fmt::Debug for Leaf {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "<fact {}>", self.id)
    }
}

impl Object for Leaf {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        match key.as_str() {
            Some(key) => self.get_value_by_str(key),
            None => Some(fault(format!("`{}` cannot be cut into pieces", self.id)).into()),
        }
    }

    fn get_value_by_str(self: &Arc<Self>, key: &str) -> Option<Value> {
        let below = || self.group.as_ref().and_then(|g| g.child(key));
        self.attribute(key).or_else(below)
    }

    /// A fact is neither true nor false; composing fails once it was asked.
    fn is_true(self: &Arc<Self>) -> bool {
        self.session.misuse(self.id.as_str());
        false
    }

    fn custom_cmp(self: &Arc<Self>, _: &DynObject) -> Option<std::cmp::Ordering> {
        self.session.misuse(self.id.as_str());
        None
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.session.misuse(self.id.as_str());
        fmt::Debug::fmt(self, f)
    }
}

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
        remark_mark(&self.session, self.text()?, by, &self.path)
    }
}

/// The first words of a text, without characters that no terminal shows.
pub(super) fn shorten(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !is_reserved(*c)).take(40).collect();
    if text.chars().count() > 40 { format!("{plain}…") } else { plain }
}

fn typed(session: &Arc<Session>, path: &str, text: Option<&str>) -> Value {
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
        let said = self.session.style.words.get(&self.word).unwrap_or(&self.word);
        let token = Token::Value { fact: None, text: said.clone(), keep: false };
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

fn remark_mark(
    session: &Session,
    text: &str,
    by: Option<String>,
    what: &str,
) -> Result<String, Error> {
    let paragraphs = wording::paragraphs(text);
    if paragraphs.is_empty() {
        return Err(fault(format!("remark takes text, and {what} is empty")));
    }
    session.token(Token::Remark { by, paragraphs }, what)
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
