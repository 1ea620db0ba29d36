//! The demo clinic's letters as reviewed files: facts, text, digests, pages.
//!
//! `ENDPLATE_BLESS=1 cargo test --release golden` writes them anew; read the
//! difference before it is kept. `tests/golden/digests.txt` names every demo
//! letter, so a change to a template shows there which letters it touches.

#![allow(clippy::disallowed_methods, reason = "the test owns its files")]

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use endplate::render::text::plain;

use crate::support::demo::demo;
use crate::support::page::png;

/// Letters whose text is kept, by case: every kind, and both readers of a
/// progress letter.
const LETTERS: &[(&str, &[&str])] =
    &[("fw-0087", &["l2"]), ("fw-0096", &["l4", "l5", "l6"]), ("fw-0118", &["l3", "l4"])];

/// The number that the tour in `src/lib.rs` follows.
const FOLLOWED: (&str, &str) = ("fw-0118", "curves.thoracic.in_brace.correction");

/// Pages the README shows: letter, page, picture.
const PAGES: &[(&str, usize, &str)] = &[
    ("fw-0118/l3", 1, "progress.png"),
    ("fw-0118/l4", 1, "family.png"),
    ("fw-0096/l4", 2, "justification.png"),
];

/// Pixels a point of the page; the README shows pages smaller.
const SCALE: f32 = 1.15;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn golden(name: &str) -> PathBuf {
    root().join("tests/golden").join(name)
}

fn blessing() -> bool {
    std::env::var_os("ENDPLATE_BLESS").is_some()
}

/// Compares with the kept file, or keeps what is new.
fn hold(name: &str, now: &str, stale: &mut Vec<String>) {
    let path = golden(name);
    if blessing() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, now).unwrap();
        return;
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    if kept != now {
        stale.push(format!("tests/golden/{name}\n{}", first_difference(&kept, now)));
    }
}

fn first_difference(kept: &str, now: &str) -> String {
    let mut lines = kept.lines().zip(now.lines()).enumerate();
    match lines.find(|(_, (kept, now))| kept != now) {
        Some((i, (kept, now))) => format!("  line {}\n  kept {kept}\n  now  {now}", i + 1),
        None => format!("  {} lines kept, {} now", kept.lines().count(), now.lines().count()),
    }
}

fn agree(stale: &[String]) {
    let bless = "read the difference, then bless with ENDPLATE_BLESS=1";
    assert!(stale.is_empty(), "{bless}\n{}", stale.join("\n"));
}

/// What the program prints, run in this folder.
fn run(args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_endplate"))
        .args(args)
        .current_dir(root())
        .output()
        .expect("the program runs");
    String::from_utf8(output.stdout).expect("text")
}

/// The text of a demo letter.
fn text(case: &str, id: &str) -> String {
    let case = demo().case(case);
    let entry = case.letters.iter().find(|l| *l.id == id).expect("a demo letter");
    plain(&demo().written(case, entry).letter)
}

#[test]
fn golden_facts_are_what_explain_prints() {
    let mut stale = Vec::new();
    for (case, _) in LETTERS {
        hold(&format!("{case}/facts.txt"), &run(&["explain", case]), &mut stale);
    }
    let (case, fact) = FOLLOWED;
    hold(&format!("{case}/why.txt"), &run(&["explain", case, fact]), &mut stale);
    agree(&stale);
}

#[test]
fn golden_letters_read_as_they_were_reviewed() {
    let mut stale = Vec::new();
    for (case, ids) in LETTERS {
        for id in *ids {
            hold(&format!("{case}/{id}.txt"), &text(case, id), &mut stale);
        }
    }
    agree(&stale);
}

#[test]
fn golden_documents_have_the_bytes_of_their_digests() {
    let mut digests = String::new();
    let mut shown = Vec::new();
    for (case, entry) in demo().letters() {
        let name = format!("{}/{}", *case.id, *entry.id);
        let pdf = demo().pdf(case, entry);
        writeln!(digests, "{name} {}", blake3::hash(&pdf).to_hex()).unwrap();
        if PAGES.iter().any(|(letter, ..)| *letter == name) {
            shown.push((name, pdf));
        }
    }
    let mut stale = Vec::new();
    hold("digests.txt", &digests, &mut stale);
    for (letter, page, picture) in PAGES {
        let (_, pdf) = shown.iter().find(|(name, _)| name == letter).expect("a demo letter");
        hold_page(pdf, *page, picture);
    }
    agree(&stale);
}

/// A picture is as fresh as the digests, since both are blessed together; its
/// pixels are not compared, because a newer drawing library may shade edges
/// differently.
fn hold_page(pdf: &[u8], page: usize, picture: &str) {
    let path = golden(picture);
    if blessing() {
        fs::write(&path, png(pdf, page, SCALE)).unwrap();
    }
    let bytes = fs::read(&path).unwrap_or_else(|e| panic!("{picture}: {e}"));
    assert!(bytes.starts_with(b"\x89PNG"), "{picture} is no picture");
    assert!(bytes.len() < 200 * 1024, "{picture} has {} bytes", bytes.len());
}

/// What `src/lib.rs` tells about one number is true.
#[test]
fn golden_tour_follows_a_real_number() {
    let tour = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let why = run(&["explain", FOLLOWED.0, FOLLOWED.1]);
    assert!(tour.contains(&format!("endplate explain {} {}", FOLLOWED.0, FOLLOWED.1)));
    for said in [
        "12.158",
        "20.882",
        "42.857",
        "43 %",
        "films.f5.curves.thoracic.cobb",
        "films.f6.curves.thoracic.cobb",
        "treatments.b1.checks.f6.thoracic.correction",
    ] {
        assert!(tour.contains(said), "the tour does not say `{said}`");
        assert!(why.contains(said), "`explain` does not say `{said}`:\n{why}");
    }
    let text = text("fw-0118", "l3").split_whitespace().collect::<Vec<_>>().join(" ");
    let told = text.to_lowercase().contains("in-brace correction");
    assert!(told && text.contains("43 %"), "{text}");
}
