//! What README.md and DEVELOPERS.md say is true: commands are run, the case is
//! checked and built, files that are named exist.

#![allow(clippy::disallowed_methods, reason = "the test owns its files")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Fenced blocks of a kind, in order.
fn blocks(text: &str, kind: &str) -> Vec<String> {
    let fence = format!("```{kind}\n");
    let parts = text.split(&fence).skip(1);
    parts.map(|part| part.split("```").next().unwrap().to_string()).collect()
}

/// The demo clinic in a folder of its own.
struct Clinic(tempfile::TempDir);

impl Clinic {
    fn new() -> Clinic {
        let clinic = Clinic(tempfile::tempdir().unwrap());
        let from = root().join("cases");
        for entry in walkdir::WalkDir::new(&from) {
            let entry = entry.unwrap();
            let to = clinic.cases().join(entry.path().strip_prefix(&from).unwrap());
            if entry.file_type().is_dir() {
                fs::create_dir_all(to).unwrap();
            } else {
                fs::copy(entry.path(), to).unwrap();
            }
        }
        clinic
    }

    fn cases(&self) -> PathBuf {
        self.0.path().join("cases")
    }

    fn add(&self, case: &str) {
        fs::write(self.cases().join("fw-0201.yaml"), case).unwrap();
    }

    fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(args)
            .current_dir(self.0.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    /// What a person sees of a command: data, then the rest.
    fn seen(&self, command: &str) -> String {
        let words = words(command);
        let (program, args) = words.split_first().unwrap();
        assert_eq!(program, "endplate");
        let output = self.run(&args.iter().map(String::as_str).collect::<Vec<_>>());
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        text(output.stdout) + &text(output.stderr)
    }
}

/// Splits a command at spaces outside double quotes.
fn words(command: &str) -> Vec<String> {
    let parts = command.split('"').enumerate();
    parts
        .flat_map(|(i, part)| match i % 2 {
            0 => part.split_whitespace().map(str::to_string).collect(),
            _ => vec![part.to_string()],
        })
        .collect()
}

/// A session's commands, each with the lines that follow it.
fn session(block: &str) -> Vec<(String, Vec<String>)> {
    let mut list: Vec<(String, Vec<String>)> = Vec::new();
    for line in block.lines() {
        match line.strip_prefix("$ ") {
            Some(command) => list.push((command.to_string(), Vec::new())),
            None => list.last_mut().expect("a command first").1.push(line.to_string()),
        }
    }
    list
}

/// Whether the lines stand there in this order; `…` leaves some out.
fn stands(told: &[String], seen: &[&str]) -> bool {
    let Some((first, rest)) = told.split_first() else { return seen.is_empty() };
    if first == "…" {
        return (0..=seen.len()).any(|skip| stands(rest, &seen[skip..]));
    }
    seen.split_first().is_some_and(|(line, below)| line == first && stands(rest, below))
}

#[test]
fn readme_sets_up_with_two_commands_and_ci_runs_the_second() {
    let readme = read("README.md");
    let [setup] = &blocks(&readme, "sh")[..] else { panic!("one block of commands") };
    assert_eq!(setup, "cargo run --release -- build\ncargo test --release\n");
    assert!(read(".ci/run").contains("cargo test --release\n"));
    let manifest = read("Cargo.toml");
    let rust = manifest.lines().find_map(|l| l.strip_prefix("rust-version = ")).unwrap();
    assert!(readme.contains(&format!("With Rust {} or newer", rust.trim_matches('"'))));
}

#[test]
fn readme_case_is_checked_and_its_letter_built() {
    let [case] = &blocks(&read("README.md"), "yaml")[..] else { panic!("one case") };
    assert!((20..=30).contains(&case.lines().count()), "about 25 lines");
    let clinic = Clinic::new();
    clinic.add(case);
    assert_eq!(clinic.seen("endplate check cases/fw-0201.yaml"), "1 case checked: no faults\n");
    let built = clinic.run(&["build", "cases/fw-0201.yaml"]);
    assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
    assert!(clinic.0.path().join("out/fw-0201/l1-progress-gp.pdf").is_file());
}

#[test]
fn readme_sessions_are_what_the_program_prints() {
    let readme = read("README.md");
    let case = &blocks(&readme, "yaml")[0];
    let clinic = Clinic::new();
    for block in blocks(&readme, "console") {
        let own = block.contains("fw-0201").then(Clinic::new);
        if let Some(own) = &own {
            own.add(&case.replace("cobb: 17 deg", "cobb: 17"));
        }
        for (command, told) in session(&block) {
            let seen = own.as_ref().unwrap_or(&clinic).seen(&command);
            let lines: Vec<&str> = seen.lines().collect();
            assert!(stands(&told, &lines), "README: `{command}` prints now\n{seen}");
        }
    }
}

#[test]
fn readme_tells_the_exit_codes_of_the_help() {
    let help = Clinic::new().seen("endplate --help");
    let line = help.lines().find(|l| l.starts_with("Exit codes:")).expect("exit codes");
    let told = read("README.md").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(line.trim()), "{line}");
}

#[test]
fn readme_counts_the_demo_clinic() {
    let demo = crate::support::demo::demo();
    assert_eq!((demo.cases.len(), demo.letters().len()), (16, 74));
    let told = read("README.md").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("sixteen patients, seventy-four letters"));
}

/// Paths below the folders of the house, as named in backquotes or links.
fn named(text: &str) -> BTreeSet<String> {
    let marks = |c: char| "`()<>".contains(c) || c.is_whitespace();
    let tops = ["src/", "tests/", "templates/", "cases/", ".ci/", ".cargo/"];
    text.split(marks)
        .map(|word| word.trim_end_matches([',', '.', ':', ';']))
        .filter(|word| tops.iter().any(|top| word.starts_with(top)))
        .filter(|word| !word.contains(['*', '<', '$', '…']) && !word.contains("NAME"))
        .map(str::to_string)
        .collect()
}

#[test]
fn files_named_by_the_guides_exist() {
    // Made by hand or by the program, in the examples of the README.
    let made = [
        "cases/fw-0201.yaml:22:89",
        "cases/fw-0118.yaml:84",
        "cases/fw-0201.yaml",
        "cases/fw-0202.yaml",
        "cases/fw-0118.yaml:87",
        "cases/fw-0118.yaml:147",
        "cases/issued/letters/fw-0131-l4-v2.pdf",
    ];
    // Where a clinic puts its own.
    let own = ["templates/fonts/"];
    for guide in ["README.md", "DEVELOPERS.md"] {
        for path in named(&read(guide)) {
            if !made.contains(&path.as_str()) && !own.contains(&path.as_str()) {
                assert!(root().join(&path).exists(), "{guide} names `{path}`");
            }
        }
    }
}

#[test]
fn every_dependency_has_its_sentence() {
    let manifest = read("Cargo.toml");
    let mut inside = false;
    let mut wanted = BTreeSet::new();
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = matches!(line, "[dependencies]" | "[dev-dependencies]");
        } else if inside && let Some((name, _)) = line.split_once(" = ") {
            wanted.insert(name.to_string());
        }
    }
    let guide = read("DEVELOPERS.md");
    let told = guide.lines().filter_map(|l| l.strip_prefix("- `")?.split_once("`: "));
    let told: BTreeSet<String> = told.map(|(name, _)| name.to_string()).collect();
    let missing: Vec<_> = wanted.difference(&told).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md says nothing of {missing:?}");
}
