//! `endplate verify`: whether the register and the frozen letters are as they
//! were written.

use endplate::diag::{Report, Sources, render};
use endplate::pipeline::Archive;
use endplate::register::verify::Checked;
use serde_json::json;

use super::desk;
use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, place};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Record that the branches of a forked register were looked at and are
    /// all kept
    #[arg(long, requires = "by")]
    join: bool,
    /// Id of the person who joins them: an assertion, not a login
    #[arg(long, value_name = "PERSON", requires = "join")]
    by: Option<String>,
}

/// What a clean result means, and what it does not.
const PROVES: &str = "Proved: no event and no frozen file was changed, put in between or taken \
                      out, up to the last event.";
const CANNOT: &str = "Not proved: that the people named acted themselves, that the clock was \
                      right, or that nobody replaced the whole register. For the last, compare \
                      the register digest printed at the foot of a letter in someone else's \
                      hands with the name of an event file.";

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let folder = place::folder(global)?;
    let archive = Archive::of(&folder);
    let mut report = Report::default();
    if let (true, Some(by)) = (args.join, &args.by) {
        let now = desk::act(by);
        match archive.join(&desk::waiting, (now.at, by), &mut report)? {
            Some(event) => terminal.say(&format!("joined by event {}", event.number)),
            None => terminal.say("nothing was joined"),
        }
    }
    let mut report = Report::default();
    let checked = archive.verify(&mut report)?;
    match global.format {
        Format::Json => terminal.print_json(&json!({
            "events": checked.events,
            "sound": checked.sound,
            "erased": checked.erased,
            "clean": report.is_empty(),
            "diagnostics": render::json(&report),
            "proves": PROVES,
            "cannot": CANNOT,
        }))?,
        Format::Text => {
            let look = terminal.data_look();
            let sources = Sources::default();
            for diagnostic in report.sorted() {
                terminal.print(&render::one(diagnostic, &sources, look))?;
            }
            terminal.print(&summary(checked, &report))?;
        }
    }
    Ok(if report.is_empty() { Exit::Done } else { Exit::Failed })
}

fn summary(checked: Checked, report: &Report) -> String {
    let erased = match checked.erased {
        0 => String::new(),
        n => format!(", {n} destroyed by law"),
    };
    let counts =
        format!("{} events, {} frozen files as frozen{erased}", checked.events, checked.sound);
    match render::count(report) {
        Some(count) => format!("{counts}; {count}\n{CANNOT}\n"),
        None => format!("{counts}\n{PROVES}\n{CANNOT}\n"),
    }
}
