//! For whom a kind of letter is worded.
//!
//! One kind may have several wordings: a doctor and a family read of the same
//! facts in other words, a maker needs other items than a doctor, and what
//! matters in an adult's back is not what matters in a child's. Each wording
//! is a template of its own; its stem (`progress-family`) also names the file
//! that lists what its reader needs.

use crate::case::{LetterKind, Role};

/// Kinds that families, patients and schools are written to in their own
/// language.
pub const LAY: &[LetterKind] = &[
    LetterKind::Progress,
    LetterKind::Check,
    LetterKind::Weaning,
    LetterKind::Discharge,
    LetterKind::School,
    LetterKind::Gap,
];

/// What stands before or in place of such a letter.
pub const BESIDE: &[&str] = &["amendment-box", "addendum-box", "withdrawal-notice"];

/// Stems of every template that a family, a patient or a school may be written
/// with, each once.
pub fn lay_stems() -> Vec<String> {
    let mut all = Vec::new();
    for kind in LAY {
        for role in [Role::Family, Role::Patient, Role::School] {
            let read =
                *kind == LetterKind::Gap || (*kind == LetterKind::School) == (role == Role::School);
            for stage in [None, Some("child"), Some("adolescent"), Some("adult")] {
                all.extend(stems(*kind, role, stage).into_iter().filter(|_| read));
            }
        }
    }
    all.extend(BESIDE.iter().map(|stem| stem.to_string()));
    all.sort();
    all.dedup();
    all
}

/// Stems of the templates that may write a kind to a role, the fittest first.
///
/// `stage` is the word of the fact `patient.stage`. A family is never written
/// to in the words meant for doctors, so nothing stands in for its wording.
pub fn stems(kind: LetterKind, role: Role, stage: Option<&str>) -> Vec<String> {
    let plain = kind.word().replace(' ', "-");
    let lay = matches!(role, Role::Family | Role::Patient);
    let with = |suffix: &str| format!("{plain}-{suffix}");
    use LetterKind as K;
    match kind {
        K::Progress | K::Check | K::Weaning | K::Discharge if lay => vec![with("family")],
        K::Progress if stage == Some("adult") => vec![with("adult"), plain],
        K::Check if role == Role::Orthotist => vec![with("maker")],
        _ => vec![plain],
    }
}

/// Whether a wording is for readers who are no clinicians: a family, a
/// patient, a school.
pub fn is_lay(stem: &str) -> bool {
    stem.ends_with("-family") || stem == "school"
}
