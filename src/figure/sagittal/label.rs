//! Angles beside their bends and the distance of the plumb line, each where
//! there is room.

use std::ops::Range;

use super::body::{Body, centre};
use super::{Bend, Plumb, SagittalWords};
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
    let sides = [((bulk.right, y), 1.0), ((bulk.left, y), -1.0)];
    let at = |steps: Range<i32>| {
        sides.into_iter().flat_map(move |(at, side)| beside(at, side, size, steps.clone()))
    };
    // Level with its stretch on either side before further up or down.
    let places: Vec<Rect> = at(0..3).chain(at(3..14)).collect();
    let Some(place) = board.place(&places) else { return };
    canvas.text((place.left, place.top + ENDS.rise()), &ends(bend), ENDS, Anchor::Start);
    canvas.text((place.left, place.bottom), &bend.angle, ANGLE, Anchor::Start);
}

/// Width of the distance of the plumb line as it is written: its name above
/// its value.
pub(super) fn axis_width(words: &SagittalWords, plumb: &Plumb) -> f64 {
    ENDS.width(&words.axis).max(AXIS.width(&plumb.distance))
}

/// The two ends of the distance from the plumb line to the sacrum.
pub(super) struct Across {
    /// On the plumb line.
    pub plumb: Point,
    /// The back upper corner of the sacrum.
    pub corner: Point,
}

/// Sets the distance of the plumb line beside its end on that line, else
/// beside the corner of the sacrum, so that it is read with the line across.
pub(super) fn axis(
    canvas: &mut Canvas,
    board: &mut Board,
    (words, plumb): (&SagittalWords, &Plumb),
    across: &Across,
) {
    let size = (axis_width(words, plumb), ENDS.rise() + BETWEEN + AXIS.rise());
    let out = if across.plumb.0 <= across.corner.0 { -1.0 } else { 1.0 };
    let tries =
        [(across.plumb, out, 0..5), (across.corner, -out, 0..9), (across.plumb, out, 5..14)];
    let places = tries.into_iter().flat_map(|(at, side, steps)| beside(at, side, size, steps));
    let Some(place) = board.place(&places.collect::<Vec<_>>()) else { return };
    // No angle is read together with it.
    board.take(place.grown(BETWEEN));
    canvas.text((place.left, place.top + ENDS.rise()), &words.axis, ENDS, Anchor::Start);
    canvas.text((place.left, place.bottom), &plumb.distance, AXIS, Anchor::Start);
}

/// Boxes beside a point towards one side, further out and up and down.
fn beside(at: Point, side: f64, (width, height): (f64, f64), steps: Range<i32>) -> Vec<Rect> {
    let mut places = Vec::new();
    for out in [0.0, 1.0, 2.0, 3.5, 5.0, 7.0] {
        for steps in steps.clone() {
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
