//! `endplate told` and `endplate owed`: who knows, and who must still be told.

use chrono::NaiveDate;
use endplate::pipeline::issue::{Debt, Desk, HOW};
use endplate::register::DocumentId;
use serde_json::json;

use super::desk::{self, Room, Told};
use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The letter, such as fw-0118/l3
    #[arg(value_name = "LETTER", value_parser = desk::letter)]
    letter: DocumentId,
    /// Id of the contact who now knows, such as gp
    contact: String,
    /// Id of the person who told them: an assertion, not a login
    #[arg(long, value_name = "PERSON")]
    by: String,
    /// The day they were told
    #[arg(long, value_name = "DATE", value_parser = desk::day)]
    on: NaiveDate,
    /// How: telephone, letter, e-mail, portal or "in person"
    #[arg(long, value_name = "WAY", value_parser = how)]
    how: &'static str,
}

fn how(text: &str) -> Result<&'static str, String> {
    desk::one_of(text, HOW)
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let room = Room::of(global, &[args.letter.case()])?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let mut told = Told::new(&room, global.format);
    let act = desk::act(&args.by);
    let done = desk.told(&args.letter, &args.contact, act, args.on, args.how);
    told.take("told", done, terminal)?;
    told.end(terminal)
}

pub fn owed(global: &Global, terminal: &mut Terminal) -> Ended {
    let room = Room::of(global, &[])?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let debts = match desk.owed() {
        Ok(debts) => debts,
        Err(faults) => {
            room.tell(&faults, terminal);
            return Ok(Exit::Failed);
        }
    };
    match global.format {
        Format::Json => {
            terminal.print_json(&json!(debts.iter().map(as_json).collect::<Vec<_>>()))?;
        }
        Format::Text => {
            let lines: Vec<_> = debts.iter().map(|d| format!("{}\n", line(d))).collect();
            terminal.print(&lines.concat())?;
        }
    }
    terminal.say(&match debts.iter().filter(|d| d.withheld.is_none()).count() {
        0 => "nobody must still be told".to_string(),
        1 => "1 holder must still be told".to_string(),
        n => format!("{n} holders must still be told"),
    });
    Ok(Exit::Done)
}

/// `gp (Dr Anselm Quillby) holds version 1 of fw-0096/l1; amended as version 2 on …`.
pub fn line(debt: &Debt) -> String {
    let name = debt.name.as_ref().map(|n| format!(" ({n})")).unwrap_or_default();
    let versions: Vec<_> = debt.holds.iter().map(u32::to_string).collect();
    let plural = if versions.len() == 1 { "" } else { "s" };
    let news = match debt.withdrawn {
        true => "withdrawn".to_string(),
        false => format!("amended as version {}", debt.about),
    };
    let withheld = debt
        .withheld
        .map(|since| format!("; do not tell them: letters are withheld from them since {since}"));
    format!(
        "{}{name} holds version{plural} {} of {}, {news} on {}{}",
        debt.contact,
        versions.join(", "),
        debt.document,
        debt.since.day(),
        withheld.unwrap_or_default()
    )
}

pub fn as_json(debt: &Debt) -> serde_json::Value {
    json!({
        "letter": debt.document.0,
        "contact": debt.contact,
        "name": debt.name,
        "holds": debt.holds,
        "about": debt.about,
        "withdrawn": debt.withdrawn,
        "since": debt.since.to_string(),
        "withheld": debt.withheld.map(|since| since.to_string()),
    })
}
