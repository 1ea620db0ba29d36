//! The header of a log, its delimiter, and the fields of its lines.

use std::sync::Arc;

use super::{Line, Spec, nearest};
use crate::case::suggest::quote;
use crate::diag::{Code, Diagnostic, Located, Place, Report};

/// Lines among which the header is looked for: loggers write a page of words
/// about themselves first.
const PREAMBLE: usize = 60;

/// The longest list of column names a message shows.
const SHOWN: usize = 12;

const DELIMITERS: [char; 3] = [',', ';', '\t'];

/// Where the fields stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Header {
    delimiter: char,
    /// Number of the header's line, from 1.
    line: u32,
    /// The byte after it.
    end: usize,
    width: usize,
    date: Option<usize>,
    time: usize,
    temperature: usize,
}

/// The fields of one line that matter.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cells<'a> {
    /// The date, if it has a column of its own.
    pub date: Option<&'a str>,
    /// The time.
    pub time: &'a str,
    /// The temperature.
    pub temperature: &'a str,
}

/// Finds the header; a fault is reported and gives `None`.
pub(super) fn header(
    text: &str,
    file: &Arc<str>,
    home: &Place,
    spec: &Spec,
    report: &mut Report,
) -> Option<Header> {
    // A byte-order mark is no part of the first name.
    let mark = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let mut first: Option<(Line, Vec<&str>)> = None;
    for line in lines(text, mark).take(PREAMBLE) {
        let words = &text[line.start..line.end];
        for delimiter in DELIMITERS {
            let names = split(words, delimiter);
            if let Some((date, time, temperature)) = columns(&names, spec) {
                let (number, end, width) = (line.number, line.end, names.len());
                let line = number;
                return Some(Header { delimiter, line, end, width, date, time, temperature });
            }
            let wider = first
                .as_ref()
                .is_none_or(|(l, n)| l.number == line.number && names.len() > n.len());
            if wider && !words.trim().is_empty() {
                first = Some((line, names));
            }
        }
    }
    match first {
        Some((line, names)) => complain(&names, &line.place(file), home, spec, report),
        None => report.add(Code::WearLogEmpty, &Place::whole(file), "the log is empty"),
    }
    None
}

/// The lines of a text without their ends, with their places.
fn lines(text: &str, from: usize) -> impl Iterator<Item = Line> + '_ {
    let mut start = from;
    let mut number = 0;
    text[from..].split_inclusive('\n').map(move |line| {
        let end = start + line.trim_end_matches(['\n', '\r']).len();
        number += 1;
        let this = Line { number, start, end };
        start += line.len();
        this
    })
}

/// The fields of a line; quotes hold a delimiter together, and never reach
/// over the end of a line, so that a stray one cannot swallow a file.
fn split(line: &str, delimiter: char) -> Vec<&str> {
    let (mut fields, mut start, mut quoted) = (Vec::with_capacity(4), 0, false);
    for (at, c) in line.char_indices() {
        if c == '"' {
            quoted = !quoted;
        } else if c == delimiter && !quoted {
            fields.push(bare(&line[start..at]));
            start = at + 1;
        }
    }
    fields.push(bare(&line[start..]));
    fields
}

fn bare(field: &str) -> &str {
    let field = field.trim();
    field.strip_prefix('"').and_then(|f| f.strip_suffix('"')).unwrap_or(field).trim()
}

type Columns = (Option<usize>, usize, usize);

/// The columns the case names; those it does not name, if they are plain.
fn columns(names: &[&str], spec: &Spec) -> Option<Columns> {
    let date = match &spec.date_column {
        Some(name) => Some(named(names, name)?),
        None => None,
    };
    let time = match &spec.time_column {
        Some(name) => named(names, name)?,
        None => only(names, |n| n == "time")
            .or_else(|| only(names, |n| n.contains("time")))
            .or_else(|| only(names, |n| n.contains("date")))?,
    };
    let temperature = match &spec.temperature_column {
        Some(name) => named(names, name)?,
        None => only(names, |n| n.contains("temp") || n.contains("celsius"))?,
    };
    let guessed = || only(names, |n| n == "date").filter(|at| *at != time);
    let date = date.or_else(|| spec.time_column.is_none().then(guessed).flatten());
    (time != temperature).then_some((date, time, temperature))
}

fn named(names: &[&str], wanted: &str) -> Option<usize> {
    let exact = names.iter().position(|n| *n == wanted);
    exact.or_else(|| only(names, |n| n == wanted.to_lowercase()))
}

/// The one column whose name in lower case fits.
fn only(names: &[&str], fits: impl Fn(&str) -> bool) -> Option<usize> {
    let mut found = (0..names.len()).filter(|i| fits(&names[*i].to_lowercase()));
    found.next().filter(|_| found.next().is_none())
}

/// Says which column is missing: each that was named, or that must be named.
fn complain(names: &[&str], header: &Place, home: &Place, spec: &Spec, report: &mut Report) {
    let shown: Vec<String> = names.iter().take(SHOWN).map(|n| quote(n)).collect();
    let shown = shown.join(", ");
    let mut told = false;
    let keys = [
        ("date_column", &spec.date_column),
        ("time_column", &spec.time_column),
        ("temperature_column", &spec.temperature_column),
    ];
    let missing = |name: &&Located<String>| named(names, name).is_none();
    for (key, name) in keys {
        let Some(name) = name.as_ref().filter(missing) else { continue };
        let message = format!("no column {} among {shown}", quote(name));
        let fault = Diagnostic::new(Code::WearLogColumn, Some(name.place.clone()), message);
        report.push(fault.remedy(nearest(name, names, key)).related(header.clone(), "the columns"));
        told = true;
    }
    if told {
        return;
    }
    let key = match (&spec.time_column, &spec.temperature_column) {
        (None, None) => "`time_column:` and `temperature_column:`",
        (None, _) => "`time_column:`",
        _ => "`temperature_column:`",
    };
    let message = format!("which of {shown} is the time and which the temperature is not plain");
    let fault = Diagnostic::new(Code::WearLogColumn, Some(home.clone()), message);
    report.push(fault.remedy(format!("add {key} beside `log:`")).related(header.clone(), "here"));
}

/// Hands every line below the header to a reader, with its fields or with what
/// is wrong with them; empty lines and lines that start with `#` are skipped.
pub(super) fn each<'t>(
    text: &'t str,
    header: &Header,
    mut take: impl FnMut(Line, Result<Cells<'t>, String>),
) {
    for line in lines(text, header.end) {
        let words = &text[line.start..line.end];
        if line.number == 1 || words.trim().is_empty() || words.starts_with('#') {
            continue; // The first is what is left of the header's line: nothing.
        }
        let line = Line { number: line.number + header.line - 1, ..line };
        take(line, cells(words, header));
    }
}

fn cells<'t>(line: &'t str, header: &Header) -> Result<Cells<'t>, String> {
    let mut found = [""; 3];
    let (mut count, mut beyond) = (0, false);
    let mut keep = |field: &'t str| {
        if Some(count) == header.date {
            found[0] = field;
        }
        if count == header.time {
            found[1] = field;
        }
        if count == header.temperature {
            found[2] = field;
        }
        // Fields beyond the header are a comma too many, unless empty.
        beyond |= count >= header.width && !field.trim().is_empty();
        count += 1;
    };
    if line.contains('"') {
        split(line, header.delimiter).into_iter().for_each(&mut keep);
    } else {
        line.split(header.delimiter).map(str::trim).for_each(&mut keep);
    }
    let enough = header.date.unwrap_or(0).max(header.time).max(header.temperature);
    if beyond || count <= enough {
        return Err(format!("{count} columns instead of {}", header.width));
    }
    Ok(Cells { date: header.date.map(|_| found[0]), time: found[1], temperature: found[2] })
}
