//! Changing one value in the text of a case file and nothing else.
//!
//! The text is cut at the value's place; comments, order and layout stay. The
//! result is read again and compared with what was there, so that an edit
//! either changes exactly what it says or is refused.

use chrono::NaiveDate;

use super::address::{self, Entry};
use super::field::CASE;
use super::node::{self, Node, Shape};
use super::read::without_mark;
use crate::diag::Report;

/// A correction to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction<'a> {
    /// The entry, from the record down.
    pub at: &'a str,
    /// What it says from now on.
    pub now: &'a str,
    /// The day of the correction.
    pub on: NaiveDate,
    /// Id of who made it.
    pub by: &'a str,
    /// Why.
    pub because: &'a str,
}

/// A text with the correction made, and the entry as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Edited {
    /// The whole text.
    pub text: String,
    /// The entry before.
    pub was: Entry,
}

/// Changes the value and writes the entry of `corrections`, or says why it
/// cannot be done.
pub fn correct(text: &str, correction: &Correction) -> Result<Edited, String> {
    let root = parse(text)?;
    let was = address::find(&root, &CASE, correction.at)?;
    if was.says(correction.now) {
        return Err(format!("`{}` holds `{}` already", correction.at, was.text));
    }
    let changed = replaced(text, &was, correction.now)?;
    only(&root, &parse(&changed)?, correction.at, correction.now)?;
    let whole = append(&changed, correction, &was.text)?;
    // Reading back what was written shows that the entry can be found again.
    let end = parse(&whole)?;
    only(&root, &end, correction.at, correction.now)?;
    Ok(Edited { text: whole, was })
}

pub(super) fn parse(text: &str) -> Result<Node, String> {
    let mut report = Report::default();
    let root = node::parse(without_mark(text), "", &mut report);
    match report.iter().find(|d| d.severity == crate::diag::Severity::Error) {
        Some(fault) => Err(fault.message.clone()),
        None => root.ok_or_else(|| "the file holds no record".to_string()),
    }
}

/// Puts a value in place of an entry.
pub(super) fn replaced(text: &str, entry: &Entry, value: &str) -> Result<String, String> {
    // Places count from after a byte order mark.
    let mark = text.len() - without_mark(text).len();
    let (mut start, mut end) = (mark + entry.place.start, mark + entry.place.end);
    let old = text.get(start..end).ok_or("the place of the value is not in the text")?;
    if old.ends_with('\n') {
        // A block text: its place begins after the `>` or `|` that opens it,
        // and takes in the empty lines that follow.
        end = start + old.trim_end().len();
        start = text[..start].rfind(['>', '|']).ok_or("the block text has no beginning")?;
    }
    Ok(format!("{}{}{}", &text[..start], scalar(value), &text[end..]))
}

/// Except for one entry and the corrections, both trees say the same.
pub(super) fn only(before: &Node, after: &Node, at: &str, now: &str) -> Result<(), String> {
    let told = |root: &Node| -> Vec<(String, String)> {
        let all = address::entries(root, &CASE).into_iter();
        all.filter(|(path, _)| !path.starts_with("correction"))
            .map(|(path, entry)| (path, entry.text))
            .collect()
    };
    let (old, new) = (told(before), told(after));
    let place = address::find(before, &CASE, at)?.place;
    let all = address::entries(before, &CASE);
    let changed = all.iter().filter(|(p, _)| !p.starts_with("correction"));
    let changed = changed.into_iter().position(|(_, entry)| entry.place == place);
    let same_length = old.len() == new.len();
    let differs: Vec<usize> =
        (0..old.len().min(new.len())).filter(|i| old[*i].1 != new[*i].1).collect();
    let good = same_length
        && differs.iter().all(|i| Some(*i) == changed)
        && changed.is_some_and(|i| new[i].1 == now.trim());
    match good {
        true => Ok(()),
        false => {
            Err("the value cannot be changed without changing others; edit the file by hand".into())
        }
    }
}

/// Writes the entry at the end of the list of corrections.
fn append(text: &str, correction: &Correction, was: &str) -> Result<String, String> {
    let root = parse(text)?;
    let mark = text.len() - without_mark(text).len();
    let Shape::Map(pairs) = &root.shape else { return Err("the file holds no record".into()) };
    let list = pairs.iter().find(|pair| pair.key.value == "corrections");
    let ending = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let Some(list) = list else {
        let gap = if text.ends_with('\n') { "" } else { ending };
        let item = item(correction, was, "  ", ending);
        return Ok(format!("{text}{gap}{ending}corrections:{ending}{item}"));
    };
    match &list.value.shape {
        Shape::List(items) if !flow(text, mark + list.value.place.start) && !items.is_empty() => {
            let last = items.last().map_or(0, |item| end_of(item));
            let at = line_end(text, mark + last);
            let indent = indent(text, mark + list.value.place.start);
            let gap = if text[..at].ends_with('\n') { "" } else { ending };
            let item = item(correction, was, &indent, ending);
            Ok(format!("{}{gap}{item}{}", &text[..at], &text[at..]))
        }
        Shape::List(items) => {
            // The bracket that closes the list stands after all of its items.
            let last = items.last().map_or(list.value.place.start, end_of);
            let close =
                text[mark + last..].find(']').ok_or("the list of corrections is not closed")?;
            let close = mark + last + close;
            let comma = if items.is_empty() { "" } else { ", " };
            Ok(format!("{}{comma}{}{}", &text[..close], flow_item(correction, was), &text[close..]))
        }
        _ => Err("`corrections` is not a list".into()),
    }
}

fn flow(text: &str, at: usize) -> bool {
    text[at..].starts_with('[')
}

/// Where the last value of a node ends.
fn end_of(node: &Node) -> usize {
    match &node.shape {
        Shape::Map(pairs) => pairs
            .iter()
            .map(|p| end_of(&p.value))
            .max()
            .unwrap_or(0)
            .max(if flow_map(node) { node.place.end } else { 0 }),
        Shape::List(items) => items.iter().map(end_of).max().unwrap_or(0).max(node.place.end),
        _ => node.place.end,
    }
}

/// A record in braces ends with its brace.
fn flow_map(node: &Node) -> bool {
    match &node.shape {
        Shape::Map(pairs) => pairs.first().is_some_and(|p| p.key.place.start > node.place.start),
        _ => false,
    }
}

/// Just after the end of the line that a place lies in, comment included.
fn line_end(text: &str, at: usize) -> usize {
    if at > 0 && text[..at].ends_with('\n') {
        return at;
    }
    text[at..].find('\n').map_or(text.len(), |i| at + i + 1)
}

/// The blanks before the dash of a list's first item.
fn indent(text: &str, at: usize) -> String {
    let line = text[..at].rfind('\n').map_or(0, |i| i + 1);
    text[line..at].chars().take_while(|c| *c == ' ').collect()
}

fn fields<'a>(correction: &'a Correction, was: &'a str) -> [(&'static str, String); 6] {
    [
        ("on", correction.on.to_string()),
        ("by", scalar(correction.by)),
        ("at", scalar(correction.at)),
        ("was", scalar(was)),
        ("now", scalar(correction.now)),
        ("because", scalar(correction.because)),
    ]
}

fn item(correction: &Correction, was: &str, indent: &str, ending: &str) -> String {
    let line = |(i, (key, value)): (usize, (&str, String))| {
        let dash = if i == 0 { "- " } else { "  " };
        format!("{indent}{dash}{key}: {value}{ending}")
    };
    fields(correction, was).into_iter().enumerate().map(line).collect()
}

fn flow_item(correction: &Correction, was: &str) -> String {
    let pairs = fields(correction, was).map(|(key, value)| format!("{key}: {value}"));
    format!("{{{}}}", pairs.join(", "))
}

/// A text as a YAML value: plain where nothing in it can be misread, also
/// inside brackets, else in double quotes.
pub(super) fn scalar(text: &str) -> String {
    let text = text.trim();
    let first = text.chars().next();
    let plain = first.is_some_and(|c| c.is_alphanumeric() || c == '-' && text.len() > 1)
        && !text.starts_with("- ")
        && !text.contains([
            ',', '[', ']', '{', '}', '#', '"', '\'', '&', '*', '!', '|', '>', '%', '@', '`', '\\',
        ])
        && !text.contains(": ")
        && !text.ends_with(':')
        && !text.chars().any(char::is_control)
        && !matches!(text, "null" | "~");
    if plain { text.to_string() } else { quoted(text) }
}

fn quoted(text: &str) -> String {
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const BLOCK: &str = "# kept\ncase: qa-0001   # id\npatient: {name: Ann Orr, born: 2013-05-06}\n\
        films:\n  - id: f1\n    taken: 2024-11-04 # first\n    why: >\n      yearly\n      control\n\
        \n# the end\n";

    fn made<'a>(at: &'a str, now: &'a str) -> Correction<'a> {
        let on = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
        Correction { at, now, on, by: "hk", because: "typed wrong: a slip, no more" }
    }

    const ENTRY: &str = "  - on: 2026-03-02\n    by: hk\n    at: film f1 / taken\n    was: 2024-11-04\n\
        \u{20}   now: 2024-11-05\n    because: \"typed wrong: a slip, no more\"\n";

    #[test]
    fn one_value_changes_and_the_entry_is_added() {
        let edited = correct(BLOCK, &made("film f1 / taken", "2024-11-05")).unwrap();
        let expected = BLOCK.replace("taken: 2024-11-04 # first", "taken: 2024-11-05 # first");
        assert_eq!(edited.text, format!("{expected}\ncorrections:\n{ENTRY}"));
        assert_eq!(edited.was.text, "2024-11-04");
        // A second one goes below the first.
        let again = correct(&edited.text, &made("patient / name", "Ann \"O\" Orr")).unwrap().text;
        let lines: Vec<&str> = again.lines().filter(|l| l.contains("at:")).collect();
        assert_eq!(lines, ["    at: film f1 / taken", "    at: patient / name"]);
        assert!(again.contains("{name: \"Ann \\\"O\\\" Orr\", born: 2013-05-06}"));
        assert!(again.starts_with("# kept\ncase: qa-0001   # id\n"));
    }

    #[test]
    fn a_folded_text_and_a_flow_list_are_edited_too() {
        let edited =
            correct(BLOCK, &made("film f1 / why", "yearly control, standing")).unwrap().text;
        assert!(
            edited.contains("    why: \"yearly control, standing\"\n\n# the end\n"),
            "{edited}"
        );
        let flow = format!("{BLOCK}corrections: []\n");
        let edited = correct(&flow, &made("film f1 / taken", "2024-11-05")).unwrap().text;
        assert!(edited.ends_with("a slip, no more\"}]\n"), "{edited}");
        let twice = correct(&edited, &made("film f1 / taken", "2024-11-06"));
        let twice = twice.unwrap_or_else(|why| panic!("{why} in {edited}")).text;
        assert_eq!(twice.matches("at: film f1 / taken").count(), 2);
    }

    #[test]
    fn line_ends_and_the_mark_stay() {
        let dos = format!("\u{feff}{}", BLOCK.replace('\n', "\r\n"));
        let edited = correct(&dos, &made("film f1 / taken", "2024-11-05")).unwrap().text;
        assert!(edited.starts_with("\u{feff}# kept\r\n"));
        assert!(edited.contains("taken: 2024-11-05 # first\r\n"));
        assert_eq!(edited.matches('\n').count(), edited.matches("\r\n").count());
    }

    #[test]
    fn what_cannot_be_done_is_said() {
        let why = |at, now| correct(BLOCK, &made(at, now)).unwrap_err();
        assert_eq!(
            why("film f1 / taken", "2024-11-04"),
            "`film f1 / taken` holds `2024-11-04` already"
        );
        assert_eq!(why("film f2 / taken", "2024-11-05"), "there is no `film f2`");
        assert!(correct("case: [", &made("case", "x")).is_err());
    }
}
