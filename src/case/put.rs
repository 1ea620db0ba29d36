//! Another value in the text of a case, for a rehearsal.
//!
//! Nothing is written and nothing recorded as a correction: the text comes
//! back with one value changed, or added where the record that would hold it
//! exists. All else in it says what it said.

use super::address::{self, Entry};
use super::edit::{parse, replaced, scalar};
use super::field::{CASE, Field, Kind, Record};
use super::node::{Node, Shape};
use super::read::without_mark;
use super::suggest::did_you_mean;

/// A text with a value put in.
#[derive(Debug, Clone, PartialEq)]
pub struct Put {
    /// The whole text.
    pub text: String,
    /// The entry before; `None` if it was not recorded.
    pub was: Option<Entry>,
}

/// Puts a value at a path (`film f1 / maturity / risser / grade`), or says why
/// that cannot be done.
pub fn put(text: &str, at: &str, now: &str) -> Result<Put, String> {
    let root = parse(text)?;
    if now.trim().is_empty() {
        return Err(format!("no value is given for `{at}`"));
    }
    match address::find(&root, &CASE, at) {
        Ok(was) if was.says(now) => Err(format!("`{at}` holds `{}` already", was.text)),
        Ok(was) => Ok(Put { text: replaced(text, &was, now)?, was: Some(was) }),
        Err(why) => {
            let parts: Vec<&str> = at.split('/').map(str::trim).collect();
            let near = |why: String| nearest(&root, at).map_or(why.clone(), |n| why + &n);
            let gap = gap(&root, Some(&CASE), &parts).map_err(near)?.ok_or(why)?;
            let changed = added(text, &gap, now)?;
            one_more(&root, &parse(&changed)?, at, now)?;
            Ok(Put { text: changed, was: None })
        }
    }
}

/// The path of an entry that was probably meant.
fn nearest(root: &Node, at: &str) -> Option<String> {
    let all = address::entries(root, &CASE);
    let paths: Vec<&str> = all.iter().map(|(path, _)| path.as_str()).collect();
    did_you_mean(at, &paths).map(|near| format!("; did you mean `{near}`?"))
}

/// A record that exists, and the keys below it that do not.
struct Gap<'n> {
    record: &'n Node,
    keys: Vec<&'n str>,
}

/// Where the way along the path ends; `None` if it leads to a value.
fn gap<'n>(
    node: &'n Node,
    table: Option<&'static Record>,
    parts: &[&'n str],
) -> Result<Option<Gap<'n>>, String> {
    let Some((part, rest)) = parts.split_first() else { return Ok(None) };
    let Some(table) = table else {
        // A map by name or level: any key may stand in it.
        let fits = rest.is_empty() && matches!(node.shape, Shape::Map(_));
        return Ok(fits.then(|| Gap { record: node, keys: parts.to_vec() }));
    };
    if let Some(field) = table.field(part) {
        return match address::child(node, field.key) {
            Some(value) => gap(value, inner(field), rest),
            None => {
                may_add(field, rest)?;
                Ok(Some(Gap { record: node, keys: parts.to_vec() }))
            }
        };
    }
    let (kind, name) = part.split_once(' ').unwrap_or((part, ""));
    let Some((field, inner)) = address::list_of(table, kind) else {
        return Err(format!("a {} has no `{part}`", table.name));
    };
    let items = address::child(node, field.key).map(address::items).unwrap_or_default();
    gap(address::pick(&items, name.trim(), part)?, Some(inner), rest)
}

fn inner(field: &'static Field) -> Option<&'static Record> {
    match field.kind {
        Kind::Record(inner) => Some(inner),
        _ => None,
    }
}

/// Whether a value may be added below a field that is not recorded.
fn may_add(field: &'static Field, rest: &[&str]) -> Result<(), String> {
    match (&field.kind, rest) {
        (Kind::Records(_) | Kind::List(_) | Kind::OneOrMore(_), _) => {
            Err(format!("`{}` is a list; a rehearsal adds no record to it", field.key))
        }
        (Kind::Record(inner), [part, rest @ ..]) => match inner.field(part) {
            Some(field) => may_add(field, rest),
            None => Err(format!("a {} has no `{part}`", inner.name)),
        },
        (Kind::Record(inner), []) => {
            Err(format!("`{}` is a record: name a key of it, as `{}`", field.key, first(inner)))
        }
        (_, [] | [_]) => Ok(()),
        _ => Err(format!("`{}` is not a record", field.key)),
    }
}

fn first(record: &'static Record) -> &'static str {
    record.fields.first().map_or("", |field| field.key)
}

/// The text with the keys and the value before the first key of the record.
fn added(text: &str, gap: &Gap, now: &str) -> Result<String, String> {
    let Shape::Map(pairs) = &gap.record.shape else { return Err("it holds no keys".into()) };
    let Some(next) = pairs.first() else { return Err("the record is empty".into()) };
    let mark = text.len() - without_mark(text).len();
    let at = mark + next.key.place.start;
    let (key, deeper) = gap.keys.split_first().ok_or("the path is empty")?;
    let value = deeper.iter().rev().fold(scalar(now), |value, key| format!("{{{key}: {value}}}"));
    // A key in braces stands on; one of its own line gets a line.
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let before = text.get(start..at).ok_or("the place of the record is not in the text")?;
    let own_line = before.chars().all(|c| matches!(c, ' ' | '-' | '\u{feff}'));
    let gap = if own_line {
        let ending = if text.contains("\r\n") { "\r\n" } else { "\n" };
        let blank = before.chars().filter(|c| *c != '\u{feff}').map(|_| ' ').collect::<String>();
        format!("{ending}{blank}")
    } else {
        ", ".to_string()
    };
    Ok(format!("{}{key}: {value}{gap}{}", &text[..at], &text[at..]))
}

/// Both trees say the same, but for one entry more.
fn one_more(before: &Node, after: &Node, at: &str, now: &str) -> Result<(), String> {
    let (old, new) = (address::entries(before, &CASE), address::entries(after, &CASE));
    let added = address::find(after, &CASE, at).ok().filter(|entry| entry.text == now.trim());
    let texts = |list: &[(String, Entry)], skip: Option<&Entry>| -> Vec<String> {
        let kept = list.iter().filter(|(_, entry)| Some(entry) != skip);
        kept.map(|(_, entry)| entry.text.clone()).collect()
    };
    match added {
        Some(entry) if texts(&old, None) == texts(&new, Some(&entry)) => Ok(()),
        _ => Err(format!("`{at}` cannot be added without changing others")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# kept\ncase: qa-0001\npatient: {name: Ann Orr, born: 2013-05-06}\n\
        films:\n  - id: f1   # first\n    taken: 2024-11-04\n    maturity: {triradiate: open}\n\
        exams:\n  - {on: 2024-11-04, trunk_rotation: {T8: 8 deg}}\n";

    #[test]
    fn one_value_changes_and_no_correction_is_written() {
        let put = put(TEXT, "film f1 / taken", "2024-11-05").unwrap();
        assert_eq!(put.text, TEXT.replace("taken: 2024-11-04", "taken: 2024-11-05"));
        assert_eq!(put.was.unwrap().text, "2024-11-04");
    }

    #[test]
    fn a_key_is_added_where_its_record_exists() {
        let with = |at, now| put(TEXT, at, now).unwrap().text;
        assert_eq!(
            with("film f1 / why", "yearly control"),
            TEXT.replace("- id: f1", "- why: yearly control\n    id: f1")
        );
        assert_eq!(
            with("film f1 / maturity / risser / grade", "3"),
            TEXT.replace("{triradiate", "{risser: {grade: 3}, triradiate")
        );
        assert_eq!(
            with("exam 2024-11-04 / trunk_rotation / L1", "4 deg"),
            TEXT.replace("{T8", "{L1: 4 deg, T8")
        );
        assert_eq!(
            with("background / allergies", "none known"),
            TEXT.replace("case: qa", "background: {allergies: none known}\ncase: qa")
        );
        let twice = put(
            &with("film f1 / maturity / risser / grade", "3"),
            "film f1 / maturity / risser / scale",
            "US",
        );
        assert!(twice.unwrap().text.contains("risser: {scale: US, grade: 3}"));
    }

    #[test]
    fn what_cannot_be_put_is_said_with_what_was_meant() {
        let why = |at, now| put(TEXT, at, now).unwrap_err();
        assert_eq!(
            why("film f2 / taken", "2024-11-05"),
            "there is no `film f2`; did you mean `film f1 / taken`?"
        );
        assert_eq!(
            why("film f1 / takne", "x"),
            "a film has no `takne`; did you mean `film f1 / taken`?"
        );
        assert_eq!(why("plan 2024-11-04 / because", "x"), "there is no `plan 2024-11-04`");
        assert_eq!(
            why("plans / because", "x"),
            "`plans` is a list; a rehearsal adds no record to it"
        );
        assert_eq!(
            why("film f1 / taken", "2024-11-04"),
            "`film f1 / taken` holds `2024-11-04` already"
        );
        assert_eq!(why("film f1 / taken", " "), "no value is given for `film f1 / taken`");
    }
}
