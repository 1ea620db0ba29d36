//! Pads and reliefs beside the spine: where each lies, and its shape.

use super::draw::towards;
use super::place::{Bones, Stretch, stretch};
use super::{Mark, MarkKind};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point};
use crate::letter::drawing::{Dash, Ink};

/// From a bone to an arrow's head, and the arrow's length, in mm.
const NEAR: f64 = 1.6;
const ARROW: f64 = 9.0;
/// Half the height of an arrow's head, and its length, in mm.
const HEAD: (f64, f64) = (1.9, 2.6);
/// Width of a pad's bar and of a relief's frame, in mm.
const BAR: f64 = 2.0;
const FRAME: f64 = 5.0;
/// The shortest mark, in mm: a sacrum is often marked as a line.
const SHORTEST: f64 = 4.0;
/// Between a mark and one further out, in mm.
const APART: f64 = 1.5;

/// A mark beside one edge of the spine.
pub(super) struct Placed<'a> {
    pub mark: &'a Mark,
    /// Towards the page's right (1) or left (-1).
    pub side: f64,
    pub at: Stretch,
    /// Across the page, spine first.
    pub near: f64,
    pub far: f64,
}

impl Placed<'_> {
    pub(super) fn middle(&self) -> f64 {
        (self.at.top + self.at.bottom) / 2.0
    }

    fn meets(&self, other: &Placed) -> bool {
        self.side == other.side && self.at.top < other.at.bottom && other.at.top < self.at.bottom
    }
}

/// Every mark at every edge it has, pads next to the spine and a relief beside
/// the same levels further out.
pub(super) fn place<'a>(marks: &'a [Mark], bones: &Bones) -> Vec<Placed<'a>> {
    let mut placed: Vec<Placed> = Vec::new();
    let of = |kind| marks.iter().filter(move |m| m.kind == kind);
    for mark in of(MarkKind::Pad).chain(of(MarkKind::Relief)) {
        for edge in &mark.edges {
            let side = towards(*edge);
            let Some(at) = stretch(bones, mark.upper, mark.lower, side) else { continue };
            let at = at.at_least(SHORTEST);
            let near = at.edge + side * NEAR;
            let mut new = Placed { mark, side, at, near, far: near + side * width(mark) };
            let out = placed.iter().filter(|p| p.meets(&new)).map(|p| p.far * side);
            if let Some(out) = out.reduce(f64::max) {
                new.near = side * (out + APART);
                new.far = new.near + side * width(mark);
            }
            placed.push(new);
        }
    }
    placed.sort_by(|a, b| a.at.top.total_cmp(&b.at.top));
    placed
}

fn width(mark: &Mark) -> f64 {
    match mark.kind {
        MarkKind::Pad => ARROW + BAR,
        MarkKind::Relief => FRAME,
    }
}

/// A pad's bar with its arrow, or a relief's frame.
pub(super) fn draw(canvas: &mut Canvas, board: &mut Board, placed: &Placed) {
    let Placed { side, at, near, far, .. } = *placed;
    let y = placed.middle();
    match placed.mark.kind {
        MarkKind::Pad => {
            let neck = near + side * HEAD.1;
            canvas.area(rect(far - side * BAR, at.top, far, at.bottom), Ink::Ink, None);
            canvas.line(vec![(far - side * BAR / 2.0, y), (neck, y)], Ink::Ink, 1.1, Dash::Solid);
            let head = vec![(near, y), (neck, y - HEAD.0), (neck, y + HEAD.0)];
            canvas.area(head, Ink::Ink, None);
            board.take(Rect::around(&rect(far - side * BAR, at.top, far, at.bottom)));
            board.take(Rect::around(&rect(near, y - HEAD.0, far, y + HEAD.0)));
        }
        MarkKind::Relief => {
            let mut ring = rect(near, at.top, far, at.bottom);
            board.take(Rect::around(&ring));
            ring.push(ring[0]);
            canvas.line(ring, Ink::Ink, 0.5, Dash::Dashed);
        }
    }
}

fn rect(x: f64, top: f64, other: f64, bottom: f64) -> Vec<Point> {
    vec![(x, top), (other, top), (other, bottom), (x, bottom)]
}
