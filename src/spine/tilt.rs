//! Lines that should lie level on a frontal film: T1, the clavicles, the iliac
//! crests, the femoral heads.
//!
//! Every tilt is told by its size and its higher side. The sign inside is the
//! clinics' usual one, above zero with the patient's left side up: read for the
//! clavicles ([`SHOULDER_BALANCE`](crate::evidence::works::SHOULDER_BALANCE)),
//! from memory for T1. The horizontal is that of the film, so a film hung
//! askew tilts them all.

use super::balance::pair;
use super::cobb::GeometryError;
use super::frame::PatientSpine;
use super::landmark::Mark;
use super::{Level, Side};
use crate::quantity::{Angle, Length, math};

/// The tilt of a line across the body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    left_up: f64,
}

impl Tilt {
    /// The size, never negative.
    pub fn size(self) -> Angle {
        Angle::degrees(self.left_up.abs())
    }

    /// The signed tilt: above zero with the patient's left side up.
    pub fn left_up(self) -> Angle {
        Angle::degrees(self.left_up)
    }

    /// The higher side; `None` when level.
    pub fn higher(self) -> Option<Side> {
        higher(self.left_up)
    }
}

/// A difference in height between the two sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    left_up: f64,
}

impl Step {
    /// The difference, never negative.
    pub fn size(self) -> Length {
        Length::millimetres(self.left_up.abs())
    }

    /// The signed difference: above zero with the patient's left side up.
    pub fn left_up(self) -> Length {
        Length::millimetres(self.left_up)
    }

    /// The higher side; `None` when level.
    pub fn higher(self) -> Option<Side> {
        higher(self.left_up)
    }
}

fn higher(left_up: f64) -> Option<Side> {
    match left_up.partial_cmp(&0.0) {
        Some(std::cmp::Ordering::Greater) => Some(Side::Left),
        Some(std::cmp::Ordering::Less) => Some(Side::Right),
        _ => None,
    }
}

/// The tilt of the upper endplate of T1.
pub fn t1_tilt(spine: &PatientSpine) -> Result<Tilt, GeometryError> {
    super::balance::coronal(spine)?;
    let t1 = Level::T(1);
    let plate = spine.vertebra(t1).ok_or(GeometryError::NotMarked(t1))?.upper;
    let has_direction = plate.length() > 0.0;
    if !has_direction {
        return Err(GeometryError::NoDirection(t1));
    }
    Ok(Tilt { left_up: plate.tilt() })
}

/// The line of the highest points of the clavicles against the horizontal.
pub fn clavicle_angle(spine: &PatientSpine) -> Result<Tilt, GeometryError> {
    line(spine, Mark::Clavicle)
}

/// The line of the highest points of the iliac crests against the horizontal.
pub fn pelvic_obliquity(spine: &PatientSpine) -> Result<Tilt, GeometryError> {
    line(spine, Mark::IliacCrest)
}

/// How much higher one femoral head stands than the other: on a standing film
/// with straight knees, the difference in leg length (method from memory).
pub fn femoral_heads(spine: &PatientSpine) -> Result<Step, GeometryError> {
    let (right, left) = pair(spine, Mark::FemoralHead)?;
    let up = spine.length(left.up - right.up).ok_or(GeometryError::NoScale)?;
    Ok(Step { left_up: up.to_millimetres() })
}

fn line(spine: &PatientSpine, mark: Mark) -> Result<Tilt, GeometryError> {
    let (right, left) = pair(spine, mark)?;
    let across = left.across - right.across;
    let apart = across > 0.0;
    if !apart {
        return Err(GeometryError::NotApart(mark));
    }
    Ok(Tilt { left_up: math::atan2_degrees(left.up - right.up, across) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::PixelScale;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, LandmarkSet, Pixel, Viewed};

    /// Clavicles 3 px over 4 px, crests 5 over 12, heads 30 px, all with the
    /// viewer's right side up; the upper edge of T1 runs 4 px down over 3 px.
    fn film() -> LandmarkSet {
        let at = |x, y| Pixel { x, y };
        let t1 = Corners {
            upper_left: at(0.0, 0.0),
            upper_right: at(3.0, 4.0),
            lower_right: at(3.0, 9.0),
            lower_left: at(0.0, 9.0),
        };
        let mut set = LandmarkSet { vertebrae: [(Level::T(1), t1)].into(), ..Default::default() };
        for (mark, left, right) in [
            (Mark::Clavicle, at(0.0, 3.0), at(4.0, 0.0)),
            (Mark::IliacCrest, at(0.0, 5.0), at(12.0, 0.0)),
            (Mark::FemoralHead, at(0.0, 30.0), at(400.0, 0.0)),
        ] {
            set.marks.insert((mark, Viewed::Left), left);
            set.marks.insert((mark, Viewed::Right), right);
        }
        set
    }

    fn spine(frame: FilmFrame) -> PatientSpine {
        PatientSpine::new(&film(), frame, Some(PixelScale::millimetres_per_pixel(0.2)))
    }

    #[test]
    fn the_higher_side_is_the_patients() {
        // Right triangles: 3-4-5 gives 36.8699 and 53.1301, 5-12-13 22.6199.
        for (frame, up, down) in [
            (FilmFrame::FrontalFromBehind, Side::Right, Side::Left),
            (FilmFrame::FrontalFromFront, Side::Left, Side::Right),
        ] {
            let spine = spine(frame);
            let told = |tilt: Tilt| ((tilt.size().to_degrees() * 1e4).round(), tilt.higher());
            assert_eq!(told(clavicle_angle(&spine).unwrap()), (368_699.0, Some(up)));
            assert_eq!(told(pelvic_obliquity(&spine).unwrap()), (226_199.0, Some(up)));
            assert_eq!(told(t1_tilt(&spine).unwrap()), (531_301.0, Some(down)));
            let heads = femoral_heads(&spine).unwrap();
            // 30 px at 0.2 mm/px.
            assert_eq!((heads.size().to_millimetres().round(), heads.higher()), (6.0, Some(up)));
        }
    }

    #[test]
    fn what_is_missing_is_named() {
        let bare = PatientSpine::new(&film(), FilmFrame::FrontalFromBehind, None);
        assert_eq!(femoral_heads(&bare), Err(GeometryError::NoScale));
        let mut set = film();
        set.marks.remove(&(Mark::Clavicle, Viewed::Left));
        let one = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, None);
        let missing = GeometryError::NoMark(Mark::Clavicle, Side::Left);
        assert_eq!(clavicle_angle(&one), Err(missing));
        let side = PatientSpine::new(&film(), FilmFrame::LateralFacingLeft, None);
        assert!(matches!(pelvic_obliquity(&side), Err(GeometryError::WrongPlane(_))));
    }
}
