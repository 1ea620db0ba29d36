//! Published risk figures, each for the people it was found in.
//!
//! A [`Model`] asks a [`Subject`] the questions its study asked. Who falls
//! outside gets no figure: nothing is stretched to another size, age or
//! scale, and [`Unfit`] says which bound was missed and by what. Every model
//! carries its population, its caveat and how well each figure is known;
//! figures from memory are shown with that grade and decide nothing. Where
//! two sources differ both are models of their own.
//!
//! [`MODELS`] lists them all, the ones that cannot be computed included.

mod adult;
mod brace;
mod factor;
mod gate;
mod girls;
mod incidence;
mod prognosis;
mod size;
mod stage;

use crate::course::maturity::RisserScale;
use crate::evidence::{Grade, Source};
use crate::quantity::{Age, HoursPerDay, Reported, Unit};
use crate::spine::region::Region;

pub use brace::{PrescriptionBand, numbers_needed, odds_ratio, prescription_band, success};
pub use factor::{FactorGraph, graph, progression_factor};
pub use prognosis::{lou_2009, lou_2016};
pub use stage::{Between, sanders_2008, sitoula_2015};

/// Sex, as far as the studies tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Sex {
    Female,
    Male,
    /// Recorded as neither: no study of one sex applies.
    Other,
}

/// The cause, as far as the studies tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Origin {
    Idiopathic,
    Degenerative,
    Other,
}

/// The first period on the day of the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstPeriod {
    /// It had not come.
    NotYet,
    /// It came less than a year before.
    WithinYear,
    /// It came a year or more before.
    Longer,
    /// Not recorded, or not precisely enough.
    Unknown,
}

/// Height of an apex against the twelfth thoracic vertebra.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ApexPlace {
    /// Whether it lies from T8 to L1.
    pub t8_to_l1: bool,
    /// Whether it lies above T12.
    pub above_t12: bool,
    /// The region.
    pub region: Region,
}

/// What the models may ask of a patient on the day of one film.
#[derive(Debug, Clone)]
pub struct Subject {
    /// Age on the day of the film.
    pub age: Age,
    /// Sex as recorded.
    pub sex: Sex,
    /// The cause.
    pub origin: Origin,
    /// The largest frontal curve out of support.
    pub cobb: Reported,
    /// Its apex.
    pub apex: Option<ApexPlace>,
    /// How many frontal curves the film shows.
    pub curves: usize,
    /// Risser grade near the day of the film, with its scale.
    pub risser: Option<(RisserScale, u8)>,
    /// Stage of hand maturity near that day.
    pub hand_stage: Option<u8>,
    /// Grade of the distal radius near that day.
    pub radius: Option<u8>,
    /// Grade of the distal ulna near that day.
    pub ulna: Option<u8>,
    /// The first period.
    pub first_period: FirstPeriod,
    /// Whether a brace or cast has been worn by then.
    pub braced: bool,
    /// Standing height near that day.
    pub height: Option<Reported>,
    /// Distance of the C7 plumb line from the sacral line.
    pub imbalance: Option<Reported>,
    /// Measured wear of the brace in use, mean hours a day.
    pub wear: Option<HoursPerDay>,
}

/// Why a model gives no figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfit {
    /// Something the model asks for is not known: what, and who can say.
    Unknown(&'static str, &'static str),
    /// The patient is not of the population: its bound and the patient's value.
    Outside(String),
    /// The published record does not allow it.
    NotComputable(&'static str),
}

impl std::fmt::Display for Unfit {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            Unfit::Unknown(what, _) => write!(f, "{what} is not known"),
            Unfit::Outside(why) => f.write_str(why),
            Unfit::NotComputable(why) => f.write_str(why),
        }
    }
}

/// What a finding says.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A figure as published or as rounded.
    Number(Reported),
    /// A computed figure with its value before rounding.
    Computed(Reported, f64),
    /// A word of a closed set.
    Word(&'static str),
    /// Nothing, for this part alone.
    Nothing(Unfit),
}

/// One figure of a model.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which of the model's items.
    pub item: &'static str,
    /// What it says.
    pub said: Said,
    /// Where it comes from, if not from the model's own source.
    pub source: Option<Source>,
}

impl Finding {
    fn new(item: &'static str, said: Said) -> Finding {
        Finding { item, said, source: None }
    }

    fn percent(item: &'static str, percent: i64) -> Finding {
        Finding::new(item, Said::Number(Reported::whole(percent, Unit::Percent)))
    }

    fn tenths(item: &'static str, value: f64, unit: Unit) -> Finding {
        Finding::new(item, Said::Number(Reported::round(value, 1, unit)))
    }

    fn word(item: &'static str, word: &'static str) -> Finding {
        Finding::new(item, Said::Word(word))
    }

    fn by(mut self, source: Source) -> Finding {
        self.source = Some(source);
        self
    }
}

/// What a model finds, or why it does not apply.
pub type Found = Result<Vec<Finding>, Unfit>;

/// One published figure, table or equation.
#[derive(Debug)]
pub struct Model {
    /// The part of the fact ids.
    pub key: &'static str,
    /// Its figures: item and label. `value` is the first.
    pub items: &'static [(&'static str, &'static str)],
    /// The people it was found in.
    pub population: &'static str,
    /// What must be said with it.
    pub caveat: &'static str,
    /// Where it comes from.
    pub source: Source,
    /// Its figures for a patient.
    pub find: fn(&Subject) -> Found,
    /// Of which day it speaks.
    pub at: Moment,
    /// How well the bounds of its population are known.
    pub bounds: Grade,
}

/// The day for which a model's question is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    /// The latest film.
    Now,
    /// The last film before the first brace or cast, since what an untreated
    /// curve does ends there; without a brace or cast, the latest.
    Start,
}

/// Every model, in the order of the course of a curve.
pub const MODELS: &[Model] = &[
    factor::FACTOR,
    incidence::BY_RISSER,
    incidence::BY_AGE,
    girls::GIRLS,
    incidence::BOYS,
    size::AT_MATURITY,
    size::UNTREATED,
    stage::SANDERS,
    stage::SITOULA,
    stage::RADIUS_ULNA,
    prognosis::LOU_NEW,
    prognosis::LOU_OLD,
    prognosis::UNTREATED_TRIAL,
    brace::TRIAL,
    brace::WEAR,
    brace::WEAR_LONG,
    brace::KUROKI,
    brace::BRACE_TYPES,
    adult::AFTER_MATURITY,
    adult::AFTER_MATURITY_HIGHER,
    adult::LUMBAR,
    adult::DE_NOVO,
];
