//! How long letters take, from a checked case to the bytes of its PDF.
//!
//! `cargo bench` measures one warm letter of two pages and two figures, whole
//! and step by step, on one thread, so that the time is the processor time of
//! a letter; then a batch of a thousand generated letters with one and two
//! workers; then builds in which nothing or one entry changed. `cargo bench --
//! batch`, `cargo bench -- warm` and `cargo bench -- rebuild` run one of them.

#![allow(clippy::disallowed_methods)] // A benchmark looks at clock and process.

use std::path::Path;
use std::time::{Duration, Instant};

use criterion::{BatchSize, Criterion};
use endplate::case::check::check;
use endplate::case::read::read_case;
use endplate::case::{Case, Clinic, LetterEntry};
use endplate::diag::Report;
use endplate::letter::block::Paper;
use endplate::letter::drawing::Pictures;
use endplate::pipeline::io::Folder;
use endplate::pipeline::{Press, load, workers};
use endplate::render::Typesetter;

#[path = "../support/generated.rs"]
mod generated;
#[path = "rebuild.rs"]
mod rebuild;
#[path = "../support/sample_letter.rs"]
#[allow(dead_code)]
mod sample_letter;
#[path = "../synthetic/mod.rs"]
#[allow(dead_code)]
mod synthetic;

// As in the program itself.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The demo letter measured: two pages, two figures, a double curve from
/// landmarks, out of the brace and in it.
const MEASURED: (&str, &str) = ("fw-0096", "l1");
/// The same patient later: more films, and figures that do not fit on the
/// page where they stand, so that the layout is tried a second time.
const LAID_OUT_TWICE: (&str, &str) = ("fw-0096", "l2");

struct House {
    press: Press,
    clinic: Clinic,
    cases: Vec<Case>,
}

fn house() -> House {
    let folder = Folder::at(Path::new(env!("CARGO_MANIFEST_DIR"))).expect("the demo clinic");
    let loaded = load(&folder, &[], 1);
    let press = Press::open(&folder);
    let cases = loaded.cases.into_iter().filter_map(|c| c.case).collect();
    House { press, clinic: loaded.clinic.expect("a clinic"), cases }
}

impl House {
    fn letter(&self, (case, letter): (&str, &str)) -> (&Case, &LetterEntry) {
        let case = self.cases.iter().find(|c| *c.id == case).expect("the case");
        (case, case.letters.iter().find(|l| *l.id == letter).expect("the letter"))
    }
}

fn warm(c: &mut Criterion, house: &House) {
    let House { press, clinic, .. } = house;
    let (case, entry) = house.letter(MEASURED);
    let write = || press.write(case, entry, clinic).expect("a letter");
    let mut group = c.benchmark_group("warm");
    for (name, which) in [
        ("letter: facts to PDF", MEASURED),
        ("letter laid out twice: facts to PDF", LAID_OUT_TWICE),
    ] {
        let (case, entry) = house.letter(which);
        group.bench_function(name, |b| {
            b.iter(|| {
                let written = press.write(case, entry, clinic).expect("a letter");
                press.typeset(written, entry).expect("a PDF")
            });
        });
    }
    group.bench_function("of that: facts", |b| {
        b.iter(|| press.derive(case, clinic, *entry.as_of, Some(entry)));
    });
    group.bench_function("of that: facts, words and figures", |b| b.iter(write));
    group.bench_function("of that: glyphs and PDF", |b| {
        b.iter_batched(write, |written| press.typeset(written, entry), BatchSize::SmallInput);
    });
    engine(&mut group);
    group.finish();
}

/// The engine without facts and words, on sample letters that never change.
fn engine(group: &mut criterion::BenchmarkGroup<'_, criterion::measurement::WallTime>) {
    let typesetter = Typesetter::new(Vec::new());
    let two = sample_letter::short("Mara Ellwood", Paper::A4);
    let three = sample_letter::long("Mara Ellwood", Paper::A4);
    group.bench_function("engine: two pages, two figures", |b| {
        b.iter(|| typesetter.pdf(&two, &Pictures::new()))
    });
    group.bench_function("engine: three pages, every block", |b| {
        b.iter(|| typesetter.pdf(&three, &Pictures::new()))
    });
}

const BATCH: usize = 1000;

/// A thousand letters from text to PDF: reading, checking and the landmark
/// files are in it, writing to a disk is not.
fn batch(house: &House) {
    let texts: Vec<_> = (0..BATCH.div_ceil(3)).map(|n| generated::case(n as u64)).collect();
    let letters: Vec<usize> = (0..BATCH).collect();
    let one = |n: &usize| {
        let made = &texts[n / 3];
        let mut report = Report::default();
        let load = |name: &str| made.load(name);
        let case = read_case(&made.text, "cases/generated.yaml", &load, &mut report);
        let case = case.expect("a case");
        check(&case, Some(&house.clinic), &mut report);
        let entry = &case.letters[n % 3];
        let written = house.press.write(&case, entry, &house.clinic).expect("a letter");
        house.press.typeset(written, entry).expect("a PDF").pdf.len()
    };
    for jobs in [1, 2] {
        let start = (Instant::now(), processor_time());
        let results = workers::run(&letters, jobs, one, |_| {}).expect("workers");
        let (wall, used) = (start.0.elapsed(), processor_time() - start.1);
        let failed = results.iter().filter(|r| r.is_err()).count();
        println!(
            "batch of {BATCH}, {jobs} worker(s): {:.1} letters/s, {:.1} ms of processor time each, \
             peak memory {} MB, {failed} failed",
            BATCH as f64 / wall.as_secs_f64(),
            used.as_secs_f64() * 1000.0 / BATCH as f64,
            peak_memory(),
        );
    }
}

/// Processor time of this process so far; none where the system does not tell.
fn processor_time() -> Duration {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // User and system time are the 12th and 13th field after the name, in
    // hundredths of a second.
    let after = stat.rsplit(')').next().unwrap_or_default();
    let ticks: u64 = after.split_whitespace().skip(11).take(2).flat_map(str::parse::<u64>).sum();
    Duration::from_millis(ticks * 10)
}

/// Peak resident memory in MB; 0 where the system does not tell.
fn peak_memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|n| n.parse::<u64>().ok()).unwrap_or(0) / 1024
}

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let asked = |name: &str| wanted.is_empty() || wanted.iter().any(|w| w.contains(name));
    let house = house();
    if asked("batch") {
        batch(&house);
    }
    if asked("rebuild") {
        rebuild::measure();
    }
    if wanted.is_empty() || wanted.iter().any(|w| w != "batch" && w != "rebuild") {
        // The only worker of the engine's pool is this thread.
        let pool = rayon::ThreadPoolBuilder::new().num_threads(1).use_current_thread();
        pool.build_global().expect("no pool exists yet");
        let mut criterion = Criterion::default().configure_from_args();
        warm(&mut criterion, &house);
        criterion.final_summary();
    }
}
