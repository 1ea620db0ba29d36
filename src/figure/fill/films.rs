//! The films themselves: the same three that the spine is drawn from, those of
//! them that have a picture.

use std::collections::BTreeMap;

use super::words::worded;
use super::{Shown, angle, captions, chosen, measured, size};
use crate::case::{Case, Film, Reading};
use crate::digest::Digest;
use crate::facts::compare;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::figure::Size;
use crate::figure::films::{
    FilmCurve as Lines, FilmPanel, FilmWords, Films, Pixel, Plate, ReadingLines, Way, alt, caption,
    draw,
};
use crate::letter::block::{Block, Figure};
use crate::letter::drawing::{Format, Picture, Pictures, Shape};
use crate::spine::Level;
use crate::spine::Side;
use crate::spine::frame::{FilmFrame, Plane};
use crate::spine::landmark::{Edge, LandmarkSet};

/// Size of films that stand alone, in mm: as broad as the text.
const ALONE: Size = Size { width: 156.0, height: 92.0 };

/// The films with a picture, or nothing if none has one.
pub(super) fn figure(tracks: &[&Track], plane: Plane, shown: &Shown, width: f64) -> Option<Figure> {
    let case = shown.known;
    let natural = |f: &&Film| measured(tracks, f) && compare::natural(case, f);
    let now = compare::now(case, case.films.iter().filter(natural));
    // An older film never takes the place of the film of now.
    now.and_then(picture)?;
    let films = chosen(tracks, shown, |f| picture(f).is_some());
    let panels: Vec<FilmPanel> =
        films.into_iter().filter_map(|(f, held)| panel(f, held, tracks, plane, shown)).collect();
    let model = Films { films: panels, words: worded::<FilmWords>(shown) };
    let curves = tracks.iter().filter(|t| t.films.iter().any(|c| compare::natural(case, c.film)));
    let beside = width < super::ALONE;
    let size = if beside { size(width, curves.count()) } else { ALONE };
    let drawing = draw(&model, size)?;
    Some(Figure { alt: alt(&model), caption: caption(&model), drawing })
}

fn picture(film: &Film) -> Option<&crate::case::FilmPicture> {
    film.image.as_ref()?.picture.as_deref()
}

fn panel(
    film: &Film,
    held: bool,
    tracks: &[&Track],
    plane: Plane,
    shown: &Shown,
) -> Option<FilmPanel> {
    let (picture, frame) = (picture(film)?, film.frame()?);
    if frame.plane() != plane {
        return None;
    }
    let marked = film.readings.iter().find_map(set);
    Some(FilmPanel {
        picture: picture.digest,
        pixels: (f64::from(picture.pixels.0), f64::from(picture.pixels.1)),
        scale: film.scale.as_ref().map(|s| s.value.to_millimetres_per_pixel()),
        at_left: at_left(frame),
        curves: tracks.iter().filter_map(|t| curve(t, film)).collect(),
        bodies: marked.map(bodies).unwrap_or_default(),
        captions: captions(film, shown),
        in_support: held,
    })
}

/// What lies at the viewer's left of a film.
fn at_left(frame: FilmFrame) -> Way {
    match frame {
        FilmFrame::FrontalFromBehind => Way::Left,
        FilmFrame::FrontalFromFront => Way::Right,
        FilmFrame::LateralFacingLeft => Way::Front,
        FilmFrame::LateralFacingRight => Way::Back,
    }
}

fn set(reading: &Reading) -> Option<&LandmarkSet> {
    reading.landmarks.as_ref()?.set.as_ref()
}

fn pair(edge: Edge) -> (Pixel, Pixel) {
    ((edge.left.x, edge.left.y), (edge.right.x, edge.right.y))
}

fn bodies(set: &LandmarkSet) -> Vec<[Pixel; 4]> {
    let corners = set.vertebrae.values();
    corners
        .map(|c| [c.upper_left, c.upper_right, c.lower_right, c.lower_left].map(|p| (p.x, p.y)))
        .collect()
}

/// A curve with the lines of each reading that has landmarks for it; where none
/// has, with those of the film's landmarks between the ends recorded.
fn curve(track: &Track, film: &Film) -> Option<Lines> {
    let on_film = track.films.iter().find(|c| c.film.id.value == film.id.value)?;
    let readings: Vec<ReadingLines> = on_film
        .members
        .iter()
        .filter_map(|m| lines(set(m.reading)?, m.curve.upper.value, m.curve.lower.value))
        .collect();
    let (upper, lower) = on_film.levels();
    let any = || film.readings.iter().find_map(|r| lines(set(r)?, upper, lower));
    let readings = if readings.is_empty() { any().into_iter().collect() } else { readings };
    let convex = convex(track, on_film)?;
    let shown = on_film.reported().abs();
    (!readings.is_empty()).then(|| Lines { angle: angle(shown), convex, readings })
}

fn lines(set: &LandmarkSet, upper: Level, lower: Level) -> Option<ReadingLines> {
    let plate = |level: Level, edge: Edge| Plate { level, ends: pair(edge) };
    let below = match lower {
        // Its lower edge is fused and not measured.
        Level::S1 => set.upper(lower),
        _ => set.lower(lower).or_else(|| set.upper(lower)),
    };
    Some(ReadingLines { upper: plate(upper, set.upper(upper)?), lower: plate(lower, below?) })
}

/// Where the curve is convex on that film.
fn convex(track: &Track, c: &FilmCurve) -> Option<Way> {
    let way = match (track.plane, track.side) {
        (Plane::Coronal, Some(Side::Left)) => Way::Left,
        (Plane::Coronal, Some(Side::Right)) => Way::Right,
        (Plane::Coronal, None) => return None,
        (Plane::Sagittal, _) if track.is_lordosis() => Way::Front,
        (Plane::Sagittal, _) => Way::Back,
    };
    Some(if c.reversed() { way.opposite() } else { way })
}

/// The bytes of every picture that figures show.
pub(super) fn pictures(blocks: &[Block], case: &Case) -> Pictures {
    let known: BTreeMap<Digest, Picture> = case
        .films
        .iter()
        .filter_map(picture)
        .map(|p| (p.digest, Picture { format: Format::Png, bytes: p.png.clone() }))
        .collect();
    let figures = blocks.iter().flat_map(|block| match block {
        Block::Figures { figures } => figures.as_slice(),
        _ => &[],
    });
    let named = figures.flat_map(|f| &f.drawing.shapes).filter_map(|shape| match shape {
        Shape::Picture { digest, .. } => Some(*digest),
        _ => None,
    });
    named.filter_map(|digest| Some((digest, known.get(&digest)?.clone()))).collect()
}
