//! The program from outside: what is printed where, and the exit codes.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A clinic's folder of its own for each test, copied from the broken cases'
/// clinic and the case that has no fault.
struct Clinic {
    root: tempfile::TempDir,
}

impl Clinic {
    fn new() -> Clinic {
        let clinic = Clinic { root: tempfile::tempdir().unwrap() };
        for file in ["clinic.yaml", "base.yaml", "films/base-f1.csv"] {
            clinic.copy(file, file);
        }
        let payer = "templates/rules/payers/vale-north.yaml";
        fs::create_dir_all(clinic.path(payer).parent().unwrap()).unwrap();
        fs::copy(invalid().join(payer), clinic.path(payer)).unwrap();
        clinic
    }

    fn copy(&self, file: &str, to: &str) {
        let from = invalid().join("cases").join(file);
        let to = self.path("cases").join(to);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(from, to).unwrap();
    }

    fn path(&self, below: &str) -> PathBuf {
        self.root.path().join(below)
    }

    fn write(&self, file: &str, text: &str) {
        fs::write(self.path(file), text).unwrap();
    }

    fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(args)
            .current_dir(self.root.path())
            .env_remove("NO_COLOR")
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }
}

/// The folder of the broken cases and their clinic.
fn invalid() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/invalid")
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_clean_clinic_passes() {
    let output = Clinic::new().run(&["check"]);
    assert_eq!((code(&output), stdout(&output).as_str()), (0, ""));
    assert_eq!(stderr(&output), "1 case checked: no faults\n");
}

#[test]
fn faults_go_to_stdout_and_the_count_to_stderr() {
    let clinic = Clinic::new();
    clinic.copy("next-before-plan.yaml", "next-before-plan.yaml");
    let output = clinic.run(&["check"]);
    assert_eq!(code(&output), 1);
    let first = "cases/next-before-plan.yaml:62:68: error[next-before-plan]: next film in 2024-08";
    assert!(stdout(&output).starts_with(first), "{}", stdout(&output));
    assert!(stdout(&output).contains("  help: correct `next:`"));
    assert!(!stdout(&output).contains('\u{1b}'), "colour in a pipe");
    assert_eq!(stderr(&output), "2 cases checked: 2 errors\n");
}

#[test]
fn colour_can_be_forced() {
    let clinic = Clinic::new();
    clinic.copy("cobb-differs.yaml", "cobb-differs.yaml");
    assert!(stdout(&clinic.run(&["check", "--color", "always"])).contains('\u{1b}'));
}

#[test]
fn faults_can_be_had_as_json() {
    let clinic = Clinic::new();
    clinic.copy("cobb-differs.yaml", "cobb-differs.yaml");
    let output = clinic.run(&["check", "cases/cobb-differs.yaml", "--format", "json"]);
    assert_eq!(code(&output), 0, "a warning alone fails nothing");
    let list: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(list.as_array().unwrap().len(), 1);
    assert_eq!(list[0]["code"], "cobb-differs");
    assert_eq!(list[0]["severity"], "warning");
    assert_eq!(list[0]["place"]["file"], "cases/cobb-differs.yaml");
    assert_eq!((&list[0]["place"]["line"], &list[0]["place"]["column"]), (&31.into(), &84.into()));
    assert_eq!(list[0]["related"][0]["role"], "the landmarks");
}

#[test]
fn check_says_where_rounding_decides() {
    let clinic = Clinic::new();
    // 28.4 is reported as 28 and 34.5 as 35: 7 degrees as printed, 6.1 in
    // truth, and the limit between different readers is 7.
    let base = fs::read_to_string(clinic.path("cases/base.yaml")).unwrap();
    let film = "  - id: f3\n    taken: 2025-09-01\n    view: frontal\n    projection: PA\n    \
                displayed: from behind\n    posture: standing\n    support: none\n    readings:\n      \
                - {id: r1, by: ms, read: 2025-09-01, curves: [{name: thoracic, upper: T5, apex: T8, \
                lower: T11, convex: right, cobb: 34.5 deg}]}\n";
    let text = base
        .replace("        landmarks: films/base-f1.csv\n", "")
        .replace("cobb: 28 deg", "cobb: 28.4 deg")
        .replace("exams:\n", &format!("{film}exams:\n"))
        .replace("as_of: 2025-02-12", "as_of: 2025-09-02");
    clinic.write("cases/base.yaml", &text);
    let output = clinic.run(&["check"]);
    let seen = stdout(&output);
    assert!(
        seen.contains(
            "warning[rounding-decides]: curve thoracic from film f1 to film f3: 7 deg as \
             reported, 6.10 deg unrounded, and a change is real from 7 deg"
        ),
        "{seen}{}",
        stderr(&output)
    );
    assert_eq!(code(&output), 0);
    let why =
        stdout(&clinic.run(&["explain", "base", "curves.thoracic.since_previous.near_limit"]));
    assert!(why.contains("near_limit: yes"), "{why}");
}

#[test]
fn readers_are_compared_over_the_clinic() {
    let clinic = Clinic::new();
    let output = clinic.run(&["explain", "--readers"]);
    assert_eq!(code(&output), 0);
    assert!(stdout(&output).contains("no curve was read more than once"));
    let output = clinic.run(&["explain", "--readers", "base", "--format", "json"]);
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(told["cases"], 1);
    assert_eq!(told["groups"], Value::Array(Vec::new()));
    assert_eq!(told["repeatability"], Value::Null);
    assert_eq!(code(&clinic.run(&["explain"])), 2);
    assert_eq!(code(&clinic.run(&["explain", "--readers", "nobody"])), 2);
    assert_eq!(code(&clinic.run(&["explain", "base", "patient.age", "base"])), 2);
}

#[test]
fn a_case_can_be_checked_without_a_clinic() {
    let clinic = Clinic::new();
    fs::remove_file(clinic.path("cases/clinic.yaml")).unwrap();
    assert_eq!(code(&clinic.run(&["check", "cases/base.yaml"])), 0);
    let output = clinic.run(&["check"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("no cases/clinic.yaml in this folder or above it"));
}

#[test]
fn the_clinic_is_found_from_below_and_by_name() {
    let clinic = Clinic::new();
    let below = Command::new(env!("CARGO_BIN_EXE_endplate"))
        .arg("check")
        .current_dir(clinic.path("cases/films"))
        .output()
        .unwrap();
    assert_eq!(stderr(&below), "1 case checked: no faults\n");
    let named = Command::new(env!("CARGO_BIN_EXE_endplate"))
        .args(["check", "--clinic"])
        .arg(clinic.root.path())
        .current_dir(std::env::temp_dir())
        .output()
        .unwrap();
    assert_eq!(code(&named), 0);
}

#[test]
fn a_path_that_does_not_exist_fails_and_the_rest_is_checked() {
    let clinic = Clinic::new();
    let output = clinic.run(&["check", "cases/nobody.yaml", "cases/base.yaml"]);
    assert_eq!(code(&output), 1);
    assert!(stdout(&output).contains("`cases/nobody.yaml` cannot be read: it does not exist"));
    assert!(stderr(&output).starts_with("1 case checked: 1 error"));
}

#[test]
fn wrong_use_is_told_apart() {
    let clinic = Clinic::new();
    for args in [
        &["chekc"][..],
        &["build", "--letter", "poem"],
        &["build", "--also", "html,poem"],
        &["explain", "no-such-thing"],
    ] {
        let output = clinic.run(args);
        assert_eq!(code(&output), 2, "{args:?}");
        assert_eq!(stdout(&output), "", "{args:?}");
        assert!(stderr(&output).starts_with("error: "), "{args:?}: {}", stderr(&output));
    }
}

#[test]
fn a_code_is_explained() {
    let output = Clinic::new().run(&["explain", "film-before-fitting"]);
    assert_eq!(code(&output), 0);
    let text = stdout(&output);
    for part in ["film-before-fitting (error)", "  what ", "  why ", "  remedy ", "    treatments:"]
    {
        assert!(text.contains(part), "{part}: {text}");
    }
    let near = Clinic::new().run(&["explain", "film-before-fiting"]);
    assert!(stderr(&near).contains("did you mean the code `film-before-fitting`?"));
}

#[test]
fn a_fact_is_explained_down_to_its_record() {
    let clinic = Clinic::new();
    let all = clinic.run(&["explain", "base"]);
    assert_eq!(code(&all), 0, "{}", stderr(&all));
    assert!(stdout(&all).starts_with("base as known on 2025-02-12\n"));
    let born = clinic.run(&["explain", "base", "patient.born"]);
    assert_eq!(code(&born), 0, "{}", stderr(&born));
    assert!(stdout(&born).contains("record   cases/base.yaml:4"), "{}", stdout(&born));
    let letter = clinic.run(&["explain", "base", "l2"]);
    assert!(stdout(&letter).starts_with("base as known on 2025-01-22\n"));
}

#[test]
fn a_new_case_reads_without_a_fault_and_is_never_overwritten() {
    let clinic = Clinic::new();
    let args = [
        "new",
        "--id",
        "tb-0099",
        "--name",
        "Zoë \"Bo\" O'Neill-Łuć #1",
        "--born",
        "2014-02-03",
        "--sex",
        "female",
    ];
    let output = clinic.run(&args);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert_eq!(stdout(&output), "cases/tb-0099.yaml\n");
    let checked = clinic.run(&["check", "cases/tb-0099.yaml"]);
    assert_eq!(stderr(&checked), "1 case checked: no faults\n", "{}", stdout(&checked));
    let before = fs::read(clinic.path("cases/tb-0099.yaml")).unwrap();
    let again = clinic.run(&args);
    assert_eq!(code(&again), 2);
    assert!(stderr(&again).contains("`cases/tb-0099.yaml` exists already"));
    assert_eq!(fs::read(clinic.path("cases/tb-0099.yaml")).unwrap(), before);
}

#[test]
fn a_new_case_names_what_is_missing_where_nobody_can_be_asked() {
    let clinic = Clinic::new();
    let output = clinic.run(&["new", "--id", "aq-0100", "--name", "Tam Oril"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).starts_with("error: --born is missing"), "{}", stderr(&output));
    assert!(!clinic.path("cases/aq-0100.yaml").exists());
    let wrong = clinic.run(&["new", "--id", "../x"]);
    assert_eq!(code(&wrong), 2);
}

#[test]
fn the_schemas_beside_the_cases_are_fresh() {
    // Made by `endplate schema > cases/schema.json`, and with `clinic` the other.
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    for (which, file) in [("case", "schema.json"), ("clinic", "clinic.schema.json")] {
        let printed = stdout(&Clinic::new().run(&["schema", which]));
        let path = cases.join(file);
        if std::env::var_os("ENDPLATE_BLESS").is_some() {
            fs::write(&path, &printed).unwrap();
        }
        assert!(fs::read_to_string(path).unwrap() == printed, "cases/{file} is stale");
    }
}

#[test]
fn every_case_names_its_schema_for_editors() {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let mut seen = 0;
    for entry in fs::read_dir(cases).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "yaml") {
            let clinic = path.file_name().is_some_and(|n| n == "clinic.yaml");
            let schema = if clinic { "clinic.schema.json" } else { "schema.json" };
            let first = format!("# yaml-language-server: $schema={schema}\n");
            assert!(fs::read_to_string(&path).unwrap().starts_with(&first), "{}", path.display());
            seen += 1;
        }
    }
    assert_eq!(seen, 17, "the clinic and its sixteen cases");
}

#[test]
fn schemas_are_printed() {
    let clinic = Clinic::new();
    for which in [&["schema"][..], &["schema", "clinic"]] {
        let output = clinic.run(which);
        let schema: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    }
}

impl Clinic {
    /// With a second letter for which nothing is missing.
    fn with_two_letters() -> Clinic {
        let clinic = Clinic::new();
        let text = fs::read_to_string(clinic.path("cases/base.yaml")).unwrap();
        let second = "  - {id: l2, kind: progress, to: home, as_of: 2025-02-12, signed_by: ms}\n";
        let lines = text.lines().map(|l| match l.contains("id: l2") {
            true => second.to_string(),
            false => format!("{l}\n"),
        });
        clinic.write("cases/base.yaml", &lines.collect::<String>());
        clinic
    }
}

#[test]
fn build_says_why_each_letter_was_made() {
    let clinic = Clinic::with_two_letters();
    let first = clinic.run(&["build", "--why"]);
    assert_eq!(code(&first), 0, "{}", stderr(&first));
    let new = "new        base/l1-progress-gp.pdf\n    not built here before\n";
    assert!(stdout(&first).contains(new), "{}", stdout(&first));
    let again = clinic.run(&["build", "--why"]);
    assert_eq!((stdout(&again).as_str(), code(&again)), ("", 0));
    assert_eq!(stderr(&again), "2 letters: 2 unchanged\n");
    let text = fs::read_to_string(clinic.path("cases/base.yaml")).unwrap();
    clinic.write("cases/base.yaml", &text.replace("Dr Iris Fenner", "Dr Iris Fennel"));
    let changed = clinic.run(&["build", "--why"]);
    let line = "    contact gp / name: Dr Iris Fenner → Dr Iris Fennel (cases/base.yaml:10)\n";
    assert!(stdout(&changed).contains(line), "{}", stdout(&changed));
    let json = clinic.run(&["build", "--format", "json"]);
    let value: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(value["letters"][0]["state"], "unchanged");
    assert_eq!(value["letters"][0]["why"], serde_json::json!([]));
}

#[test]
fn build_writes_other_forms_beside_the_pages() {
    let clinic = Clinic::with_two_letters();
    let both = clinic.run(&["build", "--also", "text,html"]);
    assert_eq!(code(&both), 0, "{}", stderr(&both));
    let l1 =
        ["html", "pdf", "txt"].map(|ending| format!("new        base/l1-progress-gp.{ending}\n"));
    assert!(stdout(&both).starts_with(&l1.concat()), "{}", stdout(&both));
    assert_eq!(stderr(&both), "2 letters in 6 files: 6 new\n");
    let html = fs::read_to_string(clinic.path("out/base/l1-progress-gp.html")).unwrap();
    assert!(html.starts_with("<!DOCTYPE html><html lang=\"en"), "{html}");
    let text = fs::read_to_string(clinic.path("out/base/l1-progress-gp.txt")).unwrap();
    assert!(text.contains("\ndraft, not issued\n"), "{text}");
    let json = clinic.run(&["build", "--also", "html", "--also", "text", "--format", "json"]);
    let value: Value = serde_json::from_slice(&json.stdout).unwrap();
    let forms: Vec<_> = (0..3).map(|n| value["letters"][n]["form"].clone()).collect();
    assert_eq!(forms, ["html", "pdf", "text"]);
    assert_eq!(value["letters"][0]["state"], "unchanged");
    let pages = clinic.run(&["build"]);
    let file = "base/l1-progress-gp.html";
    assert!(stdout(&pages).contains(&format!("moved aside  {file} → .aside/{file}\n")));
    assert_eq!(stderr(&pages), "2 letters: 2 unchanged, 4 moved aside\n");
}

#[test]
fn build_keeps_a_letter_edited_by_hand_unless_forced() {
    let clinic = Clinic::with_two_letters();
    let letter = "out/base/l1-progress-gp.pdf";
    assert_eq!(code(&clinic.run(&["build"])), 0);
    let ours = fs::read(clinic.path(letter)).unwrap();
    clinic.write(letter, "edited");
    let output = clinic.run(&["build"]);
    assert_eq!(code(&output), 1);
    assert_eq!(stdout(&output), "kept       base/l1-progress-gp.pdf\n");
    let told = "`base/l1-progress-gp.pdf` was changed since it was built and is left as it is";
    assert!(stderr(&output).contains(told), "{}", stderr(&output));
    assert!(stderr(&output).ends_with("2 letters: 1 unchanged, 1 kept; 1 error\n"));
    assert_eq!(fs::read(clinic.path(letter)).unwrap(), b"edited");
    assert_eq!(code(&clinic.run(&["build", "--force"])), 0);
    assert_eq!(fs::read(clinic.path(letter)).unwrap(), ours);
}

#[test]
fn a_letter_that_no_case_asks_for_is_moved_aside() {
    let clinic = Clinic::with_two_letters();
    clinic.run(&["build"]);
    let text = fs::read_to_string(clinic.path("cases/base.yaml")).unwrap();
    let fewer = text.lines().filter(|l| !l.contains("id: l2")).map(|l| format!("{l}\n"));
    clinic.write("cases/base.yaml", &fewer.collect::<String>());
    let output = clinic.run(&["build"]);
    let file = "base/l2-progress-home.pdf";
    assert_eq!(stdout(&output), format!("moved aside  {file} → .aside/{file}\n"));
    assert_eq!((code(&output), clinic.path("out/.aside").join(file).exists()), (0, true));
}

/// What can be made again never takes the place of a record.
#[test]
fn nothing_is_written_among_the_records() {
    let clinic = Clinic::new();
    let case = fs::read(clinic.path("cases/base.yaml")).unwrap();
    for args in [
        ["impact", "--pdf", "cases/base.yaml"],
        ["impact", "--pdf", "cases/issued/letters/a.pdf"],
        ["build", "--out", "cases"],
        ["build", "--out", "out/../cases/issued/letters"],
    ] {
        let refused = clinic.run(&args);
        assert_eq!(code(&refused), 2, "{args:?}: {}", stderr(&refused));
        assert!(stderr(&refused).contains("lies among the records"), "{}", stderr(&refused));
    }
    assert_eq!(fs::read(clinic.path("cases/base.yaml")).unwrap(), case);
    assert!(!clinic.path("cases/issued").exists());
}

#[test]
fn a_correction_is_not_of_a_day_to_come() {
    let clinic = Clinic::new();
    let at = "exam 2024-11-04 / height";
    let words = ["correct", "base", at, "152 cm", "--by", "hk", "--because", "slip"];
    let refused = clinic.run(&[&words[..], &["--on", "2999-01-01", "--yes"]].concat());
    assert_eq!(code(&refused), 2, "{}", stderr(&refused));
    assert!(stderr(&refused).contains("a day that has not come"), "{}", stderr(&refused));
}
