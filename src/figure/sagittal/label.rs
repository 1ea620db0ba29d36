//! Angles beside their bends and the distance of the plumb line, each where
//! there is room.

use super::Bend;
use super::body::{Body, centre};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::letter::drawing::{Anchor, Ink};
use crate::spine::Level;

pub(super) const ANGLE: Type = Type::bold(10.0).inked(Ink::Accent);
pub(super) const ENDS: Type = Type::plain(crate::figure::SMALLEST_TEXT);
pub(super) const AXIS: Type = Type::bold(crate::figure::SMALLEST_TEXT);

/// From a bone or a line to a label beside it, in mm.
pub(super) const BESIDE: f64 = 1.2;
/// Between the two lines of a bend's label.
const BETWEEN: f64 = 1.0;

/// The ends of a bend as printed.
fn ends(bend: &Bend) -> String {
    format!("{}–{}", bend.upper, bend.lower)
}

/// Width and height of a bend's label.
pub(super) fn bend_size(bend: &Bend) -> (f64, f64) {
    let width = ENDS.width(&ends(bend)).max(ANGLE.width(&bend.angle));
    (width, ENDS.rise() + BETWEEN + ANGLE.rise())
}

/// Sets a bend's label behind the middle of its stretch, or in front of it
/// where there is no room behind.
pub(super) fn bend(canvas: &mut Canvas, board: &mut Board, body: &Body, bend: &Bend) {
    let within = |l: &Level| bend.upper <= *l && *l <= bend.lower;
    let bones: Vec<&[Point; 4]> =
        body.bones.iter().filter(|(l, _)| within(l)).map(|(_, c)| c).collect();
    if bones.is_empty() {
        return;
    }
    let y = bones.iter().map(|c| centre(c).1).sum::<f64>() / bones.len() as f64;
    let size = bend_size(bend);
    let near = |reach: f64| bones.iter().filter(move |c| (centre(c).1 - y).abs() < reach);
    let corners: Vec<Point> = near(size.1 * 1.5).flat_map(|c| c.iter().copied()).collect();
    let bulk = if corners.is_empty() { body.extent() } else { Rect::around(&corners) };
    let mut places = Vec::new();
    for (x, side) in [(bulk.right, 1.0), (bulk.left, -1.0)] {
        places.extend(beside((x, y), side, size));
    }
    let Some(place) = board.place(&places) else { return };
    canvas.text((place.left, place.top + ENDS.rise()), &ends(bend), ENDS, Anchor::Start);
    canvas.text((place.left, place.bottom), &bend.angle, ANGLE, Anchor::Start);
}

/// Sets the distance of the plumb line beside it, on the side that the
/// sacrum does not lie on.
pub(super) fn axis(canvas: &mut Canvas, board: &mut Board, text: &str, at: Point, side: f64) {
    let size = (AXIS.width(text), AXIS.rise());
    let places: Vec<Rect> =
        [side, -side].into_iter().flat_map(|side| beside(at, side, size)).collect();
    if let Some(place) = board.place(&places) {
        canvas.text((place.left, place.bottom), text, AXIS, Anchor::Start);
    }
}

/// Boxes beside a point towards one side, further out and up and down.
fn beside(at: Point, side: f64, (width, height): (f64, f64)) -> Vec<Rect> {
    let mut places = Vec::new();
    for out in [0.0, 1.0, 2.0, 3.5, 5.0] {
        for steps in 0..14 {
            let away = f64::from(steps / 2 + steps % 2) * 0.6 * height;
            let y = if steps % 2 == 0 { at.1 + away } else { at.1 - away };
            let middle = at.0 + side * (BESIDE + out + width / 2.0);
            places.push(Rect {
                left: middle - width / 2.0,
                right: middle + width / 2.0,
                top: y - height / 2.0,
                bottom: y + height / 2.0,
            });
        }
    }
    places
}
