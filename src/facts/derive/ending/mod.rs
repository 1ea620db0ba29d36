//! `ending.*`: what letters at the end of treatment and of follow-up tell.
//!
//! Who was treated and until when, whether growth has ended, what was decided
//! and what of the plan before it never happened, what remains. The course of
//! each curve stands with the curve (`at_start`, `after_treatment`, …).

mod decided;
mod grown;
mod hours;
mod missed;
mod remains;
mod treated;

use super::maker::Maker;
use super::span::Setting;
use super::tongue::Tongue;
use super::track::Track;

/// `ending.*`.
pub fn ending(make: &mut Maker, tracks: &[Track], set: &Setting, tongue: Tongue) {
    treated::treated(make, set.case);
    treated::columns(make, tracks);
    grown::grown(make, set.case);
    hours::steps(make, set.case, set.as_of);
    decided::weaning(make, set, tongue);
    decided::discharge(make, set, tongue);
    missed::missed(make, set.case, set.as_of);
    remains::remains(make, tracks, set);
}
