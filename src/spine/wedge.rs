//! Wedging of a single vertebra on a frontal film.
//!
//! The angle between its own endplates, told with its taller side. Lateral
//! wedging is in [`sagittal`](super::sagittal).

use super::Level;
use super::balance::coronal;
use super::cobb::{GeometryError, turn};
use super::frame::PatientSpine;
use crate::quantity::Angle;

/// The signed wedging of a vertebra: above zero when it is taller on the
/// patient's left.
pub fn frontal_wedge(spine: &PatientSpine, level: Level) -> Result<Angle, GeometryError> {
    coronal(spine)?;
    let body = spine.vertebra(level).ok_or(GeometryError::NotMarked(level))?;
    let lower = body.lower.ok_or(GeometryError::NoLowerEdge(level))?;
    for plate in [body.upper, lower] {
        let has_direction = plate.length() > 0.0;
        if !has_direction {
            return Err(GeometryError::NoDirection(level));
        }
    }
    Ok(Angle::degrees(turn(body.upper.tilt() - lower.tilt())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, LandmarkSet, Pixel};

    #[test]
    fn the_taller_side_is_the_patients() {
        // The lower edge falls 3 px over 4 px to the viewer's right: taller
        // there by atan(3/4) = 36.8699 degrees.
        let at = |x, y| Pixel { x, y };
        let body = Corners {
            upper_left: at(0.0, 0.0),
            upper_right: at(4.0, 0.0),
            lower_right: at(4.0, 8.0),
            lower_left: at(0.0, 5.0),
        };
        let set = LandmarkSet { vertebrae: [(Level::L(1), body)].into(), ..Default::default() };
        let wedge = |frame| {
            let spine = PatientSpine::new(&set, frame, None);
            (frontal_wedge(&spine, Level::L(1)).unwrap().to_degrees() * 1e4).round()
        };
        assert_eq!(wedge(FilmFrame::FrontalFromBehind), -368_699.0);
        assert_eq!(wedge(FilmFrame::FrontalFromFront), 368_699.0);
    }
}
