//! `endplate new`: a commented case file to start from.

use std::path::PathBuf;

use endplate::case::skeleton::{Answers, skeleton};
use endplate::case::{Cause, Deformity, Pronouns, Sex};
use endplate::pipeline::io;
use endplate::quantity::PartialDate;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, place};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The case's id, also its file name, such as mr-0118
    #[arg(long)]
    id: Option<String>,
    /// The patient's full name
    #[arg(long)]
    name: Option<String>,
    /// Date of birth, such as 2013-05-06
    #[arg(long, value_name = "DATE")]
    born: Option<String>,
    /// Sex as recorded, for growth and risk: female, male or other
    #[arg(long)]
    sex: Option<String>,
    /// The clinic's record number
    #[arg(long, value_name = "NUMBER")]
    record_no: Option<String>,
    /// The name they go by
    #[arg(long, value_name = "NAME")]
    called: Option<String>,
    /// Pronouns as stated: she, he or they
    #[arg(long)]
    pronouns: Option<String>,
    /// Cause of the curve, such as idiopathic
    #[arg(long)]
    cause: Option<String>,
    /// Deformity: scoliosis, hyperkyphosis or asymmetry
    #[arg(long)]
    deformity: Option<String>,
    /// When it was found, as precisely as known, such as 2024-10
    #[arg(long, value_name = "DATE")]
    found: Option<String>,
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let folder = place::folder(global)?;
    let id = asked(terminal, &args.id, "--id", "Case id (also the file name):", id)?;
    let path: PathBuf = folder.root().join("cases").join(format!("{id}.yaml"));
    refuse_old(&path, &folder.shown(&path))?;
    let answers = Answers {
        id,
        name: asked(terminal, &args.name, "--name", "Full name:", text)?,
        born: asked(terminal, &args.born, "--born", "Date of birth (2013-05-06):", day)?,
        sex: asked(terminal, &args.sex, "--sex", "Sex as recorded (female, male, other):", sex)?,
        record_no: given(&args.record_no, "--record-no", text)?,
        called: given(&args.called, "--called", text)?,
        pronouns: given(&args.pronouns, "--pronouns", pronouns)?,
        cause: given(&args.cause, "--cause", cause)?,
        deformity: given(&args.deformity, "--deformity", deformity)?,
        found: given(&args.found, "--found", found)?,
    };
    io::write_new(&path, skeleton(&answers).as_bytes()).map_err(|error| {
        Stop::Tool(format!("`{}` cannot be written: {}", folder.shown(&path), io::reason(&error)))
    })?;
    let shown = folder.shown(&path);
    match global.format {
        Format::Json => terminal.print_json(&serde_json::json!({ "file": shown }))?,
        Format::Text => terminal.print(&format!("{shown}\n"))?,
    }
    terminal.say("written; fill it in, then run `endplate check`");
    Ok(Exit::Done)
}

fn refuse_old(path: &std::path::Path, shown: &str) -> Result<(), Stop> {
    if !io::exists(path) {
        return Ok(());
    }
    let help = "choose another id, or edit that file";
    Err(Stop::Usage(format!("`{shown}` exists already"), help.to_string()))
}

/// The flag's value, if it is given.
fn given<T>(
    flag: &Option<String>,
    name: &str,
    read: fn(&str) -> Result<T, String>,
) -> Result<Option<T>, Stop> {
    let Some(typed) = flag else { return Ok(None) };
    let help = format!("correct `{name}`; `endplate new --help` shows its form");
    read(typed).map(Some).map_err(|why| Stop::Usage(format!("{name} `{typed}`: {why}"), help))
}

/// The flag's value, or an answer; asked again until it can be used.
fn asked<T>(
    terminal: &Terminal,
    flag: &Option<String>,
    name: &str,
    question: &str,
    read: fn(&str) -> Result<T, String>,
) -> Result<T, Stop> {
    if let Some(value) = given(flag, name, read)? {
        return Ok(value);
    }
    while let Some(answer) = terminal.ask(question)? {
        match read(&answer) {
            Ok(value) => return Ok(value),
            Err(why) => terminal.say(&why),
        }
    }
    let help = "give it on the command line, or run this in a terminal";
    Err(Stop::Usage(format!("{name} is missing"), help.to_string()))
}

fn id(text: &str) -> Result<String, String> {
    let good = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if text.is_empty() || !text.chars().all(good) {
        return Err("an id is made of letters, digits, `-` and `_`".to_string());
    }
    if text == "clinic" {
        return Err("`clinic` is the clinic's own file".to_string());
    }
    Ok(text.to_string())
}

fn text(text: &str) -> Result<String, String> {
    match text.trim() {
        "" => Err("it is empty".to_string()),
        text if text.chars().any(char::is_control) => Err("it is more than one line".to_string()),
        text => Ok(text.to_string()),
    }
}

fn day(text: &str) -> Result<chrono::NaiveDate, String> {
    match PartialDate::parse(text) {
        Some(PartialDate::Day(day)) => Ok(day),
        _ => Err("it is not a day of the form 2013-05-06".to_string()),
    }
}

fn found(text: &str) -> Result<PartialDate, String> {
    PartialDate::parse(text)
        .ok_or_else(|| "it is not a year, month or day such as 2024-10".to_string())
}

fn one_of<T>(found: Option<T>, words: &[&str]) -> Result<T, String> {
    found.ok_or_else(|| format!("it is none of: {}", words.join(", ")))
}

fn sex(text: &str) -> Result<Sex, String> {
    one_of(Sex::from_word(text), Sex::WORDS)
}

fn pronouns(text: &str) -> Result<Pronouns, String> {
    one_of(Pronouns::from_word(text), Pronouns::WORDS)
}

fn cause(text: &str) -> Result<Cause, String> {
    one_of(Cause::from_word(text), Cause::WORDS)
}

fn deformity(text: &str) -> Result<Deformity, String> {
    one_of(Deformity::from_word(text), Deformity::WORDS)
}
