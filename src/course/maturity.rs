//! What a grade of bone maturity means.
//!
//! The two Risser scales divide the iliac apophysis differently, and a grade
//! says nothing without its scale
//! ([`RISSER_2010`](crate::evidence::works::RISSER_2010)). Sources differ on
//! where the United States grade 5 and the French grade 4 begin; the wording
//! of [`BITAN_2005`](crate::evidence::works::BITAN_2005) is used. Nothing
//! here decides treatment.

use crate::evidence::{Grade, Source, works};

/// Whose Risser scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RisserScale {
    /// Quarters of the apophysis, then fusion.
    UnitedStates,
    /// Thirds of the apophysis, then fusion in two steps.
    French,
}

/// What a Risser grade says; `None` above 5, the last of both scales.
pub fn risser_meaning(scale: RisserScale, grade: u8) -> Option<&'static str> {
    use RisserScale::{French, UnitedStates};
    Some(match (scale, grade) {
        (_, 0) => "no ossification of the iliac apophysis",
        (UnitedStates, 1) => "up to a quarter of the apophysis",
        (UnitedStates, 2) => "a quarter to a half of the apophysis",
        (UnitedStates, 3) => "a half to three quarters of the apophysis",
        (UnitedStates, 4) => "more than three quarters of the apophysis",
        (UnitedStates, 5) => "fusion begun or complete",
        (French, 1) => "up to a third of the apophysis",
        (French, 2) => "one to two thirds of the apophysis",
        (French, 3) => "more than two thirds of the apophysis",
        (French, 4) => "fusion begun",
        (French, 5) => "fusion complete",
        _ => return None,
    })
}

/// The Risser grade, before fusion, of an apophysis that covers this share of
/// its way (0 to 1): a bound itself belongs to the lower grade.
pub fn risser_of_excursion(scale: RisserScale, share: f64) -> Option<u8> {
    let parts = match scale {
        RisserScale::UnitedStates => 4.0,
        RisserScale::French => 3.0,
    };
    (0.0..=1.0).contains(&share).then(|| (share * parts).ceil() as u8)
}

/// Whether growth of the spine is taken as ended: grade 5 of the United
/// States, grade 4 of the French scale
/// ([`RISSER_2010`](crate::evidence::works::RISSER_2010)).
pub fn growth_ended(scale: RisserScale, grade: u8) -> bool {
    match scale {
        RisserScale::UnitedStates => grade >= 5,
        RisserScale::French => grade >= 4,
    }
}

/// Where the meaning of the Risser grades comes from.
pub const RISSER_SOURCE: Source = Source::read(
    &works::BITAN_2005,
    "grades of both scales; where fusion begins differs by source",
);

/// What a stage of hand maturity (1 to 8) says, with how that is known;
/// `None` outside the scale.
pub fn hand_stage_meaning(stage: u8) -> Option<(&'static str, Source)> {
    let meaning = match stage {
        1 => "some digital epiphyses not yet as wide as their shafts",
        2 => "all digital epiphyses as wide as their shafts",
        3 => "most digital epiphyses capped",
        4 => "a distal phalangeal growth plate closing",
        5 => "all distal phalangeal growth plates closed",
        6 => "middle or proximal phalangeal growth plates closing",
        7 => "only the distal radial growth plate open",
        8 => "all growth plates closed",
        _ => return None,
    };
    let read = (3..=7).contains(&stage);
    let source = if read { HAND_READ } else { HAND_MEMORY };
    Some((meaning, source))
}

const HAND_READ: Source = Source::read(&works::HAND_STAGES_2020, "stages 3 to 7");
const HAND_MEMORY: Source =
    Source { work: Some(&works::SANDERS_2008), grade: Grade::Memory, note: "stages 1, 2 and 8" };
