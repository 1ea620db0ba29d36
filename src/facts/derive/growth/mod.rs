//! `growth.*` and `limits.*` of growth: heights and what they say.
//!
//! [`height`] takes heights over from examinations, [`velocity`] says how fast
//! they grow, [`stature`] compares them with others of the same age, [`loss`]
//! adds what the curve hides, [`phase`] weighs the signs of maturity, and
//! [`reference`] states published figures beside them. All values are those
//! known on the day; what a figure from memory gives is marked by its grade.

mod height;
mod loss;
mod phase;
mod reference;
mod stature;
mod velocity;

use chrono::NaiveDate;

use super::maker::Maker;
use super::span::Setting;
use super::track::Track;
use crate::case::Sex;
use crate::course::growth::stature::ReferenceSex;
use crate::facts::Missing;
use crate::quantity::Age;

/// Every fact of growth, after the curves and the signs of maturity.
pub fn growth(make: &mut Maker, tracks: &[Track], set: &Setting, delivered: Option<NaiveDate>) {
    height::heights(make, set.case, delivered);
    velocity::limits(make, set.clinic);
    let change = velocity::velocities(make, set);
    if !adult(set) {
        height::series(make, set.case);
        velocity::steps(make, set);
    }
    stature::stature_facts(make, set);
    loss::losses(make, tracks, set);
    phase::phase_facts(make, set, change);
    reference::references(make, set);
}

/// Whose tables apply, or why none does.
fn reference_sex(set: &Setting) -> Result<ReferenceSex, Missing> {
    match set.case.patient.sex.value {
        Sex::Male => Ok(ReferenceSex::Boys),
        Sex::Female => Ok(ReferenceSex::Girls),
        Sex::Other => Err(Missing::CannotTell("the figures are by sex, female or male".into())),
    }
}

/// Whether the patient is of age on the day of the letter.
fn adult(set: &Setting) -> bool {
    Age::on(set.case.patient.born.value, set.as_of).is_some_and(|age| age.years >= 18)
}
