//! Both standards for every kind of letter on both papers, and what a reader
//! who cannot see the page is told of its tables. Files that are broken on
//! purpose are rejected. Checkers that share nothing with these look at every
//! demo letter in `.ci/run`.

use std::collections::BTreeMap;

use endplate::case::{Case, Clinic, LetterEntry, PaperSize};
use endplate::letter::block::{Block, Letter};
use lopdf::{Dictionary, Document, Object};
use page_validation::ValidationProfile::{self, PdfA2a, PdfUa1};

use crate::support::demo::demo;
use crate::support::validate::{claimed, failures};

/// One demo letter of each kind and each sort of reader.
fn samples() -> Vec<(&'static Case, &'static LetterEntry)> {
    let mut found = BTreeMap::new();
    for (case, entry) in demo().letters() {
        let to = case.contacts.iter().find(|c| c.id.value == entry.to.value).expect("a contact");
        found.entry((entry.kind.word(), to.role.word())).or_insert((case, entry));
    }
    found.into_values().collect()
}

fn made(case: &Case, entry: &LetterEntry, paper: PaperSize) -> (Letter, Vec<u8>) {
    let clinic = Clinic { paper, ..demo().clinic.clone() };
    let written = demo().press.write(case, entry, &clinic).expect("a letter");
    (written.letter.clone(), demo().press.typeset(written, entry).expect("pages").pdf)
}

#[test]
fn every_kind_holds_both_standards_on_both_papers() {
    let samples = samples();
    assert!(samples.len() >= 8, "only {} kinds of letters and readers", samples.len());
    for (case, entry) in samples {
        for paper in [PaperSize::A4, PaperSize::UsLetter] {
            let name = format!("{}/{} on {paper:?}", *case.id, *entry.id);
            let (letter, pdf) = made(case, entry, paper);
            assert_eq!(claimed(&pdf), Vec::<String>::new(), "{name}");
            tables_have_header_cells(&letter, &Document::load_mem(&pdf).unwrap(), &name);
        }
    }
}

/// Each table has a head of its own whose cells are header cells of their
/// columns, and a body of as many rows as the letter has.
fn tables_have_header_cells(letter: &Letter, document: &Document, name: &str) {
    let wanted: Vec<(usize, usize)> = letter
        .blocks
        .iter()
        .flat_map(Block::inside)
        .filter_map(|block| match block {
            Block::Table { header, rows, .. } => Some((header.len(), rows.len())),
            _ => None,
        })
        .collect();
    let mut found = Vec::new();
    for table in elements(document, b"Table") {
        let head = below(document, table, b"THead");
        let [head] = head[..] else { panic!("{name}: a table has {} heads", head.len()) };
        let cells = below(document, head, b"TH");
        assert!(below(document, head, b"TD").is_empty(), "{name}: a head without a header cell");
        assert!(cells.iter().all(|cell| scope(document, cell) == Some(b"Column")), "{name}");
        let body = below(document, table, b"TBody");
        let rows = body.iter().map(|body| below(document, body, b"TR").len()).sum();
        found.push((cells.len(), rows));
    }
    // Elements of a file stand in any order.
    let sorted = |mut list: Vec<(usize, usize)>| {
        list.sort();
        list
    };
    assert_eq!(sorted(found), sorted(wanted), "{name}: header cells and rows of each table");
}

fn elements<'a>(document: &'a Document, role: &[u8]) -> Vec<&'a Dictionary> {
    let dicts = document.objects.values().filter_map(|o| o.as_dict().ok());
    dicts.filter(|d| d.has_type(b"StructElem") && is(d, role)).collect()
}

fn is(element: &Dictionary, role: &[u8]) -> bool {
    element.get(b"S").and_then(Object::as_name).is_ok_and(|name| name == role)
}

/// Elements of a role below an element, at any depth.
fn below<'a>(document: &'a Document, element: &'a Dictionary, role: &[u8]) -> Vec<&'a Dictionary> {
    let Ok((_, kids)) = element.get(b"K").and_then(|kids| document.dereference(kids)) else {
        return Vec::new();
    };
    let list = kids.as_array().map_or(vec![kids], |list| list.iter().collect());
    let mut found = Vec::new();
    for kid in list {
        let kid = document.dereference(kid).ok().and_then(|(_, kid)| kid.as_dict().ok());
        let Some(kid) = kid.filter(|kid| kid.has(b"S")) else { continue };
        if is(kid, role) {
            found.push(kid);
        } else {
            found.extend(below(document, kid, role));
        }
    }
    found
}

/// What a header cell heads.
fn scope<'a>(document: &'a Document, cell: &'a Dictionary) -> Option<&'a [u8]> {
    let (_, attributes) = document.dereference(cell.get(b"A").ok()?).ok()?;
    let list = attributes.as_array().map_or(vec![attributes], |list| list.iter().collect());
    list.into_iter().find_map(|one| {
        let (_, one) = document.dereference(one).ok()?;
        one.as_dict().ok()?.get(b"Scope").ok()?.as_name().ok()
    })
}

/// A letter of the demo, broken in one place at a time, is no longer what it
/// claims to be.
#[test]
fn a_broken_letter_is_rejected() {
    let demo = demo();
    let whole = |(case, entry): (&Case, &LetterEntry)| demo.pdf(case, entry);
    let drawn = |pdf: &Vec<u8>| find(pdf, b"/Figure").is_some();
    let good = demo.letters().into_iter().map(whole).find(drawn).expect("a figure");
    assert_eq!(claimed(&good), Vec::<String>::new());
    let broken: [(ValidationProfile, &str, &str); 8] = [
        (PdfUa1, "/StructTreeRoot ", "/StructTreeRoox "),
        (PdfUa1, "/Marked true", "/Markex true"),
        (PdfUa1, "<pdfuaid:part>1<", "<pdfuaid:part>7<"),
        (PdfUa1, "/Lang(", "/Lanx("),
        (PdfA2a, "/StructTreeRoot ", "/StructTreeRoox "),
        (PdfA2a, "<pdfaid:conformance>A<", "<pdfaid:conformance>X<"),
        (PdfA2a, "<pdfaid:part>2<", "<pdfaid:part>9<"),
        (PdfA2a, "/FontFile", "/FontFilx"),
    ];
    for (profile, from, to) in broken {
        let at = find(&good, from.as_bytes()).unwrap_or_else(|| panic!("{from} is not there"));
        let mut bad = good.clone();
        bad[at..at + to.len()].copy_from_slice(to.as_bytes());
        assert!(!failures(&bad, profile).is_empty(), "{from} -> {to} passes {profile:?}");
    }
}

fn find(bytes: &[u8], word: &[u8]) -> Option<usize> {
    bytes.windows(word.len()).position(|w| w == word)
}
