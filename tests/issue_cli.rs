//! The commands about issued letters from outside: what they print, what they
//! refuse, and their exit codes.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// The demo clinic in a folder of its own.
struct Clinic(tempfile::TempDir);

impl Clinic {
    fn new() -> Clinic {
        let clinic = Clinic(tempfile::tempdir().unwrap());
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
        for entry in walkdir::WalkDir::new(&from) {
            let entry = entry.unwrap();
            let below = entry.path().strip_prefix(&from).unwrap();
            let to = clinic.path("cases").join(below);
            match entry.file_type().is_dir() {
                true => fs::create_dir_all(to).unwrap(),
                false => _ = fs::copy(entry.path(), to).unwrap(),
            }
        }
        clinic
    }

    fn path(&self, below: &str) -> PathBuf {
        self.0.path().join(below)
    }

    /// Runs a command given as words apart by spaces.
    fn run(&self, command: &str) -> Output {
        Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(command.split(' '))
            .current_dir(self.0.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    fn json(&self, command: &str) -> Value {
        let output = self.run(&format!("{command} --format json"));
        serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{command}: {e}"))
    }
}

/// The exit code, and what was said beside the data.
fn ended(output: &Output) -> (i32, String) {
    (output.status.code().unwrap(), String::from_utf8_lossy(&output.stderr).into_owned())
}

#[test]
fn each_letter_is_agreed_to_by_name() {
    let clinic = Clinic::new();
    let (code, said) = ended(&clinic.run("issue fw-0140/l1 --by lb"));
    assert_eq!(code, 2);
    assert!(said.contains("add `--yes fw-0140/l1`, one for each letter"), "{said}");
    let (code, said) = ended(&clinic.run("issue fw-0140/l1 fw-0118/l1 --by lb --yes fw-0140/l1"));
    assert_eq!(code, 2, "{said}");
    let done = clinic.json("issue fw-0140/l1 --by lb --yes fw-0140/l1");
    assert_eq!(done["letters"][0]["state"], "issued");
    assert_eq!(done["letters"][0]["file"], "cases/issued/letters/fw-0140-l1-v1.pdf");
    assert!(clinic.path("cases/issued/letters/fw-0140-l1-v1.pdf").is_file());
    let (code, said) = ended(&clinic.run("issue fw-0140/l1 --by lb --yes fw-0140/l1"));
    assert_eq!(code, 1);
    assert!(said.contains("error[already-issued]"), "{said}");
    let help = clinic.run("issue --help").stdout;
    let help = String::from_utf8(help).unwrap();
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(help.contains("an assertion, not a login"), "{help}");
}

#[test]
fn one_refused_letter_does_not_hold_back_the_next() {
    let clinic = Clinic::new();
    // l2 is signed by somebody else.
    let both = "issue fw-0103/l3 fw-0103/l1 --by lb --yes fw-0103/l3 --yes fw-0103/l1";
    let output = clinic.run(both);
    let (code, said) = ended(&output);
    assert_eq!(code, 1);
    assert!(said.contains("error[letter-unsigned]"), "{said}");
    let printed = String::from_utf8(output.stdout).unwrap();
    assert!(printed.starts_with("issued        fw-0103/l1/v1"), "{printed}");
}

#[test]
fn wrong_use_is_told_apart_from_refusal() {
    let clinic = Clinic::new();
    for command in [
        "issue fw-0140 --by lb --yes fw-0140",
        "amend fw-0131/l2 --by ev --reason whim --advice-changes no --yes",
        "amend fw-0131/l2 --by ev --reason side --advice-changes no",
        "amend fw-0131/l2 --by ev --reason side --yes",
        "withdraw fw-0131/l2 --by ev --reason side --yes",
        "withdraw fw-0131/l2 --by ev --reason wrong_patient",
        "erase fw-0131/l2 --by ev --ground order",
        "told fw-0131/l1 home --by lb --on 2026-07 --how letter",
        "told fw-0131/l1 home --by lb --on 2026-07-10 --how pigeon",
        "verify --join",
        "impact fw-9999",
    ] {
        let (code, said) = ended(&clinic.run(command));
        assert_eq!(code, 2, "{command}: {said}");
    }
    for (command, fault) in [
        ("issue fw-0140/l9 --by lb --yes fw-0140/l9", "letter-not-found"),
        ("issue fw-0140/l1 --by zz --yes fw-0140/l1", "actor-unknown"),
        ("amend fw-0140/l1 --by lb --reason side --advice-changes no --yes", "not-issued"),
        ("amend fw-0131/l1 --by ev --reason side --advice-changes no --yes", "nothing-to-amend"),
        ("told fw-0131/l1 gp --by lb --on 2026-07-10 --how letter", "holder-unknown"),
    ] {
        let (code, said) = ended(&clinic.run(command));
        assert_eq!(code, 1, "{command}: {said}");
        assert!(said.contains(&format!("error[{fault}]")), "{command}: {said}");
    }
}

#[test]
fn impact_tells_programs_facts_and_holders() {
    let clinic = Clinic::new();
    let list = clinic.json("impact fw-0131");
    let class = |n: usize| list[n]["difference"]["class"].as_str().unwrap();
    assert_eq!(
        [class(0), class(1), class(2)],
        ["unchanged", "numbers or verdicts", "numbers or verdicts"]
    );
    let second = &list[1];
    assert_eq!(second["letter"], "fw-0131/l2");
    assert_eq!(second["holders"][0]["contact"], "gp");
    assert_eq!(second["difference"]["entries"][0]["corrected"]["by"], "ev");
    let facts = second["difference"]["facts"].as_array().unwrap();
    let film = facts.iter().find(|f| f["id"] == "films.f2.curves.thoracolumbar.cobb").unwrap();
    assert_eq!((&film["old"], &film["new"]), (&"19 deg".into(), &"16 deg".into()));
    let (code, said) = ended(&clinic.run("impact --pdf list.pdf"));
    assert_eq!(code, 0, "{said}");
    assert!(fs::read(clinic.path("list.pdf")).unwrap().starts_with(b"%PDF"));
    assert_eq!(clinic.json("owed")[0]["contact"], "home");
}

#[test]
fn verify_ends_with_one_where_something_was_changed() {
    let clinic = Clinic::new();
    let found = clinic.json("verify");
    assert_eq!((&found["clean"], &found["events"]), (&true.into(), &5.into()));
    let pdf = clinic.path("cases/issued/letters/fw-0131-l1-v1.pdf");
    let mut bytes = fs::read(&pdf).unwrap();
    bytes.push(b' ');
    fs::write(&pdf, bytes).unwrap();
    let output = clinic.run("verify");
    assert_eq!(output.status.code(), Some(1));
    let printed = String::from_utf8(output.stdout).unwrap();
    assert!(printed.contains("fw-0131-l1-v1.pdf"), "{printed}");
    assert!(printed.contains("error[frozen-changed]"), "{printed}");
    assert!(!printed.contains("Proved:"), "{printed}");
}

#[test]
fn an_erasure_tells_what_it_does_not_reach() {
    let clinic = Clinic::new();
    let erase = "erase fw-0131/l2 --by ev --ground order-7 --yes";
    let (code, said) = ended(&clinic.run(erase));
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("`out/` may still hold copies"), "{said}");
    assert!(said.contains("`out/.endplate-build.json`"), "{said}");
    let (code, said) = ended(&clinic.run(erase));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("error[nothing-to-erase]"), "{said}");
}

#[test]
fn an_answer_that_came_after_the_letters_day_lets_it_go() {
    let clinic = Clinic::new();
    let case = clinic.path("cases/fw-0163.yaml");
    let text = fs::read_to_string(&case).unwrap();
    let (before, after) = text.split_once("answers:\n").unwrap();
    let (_, letters) = after.split_once("letters:\n").unwrap();
    fs::write(&case, format!("{before}letters:\n{letters}")).unwrap();
    let issue = "issue fw-0163/l1 --by ev --yes fw-0163/l1";
    let (code, said) = ended(&clinic.run(issue));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("error[red-flag-unanswered]"), "{said}");
    assert!(said.contains("the warning sign `left-thoracic` is not answered"), "{said}");
    // The letter is of 5 October, the answer of the 8th.
    assert!(letters.contains("as_of: 2026-10-05"));
    let later = after.replacen("on: 2026-09-30", "on: 2026-10-08", 1);
    fs::write(&case, format!("{before}answers:\n{later}")).unwrap();
    let (code, said) = ended(&clinic.run(issue));
    assert_eq!(code, 0, "{said}");
}

#[test]
fn a_case_with_errors_leaves_its_letters_unclear() {
    let clinic = Clinic::new();
    let case = clinic.path("cases/fw-0131.yaml");
    let text = fs::read_to_string(&case).unwrap();
    fs::write(&case, text.replacen("convex: left", "convex: west", 1)).unwrap();
    let output = clinic.run("impact fw-0131");
    let (code, said) = ended(&output);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("3 that nobody can tell"), "{said}");
    // A letter that must go at once does not wait for the case to be mended.
    let withdrawn = "withdraw fw-0131/l4 --by ev --reason wrong_reader --yes";
    assert_eq!(ended(&clinic.run(withdrawn)).0, 0);
    assert_eq!(clinic.json("owed")[1]["withdrawn"], true);
    assert_eq!(ended(&clinic.run("verify")).0, 0);
}
