//! `endplate explain`: where a fact comes from, or what a fault means.

mod code;
mod fact;
mod readers;

use std::path::PathBuf;

use chrono::NaiveDate;
use endplate::case::{Case, Clinic, LetterEntry};
use endplate::diag::{Code, Severity, Sources, render};
use endplate::facts::derive::derive;
use endplate::facts::known::known_on;
use endplate::letter::reading::{Reading, formula};
use endplate::pipeline::io::Folder;
use endplate::pipeline::{Press, load, workers};
use endplate::quantity::{PartialDate, Reported};

use super::terminal::Terminal;
use super::{Ended, Exit, Global, Stop, place};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// A case (its id or file), or the code of a fault
    #[arg(required_unless_present = "readers")]
    subject: Option<String>,
    /// A fact such as `curves.thoracic.now.cobb`, or the id of a letter
    /// [default: every fact]
    item: Option<String>,
    /// More cases, with `--readers`
    #[arg(requires = "readers", value_name = "CASE")]
    more: Vec<String>,
    /// How well readings of one film agree, between readers and within each,
    /// over the cases named [default: all of the clinic's]
    #[arg(long)]
    readers: bool,
    /// The day whose knowledge is asked for [default: that of the letter, or
    /// of the case's last letter]
    #[arg(long, value_name = "DATE", value_parser = day)]
    as_of: Option<NaiveDate>,
}

fn day(text: &str) -> Result<NaiveDate, String> {
    match PartialDate::parse(text) {
        Some(PartialDate::Day(day)) => Ok(day),
        _ => Err("not a day of the form 2026-10-27".to_string()),
    }
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    if args.readers {
        return compare_readers(args, global, terminal);
    }
    let subject = args.subject.as_deref().unwrap_or_default();
    if let Some(code) = Code::named(subject) {
        code::explain(code, global.format, terminal)?;
        return Ok(Exit::Done);
    }
    let folder = place::folder(global)?;
    let path = case_file(&folder, subject)?;
    let loaded = load(&folder, &[path], 1);
    let report = loaded.all_faults();
    for diagnostic in report.sorted() {
        if diagnostic.severity == Severity::Error {
            terminal.say(&render::one(diagnostic, &loaded.sources, terminal.talk_look()));
        }
    }
    let (Some(case), Some(clinic)) = (loaded.cases.first().and_then(|c| c.sound()), &loaded.clinic)
    else {
        terminal.say("a case with errors has no facts: mend it first");
        return Ok(Exit::Failed);
    };
    let letter = args.item.as_deref().and_then(|id| case.letters.iter().find(|l| *l.id == id));
    match letter.filter(|_| args.as_of.is_none()) {
        Some(letter) => printed(&folder, case, letter, clinic, global, terminal),
        None => facts(args, &Press::open(&folder), case, clinic, global, terminal),
    }
}

/// The readings of the cases named, or of all; cases with errors are told
/// and left out.
fn compare_readers(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let folder = place::folder(global)?;
    let named = args.subject.iter().chain(&args.item).chain(&args.more);
    let paths = named.map(|id| case_file(&folder, id)).collect::<Result<Vec<_>, _>>()?;
    let loaded = load(&folder, &paths, workers::suggested());
    let report = loaded.all_faults();
    for diagnostic in report.sorted() {
        if diagnostic.severity == Severity::Error {
            terminal.say(&render::one(diagnostic, &loaded.sources, terminal.talk_look()));
        }
    }
    let sound = loaded.cases.iter().filter_map(|c| c.sound());
    let known: Vec<Case> = match args.as_of {
        Some(day) => sound.map(|case| known_on(case, day)).collect(),
        None => sound.cloned().collect(),
    };
    readers::explain(&known.iter().collect::<Vec<_>>(), global.format, terminal)?;
    Ok(if report.has_errors() { Exit::Failed } else { Exit::Done })
}

/// What a letter prints, in its order; all facts of its day if it cannot be
/// written.
fn printed(
    folder: &Folder,
    case: &Case,
    letter: &LetterEntry,
    clinic: &Clinic,
    global: &Global,
    terminal: &mut Terminal,
) -> Ended {
    let press = Press::open(folder);
    match press.write(case, letter, clinic) {
        Ok(written) => {
            let shown = fact::Shown { facts: &written.derived.facts, case: &case.id.value };
            shown.these(&written.printed, global.format, terminal)?;
            if let Some(reading) = &written.reading {
                terminal.say(&read(reading, clinic));
            }
            Ok(Exit::Done)
        }
        Err(faults) => {
            let mut sources = Sources::default();
            press.texts().for_each(|(name, text)| sources.insert(&name, text));
            for diagnostic in faults.sorted() {
                terminal.say(&render::one(diagnostic, &sources, terminal.talk_look()));
            }
            terminal.say("the letter cannot be written; these are the facts of its day");
            let derived = derive(case, clinic, *letter.as_of, Some(letter));
            let shown = fact::Shown { facts: &derived.facts, case: &case.id.value };
            shown.all(global.format, terminal)?;
            Ok(Exit::Failed)
        }
    }
}

/// How hard a letter to lay readers is to read.
fn read(reading: &Reading, clinic: &Clinic) -> String {
    let told = |grade: Option<Reported>| grade.map_or("none".to_string(), |g| g.digits());
    let (grade, limit) = (told(reading.grade()), clinic.limits.reading_grade());
    let own = match formula::reported(&reading.own) {
        Some(own) => format!("; the clinician's own words {}", own.digits()),
        None => String::new(),
    };
    let source = formula::A_SENTENCE.source.work.map_or("", |work| work.citation);
    format!("reading grade {grade}, the limit is {limit}{own} ({source})")
}

/// A case by its path, or by its id among the clinic's cases.
pub(super) fn case_file(folder: &Folder, subject: &str) -> Result<PathBuf, Stop> {
    place::case_file(folder, subject).map_err(|_| {
        let near = nearest_code(subject).map(|c| format!("did you mean the code `{c}`? "));
        let help = format!(
            "{}name a case by its id or file, or the code of a fault as `check` prints it",
            near.unwrap_or_default()
        );
        Stop::Usage(format!("`{subject}` is neither a case nor a code"), help)
    })
}

fn nearest_code(typed: &str) -> Option<&'static str> {
    let alike = |name: &str| strsim::jaro_winkler(typed, name);
    endplate::diag::CODES
        .iter()
        .map(|(_, info)| info.name)
        .filter(|name| alike(name) > 0.88)
        .max_by(|a, b| alike(a).total_cmp(&alike(b)))
}

fn facts(
    args: &Args,
    press: &Press,
    case: &Case,
    clinic: &Clinic,
    global: &Global,
    terminal: &mut Terminal,
) -> Ended {
    let item = args.item.as_deref();
    let letter = item.and_then(|id| case.letters.iter().find(|l| *l.id == id));
    let as_of = args.as_of.or(letter.map(|l| *l.as_of)).unwrap_or_else(|| last_day(case));
    let entry = letter.or(last_letter(case));
    let derived = press.derive(case, clinic, as_of, entry);
    let wanted = item.filter(|_| letter.is_none());
    let shown = fact::Shown { facts: &derived.facts, case: &case.id.value };
    match wanted {
        None => shown.all(global.format, terminal)?,
        Some(path) => {
            if !shown.one(path, global.format, terminal)? {
                let fault = format!("`{path}` is no fact of `{}` as of {as_of}", *case.id);
                let help = shown.near(path);
                return Err(Stop::Usage(fault, help));
            }
        }
    }
    Ok(Exit::Done)
}

fn last_letter(case: &Case) -> Option<&LetterEntry> {
    case.letters.iter().max_by_key(|l| l.as_of.value)
}

/// The day of the last letter, or of the last record that a letter could be
/// written from: no clock is asked.
fn last_day(case: &Case) -> NaiveDate {
    let films = case.films.iter().map(|f| *f.taken);
    let read = case.films.iter().flat_map(|f| &f.readings).map(|r| *r.read);
    let exams = case.exams.iter().map(|e| *e.on);
    let plans = case.plans.iter().map(|p| *p.on);
    let last = films.chain(read).chain(exams).chain(plans).max();
    last_letter(case).map(|l| *l.as_of).or(last).unwrap_or(*case.patient.born)
}
