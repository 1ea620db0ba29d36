//! The drawing of the films: pictures, lines with a light edge, then words.

use super::label;
use super::layout::{CAPTION, Column, SIDE, columns};
use super::{FilmWords, Films, Plate, Way, word};
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Point};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};

/// A line and the light edge that parts it from dark and grey, in mm.
const LINE: f64 = 0.45;
const EDGE: f64 = 1.1;

/// Draws the films in that space, or nothing where there is none or the space
/// is too small.
pub fn draw(figure: &Films, size: Size) -> Option<Drawing> {
    let columns = columns(figure, size);
    if columns.is_empty() {
        return None;
    }
    let mut canvas = Canvas::default();
    for column in &columns {
        canvas.picture(column.area, column.film.picture);
        outline(&mut canvas, column.area);
    }
    for column in &columns {
        draw_sides(&mut canvas, column, &figure.words);
        draw_lines(&mut canvas, column);
        label::draw(&mut canvas, column);
        draw_captions(&mut canvas, column);
    }
    let bottom = columns.iter().map(foot).fold(0.0, f64::max);
    for pair in columns.windows(2) {
        if pair[0].film.in_support != pair[1].film.in_support {
            let x = (pair[0].column.right + pair[1].column.left) / 2.0;
            canvas.line(vec![(x, 0.5), (x, bottom - 0.5)], Ink::Grey, 0.15, Dash::Solid);
        }
    }
    Some(canvas.finish(size.width, bottom))
}

fn outline(canvas: &mut Canvas, rect: Rect) {
    let ring = vec![
        (rect.left, rect.top),
        (rect.right, rect.top),
        (rect.right, rect.bottom),
        (rect.left, rect.bottom),
        (rect.left, rect.top),
    ];
    canvas.line(ring, Ink::Grey, 0.15, Dash::Solid);
}

/// The patient's sides over the film's own edges.
fn draw_sides(canvas: &mut Canvas, column: &Column, words: &FilmWords) {
    let left = column.film.at_left;
    let middle = (column.area.left + column.area.right) / 2.0;
    let y = column.area.top - 0.9;
    for (x, way, anchor) in
        [(column.area.left, left, Anchor::Start), (column.area.right, left.opposite(), Anchor::End)]
    {
        let text = word(&words.sides, way);
        // Words broader than a narrow film stand around its middle.
        let width = SIDE.width(text);
        let x = match anchor {
            Anchor::Start => x.min(middle - 1.0 - width).max(column.column.left),
            _ => x.max(middle + 1.0 + width).min(column.column.right),
        };
        canvas.text((x, y), text, SIDE, anchor);
    }
}

/// The lines of every reading: the first solid, others dashed.
fn draw_lines(canvas: &mut Canvas, column: &Column) {
    for (dash, line) in lines(column) {
        canvas.line(line.to_vec(), Ink::Paper, EDGE, Dash::Solid);
        canvas.line(line.to_vec(), Ink::Ink, LINE, dash);
    }
}

/// All lines of a film, with their dashes.
pub(super) fn lines(column: &Column) -> Vec<(Dash, [Point; 2])> {
    let of = |curve: &super::FilmCurve| {
        let convex = curve.convex == column.film.at_left;
        let readings = curve.readings.iter().enumerate();
        let lines = readings.flat_map(move |(n, reading)| {
            let dash = if n == 0 { Dash::Solid } else { Dash::Dashed };
            [reading.upper, reading.lower].map(|plate| (dash, drawn_out(column, &plate, convex)))
        });
        lines.collect::<Vec<_>>()
    };
    column.film.curves.iter().flat_map(of).collect()
}

/// How far a line is drawn out beyond its endplate, in lengths of it: little
/// on the convex side, more on the concave one, where the lines meet.
const CONVEX: f64 = 0.35;
const CONCAVE: f64 = 1.0;

/// An endplate drawn out to both sides, within the film.
pub(super) fn drawn_out(column: &Column, plate: &Plate, convex_at_left: bool) -> [Point; 2] {
    let (left, right) = (column.at(plate.ends.0), column.at(plate.ends.1));
    let (dx, dy) = (right.0 - left.0, right.1 - left.1);
    let (before, after) = if convex_at_left { (CONVEX, CONCAVE) } else { (CONCAVE, CONVEX) };
    let ends = [
        (left.0 - dx * before, left.1 - dy * before),
        (right.0 + dx * after, right.1 + dy * after),
    ];
    [cut(left, ends[0], column.area), cut(right, ends[1], column.area)]
}

/// The end of a line from a point inside a box towards another one, at the
/// box's edge if it would leave it.
fn cut(from: Point, to: Point, area: Rect) -> Point {
    let share = |start: f64, end: f64, low: f64, high: f64| {
        if end > high {
            (high - start) / (end - start)
        } else if end < low {
            (low - start) / (end - start)
        } else {
            1.0
        }
    };
    let across = share(from.0, to.0, area.left, area.right);
    let down = share(from.1, to.1, area.top, area.bottom);
    let share = across.min(down).clamp(0.0, 1.0);
    (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
}

/// Where a column's words end.
fn foot(column: &Column) -> f64 {
    column.area.bottom + 1.0 + column.captions.len() as f64 * CAPTION.leading()
}

fn draw_captions(canvas: &mut Canvas, column: &Column) {
    let middle = (column.column.left + column.column.right) / 2.0;
    for (n, line) in column.captions.iter().enumerate() {
        let y = column.area.bottom + 1.0 + CAPTION.rise() + n as f64 * CAPTION.leading();
        canvas.text((middle, y), line, CAPTION, Anchor::Middle);
    }
}

/// Whether a direction is at the viewer's left of a film.
pub(super) fn at_left(column: &Column, way: Way) -> bool {
    column.film.at_left == way
}
