//! Facts as template objects.
//!
//! A template holds a [`Leaf`] (one fact) or a [`Group`] (a step of the
//! dotted ids above facts). Neither can be cut, joined, compared or computed
//! with: they have no string form, and only the formatter in
//! [`super::template`] prints a leaf, as a token. Every fact that is looked
//! up is recorded in the [`Session`].

use std::fmt;
use std::sync::Arc;

use minijinja::Error;
use minijinja::value::{DynObject, Enumerator, Object, ObjectRepr, Value};

use super::extra::{remark_mark, typed};
use super::session::{Fault, Session, fault};
use super::token::Token;
use super::wording::{self, Say};
use crate::diag::Code;
use crate::facts::{Fact, FactId, Facts, Missing, Value as FactValue};

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
        // A case without a film has no curve; asking for each is no fault.
        for root in ["curves", "films", "treatments"] {
            tree.child_or_new(0, root);
        }
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

    /// Whether a fact or group of that path exists for the letter's reader: a
    /// group that holds only what is closed to them does not. An error if the
    /// path itself is closed.
    pub fn has(&self, path: &str, session: &Session) -> Result<bool, Error> {
        let whole = session.open(path)?;
        Ok(self.find(path).is_some_and(|at| whole || self.holds_open(at, session)))
    }

    fn holds_open(&self, at: usize, session: &Session) -> bool {
        let below = |at: usize| match session.open(&self.steps[at].path) {
            Ok(true) => true,
            Ok(false) => self.holds_open(at, session),
            Err(_) => false,
        };
        self.steps[at].children.iter().copied().any(below)
    }

    /// Whether something beside facts would bear the name of facts.
    pub fn has_root(&self, name: &str) -> bool {
        self.find(name).is_some()
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

/// What a template gets for a step; an error that is raised where it is used,
/// if the step is closed to the reader.
fn object_at(tree: &Arc<FactTree>, session: &Arc<Session>, at: usize) -> Value {
    let whole = match session.open(&tree.steps[at].path) {
        Ok(whole) => whole,
        Err(closed) => return closed.into(),
    };
    let group = Group { tree: tree.clone(), session: session.clone(), at };
    let fact = tree.steps[at].fact.as_ref().and_then(|id| tree.facts.get(id.as_str()));
    match fact.filter(|_| whole) {
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

    /// What is closed is closed whether it is there or not: else its absence
    /// could be read.
    fn child(&self, key: &str) -> Option<Value> {
        let found = self.tree.child(self.at, key);
        if found.is_none() {
            let path = format!("{}.{key}", self.path());
            if let Err(closed) = self.session.open(&path) {
                return Some(closed.into());
            }
            self.session.gathered().absent.insert(path);
        }
        found.map(|at| self.object(at))
    }

    /// The typed text of a fact below, without counting as read.
    fn text_below(&self, key: &str) -> Option<String> {
        let id = self.tree.steps[self.tree.child(self.at, key)?].fact.as_ref()?;
        match &self.tree.facts.get(id.as_str())?.value {
            FactValue::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    /// A leaf that is handed out counts as read.
    fn object(&self, at: usize) -> Value {
        let step = &self.tree.steps[at];
        if let (Some(id), Ok(true)) = (&step.fact, self.session.open(&step.path)) {
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
        let language = self.foreign();
        let mut gathered = self.session.gathered();
        gathered.printed.push(self.id.clone());
        if let Some(tag) = &language {
            gathered.foreign.insert(self.id.clone(), tag.clone());
        }
        drop(gathered);
        remark_mark(&self.session, text, by, language, self.id.as_str())
    }

    /// The tag of the language that typed text is in, unless it is the
    /// letter's own; a fact `….language` below it says so of translated words.
    fn foreign(&self) -> Option<String> {
        let FactValue::Text(_) = &self.value else { return None };
        let written = self.group.as_ref().and_then(|g| g.text_below("language"));
        self.session.style.foreign(written.as_deref())
    }

    fn attribute(&self, key: &str) -> Option<Value> {
        let missing = match &self.value {
            FactValue::Missing(m) => Some(m),
            _ => None,
        };
        match key {
            "known" => Some(Value::from(missing.is_none())),
            "foreign" => Some(Value::from(self.foreign().is_some())),
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
            "why" => Some(match missing {
                Some(m) => self.beside(FactValue::Text(m.why().to_string())),
                None => fault(format!("`{}` has a value, so no why", self.id)).into(),
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
