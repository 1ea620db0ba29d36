//! `endplate build`: the letters of the clinic, written where they changed.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

use clap::ValueEnum;
use endplate::case::{LetterKind, PaperSize};
use endplate::diag::render;
use endplate::letter::drawing::Pictures;
use endplate::pipeline::{
    Build, Built, Edited, Outcome, Output, Press, State, io, rebuild, sign_off, workers,
};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde_json::json;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, place};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Case files or folders [default: all cases of the clinic]
    paths: Vec<PathBuf>,
    /// Only letters of this kind, such as `progress`
    #[arg(long, value_name = "KIND", value_parser = kind)]
    letter: Option<LetterKind>,
    /// Where letters are written [default: out/ in the clinic's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Letters made at a time [default: one per processor]
    #[arg(long, value_name = "N")]
    jobs: Option<usize>,
    /// Paper instead of the clinic's own
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Write each letter in these forms too, beside its PDF: html, text
    #[arg(long, value_enum, value_name = "FORMS", value_delimiter = ',')]
    also: Vec<Also>,
    /// Say under each new or changed letter what changed since it was made
    #[arg(long)]
    why: bool,
    /// Also write `sign-off.pdf` beside the letters: what the new and changed
    /// ones ask of those who sign them
    #[arg(long)]
    sign_off: bool,
    /// Write over files of letters that were changed by hand
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Paper {
    #[value(name = "A4")]
    A4,
    #[value(name = "US-Letter")]
    UsLetter,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Also {
    Html,
    Text,
}

impl Also {
    fn output(self) -> Output {
        match self {
            Also::Html => Output::Html,
            Also::Text => Output::Text,
        }
    }
}

/// Reads a kind of letter; a hyphen may stand for a space.
fn kind(text: &str) -> Result<LetterKind, String> {
    LetterKind::from_word(&text.replace('-', " ")).ok_or_else(|| {
        format!("no such kind of letter; there are: {}", LetterKind::WORDS.join(", "))
    })
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let folder = place::folder(global)?;
    if let Some(out) = &args.out {
        place::not_a_record(global, out)?;
    }
    let request = Build {
        out: args.out.clone().unwrap_or_else(|| folder.root().join("out")),
        folder,
        paths: args.paths.clone(),
        kind: args.letter,
        jobs: args.jobs.unwrap_or_else(workers::suggested),
        paper: args.paper.map(|paper| match paper {
            Paper::A4 => PaperSize::A4,
            Paper::UsLetter => PaperSize::UsLetter,
        }),
        also: args.also.iter().map(|form| form.output()).collect(),
    };
    let press = Press::open(&request.folder);
    let edited = if args.force { Edited::WriteOver } else { Edited::Keep };
    let progress = Bar::new();
    let outcome = rebuild(&request, edited, &press, &progress);
    progress.bar.finish_and_clear();
    let mut outcome = outcome.map_err(|d| {
        Stop::Tool(format!("{}\n  help: {}", d.message, d.remedy.unwrap_or_default()))
    })?;
    outcome.report.extend(press.report.clone());
    press.texts().for_each(|(name, text)| outcome.sources.insert(&name, text));
    show(&outcome, args.why, global.format, terminal)?;
    if args.sign_off {
        sign_off(&press, &request, &outcome, terminal)?;
    }
    let failed = outcome.report.has_errors() || outcome.count(State::Failed) > 0;
    Ok(if failed { Exit::Failed } else { Exit::Done })
}

/// Writes the sign-off sheet of the batch, if there is one.
fn sign_off(
    press: &Press,
    request: &Build,
    outcome: &Outcome,
    terminal: &mut Terminal,
) -> Result<(), Stop> {
    let (false, Some(clinic)) = (outcome.to_sign.is_empty(), &outcome.clinic) else {
        terminal.say("no letter is new or changed: no sign-off sheet is written");
        return Ok(());
    };
    let sheet = sign_off::sheet(press, clinic, &outcome.to_sign);
    let pdf = sheet.and_then(|sheet| press.pdf(&sheet, &Pictures::new())).map_err(|faults| {
        let why = faults.iter().map(|d| d.message.clone()).collect::<Vec<_>>().join("; ");
        Stop::Tool(format!("the sign-off sheet could not be set: {why}"))
    })?;
    let path = request.out.join(sign_off::FILE);
    io::write_atomic(&path, &pdf).map_err(|error| {
        Stop::Tool(format!("`{}` cannot be written: {}", path.display(), io::reason(&error)))
    })?;
    let letters = outcome.to_sign.len();
    let plural = if letters == 1 { "" } else { "s" };
    let shown = request.folder.shown(&path);
    terminal.say(&format!("sign-off sheet of {letters} letter{plural}: {shown}"));
    Ok(())
}

fn show(outcome: &Outcome, why: bool, format: Format, terminal: &mut Terminal) -> Result<(), Stop> {
    let look = terminal.talk_look();
    if format == Format::Text {
        for diagnostic in outcome.report.sorted() {
            terminal.say(&render::one(diagnostic, &outcome.sources, look));
        }
        let lines: Vec<_> = outcome.letters.iter().map(|letter| lines(letter, why)).collect();
        terminal.print(&lines.concat())?;
    } else {
        terminal.print_json(&as_json(outcome))?;
    }
    terminal.say(&summary(outcome));
    Ok(())
}

/// The lines about one letter; none if nothing happened to it.
fn lines(letter: &Built, why: bool) -> String {
    let reasons: Vec<_> = if why { letter.why.iter().collect() } else { Vec::new() };
    if letter.state == State::Unchanged && reasons.is_empty() {
        return String::new();
    }
    let aside = letter.aside.as_ref().map(|to| format!(" → {to}")).unwrap_or_default();
    let mut text = format!("{:<9}  {}{aside}\n", letter.state.word(), letter.file);
    reasons.iter().for_each(|reason| text += &format!("    {reason}\n"));
    text
}

fn as_json(outcome: &Outcome) -> serde_json::Value {
    let letter = |l: &Built| {
        json!({
            "letter": l.name,
            "form": l.output.word(),
            "file": l.file,
            "state": l.state.word(),
            "why": l.why,
            "aside": l.aside,
        })
    };
    json!({
        "letters": outcome.letters.iter().map(letter).collect::<Vec<_>>(),
        "diagnostics": render::json(&outcome.report),
    })
}

/// `24 letters: 2 new, 1 changed, 21 unchanged`; with other forms beside the
/// pages `24 letters in 48 files: …`.
fn summary(outcome: &Outcome) -> String {
    let asked = outcome.letters.iter().filter(|l| l.state.asked());
    let names: BTreeSet<&str> = asked.clone().map(|l| l.name.as_str()).collect();
    let (letters, files) = (names.len(), asked.count());
    let counts: Vec<_> = State::ALL
        .into_iter()
        .map(|state| (outcome.count(state), state.word()))
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| format!("{n} {word}"))
        .collect();
    let plural = if letters == 1 { "" } else { "s" };
    let files = if files > letters { format!(" in {files} files") } else { String::new() };
    let counts = if counts.is_empty() { "nothing to do".to_string() } else { counts.join(", ") };
    let faults = render::count(&outcome.report).map(|c| format!("; {c}")).unwrap_or_default();
    let unreadable = match outcome.unreadable {
        0 => String::new(),
        1 => "; 1 case could not be read".to_string(),
        n => format!("; {n} cases could not be read"),
    };
    format!("{letters} letter{plural}{files}: {counts}{faults}{unreadable}")
}

/// A bar on a terminal; elsewhere nothing, since the lines at the end say all.
struct Bar {
    bar: ProgressBar,
    made: AtomicUsize,
}

impl Bar {
    fn new() -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
        let style = ProgressStyle::with_template("{pos}/{len} letters {bar:30} {msg}");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        Bar { bar, made: AtomicUsize::new(0) }
    }
}

impl endplate::pipeline::build::Progress for Bar {
    fn planned(&self, letters: usize) {
        self.bar.set_length(letters as u64);
    }

    fn made(&self, name: &str) {
        let made = self.made.fetch_add(1, Ordering::Relaxed) + 1;
        self.bar.set_position(made as u64);
        self.bar.set_message(name.to_string());
    }
}
