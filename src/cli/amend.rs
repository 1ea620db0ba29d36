//! `endplate amend`: a new version of a letter that was wrong.

use clap::ValueEnum;
use endplate::pipeline::impact::Difference;
use endplate::pipeline::issue::{Amendment, Desk, REASONS};
use endplate::register::DocumentId;

use super::desk::{self, Room, Told};
use super::impact::sentences;
use super::terminal::Terminal;
use super::{Ended, Exit, Global, Stop};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The letter, such as fw-0118/l3
    #[arg(value_name = "LETTER", value_parser = desk::letter)]
    letter: DocumentId,
    /// Id of the person who amends: an assertion, not a login
    #[arg(long, value_name = "PERSON")]
    by: String,
    /// Why: transcription, side, patient, re-measurement or late data
    #[arg(long, value_name = "CLASS", value_parser = reason)]
    reason: &'static str,
    /// Whether what the reader is asked to do changes
    #[arg(long, value_enum)]
    advice_changes: YesNo,
    /// Ask nothing
    #[arg(long)]
    yes: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum YesNo {
    Yes,
    No,
}

fn reason(text: &str) -> Result<&'static str, String> {
    desk::one_of(text, REASONS)
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    if !args.yes && !terminal.listens() {
        let fault = format!("nobody can be asked whether to amend `{}`", args.letter);
        return Err(Stop::Usage(fault, "add `--yes`".to_string()));
    }
    let room = Room::of(global, &[args.letter.case()])?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let mut told = Told::new(&room, global.format);
    if !args.yes {
        match desk.to_amend(&args.letter) {
            Ok(difference) if agreed(&args.letter, &difference, terminal)? => {}
            Ok(_) => {
                terminal.say(&format!("{}: left as it is", args.letter));
                return Ok(Exit::Done);
            }
            Err(faults) => {
                told.take("amended", Err(faults), terminal)?;
                return told.end(terminal);
            }
        }
    }
    let amendment =
        Amendment { reason: args.reason, advice_changes: args.advice_changes == YesNo::Yes };
    let done = desk.amend(&args.letter, desk::act(&args.by), amendment);
    told.take("amended", done, terminal)?;
    told.end(terminal)
}

fn agreed(letter: &DocumentId, difference: &Difference, terminal: &Terminal) -> Result<bool, Stop> {
    terminal.say(&sentences(difference));
    Ok(terminal.agrees(&format!("Amend {letter} so ({})?", difference.class.word()))?)
}
