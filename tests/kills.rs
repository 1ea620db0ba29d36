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
use endplate::diag::Report;
use endplate::pipeline::Archive;

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
}

const JOBS: [Job; 2] = [Job::Build, Job::Correct];
const DAY: &str = "2025-03-02";
const COBB: &str = "film f1 / reading r1 / curve lumbar / cobb";

struct Clinic {
    small: Small,
    /// How long each command takes if it is left alone.
    takes: BTreeMap<Job, Duration>,
}

impl Clinic {
    fn new() -> Clinic {
        let small = Small::new();
        // One letter is enough, and quick.
        let text: Vec<String> = small.text().lines().map(str::to_string).collect();
        let kept = text.iter().filter(|line| !line.contains("{id: l2, kind: justification"));
        small.write(&kept.map(|line| format!("{line}\n")).collect::<String>());
        let mut clinic = Clinic { small, takes: BTreeMap::new() };
        for job in JOBS {
            let begun = Instant::now();
            clinic.finish(job);
            clinic.takes.insert(job, begun.elapsed());
        }
        clinic
    }

    /// What the curve measures now, and what it is corrected to next.
    fn values(&self) -> (&'static str, &'static str) {
        match self.small.text().contains("convex: left, cobb: 25 deg") {
            true => ("25 deg", "26 deg"),
            false => ("26 deg", "25 deg"),
        }
    }

    fn args(&self, job: Job) -> Vec<&'static str> {
        match job {
            Job::Build => vec!["build", "--jobs", "1"],
            Job::Correct => vec![
                "correct",
                "base",
                COBB,
                self.values().1,
                "--by",
                "hk",
                "--because",
                "read again",
                "--on",
                DAY,
                "--yes",
            ],
        }
    }

    /// Runs a command undisturbed; it must succeed.
    fn finish(&self, job: Job) {
        let (code, out, err) = told(&self.small.run(&self.args(job)));
        assert_eq!(code, 0, "{job:?}\n{out}\n{err}");
    }

    /// Runs a command and kills it; says whether it ended by itself before.
    fn kill(&self, job: Job, chance: &mut Chance) -> bool {
        let mut command = self.small.command(&self.args(job));
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
            if self.folders().iter().any(|folder| half_written(&self.small, folder)) {
                std::thread::sleep(Duration::from_micros(longer * 150));
                return;
            }
        }
    }

    fn folders(&self) -> Vec<String> {
        ["cases", "out", "out/base", "cases/issued/events", "cases/issued/letters"]
            .map(str::to_string)
            .to_vec()
    }

    /// Old or new, and never anything else.
    fn assert_sound(&self, before: &str, job: Job) {
        let now = self.small.text();
        assert!(now == before || job == Job::Correct && now == corrected(before), "{now}");
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

fn ends(pdf: &[u8]) -> bool {
    pdf.trim_ascii_end().ends_with(b"%%EOF")
}

fn half_written(small: &Small, folder: &str) -> bool {
    let Ok(entries) = fs::read_dir(small.path(folder)) else { return false };
    entries.filter_map(Result::ok).any(|e| e.file_name().to_string_lossy().ends_with(".part"))
}

/// What the correction makes of the case, by the library.
fn corrected(before: &str) -> String {
    let new = before.contains("convex: left, cobb: 25 deg");
    let correction = Correction {
        at: COBB,
        now: if new { "26 deg" } else { "25 deg" },
        on: NaiveDate::from_ymd_opt(2025, 3, 2).unwrap(),
        by: "hk",
        because: "read again",
    };
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
        let before = clinic.small.text();
        if clinic.kill(job, &mut chance) {
            *left_alone.entry(job).or_default() += 1;
        }
        clinic.assert_sound(&before, job);
        // Now and then the next run is let through: it continues.
        if n % 10 == 9 {
            clinic.finish(Job::Build);
        }
    }
    // A test of kills that come too late would prove nothing.
    for (job, count) in &left_alone {
        assert!(*count < kills / JOBS.len() / 2, "{job:?} ended {count} times by itself");
    }
    JOBS.into_iter().for_each(|job| clinic.finish(job));
    clinic.finish(Job::Build);
    let left: Vec<_> = ["cases", "out"].iter().flat_map(|f| clinic.small.files(f)).collect();
    assert!(!left.iter().any(|name| name.ends_with(".part")), "{left:?}");
    assert_eq!(told(&clinic.small.run(&["check"])).0, 0);
    assert!(clinic.small.path(CASE).exists());
}
