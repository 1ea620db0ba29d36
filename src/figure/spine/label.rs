//! Angles on the convex side, levels on the concave, each where there is room.

use std::collections::BTreeMap;

use super::body::{Body, centre};
use super::{Convexity, PanelCurve, SpinePanel};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::letter::drawing::{Anchor, Ink};
use crate::spine::{Apex, Level};

pub(super) const ANGLE: Type = Type::bold(10.0).inked(Ink::Accent);
pub(super) const LEVEL: Type = Type::plain(crate::figure::SMALLEST_TEXT);

/// From a bone or the end of a line to its label, in mm.
const NEAR: f64 = 0.8;
/// How far endplate lines reach beyond the bone, in bone widths: towards the
/// concave side, where they meet, and towards the convex.
const REACH_CONCAVE: f64 = 0.75;
const REACH_CONVEX: f64 = 0.3;
/// Room for the reach of a line beside a level's label, in mm.
const LINE_ROOM: f64 = 3.4;

/// Towards the page's right (1) or left (-1).
pub(super) fn towards(convex: Convexity) -> f64 {
    match convex {
        Convexity::Left | Convexity::Front => -1.0,
        Convexity::Right | Convexity::Back => 1.0,
    }
}

/// The apex as printed: a disc as `T11–T12`.
pub(super) fn apex_text(apex: Apex) -> String {
    match apex {
        Apex::Vertebra(level) => level.to_string(),
        Apex::Disc(upper, lower) => format!("{upper}–{lower}"),
    }
}

fn apex_levels(apex: Apex) -> Vec<Level> {
    match apex {
        Apex::Vertebra(level) => vec![level],
        Apex::Disc(upper, lower) => vec![upper, lower],
    }
}

/// Vertebrae that a film's curves name; they are filled.
pub(super) fn marked(panel: &SpinePanel) -> Vec<Level> {
    let of = |c: &PanelCurve| [vec![c.upper, c.lower], apex_levels(c.apex)].concat();
    panel.curves.iter().flat_map(of).collect()
}

/// Room that labels need at the page's left and right of a spine, in mm.
pub(super) fn side_room(panel: &SpinePanel) -> (f64, f64) {
    let mut room = (0.0f64, 0.0f64);
    for curve in &panel.curves {
        let angle = ANGLE.width(&curve.angle) + 2.0 * NEAR;
        let ends = [curve.upper, curve.lower].map(|l| LEVEL.width(&l.to_string()));
        let level = ends[0].max(ends[1]) + LINE_ROOM + NEAR;
        let (left, right) =
            if towards(curve.convex) > 0.0 { (level, angle) } else { (angle, level) };
        room = (room.0.max(left), room.1.max(right));
    }
    room
}

/// A measured endplate drawn out beyond its bone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Endplate {
    pub level: Level,
    pub concave: Point,
    pub convex: Point,
}

/// The two endplates of a curve that the film shows: the upper of its upper
/// end, the lower of its lower end. The sacrum is measured at its upper
/// endplate, the only one it has.
pub(super) fn endplates(body: &Body, curve: &PanelCurve) -> Vec<Endplate> {
    let upper = body.bones.get(&curve.upper).map(|c| (curve.upper, c[0], c[1]));
    let lower = body.bones.get(&curve.lower).map(|c| match curve.lower {
        Level::S1 => (Level::S1, c[0], c[1]),
        level => (level, c[3], c[2]),
    });
    let side = towards(curve.convex);
    [upper, lower].into_iter().flatten().map(|ends| endplate(ends, side)).collect()
}

fn endplate((level, left, right): (Level, Point, Point), side: f64) -> Endplate {
    let (concave, convex) = if side > 0.0 { (left, right) } else { (right, left) };
    let beyond = |from: Point, to: Point, by: f64| {
        (to.0 + (to.0 - from.0) * by, to.1 + (to.1 - from.1) * by)
    };
    Endplate {
        level,
        concave: beyond(convex, concave, REACH_CONCAVE),
        convex: beyond(concave, convex, REACH_CONVEX),
    }
}

/// Draws the angles first, then the levels: where room is short a level gives
/// way, an angle does not.
pub(super) fn draw(canvas: &mut Canvas, board: &mut Board, panel: &SpinePanel, body: &Body) {
    for curve in &panel.curves {
        if let Some(at) = apex_point(body, curve) {
            let side = towards(curve.convex);
            put(canvas, board, &curve.angle, ANGLE, beside(at, side, ANGLE, &curve.angle));
        }
    }
    let mut done: BTreeMap<String, ()> = BTreeMap::new();
    for curve in &panel.curves {
        for (text, candidates) in level_labels(body, curve) {
            if done.insert(text.clone(), ()).is_none() {
                put(canvas, board, &text, LEVEL, candidates);
            }
        }
    }
}

fn put(canvas: &mut Canvas, board: &mut Board, text: &str, face: Type, candidates: Vec<Rect>) {
    if let Some(rect) = board.place(&candidates) {
        canvas.text((rect.left, rect.bottom), text, face, Anchor::Start);
    }
}

/// The convex edge of the apex; of a curve whose apex the film does not show,
/// half-way between its ends.
fn apex_point(body: &Body, curve: &PanelCurve) -> Option<Point> {
    let levels = apex_levels(curve.apex);
    let mut bones: Vec<&[Point; 4]> = levels.iter().filter_map(|l| body.bones.get(l)).collect();
    if bones.is_empty() {
        bones = [curve.upper, curve.lower].iter().filter_map(|l| body.bones.get(l)).collect();
    }
    edge(&bones, towards(curve.convex))
}

/// The middle of the edge of some bones towards one side.
fn edge(bones: &[&[Point; 4]], side: f64) -> Option<Point> {
    let xs = bones.iter().flat_map(|c| c.iter()).map(|p| p.0 * side);
    let y = bones.iter().map(|c| centre(c).1).sum::<f64>() / bones.len() as f64;
    let x = xs.fold(f64::NEG_INFINITY, f64::max) * side;
    (!bones.is_empty()).then_some((x, y))
}

/// Boxes beside a point towards one side, further out and up and down.
fn beside(at: Point, side: f64, face: Type, text: &str) -> Vec<Rect> {
    let (width, height) = (face.width(text), face.rise());
    let mut out = Vec::new();
    for down in [0.0, -0.5, 0.5, -1.0, 1.0, -1.6, 1.6, -2.4, 2.4, -3.2, 3.2] {
        for out_by in [NEAR, 1.4, 2.2, 3.2, 4.5] {
            let middle = at.0 + side * (out_by + width / 2.0);
            let y = at.1 + down * height;
            out.push(Rect {
                left: middle - width / 2.0,
                right: middle + width / 2.0,
                top: y - height / 2.0,
                bottom: y + height / 2.0,
            });
        }
    }
    out
}

/// Labels of a curve's ends and apex, with the places each may take.
fn level_labels(body: &Body, curve: &PanelCurve) -> Vec<(String, Vec<Rect>)> {
    let concave = -towards(curve.convex);
    let mut out = Vec::new();
    for plate in endplates(body, curve) {
        let text = plate.level.to_string();
        let bone = &body.bones[&plate.level];
        let mut places = beside(plate.concave, concave, LEVEL, &text);
        for side in [concave, -concave] {
            places.extend(edge(&[bone], side).iter().flat_map(|e| beside(*e, side, LEVEL, &text)));
        }
        out.push((text, places));
    }
    let levels = apex_levels(curve.apex);
    let bones: Vec<&[Point; 4]> = levels.iter().filter_map(|l| body.bones.get(l)).collect();
    let text = apex_text(curve.apex);
    let places: Vec<Rect> = [concave, -concave]
        .into_iter()
        .filter_map(|side| Some((side, edge(&bones, side)?)))
        .flat_map(|(side, at)| beside(at, side, LEVEL, &text))
        .collect();
    if !places.is_empty() {
        out.push((text, places));
    }
    out
}
