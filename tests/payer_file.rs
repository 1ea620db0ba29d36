//! A payer's criteria that the clinic keeps itself, with a slip in them.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;

use chrono::NaiveDate;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::{Code, Report};
use endplate::pipeline::Press;
use endplate::pipeline::io::Folder;

const CLINIC: &str =
    "clinic: Hollow Lane Clinic (invented)\npeople: [{id: mo, name: Dr Maud Orrick}]\n";

const CASE: &str = "case: a\n\
    patient: {name: Imogen Pyle, born: 2012-04-14, sex: female}\n\
    diagnosis: {cause: idiopathic}\n\
    contacts: [{id: pay, role: payer, name: Medical review}]\n\
    treatments: [{id: b1, kind: brace, ordered: 2026-01-05}]\n\
    requests: [{id: q1, to: tallow-cross, item: b1}]\n\
    letters:\n\
    - {id: l1, kind: justification, to: pay, request: q1, as_of: 2026-01-06, signed_by: mo}\n";

const CRITERIA: &str = "payer: tallow-cross\nname: Tallow Cross (invented)\npolicies:\n\
    - policy: TC 4.1\n  edition: 2025-06\n  valid_from: 2025-06-01\n  criteria:\n  - id: A\n    \
    worded: Curve of 25 degrees.\n    when: {fact: major.now.cob, at_least: 25 deg}\n";

/// Where the criteria were refused, the request's id is right: what is said
/// of it sends the reader to the file at fault, whose text is there to quote.
#[test]
fn a_refused_criteria_file_is_named_instead_of_called_unknown() {
    let root = tempfile::tempdir().unwrap();
    let payers = root.path().join("templates/rules/payers");
    fs::create_dir_all(root.path().join("cases")).unwrap();
    fs::create_dir_all(&payers).unwrap();
    fs::write(root.path().join("cases/clinic.yaml"), CLINIC).unwrap();
    fs::write(payers.join("tallow-cross.yaml"), CRITERIA).unwrap();
    let press = Press::open(&Folder::at(root.path()).unwrap());
    let own: Vec<Code> = press.report.iter().map(|d| d.code).collect();
    assert_eq!(own, [Code::UnknownFact]);
    let shown = "templates/rules/payers/tallow-cross.yaml";
    assert!(press.texts().any(|(name, text)| name == shown && text == CRITERIA));

    let mut report = Report::default();
    let clinic = read_clinic(CLINIC, "clinic.yaml", &mut report).unwrap();
    let none = |_: &str| Err("none".to_string());
    let case = read_case(CASE, "a.yaml", &none, &mut report).unwrap();
    let day = NaiveDate::from_ymd_opt(2026, 1, 6).unwrap();
    let derived = press.derive(&case, &clinic, day, Some(&case.letters[0]));
    let fault = derived.report.iter().find(|d| d.code == Code::PayerUnknown).unwrap();
    assert_eq!(fault.message, "the criteria of payer `tallow-cross` have faults of their own");
    assert!(fault.remedy.as_deref().unwrap().contains(shown));
}
