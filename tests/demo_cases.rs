//! The demo clinic's files are read and checked without a fault, warnings
//! included.

#![allow(clippy::disallowed_methods, reason = "the test owns its files")]

use std::path::{Path, PathBuf};

use endplate::case::check::check;
use endplate::case::read::{read_case, read_clinic};
use endplate::case::{Case, Clinic};
use endplate::diag::Report;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases")
}

fn text(path: &str) -> Result<String, String> {
    std::fs::read_to_string(folder().join(path)).map_err(|error| error.to_string())
}

/// Names of the case files, in order.
fn names() -> Vec<String> {
    let entries = std::fs::read_dir(folder()).expect("the case folder is there");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("an entry can be read").file_name().into_string())
        .map(|name| name.expect("our file names are plain"))
        .filter(|name| name.ends_with(".yaml") && name != "clinic.yaml")
        .collect();
    names.sort();
    names
}

fn complaints(report: &Report) -> Vec<String> {
    let place = |d: &endplate::diag::Diagnostic| d.place.as_ref().map(|p| p.to_line_column());
    report.sorted().into_iter().map(|d| format!("{:?} {}", place(d), d.message)).collect()
}

fn read(name: &str, report: &mut Report) -> Option<Case> {
    let source = text(name).expect("the case is there");
    read_case(&source, name, &|path| text(path), report)
}

fn clinic(report: &mut Report) -> Clinic {
    let source = text("clinic.yaml").expect("the clinic's file is there");
    read_clinic(&source, "clinic.yaml", report).expect("a clinic")
}

#[test]
fn the_clinic_is_read_without_a_fault() {
    let mut report = Report::default();
    let clinic = clinic(&mut report);
    assert_eq!(complaints(&report), [""; 0]);
    let responsible = clinic.responsible.as_ref().expect("a responsible doctor");
    assert!(clinic.person(responsible).is_some());
}

#[test]
fn all_cases_are_read_and_checked_without_a_fault() {
    let names = names();
    assert_eq!(names.len(), 16);
    for name in names {
        let mut report = Report::default();
        let clinic = clinic(&mut report);
        let case = read(&name, &mut report);
        assert_eq!(complaints(&report), [""; 0], "{name}");
        let case = case.expect("a case without a fault is given");
        check(&case, Some(&clinic), &mut report);
        assert_eq!(complaints(&report), [""; 0], "{name}");
        assert_eq!(format!("{}.yaml", case.id.value), name);
        // Of one case all letters follow from its visits by the clinic's rule.
        assert!(!case.letters.is_empty() || name == "fw-0260.yaml", "{name} has letters");
    }
}

#[test]
fn every_file_says_that_it_is_invented() {
    for name in names().iter().map(String::as_str).chain(["clinic.yaml"]) {
        let source = text(name).expect("the file is there");
        let head: Vec<&str> = source.lines().take(2).collect();
        assert!(head.iter().any(|line| line.starts_with("# Invented:")), "{name}");
    }
}
