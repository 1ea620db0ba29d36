//! Keys of a record in a rule file: which may stand there, and what they hold.

use chrono::NaiveDate;

use crate::case::field::Precision;
use crate::case::node::{Entry, Node, Shape};
use crate::case::scalar;
use crate::case::suggest::{did_you_mean, list, quote};
use crate::diag::{Code, Diagnostic, Located, Place, Report};
use crate::quantity::PartialDate;

/// A record whose keys were checked against those allowed.
pub(super) struct Fields<'n> {
    /// What it is, in messages.
    name: &'static str,
    /// Where it stands.
    pub place: &'n Place,
    entries: &'n [Entry],
}

impl<'n> Fields<'n> {
    /// The record at a node; every unknown key is reported.
    pub fn of(
        node: &'n Node,
        name: &'static str,
        allowed: &[&str],
        report: &mut Report,
    ) -> Option<Fields<'n>> {
        let Shape::Map(entries) = &node.shape else {
            wrong_shape(node, &format!("{name} is a record of keys and values"), report);
            return None;
        };
        for entry in entries.iter().filter(|e| !allowed.contains(&e.key.value.as_str())) {
            unknown_key(&entry.key, name, allowed, report);
        }
        Some(Fields { name, place: &node.place, entries })
    }

    /// The keys that stand there, in the order of the file.
    pub fn keys(&self) -> impl Iterator<Item = &'n Located<String>> {
        self.entries.iter().map(|e| &e.key)
    }

    /// The value of a key, if the key stands there.
    pub fn get(&self, key: &str) -> Option<&'n Node> {
        self.entries.iter().find(|e| e.key.value == key).map(|e| &e.value)
    }

    /// The value of a key that must stand there.
    pub fn need(&self, key: &str, report: &mut Report) -> Option<&'n Node> {
        let found = self.get(key);
        if found.is_none() {
            let message = format!("{} lacks `{key}`", self.name);
            report.add(Code::MissingKey, self.place, message);
        }
        found
    }

    /// The text of a key that must stand there.
    pub fn need_text(&self, key: &str, report: &mut Report) -> Option<Located<String>> {
        self.need(key, report).and_then(|node| text(node, key, report))
    }

    /// The text of a key that may stand there.
    pub fn text(&self, key: &str, report: &mut Report) -> Option<Located<String>> {
        self.get(key).and_then(|node| text(node, key, report))
    }

    /// The day of a key that may stand there.
    pub fn day(&self, key: &str, report: &mut Report) -> Option<Located<NaiveDate>> {
        let text = self.text(key, report)?;
        let date = date(&text, Precision::Day, report)?;
        Some(Located::new(date.first_day(), text.place))
    }

    /// The year, month or day of a key that must stand there.
    pub fn need_date(&self, key: &str, report: &mut Report) -> Option<Located<PartialDate>> {
        let text = self.need_text(key, report)?;
        let date = date(&text, Precision::Year, report)?;
        Some(Located::new(date, text.place))
    }
}

fn date(text: &Located<String>, precision: Precision, report: &mut Report) -> Option<PartialDate> {
    scalar::date(&text.value, precision)
        .map_err(|fault| {
            let place = Some(text.place.clone());
            let complaint = Diagnostic::new(fault.code, place, fault.message);
            report.push(match fault.remedy {
                Some(remedy) => complaint.remedy(remedy),
                None => complaint,
            });
        })
        .ok()
}

/// The text at a node; blank is not a text.
pub(super) fn text(node: &Node, key: &str, report: &mut Report) -> Option<Located<String>> {
    match &node.shape {
        Shape::Scalar { text, .. } if !text.trim().is_empty() => {
            Some(Located::new(text.trim().to_string(), node.place.clone()))
        }
        _ => {
            wrong_shape(node, &format!("`{key}` is a single value"), report);
            None
        }
    }
}

/// The items of a list that has at least one.
pub(super) fn items<'n>(node: &'n Node, key: &str, report: &mut Report) -> Option<&'n [Node]> {
    match &node.shape {
        Shape::List(items) if !items.is_empty() => Some(items),
        _ => {
            wrong_shape(node, &format!("`{key}` is a list of at least one"), report);
            None
        }
    }
}

fn wrong_shape(node: &Node, wanted: &str, report: &mut Report) {
    let found = match &node.shape {
        // Reported where it was refused.
        Shape::Refused => return,
        Shape::List(items) if items.is_empty() => "an empty list",
        shape => shape.name(),
    };
    report.add(Code::WrongShape, &node.place, format!("{wanted}, found {found}"));
}

fn unknown_key(key: &Located<String>, name: &str, allowed: &[&str], report: &mut Report) {
    let message = format!("{name} has no key {}", quote(&key.value));
    let fault = Diagnostic::new(Code::UnknownKey, Some(key.place.clone()), message);
    report.push(match did_you_mean(&key.value, allowed) {
        Some(near) => fault.remedy(format!("did you mean `{near}`?")),
        None => fault.remedy(format!("known keys: {}", list(allowed))),
    });
}
