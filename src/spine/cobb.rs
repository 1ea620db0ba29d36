//! The Cobb angle between two end vertebrae, and the way a curve bends.
//!
//! The angle stands between the upper endplate of the upper and the lower
//! endplate of the lower end vertebra
//! ([`AO_LENKE`](crate::evidence::works::AO_LENKE),
//! [`COBB_ORTHOFRACS`](crate::evidence::works::COBB_ORTHOFRACS)). It is the
//! difference of two directed lines, so angles beyond 90 degrees come out
//! whole and turning the film changes nothing.

use std::fmt;

use super::frame::{PatientSpine, Plane};
use super::landmark::Mark;
use super::{Level, Side};
use crate::quantity::{Angle, math};

/// The way a curve bulges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Convexity {
    /// To a side of the patient; frontal films.
    Toward(Side),
    /// To the back; lateral films.
    Kyphosis,
    /// To the front; lateral films.
    Lordosis,
}

impl Convexity {
    /// The convexity of a signed angle or displacement in a plane: positive
    /// is left or posterior, the direction of the patient's own axis.
    pub fn of_sign(plane: Plane, signed: f64) -> Convexity {
        match (plane, signed > 0.0) {
            (Plane::Coronal, true) => Convexity::Toward(Side::Left),
            (Plane::Coronal, false) => Convexity::Toward(Side::Right),
            (Plane::Sagittal, true) => Convexity::Kyphosis,
            (Plane::Sagittal, false) => Convexity::Lordosis,
        }
    }

    /// The side, for a curve of the frontal plane.
    pub fn side(self) -> Option<Side> {
        match self {
            Convexity::Toward(side) => Some(side),
            Convexity::Kyphosis | Convexity::Lordosis => None,
        }
    }

    /// The other way in the same plane.
    pub fn opposite(self) -> Convexity {
        match self {
            Convexity::Toward(side) => Convexity::Toward(side.opposite()),
            Convexity::Kyphosis => Convexity::Lordosis,
            Convexity::Lordosis => Convexity::Kyphosis,
        }
    }
}

impl fmt::Display for Convexity {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Convexity::Toward(Side::Left) => "left",
            Convexity::Toward(Side::Right) => "right",
            Convexity::Kyphosis => "kyphosis",
            Convexity::Lordosis => "lordosis",
        })
    }
}

/// A Cobb angle measured from landmarks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CobbAngle {
    plane: Plane,
    signed: f64,
}

impl CobbAngle {
    /// Below this size in degrees an angle is reported as 0 and has no
    /// convexity.
    pub const STRAIGHT_BELOW: f64 = 0.5;

    /// The size, never negative.
    pub fn size(self) -> Angle {
        Angle::degrees(self.signed.abs())
    }

    /// The signed angle: positive when convex to the patient's left (coronal)
    /// or to the back (sagittal, kyphosis).
    pub fn signed(self) -> Angle {
        Angle::degrees(self.signed)
    }

    /// The way the curve bulges; `None` where the angle is reported as 0.
    pub fn convexity(self) -> Option<Convexity> {
        (self.signed.abs() >= Self::STRAIGHT_BELOW)
            .then(|| Convexity::of_sign(self.plane, self.signed))
    }

    /// The angle relative to a declared convexity: negative when the curve
    /// bulges the other way, as an overcorrected curve does in its brace.
    pub fn toward(self, convexity: Convexity) -> Angle {
        let along = convexity == Convexity::of_sign(self.plane, 1.0);
        Angle::degrees(if along { self.signed } else { -self.signed })
    }
}

/// Why a measurement cannot be taken from a landmark set.
#[derive(Debug, Clone, PartialEq)]
pub enum GeometryError {
    /// A level that the measurement needs is not marked.
    NotMarked(Level),
    /// The lower edge of a vertebra is not marked.
    NoLowerEdge(Level),
    /// The upper level does not lie above the lower one.
    EndsReversed(Level, Level),
    /// An endplate of no length has no direction.
    NoDirection(Level),
    /// A single point that the measurement needs is not marked on that side.
    NoMark(Mark, Side),
    /// The two points of a structure fall on the same place across the body.
    NotApart(Mark),
    /// The film has no scale, so there are no lengths.
    NoScale,
    /// The film shows the other plane.
    WrongPlane(Plane),
}

impl fmt::Display for GeometryError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            GeometryError::NotMarked(level) => write!(f, "{level} is not among the landmarks"),
            GeometryError::NoLowerEdge(level) => {
                write!(f, "the lower corners of {level} are not among the landmarks")
            }
            GeometryError::EndsReversed(upper, lower) => {
                write!(f, "upper end {upper} does not lie above lower end {lower}")
            }
            GeometryError::NoDirection(level) => {
                write!(f, "two corners of {level} fall on the same point")
            }
            GeometryError::NoMark(mark, side) => {
                write!(f, "the {} {mark} is not among the landmarks", word(*side))
            }
            GeometryError::NotApart(mark) => {
                write!(f, "left and right {mark} fall on the same place")
            }
            GeometryError::NoScale => f.write_str("the film has no scale, so no lengths"),
            GeometryError::WrongPlane(Plane::Coronal) => {
                f.write_str("the measurement needs a lateral film, and this one is frontal")
            }
            GeometryError::WrongPlane(Plane::Sagittal) => {
                f.write_str("the measurement needs a frontal film, and this one is lateral")
            }
        }
    }
}

impl std::error::Error for GeometryError {}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// The Cobb angle between two end vertebrae.
///
/// At S1 the upper endplate closes the curve, as for a lordosis L1 to S1.
pub fn cobb(spine: &PatientSpine, upper: Level, lower: Level) -> Result<CobbAngle, GeometryError> {
    if upper >= lower {
        return Err(GeometryError::EndsReversed(upper, lower));
    }
    let marked = |level| spine.vertebra(level).ok_or(GeometryError::NotMarked(level));
    let (top, bottom) = (marked(upper)?, marked(lower)?);
    if bottom.lower.is_none() && lower != Level::S1 {
        return Err(GeometryError::NoLowerEdge(lower));
    }
    let (first, last) = (top.upper, bottom.closing());
    for (plate, level) in [(first, upper), (last, lower)] {
        let has_direction = plate.length() > 0.0;
        if !has_direction {
            return Err(GeometryError::NoDirection(level));
        }
    }
    Ok(CobbAngle { plane: spine.plane(), signed: turn(first.tilt() - last.tilt()) })
}

/// The standard deviation of a Cobb angle that comes of placing corners: each
/// corner off by an independent error of standard deviation `noise`, in the
/// spine's grid, along either axis ([`PatientSpine::pixel`] is one pixel).
///
/// Only the part of an error square to the endplate turns it. The ends differ
/// there by the square root of 2 times `noise`, so an endplate of length L
/// turns by that over L, and two endplates add in squares: the propagation of
/// uncertainty to the first order
/// ([`GUM`](crate::evidence::works::GUM), 5.1.2). It says how surely the
/// pointer was placed, not how well a reader repeats the choice of ends.
pub fn pointing_deviation(
    spine: &PatientSpine,
    upper: Level,
    lower: Level,
    noise: f64,
) -> Result<Angle, GeometryError> {
    cobb(spine, upper, lower)?;
    let marked = |level| spine.vertebra(level).ok_or(GeometryError::NotMarked(level));
    let (first, last) = (marked(upper)?.upper.length(), marked(lower)?.closing().length());
    let turn = |length: f64| 2.0 * noise * noise / (length * length);
    Ok(Angle::degrees(math::sqrt(turn(first) + turn(last)) * 180.0 / std::f64::consts::PI))
}

/// An angle brought into (-180, 180] degrees.
pub(super) fn turn(degrees: f64) -> f64 {
    if degrees > 180.0 {
        degrees - 360.0
    } else if degrees <= -180.0 {
        degrees + 360.0
    } else {
        degrees
    }
}
