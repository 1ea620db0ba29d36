//! Every number of every demo letter is a fact, and no letter holds what
//! belongs to another patient.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use chrono::Datelike;
use endplate::case::{Case, LetterEntry, LetterKind};

use endplate::evidence::Grade;
use endplate::facts::{Fact, Facts, Value};
use endplate::letter::block::{Block, Figure, Inline};
use endplate::letter::lint::loose_numbers;
use endplate::letter::template::Templates;
use lopdf::Document;

use crate::support::demo::{demo, shown};

/// Runs of digits.
fn numbers(text: &str) -> BTreeSet<String> {
    let runs = text.split(|c: char| !c.is_numeric()).filter(|run| !run.is_empty());
    // `05` of a date is the fifth.
    runs.map(|run| run.strip_prefix('0').filter(|r| !r.is_empty()).unwrap_or(run).to_string())
        .collect()
}

/// Every value printed in the body: the fact's id, if it has one, and its text.
fn values(blocks: &[Block]) -> Vec<(Option<String>, String)> {
    fn of(words: &[Inline], found: &mut Vec<(Option<String>, String)>) {
        for inline in words {
            match inline {
                Inline::Value { fact, text, .. } => found.push((fact.clone(), text.clone())),
                Inline::Strong { children } | Inline::Emph { children } => of(children, found),
                Inline::Text { .. } | Inline::Break => {}
            }
        }
    }
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => of(text, &mut found),
            Block::List { items, .. } => items.iter().for_each(|i| of(i, &mut found)),
            Block::Table { header, rows, .. } => {
                header.iter().chain(rows.iter().flatten()).for_each(|cell| of(cell, &mut found));
            }
            Block::Remark { .. }
            | Block::Slot { .. }
            | Block::Figures { .. }
            | Block::Boxed { .. } => {}
        }
    }
    found
}

fn figures(blocks: &[Block]) -> impl Iterator<Item = &Figure> {
    blocks.iter().flat_map(|block| match block {
        Block::Figures { figures } => figures.as_slice(),
        _ => &[],
    })
}

/// Numbers that a fact may be said with, put together here and not by the
/// program's wording.
fn sayable(fact: &Fact) -> BTreeSet<String> {
    let text = match &fact.value {
        Value::Number(n) => {
            let size = n.value().abs();
            format!("{size:.0$} {1}", usize::from(n.decimals()), size / 12.0)
        }
        Value::Date(date) => date.to_string(),
        Value::Age(age) => format!("{} {}", age.years, age.months),
        Value::Level(level) => level.to_string(),
        Value::Levels(upper, lower) => format!("{upper} {lower}"),
        Value::Apex(apex) => apex.to_string(),
        Value::Side(_) => String::new(),
        Value::Word(word) => word.to_string(),
        Value::Text(text) => text.clone(),
        Value::Missing(missing) => missing.reason(),
    };
    let half = fact.uncertainty.as_ref().map(|u| u.half_width.digits()).unwrap_or_default();
    let cited = fact.provenance.method.source.work.map_or("", |w| w.citation);
    numbers(&format!("{text} {half} {cited} {}", fact.label))
}

#[test]
fn every_number_of_a_body_is_that_of_its_fact() {
    for (case, entry) in demo().letters() {
        let written = demo().written(case, entry);
        let name = format!("{}/{}", *case.id, *entry.id);
        assert_eq!(loose_numbers(&written.letter.blocks), Vec::<String>::new(), "{name}");
        for (fact, text) in values(&written.letter.blocks) {
            let Some(id) = fact else { continue };
            let fact = written.derived.facts.get(&id);
            let fact = fact.unwrap_or_else(|| panic!("{name}: `{id}` is no fact"));
            let foreign: Vec<_> = numbers(&text).difference(&sayable(fact)).cloned().collect();
            assert!(
                foreign.is_empty(),
                "{name}: `{text}` of {id}: {foreign:?} of {:?}",
                fact.value
            );
        }
    }
}

/// Values without a fact are names and texts of the case, or names with
/// digits in them that templates spell out, such as C7.
#[test]
fn numbers_without_a_fact_are_typed() {
    for (case, entry) in demo().letters() {
        let typed = format!("{case:?} {:?}", demo().clinic);
        for (fact, text) in values(&demo().written(case, entry).letter.blocks) {
            if fact.is_none() && !numbers(&text).is_empty() {
                let known = ["C7", "SRS-22r"].contains(&text.as_str())
                    || typed.contains(&text)
                    || is_date_of(&text, entry)
                    || is_citation(&text);
                assert!(known, "{}/{}: `{text}` comes from nowhere", *case.id, *entry.id);
            }
        }
    }
}

/// A publication, as it is named wherever a figure of it is printed.
fn is_citation(text: &str) -> bool {
    endplate::evidence::works::ALL.iter().any(|work| work.citation == text)
}

/// The letter's own date and those of its enclosures.
fn is_date_of(text: &str, entry: &endplate::case::LetterEntry) -> bool {
    numbers(text).contains(&entry.as_of.format("%Y").to_string())
}

/// Words of figures are no values; each of their numbers is one of a fact.
#[test]
fn numbers_around_figures_are_those_of_facts() {
    let mut seen = 0;
    for (case, entry) in demo().letters() {
        let written = demo().written(case, entry);
        let known: BTreeSet<String> = written.derived.facts.iter().flat_map(sayable).collect();
        for figure in figures(&written.letter.blocks) {
            for words in [&figure.alt, &figure.caption] {
                // "Film 1" and "Figure 2" count figures and films.
                let loose: Vec<_> = numbers(words)
                    .difference(&known)
                    .filter(|n| n.parse::<u32>().is_ok_and(|n| n > 9))
                    .cloned()
                    .collect();
                assert!(loose.is_empty(), "{}/{}: {loose:?} in: {words}", *case.id, *entry.id);
                seen += numbers(words).len();
            }
        }
    }
    assert!(seen > 100, "only {seen} numbers stand around figures");
}

/// Follows a fact to where it ends, and says where it ends in nothing.
fn follow<'a>(
    id: &'a str,
    facts: &'a Facts,
    path: &mut Vec<&'a str>,
    wrong: &mut BTreeSet<String>,
) {
    if path.contains(&id) {
        wrong.insert(format!("{} goes round in a circle", path.join(" ← ")));
        return;
    }
    let Some(fact) = facts.get(id) else {
        wrong.insert(format!("{} rests on `{id}`, which is no fact", path.join(" ← ")));
        return;
    };
    let from = &fact.provenance;
    let source = from.method.source;
    let ends = from.records.iter().all(|r| r.place.line > 0 && r.place.file.ends_with(".yaml"));
    let grounded = !from.records.is_empty()
        || source.work.is_some()
        || source.grade == Grade::ClinicSetting
        || (source.grade == Grade::CommonPractice && !source.note.is_empty());
    if !ends || (from.inputs.is_empty() && !grounded && fact.missing().is_none()) {
        wrong.insert(format!("{id} ends in nothing: {:?}", fact.value));
    }
    path.push(id);
    from.inputs.iter().for_each(|input| follow(input.as_str(), facts, path, wrong));
    path.pop();
}

#[test]
fn every_printed_fact_ends_at_a_line_of_a_file() {
    let mut wrong = BTreeSet::new();
    for (case, entry) in demo().letters() {
        let written = demo().written(case, entry);
        for (fact, _) in values(&written.letter.blocks) {
            let Some(id) = fact else { continue };
            follow(&id, &written.derived.facts, &mut Vec::new(), &mut wrong);
        }
        assert!(!written.printed.is_empty());
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// `explain` knows every fact that a letter prints, as of the letter's day.
#[test]
fn explain_answers_for_every_printed_fact() {
    for (case, entry) in demo().letters() {
        let output = Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(["explain", &case.id, &entry.id, "--format", "json"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        let name = format!("{}/{}", *case.id, *entry.id);
        assert!(output.status.success(), "{name}: {}", String::from_utf8_lossy(&output.stderr));
        let told = String::from_utf8(output.stdout).unwrap();
        for (fact, _) in values(&demo().written(case, entry).letter.blocks) {
            let Some(id) = fact else { continue };
            assert!(told.contains(&format!("\"{id}\"")), "{name}: nothing on {id}");
        }
    }
}

/// The text of each page, white space made single.
fn pages(pdf: &[u8]) -> Vec<String> {
    let document = Document::load_mem(pdf).unwrap();
    let text = |n: &u32| document.extract_text(&[*n]).unwrap();
    let flat = |t: String| t.split_whitespace().collect::<Vec<_>>().join(" ");
    document.get_pages().keys().map(text).map(flat).collect()
}

#[test]
fn every_page_names_its_patient_and_nobody_else() {
    let foreign: BTreeMap<&str, [&str; 3]> = demo()
        .cases
        .iter()
        .map(|c| {
            let record = c.record_no.as_ref().map_or("no record number", |r| r.as_str());
            (c.id.as_str(), [c.id.as_str(), c.patient.name.as_str(), record])
        })
        .collect();
    for (case, entry) in demo().letters() {
        let name = format!("{}/{}", *case.id, *entry.id);
        for (n, page) in pages(&demo().pdf(case, entry)).iter().enumerate() {
            let own = foreign[case.id.as_str()];
            let marks = marks(case, entry);
            let mut needed = vec![own[1], &name];
            // A note for school carries no number of the clinic's.
            needed.extend((*entry.kind != LetterKind::School).then_some(own[2]));
            needed.extend(marks.iter().map(String::as_str));
            for words in needed {
                assert!(page.contains(words), "{name}: no `{words}` on page {}:\n{page}", n + 1);
            }
            for (other, names) in &foreign {
                let found = names.iter().find(|n| *other != case.id.as_str() && page.contains(**n));
                assert_eq!(found, None, "{name} names a patient of {other}");
            }
        }
    }
}

/// What every page says of itself in its reader's language: birth, draft mark,
/// caution, the clinic's notice.
fn marks(case: &Case, entry: &LetterEntry) -> [String; 4] {
    let reader = case.contacts.iter().find(|c| c.id.value == entry.to.value);
    let spanish = reader.and_then(|c| c.language.as_ref()).is_some_and(|l| l.value == "es");
    let born = *case.patient.born;
    if !spanish {
        let born = born.format("born %-d %B %Y").to_string();
        return [born, "draft, not issued".into(), CAUTION.into(), INVENTED.into()];
    }
    let months = [
        "enero",
        "febrero",
        "marzo",
        "abril",
        "mayo",
        "junio",
        "julio",
        "agosto",
        "septiembre",
        "octubre",
        "noviembre",
        "diciembre",
    ];
    let month = months[born.month0() as usize];
    [
        format!("nacimiento: {} de {month} de {}", born.day(), born.year()),
        "borrador, sin emitir".into(),
        "No sustituye la exploración".into(),
        "Clínica y paciente inventados.".into(),
    ]
}

const CAUTION: &str =
    "This letter reports measurements and the judgement of the clinician who signs";
const INVENTED: &str = "Invented patient and clinic.";

#[test]
fn a_number_planted_in_a_template_is_caught() {
    let shipped: BTreeMap<String, String> = demo()
        .press
        .texts()
        .filter(|(name, _)| name.ends_with(".j2"))
        .map(|(name, text)| (name.trim_start_matches("templates/").to_string(), text.to_string()))
        .collect();
    assert!(Templates::load(shipped.clone()).1.is_empty());
    assert!(shipped.len() >= 6, "{:?}", shipped.keys());
    for (name, text) in &shipped {
        let mut planted = shipped.clone();
        let hold = if name.starts_with("phrases") {
            "{% macro planted() %}27{% endmacro %}"
        } else {
            "It measured 27 degrees."
        };
        planted.insert(name.clone(), format!("{text}\n\n{hold}\n"));
        let (_, report) = Templates::load(planted);
        assert!(shown(&report).contains("the number 27"), "{name}: {}", shown(&report));
    }
}
