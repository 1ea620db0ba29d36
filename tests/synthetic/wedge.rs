//! Wedged vertebrae at the apex of a bow.

use super::{Body, Bow, Column};

/// A wedge of one vertebra.
#[derive(Debug, Clone, Copy)]
pub struct Wedge {
    /// The vertebra: the apex of a bow, or one beside another wedge.
    pub level: &'static str,
    /// Angle between its endplates, in degrees, part of the bow it lies in.
    pub angle: f64,
}

/// Tilts of the endplates of the wedged bodies around an apex, level in the
/// middle of the apical body; discs between them take one degree each.
pub(super) fn nodes(column: &Column, bow: &Bow, wedges: &[Wedge]) -> Vec<(f64, f64)> {
    let angle = |body: &Body| wedges.iter().find(|w| w.level == body.level).map(|w| w.angle);
    let apex = column.bodies.iter().position(|body| body.level == bow.apex);
    let Some((at, own)) = apex.and_then(|at| Some((at, angle(&column.bodies[at])?))) else {
        return Vec::new();
    };
    let body = &column.bodies[at];
    let mut nodes = vec![(body.upper, -own / 2.0), (body.lower, own / 2.0)];
    let mut tilt = own / 2.0;
    for body in &column.bodies[at + 1..] {
        let Some(angle) = angle(body) else { break };
        nodes.extend([(body.upper, tilt + 1.0), (body.lower, tilt + 1.0 + angle)]);
        tilt += 1.0 + angle;
    }
    let mut tilt = -own / 2.0;
    for body in column.bodies[..at].iter().rev() {
        let Some(angle) = angle(body) else { break };
        nodes.extend([(body.lower, tilt - 1.0), (body.upper, tilt - 1.0 - angle)]);
        tilt -= 1.0 + angle;
    }
    nodes
}
