//! The command line: one file per command.
//!
//! Commands read arguments, call the library, print data to stdout and
//! everything else to stderr, and end with one of four exit codes. Terminal,
//! environment and prompts live here and nowhere else.

mod amend;
mod build;
mod check;
mod correct;
mod desk;
mod explain;
mod impact;
mod issue;
mod new;
mod place;
mod rehearse;
mod schema;
mod terminal;
mod told;
mod verify;
mod withdraw;
mod worklist;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use terminal::Terminal;

/// From a spine clinic's case files to measured facts and letters worth signing.
#[derive(Debug, Parser)]
#[command(name = "endplate", version, after_help = EXIT_CODES, propagate_version = true)]
struct Args {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    global: Global,
}

const EXIT_CODES: &str = "Exit codes: 0 done; 1 some letters or cases failed; 2 wrong use; \
                          3 the tool itself failed.";

/// Options of every command.
#[derive(Debug, clap::Args)]
struct Global {
    /// The clinic's folder, which holds cases/clinic.yaml [default: the
    /// nearest one upward]
    #[arg(long, global = true, value_name = "DIR")]
    clinic: Option<PathBuf>,
    /// Form of what is printed to stdout
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// When to use colour
    #[arg(long, global = true, value_enum, default_value_t = When::Auto, value_name = "WHEN")]
    color: When,
}

/// Form of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum When {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Read case files and report every fault
    Check(check::Args),
    /// Write the letters
    Build(build::Args),
    /// Let letters leave the house, each frozen and recorded
    Issue(issue::Args),
    /// List issued letters that would read otherwise today
    Impact(impact::Args),
    /// Replace an issued letter by a corrected version
    Amend(amend::Args),
    /// Withdraw an issued letter, with a notice to its readers
    Withdraw(withdraw::Args),
    /// Record that a holder of a wrong letter was told
    Told(told::Args),
    /// List who must still be told of an amended or withdrawn letter
    Owed,
    /// Destroy the bytes of an issued letter by law; the register keeps that
    Erase(withdraw::EraseArgs),
    /// Check the register and every frozen letter
    Verify(verify::Args),
    /// Say where a fact comes from, or what a fault means
    Explain(explain::Args),
    /// Correct one entry of a case, and tell the correction in it
    Correct(correct::Args),
    /// Write a commented case file to start from
    New(new::Args),
    /// Print the JSON Schema of case files or of clinic.yaml
    Schema(schema::Args),
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    /// Everything asked for was done.
    Done = 0,
    /// Some letters or cases failed.
    Failed = 1,
    /// The command was used wrongly.
    Usage = 2,
    /// The tool itself failed.
    Tool = 3,
}

/// Why a command could not go on.
#[derive(Debug)]
enum Stop {
    /// Wrong use: the fault, and what to do about it.
    Usage(String, String),
    /// The tool failed.
    Tool(String),
    /// Whoever read our output has closed it.
    Closed,
}

impl From<std::io::Error> for Stop {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Stop::Closed,
            _ => Stop::Tool(error.to_string().to_lowercase()),
        }
    }
}

type Ended = Result<Exit, Stop>;

/// Runs the command and gives its exit code.
pub fn run() -> ExitCode {
    let args = Args::parse();
    let mut terminal = Terminal::new(args.global.color);
    let global = &args.global;
    let ended = match &args.command {
        Command::Check(args) => check::run(args, global, &mut terminal),
        Command::Build(args) => build::run(args, global, &mut terminal),
        Command::Issue(args) => issue::run(args, global, &mut terminal),
        Command::Impact(args) => impact::run(args, global, &mut terminal),
        Command::Amend(args) => amend::run(args, global, &mut terminal),
        Command::Withdraw(args) => withdraw::run(args, global, &mut terminal),
        Command::Told(args) => told::run(args, global, &mut terminal),
        Command::Owed => told::owed(global, &mut terminal),
        Command::Erase(args) => withdraw::erase(args, global, &mut terminal),
        Command::Verify(args) => verify::run(args, global, &mut terminal),
        Command::Explain(args) => explain::run(args, global, &mut terminal),
        Command::Correct(args) => correct::run(args, global, &mut terminal),
        Command::New(args) => new::run(args, global, &mut terminal),
        Command::Schema(args) => schema::run(args, &mut terminal),
    };
    let exit = ended.unwrap_or_else(|stop| match stop {
        Stop::Usage(fault, help) => {
            terminal.say(&format!("error: {fault}\n  help: {help}"));
            Exit::Usage
        }
        Stop::Tool(fault) => {
            terminal.say(&format!("error: {fault}"));
            Exit::Tool
        }
        Stop::Closed => Exit::Done,
    });
    ExitCode::from(exit as u8)
}
