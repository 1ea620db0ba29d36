//! From the displayed film to the patient's own axes.
//!
//! A frontal film shown from behind has the patient's right on the viewer's
//! right; shown from the front it is mirrored. A lateral film faces left or
//! right. Which of these holds is a record of the film, never guessed here.
//! This module knows neither files nor readers.
//!
//! Axes: `across` is x, the patient's left, on a frontal film and y, the
//! patient's back, on a lateral one; `up` is z, toward the head.

use std::collections::BTreeMap;

use super::landmark::{Edge, LandmarkSet, Mark, Pixel, Viewed};
use super::{Column, Level, Side};
use crate::quantity::{Length, PixelScale, math};

/// How a film is laid out before the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FilmFrame {
    /// Frontal, seen from behind: the patient's right on the viewer's right.
    FrontalFromBehind,
    /// Frontal, seen from the front: the patient's right on the viewer's left.
    FrontalFromFront,
    /// Lateral, the patient facing the viewer's left.
    LateralFacingLeft,
    /// Lateral, the patient facing the viewer's right.
    LateralFacingRight,
}

impl FilmFrame {
    /// The plane the film shows.
    pub fn plane(self) -> Plane {
        match self {
            FilmFrame::FrontalFromBehind | FilmFrame::FrontalFromFront => Plane::Coronal,
            FilmFrame::LateralFacingLeft | FilmFrame::LateralFacingRight => Plane::Sagittal,
        }
    }

    /// Whether `across` grows toward the viewer's right.
    fn across_is_rightward(self) -> bool {
        matches!(self, FilmFrame::FrontalFromFront | FilmFrame::LateralFacingLeft)
    }

    /// A film point in the patient's axes, in pixels.
    pub fn place(self, pixel: Pixel) -> Point {
        let across = if self.across_is_rightward() { pixel.x } else { -pixel.x };
        Point { across, up: -pixel.y }
    }

    fn endplate(self, edge: Edge, scale: f64) -> Endplate {
        let ends = if self.across_is_rightward() {
            (edge.left, edge.right)
        } else {
            (edge.right, edge.left)
        };
        let at = |pixel| self.place(pixel).scaled(scale);
        Endplate { start: at(ends.0), end: at(ends.1) }
    }
}

/// A plane of the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Plane {
    /// Seen from behind or in front.
    Coronal,
    /// Seen from the side.
    Sagittal,
}

/// A point in the patient's axes, in the spine's [`Grid`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Toward the patient's left (coronal) or back (sagittal).
    pub across: f64,
    /// Toward the head.
    pub up: f64,
}

impl Point {
    fn scaled(self, scale: f64) -> Point {
        Point { across: self.across * scale, up: self.up * scale }
    }

    /// The point half-way to another.
    pub fn middle(self, other: Point) -> Point {
        Point { across: (self.across + other.across) / 2.0, up: (self.up + other.up) / 2.0 }
    }
}

/// What one unit of the coordinates stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Grid {
    /// Millimetres: the film has a scale.
    Millimetres,
    /// Pixels: the film has none, so no length can be given, only angles.
    Pixels,
}

/// An endplate seen from its edge.
///
/// It runs from the patient's right to left (coronal) or from front to back
/// (sagittal), by the names of its corners and not by their coordinates, so
/// that an endplate steeper than upright keeps its direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endplate {
    /// Right or anterior end.
    pub start: Point,
    /// Left or posterior end.
    pub end: Point,
}

impl Endplate {
    /// Tilt from the horizontal of the film in degrees, in (-180, 180]:
    /// positive when the patient's left end (coronal) or posterior end
    /// (sagittal) is the higher one.
    pub fn tilt(&self) -> f64 {
        math::atan2_degrees(self.end.up - self.start.up, self.end.across - self.start.across)
    }

    /// The middle of the endplate.
    pub fn centre(&self) -> Point {
        self.start.middle(self.end)
    }

    /// Its length in the spine's grid.
    pub fn length(&self) -> f64 {
        math::hypot(self.end.across - self.start.across, self.end.up - self.start.up)
    }
}

/// A vertebra in the patient's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertebra {
    /// Which one.
    pub level: Level,
    /// Upper endplate.
    pub upper: Endplate,
    /// Lower endplate; absent where only the upper edge of S1 is marked.
    pub lower: Option<Endplate>,
}

impl Vertebra {
    /// The endplate that closes a curve ending here: the lower one, but the
    /// upper one of S1 (its lower edge is fused and not measured).
    pub fn closing(&self) -> Endplate {
        match self.level {
            Level::S1 => self.upper,
            _ => self.lower.unwrap_or(self.upper),
        }
    }

    /// The middle of the body (of the upper endplate for S1).
    pub fn centre(&self) -> Point {
        self.upper.centre().middle(self.closing().centre())
    }
}

/// The marked vertebrae of one film in the patient's axes.
#[derive(Debug, Clone, PartialEq)]
pub struct PatientSpine {
    plane: Plane,
    grid: Grid,
    pixel: f64,
    vertebrae: BTreeMap<Level, Vertebra>,
    /// By structure and whether the point lies where `across` grows.
    marks: BTreeMap<(Mark, bool), Point>,
}

impl PatientSpine {
    /// Turns a film's landmarks into the patient's axes: in millimetres with
    /// a scale, else in pixels.
    pub fn new(set: &LandmarkSet, frame: FilmFrame, scale: Option<PixelScale>) -> PatientSpine {
        let factor = scale.map_or(1.0, PixelScale::to_millimetres_per_pixel);
        let vertebra = |level: Level| {
            let upper = frame.endplate(set.upper(level)?, factor);
            let lower = set.lower(level).map(|edge| frame.endplate(edge, factor));
            Some((level, Vertebra { level, upper, lower }))
        };
        PatientSpine {
            plane: frame.plane(),
            grid: if scale.is_some() { Grid::Millimetres } else { Grid::Pixels },
            pixel: factor,
            vertebrae: set.levels().into_iter().filter_map(vertebra).collect(),
            marks: marks(set, frame, factor),
        }
    }

    /// A point marked on that side of the patient; coronal films only, for a
    /// lateral film shows both sides over each other.
    pub fn mark(&self, mark: Mark, side: Side) -> Option<Point> {
        let coronal = self.plane == Plane::Coronal;
        self.marks.get(&(mark, side == Side::Left)).copied().filter(|_| coronal)
    }

    /// The points marked for a structure, one or two, in either plane.
    pub fn marks(&self, mark: Mark) -> Vec<Point> {
        [false, true].iter().filter_map(|far| self.marks.get(&(mark, *far)).copied()).collect()
    }

    /// Every structure with a marked point.
    pub fn marked(&self) -> Vec<Mark> {
        let mut marked: Vec<Mark> = self.marks.keys().map(|(mark, _)| *mark).collect();
        marked.dedup();
        marked
    }

    /// The plane.
    pub fn plane(&self) -> Plane {
        self.plane
    }

    /// What the coordinates are in.
    pub fn grid(&self) -> Grid {
        self.grid
    }

    /// The size of one pixel of the film in the spine's grid.
    pub fn pixel(&self) -> f64 {
        self.pixel
    }

    /// A distance in the spine's grid as a length, if the film has a scale.
    pub fn length(&self, distance: f64) -> Option<Length> {
        match self.grid {
            Grid::Millimetres => Some(Length::millimetres(distance)),
            Grid::Pixels => None,
        }
    }

    /// A vertebra, if marked.
    pub fn vertebra(&self, level: Level) -> Option<&Vertebra> {
        self.vertebrae.get(&level)
    }

    /// The marked vertebrae from the head down.
    pub fn vertebrae(&self) -> impl DoubleEndedIterator<Item = &Vertebra> {
        self.vertebrae.values()
    }

    /// The middle of the disc below a vertebra, if the next vertebra of this
    /// person's column is marked too.
    pub fn disc_below(&self, level: Level, column: Column) -> Option<(Level, Point)> {
        let below = column.below(level)?;
        let lower = self.vertebra(level)?.lower?;
        Some((below, lower.centre().middle(self.vertebra(below)?.upper.centre())))
    }
}

fn marks(set: &LandmarkSet, frame: FilmFrame, factor: f64) -> BTreeMap<(Mark, bool), Point> {
    let far = |viewed: Viewed| (viewed == Viewed::Right) == frame.across_is_rightward();
    let place = |((mark, viewed), pixel): (&(Mark, Viewed), &Pixel)| {
        ((*mark, far(*viewed)), frame.place(*pixel).scaled(factor))
    };
    set.marks.iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::landmark::Corners;

    fn one_vertebra() -> LandmarkSet {
        // Displayed with the viewer's left end 3 px lower over 4 px: the edge
        // rises to the viewer's right by atan(3/4) = 36.87 degrees.
        let at = |x, y| Pixel { x, y };
        let corners = Corners {
            upper_left: at(0.0, 13.0),
            upper_right: at(4.0, 10.0),
            lower_right: at(6.0, 13.0),
            lower_left: at(2.0, 16.0),
        };
        LandmarkSet { vertebrae: [(Level::T(8), corners)].into(), ..Default::default() }
    }

    #[test]
    fn the_display_decides_which_end_is_the_patients_left() {
        let tilt = |frame| {
            let spine = PatientSpine::new(&one_vertebra(), frame, None);
            spine.vertebra(Level::T(8)).unwrap().upper.tilt()
        };
        // From behind, the viewer's right is the patient's right: the left end is low.
        assert!((tilt(FilmFrame::FrontalFromBehind) + 36.869_897_645_844).abs() < 1e-9);
        assert!((tilt(FilmFrame::FrontalFromFront) - 36.869_897_645_844).abs() < 1e-9);
        // Facing left, the viewer's right is the patient's back: the back end is high.
        assert!((tilt(FilmFrame::LateralFacingLeft) - 36.869_897_645_844).abs() < 1e-9);
        assert!((tilt(FilmFrame::LateralFacingRight) + 36.869_897_645_844).abs() < 1e-9);
    }

    #[test]
    fn a_mark_lies_on_the_patients_side() {
        let mut set = one_vertebra();
        set.marks.insert((Mark::Clavicle, Viewed::Left), Pixel { x: 10.0, y: 5.0 });
        let at = |frame, side| PatientSpine::new(&set, frame, None).mark(Mark::Clavicle, side);
        // From behind the viewer's left is the patient's left.
        let behind = FilmFrame::FrontalFromBehind;
        assert_eq!(at(behind, Side::Left), Some(Point { across: -10.0, up: -5.0 }));
        assert_eq!(at(behind, Side::Right), None);
        assert!(at(FilmFrame::FrontalFromFront, Side::Right).is_some());
        assert_eq!(at(FilmFrame::LateralFacingLeft, Side::Left), None);
        let lateral = PatientSpine::new(&set, FilmFrame::LateralFacingLeft, None);
        assert_eq!(lateral.marks(Mark::Clavicle).len(), 1);
    }

    #[test]
    fn without_a_scale_there_is_no_length() {
        let set = one_vertebra();
        let frame = FilmFrame::FrontalFromBehind;
        let scale = Some(PixelScale::millimetres_per_pixel(0.2));
        let bare = PatientSpine::new(&set, frame, None);
        let scaled = PatientSpine::new(&set, frame, scale);
        let edge = |spine: &PatientSpine| spine.vertebra(Level::T(8)).unwrap().upper.length();
        assert_eq!(bare.length(edge(&bare)), None);
        // 5 px at 0.2 mm/px.
        let length = scaled.length(edge(&scaled)).unwrap().to_millimetres();
        assert!((length - 1.0).abs() < 1e-12);
    }
}
