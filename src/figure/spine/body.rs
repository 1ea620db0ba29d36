//! A film's vertebrae turned towards the page, in one unit for all films.

use std::collections::BTreeMap;

use super::{Corners, PanelView, SpinePanel, SpinePanels};
use crate::figure::board::Rect;
use crate::figure::canvas::Point;
use crate::spine::Level;

/// Vertebral bodies as the page shows them: x to the right, y downward; corners
/// upper left, upper right, lower right, lower left of the page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Body {
    pub bones: BTreeMap<Level, [Point; 4]>,
}

impl Body {
    /// Seen from behind, the patient's left is at the page's left: across is
    /// positive to the left, so it turns its sign. Facing left, the back is at
    /// the page's right: across keeps it.
    fn of(panel: &SpinePanel, view: PanelView) -> Body {
        let sign = match view {
            PanelView::Frontal => -1.0,
            PanelView::Lateral => 1.0,
        };
        let finite = |c: &Corners| c.iter().all(|p| p.0.is_finite() && p.1.is_finite());
        let turn = |corners: Corners| corners.map(|(across, up)| (sign * across, -up));
        let kept = panel.vertebrae.iter().filter(|(_, corners)| finite(corners));
        Body { bones: kept.map(|(level, corners)| (*level, turn(*corners))).collect() }
    }

    pub(super) fn extent(&self) -> Rect {
        let corners: Vec<Point> = self.bones.values().flatten().copied().collect();
        Rect::around(&corners)
    }

    /// Each point moved and sized.
    pub(super) fn placed(&self, scale: f64, by: Point) -> Body {
        let place = |p: Point| (by.0 + p.0 * scale, by.1 + p.1 * scale);
        Body { bones: self.bones.iter().map(|(l, c)| (*l, c.map(place))).collect() }
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

/// The bodies of all films that have landmarks, in millimetres or, where no
/// film has a scale, in pixels of the first.
pub(super) fn bodies(figure: &SpinePanels) -> Vec<(&SpinePanel, Body)> {
    let all = figure.panels.iter().map(|p| (p, Body::of(p, figure.view)));
    let mut bodies: Vec<_> = all.filter(|(_, b)| has_size(b)).collect();
    let reference = bodies.iter().find(|(p, _)| p.in_millimetres).or(bodies.first()).cloned();
    for (panel, body) in &mut bodies {
        if let Some((first, like)) = &reference
            && !(panel.in_millimetres && first.in_millimetres)
        {
            *body = body.placed(same_height(body, like), (0.0, 0.0));
        }
    }
    bodies
}

fn has_size(body: &Body) -> bool {
    let extent = body.extent();
    extent.width() > 0.0 && extent.height() > 0.0
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
