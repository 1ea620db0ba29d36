//! Marks of films: filled and joined out of support, open and alone otherwise.

use super::axis::Plot;
use super::{CoursePoint, PointKind, Series};
use crate::figure::canvas::{Canvas, Point};
use crate::letter::drawing::{Dash, Ink};
use crate::quantity::math;

/// Half the size of a mark, in mm.
pub(super) const REACH: f64 = 0.95;
const OUTLINE: f64 = 0.4;

/// Whether a film is of a kind.
pub(super) type Is = fn(&PointKind) -> bool;

/// The films that the line joins, in order of time.
pub(super) fn joined(series: &Series) -> Vec<&CoursePoint> {
    in_time(series, |kind| *kind == PointKind::OutOfSupport)
}

/// The films that stand apart, in order of time.
pub(super) fn apart(series: &Series) -> Vec<&CoursePoint> {
    in_time(series, |kind| *kind != PointKind::OutOfSupport)
}

fn in_time(series: &Series, keep: impl Fn(&PointKind) -> bool) -> Vec<&CoursePoint> {
    let mut points: Vec<_> = series.points.iter().filter(|p| keep(&p.kind)).collect();
    points.sort_by_key(|p| p.date);
    points
}

/// Corners of the line through the comparable films.
pub(super) fn track(plot: &Plot, series: &Series) -> Vec<Point> {
    joined(series).into_iter().map(|p| plot.at(p)).collect()
}

/// Upper and lower edge of the band.
pub(super) fn band_edges(plot: &Plot, series: &Series, half: f64) -> [Vec<Point>; 2] {
    [half, -half].map(|by| {
        let points = joined(series);
        points.iter().map(|p| (plot.x(p.date), plot.y(p.value.value() + by))).collect()
    })
}

/// Half the width of the band of a single film, in mm.
const ALONE: f64 = 1.6;

pub(super) fn draw_band(canvas: &mut Canvas, plot: &Plot, series: &Series, half: f64) {
    let mut edges = band_edges(plot, series, half);
    if let [[upper], [lower]] = edges.each_ref().map(Vec::as_slice) {
        let (upper, lower) = (*upper, *lower);
        edges = [upper, lower].map(|(x, y)| vec![(x - ALONE, y), (x + ALONE, y)]);
    }
    let [upper, lower] = edges;
    let ring: Vec<Point> = upper.iter().chain(lower.iter().rev()).copied().collect();
    if ring.len() > 2 {
        canvas.area(ring, Ink::Band, None);
    }
    for edge in [upper, lower] {
        canvas.line(edge, Ink::Grey, 0.12, Dash::Solid);
    }
}

/// Clear space around a mark that stands apart, so that a line passing behind
/// it is seen not to join it.
fn halo(canvas: &mut Canvas, at: Point, kind: &PointKind) {
    if *kind != PointKind::OutOfSupport {
        canvas.circle(at, REACH + 0.6, Ink::Paper, Ink::Paper, 0.0);
    }
}

/// A filled disc out of support; an open circle in a brace, an open square in
/// a cast, an open diamond where films cannot be compared.
pub(super) fn draw(canvas: &mut Canvas, at: Point, kind: &PointKind) {
    halo(canvas, at, kind);
    let open = Some((Ink::Ink, OUTLINE));
    match kind {
        PointKind::OutOfSupport => canvas.circle(at, REACH, Ink::Ink, Ink::Ink, OUTLINE),
        PointKind::InBrace => canvas.circle(at, REACH, Ink::Paper, Ink::Accent, OUTLINE),
        PointKind::InCast => canvas.area(square(at), Ink::Paper, open),
        PointKind::NotComparable(_) => canvas.area(diamond(at), Ink::Paper, open),
    }
}

fn square((x, y): Point) -> Vec<Point> {
    let r = REACH * 0.9;
    vec![(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
}

fn diamond((x, y): Point) -> Vec<Point> {
    let r = REACH * math::sqrt(1.7);
    vec![(x - r, y), (x, y - r), (x + r, y), (x, y + r)]
}
