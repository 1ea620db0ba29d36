//! `maturity.*`: the latest of each sign, each with its own day, and how it
//! stands to the one before.
//!
//! A Risser grade keeps its scale: grades of two scales are never compared.
//! Stages and grades of the hand count from hand films alone. [`menarche`]
//! knows what a partial date leaves open; [`weaning`] answers the three signs
//! of maturity one study weans by.

mod bone;
pub(super) mod menarche;
mod risser;
pub(super) mod weaning;

use chrono::NaiveDate;

use super::maker::Maker;
use crate::case::{self, Case, Film, Maturity, View};
use crate::course::maturity::RisserScale;
use crate::diag::Located;

/// Every sign of maturity.
pub fn maturity(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    risser::risser(make, case);
    bone::bones(make, case);
    menarche::menarche(make, case, as_of);
    weaning::weaning(make, case, as_of);
}

/// Every film that shows a sign, by date.
pub(in crate::facts::derive) fn series<'a, T>(
    case: &'a Case,
    get: impl Fn(&'a Maturity) -> Option<&'a T>,
) -> Vec<(&'a Film, &'a T)> {
    case.films.iter().filter_map(|f| Some((f, get(f.maturity.as_ref()?)?))).collect()
}

/// The latest film that shows a sign.
pub(super) fn latest<'a, T>(
    case: &'a Case,
    get: impl Fn(&'a Maturity) -> Option<&'a T>,
) -> Option<(&'a Film, &'a T)> {
    series(case, get).pop()
}

/// The latest hand film that shows a sign of the hand.
pub(super) fn latest_hand<'a>(
    case: &'a Case,
    get: impl Fn(&'a Maturity) -> Option<&'a Located<u8>>,
) -> Option<(&'a Film, &'a Located<u8>)> {
    series(case, get).into_iter().rfind(|(film, _)| film.view.value == View::Hand)
}

/// The scale of a record as the computations know it.
pub(super) fn scale(scale: case::RisserScale) -> RisserScale {
    match scale {
        case::RisserScale::Us => RisserScale::UnitedStates,
        case::RisserScale::French => RisserScale::French,
    }
}
