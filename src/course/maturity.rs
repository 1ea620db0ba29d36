//! What a grade of bone maturity means.
//!
//! The two Risser scales divide the iliac apophysis differently, and a grade
//! says nothing without its scale
//! ([`RISSER_2010`](crate::evidence::works::RISSER_2010)). Sources differ on
//! where the United States grade 5 and the French grade 4 begin; the wording
//! of [`BITAN_2005`](crate::evidence::works::BITAN_2005) is used. Nothing
//! here decides treatment.

use chrono::NaiveDate;

use super::growth::velocity::months_between;
use crate::evidence::{Grade, Source, works};
use crate::quantity::Reported;

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

/// Mean bone age in years at a stage of hand maturity, mostly of girls;
/// `None` for stages of which none was read.
pub fn hand_stage_bone_age(stage: u8) -> Option<f64> {
    match stage {
        3 => Some(12.0),
        4 => Some(12.5),
        5 => Some(13.0),
        6 => Some(13.5),
        7 => Some(14.5),
        _ => None,
    }
}

/// Where the bone ages come from.
pub const HAND_AGE_SOURCE: Source =
    Source::read(&works::HAND_STAGES_2020, "bone age at stages 3 to 7, mostly girls");

/// What was read of a grade of the distal radius (1 to 11), with its source;
/// `None` where nothing was. The figures are of girls.
pub fn radius_meaning(grade: u8) -> Option<(&'static str, Source)> {
    match grade {
        7 => Some((
            "as at peak height velocity",
            Source::read(&works::RADIUS_2009, "girls: grade 7 at 11.4 (SD 1) years"),
        )),
        9 => Some((
            "no curve of the cohort went on to 50 degrees",
            Source::read(
                &works::RADIUS_ULNA_2018,
                "grade 9: none reached 50, even from 35 or more",
            ),
        )),
        10 | 11 => Some((
            "growth in height complete",
            Source::read(&works::RADIUS_2009, "girls: grade 10 at 15.6 (SD 1.3) years"),
        )),
        _ => None,
    }
}

/// What was read of a pair of grades of the distal radius and ulna.
pub fn radius_ulna_meaning(radius: u8, ulna: u8) -> Option<(&'static str, Source)> {
    (radius == 6 && ulna == 5).then_some((
        "about half of curves above 25 degrees reached 40",
        Source::read(
            &works::RADIUS_ULNA_2018,
            "radius 6, ulna 5 and more than 25 degrees: 48.1 to 55.5 % reached 40",
        ),
    ))
}

/// How a later grade of one sign stands to an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Higher.
    Rose,
    /// The same.
    Same,
    /// Lower, which no bone does: one of the two was read wrongly.
    Fell,
    /// Not comparable: the grades are of different scales.
    OtherScale,
}

impl Step {
    /// From one Risser grade to a later one: only on the same scale.
    pub fn of_risser(before: (RisserScale, u8), now: (RisserScale, u8)) -> Step {
        if before.0 != now.0 {
            return Step::OtherScale;
        }
        Step::of(before.1, now.1)
    }

    /// From one grade to a later one of the same sign.
    pub fn of(before: u8, now: u8) -> Step {
        match now.cmp(&before) {
            std::cmp::Ordering::Greater => Step::Rose,
            std::cmp::Ordering::Equal => Step::Same,
            std::cmp::Ordering::Less => Step::Fell,
        }
    }
}

/// Whether a Risser grade has reached 4 as a criterion that names no scale
/// asks ([`WEANING_2019`](works::WEANING_2019)). United States 4 is more than
/// three quarters of the apophysis: French grades up to 2 (at most two
/// thirds) lie below it, French 4 (fusion begun) beyond it, and French 3
/// (more than two thirds) may be either, so it does not decide.
pub fn risser_reaches_four(scale: RisserScale, grade: u8) -> Option<bool> {
    match (scale, grade) {
        (RisserScale::UnitedStates, grade) => Some(grade >= 4),
        (RisserScale::French, 3) => None,
        (RisserScale::French, grade) => Some(grade >= 4),
    }
}

/// Completed months since a first period that is known to have come after
/// `not_before` and at latest on `latest`: the fewest and the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MonthsSince {
    /// If it came on the latest day it can have.
    pub fewest: u32,
    /// If it came on the earliest day it can have.
    pub most: u32,
}

impl MonthsSince {
    /// From the earliest and the latest day it can have come, to a day.
    pub fn of(earliest: NaiveDate, latest: NaiveDate, on: NaiveDate) -> MonthsSince {
        MonthsSince { fewest: months_between(latest, on), most: months_between(earliest, on) }
    }

    /// The one number of months, where the date is precise enough.
    pub fn exact(self) -> Option<u32> {
        (self.fewest == self.most).then_some(self.fewest)
    }

    /// Whether at least that many months have passed; `None` if the date is
    /// too imprecise.
    pub fn at_least(self, months: u32) -> Option<bool> {
        if self.fewest >= months {
            Some(true)
        } else if self.most < months {
            Some(false)
        } else {
            None
        }
    }
}

/// The three signs at which one clinic weans: Risser 4, two years after the
/// first period, less than 1 cm of growth in six months. Some curves still
/// progress after them.
pub const WEANING_SOURCE: Source = Source::read(
    &works::WEANING_2019,
    "Risser 4, 2 years after the first period, less than 1 cm in 6 months; some curves still progress",
);

/// Months after the first period asked for by [`WEANING_SOURCE`].
pub const WEANING_MENARCHE_MONTHS: u32 = 24;
/// Months of little growth asked for by [`WEANING_SOURCE`].
pub const WEANING_GROWTH_MONTHS: u32 = 6;
/// Growth in cm that is too much for [`WEANING_SOURCE`].
pub const WEANING_GROWTH_CM: f64 = 1.0;

/// Whether growth was below 1 cm in six months, from two reported heights.
/// Over six months or longer less than 1 cm in all is less in six; 1 cm or
/// more in six months or less is too much; 1 cm or more over longer does not
/// say how it was spread.
pub fn little_growth(gain: Reported, months: u32, exactly_six: bool) -> Option<bool> {
    if months >= WEANING_GROWTH_MONTHS && gain.value() < WEANING_GROWTH_CM {
        return Some(true);
    }
    let within_six = months < WEANING_GROWTH_MONTHS || exactly_six;
    (within_six && gain.value() >= WEANING_GROWTH_CM).then_some(false)
}
