//! How far the spine stands from the midline of the pelvis, on frontal films.
//!
//! Both lines are verticals of the film: the C7 plumb line through the middle
//! of the C7 body, the central sacral vertical line (CSVL) through the middle
//! of the upper edge of S1. Sources differ on the CSVL when the pelvis is
//! oblique (a perpendicular to the line of the iliac crests, or plumb); the
//! plumb vertical is taken here and every result says so by its type. Lengths
//! exist only for films with a scale.

use super::cobb::{Convexity, GeometryError};
use super::frame::{PatientSpine, Plane};
use super::region::{Region, region};
use super::{Apex, Column, Level, Side};
use crate::evidence::{Source, works};
use crate::quantity::Length;

/// Within this many millimetres of the CSVL the C7 plumb line is neutral
/// ([`CORONAL_BALANCE`](works::CORONAL_BALANCE)).
pub const NEUTRAL_WITHIN_MM: f64 = 20.0;

/// Where the convention of [`coronal_balance`] comes from.
pub const BALANCE_SOURCE: Source = Source::read(
    &works::CORONAL_BALANCE,
    "C7 plumb line to CSVL; neutral within 20 mm; the CSVL drawn plumb",
);

/// A vertical line that a displacement is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// The vertical through the middle of C7.
    C7Plumb,
    /// The plumb vertical through the middle of the upper edge of S1.
    Csvl,
}

/// A sideways displacement from a vertical.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset {
    left: f64,
    /// The vertebra or disc that is displaced.
    pub of: Apex,
    /// The line it is displaced from.
    pub from: Reference,
}

impl Offset {
    /// The distance, never negative.
    pub fn distance(&self) -> Length {
        Length::millimetres(self.left.abs())
    }

    /// The patient's side it lies on; `None` on the line itself.
    pub fn side(&self) -> Option<Side> {
        let side = Convexity::of_sign(Plane::Coronal, self.left).side();
        if self.left == 0.0 { None } else { side }
    }
}

/// The C7 plumb line against the CSVL.
///
/// Where C7 is not marked there is no coronal balance: another vertebra's
/// displacement is not the same measure; see [`top_offset`].
pub fn coronal_balance(spine: &PatientSpine) -> Result<Offset, GeometryError> {
    let c7 = across(spine, Apex::Vertebra(Level::C(7)))?;
    offset(spine, Apex::Vertebra(Level::C(7)), c7 - csvl(spine)?, Reference::Csvl)
}

/// The displacement of the highest marked vertebra from the CSVL: a stand-in
/// for the coronal balance that must be named by its vertebra.
pub fn top_offset(spine: &PatientSpine) -> Result<Offset, GeometryError> {
    let top = spine.vertebrae().next().ok_or(GeometryError::NotMarked(Level::C(7)))?;
    offset(spine, Apex::Vertebra(top.level), top.centre().across - csvl(spine)?, Reference::Csvl)
}

/// Apical translation: a thoracic apex against the C7 plumb line, a
/// thoracolumbar or lumbar one against the CSVL (convention from memory:
/// its print has not been seen).
pub fn apical_translation(
    spine: &PatientSpine,
    column: Column,
    apex: Apex,
) -> Result<Offset, GeometryError> {
    let at = across(spine, apex)?;
    match region(apex, column).map(|(region, _)| region) {
        Some(Region::Thoracolumbar | Region::Lumbar | Region::Lumbosacral) => {
            offset(spine, apex, at - csvl(spine)?, Reference::Csvl)
        }
        _ => {
            let plumb = across(spine, Apex::Vertebra(Level::C(7)))?;
            offset(spine, apex, at - plumb, Reference::C7Plumb)
        }
    }
}

fn csvl(spine: &PatientSpine) -> Result<f64, GeometryError> {
    let sacrum = spine.vertebra(Level::S1).ok_or(GeometryError::NotMarked(Level::S1))?;
    Ok(sacrum.upper.centre().across)
}

fn across(spine: &PatientSpine, apex: Apex) -> Result<f64, GeometryError> {
    let marked = |level| spine.vertebra(level).ok_or(GeometryError::NotMarked(level));
    match apex {
        Apex::Vertebra(level) => Ok(marked(level)?.centre().across),
        Apex::Disc(upper, lower) => {
            let (above, below) = (marked(upper)?.closing(), marked(lower)?.upper);
            Ok(above.centre().middle(below.centre()).across)
        }
    }
}

fn offset(
    spine: &PatientSpine,
    of: Apex,
    left: f64,
    from: Reference,
) -> Result<Offset, GeometryError> {
    if spine.plane() != Plane::Coronal {
        return Err(GeometryError::WrongPlane(spine.plane()));
    }
    let length = spine.length(left).ok_or(GeometryError::NoScale)?;
    Ok(Offset { left: length.to_millimetres(), of, from })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::PixelScale;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, Edge, LandmarkSet, Pixel};

    fn box_at(x: f64, y: f64) -> Corners {
        let at = |x, y| Pixel { x, y };
        Corners {
            upper_left: at(x - 50.0, y),
            upper_right: at(x + 50.0, y),
            lower_right: at(x + 50.0, y + 60.0),
            lower_left: at(x - 50.0, y + 60.0),
        }
    }

    /// Middles at viewer's x: C7 560, T8 700, L2 420, S1 500 px.
    fn film() -> LandmarkSet {
        let places = [(Level::C(7), 560.0), (Level::T(8), 700.0), (Level::L(2), 420.0)];
        let vertebrae = places
            .iter()
            .enumerate()
            .map(|(i, (level, x))| (*level, box_at(*x, 100.0 * i as f64)))
            .collect();
        let end = |x| Pixel { x, y: 900.0 };
        let sacrum = Some(Edge { left: end(440.0), right: end(560.0) });
        LandmarkSet { vertebrae, sacrum, ..Default::default() }
    }

    fn spine(frame: FilmFrame) -> PatientSpine {
        PatientSpine::new(&film(), frame, Some(PixelScale::millimetres_per_pixel(0.2)))
    }

    fn told(offset: Offset) -> (i64, Option<Side>) {
        // Tenths of a millimetre, so that no float is compared.
        ((offset.distance().to_millimetres() * 10.0).round() as i64, offset.side())
    }

    #[test]
    fn balance_is_the_patients_side_however_displayed() {
        // 60 px at 0.2 mm/px to the viewer's right: 12.0 mm.
        let behind = coronal_balance(&spine(FilmFrame::FrontalFromBehind)).unwrap();
        assert_eq!(told(behind), (120, Some(Side::Right)));
        let front = coronal_balance(&spine(FilmFrame::FrontalFromFront)).unwrap();
        assert_eq!(told(front), (120, Some(Side::Left)));
    }

    #[test]
    fn an_apex_is_measured_from_the_line_of_its_region() {
        let spine = spine(FilmFrame::FrontalFromBehind);
        let column = Column::default();
        // T8 against C7: 140 px = 28.0 mm. L2 against S1: 80 px = 16.0 mm.
        let t8 = apical_translation(&spine, column, Apex::Vertebra(Level::T(8))).unwrap();
        assert_eq!((told(t8), t8.from), ((280, Some(Side::Right)), Reference::C7Plumb));
        let l2 = apical_translation(&spine, column, Apex::Vertebra(Level::L(2))).unwrap();
        assert_eq!((told(l2), l2.from), ((160, Some(Side::Left)), Reference::Csvl));
    }

    #[test]
    fn what_is_missing_is_named() {
        let frame = FilmFrame::FrontalFromBehind;
        let bare = PatientSpine::new(&film(), frame, None);
        assert_eq!(coronal_balance(&bare), Err(GeometryError::NoScale));
        let mut set = film();
        set.vertebrae.remove(&Level::C(7));
        let scale = Some(PixelScale::millimetres_per_pixel(0.2));
        let headless = PatientSpine::new(&set, frame, scale);
        assert_eq!(coronal_balance(&headless), Err(GeometryError::NotMarked(Level::C(7))));
        assert_eq!(top_offset(&headless).unwrap().of, Apex::Vertebra(Level::T(8)));
        let side = PatientSpine::new(&film(), FilmFrame::LateralFacingLeft, scale);
        assert_eq!(coronal_balance(&side), Err(GeometryError::WrongPlane(Plane::Sagittal)));
    }
}
