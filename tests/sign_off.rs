//! The sign-off sheet of a build: which letters, what first, what changed.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use endplate::case::PaperSize;
use endplate::letter::drawing::Pictures;
use endplate::pipeline::io::Folder;
use endplate::pipeline::sign_off::{ToSign, sheet};
use endplate::pipeline::{Build, Edited, Press, State, rebuild};

use endplate::letter::block::{Block, Letter};
use endplate::letter::lint::plain;

/// A clinic of one demo case.
struct Clinic {
    dir: tempfile::TempDir,
    case: &'static str,
}

impl Clinic {
    fn of(case: &'static str) -> Clinic {
        let clinic = Clinic { dir: tempfile::tempdir().unwrap(), case };
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
        fs::create_dir_all(clinic.path("cases/films")).unwrap();
        for file in ["clinic.yaml".to_string(), format!("{case}.yaml")] {
            fs::copy(from.join(&file), clinic.path("cases").join(&file)).unwrap();
        }
        for entry in fs::read_dir(from.join("films")).unwrap() {
            let file = entry.unwrap().path();
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            if name.starts_with(case) {
                fs::copy(&file, clinic.path("cases/films").join(name)).unwrap();
            }
        }
        clinic
    }

    fn path(&self, below: &str) -> PathBuf {
        self.dir.path().join(below)
    }

    fn file(&self) -> PathBuf {
        self.path(&format!("cases/{}.yaml", self.case))
    }

    /// Puts other words in one place of the case; its line, from 1.
    fn edit(&self, old: &str, new: &str) -> usize {
        let text = fs::read_to_string(self.file()).unwrap();
        assert_eq!(text.matches(old).count(), 1, "{old}");
        let line = text[..text.find(old).unwrap()].matches('\n').count() + 1;
        fs::write(self.file(), text.replace(old, new)).unwrap();
        line
    }

    fn build(&self) -> (Vec<ToSign>, Letter) {
        let folder = Folder::at(self.dir.path()).unwrap();
        let request = Build {
            also: Vec::new(),
            out: self.path("out"),
            folder: folder.clone(),
            paths: Vec::new(),
            kind: None,
            jobs: 1,
            paper: None,
        };
        let press = Press::open(&folder);
        let outcome = rebuild(&request, Edited::Keep, &press, &()).unwrap();
        assert!(!outcome.report.has_errors());
        let clinic = outcome.clinic.clone().unwrap();
        let sheet = sheet(&press, &clinic, &outcome.to_sign).unwrap();
        (outcome.to_sign, sheet)
    }

    fn run(&self, args: &[&str]) -> (i32, String) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_endplate"));
        let done = command.args(args).current_dir(self.dir.path()).stdin(Stdio::null());
        let output = done.output().unwrap();
        (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
    }
}

/// The words of a sheet on one line, a table cell by cell, and its caution.
fn words(sheet: &Letter) -> String {
    let mut parts = vec![sheet.frame.caution.clone()];
    for block in &sheet.blocks {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => parts.push(plain(text)),
            Block::List { items, .. } => parts.extend(items.iter().map(|item| plain(item))),
            Block::Table { header, rows, .. } => {
                parts.extend(header.iter().chain(rows.iter().flatten()).map(|cell| plain(cell)));
            }
            other => panic!("{other:?}"),
        }
    }
    parts.join(" ")
}

/// Where film f7 of fw-0118 was typed as 22 degrees.
const ANGLE: (&str, &str) = (
    "curves: [{name: thoracic, upper: T6, apex: T9, lower: T12, convex: left, cobb: 22 deg}]",
    "curves: [{name: thoracic, upper: T6, apex: T9, lower: T12, convex: left, cobb: 26 deg}]",
);

#[test]
fn a_first_build_asks_for_every_letter_to_be_read() {
    let (batch, sheet) = Clinic::of("fw-0118").build();
    let told: Vec<(&str, State)> = batch.iter().map(|l| (l.name.as_str(), l.state)).collect();
    let new = |id| (id, State::New);
    let all = ["fw-0118/l1", "fw-0118/l2", "fw-0118/l3", "fw-0118/l4", "fw-0118/l5", "fw-0118/s1"];
    assert_eq!(told, all.map(new));
    let text = words(&sheet);
    assert!(text.contains("To read and sign: six letters"), "{text}");
    for said in [
        "fw-0118/l4 (new), Oskar Lindqvale",
        "Progress letter to Ms Lindqvale and Mr Aro (family)",
        "16 June 2026 Linnet Barrowe",
        "For the clinic alone: it names patients and is no letter.",
        "It replaces no letter: open each one before it is issued.",
    ] {
        assert!(text.contains(said), "{said} in {text}");
    }
    // The film of 2024-09-24 read 28 degrees, that of 2025-04-29 21: 7 less,
    // at the limit of 7 for the youngest.
    let first = "thoracic curve since the film of 2024-09-24: better, at a change of 7 deg; the limit is 7 deg, 1 deg would turn it";
    assert!(text.contains(first), "{text}");
    assert!(!text.contains("What changed"), "{text}");
}

/// By hand: f7 becomes 26, so the step to the 20 of f8 is -6 where it was -2.
#[test]
fn an_angle_that_changed_is_told_old_and_new_with_its_line_and_film() {
    let clinic = Clinic::of("fw-0118");
    clinic.build();
    let line = clinic.edit(ANGLE.0, ANGLE.1);
    let (batch, sheet) = clinic.build();
    let names: Vec<&str> = batch.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names, ["fw-0118/l2", "fw-0118/l3", "fw-0118/l4", "fw-0118/s1"]);
    let text = words(&sheet);
    let from = format!("cases/fw-0118.yaml:{line}, film of 2 December 2025");
    for said in [
        format!("Thoracic, now: Cobb angle 22\u{b0} 26\u{b0} {from}"),
        format!("Thoracic, since previous: change in degrees 2\u{b0} 6\u{b0} {from}"),
        format!("Thoracic, since first: change in degrees \u{2212}2\u{b0} \u{2212}6\u{b0} {from}"),
    ] {
        assert!(text.contains(&said), "{said} in {text}");
    }
    // A value is told once, however often and by whatever name it is printed.
    let of_l3 = text.split("fw-0118/l3, Oskar Lindqvale").nth(1).unwrap();
    let of_l3 = of_l3.split("fw-0118/l4, Oskar Lindqvale").next().unwrap();
    assert_eq!(of_l3.matches("Cobb angle").count(), 1, "{of_l3}");
}

/// An exception stands before the letters: here words that contradict the
/// record, the first of all.
#[test]
fn contradictions_come_first() {
    let clinic = Clinic::of("fw-0118");
    clinic.edit(
        "remarks: He has had no chest infection",
        "remarks: The right thoracic curve is quiet. He has had no chest infection",
    );
    let (_, sheet) = clinic.build();
    let text = words(&sheet);
    let contradicts =
        text.find("\u{201c}right thoracic curve\u{201d}, but curve thoracic is convex to the left");
    let verdict = text.find("1 deg would turn it");
    let letters = text.find("Kind and reader");
    assert!(contradicts.is_some() && contradicts < verdict && verdict < letters, "{text}");
}

/// Without the answer to its red flag the letters of fw-0163 wait for one.
#[test]
fn a_red_flag_without_an_answer_is_told() {
    let clinic = Clinic::of("fw-0163");
    let text = fs::read_to_string(clinic.file()).unwrap();
    let (before, rest) = text.split_once("\nanswers:\n").unwrap();
    let (_, letters) = rest.split_once("\nletters:\n").unwrap();
    fs::write(clinic.file(), format!("{before}\nletters:\n{letters}")).unwrap();
    let (_, sheet) = clinic.build();
    let text = words(&sheet);
    assert!(text.contains("red flag without an answer: "), "{text}");
}

/// Other words and no other value: said so, with what was typed.
#[test]
fn words_alone_are_told_as_such() {
    let clinic = Clinic::of("fw-0118");
    clinic.build();
    clinic.edit("We would like to see how they fit.", "We would like to see them.");
    let (batch, sheet) = clinic.build();
    assert_eq!(batch.len(), 1);
    let text = words(&sheet);
    let says = "Words, figures or layout, and no printed value: fw-0118/l4. letter l4 / remarks:";
    assert!(text.contains(says), "{text}");
}

#[test]
fn the_sheet_is_the_same_bytes_and_long_batches_go_over_pages() {
    let clinic = Clinic::of("fw-0118");
    let (batch, sheet_of_four) = clinic.build();
    let folder = Folder::at(clinic.dir.path()).unwrap();
    let press = Press::open(&folder);
    let settings = crate::support::demo::demo().clinic.clone();
    let again = sheet(&press, &settings, &batch).unwrap();
    assert_eq!(
        press.pdf(&again, &Pictures::new()).unwrap(),
        press.pdf(&sheet_of_four, &Pictures::new()).unwrap()
    );
    let many: Vec<ToSign> = batch.iter().cycle().take(60).cloned().collect();
    for paper in [PaperSize::A4, PaperSize::UsLetter] {
        let settings = endplate::case::Clinic { paper, ..settings.clone() };
        let pdf = press.pdf(&sheet(&press, &settings, &many).unwrap(), &Pictures::new()).unwrap();
        let document = lopdf::Document::load_mem(&pdf).unwrap();
        let pages: Vec<u32> = document.get_pages().into_keys().collect();
        // The head of the table stands on each page that it runs over.
        let headed = |page: &&u32| document.extract_text(&[**page]).unwrap().contains("Seen by");
        let heads = pages.iter().filter(headed).count();
        assert!(pages.len() >= 3 && heads >= pages.len() - 1, "{heads} of {pages:?}");
    }
}

#[test]
fn the_command_writes_the_sheet_and_says_where_there_is_none() {
    let clinic = Clinic::of("fw-0118");
    let (code, said) = clinic.run(&["build", "--sign-off"]);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("sign-off sheet of 6 letters: out/sign-off.pdf"), "{said}");
    let before = fs::read(clinic.path("out/sign-off.pdf")).unwrap();
    let (code, said) = clinic.run(&["build", "--sign-off"]);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("no letter is new or changed: no sign-off sheet is written"), "{said}");
    assert_eq!(fs::read(clinic.path("out/sign-off.pdf")).unwrap(), before);
}

/// An index of an earlier program noted no values: nothing is made up.
#[test]
fn what_was_not_noted_is_said() {
    let clinic = Clinic::of("fw-0118");
    clinic.build();
    let index = clinic.path("out/.endplate-build.json");
    let mut old: serde_json::Value = serde_json::from_slice(&fs::read(&index).unwrap()).unwrap();
    for (_, letter) in old["letters"].as_object_mut().unwrap() {
        for (_, form) in letter.as_object_mut().unwrap() {
            form.as_object_mut().unwrap().remove("printed").unwrap();
        }
    }
    fs::write(&index, old.to_string()).unwrap();
    clinic.edit(ANGLE.0, ANGLE.1);
    let (_, sheet) = clinic.build();
    let text = words(&sheet);
    let says = "What these printed before was not noted; read all of them: fw-0118/l2, fw-0118/l3, fw-0118/l4, fw-0118/s1.";
    assert!(text.contains(says), "{text}");
}
