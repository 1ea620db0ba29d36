//! Why a letter was made: what changed among its inputs since it was made last.
//!
//! Compares two [`Snapshot`]s. It tells every input of the case that changed,
//! not which of them the letter prints: that is what `explain` is for. Entries
//! of other letters are named only where nothing else changed.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::Serialize;

use super::craft::PROGRAM;
use super::index::{Entry, Index, Shared, Snapshot, Typed};
use crate::case::read::beside;

/// One reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "reason")]
pub enum Why {
    /// It was never built into this folder.
    NotBuiltBefore,
    /// The last build did not note what it was made from.
    NotRemembered,
    /// Its kind or recipient, and with it its file's name, changed.
    Renamed {
        /// The file it was.
        from: String,
    },
    /// Its file was gone.
    FileMissing,
    /// Its file was not as written, and was written over as asked.
    WrittenOver,
    /// An entry of the case, a setting of the clinic or an option.
    Entry {
        /// The way to it.
        path: String,
        /// As typed then; absent if it was not recorded.
        was: Option<String>,
        /// As typed now.
        now: Option<String>,
        /// `file:line` of what it is now.
        at: Option<String>,
    },
    /// An attachment, a template, a phrase file, rules or a font.
    File {
        /// Its path.
        file: String,
        /// `changed`, `is new`, `is gone`.
        how: &'static str,
    },
    /// The program itself.
    Program,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Why::NotBuiltBefore => f.write_str("not built here before"),
            Why::NotRemembered => f.write_str("the last build did not note what it came from"),
            Why::Renamed { from } => write!(f, "was {from}"),
            Why::FileMissing => f.write_str("its file was missing and is written again"),
            Why::WrittenOver => f.write_str("its file was not as written; written over"),
            Why::Entry { path, was, now, at } => {
                let text = |typed: &Option<String>, other: &Option<String>| match typed {
                    Some(text) => excerpt(text, other.as_deref().unwrap_or("")),
                    None if path.starts_with("--") => "not given".to_string(),
                    None => "not recorded".to_string(),
                };
                write!(f, "{path}: {} → {}", text(was, now), text(now, was))?;
                at.as_ref().map_or(Ok(()), |at| write!(f, " ({at})"))
            }
            Why::File { file, how } => write!(f, "{file} {how}"),
            Why::Program => f.write_str("the program changed"),
        }
    }
}

/// Characters of a typed text that are shown.
const SHOWN: usize = 60;

/// A typed text on one line; of a long one the part that differs.
fn excerpt(text: &str, other: &str) -> String {
    let line = |text: &str| -> Vec<char> {
        let steers = |c: char| {
            c.is_control()
                || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        };
        let plain = |c: char| if c.is_whitespace() || steers(c) { ' ' } else { c };
        text.trim().chars().map(plain).collect()
    };
    let (text, other) = (line(text), line(other));
    if text.len() <= SHOWN {
        return text.into_iter().collect();
    }
    let same = text.iter().zip(&other).take_while(|(a, b)| a == b).count();
    let from = same.saturating_sub(SHOWN / 3).min(text.len() - SHOWN);
    let part: String = text[from..from + SHOWN].iter().collect();
    let before = if from > 0 { "…" } else { "" };
    let after = if from + SHOWN < text.len() { "…" } else { "" };
    format!("{before}{part}{after}")
}

/// Where the inputs of a letter stand.
pub(super) struct Now<'a> {
    /// The case file.
    pub file: &'a str,
    /// The clinic's file.
    pub clinic: &'a str,
    /// The case's inputs.
    pub snapshot: &'a Snapshot,
    /// The shared inputs.
    pub shared: &'a Shared,
}

/// What changed since a letter was made last.
pub(super) fn why(letter: &str, old: Option<&Entry>, index: &Index, now: &Now) -> Vec<Why> {
    let Some(old) = old else { return vec![Why::NotBuiltBefore] };
    let then = old.made_from.and_then(|id| index.snapshots.get(&id));
    let Some(then) = then else { return vec![Why::NotRemembered] };
    let mut all = entries(&then.values, &now.snapshot.values, now.file);
    own_entries_first(&mut all, letter);
    let told = !all.is_empty();
    if !told && then.own != now.snapshot.own {
        all.push(Why::File { file: now.file.to_string(), how: "changed" });
    }
    let named = |name: &String| beside(now.file, name);
    all.extend(files(&then.beside, &now.snapshot.beside, named));
    match index.shared.get(&then.shared) {
        Some(shared) => all.extend(of_all(shared, now)),
        None => all.push(Why::NotRemembered),
    }
    all
}

/// Entries of other letters do not decide this one; they are named only where
/// nothing else was changed.
fn own_entries_first(all: &mut Vec<Why>, letter: &str) {
    let own = format!("letter {letter} / ");
    let foreign = |why: &Why| match why {
        Why::Entry { path, .. } => path.starts_with("letter ") && !path.starts_with(&own),
        _ => false,
    };
    if !all.iter().all(foreign) {
        all.retain(|why| !foreign(why));
    }
}

fn entries(then: &BTreeMap<String, Typed>, now: &BTreeMap<String, Typed>, file: &str) -> Vec<Why> {
    let paths: BTreeSet<&String> = then.keys().chain(now.keys()).collect();
    let text = |typed: Option<&Typed>| typed.map(|t| t.0.clone());
    let one = |path: &String| {
        let (was, is) = (then.get(path), now.get(path));
        let at = is.filter(|t| t.1 > 0).map(|t| format!("{file}:{}", t.1));
        let (was, is) = (text(was), text(is));
        (was != is).then(|| Why::Entry { path: path.clone(), was, now: is, at })
    };
    // In the order of the file; what is gone comes last.
    let mut all: Vec<_> = paths.into_iter().collect();
    all.sort_by_key(|path| now.get(*path).map_or(u32::MAX, |t| t.1));
    all.into_iter().filter_map(one).collect()
}

fn files<T: PartialEq>(
    then: &BTreeMap<String, T>,
    now: &BTreeMap<String, T>,
    named: impl Fn(&String) -> String,
) -> Vec<Why> {
    let names: BTreeSet<&String> = then.keys().chain(now.keys()).collect();
    let one = |name: &String| {
        let how = match (then.get(name), now.get(name)) {
            (Some(a), Some(b)) if a == b => return None,
            (Some(_), Some(_)) => "changed",
            (None, _) => "is new",
            (_, None) => "is gone",
        };
        Some(if name == PROGRAM { Why::Program } else { Why::File { file: named(name), how } })
    };
    names.into_iter().filter_map(one).collect()
}

/// Settings, templates, rules, program.
fn of_all(then: &Shared, now: &Now) -> Vec<Why> {
    let mut all = entries(&then.values, &now.shared.values, now.clinic);
    let told = !all.is_empty();
    let more = files(&then.files, &now.shared.files, String::clone);
    // The clinic's file is told by its settings, if any of them changed.
    let itself = |why: &Why| matches!(why, Why::File { file, .. } if file == now.clinic);
    all.extend(more.into_iter().filter(|why| !(told && itself(why))));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_one_line_that_shows_the_difference() {
        let entry = |was: Option<&str>, now: Option<&str>, at: Option<&str>| Why::Entry {
            path: "film f1 / taken".to_string(),
            was: was.map(str::to_string),
            now: now.map(str::to_string),
            at: at.map(str::to_string),
        };
        let one = entry(Some("2025-01-02"), Some("2025-01-03"), Some("cases/a.yaml:7"));
        assert_eq!(one.to_string(), "film f1 / taken: 2025-01-02 → 2025-01-03 (cases/a.yaml:7)");
        let gone = entry(Some("two\nlines\u{1b}[2J"), None, None);
        assert_eq!(gone.to_string(), "film f1 / taken: two lines [2J → not recorded");
        let long = |end: &str| format!("{}{end}", "a word ".repeat(30));
        let (was, now) = (long("old"), long("new"));
        let shown = entry(Some(&was), Some(&now), None).to_string();
        assert!(shown.contains("old → …") && shown.ends_with("new"), "{shown}");
    }
}
