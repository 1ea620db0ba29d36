//! The steps from a case to its facts, in order.
//!
//! Every step writes facts with their provenance and nothing else; what a
//! step needs of another it reads as a fact or from the tracks.

mod curves;
mod films;
mod letter;
mod maker;
pub mod measure;
mod patient;
mod published;
mod record;
mod request;
mod span;
pub mod track;
mod tracks;
pub mod treatment;
pub mod wear;

use chrono::NaiveDate;

use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::Report;
use crate::spine::frame::Plane;

use super::known::known_on;
use super::{Facts, compare};
use maker::Maker;
use span::Setting;

pub use curves::{largest, largest_plane};
pub use tracks::tracks;

/// What is derived of one case for one day.
#[derive(Debug)]
pub struct Derived {
    /// The facts.
    pub facts: Facts,
    /// The case as known on the day.
    pub known: Case,
    /// Faults found while deriving: ambiguous curves, a side that changes.
    pub report: Report,
}

/// Derives every fact of a case as known on a day.
///
/// `entry` names the letter the facts are for: its own words and the request
/// it supports become facts too.
pub fn derive(
    case: &Case,
    clinic: &Clinic,
    as_of: NaiveDate,
    entry: Option<&LetterEntry>,
) -> Derived {
    let known = known_on(case, as_of);
    let mut report = Report::default();
    let mut facts = Facts::new(as_of);
    {
        let mut make = Maker { facts: &mut facts };
        let set = Setting { case: &known, clinic, as_of };
        record::limits(&mut make, clinic);
        patient::patient(&mut make, &known, as_of);
        films::films(&mut make, &known);
        let tracks = tracks(&known, &mut report);
        films::film_curves(&mut make, &tracks);
        treatment::treatments(&mut make, &known, &clinic.limits, as_of);
        curves::curves(&mut make, &tracks, &set);
        treatment::corrections(&mut make, &known, &tracks, as_of);
        patient::diagnosis(&mut make, &known, below_definition(&tracks, &set));
        record::maturity(&mut make, &known, as_of);
        record::exam(&mut make, &known, clinic);
        let delivered = treatment::current(&known, as_of).and_then(|t| t.start()).map(|s| s.value);
        record::growth(&mut make, &known, delivered);
        record::plan(&mut make, &known, clinic);
        request::coverage(&mut make, &known);
        let request = entry.and_then(|e| e.request.as_ref()).map(|r| r.value.as_str());
        request::request(&mut make, &known, request);
        letter::letter(&mut make, &known, entry);
        published::published(&mut make);
    }
    Derived { facts, known, report }
}

/// Whether no frontal curve out of support has ever reached the clinic's
/// limit; `None` without any frontal curve.
fn below_definition(tracks: &[track::Track], set: &Setting) -> Option<bool> {
    let limits = &set.clinic.limits;
    let from = limits.scoliosis_from.as_ref().map_or(10.0, |l| l.to_degrees());
    let inclusive = limits.scoliosis_inclusive.as_ref().is_none_or(|l| l.value);
    let values: Vec<f64> = tracks
        .iter()
        .filter(|t| t.plane == Plane::Coronal)
        .flat_map(|t| &t.films)
        .filter(|c| compare::natural(set.case, c.film))
        .map(|c| c.reported().value())
        .collect();
    let counts = |v: &f64| if inclusive { *v >= from } else { *v > from };
    (!values.is_empty()).then(|| !values.iter().any(counts))
}
