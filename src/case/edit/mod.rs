//! Changing one value in the text of a case file and nothing else.
//!
//! The text is cut at the value's place; comments, order, layout, line ends
//! and a byte order mark stay. The ways to write the edit are tried in turn,
//! each is read again and compared value by value with what was there, so
//! that an edit either changes exactly what it says or is refused.

mod difference;
mod extent;
mod spell;

use std::ops::Range;

use chrono::NaiveDate;

pub use difference::difference;

pub(super) use spell::scalar;

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

/// A stretch of the old text and what stands there instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Splice {
    /// The stretch, in bytes of the old text.
    pub old: Range<usize>,
    /// What takes its place.
    pub new: String,
}

/// A text with the correction made, and the entry as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Edited {
    /// The whole text.
    pub text: String,
    /// The entry before.
    pub was: Entry,
    /// The way to the entry from now on; another one than before where the
    /// value is part of a record's name, as the day of an examination is.
    pub at: String,
    /// The two changes, in the order of the file.
    pub splices: [Splice; 2],
}

/// The tree of a case file's text; the first fault in words, if it has one.
pub fn parse(text: &str) -> Result<Node, String> {
    let mut report = Report::default();
    let root = node::parse(without_mark(text), "", &mut report);
    match report.iter().find(|d| d.severity == crate::diag::Severity::Error) {
        Some(fault) => Err(fault.message.clone()),
        None => root.ok_or_else(|| "the file holds no record".to_string()),
    }
}

/// Changes the value and writes the entry of `corrections`, or says why it
/// cannot be done.
pub fn correct(text: &str, correction: &Correction) -> Result<Edited, String> {
    let body = without_mark(text);
    let root = parse(body)?;
    let was = address::find(&root, &CASE, correction.at)?;
    refuse(correction, &root, &was)?;
    let (value, changed) = put(body, &root, &was, correction.now)?;
    let at = moved(&root, &parse(&changed)?, &was)?;
    let (entry, whole) = append(&changed, correction, &at, &was.text)?;
    let splices = in_old_text(value, entry, text.len() - body.len());
    Ok(Edited { text: format!("{}{whole}", &text[..text.len() - body.len()]), was, at, splices })
}

/// The text with another value in an entry's place, all else as it was.
pub(super) fn replaced(text: &str, was: &Entry, now: &str) -> Result<String, String> {
    let body = without_mark(text);
    let (_, changed) = put(body, &parse(body)?, was, now)?;
    Ok(format!("{}{changed}", &text[..text.len() - body.len()]))
}

fn refuse(correction: &Correction, root: &Node, was: &Entry) -> Result<(), String> {
    if correction.now.trim().is_empty() {
        return Err("the new value is empty".into());
    }
    if inside_corrections(root, was) {
        return Err("a correction is not changed itself; correct its entry again".into());
    }
    if was.says(correction.now) {
        return Err(format!("`{}` holds `{}` already", correction.at, was.text.trim()));
    }
    Ok(())
}

fn inside_corrections(root: &Node, entry: &Entry) -> bool {
    let all = address::entries(root, &CASE).into_iter();
    all.filter(|(_, other)| other.place.start == entry.place.start)
        .any(|(path, _)| path.starts_with("correction"))
}

/// Puts a value in place of an entry.
fn put(body: &str, root: &Node, was: &Entry, now: &str) -> Result<(Splice, String), String> {
    let (old, rest) = extent::value(body, &was.place);
    let typed = body.get(old.clone()).ok_or("the place of the value is not in the text")?;
    for spelled in spell::spellings(now, typed) {
        let splice = Splice { old: old.clone(), new: format!("{spelled}{}", &body[rest.clone()]) };
        let text = spliced(body, &splice);
        if parse(&text).is_ok_and(|after| only_value(root, &after, was, now)) {
            return Ok((splice, text));
        }
    }
    Err("the value cannot be changed without changing others; edit the file by hand".into())
}

fn spliced(text: &str, splice: &Splice) -> String {
    format!("{}{}{}", &text[..splice.old.start], splice.new, &text[splice.old.end..])
}

/// The way to the entry after the edit.
fn moved(before: &Node, after: &Node, was: &Entry) -> Result<String, String> {
    let old = address::entries(before, &CASE);
    let at = old.iter().position(|(_, entry)| entry.place.start == was.place.start);
    let new = address::entries(after, &CASE).into_iter().nth(at.ok_or("the entry is lost")?);
    new.map(|(path, _)| path).ok_or_else(|| "the entry is lost".to_string())
}

/// Writes the entry at the end of the list of corrections.
fn append(
    body: &str,
    correction: &Correction,
    at: &str,
    was: &str,
) -> Result<(Splice, String), String> {
    let root = parse(body)?;
    let fields = spell::fields(correction, at, was);
    for (at, new) in insertions(body, &root, &fields) {
        let splice = Splice { old: at..at, new };
        let text = spliced(body, &splice);
        if parse(&text).is_ok_and(|after| only_entry(&root, &after, &fields)) {
            return Ok((splice, text));
        }
    }
    Err("the list of corrections cannot be added to; write its entry by hand".into())
}

type Fields<'a> = [(&'a str, String); 6];

/// Where and how the entry may be written; the first that reads well is taken.
fn insertions(body: &str, root: &Node, fields: &Fields) -> Vec<(usize, String)> {
    let Shape::Map(pairs) = &root.shape else { return Vec::new() };
    let ending = if body.contains("\r\n") { "\r\n" } else { "\n" };
    let braces = spell::braces(fields);
    let Some(list) = pairs.iter().find(|pair| pair.key.value == "corrections") else {
        return without_list(body, root, fields, ending);
    };
    let gap = |at: usize| if body[..at].ends_with('\n') { "" } else { ending };
    match &list.value.shape {
        Shape::List(items) if extent::bracketed(body, &list.value) => {
            let close = extent::end(body, &list.value).saturating_sub(1);
            let last = items.last().map_or(close, |item| extent::end(body, item));
            vec![
                (last, format!(", {braces}")),
                (close, braces.clone()),
                (close, format!(" {braces}")),
            ]
        }
        Shape::List(items) => {
            let at = extent::line_end(body, extent::end(body, &list.value));
            let indent = extent::indent(body, list.value.place.start);
            let item = match items.last().is_some_and(|item| extent::bracketed(body, item)) {
                true => format!("{indent}- {braces}{ending}"),
                false => spell::lines(fields, indent, ending),
            };
            vec![(at, format!("{}{item}", gap(at)))]
        }
        Shape::Empty => {
            let at = extent::line_end(body, list.key.place.end);
            let indent = format!("{}  ", extent::indent(body, list.key.place.start));
            let item = spell::lines(fields, &indent, ending);
            let colon = body[list.key.place.end..].find(':').map_or(0, |n| n + 1);
            let close = list.key.place.end + colon;
            vec![(at, format!("{}{item}", gap(at))), (close, format!(" [{braces}]"))]
        }
        _ => Vec::new(),
    }
}

/// The file has no list of corrections yet.
fn without_list(body: &str, root: &Node, fields: &Fields, ending: &str) -> Vec<(usize, String)> {
    let end = extent::end(body, root);
    if extent::bracketed(body, root) {
        let close = end.saturating_sub(1);
        let list = format!("corrections: [{}]", spell::braces(fields));
        let Shape::Map(pairs) = &root.shape else { return Vec::new() };
        let last = pairs.iter().map(|p| p.key.place.end.max(extent::end(body, &p.value))).max();
        return vec![(last.unwrap_or(close), format!(", {list}")), (close, list)];
    }
    let indent = extent::indent(body, root.place.start);
    let item = spell::lines(fields, &format!("{indent}  "), ending);
    let at = |at: usize| {
        let gap = if body[..at].ends_with('\n') { "" } else { ending };
        (at, format!("{gap}{ending}{indent}corrections:{ending}{item}"))
    };
    // At the very end, or before a mark that ends the document.
    vec![at(body.len()), at(extent::line_end(body, end))]
}

/// Both edits in places of the old text with its mark, in its order.
fn in_old_text(value: Splice, entry: Splice, mark: usize) -> [Splice; 2] {
    let shift = |s: Splice, by: usize| Splice { old: s.old.start + by..s.old.end + by, new: s.new };
    if entry.old.start <= value.old.start {
        return [shift(entry, mark), shift(value, mark)];
    }
    let at = entry.old.start - value.new.len() + value.old.len();
    [shift(value, mark), shift(Splice { old: at..at, new: entry.new }, mark)]
}

/// One value of a tree by its keys and numbers; `None` for an empty place.
type Leaf = (Vec<String>, Option<String>, usize);

/// Every value of a tree, known to the table or not.
fn leaves(node: &Node, way: &[String], out: &mut Vec<Leaf>) {
    let below = |step: &str| way.iter().cloned().chain([step.to_string()]).collect::<Vec<_>>();
    match &node.shape {
        Shape::Map(pairs) if !pairs.is_empty() => {
            pairs.iter().for_each(|p| leaves(&p.value, &below(&p.key.value), out));
        }
        Shape::List(items) if !items.is_empty() => {
            items
                .iter()
                .enumerate()
                .for_each(|(n, item)| leaves(item, &below(&n.to_string()), out));
        }
        // The line end after a block text comes and goes with the file's last.
        Shape::Scalar { text, .. } => {
            out.push((way.to_vec(), Some(text.trim_end_matches('\n').into()), node.place.start));
        }
        shape => out.push((below(shape.name()), None, node.place.start)),
    }
}

fn told(root: &Node) -> Vec<Leaf> {
    let mut out = Vec::new();
    leaves(root, &[], &mut out);
    out
}

/// The trees say the same but for one value.
fn only_value(before: &Node, after: &Node, was: &Entry, now: &str) -> bool {
    let (old, new) = (told(before), told(after));
    let same = |(a, b): (&Leaf, &Leaf)| {
        let wanted = if a.2 == was.place.start { Some(now.trim()) } else { a.1.as_deref() };
        a.0 == b.0 && b.1.as_deref() == wanted
    };
    old.len() == new.len() && old.iter().zip(&new).all(same)
}

/// The trees say the same but for one more correction, the last of the list.
fn only_entry(before: &Node, after: &Node, fields: &Fields) -> bool {
    let split = |root: &Node| {
        let all = told(root).into_iter().map(|(way, text, _)| (way, text));
        let (inside, outside): (Vec<_>, Vec<_>) =
            all.partition(|(way, _)| way.first().is_some_and(|w| w == "corrections"));
        (inside, outside)
    };
    let ((mut old, old_rest), (new, new_rest)) = (split(before), split(after));
    old.retain(|(way, text)| way.len() > 2 || text.is_some());
    let number = old.iter().filter_map(|(way, _)| way.get(1)?.parse::<usize>().ok()).max();
    let number = number.map_or(0, |n| n + 1).to_string();
    let added = fields.iter().map(|(key, value)| {
        (vec!["corrections".to_string(), number.clone(), key.to_string()], Some(value.clone()))
    });
    old_rest == new_rest && old.into_iter().chain(added).eq(new)
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

    /// The value changes and the entry is added, and nothing else.
    fn only(text: &str, at: &str, now: &str, value: (&str, &str), entry: (&str, &str)) {
        let edited = correct(text, &made(at, now)).unwrap_or_else(|why| panic!("{why}: {text:?}"));
        assert_eq!(text.matches(value.0).count(), 1, "{text:?}");
        let expected = text.replace(value.0, value.1).replace(entry.0, entry.1);
        assert_eq!(edited.text, expected);
        let [a, b] = &edited.splices;
        let both = [&text[..a.old.start], &a.new, &text[a.old.end..b.old.start], &b.new];
        assert_eq!(edited.text, both.concat() + &text[b.old.end..]);
    }

    const LINES: &str = "- on: 2026-03-02\n  by: hk\n  at: film f1 / taken\n  was: 2024-11-04\n  \
        now: 2024-11-05\n  because: \"typed wrong: a slip, no more\"\n";
    const BRACES: &str = "{on: 2026-03-02, by: hk, at: film f1 / taken, was: 2024-11-04, \
        now: 2024-11-05, because: \"typed wrong: a slip, no more\"}";

    #[test]
    fn the_list_of_corrections_may_have_any_form() {
        let film = "films: [{id: f1, taken: 2024-11-04}] # one\n";
        let value = ("taken: 2024-11-04", "taken: 2024-11-05");
        let indented = ENTRY.to_string();
        for (list, was, now) in [
            // Not indented, and a comment after the last item.
            ("corrections:\n- on: 2026-01-01 # a ]\n# end\n", "# end\n", format!("{LINES}# end\n")),
            ("corrections:   # none yet\n# end\n", "# end\n", format!("{ENTRY}# end\n")),
            ("corrections: []\n", "[]", format!("[{BRACES}]")),
            ("corrections: [ ] # none\n", "[ ]", format!("[ {BRACES}]")),
            ("corrections: [{on: 2026-01-01}, ]\n", "}, ]", format!("}}, {BRACES}, ]")),
            (
                "corrections: [\n  {on: 2026-01-01} # ] no\n]\n",
                "01} #",
                format!("01}}, {BRACES} #"),
            ),
            (
                "corrections:\n  - {on: 2026-01-01,\n     by: hk\n    } # x\nexams: []\n",
                "} # x\n",
                format!("}} # x\n  - {BRACES}\n"),
            ),
            (
                "corrections:\n  - on: 2026-01-01\n    because: >\n      a\n\nexams: []\n",
                "\n\nexams",
                format!("\n\n{indented}exams"),
            ),
        ] {
            only(&format!("{film}{list}"), "film f1 / taken", "2024-11-05", value, (was, &now));
            // Before the value, too.
            only(&format!("{list}{film}"), "film f1 / taken", "2024-11-05", value, (was, &now));
        }
    }

    #[test]
    fn a_file_may_end_and_begin_anyhow() {
        let value = ("04", "05");
        let new = format!("2024-11-05\n\ncorrections:\n{ENTRY}");
        let film = "films:\n  - id: f1\n    \"taken\":\t2024-11-04";
        only(film, "film f1/taken", "2024-11-05", value, ("2024-11-05", &new));
        let new = "...\n".to_string();
        let entry = format!("\ncorrections:\n{ENTRY}...\n");
        only(&format!("{film}\n...\n"), "film f1 / taken", "2024-11-05", value, (&new, &entry));
        let flow = "{films: [{id: f1, taken: 2024-11-04}]} # all\n";
        let new = format!("}}], corrections: [{BRACES}]}}");
        only(flow, "film f1 / taken", "2024-11-05", value, ("}]}", &new));
        let flow = "{corrections: , films: [{id: f1, taken: '2024-11-04'}]}";
        let new = format!("{{corrections: [{BRACES}] ,");
        only(flow, "film f1 / taken", "2024-11-05", value, ("{corrections: ,", &new));
    }

    #[test]
    fn a_comment_beside_a_block_text_stays() {
        let text = "films:\n  - id: f1\n    why: |- # as told > by phone\n\n      yearly\n        \
            control\n\n\n    taken: 2024-11-04\n";
        let edited = correct(text, &made("film f1 / why", "half-yearly")).unwrap().text;
        let start = "films:\n  - id: f1\n    why: half-yearly # as told > by phone\n\n\n    taken";
        assert!(edited.starts_with(start), "{edited}");
        assert!(edited.contains("    was: \"yearly\\n  control\"\n"), "{edited}");
    }

    #[test]
    fn a_record_named_by_the_value_is_found_by_its_new_name() {
        let text = "exams:\n  - {on: 2024-11-04, pain: 2/10}\n";
        let edited = correct(text, &made("exam 2024-11-04 / on", "2024-11-05")).unwrap();
        assert_eq!(edited.at, "exam 2024-11-05 / on");
        assert!(edited.text.contains("at: exam 2024-11-05 / on\n    was: 2024-11-04\n"));
    }

    #[test]
    fn what_cannot_be_done_is_said() {
        let why = |at, now| correct(BLOCK, &made(at, now)).unwrap_err();
        assert_eq!(
            why("film f1 / taken", "2024-11-04"),
            "`film f1 / taken` holds `2024-11-04` already"
        );
        assert_eq!(why("film f2 / taken", "2024-11-05"), "there is no `film f2`");
        assert_eq!(why("film f1 / taken", " "), "the new value is empty");
        let edited = correct(BLOCK, &made("film f1 / taken", "2024-11-05")).unwrap().text;
        assert_eq!(
            correct(&edited, &made("correction 2026-03-02 / was", "2024-11-01")).unwrap_err(),
            "a correction is not changed itself; correct its entry again"
        );
        assert!(correct("case: [", &made("case", "x")).is_err());
    }
}
