//! `endplate impact`: what a different value would change.

use super::terminal::Terminal;
use super::{Ended, Global, rehearse};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// The case, by id or file
    #[arg(required = true)]
    cases: Vec<String>,
    /// Show what would change if an entry held another value, as in
    /// "film f1 / reading r1 / curve thoracic / cobb=27 deg"; nothing is
    /// written
    #[arg(long = "set", value_name = "RECORD=VALUE", required = true)]
    set: Vec<String>,
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    rehearse::run(&args.cases, &args.set, global, terminal)
}
