//! A build killed at any moment loses nothing: every file in the folder is one
//! that a whole build makes, and the next build goes on.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::pipeline::{BASE, files};

const KILLS: u32 = 20;
const CASES: usize = 6;
/// Pages, page for a browser, text.
const FORMS: usize = 3;

struct Clinic {
    root: tempfile::TempDir,
}

impl Clinic {
    fn new() -> Clinic {
        let clinic = Clinic { root: tempfile::tempdir().unwrap() };
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/invalid");
        let payer = "templates/rules/payers/vale-north.yaml";
        for file in ["cases/clinic.yaml", "cases/films/base-f1.csv", payer] {
            let to = clinic.root.path().join(file);
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::copy(from.join(file), to).unwrap();
        }
        clinic
    }

    /// The cases of an edition: the patient's short name tells which.
    fn write(&self, edition: &str) {
        for n in 0..CASES {
            let text = BASE.replace("case: base", &format!("case: c{n}"));
            // The engine's letters: nothing is missing for a progress letter.
            let text = text
                .replace("kind: justification, to: payer, request: q1", "kind: progress, to: home");
            let text = text.replace("called: Mara", &format!("called: {edition}"));
            fs::write(self.root.path().join(format!("cases/c{n}.yaml")), text).unwrap();
        }
    }

    fn out(&self) -> PathBuf {
        self.root.path().join("out")
    }

    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_endplate"));
        command.args(["build", "--jobs", "2", "--also", "html,text"]).current_dir(self.root.path());
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        command
    }

    /// Builds to the end; the letters with their bytes.
    fn build(&self) -> BTreeSet<(String, Vec<u8>)> {
        assert_eq!(self.command().status().unwrap().code(), Some(0));
        self.letters()
    }

    fn letters(&self) -> BTreeSet<(String, Vec<u8>)> {
        let all = files(&self.out()).into_iter();
        let endings = [".pdf", ".html", ".txt"];
        all.filter(|(name, _)| endings.iter().any(|ending| name.ends_with(ending))).collect()
    }
}

#[test]
fn a_killed_build_leaves_old_or_new_letters_and_the_next_one_goes_on() {
    let clinic = Clinic::new();
    clinic.write("Mara");
    let start = Instant::now();
    let old = clinic.build();
    let whole = start.elapsed();
    assert_eq!(old.len(), FORMS * 2 * CASES);
    clinic.write("Marika");
    let new = clinic.build();
    assert!(old.is_disjoint(&new));
    let either: BTreeSet<_> = old.union(&new).cloned().collect();
    let mut interrupted = 0;
    for n in 0..KILLS {
        let to_old = n % 2 == 0;
        clinic.write(if to_old { "Mara" } else { "Marika" });
        let mut running = clinic.command().spawn().unwrap();
        // Moments spread over the time of a whole build.
        std::thread::sleep(whole * n / KILLS + Duration::from_millis(u64::from(n % 5)));
        running.kill().unwrap();
        interrupted += u32::from(!running.wait().unwrap().success());
        let letters = clinic.letters();
        assert_eq!(letters.len(), FORMS * 2 * CASES, "kill {n}: a letter is lost");
        assert!(letters.is_subset(&either), "kill {n}: a letter is half written");
        let wanted = if to_old { &old } else { &new };
        assert!(clinic.build() == *wanted, "kill {n}: the next build did not go on");
        let left = files(&clinic.out());
        assert!(!left.iter().any(|(name, _)| name.ends_with(".part")), "kill {n}: litter");
    }
    println!("{interrupted} of {KILLS} builds were killed before their end");
    assert!(interrupted * 2 > KILLS, "only {interrupted} builds were killed in time");
}
