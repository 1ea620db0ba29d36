//! `endplate withdraw` and `endplate erase`: letters that must not be used.

use endplate::pipeline::issue::{Desk, WITHDRAWN_BECAUSE};
use endplate::register::DocumentId;

use super::desk::{self, Room, Told};
use super::terminal::Terminal;
use super::{Ended, Global, Stop};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The letter, such as fw-0118/l3
    #[arg(value_name = "LETTER", value_parser = desk::letter)]
    letter: DocumentId,
    /// Id of the person who withdraws it: an assertion, not a login
    #[arg(long, value_name = "PERSON")]
    by: String,
    /// Why: "wrong patient", "wrong reader" or "not to be relied on"
    #[arg(long, value_name = "CLASS", value_parser = reason)]
    reason: &'static str,
    /// Ask nothing
    #[arg(long)]
    yes: bool,
}

fn reason(text: &str) -> Result<&'static str, String> {
    desk::one_of(text, WITHDRAWN_BECAUSE)
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    if !agreed(args.yes, &format!("Withdraw {}?", args.letter), terminal)? {
        return Ok(super::Exit::Done);
    }
    let room = Room::of(global, &[args.letter.case()])?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let mut told = Told::new(&room, global.format);
    let done = desk.withdraw(&args.letter, desk::act(&args.by), args.reason);
    told.take("withdrawn", done, terminal)?;
    told.end(terminal)
}

fn agreed(yes: bool, question: &str, terminal: &Terminal) -> Result<bool, Stop> {
    if yes {
        return Ok(true);
    }
    if !terminal.listens() {
        let fault = "nobody can be asked".to_string();
        return Err(Stop::Usage(fault, "add `--yes`".to_string()));
    }
    Ok(terminal.agrees(question)?)
}

#[derive(Debug, clap::Args)]
pub struct EraseArgs {
    /// The letter, such as fw-0118/l3
    #[arg(value_name = "LETTER", value_parser = desk::letter)]
    letter: DocumentId,
    /// Only this version [default: all of them]
    #[arg(long, value_name = "N")]
    version: Option<u32>,
    /// Id of the person who destroys it: an assertion, not a login
    #[arg(long, value_name = "PERSON")]
    by: String,
    /// The legal ground, such as an order's number; the register keeps it, so
    /// no names
    #[arg(long, value_name = "TEXT")]
    ground: String,
    /// Ask nothing
    #[arg(long)]
    yes: bool,
}

/// What is not destroyed, since the register does not know of it.
const ELSEWHERE: &str = "only what was issued is destroyed: `out/` may still hold copies of the letter, and\n`out/.endplate-build.json` values printed in it; remove them by hand, and from backups";

pub fn erase(args: &EraseArgs, global: &Global, terminal: &mut Terminal) -> Ended {
    let question = format!("Destroy the bytes of {} for good?", args.letter);
    if !agreed(args.yes, &question, terminal)? {
        return Ok(super::Exit::Done);
    }
    let room = Room::of(global, &[args.letter.case()])?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let mut told = Told::new(&room, global.format);
    match desk.erase(&args.letter, args.version, desk::act(&args.by), &args.ground) {
        Ok(list) => {
            for done in list {
                told.take("erased", Ok(done), terminal)?;
            }
            terminal.say(ELSEWHERE);
        }
        Err(faults) => told.take("erased", Err(faults), terminal)?,
    }
    told.end(terminal)
}
