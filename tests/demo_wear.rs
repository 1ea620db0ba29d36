//! The demo clinic's sensor log is what the synthetic brace logs.

#![allow(clippy::disallowed_methods, reason = "the test owns its file and its switch")]

use std::path::Path;

use crate::synthetic::worn;

const FILE: &str = "cases/wear/fw-0171-b1.csv";

#[test]
fn the_committed_log_is_what_the_brace_logs() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(FILE);
    let drawn = worn::log();
    if std::env::var("ENDPLATE_BLESS").is_ok_and(|value| value == "1") {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder can be made");
        std::fs::write(&path, &drawn).expect("the wear folder can be written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == drawn, "run again with ENDPLATE_BLESS=1 to rewrite {FILE}");
}

#[test]
fn the_log_crosses_both_changes_of_the_clock() {
    let log = worn::log();
    let at = |time: &str| log.lines().filter(|line| line.starts_with(time)).count();
    assert_eq!(at("2026-03-29 01:"), 0, "an hour is missing");
    assert_eq!(at("2026-10-25 01:"), 4, "an hour comes twice");
    assert_eq!(at("2026-06-01 "), 48);
}
