//! From nodes to checked records: everything the field table says is checked
//! here, every fault reported once, and nothing else.
//!
//! One slip gives one message: a misspelt key is not reported missing as
//! well, a faulty value is not reported absent. Knows the table, not the
//! model.

use std::collections::{BTreeMap, BTreeSet};

use super::field::{Field, Kind, Record};
use super::node::{Entry, Node, Shape};
use super::scalar::{self, Context, Fault, Number};
use super::suggest::{did_you_mean, list, quote};
use crate::course::score::Answer;
use crate::diag::{Code, Diagnostic, Located, Place, Report};
use crate::quantity::PartialDate;
use crate::spine::{Apex, Column, Level, Side};

/// A value that keeps what the table says.
#[derive(Debug, Clone)]
pub enum Value {
    /// Text, id, reference or path.
    Text(String),
    /// A date.
    Date(PartialDate),
    /// A number with a unit.
    Number(Number),
    /// An amount with a side of the patient; none for zero.
    Sided(Number, Option<Side>),
    /// A vertebra.
    Level(Level),
    /// A vertebra or disc.
    Apex(Apex),
    /// One of the words allowed.
    Word(&'static str),
    /// A whole number.
    Whole(i64),
    /// The answer to one question.
    Answer(Answer),
    /// True or false.
    Flag(bool),
    /// A record.
    Record(Rec),
    /// A list, or one or more.
    List(Vec<Located<Value>>),
    /// From names or levels to values.
    Map(Vec<(Located<String>, Located<Value>)>),
}

/// A record that keeps what the table says; faulty values are left out.
#[derive(Debug, Clone)]
pub struct Rec {
    /// Where it starts.
    pub place: Place,
    table: &'static Record,
    values: BTreeMap<&'static str, Located<Value>>,
}

impl Rec {
    /// Takes out the value of a key, if it was given and good. Asking for a
    /// key the table does not have is a mistake of the program.
    pub fn take(&mut self, key: &str) -> Option<Located<Value>> {
        assert!(self.table.field(key).is_some(), "{} has no field {key}", self.table.name);
        self.values.remove(key)
    }

    /// Its id, if it has a good one.
    pub fn id(&self) -> Option<String> {
        match self.values.get("id").map(|v| &v.value) {
            Some(Value::Text(id)) => Some(id.clone()),
            _ => None,
        }
    }

    /// The keys that nobody took.
    pub fn left(&self) -> Vec<&'static str> {
        self.values.keys().copied().collect()
    }
}

/// Checks nodes against the table.
pub struct Shaper<'a> {
    /// The patient's vertebrae; `None` while that record is faulty.
    pub column: Option<Column>,
    /// Where faults go.
    pub report: &'a mut Report,
}

impl Shaper<'_> {
    /// A node as a record of the table.
    pub fn record(&mut self, node: &Node, table: &'static Record) -> Option<Rec> {
        let Shape::Map(entries) = &node.shape else {
            if !matches!(node.shape, Shape::Refused) {
                let message = format!("{} must be a record, found {}", table.name, found(node));
                let fault =
                    Fault::new(Code::WrongShape, message).remedy(format!("write {}", form(table)));
                self.complain(fault, &node.place);
            }
            return None;
        };
        let mut rec = Rec { place: node.place.clone(), table, values: BTreeMap::new() };
        // Keys that stand in the record, though perhaps under a wrong
        // spelling: they are not missing.
        let mut given: Vec<&str> = Vec::new();
        let cut = self.cut_commas(entries, |key| table.field(key).is_some());
        let used: BTreeSet<&str> = entries.iter().map(|e| e.key.value.as_str()).collect();
        for (at, entry) in entries.iter().enumerate() {
            if cut.contains(&at) {
                given.push(&entry.key);
            } else if let Some(field) = table.field(&entry.key) {
                given.push(field.key);
                if let Some(value) = self.field(&entry.key, &entry.value, field) {
                    rec.values.insert(field.key, value);
                }
            } else {
                given.extend(self.unknown_key(entry, &used, table));
            }
        }
        self.missing(&rec, &given);
        Some(rec)
    }

    fn field(
        &mut self,
        key: &Located<String>,
        node: &Node,
        field: &Field,
    ) -> Option<Located<Value>> {
        let context = Context { key: &key.value, example: field.example, column: self.column };
        if matches!(node.shape, Shape::Empty) {
            self.empty(&key.place, field.key, field.example);
            return None;
        }
        self.value(node, &field.kind, context)
    }

    fn value(&mut self, node: &Node, kind: &Kind, context: Context) -> Option<Located<Value>> {
        let value = match (kind, &node.shape) {
            (_, Shape::Refused) => return None,
            (_, Shape::Empty) => {
                self.empty(&node.place, context.key, context.example);
                return None;
            }
            (Kind::Record(table), Shape::Map(_)) => Value::Record(self.record(node, table)?),
            (Kind::List(kind) | Kind::OneOrMore(kind), Shape::List(items)) => {
                Value::List(items.iter().filter_map(|i| self.value(i, kind, context)).collect())
            }
            (Kind::OneOrMore(kind), _) => {
                Value::List(self.value(node, kind, context).into_iter().collect())
            }
            (Kind::Records(table), Shape::List(items)) => self.records(items, table),
            // One record where a list of them belongs: say so, and read it all the same.
            (Kind::Records(table), Shape::Map(_)) => {
                self.wrong_shape(node, context, "a list: start each item with `- `");
                let rec = self.record(node, table)?;
                Value::List(vec![Located::new(Value::Record(rec), node.place.clone())])
            }
            (Kind::ByLevel(kind), Shape::Map(entries)) => self.by_level(entries, kind, context),
            (Kind::ByName(names, kind), Shape::Map(entries)) => {
                self.by_name(entries, names, kind, context)
            }
            (kind, Shape::Scalar { text, plain }) => {
                return self.scalar(node, text, *plain, kind, context);
            }
            (kind, _) => {
                self.wrong_shape(node, context, wanted(kind));
                return None;
            }
        };
        Some(Located::new(value, node.place.clone()))
    }

    fn scalar(
        &mut self,
        node: &Node,
        text: &str,
        plain: bool,
        kind: &Kind,
        context: Context,
    ) -> Option<Located<Value>> {
        // `~` and `null` mean "nothing" to YAML and are a word to people.
        if text.trim().is_empty() || plain && (text == "~" || text == "null") {
            self.empty(&node.place, context.key, context.example);
            return None;
        }
        match scalar::read(text, kind, context) {
            Ok(value) => Some(Located::new(value, node.place.clone())),
            Err(fault) => {
                self.complain(fault, &node.place);
                None
            }
        }
    }

    fn records(&mut self, items: &[Node], table: &'static Record) -> Value {
        let mut records = Vec::new();
        for item in items {
            if matches!(item.shape, Shape::Empty) {
                self.empty(&item.place, table.name, &form(table));
            } else if let Some(rec) = self.record(item, table) {
                records.push(Located::new(Value::Record(rec), item.place.clone()));
            }
        }
        Value::List(records)
    }

    fn by_level(&mut self, entries: &[Entry], kind: &Kind, context: Context) -> Value {
        let mut map = Vec::new();
        let cut = self.cut_commas(entries, |key| Level::parse(key).is_some());
        for (_, entry) in entries.iter().enumerate().filter(|(at, _)| !cut.contains(at)) {
            let level = scalar::level(&entry.key.value, self.column);
            let value =
                self.value(&entry.value, kind, Context { key: &entry.key.value, ..context });
            match level {
                Ok(_) => map.extend(value.map(|v| (entry.key.clone(), v))),
                Err(fault) => self.complain(fault, &entry.key.place),
            }
        }
        Value::Map(map)
    }

    fn by_name(
        &mut self,
        entries: &[Entry],
        names: &[&'static str],
        kind: &Kind,
        context: Context,
    ) -> Value {
        let mut map = Vec::new();
        let cut = self.cut_commas(entries, |key| names.contains(&key));
        for (_, entry) in entries.iter().enumerate().filter(|(at, _)| !cut.contains(at)) {
            let value =
                self.value(&entry.value, kind, Context { key: &entry.key.value, ..context });
            let key = &entry.key;
            match did_you_mean(key, names).filter(|near| *near != key.value) {
                Some(near) => {
                    let message = format!("{} is close to `{near}`", quote(key));
                    let fault = Fault::new(Code::UnknownKey, message);
                    self.complain(fault.remedy(format!("write `{near}`")), &key.place);
                }
                None => map.extend(value.map(|v| (key.clone(), v))),
            }
        }
        Value::Map(map)
    }

    /// Reports a key the table does not have; gives the key it was meant for.
    fn unknown_key(
        &mut self,
        entry: &Entry,
        used: &BTreeSet<&str>,
        table: &'static Record,
    ) -> Option<&'static str> {
        let key = &entry.key;
        let absent = |f: &&Field| !used.contains(f.key);
        let keys: Vec<_> = table.fields.iter().filter(absent).map(|f| f.key).collect();
        let near = did_you_mean(key, &keys);
        let message = format!("{} has no key {}", table.name, quote(key));
        let fault = Fault::new(Code::UnknownKey, message);
        let fault = match (near, below(table, key)) {
            (Some(near), _) => fault.remedy(format!("did you mean `{near}`?")),
            (None, Some(parent)) => fault.remedy(format!("it belongs under `{parent}`")),
            // `{name: Ann, MD}`: the comma ended the name.
            (None, None) if matches!(entry.value.shape, Shape::Empty) => fault.remedy(
                "if the comma before it belongs to a text, put the whole text in double quotes",
            ),
            (None, None) => {
                let known: Vec<_> = table.fields.iter().map(|f| f.key).collect();
                fault.remedy(format!("known keys: {}", list(&known)))
            }
        };
        self.complain(fault, &key.place);
        near
    }

    fn missing(&mut self, rec: &Rec, given: &[&str]) {
        let table = rec.table;
        let name = match rec.id() {
            Some(id) => format!("{} {id}", table.name),
            None => table.name.to_string(),
        };
        for field in table.fields.iter().filter(|f| f.required && !given.contains(&f.key)) {
            let message = format!("{name} lacks `{}`", field.key);
            let meaning = field.doc.trim_end_matches('.');
            let remedy = format!("add it, as in `{}: {}` ({meaning})", field.key, field.example);
            self.complain(Fault::new(Code::MissingKey, message).remedy(remedy), &rec.place);
        }
        let any = table.any_of;
        if !any.is_empty() && !any.iter().any(|key| given.contains(key)) {
            let message = format!("{name} has none of `{}`", any.join("`, `"));
            let remedy = format!("write {}", form(table));
            self.complain(Fault::new(Code::MissingKey, message).remedy(remedy), &rec.place);
        }
    }

    /// In `{height: 7,5 cm}` YAML ends the value at the comma and takes `5 cm`
    /// for a key without a value. Reports such pairs, gives the places of both
    /// entries in the list.
    fn cut_commas(&mut self, entries: &[Entry], known: impl Fn(&str) -> bool) -> Vec<usize> {
        let mut cut = Vec::new();
        for (at, pair) in entries.windows(2).enumerate() {
            let Shape::Scalar { text, .. } = &pair[0].value.shape else { continue };
            let digits = text.strip_prefix('-').unwrap_or(text);
            let number = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
            let rest = &pair[1].key.value;
            let bare = matches!(pair[1].value.shape, Shape::Empty) && !known(rest);
            if number && bare && rest.starts_with(|c: char| c.is_ascii_digit()) {
                let message = format!("{} has a decimal comma", quote(&format!("{text},{rest}")));
                let fault = Fault::new(Code::DecimalComma, message);
                self.complain(fault.remedy(format!("write {text}.{rest}")), &pair[0].value.place);
                cut.extend([at, at + 1]);
            }
        }
        cut
    }

    fn empty(&mut self, place: &Place, key: &str, example: &str) {
        let remedy = format!("write a value, as in {example}, or remove the line");
        let message = format!("`{key}` has no value");
        self.complain(Fault::new(Code::EmptyValue, message).remedy(remedy), place);
    }

    fn wrong_shape(&mut self, node: &Node, context: Context, wanted: &str) {
        let message = format!("`{}` must be {wanted}, found {}", context.key, found(node));
        let remedy = format!("write `{}: {}`", context.key, context.example);
        self.complain(Fault::new(Code::WrongShape, message).remedy(remedy), &node.place);
    }

    /// Reports a fault at a place.
    pub fn complain(&mut self, fault: Fault, place: &Place) {
        let diagnostic = Diagnostic::new(fault.code, Some(place.clone()), fault.message);
        self.report.push(match fault.remedy {
            Some(remedy) => diagnostic.remedy(remedy),
            None => diagnostic,
        });
    }
}

fn found(node: &Node) -> String {
    match &node.shape {
        Shape::Scalar { text, .. } => quote(text),
        shape => shape.name().to_string(),
    }
}

fn wanted(kind: &Kind) -> &'static str {
    match kind {
        Kind::Record(_) => "a record",
        Kind::List(_) | Kind::Records(_) => "a list",
        Kind::ByLevel(_) => "a record of levels",
        Kind::ByName(..) => "a record of names",
        _ => "a single value",
    }
}

/// The smallest such record, as one would write it.
fn form(table: &Record) -> String {
    let needed = |f: &&Field| f.required || table.any_of.first() == Some(&f.key);
    let keys: Vec<_> = table
        .fields
        .iter()
        .filter(needed)
        .map(|f| match f.kind {
            Kind::Record(_) => format!("{}: ...", f.key),
            _ => format!("{}: {}", f.key, f.example),
        })
        .collect();
    match keys.is_empty() {
        true => "it as `key: value` lines".to_string(),
        false => format!("{{{}}}", keys.join(", ")),
    }
}

/// The key of a record one step below that has such a key.
fn below(table: &Record, key: &str) -> Option<&'static str> {
    let holds = |f: &&Field| match &f.kind {
        Kind::Record(inner) | Kind::Records(inner) => inner.field(key).is_some(),
        _ => false,
    };
    table.fields.iter().find(holds).map(|f| f.key)
}
