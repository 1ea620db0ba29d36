//! Angles and levels on a film, each on white so that it reads on any grey.

use super::draw::{at_left, drawn_out, lines};
use super::layout::Column;
use super::{FilmCurve, Plate};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::letter::drawing::{Anchor, Ink};

const ANGLE: Type = Type::bold(9.0);
const LEVEL: Type = Type::plain(crate::figure::SMALLEST_TEXT);
/// White around a label, in mm.
const MARGIN: f64 = 0.5;

/// Angles first, then the levels of the first reading.
pub(super) fn draw(canvas: &mut Canvas, column: &Column) {
    let mut boards = Boards::of(column);
    for curve in &column.film.curves {
        let places = angle_places(column, curve);
        boards.put(canvas, &curve.angle, ANGLE, &places);
    }
    let mut done: Vec<String> = Vec::new();
    for curve in &column.film.curves {
        for reading in curve.readings.iter().take(1) {
            for plate in [reading.upper, reading.lower] {
                let text = plate.level.to_string();
                if !done.contains(&text) {
                    boards.put(canvas, &text, LEVEL, &level_places(column, curve, &plate));
                    done.push(text);
                }
            }
        }
    }
}

/// Where labels may stand: clear of lines and vertebrae; where that leaves no
/// room, clear of lines; at last anywhere but on an endplate itself.
struct Boards([Board; 3]);

impl Boards {
    fn of(column: &Column) -> Boards {
        // Beside a narrow film a label may reach over its edge.
        let (top, bottom) = (column.area.top, column.area.bottom);
        let new = || Board::new(Rect { top, bottom, ..column.column });
        let (mut clear, mut crowded, mut last) = (new(), new(), new());
        for (_, line) in lines(column) {
            clear.line(&line);
            crowded.line(&line);
        }
        for body in &column.film.bodies {
            clear.take(Rect::around(&body.map(|corner| column.at(corner))));
        }
        let readings = column.film.curves.iter().flat_map(|c| &c.readings);
        for plate in readings.flat_map(|r| [r.upper, r.lower]) {
            last.line(&[column.at(plate.ends.0), column.at(plate.ends.1)]);
        }
        Boards([clear, crowded, last])
    }

    fn put(&mut self, canvas: &mut Canvas, text: &str, face: Type, places: &[Rect]) {
        let wide: Vec<Rect> = places.iter().map(|r| r.grown(MARGIN)).collect();
        let found = self.0.iter_mut().find_map(|board| board.place(&wide));
        let Some(rect) = found else { return };
        self.0.iter_mut().for_each(|board| board.take(rect));
        let corners = vec![
            (rect.left, rect.top),
            (rect.right, rect.top),
            (rect.right, rect.bottom),
            (rect.left, rect.bottom),
        ];
        canvas.area(corners, Ink::Paper, Some((Ink::Grey, 0.1)));
        canvas.text((rect.left + MARGIN, rect.bottom - MARGIN), text, face, Anchor::Start);
    }
}

/// Beside a curve at the height of its vertebrae, on its convex side first,
/// nearer its middle first.
fn angle_places(column: &Column, curve: &FilmCurve) -> Vec<Rect> {
    let Some(reading) = curve.readings.first() else { return Vec::new() };
    let middle = |plate: &Plate| {
        let (a, b) = (column.at(plate.ends.0), column.at(plate.ends.1));
        ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
    };
    let (upper, lower) = (middle(&reading.upper), middle(&reading.lower));
    let centre = ((upper.0 + lower.0) / 2.0, (upper.1 + lower.1) / 2.0);
    let reach = (lower.1 - upper.1).abs() / 2.0;
    let convex = if at_left(column, curve.convex) { -1.0 } else { 1.0 };
    let mut out = Vec::new();
    for side in [convex, -convex] {
        for down in [0.0, -0.3, 0.3, -0.6, 0.6] {
            for away in [4.5, 5.5, 6.5, 7.5, 8.5, 10.0, 12.0, 14.0, 16.0] {
                let at = (centre.0 + side * away, centre.1 + down * reach);
                out.push(around(at, ANGLE, &curve.angle));
            }
        }
    }
    out
}

/// At the concave end of an endplate's line, above or below it.
fn level_places(column: &Column, curve: &FilmCurve, plate: &Plate) -> Vec<Rect> {
    let convex_at_left = at_left(column, curve.convex);
    let [left, right] = drawn_out(column, plate, convex_at_left);
    let ends = if convex_at_left { [right, left] } else { [left, right] };
    let text = plate.level.to_string();
    let (half, rise) = (LEVEL.width(&text) / 2.0, LEVEL.rise());
    let mut out = Vec::new();
    for end in ends {
        let outward = if end.0 < (left.0 + right.0) / 2.0 { -1.0 } else { 1.0 };
        out.push(around((end.0 + outward * (half + 1.0), end.1), LEVEL, &text));
        for aside in [1.2, -0.4, -2.0, -3.6] {
            for up in [-1.0, 1.0] {
                for away in [1.6, 2.4, 3.2] {
                    let at = (end.0 + outward * (aside - half), end.1 + up * (away + rise / 2.0));
                    out.push(around(at, LEVEL, &text));
                }
            }
        }
    }
    out
}

fn around(at: Point, face: Type, text: &str) -> Rect {
    let (half, rise) = (face.width(text) / 2.0, face.rise() / 2.0);
    Rect { left: at.0 - half, right: at.0 + half, top: at.1 - rise, bottom: at.1 + rise }
}
