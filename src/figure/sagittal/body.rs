//! A film's points turned towards the page, in one unit for all films.

use std::collections::BTreeMap;

use super::{MOST, SagittalPanel, SagittalPanels};
use crate::figure::board::Rect;
use crate::figure::canvas::Point;
use crate::spine::Level;

/// Spine and hips as the page shows them: x to the right, which is the back,
/// y downward; corners upper front, upper back, lower back, lower front.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Body {
    pub bones: BTreeMap<Level, [Point; 4]>,
    pub heads: Vec<Point>,
}

impl Body {
    fn of(panel: &SagittalPanel) -> Body {
        let finite = |p: &&(f64, f64)| p.0.is_finite() && p.1.is_finite();
        let page = |(across, up): (f64, f64)| (across, -up);
        let whole = |c: &[Point; 4]| c.iter().filter(finite).count() == 4;
        let kept = panel.vertebrae.iter().filter(|(_, c)| whole(c));
        Body {
            bones: kept.map(|(level, c)| (*level, c.map(page))).collect(),
            heads: panel.femoral_heads.iter().filter(finite).copied().map(page).collect(),
        }
    }

    /// The box around all points.
    pub(super) fn extent(&self) -> Rect {
        let corners = self.bones.values().flatten().chain(&self.heads);
        Rect::around(&corners.copied().collect::<Vec<_>>())
    }

    /// Each point moved and sized.
    pub(super) fn placed(&self, scale: f64, by: Point) -> Body {
        let place = |p: Point| (by.0 + p.0 * scale, by.1 + p.1 * scale);
        Body {
            bones: self.bones.iter().map(|(l, c)| (*l, c.map(place))).collect(),
            heads: self.heads.iter().copied().map(place).collect(),
        }
    }

    /// The upper edge of the sacrum: its front and its back corner.
    pub(super) fn sacrum(&self) -> Option<[Point; 2]> {
        self.bones.get(&Level::S1).map(|c| [c[0], c[1]])
    }

    /// The hip axis: the middle between the femoral heads.
    pub(super) fn hips(&self) -> Option<Point> {
        match self.heads[..] {
            [one] => Some(one),
            [one, other] => Some(middle(one, other)),
            _ => None,
        }
    }

    fn height_between(&self, upper: Level, lower: Level) -> Option<f64> {
        Some(centre(self.bones.get(&lower)?).1 - centre(self.bones.get(&upper)?).1)
    }
}

/// The middle of a vertebral body.
pub(super) fn centre(corners: &[Point; 4]) -> Point {
    let sum = corners.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    (sum.0 / 4.0, sum.1 / 4.0)
}

/// Half-way between two points.
pub(super) fn middle(a: Point, b: Point) -> Point {
    ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
}

/// The films that have landmarks, in millimetres or, where one has no scale,
/// brought to the size of the first.
pub(super) fn bodies(figure: &SagittalPanels) -> Vec<(&SagittalPanel, Body)> {
    let all = figure.panels.iter().map(|p| (p, Body::of(p)));
    let mut bodies: Vec<_> = all.filter(|(_, b)| has_size(b)).take(MOST).collect();
    let Some((first, like)) = bodies.first().cloned() else { return bodies };
    for (panel, body) in bodies.iter_mut().skip(1) {
        if !(panel.in_millimetres && first.in_millimetres) {
            *body = body.placed(same_height(body, &like), (0.0, 0.0));
        }
    }
    bodies
}

fn has_size(body: &Body) -> bool {
    let extent = body.extent();
    body.bones.len() > 1 && extent.width() > 0.0 && extent.height() > 0.0
}

/// By what a film of unknown scale is multiplied so that the vertebrae both
/// films show stand as far apart; without two such, so that both are as tall.
fn same_height(body: &Body, like: &Body) -> f64 {
    let mut shared = body.bones.keys().filter(|level| like.bones.contains_key(level));
    let ends = shared.next().zip(shared.next_back());
    let heights = ends.and_then(|(upper, lower)| {
        Some((body.height_between(*upper, *lower)?, like.height_between(*upper, *lower)?))
    });
    match heights {
        Some((own, other)) if own > 0.0 && other > 0.0 => other / own,
        _ => like.extent().height() / body.extent().height(),
    }
}
