//! Same input, same bytes: built again, built by more workers, built warm.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeMap;
use std::path::Path;

use endplate::case::PaperSize;
use endplate::pipeline::letter::maker;
use endplate::pipeline::{Build, Outcome, Press, State, build};
use lopdf::Document;

use crate::support::demo::{demo, folder, shown};
use crate::support::validate::claimed;

/// Builds the demo clinic; the fonts and templates are those of `press`.
fn built(press: &Press, out: &Path, jobs: usize, paper: Option<PaperSize>) -> Outcome {
    let out = out.to_path_buf();
    let request =
        Build { folder: folder(), paths: vec![], kind: None, out, jobs, paper, also: vec![] };
    let outcome = build(&request, &maker(press), &()).expect("the build starts");
    assert!(!outcome.report.has_errors(), "{}", shown(&outcome.report));
    outcome
}

/// Every file below a folder with its bytes, the build's own memory included.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = walkdir::WalkDir::new(folder).into_iter().map(Result::unwrap);
    let files = entries.filter(|e| e.file_type().is_file());
    files
        .map(|e| {
            let name = e.path().strip_prefix(folder).unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(e.path()).unwrap())
        })
        .collect()
}

fn assert_equal(a: &BTreeMap<String, Vec<u8>>, b: &BTreeMap<String, Vec<u8>>, what: &str) {
    assert!(a.keys().eq(b.keys()), "{what}: other files");
    let differ: Vec<_> = a.iter().filter(|(name, bytes)| b[*name] != **bytes).collect();
    let names: Vec<_> = differ.iter().map(|(name, _)| name.as_str()).collect();
    assert!(names.is_empty(), "{what}: {names:?} differ");
}

#[test]
fn cold_and_warm_with_one_worker_and_two() {
    let place = tempfile::tempdir().unwrap();
    let out = |name: &str| place.path().join(name);
    let cold = Press::open(&folder());
    let first = built(&cold, &out("cold, one"), 1, None);
    assert!(first.letters.iter().all(|l| l.state == State::New));
    built(&cold, &out("warm, two"), 2, None);
    built(&Press::open(&folder()), &out("cold, two"), 2, None);
    let expected = files(&out("cold, one"));
    assert_eq!(expected.keys().filter(|f| f.ends_with(".pdf")).count(), first.letters.len());
    for other in ["warm, two", "cold, two"] {
        assert_equal(&expected, &files(&out(other)), other);
    }
}

/// Letters in another order, each after another one: what the engine
/// remembers of the letter before must not show.
#[test]
fn a_letter_is_the_same_after_any_other() {
    let demo = demo();
    let letters = demo.letters();
    let forwards: Vec<_> = letters.iter().map(|(c, e)| demo.pdf(c, e)).collect();
    let mut backwards: Vec<_> = letters.iter().rev().map(|(c, e)| demo.pdf(c, e)).collect();
    backwards.reverse();
    for (((case, entry), a), b) in letters.iter().zip(&forwards).zip(&backwards) {
        assert!(a == b, "{}/{} differs", *case.id, *entry.id);
    }
}

#[test]
fn a_second_build_of_the_demo_touches_nothing() {
    let out = tempfile::tempdir().unwrap();
    built(&demo().press, out.path(), 2, None);
    let before = files(out.path());
    let second = built(&Press::open(&folder()), out.path(), 1, None);
    let states: Vec<_> = second.letters.iter().filter(|l| l.state != State::Unchanged).collect();
    assert!(states.is_empty(), "{states:?}");
    assert_equal(&before, &files(out.path()), "second build");
}

/// Every demo letter on US Letter: other bytes, 8.5 by 11 inches, and still
/// both standards.
#[test]
fn every_letter_is_built_on_american_paper() {
    let out = tempfile::tempdir().unwrap();
    let outcome = built(&demo().press, out.path(), 2, Some(PaperSize::UsLetter));
    assert_eq!(outcome.count(State::New), demo().letters().len());
    for letter in &outcome.letters {
        let bytes = std::fs::read(out.path().join(&letter.file)).unwrap();
        assert_eq!(claimed(&bytes), Vec::<String>::new(), "{}", letter.name);
        let document = Document::load_mem(&bytes).unwrap();
        for page in document.get_pages().values() {
            assert_eq!(media_box(&document, *page), [0.0, 0.0, 612.0, 792.0], "{}", letter.name);
        }
    }
}

fn media_box(document: &Document, page: lopdf::ObjectId) -> Vec<f32> {
    let page = document.get_dictionary(page).unwrap();
    let area = document.dereference(page.get(b"MediaBox").unwrap()).unwrap().1;
    area.as_array().unwrap().iter().map(|n| n.as_float().unwrap()).collect()
}
