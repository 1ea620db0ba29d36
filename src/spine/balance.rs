//! How far the spine and the trunk stand from the midline of the pelvis, on
//! frontal films.
//!
//! The C7 plumb line is the vertical of the film through the middle of the C7
//! body; the central sacral vertical line (CSVL) runs through the middle of
//! the upper edge of S1. Sources differ on the CSVL when the pelvis is oblique:
//! plumb, or square to the line of the iliac crests. Both are offered
//! ([`CsvlBy`]), every result says which it was measured from, and which one
//! counts is the caller's choice. A distance from an oblique line is taken
//! square to it. Lengths exist only for films with a scale.

use super::cobb::{Convexity, GeometryError};
use super::frame::{PatientSpine, Plane, Point};
use super::landmark::Mark;
use super::region::{Region, region};
use super::{Apex, Column, Level, Side};
use crate::evidence::{Source, works};
use crate::quantity::{Length, Reported, math};

/// Within this many millimetres of the CSVL the C7 plumb line is neutral
/// ([`CORONAL_BALANCE`](works::CORONAL_BALANCE)).
pub const NEUTRAL_WITHIN_MM: f64 = 20.0;

/// Where the convention of [`coronal_balance`] comes from.
pub const BALANCE_SOURCE: Source = Source::read(
    &works::CORONAL_BALANCE,
    "C7 plumb line to CSVL, right of it positive; neutral within 20 mm",
);

/// How the central sacral vertical line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CsvlBy {
    /// A vertical of the film.
    Plumb,
    /// Square to the line of the iliac crests.
    Pelvis,
}

impl CsvlBy {
    /// Who draws it so.
    pub fn source(self) -> Source {
        match self {
            CsvlBy::Plumb => {
                Source::read(&works::TRUNK_SHIFT_ZARO, "the CSVL drawn as a plumb vertical")
            }
            CsvlBy::Pelvis => Source::read(
                &works::CORONAL_BALANCE,
                "the CSVL drawn square to the line of the iliac crests",
            ),
        }
    }
}

/// A line that a displacement is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// The vertical through the middle of C7.
    C7Plumb,
    /// The line through the middle of the upper edge of S1.
    Csvl(CsvlBy),
}

/// What is displaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Displaced {
    /// A vertebra or disc.
    Spine(Apex),
    /// The middle between the edges of the trunk at the height of a vertebra.
    Trunk(Level),
}

/// A sideways displacement from a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset {
    left: f64,
    /// What is displaced.
    pub of: Displaced,
    /// The line it is displaced from.
    pub from: Reference,
}

impl Offset {
    /// The distance, never negative.
    pub fn distance(&self) -> Length {
        Length::millimetres(self.left.abs())
    }

    /// The signed distance: above zero toward the patient's left.
    pub fn leftward(&self) -> Length {
        Length::millimetres(self.left)
    }

    /// The patient's side it lies on; `None` on the line itself.
    pub fn side(&self) -> Option<Side> {
        let side = Convexity::of_sign(Plane::Coronal, self.left).side();
        if self.left == 0.0 { None } else { side }
    }
}

/// Whether a coronal balance as reported is neutral: 20 mm is, 20.1 is not
/// ([`BALANCE_SOURCE`]).
pub fn is_neutral(balance: Reported) -> bool {
    balance.abs().value() <= NEUTRAL_WITHIN_MM
}

/// The C7 plumb line against the CSVL.
///
/// Where C7 is not marked there is no coronal balance: another vertebra's
/// displacement is not the same measure; see [`top_offset`].
pub fn coronal_balance(spine: &PatientSpine, by: CsvlBy) -> Result<Offset, GeometryError> {
    from_csvl(spine, Apex::Vertebra(Level::C(7)), by)
}

/// The displacement of the highest marked vertebra from the CSVL: a stand-in
/// for the coronal balance that must be named by its vertebra.
pub fn top_offset(spine: &PatientSpine, by: CsvlBy) -> Result<Offset, GeometryError> {
    let top = spine.vertebrae().next().ok_or(GeometryError::NotMarked(Level::C(7)))?;
    from_csvl(spine, Apex::Vertebra(top.level), by)
}

/// The line from which the translation of an apex is taken: the C7 plumb line
/// for a thoracic one, the CSVL for a thoracolumbar or lumbar one (convention
/// from memory: its print has not been seen).
pub fn reference_of(apex: Apex, column: Column, by: CsvlBy) -> Reference {
    match region(apex, column).map(|(region, _)| region) {
        Some(Region::Thoracolumbar | Region::Lumbar | Region::Lumbosacral) => Reference::Csvl(by),
        _ => Reference::C7Plumb,
    }
}

/// Apical translation, from the line of [`reference_of`].
pub fn apical_translation(
    spine: &PatientSpine,
    column: Column,
    apex: Apex,
    by: CsvlBy,
) -> Result<Offset, GeometryError> {
    match reference_of(apex, column, by) {
        Reference::Csvl(by) => from_csvl(spine, apex, by),
        Reference::C7Plumb => {
            let at = place(spine, apex)?.across;
            let plumb = place(spine, Apex::Vertebra(Level::C(7)))?.across;
            offset(spine, Displaced::Spine(apex), at - plumb, Reference::C7Plumb)
        }
    }
}

/// The middle between the edges of the trunk against the CSVL, at the marked
/// height where it lies farthest.
pub fn trunk_shift(spine: &PatientSpine, by: CsvlBy) -> Result<Offset, GeometryError> {
    coronal(spine)?;
    let levels = spine.marked().into_iter().filter_map(|mark| match mark {
        Mark::Trunk(level) => Some(level),
        _ => None,
    });
    let shifts: Vec<Offset> =
        levels.map(|level| trunk_shift_at(spine, level, by)).collect::<Result<_, _>>()?;
    let farthest =
        shifts.into_iter().reduce(|a, b| if b.left.abs() > a.left.abs() { b } else { a });
    // No height is the usual one; the message names a thoracic one.
    farthest.ok_or(GeometryError::NoMark(Mark::Trunk(Level::T(8)), Side::Left))
}

/// The middle between the edges of the trunk at one height against the CSVL.
pub fn trunk_shift_at(
    spine: &PatientSpine,
    level: Level,
    by: CsvlBy,
) -> Result<Offset, GeometryError> {
    let (right, left) = pair(spine, Mark::Trunk(level))?;
    let across = csvl(spine, by)?.across(right.middle(left));
    offset(spine, Displaced::Trunk(level), across, Reference::Csvl(by))
}

/// The points of a paired structure, the patient's right one first.
pub(super) fn pair(spine: &PatientSpine, mark: Mark) -> Result<(Point, Point), GeometryError> {
    coronal(spine)?;
    let at = |side| spine.mark(mark, side).ok_or(GeometryError::NoMark(mark, side));
    Ok((at(Side::Right)?, at(Side::Left)?))
}

/// Refuses any film but a frontal one.
pub(super) fn coronal(spine: &PatientSpine) -> Result<(), GeometryError> {
    match spine.plane() {
        Plane::Coronal => Ok(()),
        plane => Err(GeometryError::WrongPlane(plane)),
    }
}

/// The CSVL: a point on it, and the direction square to it toward the
/// patient's left.
struct Csvl {
    through: Point,
    leftward: (f64, f64),
}

impl Csvl {
    /// How far a point lies to the left of the line, square to it.
    fn across(&self, point: Point) -> f64 {
        (point.across - self.through.across) * self.leftward.0
            + (point.up - self.through.up) * self.leftward.1
    }
}

/// How far a point lies to the patient's left of the CSVL, square to it, in
/// the spine's grid.
pub fn left_of_csvl(spine: &PatientSpine, point: Point, by: CsvlBy) -> Result<f64, GeometryError> {
    Ok(csvl(spine, by)?.across(point))
}

fn csvl(spine: &PatientSpine, by: CsvlBy) -> Result<Csvl, GeometryError> {
    coronal(spine)?;
    let sacrum = spine.vertebra(Level::S1).ok_or(GeometryError::NotMarked(Level::S1))?;
    let through = sacrum.upper.centre();
    let leftward = match by {
        CsvlBy::Plumb => (1.0, 0.0),
        CsvlBy::Pelvis => {
            let (right, left) = pair(spine, Mark::IliacCrest)?;
            let along = (left.across - right.across, left.up - right.up);
            let length = math::hypot(along.0, along.1);
            let apart = length > 0.0;
            if !apart {
                return Err(GeometryError::NotApart(Mark::IliacCrest));
            }
            (along.0 / length, along.1 / length)
        }
    };
    Ok(Csvl { through, leftward })
}

fn from_csvl(spine: &PatientSpine, of: Apex, by: CsvlBy) -> Result<Offset, GeometryError> {
    let across = csvl(spine, by)?.across(place(spine, of)?);
    offset(spine, Displaced::Spine(of), across, Reference::Csvl(by))
}

fn place(spine: &PatientSpine, apex: Apex) -> Result<Point, GeometryError> {
    coronal(spine)?;
    let marked = |level| spine.vertebra(level).ok_or(GeometryError::NotMarked(level));
    match apex {
        Apex::Vertebra(level) => Ok(marked(level)?.centre()),
        Apex::Disc(upper, lower) => {
            let (above, below) = (marked(upper)?.closing(), marked(lower)?.upper);
            Ok(above.centre().middle(below.centre()))
        }
    }
}

fn offset(
    spine: &PatientSpine,
    of: Displaced,
    left: f64,
    from: Reference,
) -> Result<Offset, GeometryError> {
    let length = spine.length(left).ok_or(GeometryError::NoScale)?;
    Ok(Offset { left: length.to_millimetres(), of, from })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::PixelScale;
    use crate::spine::FilmFrame;
    use crate::spine::landmark::{Corners, Edge, LandmarkSet, Pixel, Viewed};

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
        let behind = coronal_balance(&spine(FilmFrame::FrontalFromBehind), CsvlBy::Plumb).unwrap();
        assert_eq!(told(behind), (120, Some(Side::Right)));
        let front = coronal_balance(&spine(FilmFrame::FrontalFromFront), CsvlBy::Plumb).unwrap();
        assert_eq!(told(front), (120, Some(Side::Left)));
    }

    #[test]
    fn an_apex_is_measured_from_the_line_of_its_region() {
        let spine = spine(FilmFrame::FrontalFromBehind);
        let column = Column::default();
        // T8 against C7: 140 px = 28.0 mm. L2 against S1: 80 px = 16.0 mm.
        let t8 =
            apical_translation(&spine, column, Apex::Vertebra(Level::T(8)), CsvlBy::Plumb).unwrap();
        assert_eq!((told(t8), t8.from), ((280, Some(Side::Right)), Reference::C7Plumb));
        let l2 =
            apical_translation(&spine, column, Apex::Vertebra(Level::L(2)), CsvlBy::Plumb).unwrap();
        assert_eq!((told(l2), l2.from), ((160, Some(Side::Left)), Reference::Csvl(CsvlBy::Plumb)));
    }

    #[test]
    fn what_is_missing_is_named() {
        let frame = FilmFrame::FrontalFromBehind;
        let bare = PatientSpine::new(&film(), frame, None);
        assert_eq!(coronal_balance(&bare, CsvlBy::Plumb), Err(GeometryError::NoScale));
        let mut set = film();
        set.vertebrae.remove(&Level::C(7));
        let scale = Some(PixelScale::millimetres_per_pixel(0.2));
        let headless = PatientSpine::new(&set, frame, scale);
        assert_eq!(
            coronal_balance(&headless, CsvlBy::Plumb),
            Err(GeometryError::NotMarked(Level::C(7)))
        );
        assert_eq!(
            top_offset(&headless, CsvlBy::Plumb).unwrap().of,
            Displaced::Spine(Apex::Vertebra(Level::T(8)))
        );
        let side = PatientSpine::new(&film(), FilmFrame::LateralFacingLeft, scale);
        assert_eq!(
            coronal_balance(&side, CsvlBy::Plumb),
            Err(GeometryError::WrongPlane(Plane::Sagittal))
        );
    }

    /// The film with both iliac crests: the viewer's right one 30 px higher
    /// over 400 px across.
    fn oblique(frame: FilmFrame) -> PatientSpine {
        let mut set = film();
        let crest = |x, y| Pixel { x, y };
        set.marks.insert((Mark::IliacCrest, Viewed::Left), crest(300.0, 800.0));
        set.marks.insert((Mark::IliacCrest, Viewed::Right), crest(700.0, 770.0));
        PatientSpine::new(&set, frame, Some(PixelScale::millimetres_per_pixel(0.2)))
    }

    #[test]
    fn an_oblique_pelvis_tilts_its_own_line() {
        // C7 lies 60 px right and 870 px above S1 on the film (its body runs
        // from y 0 to 60). The line square to the crests leans to the viewer's
        // left: along (400, -30)/401.1234 the distance is
        // (60*400 + 870*30)/401.1234 = 124.90 px = 24.98 mm.
        let behind = coronal_balance(&oblique(FilmFrame::FrontalFromBehind), CsvlBy::Pelvis);
        let behind = behind.unwrap();
        assert_eq!(behind.from, Reference::Csvl(CsvlBy::Pelvis));
        assert_eq!((told(behind), behind.side()), ((250, Some(Side::Right)), Some(Side::Right)));
        let front = coronal_balance(&oblique(FilmFrame::FrontalFromFront), CsvlBy::Pelvis);
        assert_eq!(told(front.unwrap()), (250, Some(Side::Left)));
        let unmarked = coronal_balance(&spine(FilmFrame::FrontalFromBehind), CsvlBy::Pelvis);
        let missing = GeometryError::NoMark(Mark::IliacCrest, Side::Right);
        assert_eq!(unmarked, Err(missing));
    }

    #[test]
    fn the_trunk_is_taken_where_it_is_shifted_most() {
        let mut set = film();
        let mut edges = |level, left, right| {
            set.marks.insert((Mark::Trunk(level), Viewed::Left), Pixel { x: left, y: 300.0 });
            set.marks.insert((Mark::Trunk(level), Viewed::Right), Pixel { x: right, y: 300.0 });
        };
        // Middles at 530 and 440 px; S1 at 500: 30 px and 60 px = 12.0 mm.
        edges(Level::T(8), 30.0, 1030.0);
        edges(Level::L(2), 60.0, 820.0);
        let scale = Some(PixelScale::millimetres_per_pixel(0.2));
        let spine = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, scale);
        let shift = trunk_shift(&spine, CsvlBy::Plumb).unwrap();
        assert_eq!(
            (told(shift), shift.of),
            ((120, Some(Side::Left)), Displaced::Trunk(Level::L(2)))
        );
    }

    #[test]
    fn twenty_millimetres_are_neutral_and_a_tenth_more_is_not() {
        let at = |mm| is_neutral(Reported::round(mm, 1, crate::quantity::Unit::Millimetre));
        assert!(at(20.0) && at(-20.0) && !at(20.1) && !at(-20.1));
    }
}
