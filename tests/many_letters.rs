//! Two thousand letters in one process: none fails, and memory stays flat.

#![allow(clippy::disallowed_methods)] // Tests look at their own process.

use std::process::Command;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use endplate::case::Case;
use endplate::case::check::check;
use endplate::case::read::read_case;
use endplate::diag::Report;
use endplate::pipeline::workers;

use crate::support::demo::{demo, shown};
use crate::support::generated;

const LETTERS: usize = 2000;

/// Reads and checks the case of that number.
fn read(number: u64) -> Case {
    let made = generated::case(number);
    let mut report = Report::default();
    let file = format!("cases/{}.yaml", made.id);
    let case = read_case(&made.text, &file, &|name| made.load(name), &mut report);
    let case = case.unwrap_or_else(|| panic!("{}", shown(&report)));
    check(&case, Some(&demo().clinic), &mut report);
    assert!(!report.has_errors(), "{}", shown(&report));
    case
}

/// The nth letter: three letters a case.
fn letter(n: usize) -> Vec<u8> {
    let case = read((n / 3) as u64);
    demo().pdf(&case, &case.letters[n % 3])
}

/// Resident memory in MB; nothing where the system does not tell.
fn resident() -> Option<usize> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmRSS:"))?;
    let kilobytes: usize = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024)
}

#[test]
fn generated_letters_differ_and_name_their_patient() {
    let names: Vec<String> = (0..30).map(|n| generated::case(n).name).collect();
    let distinct: std::collections::BTreeSet<_> = names.iter().collect();
    assert!(distinct.len() > 20, "{names:?}");
    let (a, b) = (letter(0), letter(3));
    assert_ne!(a, b);
    let page = lopdf::Document::load_mem(&a).unwrap().extract_text(&[1]).unwrap();
    assert!(page.contains(&names[0]), "{page}");
}

/// In a process of its own, so that no other test's memory is counted.
#[test]
fn two_thousand_letters_in_flat_memory() {
    let output = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "many_letters::inner", "--ignored", "--nocapture"])
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{told}\n{}", String::from_utf8_lossy(&output.stderr));
    assert!(told.contains("1 passed"), "{told}");
}

#[test]
#[ignore = "run in a process of its own by the test above"]
fn inner() {
    let numbers: Vec<usize> = (0..LETTERS).collect();
    let finished = AtomicUsize::new(0);
    let memory = Mutex::new(Vec::new());
    let done = |_| {
        let count = finished.fetch_add(1, Ordering::Relaxed) + 1;
        if count == LETTERS / 4 || count == LETTERS {
            memory.lock().unwrap().push(resident());
        }
    };
    let results = workers::run(&numbers, 2, |n| letter(*n).len(), done).unwrap();
    for (n, result) in results.iter().enumerate() {
        assert!(result.as_ref().is_ok_and(|size| *size > 10_000), "letter {n}: {result:?}");
    }
    let memory = memory.into_inner().unwrap();
    println!("resident after {} and {LETTERS} letters: {memory:?} MB", LETTERS / 4);
    if let [Some(early), Some(late)] = memory[..] {
        assert!(late < early + 20, "memory grew from {early} to {late} MB");
    }
}
