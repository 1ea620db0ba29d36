//! The demo clinic's cases, for tests of rules over derived facts.

#![allow(clippy::disallowed_methods, reason = "the test owns its files")]

use std::fs;
use std::path::Path;

use endplate::case::follow::follow;
use endplate::case::read::{read_case, read_clinic};
use endplate::case::{Case, Clinic};
use endplate::diag::Report;

fn text(path: &str) -> Result<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    fs::read_to_string(root.join(path)).map_err(|e| e.to_string())
}

/// The demo clinic.
pub fn clinic() -> Clinic {
    let mut report = Report::default();
    let file = "cases/clinic.yaml";
    let clinic = read_clinic(&text(file).unwrap(), file, &mut report);
    assert!(!report.has_errors(), "{:?}", report.sorted());
    clinic.unwrap()
}

/// One demo case.
pub fn case(id: &str) -> Case {
    let mut report = Report::default();
    let file = format!("cases/{id}.yaml");
    let beside = |path: &str| text(&format!("cases/{path}"));
    let case = read_case(&text(&file).unwrap(), &file, &beside, &mut report);
    assert!(!report.has_errors(), "{:?}", report.sorted());
    let mut case = case.unwrap();
    follow(&mut case, &clinic(), &mut report);
    case
}

/// Every demo case, by file name.
pub fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let mut ids: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().to_str().map(str::to_string))
        .filter_map(|name| name.strip_suffix(".yaml").map(str::to_string))
        .filter(|name| name != "clinic")
        .collect();
    ids.sort();
    ids.iter().map(|id| case(id)).collect()
}
