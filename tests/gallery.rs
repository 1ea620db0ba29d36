//! Every kind of letter for every demo case it applies to.
//!
//! A letter is written, or refused with the item that it lacks and who has it.
//! What is written keeps what every kind must keep: its caution, its draft
//! mark, its own patient and nobody else's, numbers that are facts, and the
//! same value of the same fact as every other letter of that case and day.

use std::collections::BTreeMap;

use endplate::case::{Case, LetterKind, PaperSize};
use endplate::diag::{Code, Report};
use endplate::facts::Value;
use endplate::letter::block::{Block, Inline};
use endplate::letter::lint::{loose_numbers, plain};
use endplate::pipeline::letter::Written;
use endplate::render::text;
use lopdf::Document;

use crate::support::demo::{demo, shown};
use crate::support::gallery::{Piece, gallery};

fn write(piece: &Piece) -> Result<Written, Report> {
    demo().press.write(&piece.case, &piece.entry, &demo().clinic)
}

fn written() -> Vec<(Piece, Written)> {
    let pieces = gallery().into_iter();
    pieces.filter_map(|piece| write(&piece).ok().map(|w| (piece, w))).collect()
}

/// Whatever is not written says why in words of the clinic.
#[test]
fn each_kind_is_written_or_names_what_it_lacks() {
    let mut made: BTreeMap<&str, usize> = BTreeMap::new();
    for piece in gallery() {
        match write(&piece) {
            Ok(_) => *made.entry(piece.entry.kind.word()).or_default() += 1,
            Err(report) => {
                let fit = |code: Code| matches!(code, Code::LetterLacksItem | Code::PrintsMissing);
                let known = report.sorted().iter().all(|d| fit(d.code) && d.remedy.is_some());
                assert!(known, "{}:\n{}", piece.name(), shown(&report));
            }
        }
    }
    for word in LetterKind::WORDS {
        assert!(made.contains_key(word), "no demo case has a letter of kind {word}: {made:?}");
    }
}

#[test]
fn every_kind_carries_its_caution_and_draft_mark() {
    for (piece, written) in written() {
        let frame = &written.letter.frame;
        assert!(frame.caution.contains("licensed clinician") || frame.language != "en");
        assert!(frame.draft_mark.is_some(), "{}", piece.name());
        let text = text::plain(&written.letter);
        let unwrapped = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(unwrapped.contains(&frame.caution), "{}", piece.name());
        assert!(text.contains(frame.draft_mark.as_deref().unwrap_or_default()));
    }
}

#[test]
fn no_letter_names_another_patient() {
    for (piece, written) in written() {
        let text = text::plain(&written.letter);
        let others = demo().cases.iter().filter(|c| c.id.value != piece.case.id.value);
        for other in others {
            for word in identifiers(other) {
                assert!(!text.contains(&word), "{} holds `{word}`", piece.name());
            }
        }
    }
}

fn identifiers(case: &Case) -> Vec<String> {
    let record = case.record_no.as_ref().map(|r| r.value.clone());
    [Some(case.id.value.clone()), Some(case.patient.name.value.clone()), record]
        .into_iter()
        .flatten()
        .collect()
}

#[test]
fn letters_of_one_case_and_day_agree_on_every_fact() {
    let mut told: BTreeMap<(String, String, String), (String, String)> = BTreeMap::new();
    for (piece, written) in written() {
        for id in &written.printed {
            let Some(fact) = written.derived.facts.get(id.as_str()) else { continue };
            // Typed words may stand in the language of each reader.
            if written.derived.facts.get(&format!("{id}.language")).is_some() {
                continue;
            }
            // What a request or an entry says belongs to that letter alone.
            let own = ["entry.", "request.", "criteria.", "appeal.", "gap.", "enclosures."];
            if own.iter().any(|o| id.as_str().starts_with(o)) {
                continue;
            }
            // Words of the clinic are told in the reader's language.
            let tongue = match &fact.value {
                Value::Text(_) => written.letter.frame.language.as_str(),
                _ => "",
            };
            let key = (
                piece.case.id.value.clone(),
                format!("{} {tongue}", *piece.entry.as_of),
                id.as_str().to_string(),
            );
            let value = format!("{:?}", fact.value);
            let first = told.entry(key).or_insert_with(|| (piece.name(), value.clone()));
            assert_eq!(first.1, value, "{} and {} on {}", first.0, piece.name(), id.as_str());
        }
    }
    assert!(told.len() > 500, "only {} facts were compared", told.len());
}

#[test]
fn no_number_comes_from_a_template_and_no_words_are_missing() {
    for (piece, written) in written() {
        let blocks = &written.letter.blocks;
        assert_eq!(loose_numbers(blocks), Vec::<String>::new(), "{}", piece.name());
        for words in blocks.iter().flat_map(Block::inside).flat_map(words) {
            let line = plain(words);
            let typed = words.iter().any(|i| matches!(i, Inline::Value { fact: None, .. }));
            assert!(typed || !line.contains("  "), "{}: {line}", piece.name());
            assert!(!line.contains("None"), "{}: {line}", piece.name());
        }
    }
}

fn words(block: &Block) -> Vec<&[Inline]> {
    match block {
        Block::Heading { text, .. } | Block::Paragraph { text } => vec![text],
        Block::List { items, .. } => items.iter().map(Vec::as_slice).collect(),
        Block::Table { header, rows, .. } => {
            header.iter().chain(rows.iter().flatten()).map(Vec::as_slice).collect()
        }
        _ => Vec::new(),
    }
}

/// One page for families and schools; two for doctors and makers. A payer's
/// letter is as long as its criteria.
fn pages_at_most(piece: &Piece) -> usize {
    use endplate::case::Role as R;
    match (piece.role, *piece.entry.kind) {
        (R::Family | R::Patient | R::School, _) => 1,
        (R::Payer, _) => 4,
        // Every film of a long follow-up, and every figure.
        (_, LetterKind::Summary) => 3,
        _ => 2,
    }
}

#[test]
fn every_kind_keeps_to_its_pages_on_both_papers() {
    let mut long = Vec::new();
    for (piece, _) in written() {
        for paper in [PaperSize::A4, PaperSize::UsLetter] {
            let mut clinic = demo().clinic.clone();
            clinic.paper = paper;
            let written = demo().press.write(&piece.case, &piece.entry, &clinic);
            let written = written.unwrap_or_else(|r| panic!("{}", shown(&r)));
            let made = demo().press.typeset(written, &piece.entry);
            let made = made.unwrap_or_else(|r| panic!("{}:\n{}", piece.name(), shown(&r)));
            let pages = Document::load_mem(&made.pdf).expect("a PDF").get_pages().len();
            if pages > pages_at_most(&piece) {
                long.push(format!("{} on {paper:?}: {pages}", piece.name()));
            }
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}
