//! Where the spine and the words beside it stand.

use std::collections::BTreeMap;

use super::OrderFigure;
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::{Point, Type};
use crate::figure::spine::{Corners, PanelView};
use crate::spine::Level;

pub(super) const SIDE: Type = Type::bold(11.0);
pub(super) const CAPTION: Type = Type::plain(9.0);

/// From the heads to the spine and from it to its caption, in mm.
const CLEAR: f64 = 3.0;

/// Vertebral bodies on the page: x to the right, y downward; corners upper
/// left, upper right, lower right, lower left of the page.
pub(super) type Bones = BTreeMap<Level, [Point; 4]>;

/// The spine in the middle of that space, as large as its height allows;
/// nothing without a body, or where the space is too small.
pub(super) fn bones(figure: &OrderFigure, size: Size) -> Option<Bones> {
    let finite = |c: &Corners| c.iter().all(|p| p.0.is_finite() && p.1.is_finite());
    // Seen from behind the patient's left is at the page's left, and across is
    // positive to the left; facing left, the back is at the right, and across
    // is positive to the back.
    let sign = if figure.view == PanelView::Frontal { -1.0 } else { 1.0 };
    let turn = |corners: Corners| corners.map(|(across, up)| (sign * across, -up));
    let turned: Bones = figure
        .vertebrae
        .iter()
        .filter(|(_, corners)| finite(corners))
        .map(|(level, corners)| (*level, turn(*corners)))
        .collect();
    let extent = Rect::around(&turned.values().flatten().copied().collect::<Vec<_>>());
    let room = size.height - head() - foot(figure);
    let scale = (room / extent.height()).min(size.width * MIDDLE / extent.width());
    if !(scale.is_finite() && scale > 0.0) {
        return None;
    }
    let x = size.width / 2.0 - (extent.left + extent.right) / 2.0 * scale;
    let y = head() + (room - extent.height() * scale) / 2.0 - extent.top * scale;
    let place = |p: Point| (x + p.0 * scale, y + p.1 * scale);
    Some(turned.into_iter().map(|(l, c)| (l, c.map(place))).collect())
}

/// The widest the spine may be, as a share of the figure: the sides are for
/// pads, reliefs and their words.
const MIDDLE: f64 = 0.4;

pub(super) fn head() -> f64 {
    SIDE.rise() + CLEAR
}

/// Below the spine: room for the words of its lowest mark, and the captions.
pub(super) fn foot(figure: &OrderFigure) -> f64 {
    2.0 * CLEAR + figure.captions.len() as f64 * CAPTION.leading()
}

/// The middle of a vertebral body.
pub(super) fn centre(corners: &[Point; 4]) -> Point {
    let sum = corners.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    (sum.0 / 4.0, sum.1 / 4.0)
}

/// The stretch of a span of levels down the page, and its edge towards one
/// side of the page (1 right, -1 left); nothing if no level of it is shown.
pub(super) fn stretch(bones: &Bones, upper: Level, lower: Level, side: f64) -> Option<Stretch> {
    let shown = bones.iter().filter(|(level, _)| upper <= **level && **level <= lower);
    let corners: Vec<Point> = shown.flat_map(|(_, c)| c.iter().copied()).collect();
    if corners.is_empty() {
        return None;
    }
    let around = Rect::around(&corners);
    let edge = if side > 0.0 { around.right } else { around.left };
    Some(Stretch { top: around.top, bottom: around.bottom, edge })
}

/// A stretch of the spine beside one of its edges.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub top: f64,
    pub bottom: f64,
    pub edge: f64,
}

impl Stretch {
    /// The same, made longer to both ends if it is shorter than that, in mm.
    pub(super) fn at_least(self, length: f64) -> Stretch {
        let short = (length - (self.bottom - self.top)).max(0.0) / 2.0;
        Stretch { top: self.top - short, bottom: self.bottom + short, ..self }
    }
}
