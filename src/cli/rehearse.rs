//! `endplate impact --set`: what would change if a value were different.

use std::fmt::Write;

use endplate::diag::{Report, render};
use endplate::pipeline::rehearse::{
    FactChange, LetterChange, Rehearsal, SentenceChange, Trial, rehearse,
};
use endplate::pipeline::{Press, load};
use serde_json::json;

use super::terminal::Terminal;
use super::{Ended, Exit, Format, Global, Stop, explain, place};

/// Rehearses the values on one case and prints what would change.
pub fn run(cases: &[String], set: &[String], global: &Global, terminal: &mut Terminal) -> Ended {
    let trials = set.iter().map(|text| trial(text)).collect::<Result<Vec<_>, _>>()?;
    let [case] = cases else {
        let help = "name the one case whose value is to be different";
        return Err(Stop::Usage("`--set` needs one case".into(), help.into()));
    };
    let folder = place::folder(global)?;
    let path = explain::case_file(&folder, case)?;
    let loaded = load(&folder, std::slice::from_ref(&path), 1);
    let press = Press::open(&folder);
    let Some(clinic) = &loaded.clinic else {
        tell(&loaded.all_faults(), &loaded.sources, terminal);
        terminal.say("the clinic's own file has faults: mend it first");
        return Ok(Exit::Failed);
    };
    let rehearsal = rehearse(&folder, &press, clinic, &path, &trials).map_err(|why| {
        let help = format!("name an entry as `explain {case}` names records, from the record down");
        Stop::Usage(why, help)
    })?;
    match global.format {
        Format::Json => terminal.print_json(&as_json(&rehearsal))?,
        Format::Text => terminal.print(&text(&rehearsal))?,
    }
    tell(&rehearsal.caused, &rehearsal.sources, terminal);
    terminal.say(&summary(&rehearsal));
    Ok(if rehearsal.possible() { Exit::Done } else { Exit::Failed })
}

fn trial(text: &str) -> Result<Trial, Stop> {
    Trial::parse(text).ok_or_else(|| {
        let help = "write RECORD=VALUE, as in \"film f1 / taken=2024-11-05\"";
        Stop::Usage(format!("`{text}` is not an entry and its value"), help.into())
    })
}

fn tell(report: &Report, sources: &endplate::diag::Sources, terminal: &Terminal) {
    for diagnostic in report.sorted() {
        terminal.say(&render::one(diagnostic, sources, terminal.talk_look()));
    }
}

fn text(rehearsal: &Rehearsal) -> String {
    let mut out = format!("{}, if\n", rehearsal.case);
    for tried in &rehearsal.tried {
        let was = tried.was.as_deref().map_or("not recorded".into(), |was| format!("now {was}"));
        let _ = writeln!(out, "  {} were {} ({was})", tried.trial.at, tried.trial.now);
    }
    let (verdicts, values): (Vec<_>, Vec<_>) = rehearsal.facts.iter().partition(|f| f.verdict);
    for (title, list) in [("verdicts", verdicts), ("facts", values)] {
        if !list.is_empty() {
            let _ = writeln!(out, "\n{title} that would change");
            list.iter().for_each(|change| fact(change, &mut out));
        }
    }
    if !rehearsal.letters.is_empty() {
        out.push_str("\nletters that would change\n");
        rehearsal.letters.iter().for_each(|(id, change)| letter(id, change, &mut out));
    }
    out
}

fn fact(change: &FactChange, out: &mut String) {
    let none = || "(none)".to_string();
    let (old, new) = (&change.old, &change.new);
    let _ = writeln!(
        out,
        "  {}: {} -> {}\n      {} [{}]",
        change.id,
        old.clone().unwrap_or_else(none),
        new.clone().unwrap_or_else(none),
        change.label,
        change.on.join(", ")
    );
}

fn letter(id: &str, change: &LetterChange, out: &mut String) {
    match change {
        LetterChange::Words(words) => {
            let _ = writeln!(out, "  {id}");
            for SentenceChange { old, new } in words {
                for (mark, sentence) in [("-", old), ("+", new)] {
                    if let Some(sentence) = sentence {
                        let _ = writeln!(out, "    {mark} {sentence}");
                    }
                }
            }
        }
        LetterChange::Lost(faults) => {
            let _ = writeln!(out, "  {id}  could not be written");
            for fault in faults.sorted() {
                let _ = writeln!(out, "    {}", fault.message);
            }
        }
        LetterChange::Gained => {
            let _ = writeln!(out, "  {id}  cannot be written today, and then could");
        }
    }
}

fn summary(rehearsal: &Rehearsal) -> String {
    if !rehearsal.possible() {
        return "the case could not be used; nothing was written".into();
    }
    let verdicts = rehearsal.facts.iter().filter(|f| f.verdict).count();
    let count = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    format!(
        "{}, {} and {} would change, {} stay; nothing was written",
        count(verdicts, "verdict"),
        count(rehearsal.facts.len() - verdicts, "other fact"),
        count(rehearsal.letters.len(), "letter"),
        rehearsal.same.len(),
    )
}

fn as_json(rehearsal: &Rehearsal) -> serde_json::Value {
    let tried: Vec<_> = rehearsal
        .tried
        .iter()
        .map(|t| json!({ "at": t.trial.at, "was": t.was, "now": t.trial.now }))
        .collect();
    let facts: Vec<_> = rehearsal
        .facts
        .iter()
        .map(|f| {
            json!({ "id": f.id, "label": f.label, "old": f.old, "new": f.new,
                    "verdict": f.verdict, "on": f.on })
        })
        .collect();
    json!({
        "case": rehearsal.case,
        "tried": tried,
        "possible": rehearsal.possible(),
        "facts": facts,
        "letters": rehearsal.letters.iter().map(letter_json).collect::<Vec<_>>(),
        "same": rehearsal.same,
        "caused": render::json(&rehearsal.caused),
        "mended": render::json(&rehearsal.mended),
    })
}

fn letter_json((id, change): &(String, LetterChange)) -> serde_json::Value {
    match change {
        LetterChange::Words(words) => {
            let list: Vec<_> =
                words.iter().map(|w| json!({ "old": w.old, "new": w.new })).collect();
            json!({ "letter": id, "sentences": list })
        }
        LetterChange::Lost(faults) => json!({ "letter": id, "lost": render::json(faults) }),
        LetterChange::Gained => json!({ "letter": id, "gained": true }),
    }
}
