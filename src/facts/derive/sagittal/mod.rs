//! Facts from lateral films.
//!
//! | path | what |
//! |---|---|
//! | `films.<id>.sagittal.<item>` | a measurement on one film: the mean over its readings |
//! | `films.<id>.sagittal.wedges.<level>` | wedging of one vertebra |
//! | `sagittal.now.<item>`, `..._taken`, `..._film` | from the latest standing film out of support that has it |
//! | `sagittal.change.<item>.{since_previous, since_first}.*` | between two such films, same named end vertebrae |
//! | `sagittal.flexibility.<item>.*` | over a bolster against standing |
//! | `sagittal.modifier.*`, `sagittal.range.*`, `sagittal.expected.*` | published tables held against it |
//! | `sagittal.wedges.*` | criteria of Scheuermann's disease |
//! | `early_onset.*` | size classes of small children |
//!
//! A kyphosis between end vertebrae of a reader's own choice is a curve and
//! stays among `curves.*`; here ends are named and the same on every film.

mod change;
mod film;
mod judge;
mod now;
mod wedges;

pub use now::films_with;

use super::maker::Maker;
use super::span::Setting;
use super::track::Track;
use crate::case::View;

/// `films.<id>.sagittal.*` of every lateral film.
pub fn films(make: &mut Maker, set: &Setting) {
    for film in set.case.films.iter().filter(|f| f.view.value == View::Lateral) {
        film::film(make, set, film);
        wedges::film(make, film);
    }
}

/// `sagittal.*` and `early_onset.*`, from the facts of the films.
pub fn overall(make: &mut Maker, set: &Setting, tracks: &[Track]) {
    now::now(make, set.case);
    change::changes(make, set);
    change::flexibility(make, set.case);
    wedges::criteria(make, set);
    judge::modifiers(make, set.case);
    judge::ranges(make, set.case);
    judge::expectations(make, set.case);
    judge::repeatability(make, set);
    judge::early_onset(make, set, tracks);
}
