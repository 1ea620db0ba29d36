//! Rib-vertebra angles of one vertebra, and their difference.
//!
//! On each side the angle stands between the normal of the vertebra's lower
//! endplate, pointing down, and the rib's axis from the middle of its head to
//! the middle of its neck
//! ([`RIB_CONSTRUCTION`](crate::evidence::works::RIB_CONSTRUCTION)): a rib that
//! hangs more has a smaller angle. The difference (RVAD) is the concave angle
//! minus the convex one
//! ([`RIB_DEFINITION`](crate::evidence::works::RIB_DEFINITION)); it may fall
//! below zero. Angles need no scale.

use super::balance::pair;
use super::cobb::GeometryError;
use super::frame::{Endplate, PatientSpine, Point};
use super::landmark::Mark;
use super::{Level, Side};
use crate::evidence::{Constant, Source, works};
use crate::quantity::{Angle, Reported, Unit, math};

/// From this difference on a curve of infancy is likely to progress.
pub const LIKELY_FROM: Constant = Constant {
    value: 20.0,
    unit: Unit::Degree,
    source: Source::read(
        &works::RIB_DEFINITION,
        "a difference of 20 degrees or more: likely to progress",
    ),
};

/// The limit a later study found.
pub const LIKELY_FROM_LATER: Constant = Constant {
    value: 17.1,
    unit: Unit::Degree,
    source: Source::read(
        &works::RIB_LATER_LIMIT,
        "a lower limit, 17.1 degrees, with a call for caution",
    ),
};

/// How well a difference repeats: 82 % of repeats lie within this many degrees.
pub const REPEATS_WITHIN: Constant = Constant {
    value: 10.0,
    unit: Unit::Degree,
    source: Source::read(
        &works::RIB_RELIABILITY,
        "82 % of repeated differences lie within 10 degrees, 18 % beyond; not a 95 % limit",
    ),
};

/// Whether a difference as reported reaches a limit; the limit itself counts.
pub fn reaches(difference: Reported, limit: &Constant) -> bool {
    difference.value() >= limit.value
}

/// The angles of the two ribs of one vertebra.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RibAngles {
    left: f64,
    right: f64,
}

impl RibAngles {
    /// The angle on a side of the patient.
    pub fn on(self, side: Side) -> Angle {
        Angle::degrees(match side {
            Side::Left => self.left,
            Side::Right => self.right,
        })
    }

    /// The difference at a curve convex to a side: concave minus convex.
    pub fn difference(self, convex: Side) -> Angle {
        Angle::degrees(self.on(convex.opposite()).to_degrees() - self.on(convex).to_degrees())
    }
}

/// The rib-vertebra angles at a level; frontal films.
pub fn rib_angles(spine: &PatientSpine, level: Level) -> Result<RibAngles, GeometryError> {
    let (right_head, left_head) = pair(spine, Mark::RibHead(level))?;
    let (right_neck, left_neck) = pair(spine, Mark::RibNeck(level))?;
    let body = spine.vertebra(level).ok_or(GeometryError::NotMarked(level))?;
    let plate = body.lower.ok_or(GeometryError::NoLowerEdge(level))?;
    let has_direction = plate.length() > 0.0;
    if !has_direction {
        return Err(GeometryError::NoDirection(level));
    }
    let angle =
        |head, neck| from_normal(plate, head, neck).ok_or(GeometryError::NoDirection(level));
    Ok(RibAngles { left: angle(left_head, left_neck)?, right: angle(right_head, right_neck)? })
}

/// The angle between the downward normal of an endplate and a rib's axis, 0 to
/// 180 degrees; `None` if head and neck fall on one point.
fn from_normal(plate: Endplate, head: Point, neck: Point) -> Option<f64> {
    // The endplate runs from right to left; a quarter turn clockwise points down.
    let down = (plate.end.up - plate.start.up, -(plate.end.across - plate.start.across));
    let rib = (neck.across - head.across, neck.up - head.up);
    let cross = down.0 * rib.1 - down.1 * rib.0;
    let along = down.0 * rib.0 + down.1 * rib.1;
    (math::hypot(rib.0, rib.1) > 0.0).then(|| math::atan2_degrees(cross.abs(), along))
}

/// The levels at which ribs are marked, from the head down.
pub fn marked_ribs(spine: &PatientSpine) -> Vec<Level> {
    let heads = spine.marked().into_iter().filter_map(|mark| match mark {
        Mark::RibHead(level) => Some(level),
        _ => None,
    });
    heads.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, LandmarkSet, Pixel, Viewed};

    /// A level T9. The viewer's right rib falls 4 px over 3 px (36.8699 from
    /// the vertical), the left one 3 px over 4 px (53.1301).
    fn film() -> LandmarkSet {
        let at = |x, y| Pixel { x, y };
        let t9 = Corners {
            upper_left: at(0.0, 0.0),
            upper_right: at(100.0, 0.0),
            lower_right: at(100.0, 60.0),
            lower_left: at(0.0, 60.0),
        };
        let mut set = LandmarkSet { vertebrae: [(Level::T(9), t9)].into(), ..Default::default() };
        for (mark, viewed, point) in [
            (Mark::RibHead(Level::T(9)), Viewed::Left, at(-5.0, 5.0)),
            (Mark::RibNeck(Level::T(9)), Viewed::Left, at(-9.0, 8.0)),
            (Mark::RibHead(Level::T(9)), Viewed::Right, at(105.0, 5.0)),
            (Mark::RibNeck(Level::T(9)), Viewed::Right, at(108.0, 9.0)),
        ] {
            set.marks.insert((mark, viewed), point);
        }
        set
    }

    fn told(angle: Angle) -> f64 {
        (angle.to_degrees() * 1e4).round()
    }

    #[test]
    fn a_rib_that_hangs_more_has_the_smaller_angle() {
        for (frame, convex) in
            [(FilmFrame::FrontalFromBehind, Side::Right), (FilmFrame::FrontalFromFront, Side::Left)]
        {
            let angles = rib_angles(&PatientSpine::new(&film(), frame, None), Level::T(9)).unwrap();
            assert_eq!(told(angles.on(convex)), 368_699.0);
            assert_eq!(told(angles.on(convex.opposite())), 531_301.0);
            // 53.1301 - 36.8699.
            assert_eq!(told(angles.difference(convex)), 162_602.0);
            assert_eq!(told(angles.difference(convex.opposite())), -162_602.0);
        }
    }

    #[test]
    fn a_missing_point_is_named() {
        let mut set = film();
        set.marks.remove(&(Mark::RibNeck(Level::T(9)), Viewed::Left));
        let spine = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, None);
        let missing = GeometryError::NoMark(Mark::RibNeck(Level::T(9)), Side::Left);
        assert_eq!(rib_angles(&spine, Level::T(9)), Err(missing));
        assert_eq!(marked_ribs(&spine), [Level::T(9)]);
    }
}
