//! `impact --set`: what a different value would change, nothing written.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use endplate::pipeline::io::Folder;
use endplate::pipeline::rehearse::{FactChange, LetterChange, Rehearsal, Trial, rehearse};
use endplate::pipeline::{Press, load};
use serde_json::Value;

const CASE: &str = "fw-0096";

/// A clinic's folder with one demo case, in which the thoracic curve of the
/// last film measures 45 degrees by both readers: the most that the invented
/// payer's criterion A2 allows.
struct Clinic(tempfile::TempDir);

impl Clinic {
    fn new() -> Clinic {
        let clinic = Clinic(tempfile::tempdir().unwrap());
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
        for folder in ["films", "wear"] {
            fs::create_dir_all(clinic.path(folder)).unwrap();
            for entry in fs::read_dir(from.join(folder)).unwrap() {
                let entry = entry.unwrap();
                let name = entry.file_name().into_string().unwrap();
                if name.starts_with(CASE) {
                    fs::copy(entry.path(), clinic.path(folder).join(name)).unwrap();
                }
            }
        }
        fs::copy(from.join("clinic.yaml"), clinic.path("clinic.yaml")).unwrap();
        let text = fs::read_to_string(from.join("fw-0096.yaml")).unwrap();
        fs::write(clinic.case(), at_the_limit(&text)).unwrap();
        clinic
    }

    fn path(&self, below: &str) -> PathBuf {
        self.0.path().join("cases").join(below)
    }

    fn case(&self) -> PathBuf {
        self.path("fw-0096.yaml")
    }

    fn rehearse(&self, set: &[&str]) -> Result<Rehearsal, String> {
        let folder = Folder::at(self.0.path()).unwrap();
        let loaded = load(&folder, &[self.case()], 1);
        let clinic = loaded.clinic.unwrap();
        let trials: Vec<Trial> = set.iter().map(|text| Trial::parse(text).unwrap()).collect();
        rehearse(&folder, &Press::open(&folder), &clinic, &self.case(), &trials)
    }

    fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(args)
            .current_dir(self.0.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    /// Every file below the folder with its bytes.
    fn bytes(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let files = walkdir::WalkDir::new(self.0.path()).into_iter().map(Result::unwrap);
        files
            .filter(|entry| entry.file_type().is_file())
            .map(|entry| (entry.path().to_path_buf(), fs::read(entry.path()).unwrap()))
            .collect()
    }
}

/// The last film without its landmarks, both readings 45 degrees.
fn at_the_limit(text: &str) -> String {
    let (head, film) = text.split_once("  - id: f6\n").unwrap();
    let film = film
        .replacen("        landmarks: films/fw-0096-f6.csv\n", "", 1)
        .replacen("convex: right, cobb: 36 deg", "convex: right, cobb: 45 deg", 1)
        .replacen("convex: right, cobb: 37 deg", "convex: right, cobb: 45 deg", 1);
    format!("{head}  - id: f6\n{film}")
}

const R1: &str = "film f6 / reading r1 / curve thoracic / cobb";
const R2: &str = "film f6 / reading r2 / curve thoracic / cobb";

fn set(at: &str, now: &str) -> String {
    format!("{at}={now}")
}

fn change<'a>(rehearsal: &'a Rehearsal, id: &str) -> Option<&'a FactChange> {
    rehearsal.facts.iter().find(|fact| fact.id == id)
}

fn says(rehearsal: &Rehearsal, id: &str) -> Option<(String, String)> {
    change(rehearsal, id).map(|c| (c.old.clone().unwrap(), c.new.clone().unwrap()))
}

fn pair(old: &str, new: &str) -> Option<(String, String)> {
    Some((old.to_string(), new.to_string()))
}

#[test]
fn one_more_degree_flips_the_criterion_that_ends_there() {
    let clinic = Clinic::new();
    let both = clinic.rehearse(&[&set(R1, "46 deg"), &set(R2, "46 deg")]).unwrap();
    assert!(both.possible());
    assert_eq!(says(&both, "major.now.cobb"), pair("45 deg", "46 deg"));
    assert_eq!(says(&both, "criteria.c2.verdict"), pair("met", "not met"));
    let told = change(&both, "criteria.c2.verdict").unwrap();
    assert!(told.verdict);
    assert!(
        told.label.starts_with("criterion A2 \"Cobb angle of the largest curve"),
        "{}",
        told.label
    );
    // The justification, and the appeal of the same request.
    assert_eq!(told.on, ["l4", "l6"]);
    // No other criterion hangs on the size.
    let flipped: Vec<&str> = both
        .facts
        .iter()
        .map(|f| f.id.as_str())
        .filter(|id| id.starts_with("criteria.") && id.ends_with(".verdict"))
        .collect();
    assert_eq!(flipped, ["criteria.c2.verdict"]);
    // One reading of two: (46 + 45) / 2 = 45.5, reported as 46, flips it too.
    let one = clinic.rehearse(&[&set(R1, "46 deg")]).unwrap();
    assert_eq!(says(&one, "criteria.c2.verdict"), pair("met", "not met"));
    // One degree less changes no criterion.
    let less = clinic.rehearse(&[&set(R1, "44 deg"), &set(R2, "44 deg")]).unwrap();
    assert_eq!(says(&less, "major.now.cobb"), pair("45 deg", "44 deg"));
    assert_eq!(change(&less, "criteria.c2.verdict"), None);
}

#[test]
fn verdicts_stand_before_other_facts() {
    let both = Clinic::new().rehearse(&[&set(R1, "46 deg"), &set(R2, "46 deg")]).unwrap();
    let first = both.facts.iter().position(|fact| !fact.verdict).unwrap();
    assert!(both.facts[first..].iter().all(|fact| !fact.verdict));
    assert!(first > 0);
}

#[test]
fn letters_differ_by_the_sentences_that_say_it() {
    let both = Clinic::new().rehearse(&[&set(R1, "46 deg"), &set(R2, "46 deg")]).unwrap();
    let (_, LetterChange::Words(words)) = both.letters.iter().find(|(id, _)| id == "l4").unwrap()
    else {
        panic!("the justification is still written");
    };
    let old: Vec<&str> = words.iter().filter_map(|w| w.old.as_deref()).collect();
    let new: Vec<&str> = words.iter().filter_map(|w| w.new.as_deref()).collect();
    assert!(old.iter().any(|s| s.contains("A2") && s.contains("are met")), "{old:?}");
    assert!(new.iter().any(|s| s.contains("A2") && s.contains("are not met")), "{new:?}");
    assert!(new.iter().all(|sentence| !old.contains(sentence)));
    // Letters of earlier days know nothing of that film.
    assert!(both.same.contains(&"l1".to_string()), "{:?}", both.same);
}

#[test]
fn nothing_on_disk_changes() {
    let clinic = Clinic::new();
    let before = clinic.bytes();
    let output = clinic.run(&["impact", CASE, "--set", &set(R1, "46 deg")]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(before == clinic.bytes());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.ends_with("nothing was written\n"), "{said}");
}

#[test]
fn a_key_that_is_not_recorded_is_tried_too() {
    let clinic = Clinic::new();
    let tried = clinic.rehearse(&["film f6 / why=asked by the surgeon"]).unwrap();
    assert_eq!(tried.tried[0].was, None);
    assert!(tried.possible());
}

#[test]
fn an_unknown_record_is_refused_with_what_was_meant() {
    let clinic = Clinic::new();
    let why = clinic.rehearse(&["film f9 / taken=2026-10-13"]).unwrap_err();
    assert!(why.starts_with("there is no `film f9`; did you mean `film f"), "{why}");
    let why = clinic.rehearse(&["film f6 / takne=2026-10-13"]).unwrap_err();
    assert_eq!(why, "a film has no `takne`; did you mean `film f6 / taken`?");
    let why = clinic.rehearse(&["film f6 / taken=2026-10-12"]).unwrap_err();
    assert_eq!(why, "`film f6 / taken` holds `2026-10-12` already");
    let output = clinic.run(&["impact", CASE, "--set", "film f9 / taken=2026-10-13"]);
    assert_eq!(output.status.code(), Some(2));
    let output = clinic.run(&["impact", CASE, "--set", "film f6"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.starts_with("error: `film f6` is not an entry and its value\n"), "{said}");
}

#[test]
fn a_bad_value_gives_the_diagnostic_of_the_field() {
    let clinic = Clinic::new();
    let tried = clinic.rehearse(&["film f6 / maturity / risser / grade=9"]).unwrap();
    assert!(!tried.possible());
    let faults: Vec<(&str, &str)> =
        tried.caused.iter().map(|d| (d.code.info().name, d.message.as_str())).collect();
    assert_eq!(faults, [("out-of-range", "9 is outside 0 to 5")]);
    assert!(tried.facts.is_empty() && tried.letters.is_empty());
    let tried = clinic.rehearse(&[&set(R1, "46")]).unwrap();
    let codes: Vec<&str> = tried.caused.iter().map(|d| d.code.info().name).collect();
    assert_eq!(codes, ["missing-unit"]);
    let output = clinic.run(&["impact", CASE, "--set", &set(R1, "46")]);
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn faults_that_a_value_causes_between_records_are_told() {
    let clinic = Clinic::new();
    // The brace film would lie before the brace was delivered.
    let tried = clinic.rehearse(&["film f5 / taken=2024-01-05"]).unwrap();
    assert!(!tried.possible());
    assert!(tried.caused.iter().any(|d| d.code.info().name == "film-before-fitting"));
    // 60 degrees beside 45: readers disagree, and the case is still usable.
    let tried = clinic.rehearse(&[&set(R1, "60 deg")]).unwrap();
    assert!(tried.possible());
    assert!(tried.caused.iter().any(|d| d.code.info().name == "readers-disagree"));
}

#[test]
fn programs_get_the_same_as_json() {
    let clinic = Clinic::new();
    let args = ["impact", CASE, "--format", "json", "--set"];
    let trial = set(R1, "46 deg");
    let output = clinic.run(&[&args[..], &[trial.as_str()]].concat());
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["case"], CASE);
    assert_eq!(json["tried"][0]["was"], "45 deg");
    let facts = json["facts"].as_array().unwrap();
    let verdict = facts.iter().find(|f| f["id"] == "criteria.c2.verdict").unwrap();
    assert_eq!((&verdict["old"], &verdict["new"]), (&"met".into(), &"not met".into()));
    assert!(json["letters"].as_array().unwrap().iter().any(|l| l["letter"] == "l4"));
}
