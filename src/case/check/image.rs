//! The picture of a film held against its display, its landmarks and the
//! pictures of other films.

use crate::case::{Film, FilmPicture, View};
use crate::diag::Code;
use crate::spine::landmark::{LandmarkSet, Pixel};

use super::Check;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        display(look, film);
        landmarks(look, film);
    }
    shared(look);
}

fn picture(film: &Film) -> Option<&FilmPicture> {
    film.image.as_ref()?.picture.as_deref()
}

/// A hand has no sides that matter here; a spine has.
fn display(look: &mut Check, film: &Film) {
    let Some(image) = &film.image else { return };
    if film.displayed.is_none() && *film.view != View::Hand && look.whole(&film.place) {
        let message = format!("film `{}` has a picture but no display", *film.id);
        look.fault(Code::FilmImageWithoutDisplay, &image.path.place, message);
    }
}

/// Every landmark lies in the picture it was placed on.
fn landmarks(look: &mut Check, film: &Film) {
    let (Some(image), Some(picture)) = (&film.image, picture(film)) else { return };
    let (width, height) = picture.pixels;
    let outside = |p: &Pixel| {
        !(0.0..=f64::from(width)).contains(&p.x) || !(0.0..=f64::from(height)).contains(&p.y)
    };
    for marks in film.readings.iter().filter_map(|r| r.landmarks.as_ref()) {
        let Some(set) = &marks.set else { continue };
        let out: Vec<Pixel> = points(set).into_iter().filter(outside).collect();
        if let Some(first) = out.first() {
            let message = format!(
                "{} of the points of `{}` lie outside `{}`, which has {width} by {height} pixels; \
                 the first is at {}, {}",
                out.len(),
                *marks.path,
                *image.path,
                super::plain(first.x),
                super::plain(first.y),
            );
            let other = (&image.path.place, "the picture");
            look.fault_with(Code::LandmarksOutsideImage, &marks.path.place, message, other);
        }
    }
}

/// Every point of a set.
fn points(set: &LandmarkSet) -> Vec<Pixel> {
    let corners = set.vertebrae.values();
    let corners = corners.flat_map(|c| [c.upper_left, c.upper_right, c.lower_right, c.lower_left]);
    let sacrum = set.sacrum.iter().flat_map(|edge| [edge.left, edge.right]);
    corners.chain(sacrum).chain(set.marks.values().copied()).collect()
}

/// Two films cannot be one picture.
fn shared(look: &mut Check) {
    let case = look.case;
    let mut seen: Vec<&Film> = Vec::new();
    for film in &case.films {
        let (Some(image), Some(own)) = (&film.image, picture(film)) else { continue };
        let same = |other: &&&Film| picture(other).is_some_and(|p| p.digest == own.digest);
        if let Some(other) = seen.iter().find(same) {
            let message = format!("films `{}` and `{}` show the same picture", *other.id, *film.id);
            let earlier = other.image.as_ref().map_or(&other.place, |i| &i.path.place);
            let related = (earlier, "the other film's");
            look.fault_with(Code::FilmImageShared, &image.path.place, message, related);
        }
        seen.push(film);
    }
}
