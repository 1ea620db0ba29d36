//! Curves found from the landmarks, and recorded curves held against them.
//!
//! Going down the column, the tilt of the vertebrae rises and falls; a curve
//! runs from one turning point to the next. Its end vertebrae are the most
//! tilted ones, its apex the most laterally deviated vertebra or disc
//! ([`COBB_ORTHOFRACS`](crate::evidence::works::COBB_ORTHOFRACS)). Turning
//! points of a degree or two are noise of the pointer: the smallest swing is
//! smoothed away until every swing left is at least the size asked for.
//! Nothing here knows what a reader recorded unless it is handed in.

use super::cobb::{CobbAngle, Convexity, GeometryError, cobb, turn};
use super::frame::{PatientSpine, Point, Vertebra};
use super::{Apex, Column, Level};
use crate::quantity::math;

/// The smallest curve in degrees that is looked for unless asked otherwise.
/// Our own choice, half of the usual definition of scoliosis.
pub const SMALLEST_CURVE: f64 = 5.0;

/// Tilts closer than this in degrees count as equal.
const EQUAL_TILT: f64 = 1e-9;

/// Deviations closer than this in the spine's grid count as equal.
const EQUAL_DEVIATION: f64 = 1e-9;

/// A curve found from the landmarks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundCurve {
    /// Most tilted vertebra at its upper end.
    pub upper: Level,
    /// Most deviated vertebra or disc.
    pub apex: Apex,
    /// Most tilted vertebra at its lower end.
    pub lower: Level,
    /// The way it bulges.
    pub convexity: Convexity,
    /// The angle between its ends.
    pub cobb: CobbAngle,
    /// The upper end is the highest marked vertebra: the true one may lie
    /// above.
    pub upper_at_edge: bool,
    /// The lower end is the lowest marked vertebra: the true one may lie
    /// below.
    pub lower_at_edge: bool,
}

/// The curves of at least `smallest` degrees, from the head down; a frontal
/// film gives curves to a side, a lateral one kyphosis and lordosis.
pub fn find_curves(spine: &PatientSpine, column: Column, smallest: f64) -> Vec<FoundCurve> {
    let run: Vec<&Vertebra> = spine.vertebrae().collect();
    let tilts = middle_tilts(&run);
    let mut turns = turning_points(&tilts);
    smooth(&run, &mut turns, smallest);
    (0..turns.len().saturating_sub(1))
        .filter_map(|k| found(spine, column, &run, &turns, k))
        .filter(|curve| curve.cobb.size().to_degrees() >= smallest)
        .collect()
}

/// The tilt of each body, half-way between its endplates, unwound from the
/// first so that no step passes half a turn.
fn middle_tilts(run: &[&Vertebra]) -> Vec<f64> {
    let mut tilts = Vec::with_capacity(run.len());
    let mut before: Option<(f64, f64)> = None;
    for vertebra in run {
        let upper = vertebra.upper.tilt();
        let middle = turn(upper + turn(vertebra.closing().tilt() - upper) / 2.0);
        let unwound = before.map_or(middle, |(raw, unwound)| unwound + turn(middle - raw));
        before = Some((middle, unwound));
        tilts.push(unwound);
    }
    tilts
}

/// Positions where the tilt turns from rising to falling or back, the first
/// and the last included.
fn turning_points(tilts: &[f64]) -> Vec<usize> {
    let mut turns: Vec<usize> = Vec::new();
    for at in 0..tilts.len() {
        if let [.., a, b] = turns[..] {
            let onward = (tilts[b] - tilts[a]) * (tilts[at] - tilts[b]);
            if onward >= 0.0 {
                turns.pop();
            }
        }
        turns.push(at);
    }
    turns
}

/// The signed angle from the upper endplate of one vertebra to the closing
/// one of another: positive when convex to the left or back.
fn swing(run: &[&Vertebra], upper: usize, lower: usize) -> f64 {
    turn(run[upper].upper.tilt() - run[lower].closing().tilt())
}

/// Removes the smallest swing until every one left reaches `smallest`.
///
/// A small swing inside the column goes with both its turning points, so that
/// its neighbours join; at the end of the column only the outer one goes.
fn smooth(run: &[&Vertebra], turns: &mut Vec<usize>, smallest: f64) {
    while turns.len() >= 2 {
        let size = |k: &usize| swing(run, turns[*k], turns[k + 1]).abs();
        let last = turns.len() - 2;
        let Some(k) = (0..=last).min_by(|a, b| size(a).total_cmp(&size(b))) else { return };
        if size(&k) >= smallest {
            return;
        }
        match k {
            _ if last == 0 => turns.clear(),
            0 => drop(turns.remove(0)),
            k if k == last => drop(turns.pop()),
            k => drop(turns.drain(k..=k + 1)),
        }
    }
}

/// The curve between two neighbouring turning points, with its most tilted
/// ends: each may lie anywhere between the turning points beside its own.
fn found(
    spine: &PatientSpine,
    column: Column,
    run: &[&Vertebra],
    turns: &[usize],
    k: usize,
) -> Option<FoundCurve> {
    let (first, last) = (turns[k], turns[k + 1]);
    let sign = swing(run, first, last).signum();
    let above = if k == 0 { 0 } else { turns[k - 1] + 1 };
    let below = turns.get(k + 2).map_or(run.len() - 1, |next| next - 1);
    let upper = most_tilted((above..last).rev(), last, |at, to| sign * swing(run, at, to));
    let lower = most_tilted(upper + 1..=below, upper, |at, to| sign * swing(run, to, at));
    let cobb = cobb(spine, run[upper].level, run[lower].level).ok()?;
    Some(FoundCurve {
        upper: run[upper].level,
        apex: apex(spine, column, run[upper].level, run[lower].level).ok()??,
        lower: run[lower].level,
        convexity: cobb.convexity()?,
        cobb,
        upper_at_edge: upper == 0,
        lower_at_edge: lower == run.len() - 1,
    })
}

/// The candidate with the largest swing to a fixed vertebra; of equally
/// tilted ones the last, which is the farther from the apex.
fn most_tilted(
    candidates: impl Iterator<Item = usize>,
    fixed: usize,
    swing: impl Fn(usize, usize) -> f64,
) -> usize {
    let mut best = (fixed, f64::NEG_INFINITY);
    for at in candidates {
        let size = swing(at, fixed);
        if size >= best.1 - EQUAL_TILT {
            best = (at, size);
        }
    }
    best.0
}

/// The apex between two end vertebrae: the vertebra or disc between them that
/// deviates most from the vertical, to the convex side.
///
/// Where the whole stretch leans so far that nothing between its ends is the
/// most deviated, the line between the ends takes the place of the vertical.
/// `None` if nothing is marked between the ends.
pub fn apex(
    spine: &PatientSpine,
    column: Column,
    upper: Level,
    lower: Level,
) -> Result<Option<Apex>, GeometryError> {
    let angle = cobb(spine, upper, lower)?;
    let sign = angle.signed().to_degrees().signum();
    let ends = (end_centre(spine, upper)?, end_centre(spine, lower)?);
    let inside = between(spine, column, upper, lower);
    let most = |measure: &dyn Fn(Point) -> f64| {
        inside.iter().map(|(apex, at)| (*apex, measure(*at))).reduce(farther)
    };
    let plumb = |at: Point| sign * at.across;
    let beyond_ends = |deviation: f64| deviation > plumb(ends.0).max(plumb(ends.1));
    let upright = most(&plumb).filter(|(_, deviation)| beyond_ends(*deviation));
    let found = upright.or_else(|| most(&|at| sign * off_line(at, ends)));
    Ok(found.map(|(apex, _)| apex))
}

/// The more deviated of two places; of equal ones a vertebra before a disc,
/// then the higher.
fn farther(best: (Apex, f64), next: (Apex, f64)) -> (Apex, f64) {
    let equal = (next.1 - best.1).abs() <= EQUAL_DEVIATION;
    let whole = matches!((best.0, next.0), (Apex::Disc(..), Apex::Vertebra(_)));
    if (equal && whole) || (!equal && next.1 > best.1) { next } else { best }
}

fn end_centre(spine: &PatientSpine, level: Level) -> Result<Point, GeometryError> {
    spine.vertebra(level).map(Vertebra::centre).ok_or(GeometryError::NotMarked(level))
}

/// Vertebrae and discs strictly between two vertebrae, the end discs
/// included.
fn between(spine: &PatientSpine, column: Column, upper: Level, lower: Level) -> Vec<(Apex, Point)> {
    let mut places = Vec::new();
    for vertebra in spine.vertebrae().filter(|v| upper <= v.level && v.level < lower) {
        if vertebra.level > upper {
            places.push((Apex::Vertebra(vertebra.level), vertebra.centre()));
        }
        if let Some((below, at)) = spine.disc_below(vertebra.level, column) {
            places.push((Apex::Disc(vertebra.level, below), at));
        }
    }
    places
}

/// Distance of a point from the line between two others, positive toward the
/// patient's left or back for a line that runs toward the feet.
fn off_line(at: Point, (head, foot): (Point, Point)) -> f64 {
    let (across, up) = (foot.across - head.across, foot.up - head.up);
    let length = math::hypot(across, up);
    if length == 0.0 {
        return at.across - head.across;
    }
    (across * (at.up - head.up) - up * (at.across - head.across)) / length
}

/// A recorded curve held against the landmarks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// The angle between the recorded ends.
    pub recorded: CobbAngle,
    /// The curve of the same bend with the most tilted ends, if one is found.
    pub found: Option<FoundCurve>,
    /// Levels from the recorded to the most tilted upper end: positive when
    /// the most tilted one lies lower.
    pub upper_off: Option<i32>,
    /// Levels from the recorded to the most tilted lower end: positive when
    /// the most tilted one lies lower.
    pub lower_off: Option<i32>,
    /// Degrees by which the angle at the most tilted ends exceeds the one at
    /// the recorded ends.
    pub degrees_more: Option<f64>,
    /// Whether the bodies between the ends deviate to the side that the tilts
    /// of the ends say; a curve of sound landmarks always does.
    pub bows_as_tilted: Option<bool>,
}

/// Holds the recorded ends of a curve against the most tilted ones.
pub fn agreement(
    spine: &PatientSpine,
    column: Column,
    upper: Level,
    lower: Level,
) -> Result<Agreement, GeometryError> {
    let recorded = cobb(spine, upper, lower)?;
    let same_bend = |c: &FoundCurve| Some(c.convexity) == recorded.convexity();
    let found = find_curves(spine, column, SMALLEST_CURVE)
        .into_iter()
        .filter(same_bend)
        .map(|curve| (shared(column, (upper, lower), (curve.upper, curve.lower)), curve))
        .filter(|(levels, _)| *levels > 0)
        .max_by_key(|(levels, _)| *levels)
        .map(|(_, curve)| curve);
    Ok(Agreement {
        recorded,
        found,
        upper_off: found.and_then(|c| levels_off(column, upper, c.upper)),
        lower_off: found.and_then(|c| levels_off(column, lower, c.lower)),
        degrees_more: found.map(|c| c.cobb.size().to_degrees() - recorded.size().to_degrees()),
        bows_as_tilted: bows_as_tilted(spine, column, upper, lower, recorded)?,
    })
}

/// How many steps of the column two curves share.
fn shared(column: Column, a: (Level, Level), b: (Level, Level)) -> i32 {
    let index = |level| column.index(level).map_or(0, |i| i as i32);
    index(a.1).min(index(b.1)) - index(a.0).max(index(b.0))
}

fn levels_off(column: Column, from: Level, to: Level) -> Option<i32> {
    Some(column.index(to)? as i32 - column.index(from)? as i32)
}

fn bows_as_tilted(
    spine: &PatientSpine,
    column: Column,
    upper: Level,
    lower: Level,
    angle: CobbAngle,
) -> Result<Option<bool>, GeometryError> {
    let Some(convexity) = angle.convexity() else { return Ok(None) };
    let ends = (end_centre(spine, upper)?, end_centre(spine, lower)?);
    let largest = between(spine, column, upper, lower)
        .into_iter()
        .map(|(_, at)| off_line(at, ends))
        .reduce(|a, b| if b.abs() > a.abs() { b } else { a });
    Ok(largest.map(|off| Convexity::of_sign(spine.plane(), off) == convexity))
}
