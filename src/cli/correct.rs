//! `endplate correct`: one value of a case changed, and the correction told.

use std::io::Write;
use std::path::Path;

use chrono::NaiveDate;
use endplate::case::Clinic;
use endplate::case::edit::{self, Correction};
use endplate::case::near::{Near, listed, near};
use endplate::diag::render;
use endplate::pipeline::correct::{self, Prepared, Refused};
use endplate::pipeline::io::{self, Folder};
use endplate::pipeline::load;
use endplate::quantity::PartialDate;
use serde_json::json;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, place};

/// No more entries are offered than this.
const OFFERED: usize = 12;

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The case, by its id or file
    case: String,
    /// The entry that is wrong, such as `film f1 / reading r1 / curve
    /// thoracic / cobb`
    #[arg(required_unless_present = "list", conflicts_with = "list")]
    record: Option<String>,
    /// What it should say, such as `26 deg`
    #[arg(required_unless_present = "list", allow_hyphen_values = true)]
    value: Option<String>,
    /// Who answers for the correction, by their id in clinic.yaml; this is
    /// taken on trust, it is no login
    #[arg(long, value_name = "PERSON", required_unless_present = "list")]
    by: Option<String>,
    /// Why it was wrong
    #[arg(long, value_name = "TEXT", required_unless_present = "list")]
    because: Option<String>,
    /// The day of the correction [default: today, in universal time]
    #[arg(long, value_name = "DATE", value_parser = day)]
    on: Option<NaiveDate>,
    /// Write without asking
    #[arg(long)]
    yes: bool,
    /// Print the entries of the case with their values, all or those whose
    /// way begins so
    #[arg(long, value_name = "PREFIX", num_args = 0..=1, default_missing_value = "")]
    list: Option<String>,
}

fn day(text: &str) -> Result<NaiveDate, String> {
    match PartialDate::parse(text) {
        Some(PartialDate::Day(day)) => Ok(day),
        _ => Err("not a day of the form 2026-10-27".to_string()),
    }
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let folder = place::folder(global)?;
    let path = place::case_file(&folder, &args.case)?;
    if let Some(start) = &args.list {
        return list(&folder, &path, start, global.format, terminal);
    }
    let Some(clinic) = clinic(&folder, &path, terminal) else { return Ok(Exit::Failed) };
    let correction = Correction {
        at: args.record.as_deref().unwrap_or_default(),
        now: args.value.as_deref().unwrap_or_default(),
        on: made_on(args.on)?,
        by: person(args.by.as_deref().unwrap_or_default(), &clinic)?,
        because: because(args.because.as_deref().unwrap_or_default())?,
    };
    let shown = folder.shown(&path);
    // Nobody waits for an answer while the folder is held.
    let held = match args.yes {
        true => Some(correct::hold(&path, &waiting).map_err(|e| unwritten(&shown, &e))?),
        false => None,
    };
    let prepared = correct::prepare(&folder, &path, Some(&clinic), &correction)
        .map_err(|why| refused(why, &shown, &args.case))?;
    if !show(&prepared, &shown, global.format, terminal)? {
        return done(&prepared, &shown, false, global.format, terminal);
    }
    let written = match held {
        Some(held) => prepared.write(&held),
        None if !agreed(&shown, terminal)? => {
            return done(&prepared, &shown, false, global.format, terminal);
        }
        None => correct::hold(&path, &waiting).and_then(|held| prepared.write(&held)),
    };
    written.map_err(|error| unwritten(&shown, &error))?;
    done(&prepared, &shown, true, global.format, terminal)
}

/// The clinic; its faults are told where it cannot be read.
fn clinic(folder: &Folder, path: &Path, terminal: &Terminal) -> Option<Clinic> {
    let loaded = load(folder, &[path.to_path_buf()], 1);
    if loaded.clinic.is_none() {
        for fault in loaded.report.sorted() {
            terminal.say(&render::one(fault, &loaded.sources, terminal.talk_look()));
        }
    }
    loaded.clinic
}

fn person<'a>(typed: &'a str, clinic: &Clinic) -> Result<&'a str, Stop> {
    let known: Vec<&str> = clinic.people.iter().map(|p| p.id.as_str()).collect();
    match known.contains(&typed) {
        true => Ok(typed),
        false => Err(Stop::Usage(
            format!("`{typed}` is not among the people of {}", io::CLINIC_FILE),
            format!("one of them answers for the correction: {}", known.join(", ")),
        )),
    }
}

fn because(typed: &str) -> Result<&str, Stop> {
    match typed.trim() {
        "" => Err(Stop::Usage(
            "no reason is given".to_string(),
            "say after `--because` why the entry was wrong".to_string(),
        )),
        typed => Ok(typed),
    }
}

fn refused(why: Refused, shown: &str, case: &str) -> Stop {
    match why {
        Refused::Unreadable(why) => Stop::Usage(
            format!("`{shown}` cannot be corrected: {why}"),
            format!("mend it first; `endplate check {shown}` says where"),
        ),
        Refused::NoEntry(why, near) => Stop::Usage(why, offer(&near, case)),
        Refused::Value(why) => Stop::Usage(why, "nothing was written".to_string()),
    }
}

/// What may have been meant.
fn offer(near: &Near, case: &str) -> String {
    let all = format!("`endplate correct {case} --list` prints every entry");
    match near {
        Near::Meant(path) => format!("did you mean `{path}`? {all}"),
        Near::Fit(list) => {
            let lines: Vec<_> = list.iter().take(OFFERED).map(line).collect();
            let more = match list.len().saturating_sub(OFFERED) {
                0 => String::new(),
                n => format!("\n    and {n} more"),
            };
            format!("name one entry; there are:\n    {}{more}\n  {all}", lines.join("\n    "))
        }
        Near::Nothing => all,
    }
}

/// An entry and what it holds, on one line.
fn line((path, value): &(String, String)) -> String {
    format!("{path}: {}", value.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn list(
    folder: &Folder,
    path: &Path,
    start: &str,
    format: Format,
    terminal: &mut Terminal,
) -> Ended {
    let shown = folder.shown(path);
    let root = correct::text(path).and_then(|text| edit::parse(&text));
    let root = root.map_err(|why| refused(Refused::Unreadable(why), &shown, &shown))?;
    let mut found = listed(&root, start.trim());
    if found.is_empty() {
        found = match near(&root, start) {
            Near::Fit(fit) => fit,
            near => {
                let why = format!("no entry of `{shown}` begins with `{start}`");
                return Err(Stop::Usage(why, offer(&near, &shown)));
            }
        };
    }
    match format {
        Format::Text => {
            let lines: Vec<_> = found.iter().map(|entry| line(entry) + "\n").collect();
            terminal.print(&lines.concat())?;
        }
        Format::Json => {
            let entry = |(at, value): &(String, String)| json!({ "at": at, "value": value });
            terminal.print_json(&found.iter().map(entry).collect())?;
        }
    }
    Ok(Exit::Done)
}

/// Shows what would change; says whether it may be written.
fn show(
    prepared: &Prepared,
    shown: &str,
    format: Format,
    terminal: &mut Terminal,
) -> Result<bool, Stop> {
    if format == Format::Text {
        terminal.print(&format!("--- {shown}\n+++ {shown}\n{}", prepared.difference()))?;
    }
    for fault in prepared.faults.sorted() {
        terminal.say(&render::one(fault, &prepared.sources, terminal.talk_look()));
    }
    Ok(!prepared.faults.has_errors())
}

/// Asks; without somebody to answer, `--yes` is needed.
fn agreed(shown: &str, terminal: &Terminal) -> Result<bool, Stop> {
    match terminal.ask(&format!("write this to {shown}? [y/N]"))? {
        Some(answer) => Ok(matches!(answer.to_lowercase().as_str(), "y" | "yes")),
        None => Err(Stop::Usage(
            "nobody is there to say yes; nothing was written".to_string(),
            "read the difference, then run this again with `--yes`".to_string(),
        )),
    }
}

/// Said while another run holds the folder.
fn waiting() {
    let text = "another run is writing to this folder; waiting for its turn";
    let _ = writeln!(std::io::stderr(), "{text}");
}

fn unwritten(shown: &str, error: &std::io::Error) -> Stop {
    let why = io::reason(error);
    Stop::Tool(format!("`{shown}` cannot be written: {why}; it is as it was"))
}

fn done(
    prepared: &Prepared,
    shown: &str,
    written: bool,
    format: Format,
    terminal: &mut Terminal,
) -> Ended {
    if format == Format::Json {
        terminal.print_json(&json!({
            "file": shown,
            "at": prepared.edited.at,
            "was": prepared.edited.was.text,
            "written": written,
            "difference": prepared.difference(),
            "diagnostics": render::json(&prepared.faults),
        }))?;
    }
    let errors = prepared.faults.has_errors();
    terminal.say(&match (written, errors) {
        (true, _) => format!("{shown}: corrected"),
        (false, true) => format!("{shown}: not written, the corrected case would have errors"),
        (false, false) => format!("{shown}: not written"),
    });
    Ok(if errors { Exit::Failed } else { Exit::Done })
}

/// The day of the correction: today, or the day named; none that is to come,
/// for every later correction would have to come after it.
fn made_on(on: Option<NaiveDate>) -> Result<NaiveDate, Stop> {
    let today = io::now().date_naive();
    // A day of slack: the clinic's clock may be ahead of universal time.
    match on.filter(|on| *on > today + chrono::Days::new(1)) {
        None => Ok(on.unwrap_or(today)),
        Some(on) => {
            let fault = format!("`--on {on}` is a day that has not come");
            Err(Stop::Usage(fault, "name the day on which it was corrected".to_string()))
        }
    }
}
