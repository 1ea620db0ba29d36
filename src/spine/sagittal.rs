//! The spine and pelvis seen from the side, on lateral films.
//!
//! Kyphosis and lordosis between *named* end vertebrae, so that two films are
//! measured to the same ends; the three pelvic angles; the distance of C7 in
//! front of the sacrum; the wedging of single vertebrae. Nothing here knows
//! what a reader typed, nor what is usual.
//!
//! All angles are told in the sense their name has: a kyphosis above zero is
//! convex to the back, a lordosis above zero to the front.
//!
//! # The pelvis
//!
//! The hip axis is the middle between the centres of the two femoral heads,
//! `m` the middle of the upper edge of S1.
//!
//! | angle | between |
//! |---|---|
//! | sacral slope | the upper edge of S1 and the horizontal, above zero when its back end is the higher one |
//! | pelvic tilt | the line from the hip axis to `m` and the vertical, above zero when `m` lies behind |
//! | pelvic incidence | the perpendicular to the upper edge of S1 at `m` and the line from `m` to the hip axis |
//!
//! Incidence is their sum, whatever way the film was held
//! ([`SAGITTAL_NORMS`](crate::evidence::works::SAGITTAL_NORMS)); it is computed
//! from its own definition here, so that the sum is a check.

use std::fmt;

use super::cobb::{CobbAngle, Convexity, GeometryError, cobb, turn};
use super::frame::{PatientSpine, Plane, Point, Vertebra};
use super::{Column, Level};
use crate::quantity::{Angle, Length, math};

/// A stretch of the spine between named end vertebrae.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stretch {
    /// Kyphosis T2 to T5.
    T2T5,
    /// Kyphosis T5 to T12.
    T5T12,
    /// Kyphosis T2 to T12.
    T2T12,
    /// Kyphosis T4 to T12.
    T4T12,
    /// Kyphosis of the thoracolumbar junction, T10 to L2.
    T10L2,
    /// Lordosis, L1 to the upper edge of S1.
    Lordosis,
}

impl Stretch {
    /// All of them, as they are told.
    pub const ALL: [Stretch; 6] = [
        Stretch::T5T12,
        Stretch::T2T12,
        Stretch::T4T12,
        Stretch::T2T5,
        Stretch::T10L2,
        Stretch::Lordosis,
    ];

    /// The end vertebrae.
    pub fn ends(self) -> (Level, Level) {
        match self {
            Stretch::T2T5 => (Level::T(2), Level::T(5)),
            Stretch::T5T12 => (Level::T(5), Level::T(12)),
            Stretch::T2T12 => (Level::T(2), Level::T(12)),
            Stretch::T4T12 => (Level::T(4), Level::T(12)),
            Stretch::T10L2 => (Level::T(10), Level::L(2)),
            Stretch::Lordosis => (Level::L(1), Level::S1),
        }
    }

    /// The bend whose size is told above zero.
    pub fn bend(self) -> Convexity {
        match self {
            Stretch::Lordosis => Convexity::Lordosis,
            _ => Convexity::Kyphosis,
        }
    }

    /// Whether the person has both end vertebrae: with eleven thoracic
    /// vertebrae there is no T12, and no other level takes its place.
    pub fn exists_in(self, column: Column) -> bool {
        let (upper, lower) = self.ends();
        column.has(upper) && column.has(lower)
    }

    /// The stretch between these ends, bent this way, if it is a named one.
    pub fn between(upper: Level, lower: Level, bend: Convexity) -> Option<Stretch> {
        Self::ALL.into_iter().find(|s| s.ends() == (upper, lower) && s.bend() == bend)
    }
}

impl fmt::Display for Stretch {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (upper, lower) = self.ends();
        write!(f, "{} {upper} to {lower}", self.bend())
    }
}

/// The angle of a named stretch, above zero in the sense of its name: between
/// the upper endplate of its upper and the lower endplate of its lower end
/// vertebra (the upper edge of S1 for a lordosis).
pub fn stretch(spine: &PatientSpine, stretch: Stretch) -> Result<Angle, GeometryError> {
    sagittal(spine)?;
    let (upper, lower) = stretch.ends();
    cobb(spine, upper, lower).map(|angle: CobbAngle| angle.toward(stretch.bend()))
}

/// How much lower a vertebral body is in front than at the back, as the angle
/// between its endplates; below zero when it is lower at the back.
pub fn wedge(spine: &PatientSpine, level: Level) -> Result<Angle, GeometryError> {
    sagittal(spine)?;
    let body = marked(spine, level)?;
    let lower = body.lower.ok_or(GeometryError::NoLowerEdge(level))?;
    for plate in [body.upper, lower] {
        let has_direction = plate.length() > 0.0;
        if !has_direction {
            return Err(GeometryError::NoDirection(level));
        }
    }
    Ok(Angle::degrees(turn(body.upper.tilt() - lower.tilt())))
}

/// The distance of the vertical through the middle of C7 in front of the
/// posterior upper corner of S1; below zero when C7 stands behind it.
pub fn vertical_axis(spine: &PatientSpine) -> Result<Length, GeometryError> {
    sagittal(spine)?;
    let c7 = marked(spine, Level::C(7))?.centre();
    let corner = marked(spine, Level::S1)?.upper.end;
    spine.length(corner.across - c7.across).ok_or(GeometryError::NoScale)
}

/// The pelvis on a lateral film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pelvis {
    sacrum: Vector,
    to_hips: Vector,
}

/// A direction, in the patient's axes.
type Vector = (f64, f64);

impl Pelvis {
    /// Takes the pelvis from the upper edge of S1 and the centres of the
    /// femoral heads: two, or one where they lie over each other.
    pub fn new(spine: &PatientSpine, heads: &[Point]) -> Result<Pelvis, PelvisError> {
        sagittal(spine)?;
        let edge = marked(spine, Level::S1)?.upper;
        let has_direction = edge.length() > 0.0;
        if !has_direction {
            return Err(GeometryError::NoDirection(Level::S1).into());
        }
        let middle = edge.centre();
        let hips = match heads {
            [one] => *one,
            [one, other] => one.middle(*other),
            _ => return Err(PelvisError::NoFemoralHead),
        };
        let to_hips = (hips.across - middle.across, hips.up - middle.up);
        if to_hips == (0.0, 0.0) {
            return Err(PelvisError::HeadsOnSacrum);
        }
        let sacrum = (edge.end.across - edge.start.across, edge.end.up - edge.start.up);
        Ok(Pelvis { sacrum, to_hips })
    }

    /// Sacral slope.
    pub fn slope(&self) -> Angle {
        let (across, up) = self.sacrum;
        Angle::degrees(math::atan2_degrees(up, across))
    }

    /// Pelvic tilt.
    pub fn tilt(&self) -> Angle {
        let (across, up) = self.to_hips;
        Angle::degrees(math::atan2_degrees(-across, -up))
    }

    /// Pelvic incidence, from its own definition.
    pub fn incidence(&self) -> Angle {
        // The perpendicular that points down from the edge.
        let down = (self.sacrum.1, -self.sacrum.0);
        let hips = self.to_hips;
        let cross = hips.0 * down.1 - hips.1 * down.0;
        let along = hips.0 * down.0 + hips.1 * down.1;
        Angle::degrees(math::atan2_degrees(cross, along))
    }
}

/// Why the pelvis cannot be measured.
#[derive(Debug, Clone, PartialEq)]
pub enum PelvisError {
    /// The sacrum is not marked, or the film shows the other plane.
    Geometry(GeometryError),
    /// No femoral head is marked.
    NoFemoralHead,
    /// The femoral heads are marked on the sacrum.
    HeadsOnSacrum,
}

impl From<GeometryError> for PelvisError {
    fn from(error: GeometryError) -> Self {
        PelvisError::Geometry(error)
    }
}

impl fmt::Display for PelvisError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            PelvisError::Geometry(error) => error.fmt(f),
            PelvisError::NoFemoralHead => f.write_str("no femoral head is among the landmarks"),
            PelvisError::HeadsOnSacrum => {
                f.write_str("the femoral heads are marked on the middle of S1")
            }
        }
    }
}

impl std::error::Error for PelvisError {}

/// Whether the landmarks show the thoracic spine hollow and the lumbar spine
/// round, each by at least `beyond` degrees, as a film read facing the wrong
/// way does; no person stands so. `None` where either is not marked.
pub fn faces_the_other_way(spine: &PatientSpine, beyond: f64) -> Option<bool> {
    let turned = |s| stretch(spine, s).ok().map(|angle| angle.to_degrees() <= -beyond);
    Some(turned(Stretch::T5T12)? && turned(Stretch::Lordosis)?)
}

fn sagittal(spine: &PatientSpine) -> Result<(), GeometryError> {
    match spine.plane() {
        Plane::Sagittal => Ok(()),
        // Told by the plane that the film shows, as for the frontal measures.
        Plane::Coronal => Err(GeometryError::WrongPlane(Plane::Coronal)),
    }
}

fn marked(spine: &PatientSpine, level: Level) -> Result<&Vertebra, GeometryError> {
    spine.vertebra(level).ok_or(GeometryError::NotMarked(level))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::PixelScale;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, Edge, LandmarkSet, Pixel};

    fn at(x: f64, y: f64) -> Pixel {
        Pixel { x, y }
    }

    /// A body facing left (its front on the viewer's left) whose upper edge
    /// lies level and whose lower edge rises by 3 over 4 toward the front:
    /// wedged by atan(3/4), lower in front.
    fn wedged() -> Corners {
        Corners {
            upper_left: at(100.0, 100.0),
            upper_right: at(140.0, 100.0),
            lower_right: at(140.0, 160.0),
            lower_left: at(100.0, 130.0),
        }
    }

    fn film() -> LandmarkSet {
        // C7: middle at x 80. S1: from (300, 930) in front to (340, 900).
        let c7 = Corners {
            upper_left: at(60.0, 0.0),
            upper_right: at(100.0, 0.0),
            lower_right: at(100.0, 30.0),
            lower_left: at(60.0, 30.0),
        };
        LandmarkSet {
            vertebrae: [(Level::C(7), c7), (Level::T(8), wedged())].into(),
            sacrum: Some(Edge { left: at(300.0, 930.0), right: at(340.0, 900.0) }),
            ..Default::default()
        }
    }

    fn spine(frame: FilmFrame) -> PatientSpine {
        PatientSpine::new(&film(), frame, Some(PixelScale::millimetres_per_pixel(0.2)))
    }

    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
    }

    #[test]
    fn a_body_lower_in_front_is_wedged_above_zero() {
        let facing = |frame| wedge(&spine(frame), Level::T(8)).unwrap().to_degrees();
        close(facing(FilmFrame::LateralFacingLeft), 36.869_897_645_844);
        close(facing(FilmFrame::LateralFacingRight), -36.869_897_645_844);
    }

    #[test]
    fn c7_in_front_of_the_sacrum_counts_above_zero() {
        // Facing left, the front is on the viewer's left: C7 at x 80, the back
        // corner of S1 at x 340, 260 px at 0.2 mm/px = 52 mm in front.
        let left = vertical_axis(&spine(FilmFrame::LateralFacingLeft)).unwrap();
        close(left.to_millimetres(), 52.0);
        // Facing right the back corner is the one at x 300: C7 44 mm behind.
        let right = vertical_axis(&spine(FilmFrame::LateralFacingRight)).unwrap();
        close(right.to_millimetres(), -44.0);
    }

    #[test]
    fn the_pelvis_worked_by_hand() {
        // Facing left. S1 rises 30 px toward the back over 40: slope
        // atan(3/4) = 36.87. Middle (320, 915); hip axis 60 px in front and
        // 80 px below it, at (260, 995): tilt atan(60/80) = 36.87.
        let spine = spine(FilmFrame::LateralFacingLeft);
        let frame = FilmFrame::LateralFacingLeft;
        let scaled = |x, y| {
            let point = frame.place(at(x, y));
            Point { across: point.across * 0.2, up: point.up * 0.2 }
        };
        let heads = [scaled(250.0, 990.0), scaled(270.0, 1000.0)];
        let pelvis = Pelvis::new(&spine, &heads).unwrap();
        close(pelvis.slope().to_degrees(), 36.869_897_645_844);
        close(pelvis.tilt().to_degrees(), 36.869_897_645_844);
        close(pelvis.incidence().to_degrees(), 73.739_795_291_688);
    }

    #[test]
    fn what_is_missing_is_named() {
        let front = spine(FilmFrame::FrontalFromBehind);
        assert_eq!(vertical_axis(&front), Err(GeometryError::WrongPlane(Plane::Coronal)));
        let side = spine(FilmFrame::LateralFacingLeft);
        assert_eq!(stretch(&side, Stretch::T5T12), Err(GeometryError::NotMarked(Level::T(5))));
        assert_eq!(Pelvis::new(&side, &[]), Err(PelvisError::NoFemoralHead));
        let bare = PatientSpine::new(&film(), FilmFrame::LateralFacingLeft, None);
        assert_eq!(vertical_axis(&bare), Err(GeometryError::NoScale));
    }

    #[test]
    fn eleven_thoracic_vertebrae_have_no_t12() {
        let column = Column::new(11, 5).unwrap();
        assert!(!Stretch::T5T12.exists_in(column));
        assert!(Stretch::Lordosis.exists_in(column));
    }
}
