//! `endplate issue`: letters leave the house.

use endplate::pipeline::issue::Desk;
use endplate::register::DocumentId;

use super::desk::{self, Room, Told};
use super::terminal::Terminal;
use super::{Ended, Global, Stop};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Letters, such as fw-0118/l3
    #[arg(required = true, value_name = "LETTER", value_parser = desk::letter)]
    letters: Vec<DocumentId>,
    /// Id of the person who issues: an assertion, not a login; nothing checks
    /// who sits at the keyboard
    #[arg(long, value_name = "PERSON")]
    by: String,
    /// A letter that needs no question asked; each is named, there is no yes
    /// to all
    #[arg(long, value_name = "LETTER", value_parser = desk::letter)]
    yes: Vec<DocumentId>,
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    confirmable(args, terminal)?;
    let cases: Vec<&str> = args.letters.iter().map(|l| l.case()).collect();
    let room = Room::of(global, &cases)?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let mut told = Told::new(&room, global.format);
    for letter in &args.letters {
        if !args.yes.contains(letter) && !terminal.agrees(&question(&room, letter))? {
            terminal.say(&format!("{letter}: left as it is"));
            continue;
        }
        told.take("issued", desk.issue(letter, desk::act(&args.by)), terminal)?;
    }
    told.end(terminal)
}

/// Without a terminal every letter must have been named as agreed to.
fn confirmable(args: &Args, terminal: &Terminal) -> Result<(), Stop> {
    let open = args.letters.iter().find(|l| !args.yes.contains(l));
    match open.filter(|_| !terminal.listens()) {
        None => Ok(()),
        Some(letter) => {
            let fault = format!("nobody can be asked whether to issue `{letter}`");
            Err(Stop::Usage(fault, format!("add `--yes {letter}`, one for each letter")))
        }
    }
}

/// What is about to leave, to whom.
fn question(room: &Room, id: &DocumentId) -> String {
    let cases = room.loaded.cases.iter().filter_map(|c| c.case.as_ref());
    let case = cases.into_iter().find(|c| c.id.value == id.case());
    let entry = case.and_then(|c| c.letters.iter().find(|l| l.id.value == id.letter()));
    let Some(entry) = entry else { return format!("Issue {id}?") };
    let copies: Vec<_> = entry.copies.iter().map(|c| c.value.as_str()).collect();
    let copies = match copies.is_empty() {
        true => String::new(),
        false => format!(", copies to {}", copies.join(", ")),
    };
    let (kind, to, day) = (entry.kind.word(), &entry.to.value, entry.as_of.value);
    format!("Issue {id}, {kind} to {to}{copies}, as of {day}?")
}
