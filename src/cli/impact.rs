//! `endplate impact`: which issued letters would read otherwise today.

use std::path::PathBuf;

use endplate::diag::{Report, render};
use endplate::pipeline::impact::{Class, Difference, Touched, worklist};
use endplate::pipeline::io;
use endplate::pipeline::issue::Desk;
use serde_json::json;

use super::desk::{self, Room};
use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, place, rehearse, told};

#[derive(Debug, clap::Args)]
pub struct Args {
    /// Cases, by id [default: every case with an issued letter]
    cases: Vec<String>,
    /// Also write the list as pages for the clinician
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Show instead what would change if an entry held another value, as in
    /// "film f1 / reading r1 / curve thoracic / cobb=27 deg"; nothing is
    /// written
    #[arg(long = "set", value_name = "RECORD=VALUE", requires = "cases", conflicts_with = "pdf")]
    set: Vec<String>,
}

pub fn run(args: &Args, global: &Global, terminal: &mut Terminal) -> Ended {
    if let Some(file) = &args.pdf {
        place::not_a_record(global, file)?;
    }
    if !args.set.is_empty() {
        return rehearse::run(&args.cases, &args.set, global, terminal);
    }
    let cases: Vec<&str> = args.cases.iter().map(String::as_str).collect();
    let room = Room::of(global, &cases)?;
    let desk = Desk::new(&room.folder, &room.loaded, &room.press, &desk::waiting);
    let touched = match desk.impact(&cases) {
        Ok(touched) => touched,
        Err(faults) => {
            room.tell(&faults, terminal);
            return Ok(Exit::Failed);
        }
    };
    named(&room, &touched, &cases)?;
    let mut failed = Report::default();
    touched
        .iter()
        .filter_map(|t| t.difference.as_ref().err())
        .for_each(|r| failed.extend(r.clone()));
    room.tell(&failed, terminal);
    match global.format {
        Format::Json => {
            let list: Vec<_> = touched.iter().map(as_json).collect();
            terminal.print_json(&json!(list))?;
        }
        Format::Text => terminal.print(&touched.iter().map(text).collect::<String>())?,
    }
    terminal.say(&summary(&touched));
    if let Some(file) = &args.pdf {
        write(&room, &touched, file, terminal)?;
    }
    Ok(if failed.has_errors() { Exit::Failed } else { Exit::Done })
}

/// A slip in a case's name must not look like a case without letters.
fn named(room: &Room, touched: &[Touched], cases: &[&str]) -> Result<(), Stop> {
    let loaded = |id: &str| {
        let ids = room.loaded.cases.iter().filter_map(|c| c.case.as_ref().map(|c| &c.id.value));
        ids.into_iter().any(|known| known == id)
    };
    let issued = |id: &str| touched.iter().any(|t| t.document.case() == id);
    match cases.iter().find(|id| !loaded(id) && !issued(id)) {
        None => Ok(()),
        Some(id) => {
            let help = "name a case by its id, as in `fw-0118`";
            Err(Stop::Usage(format!("there is no case `{id}`"), help.to_string()))
        }
    }
}

fn write(
    room: &Room,
    touched: &[Touched],
    file: &std::path::Path,
    terminal: &Terminal,
) -> Result<(), Stop> {
    let Some(clinic) = &room.loaded.clinic else { return Ok(()) };
    let pdf = worklist(&room.press, clinic, touched, io::now().date_naive()).map_err(|faults| {
        room.tell(&faults, terminal);
        Stop::Tool("the list could not be set".to_string())
    })?;
    let path = std::path::absolute(file)?;
    io::write_atomic(&path, &pdf).map_err(|error| {
        Stop::Tool(format!("`{}` cannot be written: {}", file.display(), io::reason(&error)))
    })
}

/// `5 letters in force: 1 numbers or verdicts, 4 unchanged`.
fn summary(touched: &[Touched]) -> String {
    let count = |class| {
        let is = |t: &&Touched| t.difference.as_ref().is_ok_and(|d| d.class == class);
        touched.iter().filter(is).count()
    };
    let classes = [Class::Numbers, Class::Wording, Class::Layout, Class::Unchanged];
    let mut parts: Vec<String> = classes
        .into_iter()
        .filter(|class| count(*class) > 0)
        .map(|class| format!("{} {}", count(class), class.word()))
        .collect();
    let unclear = touched.iter().filter(|t| t.difference.is_err()).count();
    parts.extend((unclear > 0).then(|| format!("{unclear} that nobody can tell")));
    let plural = if touched.len() == 1 { "" } else { "s" };
    let parts = if parts.is_empty() { "none".to_string() } else { parts.join(", ") };
    format!("{} letter{plural} in force: {parts}", touched.len())
}

/// One letter for people; those that stayed are only counted, unless somebody
/// must still be told about them.
fn text(touched: &Touched) -> String {
    let head = format!("{}/v{} of {}", touched.document, touched.version, touched.dated);
    let owed: String =
        touched.owed.iter().map(|o| format!("  still to be told: {}\n", told::line(o))).collect();
    let difference = match &touched.difference {
        Ok(difference) if difference.class != Class::Unchanged => difference,
        Ok(_) if owed.is_empty() => return String::new(),
        Ok(_) => return format!("{head}: unchanged\n{owed}"),
        Err(_) => return format!("{head}: nobody can tell\n{owed}"),
    };
    let mut out = format!("{head}: {}{}\n", difference.class.word(), also(difference));
    out += &sentences(difference);
    out += &entries(difference);
    let holders: Vec<String> = touched.holders.iter().map(holder).collect();
    format!("{out}  held by: {}\n{owed}", holders.join("; "))
}

fn also(difference: &Difference) -> &'static str {
    match (difference.verdict(), difference.plan()) {
        (true, true) => "; a verdict and the plan differ",
        (true, false) => "; a verdict differs",
        (false, true) => "; the plan differs",
        (false, false) => "",
    }
}

/// Sentences as issued and as they would be today.
pub fn sentences(difference: &Difference) -> String {
    let line = |mark: &str, text: &Option<String>| {
        text.as_ref().map(|text| format!("  {mark} {text}\n")).unwrap_or_default()
    };
    let each = difference.sentences.iter();
    each.map(|s| line("-", &s.old) + &line("+", &s.new)).collect()
}

fn entries(difference: &Difference) -> String {
    let none = || "nothing".to_string();
    let line = |e: &endplate::pipeline::impact::EntryChange| {
        let why = match &e.correction {
            Some((by, on)) => format!(", corrected by {by} on {on}"),
            None => ", without a correction".to_string(),
        };
        let (old, new) = (e.old.clone().unwrap_or_else(none), e.new.clone().unwrap_or_else(none));
        format!("  because {}: {old}, now {new}{why}\n", e.path)
    };
    difference.entries.iter().map(line).collect()
}

fn holder(holder: &endplate::pipeline::impact::Holder) -> String {
    let name = holder.name.as_ref().map(|n| format!(" ({n})")).unwrap_or_default();
    let versions: Vec<_> = holder.versions.iter().map(|(n, _)| format!("v{n}")).collect();
    format!("{}{name} {}", holder.contact, versions.join(", "))
}

fn as_json(touched: &Touched) -> serde_json::Value {
    let holders: Vec<_> = touched
        .holders
        .iter()
        .map(|h| {
            json!({
                "contact": h.contact, "name": h.name,
                "versions": h.versions.iter().map(|(n, _)| *n).collect::<Vec<_>>(),
            })
        })
        .collect();
    let mut value = json!({
        "letter": touched.document.0,
        "version": touched.version,
        "state": touched.state.word(),
        "kind": touched.kind,
        "dated": touched.dated.to_string(),
        "holders": holders,
        "owed": touched.owed.iter().map(told::as_json).collect::<Vec<_>>(),
    });
    match &touched.difference {
        Ok(difference) => value["difference"] = difference_json(difference),
        Err(faults) => value["diagnostics"] = render::json(faults),
    }
    value
}

fn difference_json(d: &Difference) -> serde_json::Value {
    json!({
        "class": d.class.word(),
        "verdict": d.verdict(),
        "plan": d.plan(),
        "sentences": d.sentences.iter().map(|s| json!({"old": s.old, "new": s.new})).collect::<Vec<_>>(),
        "printed": d.printed.iter().map(|p| json!({
            "fact": p.fact, "label": p.label, "old": p.old, "new": p.new,
        })).collect::<Vec<_>>(),
        "facts": d.facts.iter().map(|f| json!({
            "id": f.id, "label": f.label, "old": f.old, "new": f.new, "records": f.records,
        })).collect::<Vec<_>>(),
        "entries": d.entries.iter().map(|e| json!({
            "path": e.path, "old": e.old, "new": e.new,
            "corrected": e.correction.as_ref().map(|(by, on)| json!({"by": by, "on": on})),
        })).collect::<Vec<_>>(),
    })
}
