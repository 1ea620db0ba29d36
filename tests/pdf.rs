//! Real PDF files, read back with libraries that did not write them.

use endplate::letter::block::{Letter, Paper};
use endplate::render::Typesetter;
use page_validation::{ValidationOptions, ValidationProfile, validate_pdf_bytes};

use crate::support::sample_letter::{long, short};

/// A name with all that markup, quotes and encodings could trip over.
const HOSTILE: &str = r#"Zoë "Bo" O'Neill-Łuć #1 *x* $y$ \[z] @w"#;

fn set(letter: &Letter) -> Vec<u8> {
    match Typesetter::new(Vec::new()).pdf(letter) {
        Ok(bytes) => bytes,
        Err(faults) => panic!("{faults:#?}"),
    }
}

/// Keeps the pages under target/tmp, to be looked at.
fn keep(name: &str, bytes: &[u8]) {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::io::Write::write_all(&mut std::fs::File::create(path).unwrap(), bytes).unwrap();
}

fn failures(bytes: &[u8], profile: ValidationProfile) -> Vec<String> {
    let options = ValidationOptions::default().profile(profile);
    let report = validate_pdf_bytes(bytes, &options).expect("the file can be read");
    report.failures.iter().map(|f| format!("{f:?}")).collect()
}

#[test]
fn both_standards_hold_on_both_papers() {
    for (paper, suffix) in [(Paper::A4, "a4"), (Paper::UsLetter, "us")] {
        for (letter, kind) in
            [(short(HOSTILE, paper), "short"), (long("Nell Osgarth", paper), "long")]
        {
            let bytes = set(&letter);
            keep(&format!("{kind}-{suffix}.pdf"), &bytes);
            for profile in [ValidationProfile::PdfA2a, ValidationProfile::PdfUa1] {
                assert_eq!(failures(&bytes, profile), Vec::<String>::new(), "{kind} {suffix}");
            }
        }
    }
}
