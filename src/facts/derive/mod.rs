//! The steps from a case to its facts, in order.
//!
//! Every step writes facts with their provenance and nothing else; what a
//! step needs of another it reads as a fact or from the tracks.

mod classification;
mod curves;
mod dose;
mod ending;
mod film_curves;
mod films;
mod findings;
mod found;
mod found_facts;
mod frontal;
mod gap;
mod growth;
mod judge;
mod kyphosis;
mod letter;
mod maker;
mod maturity;
pub mod measure;
mod onset;
mod patient;
mod published;
mod record;
mod request;
mod risk;
mod risk_told;
mod sagittal;
mod school;
mod scores;
mod slope;
mod span;
mod stages;
mod structure;
mod tongue;
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
use tongue::Tongue;

pub use curves::{largest, largest_plane};
pub use found::filled;
pub use judge::{group, rounding_decides};
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
    let known = filled(known_on(case, as_of));
    let mut report = Report::default();
    let mut facts = Facts::new(as_of);
    {
        let mut make = Maker { facts: &mut facts };
        let set = Setting { case: &known, clinic, as_of };
        let tongue = Tongue::of(&known, clinic, entry);
        record::limits(&mut make, clinic);
        patient::patient(&mut make, &known, as_of);
        films::films(&mut make, &known);
        let tracks = tracks(&known, &mut report);
        film_curves::film_curves(&mut make, &tracks, &set);
        sagittal::films(&mut make, &set);
        found_facts::found(&mut make, &known, &tracks);
        frontal::films(&mut make, &known, clinic, &tracks);
        frontal::now(&mut make, &known);
        treatment::treatments(&mut make, &known, &clinic.limits, as_of);
        curves::curves(&mut make, &tracks, &set);
        types(&mut make, &tracks, &set);
        treatment::corrections(&mut make, &known, &tracks, as_of);
        treatment::best_and_latest(&mut make, &known, &tracks);
        treatment::against(&mut make, &known, &tracks);
        treatment::orders(&mut make, &known, clinic, &tracks);
        treatment::ordered(&mut make, &known, clinic, &tracks, entry);
        treatment::checked(&mut make, &known, clinic, &tracks, as_of, entry);
        patient::diagnosis(&mut make, &known, clinic, below_definition(&tracks, &set));
        sagittal::overall(&mut make, &set, &tracks);
        maturity::maturity(&mut make, &known, as_of);
        record::exam(&mut make, &known, clinic);
        frontal::trunk_rotation(&mut make, &known);
        findings::findings(&mut make, &known);
        let delivered = treatment::current(&known, as_of).and_then(|t| t.start()).map(|s| s.value);
        growth::growth(&mut make, &tracks, &set, delivered);
        record::plan(&mut make, &known, clinic, tongue);
        risk::risk(&mut make, &tracks, &set);
        risk_told::risk_told(&mut make, entry);
        scores::scores(&mut make, &known);
        dose::dose(&mut make, &set);
        ending::ending(&mut make, &tracks, &set, tongue);
        school::school(&mut make, &known, clinic, entry, tongue);
        request::coverage(&mut make, &known);
        request::request(&mut make, &known, clinic, entry);
        request::enclosures(&mut make, &known, entry);
        gap::gap(&mut make, &known, entry, tongue);
        letter::letter(&mut make, &known, entry, tongue);
        published::published(&mut make);
    }
    Derived { facts, known, report }
}

/// How far curves give way, which are structural, and their type.
fn types(make: &mut Maker, tracks: &[track::Track], set: &Setting) {
    structure::cut_offs(make);
    structure::flexibilities(make, tracks, set);
    let below = below_definition(tracks, set) == Some(true);
    let scheme = structure::scheme(tracks, set.case, below);
    let beside = scheme.as_ref().ok().map(|s| s.film.taken.value);
    kyphosis::kyphosis(make, set.case, beside);
    structure::roles(make, tracks, &scheme, set);
    classification::classification(make, &scheme, set);
}

/// Whether no frontal curve out of support has ever reached the clinic's
/// limit; `None` without any frontal curve.
fn below_definition(tracks: &[track::Track], set: &Setting) -> Option<bool> {
    let limits = &set.clinic.limits;
    let (from, inclusive) = (limits.scoliosis_from(), limits.scoliosis_inclusive());
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
