//! For whom a kind of letter is worded.
//!
//! One kind may have several wordings: a doctor and a family read of the same
//! facts in other words, a maker needs other items than a doctor, and what
//! matters in an adult's back is not what matters in a child's. Each wording
//! is a template of its own; its stem (`progress-family`) also names the file
//! that lists what its reader needs.

use crate::case::{LetterKind, Role};

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
