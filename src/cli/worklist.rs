//! `endplate check --for justification`: what is to be done before letters to
//! payers go out.

use std::fmt::Write;

use endplate::case::LetterKind;
use endplate::pipeline::worklist::{KINDS, Standing, Task, Unmet, distance, told, worklist};
use endplate::pipeline::{Loaded, Press};
use endplate::rules::payer::Shortfall;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Stop};

/// The kind named on the command line.
pub fn kind(word: &str) -> Result<LetterKind, Stop> {
    LetterKind::from_word(word).filter(|kind| KINDS.contains(kind)).ok_or_else(|| {
        let words: Vec<&str> = KINDS.iter().map(|k| k.word()).collect();
        let fault = format!("there is no list for letters of kind `{word}`");
        Stop::Usage(fault, format!("kinds with a list: {}", words.join(", ")))
    })
}

pub fn run(
    kind: LetterKind,
    loaded: &Loaded,
    press: &Press,
    format: Format,
    terminal: &mut Terminal,
) -> Ended {
    let Some(clinic) = &loaded.clinic else {
        let help = "go to the clinic's folder, or name it with `--clinic DIR`";
        return Err(Stop::Usage("without a clinic nobody can say what is due".into(), help.into()));
    };
    let tasks = worklist(press, loaded, clinic, kind);
    match format {
        Format::Json => {
            let list: Vec<_> = tasks.iter().map(Task::json).collect();
            terminal.print_json(&serde_json::Value::Array(list))?;
        }
        Format::Text => terminal.print(&table(&tasks))?,
    }
    terminal.say(&summary(&tasks, kind));
    let unread = loaded.cases.iter().filter(|c| c.case.is_none()).count();
    if unread > 0 || loaded.report.has_errors() || press.report.has_errors() {
        terminal.say("there are faults that `endplate check` tells: the list may lack letters");
        return Ok(Exit::Failed);
    }
    Ok(if tasks.iter().all(Task::done) { Exit::Done } else { Exit::Failed })
}

/// One line a letter, and below it what is to be done.
fn table(tasks: &[Task]) -> String {
    let none = || "-".to_string();
    let head = ["case", "letter", "request", "state", "policy"].map(String::from);
    let rows: Vec<[String; 5]> = tasks
        .iter()
        .map(|t| {
            [
                t.case.clone(),
                t.letter.clone().unwrap_or_else(none),
                t.request.clone().unwrap_or_else(none),
                t.standing.words().to_string(),
                t.policy.clone().unwrap_or_else(none),
            ]
        })
        .collect();
    let wide = |column: usize| {
        let cells = std::iter::once(&head).chain(&rows).map(|r| r[column].chars().count());
        cells.max().unwrap_or(0)
    };
    let widths = [wide(0), wide(1), wide(2), wide(3)];
    let mut out = line(&head, &widths);
    for (row, task) in rows.iter().zip(tasks) {
        out.push_str(&line(row, &widths));
        details(&mut out, task);
    }
    if tasks.is_empty() { String::new() } else { out }
}

fn line(row: &[String; 5], widths: &[usize; 4]) -> String {
    let mut text = String::new();
    for (cell, width) in row.iter().zip(widths) {
        let _ = write!(text, "{cell:<width$}  ");
    }
    text.push_str(&row[4]);
    format!("{}\n", text.trim_end())
}

fn details(out: &mut String, task: &Task) {
    if task.standing == Standing::Settled {
        return;
    }
    for unmet in &task.unmet {
        let _ = writeln!(out, "    not met: {}", unmet_words(unmet));
    }
    if task.exception && !task.unmet.is_empty() {
        let _ = writeln!(out, "    an exception is asked for");
    }
    for item in &task.missing {
        let who = item.who.as_ref().map(|w| format!(" (from {w})")).unwrap_or_default();
        let _ = writeln!(out, "    missing: {}{who}", item.what);
    }
    for asked in &task.asked {
        let _ = writeln!(out, "    asked for: {asked}");
    }
}

fn unmet_words(unmet: &Unmet) -> String {
    let by: Vec<String> = unmet.by.iter().map(short_words).collect();
    let by = if by.is_empty() { String::new() } else { format!(": {}", by.join("; ")) };
    format!("{} \u{201c}{}\u{201d}{by}", unmet.criterion, unmet.worded)
}

fn short_words(s: &Shortfall) -> String {
    let asked = s.asked.key().replace('_', " ");
    let by = distance(s);
    format!("{} {}, asked {asked} {}, off by {by}", s.label, told(&s.value), told(&s.bound))
}

fn summary(tasks: &[Task], kind: LetterKind) -> String {
    let count = |standing| tasks.iter().filter(|t| t.standing == standing).count();
    let counts: Vec<String> = [
        Standing::Ready,
        Standing::Missing,
        Standing::WillNotMeet,
        Standing::Settled,
        Standing::Faulty,
    ]
    .into_iter()
    .map(|standing| (count(standing), standing.words()))
    .filter(|(n, _)| *n > 0)
    .map(|(n, words)| format!("{n} {words}"))
    .collect();
    match tasks.len() {
        0 => format!("no case asks for a letter of kind {}", kind.word()),
        n => format!("{n} of kind {}: {}", kind.word(), counts.join(", ")),
    }
}
