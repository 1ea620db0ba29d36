//! Facts of frontal films beside their curves: balance, shift, tilts, ribs,
//! rotation, wedging.
//!
//! By the design's policy a number is the one recomputed from a reading's
//! landmarks where they hold what it takes, else the typed one; a film's
//! number is the mean over its readers. A distance or tilt is told by its size
//! and, as a fact of its own, its side. It must not know words of letters, nor
//! judge whether typed and recomputed numbers agree: the checks do.
//!
//! [`line`] holds what is told with a side, [`level`] what belongs to a
//! vertebra, [`curve`] what belongs to a curve, [`now`] what is known now, and
//! [`estimate`] the regressions.

mod curve;
mod estimate;
mod level;
mod line;
mod now;
mod read;

pub use read::csvl;

use super::maker::Maker;
use super::track::Track;
use crate::case::{Case, Clinic, Film, View};

pub use estimate::trunk_rotation;
pub use now::now;

/// `films.<id>.frontal.*` and what each curve of a film adds to
/// `films.<id>.curves.<key>.*`.
pub fn films(make: &mut Maker, case: &Case, clinic: &Clinic, tracks: &[Track]) {
    for film in case.films.iter().filter(|f| shows(f)) {
        line::lines(make, film, clinic);
        level::levels(make, film, clinic);
    }
    curve::curves(make, case, clinic, tracks);
    for film in case.films.iter().filter(|f| shows(f)) {
        estimate::trunk_shift(make, case, film, tracks);
    }
}

/// Whether a film shows the whole frontal picture.
fn shows(film: &Film) -> bool {
    film.view.value == View::Frontal
}

/// The path of a film's frontal facts.
pub(super) fn root(film: &Film) -> String {
    format!("films.{}.frontal", film.id.value)
}
