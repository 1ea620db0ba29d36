//! What the demo clinic has issued: `cases/issued/` of fw-0131.
//!
//! Three letters left; then one reading of the second film was found wrong.
//! The first letter is amended, its doctor told, the family not yet, and the
//! second letter waits for its amendment. `ENDPLATE_BLESS=1 cargo test
//! demo_issued` makes the folder again, with the same days and hours; nothing
//! else ever writes there.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use endplate::diag::Report;
use endplate::pipeline::io::Folder;
use endplate::pipeline::issue::{Act, Amendment, Desk, Done};
use endplate::pipeline::{Archive, Press, load};
use endplate::register::{DocumentId, What};

const CASE: &str = "cases/fw-0131.yaml";
/// The reading as it was typed, and as it is.
const WRONG: &str = "lower: L3, convex: left, cobb: 19 deg";
const RIGHT: &str = "lower: L3, convex: left, cobb: 16 deg";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Files below a folder by their path in it.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let walk = walkdir::WalkDir::new(folder).into_iter().map(|e| e.unwrap());
    let hidden = |name: &std::ffi::OsStr| name.to_string_lossy().starts_with('.');
    walk.filter(|e| e.file_type().is_file() && !hidden(e.file_name()))
        .map(|e| (e.path().strip_prefix(folder).unwrap().into(), fs::read(e.path()).unwrap()))
        .collect()
}

fn write(folder: &Path, files: &BTreeMap<PathBuf, Vec<u8>>) {
    for (name, bytes) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
}

/// The case with its correction, and as it was before.
fn case() -> (String, String) {
    let now = fs::read_to_string(root().join(CASE)).unwrap();
    let (before, _) = now.split_once("\ncorrections:").unwrap();
    assert_eq!(before.matches(RIGHT).count(), 1);
    (before.replace(RIGHT, WRONG), now)
}

fn act<'a>(by: &'a str, at: &str) -> Act<'a> {
    Act { by, at: at.parse().unwrap() }
}

/// Works at a desk of the clinic in this folder.
fn desk(folder: &Path, work: impl FnOnce(&Desk) -> Result<Done, Report>) {
    let folder = Folder::at(folder).unwrap();
    let loaded = load(&folder, &[folder.root().join(CASE)], 1);
    let press = Press::open(&folder);
    if let Err(report) = work(&Desk::new(&folder, &loaded, &press, &|| {})) {
        let told = report.iter().map(|d| format!("{}: {}\n", d.code.name(), d.message));
        panic!("{}", told.collect::<String>());
    }
}

/// Tells the story in a folder of its own and gives what is left of it.
fn story() -> BTreeMap<PathBuf, Vec<u8>> {
    let dir = tempfile::tempdir().unwrap();
    let mut cases = files(&root().join("cases"));
    cases.retain(|name, _| !name.starts_with("issued"));
    write(&dir.path().join("cases"), &cases);
    let (before, after) = case();
    let letter = |id: &str| DocumentId::new("fw-0131", id);
    let issue = |id: &str, by: &str, at: &str| {
        desk(dir.path(), |desk| desk.issue(&letter(id), act(by, at)));
    };
    fs::write(dir.path().join(CASE), before).unwrap();
    issue("l1", "ev", "2025-11-25T09:20:00Z");
    issue("l2", "ev", "2026-06-02T15:05:00Z");
    issue("l4", "lb", "2026-07-07T08:30:00Z");
    fs::write(dir.path().join(CASE), after).unwrap();
    let amendment = Amendment { reason: "transcription", advice_changes: false };
    let when = act("ev", "2026-07-08T16:40:00Z");
    desk(dir.path(), |desk| desk.amend(&letter("l1"), when, amendment));
    let (when, on) = (act("lb", "2026-07-09T08:10:00Z"), "2026-07-09".parse().unwrap());
    desk(dir.path(), |desk| desk.told(&letter("l1"), "gp", when, on, "telephone"));
    files(&dir.path().join("cases/issued"))
}

#[test]
fn the_demo_register_can_be_made_again() {
    let made = story();
    let again = story();
    assert_eq!(made.keys().collect::<Vec<_>>(), again.keys().collect::<Vec<_>>());
    for (name, bytes) in &made {
        assert!(again.get(name) == Some(bytes), "{} differs from run to run", name.display());
    }
    if std::env::var_os("ENDPLATE_BLESS").is_some() {
        let folder = root().join("cases/issued");
        let _ = fs::remove_dir_all(&folder);
        write(&folder, &made);
    }
}

#[test]
fn the_demo_register_is_sound_and_tells_its_story() {
    let folder = Folder::at(root()).unwrap();
    let archive = Archive::of(&folder);
    let mut report = Report::default();
    let checked = archive.verify(&mut report).unwrap();
    assert!(report.is_empty(), "{:?}", report.sorted());
    assert_eq!((checked.events, checked.sound), (5, 8));
    let chain = archive.chain().unwrap();
    let words: Vec<&str> = chain.entries().iter().map(|e| e.event.what.word()).collect();
    assert_eq!(words, ["issued", "issued", "issued", "amended", "acknowledged"]);
    let folded = endplate::register::fold(&chain);
    let owed = folded.values().flat_map(|d| &d.owed);
    assert_eq!(owed.map(|o| o.recipient.as_str()).collect::<Vec<_>>(), ["home"]);
    no_names(&chain);
}

/// An event may be shown to anybody.
fn no_names(chain: &endplate::register::Chain) {
    for entry in chain.entries() {
        let text = String::from_utf8(entry.event.to_bytes()).unwrap();
        for name in ["Ruben", "Askerfeld", "Oyelowe", "Vasko", "Barrowe"] {
            assert!(!text.contains(name), "{} names {name}", entry.name);
        }
        assert!(!matches!(entry.event.what, What::Joined {}));
    }
}
