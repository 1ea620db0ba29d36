//! The demo clinic, built whole.

use std::path::Path;

use endplate::diag::render;
use endplate::pipeline::io::Folder;
use endplate::pipeline::letter::maker;
use endplate::pipeline::{Build, Outcome, Press, State, build};

/// Builds every letter of the demo clinic into a folder.
pub fn build_into(out: &Path, jobs: usize) -> Outcome {
    let folder = Folder::at(Path::new(env!("CARGO_MANIFEST_DIR"))).expect("the demo clinic");
    let press = Press::open(&folder);
    assert!(press.report.is_empty(), "{}", shown(&press.report));
    let request = Build {
        folder,
        paths: vec![],
        kind: None,
        out: out.to_path_buf(),
        jobs,
        paper: None,
        also: vec![],
    };
    build(&request, &maker(&press), &()).expect("the build starts")
}

fn shown(report: &endplate::diag::Report) -> String {
    let file = |d: &endplate::diag::Diagnostic| {
        d.place.as_ref().map_or(String::new(), |p| p.file.to_string())
    };
    report.sorted().iter().map(|d| format!("{}:{}\n", file(d), render::concise(d))).collect()
}

#[test]
fn every_demo_letter_is_built() {
    let out = tempfile::tempdir().unwrap();
    let outcome = build_into(out.path(), 2);
    assert!(!outcome.report.has_errors(), "{}", shown(&outcome.report));
    assert!(outcome.letters.iter().all(|l| l.state == State::New));
    if let Some(keep) = std::env::var_os("ENDPLATE_KEEP") {
        for letter in &outcome.letters {
            let to = Path::new(&keep).join(letter.file.replace('/', "-"));
            std::fs::copy(out.path().join(&letter.file), to).unwrap();
        }
    }
}
