//! What the commands about issued letters share: finding the letters' cases,
//! asking, and telling what was done.

use chrono::NaiveDate;
use endplate::diag::{Report, Sources, render};
use endplate::pipeline::io::{self, Folder};
use endplate::pipeline::issue::{Act, Done, files_of};
use endplate::pipeline::{Loaded, Press, load, workers};
use endplate::register::{DocumentId, Moment};
use serde_json::json;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, place};

/// Reads the name of a letter.
pub fn letter(text: &str) -> Result<DocumentId, String> {
    match text.split('/').collect::<Vec<_>>()[..] {
        [case, letter] if !case.is_empty() && !letter.is_empty() => {
            Ok(DocumentId::new(case, letter))
        }
        _ => Err("a letter is named CASE/LETTER, such as fw-0118/l3".to_string()),
    }
}

/// Reads a day.
pub fn day(text: &str) -> Result<NaiveDate, String> {
    text.parse().map_err(|_| "not a day of the form 2026-10-27".to_string())
}

/// Reads one of a few words.
pub fn one_of(text: &str, words: &[&'static str]) -> Result<&'static str, String> {
    let found = words.iter().find(|word| **word == text.replace('_', " "));
    found.copied().ok_or_else(|| format!("none of: {}", words.join(", ")))
}

/// Who acts, now.
pub fn act(by: &str) -> Act<'_> {
    Act { by, at: Moment(io::now()) }
}

/// The clinic's folder with the cases a command speaks of.
pub struct Room {
    pub folder: Folder,
    pub loaded: Loaded,
    pub press: Press,
}

impl Room {
    /// Loads these cases, or all if none is named.
    pub fn of(global: &Global, cases: &[&str]) -> Result<Room, Stop> {
        let folder = place::folder(global)?;
        let files = files_of(&folder, cases)?;
        // A case that has no file is told by whoever looks for it.
        let all = cases.is_empty() || files.is_empty();
        let files = if all { Vec::new() } else { files };
        let loaded = load(&folder, &files, workers::suggested());
        let press = Press::open(&folder);
        Ok(Room { folder, loaded, press })
    }

    /// Texts of everything read, for snippets.
    pub fn sources(&self) -> Sources {
        let mut sources = self.loaded.sources.clone();
        self.press.texts().for_each(|(name, text)| sources.insert(&name, text));
        sources
    }

    /// Tells faults to people.
    pub fn tell(&self, report: &Report, terminal: &Terminal) {
        let sources = self.sources();
        for diagnostic in report.sorted() {
            terminal.say(&render::one(diagnostic, &sources, terminal.talk_look()));
        }
    }
}

/// Said once when another run holds the register.
pub fn waiting() {
    let mut stderr = std::io::stderr();
    let _ = std::io::Write::write_all(
        &mut stderr,
        b"another run is writing to the register; waiting for it\n",
    );
}

/// What became of the letters of one command.
pub struct Told<'a> {
    room: &'a Room,
    format: Format,
    list: Vec<serde_json::Value>,
    report: Report,
}

impl<'a> Told<'a> {
    pub fn new(room: &'a Room, format: Format) -> Self {
        Told { room, format, list: Vec::new(), report: Report::default() }
    }

    /// Takes over what became of one letter, and prints it for people.
    pub fn take(
        &mut self,
        what: &str,
        done: Result<Done, Report>,
        terminal: &mut Terminal,
    ) -> Result<(), Stop> {
        match done {
            Ok(done) => {
                self.room.tell(&done.warnings, terminal);
                self.report.extend(done.warnings.clone());
                self.list.push(as_json(what, &done));
                if self.format == Format::Text {
                    let file = done.file.map(|f| format!("  {f}")).unwrap_or_default();
                    terminal.print(&format!("{what:<12}  {}{file}\n", done.instance))?;
                }
            }
            Err(faults) => {
                self.room.tell(&faults, terminal);
                self.report.extend(faults);
            }
        }
        Ok(())
    }

    /// The end of the command.
    pub fn end(self, terminal: &mut Terminal) -> Ended {
        if self.format == Format::Json {
            let diagnostics = render::json(&self.report);
            terminal.print_json(&json!({ "letters": self.list, "diagnostics": diagnostics }))?;
        }
        Ok(if self.report.has_errors() { Exit::Failed } else { Exit::Done })
    }
}

fn as_json(what: &str, done: &Done) -> serde_json::Value {
    json!({
        "letter": done.instance.document.0,
        "version": done.instance.version,
        "state": what,
        "event": done.event.number,
        "file": done.file,
    })
}
