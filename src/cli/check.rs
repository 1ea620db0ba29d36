//! `endplate check`: every fault of every case, nothing written.

use std::path::PathBuf;

use endplate::diag::Report;
use endplate::diag::render;
use endplate::facts::derive::rounding_decides;
use endplate::pipeline::record::check_issued;
use endplate::pipeline::{Press, load, workers};

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, place, worklist};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Case files or folders [default: all cases of the clinic]
    paths: Vec<PathBuf>,
    /// Cases read at a time [default: one per processor]
    #[arg(long, value_name = "N")]
    jobs: Option<usize>,
    /// Instead of faults, what is to be done before letters of this kind can
    /// go to a payer: `justification` or `appeal`
    #[arg(long = "for", value_name = "KIND")]
    kind: Option<String>,
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    let kind = args.kind.as_deref().map(worklist::kind).transpose()?;
    let folder =
        if args.paths.is_empty() { place::folder(global)? } else { place::folder_or_here(global)? };
    let mut loaded = load(&folder, &args.paths, args.jobs.unwrap_or_else(workers::suggested));
    let press = Press::open(&folder);
    if let Some(kind) = kind {
        return worklist::run(kind, &loaded, &press, global.format, terminal);
    }
    let mut report = loaded.all_faults();
    report.extend(press.report.clone());
    // Without a clinic nobody can say which payers it deals with, nor which
    // limits it sets.
    if let Some(clinic) = &loaded.clinic {
        for case in loaded.cases.iter().filter_map(|c| c.case.as_ref()) {
            press.check_payers(case, &mut report);
        }
        for case in loaded.cases.iter().filter_map(|c| c.sound()) {
            rounding_decides(case, clinic, &mut report);
            press.check_care(case, clinic, &mut report);
        }
    }
    check_issued(&folder, &loaded, &mut report);
    press.texts().for_each(|(name, text)| loaded.sources.insert(&name, text));
    match global.format {
        Format::Json => terminal.print_json(&render::json(&report))?,
        Format::Text => {
            let look = terminal.data_look();
            let text: Vec<_> =
                report.sorted().iter().map(|d| render::one(d, &loaded.sources, look)).collect();
            terminal.print(&text.join("\n"))?;
        }
    }
    terminal.say(&summary(loaded.cases.len(), &report));
    Ok(if report.has_errors() { Exit::Failed } else { Exit::Done })
}

fn summary(cases: usize, report: &Report) -> String {
    let plural = if cases == 1 { "" } else { "s" };
    let faults = render::count(report).unwrap_or_else(|| "no faults".to_string());
    format!("{cases} case{plural} checked: {faults}")
}
