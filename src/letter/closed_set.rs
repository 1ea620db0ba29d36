//! Which words a printed fact may turn out to be.
//!
//! A template is written long before the case it will print, so that a word
//! without a phrase would come to light only with the first patient who has
//! it. This table says, by the end of a fact's id, which closed set its words
//! are of; with it a template in a language of its own words is checked whole.
//! A test holds the table against the facts of every demo case.

use crate::case::{
    Answered, Bend, Choice, FittingKind, Help, LetterKind, OrthosisClass, Posture, Projection,
    RisserScale, Role, Sex, TreatmentKind, Triradiate, Urgency, View, WearWhen,
};

/// Words of one closed set.
#[derive(Debug, Clone, Copy)]
pub struct Set {
    /// Ends of the ids that print one of these words; a dot parts steps.
    pub ends: &'static [&'static str],
    /// The words.
    pub words: &'static [&'static str],
}

const fn set(ends: &'static [&'static str], words: &'static [&'static str]) -> Set {
    Set { ends, words }
}

const YES_NO: &[&str] = &["yes", "no"];
const REGIONS: &[&str] = &[
    "cervical",
    "cervicothoracic",
    "upper thoracic",
    "thoracic",
    "thoracolumbar",
    "lumbar",
    "lumbosacral",
];
const CURVES: &[&str] = &[
    "cervical",
    "cervicothoracic",
    "upper thoracic",
    "thoracic",
    "thoracolumbar",
    "lumbar",
    "lumbosacral",
    "thoracic kyphosis",
    "thoracolumbar kyphosis",
    "lumbar kyphosis",
    "lumbar lordosis",
];
const DIAGNOSES: &[&str] = &[
    "scoliosis, not yet classified",
    "spinal asymmetry",
    "Scheuermann kyphosis",
    "postural hyperkyphosis",
    "congenital kyphosis",
    "hyperkyphosis",
    "infantile idiopathic scoliosis",
    "juvenile idiopathic scoliosis",
    "adolescent idiopathic scoliosis",
    "adult idiopathic scoliosis",
    "idiopathic scoliosis",
    "congenital scoliosis",
    "neuromuscular scoliosis",
    "syndromic scoliosis",
    "degenerative scoliosis",
    "secondary scoliosis",
    "postural scoliosis",
    "scoliosis, cause not yet known",
];
const CHANGES: &[&str] = &[
    "unchanged",
    "worse",
    "better",
    "worse over time",
    "better over time",
    "rose",
    "fell",
    "same",
];

/// Every set whose words letters to families and schools may print.
pub static SETS: &[Set] = &[
    set(&["support", "current.state", "awaited.state"], &["brace", "cast", "none"]),
    set(&["treatment.kind", "current.kind", "previous.kind"], TreatmentKind::WORDS),
    set(&["when", "hours_when"], WearWhen::WORDS),
    set(&["posture", "baseline_posture", "standing_posture"], Posture::WORDS),
    set(&["view"], View::WORDS),
    set(&["projection"], Projection::WORDS),
    set(&["region"], REGIONS),
    set(&["c.name", "major.name"], CURVES),
    set(&["diagnosis.name"], DIAGNOSES),
    set(&["bend"], Bend::WORDS),
    set(&["plane"], &["frontal", "sagittal"]),
    set(&["verdict", "direction"], CHANGES),
    set(&["verdict"], &["met", "not met", "cannot tell", "no important change"]),
    set(&["direction"], &["lower is better", "higher is better"]),
    set(&["choice"], Choice::WORDS),
    set(&["what"], FittingKind::WORDS),
    set(&["what"], Answered::WORDS),
    set(&["helps"], Help::WORDS),
    set(&["foretold"], &["30 degrees or more", "below 30 degrees"]),
    set(&["stage"], &["child", "adolescent", "adult"]),
    set(&["sex"], Sex::WORDS),
    set(&["class"], OrthosisClass::WORDS),
    set(&["risser.scale", "scale"], RisserScale::WORDS),
    set(&["triradiate.value"], Triradiate::WORDS),
    set(&["letter.kind"], LetterKind::WORDS),
    set(&["to.role"], Role::WORDS),
    set(&["urgency"], Urgency::WORDS),
    set(
        &[
            "several",
            "below_definition",
            "with_major",
            "is_major",
            "overcorrected",
            "posture_differs",
            "soon_after_support",
            "some_uncounted",
            "all_compared",
            "long_course",
        ],
        YES_NO,
    ),
];

/// Whether a path as a template writes it (`c.in_brace.support`, `m.value`)
/// may end so: their last steps agree as far as both go.
fn may_end(path: &[&str], end: &str) -> bool {
    let end: Vec<&str> = end.split('.').collect();
    let both = path.len().min(end.len());
    path[path.len() - both..] == end[end.len() - both..]
}

/// The words that a printed path may turn out to be; none for facts that are
/// no words.
pub fn words_of(path: &[&str]) -> impl Iterator<Item = &'static str> {
    let fits = |set: &&Set| set.ends.iter().any(|end| may_end(path, end));
    let found: Vec<&'static str> =
        SETS.iter().filter(fits).flat_map(|set| set.words.iter().copied()).collect();
    found.into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_known_by_its_end() {
        let of = |path: &[&str]| words_of(path).collect::<Vec<_>>();
        assert_eq!(of(&["c", "in_brace", "support"]), ["brace", "cast", "none"]);
        assert_eq!(of(&["b", "posture"]).len(), Posture::WORDS.len());
        assert_eq!(of(&["maturity", "triradiate", "value"]), Triradiate::WORDS);
        assert!(of(&["c", "now", "cobb"]).is_empty());
        assert!(of(&["patient", "name"]).is_empty());
    }
}
