//! The questions by which studies chose their patients.
//!
//! A missed bound is told with the bound and the patient's own value. Bounds
//! are judged on reported values and completed years.

use super::{ApexPlace, FirstPeriod, Origin, Sex, Subject, Unfit};
use crate::course::maturity::{RisserScale, growth_ended};
use crate::quantity::{Reported, Unit};

const READER: &str = "the reader of the film";

fn outside(why: String) -> Unfit {
    Unfit::Outside(why)
}

pub(super) fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

impl Subject {
    pub(super) fn idiopathic(&self) -> Result<(), Unfit> {
        match self.origin {
            Origin::Idiopathic => Ok(()),
            _ => {
                Err(outside("for idiopathic curves; this one has another cause or none yet".into()))
            }
        }
    }

    /// Idiopathic, and not of the first years: infantile curves have a course
    /// of their own, and no study of later ones speaks for them (from 4 years,
    /// where the juvenile class begins).
    pub(super) fn idiopathic_after_infancy(&self) -> Result<(), Unfit> {
        self.idiopathic()?;
        self.age_from(4)
    }

    /// Both bounds included.
    pub(super) fn cobb_from_to(&self, low: i64, high: i64) -> Result<(), Unfit> {
        let cobb = self.cobb.value();
        if (low as f64..=high as f64).contains(&cobb) {
            return Ok(());
        }
        Err(outside(format!(
            "for curves of {low} to {high} degrees; this one measures {} degrees",
            self.cobb.digits()
        )))
    }

    /// The bound included.
    pub(super) fn cobb_from(&self, low: i64) -> Result<(), Unfit> {
        if self.cobb.compare(degrees(low)).is_ge() {
            return Ok(());
        }
        let found = self.cobb.digits();
        Err(outside(format!("for curves from {low} degrees; this one measures {found} degrees")))
    }

    /// The bound not included.
    pub(super) fn cobb_below(&self, limit: i64) -> Result<(), Unfit> {
        if self.cobb.compare(degrees(limit)).is_lt() {
            return Ok(());
        }
        let found = self.cobb.digits();
        Err(outside(format!("for curves below {limit} degrees; this one measures {found} degrees")))
    }

    /// The bound not included.
    pub(super) fn cobb_above(&self, limit: i64) -> Result<(), Unfit> {
        if self.cobb.compare(degrees(limit)).is_gt() {
            return Ok(());
        }
        let found = self.cobb.digits();
        Err(outside(format!("for curves above {limit} degrees; this one measures {found} degrees")))
    }

    /// Completed years, both bounds included.
    pub(super) fn age_from_to(&self, low: u32, high: u32) -> Result<(), Unfit> {
        if (low..=high).contains(&self.age.years) {
            return Ok(());
        }
        let (years, months) = (self.age.years, self.age.months);
        Err(outside(format!(
            "for ages {low} to {high}; the patient was {years} years {months} months old"
        )))
    }

    pub(super) fn age_from(&self, low: u32) -> Result<(), Unfit> {
        if self.age.years >= low {
            return Ok(());
        }
        let (years, months) = (self.age.years, self.age.months);
        Err(outside(format!(
            "for ages from {low}; the patient was {years} years {months} months old"
        )))
    }

    pub(super) fn of_sex(&self, sex: Sex) -> Result<(), Unfit> {
        if self.sex == sex {
            return Ok(());
        }
        let whom = if sex == Sex::Female { "girls" } else { "boys" };
        Err(outside(format!("for {whom}; the patient is recorded otherwise")))
    }

    pub(super) fn recorded_risser(&self) -> Result<(RisserScale, u8), Unfit> {
        self.risser.ok_or(Unfit::Unknown("a Risser grade near the film of the curve", READER))
    }

    /// The grade on the scale of the United States; the other is not converted.
    pub(super) fn risser_us(&self) -> Result<u8, Unfit> {
        match self.recorded_risser()? {
            (RisserScale::UnitedStates, grade) => Ok(grade),
            (RisserScale::French, grade) => Err(outside(format!(
                "for Risser grades of the United States scale; French {grade} is not converted"
            ))),
        }
    }

    pub(super) fn risser_up_to(&self, high: u8) -> Result<u8, Unfit> {
        match self.risser_us()? {
            grade if grade <= high => Ok(grade),
            grade => Err(outside(format!("for Risser 0 to {high}; the grade is {grade}"))),
        }
    }

    /// Growth of the spine not ended, on either scale.
    pub(super) fn immature(&self) -> Result<(), Unfit> {
        let (scale, grade) = self.recorded_risser()?;
        match growth_ended(scale, grade) {
            false => Ok(()),
            true => {
                Err(outside(format!("for growing spines; Risser {grade} is the end of growth")))
            }
        }
    }

    /// Growth of the spine ended, by Risser or by 18 completed years.
    pub(super) fn mature(&self) -> Result<(), Unfit> {
        if self.age.years >= 18 {
            return Ok(());
        }
        let (scale, grade) = self.recorded_risser()?;
        match growth_ended(scale, grade) {
            true => Ok(()),
            false => Err(outside(format!(
                "for spines that have stopped growing; Risser {grade} at {} years",
                self.age.years
            ))),
        }
    }

    pub(super) fn unbraced(&self) -> Result<(), Unfit> {
        match self.braced {
            false => Ok(()),
            true => {
                Err(outside("for curves without treatment; a brace or cast has been worn".into()))
            }
        }
    }

    pub(super) fn placed(&self) -> Result<ApexPlace, Unfit> {
        self.apex.ok_or(Unfit::Unknown("the apex", READER))
    }

    pub(super) fn stage(&self) -> Result<u8, Unfit> {
        self.hand_stage.ok_or(Unfit::Unknown(
            "a stage of hand maturity near the film of the curve",
            "the reader of a hand film",
        ))
    }

    /// Before, or within a year of, the first period; boys pass.
    pub(super) fn early_puberty(&self) -> Result<(), Unfit> {
        match (self.sex, self.first_period) {
            (Sex::Male, _) | (_, FirstPeriod::NotYet | FirstPeriod::WithinYear) => Ok(()),
            (_, FirstPeriod::Longer) => Err(outside(
                "for girls before or within a year of the first period; it came earlier".into(),
            )),
            (_, FirstPeriod::Unknown) => {
                Err(Unfit::Unknown("when the first period was", "the family"))
            }
        }
    }

    /// Who could enter the trial of bracing; the bounds are from memory.
    pub(super) fn trial_of_bracing(&self) -> Result<(), Unfit> {
        self.idiopathic()?;
        self.age_from_to(10, 15)?;
        self.cobb_from_to(20, 40)?;
        self.risser_up_to(2)?;
        self.early_puberty()
    }
}
