//! The demo clinic, read once for all tests that write its letters.

#![allow(clippy::disallowed_methods)] // Tests read files.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use endplate::case::check::check;
use endplate::case::film_image::load_images;
use endplate::case::follow::follow;
use endplate::case::read::read_case;
use endplate::case::{Case, Clinic, LetterEntry};
use endplate::diag::{Diagnostic, Report, render};
use endplate::pipeline::io::Folder;
use endplate::pipeline::letter::Written;
use endplate::pipeline::{Press, load};

/// The demo clinic with its templates and fonts loaded.
pub struct Demo {
    /// The clinic's own file.
    pub clinic: Clinic,
    /// The cases, in the order of their files.
    pub cases: Vec<Case>,
    /// Templates, fonts, payers.
    pub press: Press,
}

impl Demo {
    /// The case of that id.
    pub fn case(&self, id: &str) -> &Case {
        self.cases.iter().find(|c| c.id.value == id).expect("a demo case")
    }

    /// Every letter of every case.
    pub fn letters(&self) -> Vec<(&Case, &LetterEntry)> {
        let of = |case| move |entry| (case, entry);
        self.cases.iter().flat_map(|case| case.letters.iter().map(of(case))).collect()
    }

    /// One letter as blocks; panics with the faults.
    pub fn written(&self, case: &Case, entry: &LetterEntry) -> Written {
        match self.press.write(case, entry, &self.clinic) {
            Ok(written) => written,
            Err(faults) => panic!("{}/{}:\n{}", *case.id, *entry.id, shown(&faults)),
        }
    }

    /// One letter as a PDF; panics with the faults.
    pub fn pdf(&self, case: &Case, entry: &LetterEntry) -> Vec<u8> {
        match self.press.typeset(self.written(case, entry), entry) {
            Ok(made) => made.pdf,
            Err(faults) => panic!("{}/{}:\n{}", *case.id, *entry.id, shown(&faults)),
        }
    }
}

/// The folder that holds `cases/`.
pub fn folder() -> Folder {
    Folder::at(Path::new(env!("CARGO_MANIFEST_DIR"))).expect("the demo clinic")
}

/// The demo clinic.
pub fn demo() -> &'static Demo {
    static DEMO: OnceLock<Demo> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = folder();
        let loaded = load(&folder, &[], 2);
        let faults = loaded.all_faults();
        assert!(!faults.has_errors(), "{}", shown(&faults));
        let press = Press::open(&folder);
        assert!(press.report.is_empty(), "{}", shown(&press.report));
        let cases = loaded.cases.into_iter().filter_map(|c| c.case).collect();
        Demo { clinic: loaded.clinic.expect("a clinic"), cases, press }
    })
}

/// The text of a demo case.
pub fn case_text(id: &str) -> String {
    std::fs::read_to_string(path(&format!("{id}.yaml"))).expect("a demo case")
}

fn path(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(below)
}

/// Reads and checks a case from text, its other files taken from the demo's.
pub fn read_text(text: &str, id: &str) -> (Option<Case>, Report) {
    let mut report = Report::default();
    let load = |name: &str| std::fs::read_to_string(path(name)).map_err(|e| e.to_string());
    let mut case = read_case(text, &format!("cases/{id}.yaml"), &load, &mut report);
    if let Some(case) = &mut case {
        let bytes = |name: &str| std::fs::read(path(name)).map_err(|e| e.to_string());
        load_images(case, &bytes, &mut report);
        follow(case, &demo().clinic, &mut report);
        check(case, Some(&demo().clinic), &mut report);
    }
    (case, report)
}

/// Reads a case that must be without an error.
pub fn sound(text: &str, id: &str) -> Case {
    let (case, report) = read_text(text, id);
    assert!(!report.has_errors(), "{}", shown(&report));
    case.expect("a sound case")
}

/// The faults, one a line.
pub fn shown(report: &Report) -> String {
    let file = |d: &Diagnostic| d.place.as_ref().map_or(String::new(), |p| p.file.to_string());
    report.sorted().iter().map(|d| format!("{}:{}\n", file(d), render::concise(d))).collect()
}
