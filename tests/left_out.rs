//! Every entry of every demo case left out in turn: the letters are built and
//! read well, or the fault is named. Nothing panics, nothing is invented.

use std::collections::{BTreeMap, BTreeSet};

use endplate::diag::{Code, Report};
use endplate::letter::block::{Block, Inline};
use endplate::letter::lint;
use endplate::pipeline::workers;
use serde_yaml::Value;

use crate::support::demo::{case_text, demo, read_text, shown};

/// One step into a case file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    Key(String),
    Item(usize),
}

/// The path of every entry and every item of a file.
fn paths(value: &Value, here: &[Step], found: &mut Vec<Vec<Step>>) {
    let mut visit = |step: Step, child: &Value| {
        let path = [here, &[step]].concat();
        found.push(path.clone());
        paths(child, &path, found);
    };
    match value {
        Value::Mapping(map) => {
            map.iter()
                .for_each(|(key, child)| visit(Step::Key(key.as_str().unwrap().into()), child));
        }
        Value::Sequence(items) => {
            items.iter().enumerate().for_each(|(n, child)| visit(Step::Item(n), child));
        }
        _ => {}
    }
}

/// The file without that entry.
fn without(file: &Value, path: &[Step]) -> String {
    let mut file = file.clone();
    let (last, way) = path.split_last().unwrap();
    let parent = way.iter().fold(&mut file, |at, step| match step {
        Step::Key(key) => at.get_mut(key.as_str()).unwrap(),
        Step::Item(n) => at.get_mut(n).unwrap(),
    });
    match last {
        Step::Key(key) => drop(parent.as_mapping_mut().unwrap().remove(key.as_str())),
        Step::Item(n) => drop(parent.as_sequence_mut().unwrap().remove(*n)),
    }
    serde_yaml::to_string(&file).unwrap()
}

fn named(path: &[Step]) -> String {
    let step = |s: &Step| match s {
        Step::Key(key) => format!(".{key}"),
        Step::Item(n) => format!("[{n}]"),
    };
    path.iter().map(step).collect()
}

/// What is wrong with a report as an answer to a clinic: faults that blame the
/// program or a template, or that say nothing.
fn unfit(report: &Report) -> Vec<String> {
    const OURS: &[Code] = &[
        Code::LetterInternal,
        Code::TemplateFault,
        Code::InternalFault,
        Code::EmptyHeading,
        Code::TypesettingFailed,
    ];
    let unclear = |d: &&endplate::diag::Diagnostic| {
        OURS.contains(&d.code) || d.place.is_none() || d.message.len() < 10
    };
    let asks_nobody = |d: &&endplate::diag::Diagnostic| {
        d.code == Code::PrintsMissing && !d.remedy.as_ref().is_some_and(|r| r.contains("ask"))
    };
    let faults = report.iter().filter(|d| unclear(d) || asks_nobody(d));
    faults.map(|d| format!("{} {}", d.code.name(), d.message)).collect()
}

/// What reads badly in the body of a letter.
fn reads_badly(blocks: &[Block]) -> Vec<String> {
    let mut faults = lint::faults(blocks);
    faults.extend(lint::bare_headings(blocks));
    for text in sentences(blocks) {
        let marks = ["  ", " .", " ,", "()", "( ", " )", "..", ",,", "None", "none)", ": .", ", ."];
        let bad = marks.iter().filter(|m| text.contains(**m));
        faults.extend(bad.map(|m| format!("`{m}` in: {text}")));
        if text.trim() != text || text.is_empty() {
            faults.push(format!("space around, or nothing in: {text}"));
        }
    }
    faults
}

/// Paragraphs, headings and cells as plain text.
fn sentences(blocks: &[Block]) -> Vec<String> {
    let mut all: Vec<&[Inline]> = Vec::new();
    for block in blocks {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => all.push(text),
            Block::List { items, .. } => all.extend(items.iter().map(Vec::as_slice)),
            Block::Table { header, rows, .. } => {
                all.extend(header.iter().chain(rows.iter().flatten()).map(Vec::as_slice));
            }
            Block::Remark { .. }
            | Block::Slot { .. }
            | Block::Figures { .. }
            | Block::Boxed { .. } => {}
        }
    }
    all.into_iter().map(lint::plain).collect()
}

/// The letters of a case with one entry left out: how many were written, and
/// what is wrong with them or with the faults.
fn tried(id: &str, text: &str) -> (usize, Vec<String>) {
    let (case, report) = read_text(text, id);
    let mut wrong = unfit(&report);
    if report.has_errors() {
        return (0, wrong);
    }
    let Some(case) = case else { return (0, vec!["neither a case nor a fault".into()]) };
    let mut written = 0;
    for entry in &case.letters {
        match demo().press.write(&case, entry, &demo().clinic) {
            Ok(letter) => {
                written += 1;
                wrong.extend(reads_badly(&letter.letter.blocks));
            }
            Err(report) if !report.has_errors() => wrong.push("refused without an error".into()),
            Err(report) => wrong.extend(unfit(&report)),
        }
    }
    (written, wrong)
}

#[test]
fn whatever_is_left_out_the_letter_reads_well_or_the_fault_is_named() {
    let mut jobs = Vec::new();
    for case in &demo().cases {
        let id = case.id.value.clone();
        let file: Value = serde_yaml::from_str(&case_text(&id)).unwrap();
        let whole = tried(&id, &serde_yaml::to_string(&file).unwrap());
        assert_eq!(whole, (case.letters.len(), vec![]), "{id} as it stands");
        let mut all = Vec::new();
        paths(&file, &[], &mut all);
        jobs.extend(all.into_iter().map(|path| (id.clone(), without(&file, &path), named(&path))));
    }
    let results = workers::run(&jobs, 2, |(id, text, _)| tried(id, text), |_| {}).unwrap();
    let mut wrong: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut written = 0;
    for ((id, _, path), result) in jobs.iter().zip(results) {
        let (letters, faults) = result.unwrap_or_else(|why| (0, vec![format!("panic: {why}")]));
        written += letters;
        faults.into_iter().for_each(|f| {
            wrong.entry(f).or_default().insert(format!("{id}{path}"));
        });
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(written > jobs.len(), "{written} letters of {} cases were written", jobs.len());
}

/// A letter with entries left out is typeset as well: what is missing has no
/// part in the page.
#[test]
fn the_barest_case_is_a_letter() {
    let text = "# Invented: nobody here exists.\ncase: zz-0001\n\
        patient: {name: Bo Ash, born: 2012-03-04, sex: other}\n\
        contacts: [{id: gp, role: referring doctor, name: Dr Wren, address: [1 Mill Row]}]\n\
        diagnosis: {cause: not yet known, deformity: asymmetry}\n\
        films:\n  - id: f1\n    taken: 2025-03-10\n    view: frontal\n    readings:\n      \
        - {id: r1, by: lb, read: 2025-03-10, curves: [{upper: T5, lower: T11, convex: right, \
        cobb: 8 deg}]}\n\
        letters: [{id: l1, kind: progress, to: gp, as_of: 2025-03-12, signed_by: lb}]\n";
    let (case, report) = read_text(text, "zz-0001");
    let case = case.unwrap_or_else(|| panic!("{}", shown(&report)));
    assert!(!report.has_errors(), "{}", shown(&report));
    let written = demo().written(&case, &case.letters[0]);
    assert_eq!(reads_badly(&written.letter.blocks), Vec::<String>::new());
    assert!(demo().pdf(&case, &case.letters[0]).starts_with(b"%PDF-1.7"));
}
