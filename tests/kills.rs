//! Killed at any moment, the program leaves the old state or the new one, and
//! the next run continues.
//!
//! One letter of one case, so that many kills fit into a short time. Half of
//! the kills come at a moment drawn at random from the length of an
//! undisturbed run, half as soon as a file that is being written is seen, so
//! that the short moments of writing are met as well. `ENDPLATE_KILLS` sets
//! the number, for the nightly run.

#![allow(clippy::disallowed_methods)] // Tests make and read files, and wait.

use std::collections::BTreeMap;
use std::fs;
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use endplate::case::edit::{self, Correction};
use endplate::diag::{Code, Report};
use endplate::pipeline::Archive;
use endplate::register::{Document, DocumentId, fold};

use crate::support::demo::shown;
use crate::support::small::{CASE, Small, told};

/// Numbers that look random and are the same in every run (xorshift64*).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// A part of a whole, from 0 to 1.
    fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// The commands that write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Job {
    Build,
    Correct,
    Issue,
    Amend,
}

const JOBS: [Job; 4] = [Job::Build, Job::Correct, Job::Issue, Job::Amend];
const DAY: &str = "2025-03-02";
const COBB: &str = "film f2 / reading r1 / curve thoracic / cobb";
/// The case whose letters are issued, one after another.
const OTHER: &str = "cases/other.yaml";

struct Clinic {
    small: Small,
    /// The case as it was first, and with its correction.
    texts: [String; 2],
    /// How long each command takes if it is left alone.
    takes: BTreeMap<Job, Duration>,
}

impl Clinic {
    fn new() -> Clinic {
        let small = Small::new();
        // One letter is enough, and quick.
        let text = small.text();
        let kept = text.lines().filter(|line| !line.contains("{id: l2, kind: justification"));
        let text: String = kept.map(|line| format!("{line}\n")).collect();
        let texts = [text.clone(), corrected(&text)];
        let mut clinic = Clinic { small, texts, takes: BTreeMap::new() };
        clinic.small.write(&clinic.texts[0]);
        let first = clinic.small.run(&["issue", "base/l1", "--by", "hk", "--yes", "base/l1"]);
        assert_eq!(told(&first).0, 0, "{:?}", told(&first));
        for job in JOBS {
            clinic.prepare(job);
            let begun = Instant::now();
            clinic.finish(job);
            clinic.takes.insert(job, begun.elapsed());
        }
        clinic
    }

    fn register(&self) -> BTreeMap<DocumentId, Document> {
        fold(&Archive::of(&self.small.folder()).chain().unwrap())
    }

    /// How many versions of its letter the corrected case has.
    fn versions(&self) -> usize {
        self.register()[&DocumentId::new("base", "l1")].versions.len()
    }

    /// How many letters of the other case were issued.
    fn others(&self) -> usize {
        self.register().keys().filter(|id| id.case() == "other").count()
    }

    /// Makes sure that the command has something to do.
    fn prepare(&self, job: Job) {
        match job {
            Job::Build if self.small.path("out/base").exists() => {
                fs::remove_dir_all(self.small.path("out")).unwrap();
            }
            Job::Build => {}
            Job::Correct => self.small.write(&self.texts[0]),
            Job::Issue => {
                let text = self.texts[0].replacen("case: base", "case: other", 1);
                let letter = format!("{{id: l{}, kind: progress", self.others() + 1);
                let text = text.replacen("{id: l1, kind: progress", &letter, 1);
                fs::write(self.small.path(OTHER), text).unwrap();
            }
            // The first version tells of the first text, the second of the
            // other, and so on.
            Job::Amend => self.small.write(&self.texts[self.versions() % 2]),
        }
    }

    fn args(&self, job: Job) -> Vec<String> {
        let next = format!("other/l{}", self.others() + 1);
        let args = match job {
            Job::Build => vec!["build", CASE, "--jobs", "1"],
            Job::Correct => vec![
                "correct",
                "base",
                COBB,
                "16 deg",
                "--by",
                "hk",
                "--because",
                "read again",
                "--on",
                DAY,
                "--yes",
            ],
            Job::Issue => vec!["issue", &next, "--by", "hk", "--yes", &next],
            Job::Amend => vec![
                "amend",
                "base/l1",
                "--by",
                "hk",
                "--reason",
                "transcription",
                "--advice-changes",
                "no",
                "--yes",
            ],
        };
        args.into_iter().map(str::to_string).collect()
    }

    /// Runs a command undisturbed; it must succeed.
    fn finish(&self, job: Job) {
        let args = self.args(job);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let (code, out, err) = told(&self.small.run(&args));
        assert_eq!(code, 0, "{job:?}\n{out}\n{err}");
    }

    /// Runs a command and kills it; says whether it ended by itself before.
    fn kill(&self, job: Job, chance: &mut Chance) -> bool {
        let args = self.args(job);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let mut command = self.small.command(&args);
        let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        let takes = self.takes[&job];
        match chance.next() % 2 {
            0 => std::thread::sleep(takes.mul_f64(chance.part())),
            _ => self.writing(&mut child, takes.mul_f64(2.0), chance.next() % 5),
        }
        child.kill().unwrap();
        child.wait().unwrap().code().is_some()
    }

    /// Waits until something is being written, and a few looks longer.
    fn writing(&self, child: &mut Child, most: Duration, longer: u64) {
        let begun = Instant::now();
        while begun.elapsed() < most && child.try_wait().unwrap().is_none() {
            if FOLDERS.iter().any(|folder| half_written(&self.small, folder)) {
                std::thread::sleep(Duration::from_micros(longer * 150));
                return;
            }
        }
    }

    /// Old or new, and never anything else.
    fn assert_sound(&self, before: &str, job: Job) {
        let now = self.small.text();
        assert!(now == before || job == Job::Correct && now == self.texts[1], "{now}");
        for name in self.small.files("out") {
            let bytes = fs::read(self.small.path("out").join(&name)).unwrap();
            let half = name.ends_with(".part");
            let pdf = !name.ends_with(".pdf") || bytes.starts_with(b"%PDF-") && ends(&bytes);
            assert!(half || pdf, "{name} of {} bytes is half a letter", bytes.len());
        }
        let mut report = Report::default();
        Archive::of(&self.small.folder()).verify(&mut report).unwrap();
        assert!(!report.has_errors(), "{}", shown(&report));
    }
}

/// Where something is written.
const FOLDERS: [&str; 6] =
    ["cases", "out", "out/base", "cases/issued", "cases/issued/events", "cases/issued/letters"];

fn ends(pdf: &[u8]) -> bool {
    pdf.trim_ascii_end().ends_with(b"%%EOF")
}

fn half_written(small: &Small, folder: &str) -> bool {
    let Ok(entries) = fs::read_dir(small.path(folder)) else { return false };
    entries.filter_map(Result::ok).any(|e| e.file_name().to_string_lossy().ends_with(".part"))
}

/// What the correction makes of the case, by the library.
fn corrected(before: &str) -> String {
    let on = NaiveDate::from_ymd_opt(2025, 3, 2).unwrap();
    let correction = Correction { at: COBB, now: "16 deg", on, by: "hk", because: "read again" };
    edit::correct(before, &correction).unwrap().text
}

#[test]
fn killed_at_any_moment_nothing_is_lost() {
    let kills = std::env::var("ENDPLATE_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let clinic = Clinic::new();
    let mut chance = Chance(0x9e37_79b9_7f4a_7c15);
    let mut left_alone: BTreeMap<Job, usize> = BTreeMap::new();
    for n in 0..kills {
        let job = JOBS[n % JOBS.len()];
        clinic.prepare(job);
        let before = (clinic.small.text(), clinic.versions(), clinic.others());
        if clinic.kill(job, &mut chance) {
            *left_alone.entry(job).or_default() += 1;
        }
        clinic.assert_sound(&before.0, job);
        let grown = (clinic.versions() - before.1, clinic.others() - before.2);
        assert!(grown.0 <= usize::from(job == Job::Amend), "{job:?}");
        assert!(grown.1 <= usize::from(job == Job::Issue), "{job:?}");
        // Now and then the next run is let through: it continues.
        if n % 40 >= 36 {
            clinic.prepare(job);
            clinic.finish(job);
        }
    }
    // Kills that come too late would prove nothing.
    for (job, count) in &left_alone {
        assert!(*count <= kills / JOBS.len() / 2, "{job:?} ended {count} times by itself");
    }
    for job in JOBS {
        clinic.prepare(job);
        clinic.finish(job);
    }
    let left = clinic.small.files("");
    assert!(!left.iter().any(|name| name.ends_with(".part")), "{left:?}");
    // Pages frozen by a run that was killed before its event are kept, and told.
    let mut report = Report::default();
    Archive::of(&clinic.small.folder()).verify(&mut report).unwrap();
    assert!(report.iter().all(|d| d.code == Code::FrozenExtra), "{}", shown(&report));
}
