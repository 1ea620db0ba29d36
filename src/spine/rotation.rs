//! Axial rotation of a vertebra, from the offset of its pedicles on a frontal
//! film.
//!
//! The pedicles lie behind the middle of the body, so when a vertebra turns,
//! both shadows move to one side. The side whose pedicle comes nearer to the
//! midline is the one the front of the body turns to: the convex side of the
//! usual curve.
//!
//! *By grade* the half-body of that side is split in thirds: 0 symmetric, 1
//! outer third, 2 middle third, 3 at the midline, 4 beyond it. Grades 0, 2, 3
//! and 4 were read second hand
//! ([`PEDICLE_GRADES`](crate::evidence::works::PEDICLE_GRADES)); "outer third"
//! is from memory. *By formula* the offset is set against width and depth of
//! the vertebra ([`STOKES_1986`](crate::evidence::works::STOKES_1986)).

use super::balance::pair;
use super::cobb::GeometryError;
use super::frame::{Endplate, PatientSpine, Point};
use super::landmark::Mark;
use super::{Level, Side};
use crate::evidence::{Constant, Grade, Source, works};
use crate::quantity::{Angle, Unit, math};

/// Pedicles whose distances from the midline differ by less than this part of
/// the half-body count as symmetric. Our own reading of "symmetric": a pixel
/// or two on a usual film.
pub const SYMMETRIC_WITHIN: f64 = 0.1;

/// Where the pedicles of a vertebra stand, as parts of the half-body from the
/// midline: 1 at the edge, 0 on the midline, below zero beyond it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pedicles {
    left: f64,
    right: f64,
}

impl Pedicles {
    /// The part of the half-body on a side of the patient.
    pub fn on(self, side: Side) -> f64 {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// The side whose pedicle is nearer to the midline, to which the body is
    /// turned; `None` when both stand alike.
    pub fn turned_to(self) -> Option<Side> {
        let apart = (self.left - self.right).abs() >= SYMMETRIC_WITHIN;
        let side = if self.left < self.right { Side::Left } else { Side::Right };
        apart.then_some(side)
    }

    /// The grade, 0 to 4, of the side turned to.
    pub fn grade(self) -> u8 {
        let Some(side) = self.turned_to() else { return 0 };
        let part = self.on(side);
        // A boundary belongs to the outer part, the midline to grade 3.
        match part {
            p if p < 0.0 => 4,
            p if p < 1.0 / 3.0 => 3,
            p if p < 2.0 / 3.0 => 2,
            _ => 1,
        }
    }

    /// The rotation in degrees: `tan = (w / 2d) (a - b) / (a + b)`, where `a`
    /// and `b` are the distances of the pedicles from the midline and `w / d`
    /// is the width of the vertebra between them over its depth at that level.
    ///
    /// `None` where both pedicles fall on one point.
    pub fn stokes(self, width_over_depth: f64) -> Option<Angle> {
        let sum = self.left + self.right;
        let apart = (self.left - self.right).abs();
        (sum > 0.0)
            .then(|| Angle::degrees(math::atan2_degrees(width_over_depth / 2.0 * apart, sum)))
    }
}

/// Where a grade comes from and how well that is known.
pub fn grade_source(grade: u8) -> Source {
    let note = "0 symmetric, 1 outer third of the half-body, 2 middle third, 3 at the midline, \
                4 beyond; seen second hand";
    let source = Source::read(&works::PEDICLE_GRADES, note);
    match grade {
        1 => Source { grade: Grade::Memory, ..source },
        _ => source,
    }
}

/// The formula by pedicle offset: confirmed that it uses offset and depth, the
/// form and its table of width over depth are from memory.
pub const STOKES_SOURCE: Source = Source {
    work: Some(&works::STOKES_1986),
    grade: Grade::WeakMemory,
    note: "tan = (w / 2d) (a - b) / (a + b); width over depth by level from a table not seen",
};

/// 95 % half-width of a rotation by formula against a phantom.
pub const STOKES_WITHIN: Constant = Constant {
    value: 7.1,
    unit: Unit::Degree,
    source: Source::read(
        &works::STOKES_1986,
        "95 % limit 7.1 degrees against a phantom (SD 3.6); 4.8 against stereo films (SD 2.44)",
    ),
};

/// The place of the pedicles of a level; frontal films.
pub fn pedicles(spine: &PatientSpine, level: Level) -> Result<Pedicles, GeometryError> {
    let (right, left) = pair(spine, Mark::Pedicle(level))?;
    let body = spine.vertebra(level).ok_or(GeometryError::NotMarked(level))?;
    let lower = body.lower.ok_or(GeometryError::NoLowerEdge(level))?;
    let place = |point| part(body.upper, lower, point).ok_or(GeometryError::NoDirection(level));
    Ok(Pedicles { left: place(left)?, right: -place(right)? })
}

/// How far a point lies to the left of a body's midline, in half-widths at its
/// own height. The midline joins the middles of the endplates.
fn part(upper: Endplate, lower: Endplate, point: Point) -> Option<f64> {
    let (top, bottom) = (upper.centre(), lower.centre());
    let down = (bottom.across - top.across, bottom.up - top.up);
    let left = (
        upper.end.across - upper.start.across + lower.end.across - lower.start.across,
        upper.end.up - upper.start.up + lower.end.up - lower.start.up,
    );
    let size = math::hypot(left.0, left.1);
    let across = (left.0 / size, left.1 / size);
    let (x, y) = (point.across - top.across, point.up - top.up);
    // point = top + t * down + s * across
    let area = down.0 * across.1 - down.1 * across.0;
    let (t, s) = ((x * across.1 - y * across.0) / area, (down.0 * y - down.1 * x) / area);
    let half = (upper.length() * (1.0 - t) + lower.length() * t) / 2.0;
    let found = s / half;
    found.is_finite().then_some(found)
}

/// The levels at which pedicles are marked, from the head down.
pub fn marked_pedicles(spine: &PatientSpine) -> Vec<Level> {
    let levels = spine.marked().into_iter().filter_map(|mark| match mark {
        Mark::Pedicle(level) => Some(level),
        _ => None,
    });
    levels.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, LandmarkSet, Pixel, Viewed};

    /// A level T8, 120 px wide, its middle at x 60; pedicles at these x.
    fn at(left: f64, right: f64, frame: FilmFrame) -> Pedicles {
        let pixel = |x, y| Pixel { x, y };
        let t8 = Corners {
            upper_left: pixel(0.0, 0.0),
            upper_right: pixel(120.0, 0.0),
            lower_right: pixel(120.0, 80.0),
            lower_left: pixel(0.0, 80.0),
        };
        let mark = Mark::Pedicle(Level::T(8));
        let marks = [
            ((mark, Viewed::Left), pixel(left, 20.0)),
            ((mark, Viewed::Right), pixel(right, 20.0)),
        ];
        let set = LandmarkSet {
            vertebrae: [(Level::T(8), t8)].into(),
            marks: marks.into(),
            ..Default::default()
        };
        pedicles(&PatientSpine::new(&set, frame, None), Level::T(8)).unwrap()
    }

    #[test]
    fn the_half_body_is_split_in_thirds() {
        // The half-body is 60 px; its thirds end at 20 and 40 px from x 60.
        let table = [
            (15.0, 105.0, 0, None),
            (12.0, 101.0, 1, Some(Side::Right)),
            (9.0, 99.0, 2, Some(Side::Right)),
            (6.0, 79.0, 3, Some(Side::Right)),
            (5.0, 55.0, 4, Some(Side::Right)),
            (22.0, 110.0, 2, Some(Side::Left)),
        ];
        for (left, right, grade, side) in table {
            let behind = at(left, right, FilmFrame::FrontalFromBehind);
            assert_eq!((behind.grade(), behind.turned_to()), (grade, side), "{left} {right}");
            let front = at(left, right, FilmFrame::FrontalFromFront);
            assert_eq!(
                (front.grade(), front.turned_to()),
                (grade, side.map(Side::opposite)),
                "{left} {right}"
            );
        }
    }

    #[test]
    fn the_formula_follows_its_own_geometry() {
        // Pedicles 40 apart, 20 behind the middle, turned by 15 degrees: they
        // stand at 20 cos 15 -+ 20 sin 15, so width over depth is 40 / 20.
        let (sin, cos) = (0.258_819_045_102_520_8, 0.965_925_826_289_068_3);
        let far = Pedicles { left: 20.0 * (cos + sin), right: 20.0 * (cos - sin) };
        let found = far.stokes(2.0).unwrap().to_degrees();
        assert!((found - 15.0).abs() < 1e-9, "{found}");
        assert_eq!(far.turned_to(), Some(Side::Right));
        assert_eq!(Pedicles { left: 1.0, right: -1.0 }.stokes(2.0), None);
    }
}
