//! `endplate schema`: the JSON Schema of the files people write.

use clap::ValueEnum;
use endplate::case::schema;

use super::terminal::Terminal;
use super::{Ended, Exit};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Which file's schema
    #[arg(value_enum, default_value_t = Which::Case)]
    which: Which,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Which {
    /// Case files
    Case,
    /// cases/clinic.yaml
    Clinic,
}

pub fn run(args: &Args, terminal: &mut Terminal) -> Ended {
    let schema = match args.which {
        Which::Case => schema::case_schema(),
        Which::Clinic => schema::clinic_schema(),
    };
    terminal.print_json(&schema)?;
    Ok(Exit::Done)
}
