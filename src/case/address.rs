//! The way to one entry of a case file: `film f1 / reading r1 / curve
//! thoracic / cobb`.
//!
//! A record of a list is named by its kind and its id; where it has none, by
//! its name, its ends (`curve T5-T12`), its day (`exam 2024-11-04`), its level
//! or who it is about; several of one name are told apart by `#2`. Never by
//! its position alone, which the next entry may change. Works on the tree as
//! typed, so that every key of the field table can be named.

use super::field::{Field, Kind, Record};
use super::node::{self, Node, Shape};
use crate::diag::Place;
use crate::quantity::Unit;

/// An entry of a file: where it stands and what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Where the value stands.
    pub place: Place,
    /// The value as typed.
    pub text: String,
}

impl Entry {
    /// Whether a typed value says the same, whatever its zeros and spaces
    /// (`26 deg` and `26.0 deg`, `151.2 cm` and `1512 mm`).
    pub fn says(&self, typed: &str) -> bool {
        same_value(&self.text, typed)
    }
}

/// Whether two typed values say the same.
pub fn same_value(a: &str, b: &str) -> bool {
    match (number(a), number(b)) {
        (Some((x, of_x)), Some((y, of_y))) => of_x == of_y && (x - y).abs() < 1e-9,
        _ => a.trim() == b.trim(),
    }
}

/// A number in the base unit of its kind.
fn number(text: &str) -> Option<(f64, Unit)> {
    let text = text.trim();
    let digit = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let end = text.find(|c| !digit(c)).unwrap_or(text.len());
    let value: f64 = text[..end].parse().ok().filter(|v: &f64| v.is_finite())?;
    match Unit::spelled(text[end..].trim())? {
        Unit::Centimetre => Some((value * 10.0, Unit::Millimetre)),
        unit => Some((value, unit)),
    }
}

/// Finds the entry of a path below a record of the table, or says which part
/// of the path names nothing.
pub fn find(root: &Node, table: &'static Record, path: &str) -> Result<Entry, String> {
    let parts: Vec<&str> = path.split('/').map(str::trim).collect();
    if parts == [""] {
        return Err("the path is empty".into());
    }
    walk(root, table, &parts)
}

fn walk(node: &Node, table: &'static Record, parts: &[&str]) -> Result<Entry, String> {
    let Some((part, rest)) = parts.split_first() else {
        return Err("the path names a record, not an entry of it".into());
    };
    if let Some(field) = table.field(part) {
        let Some(value) = child(node, field.key) else {
            return Err(format!("`{part}` is not recorded"));
        };
        return below(value, field, rest);
    }
    let (kind, name) = part.split_once(' ').unwrap_or((part, ""));
    let Some((field, inner)) = list_of(table, kind) else {
        return Err(match name {
            "" => format!("a {} has no `{part}`", table.name),
            _ => format!("no list is called `{kind}`"),
        });
    };
    let items = child(node, field.key).map(items).unwrap_or_default();
    walk(pick(&items, name.trim(), part)?, inner, rest)
}

/// The list of a table whose records are called so.
pub(super) fn list_of(
    table: &'static Record,
    name: &str,
) -> Option<(&'static Field, &'static Record)> {
    table.fields.iter().find_map(|field| match field.kind {
        Kind::Records(inner) if inner.name == name => Some((field, inner)),
        _ => None,
    })
}

/// The value of a field, or one entry inside it.
fn below(value: &Node, field: &'static Field, rest: &[&str]) -> Result<Entry, String> {
    match (&field.kind, &value.shape, rest) {
        (Kind::Record(inner), _, rest) => walk(value, inner, rest),
        (Kind::Records(inner), ..) => {
            Err(format!("`{}` is a list: name one of it, as in `{} f1`", field.key, inner.name))
        }
        (_, Shape::Scalar { text, .. }, []) => {
            Ok(Entry { place: value.place.clone(), text: text.clone() })
        }
        (_, Shape::Map(entries), [key]) => match entries.iter().find(|e| e.key.value == **key) {
            Some(entry) => scalar(&entry.value, key),
            None => Err(format!("`{key}` is not recorded")),
        },
        (_, Shape::List(items), [number]) => {
            let at = number.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            let item = at.and_then(|at| items.get(at));
            scalar(item.ok_or_else(|| format!("there is no `{} / {number}`", field.key))?, number)
        }
        (_, Shape::Map(_), []) => Err(format!("`{}` holds several values: name one", field.key)),
        (_, Shape::List(_), []) => {
            Err(format!("`{}` is a list: name one by its number, from 1", field.key))
        }
        (_, _, [part, ..]) => Err(format!("there is no `{part}`")),
        _ => Err(format!("`{}` is not a single value", field.key)),
    }
}

fn scalar(node: &Node, name: &str) -> Result<Entry, String> {
    match &node.shape {
        Shape::Scalar { text, .. } => Ok(Entry { place: node.place.clone(), text: text.clone() }),
        _ => Err(format!("`{name}` is not a single value")),
    }
}

pub(super) fn child<'n>(node: &'n Node, key: &str) -> Option<&'n Node> {
    match &node.shape {
        Shape::Map(entries) => entries.iter().find(|e| e.key.value == key).map(|e| &e.value),
        _ => None,
    }
}

pub(super) fn items(node: &Node) -> Vec<&Node> {
    match &node.shape {
        Shape::List(items) => items.iter().collect(),
        Shape::Map(_) => vec![node],
        _ => Vec::new(),
    }
}

/// The record of that name among the items of a list.
pub(super) fn pick<'n>(items: &[&'n Node], name: &str, part: &str) -> Result<&'n Node, String> {
    let (name, nth) = match name.rsplit_once('#') {
        Some((name, nth)) => (name.trim(), nth.parse::<usize>().ok()),
        None => (name, None),
    };
    let found: Vec<&Node> = items.iter().copied().filter(|item| name_of(item) == name).collect();
    match (found.as_slice(), nth) {
        (_, Some(nth)) => found.get(nth.wrapping_sub(1)).copied(),
        ([one], None) => Some(*one),
        ([_, ..], None) => {
            return Err(format!("there is more than one `{part}`: add `#1`, `#2`"));
        }
        ([], None) => None,
    }
    .ok_or_else(|| format!("there is no `{part}`"))
}

/// What a record of a list is called: its id, else what tells it apart.
fn name_of(item: &Node) -> String {
    let text = |key: &str| match child(item, key).map(|n| &n.shape) {
        Some(Shape::Scalar { text, .. }) => Some(text.as_str()),
        _ => None,
    };
    let own = ["id", "name"].into_iter().find_map(text);
    let ends = || Some(format!("{}-{}", text("upper")?, text("lower")?));
    let other = || ["on", "from", "level", "who"].into_iter().find_map(text);
    own.map(str::to_string)
        .or_else(ends)
        .or_else(|| other().map(str::to_string))
        .unwrap_or_default()
}

/// Every single value below a record of the table with its path, in the
/// order of the file. What the table does not know is left out.
pub fn entries(root: &Node, table: &'static Record) -> Vec<(String, Entry)> {
    entries_of(root, table, &|_, _| true)
}

/// The same, of the fields that are wanted, each asked for with its record.
pub(super) fn entries_of(
    root: &Node,
    table: &'static Record,
    wanted: &dyn Fn(&Record, &Field) -> bool,
) -> Vec<(String, Entry)> {
    let mut found = Found { wanted, list: Vec::new() };
    found.record(root, table, "");
    found.list
}

struct Found<'a> {
    wanted: &'a dyn Fn(&Record, &Field) -> bool,
    list: Vec<(String, Entry)>,
}

impl Found<'_> {
    fn record(&mut self, node: &Node, table: &'static Record, above: &str) {
        let Shape::Map(pairs) = &node.shape else { return };
        for pair in pairs {
            let Some(field) = table.field(&pair.key.value) else { continue };
            let path = format!("{above}{}", field.key);
            match &field.kind {
                Kind::Record(inner) => self.record(&pair.value, inner, &format!("{path} / ")),
                Kind::Records(inner) => self.records(&pair.value, inner, above),
                _ if (self.wanted)(table, field) => values(&pair.value, &path, &mut self.list),
                _ => {}
            }
        }
    }

    fn records(&mut self, node: &Node, inner: &'static Record, above: &str) {
        let items = items(node);
        let names: Vec<String> = items.iter().map(|item| name_of(item)).collect();
        for (at, item) in items.iter().enumerate() {
            let name = &names[at];
            let several = names.iter().filter(|other| *other == name).count() > 1;
            let nth = names[..=at].iter().filter(|other| *other == name).count();
            let nth = if several { format!("#{nth}") } else { String::new() };
            let space = if name.is_empty() { "" } else { " " };
            let path = format!("{above}{} {name}{space}{nth}", inner.name);
            self.record(item, inner, &format!("{} / ", path.trim()));
        }
    }
}

fn values(node: &Node, path: &str, list: &mut Vec<(String, Entry)>) {
    match &node.shape {
        Shape::Scalar { text, .. } => {
            list.push((path.to_string(), Entry { place: node.place.clone(), text: text.clone() }));
        }
        Shape::Map(pairs) => {
            for node::Entry { key, value } in pairs {
                values(value, &format!("{path} / {}", key.value), list);
            }
        }
        Shape::List(items) => {
            for (at, item) in items.iter().enumerate() {
                values(item, &format!("{path} / {}", at + 1), list);
            }
        }
        Shape::Empty | Shape::Refused => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::field::CASE;
    use crate::diag::Report;

    fn tree(text: &str) -> Node {
        node::parse(text, "a.yaml", &mut Report::default()).unwrap()
    }

    const CASE_TEXT: &str = "case: qa-0001\npatient: {name: Ann Orr, born: 2013-05-06}\n\
        contacts: [{id: gp, address: [1 High Street, Tidewell]}]\n\
        films:\n  - id: f1\n    readings:\n      - id: r1\n        curves:\n\
        \u{20}         - {upper: T5, lower: T12, cobb: 19 deg}\n\
        \u{20}         - {name: lumbar, upper: L1, lower: L4, cobb: 12 deg}\n\
        exams:\n  - {on: 2024-11-04, trunk_rotation: {T8: 8 deg}}\n  - {on: 2024-11-04, pain: 2/10}\n";

    #[test]
    fn an_entry_is_found_by_names_and_days() {
        let root = tree(CASE_TEXT);
        let at = |path: &str| find(&root, &CASE, path).map(|e| (e.text, e.place.line));
        let good = |text: &str, line| Ok((text.to_string(), line));
        assert_eq!(at("film f1 / reading r1 / curve T5-T12 / cobb"), good("19 deg", 9));
        assert_eq!(at("film f1 / reading r1 / curve lumbar / cobb"), good("12 deg", 10));
        assert_eq!(at("patient / name"), good("Ann Orr", 2));
        assert_eq!(at("contact gp / address / 2"), good("Tidewell", 3));
        assert_eq!(at("exam 2024-11-04 #2 / pain"), good("2/10", 13));
        assert_eq!(at("exam 2024-11-04 #1 / trunk_rotation / T8"), good("8 deg", 12));
        let wrong = |path: &str| at(path).unwrap_err();
        assert_eq!(wrong("film f2 / taken"), "there is no `film f2`");
        assert_eq!(wrong("film f1 / dose"), "`dose` is not recorded");
        assert_eq!(wrong("film f1"), "the path names a record, not an entry of it");
        assert_eq!(
            wrong("exam 2024-11-04 / pain"),
            "there is more than one `exam 2024-11-04`: add `#1`, `#2`"
        );
        assert_eq!(wrong("scan s1 / x"), "no list is called `scan`");
        assert_eq!(wrong("film f1 / colour"), "a film has no `colour`");
        assert_eq!(wrong("films / f1"), "`films` is a list: name one of it, as in `film f1`");
        assert_eq!(wrong(""), "the path is empty");
    }

    #[test]
    fn every_entry_has_a_path_that_leads_to_it() {
        let root = tree(CASE_TEXT);
        let all = entries(&root, &CASE);
        assert_eq!(all.len(), 19);
        for (path, entry) in &all {
            assert_eq!(find(&root, &CASE, path).as_ref(), Ok(entry), "{path}");
        }
    }

    #[test]
    fn values_are_compared_as_quantities() {
        assert!(same_value("26 deg", "26.0 deg"));
        assert!(same_value("26deg", "26 deg"));
        assert!(same_value("151.2 cm", "1512 mm"));
        assert!(same_value("2024-11-04", "2024-11-04"));
        assert!(!same_value("26 deg", "26 mm"));
        assert!(!same_value("26 deg", "19 deg"));
        assert!(!same_value("12 mm left", "12 mm right"));
        assert!(!same_value("T5", "T6"));
    }
}
