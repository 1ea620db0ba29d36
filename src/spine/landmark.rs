//! Landmark sets: four corners per vertebra as seen on the film, and single
//! points of pedicles, ribs, trunk, clavicles and pelvis.
//!
//! Corners and points are named as displayed: the left one is on the viewer's
//! left, whichever side of the patient that is. [`frame`](super::frame) turns
//! them into the patient's axes.

use std::collections::BTreeMap;
use std::fmt;

use super::Level;

/// A point on the film, in pixels: x to the right, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pixel {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

/// The corners of one vertebral body as displayed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)]
pub struct Corners {
    pub upper_left: Pixel,
    pub upper_right: Pixel,
    pub lower_right: Pixel,
    pub lower_left: Pixel,
}

/// One edge of a vertebral body as displayed: an endplate seen from its side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// The end on the viewer's left.
    pub left: Pixel,
    /// The end on the viewer's right.
    pub right: Pixel,
}

impl Corners {
    /// The upper edge.
    pub fn upper(&self) -> Edge {
        Edge { left: self.upper_left, right: self.upper_right }
    }

    /// The lower edge.
    pub fn lower(&self) -> Edge {
        Edge { left: self.lower_left, right: self.lower_right }
    }
}

/// The viewer's side of a film, whichever side of the patient that is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Viewed {
    /// On the viewer's left.
    Left,
    /// On the viewer's right.
    Right,
}

/// A paired structure that is marked by one point on each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// Centre of the shadow of a pedicle.
    Pedicle(Level),
    /// Middle of the head of the rib of that vertebra.
    RibHead(Level),
    /// Middle of the neck of the rib of that vertebra.
    RibNeck(Level),
    /// Edge of the trunk at the height of that vertebra.
    Trunk(Level),
    /// Highest point of the clavicle.
    Clavicle,
    /// Highest point of the iliac crest.
    IliacCrest,
    /// Highest point of the femoral head on a frontal film, its centre on a
    /// lateral one.
    FemoralHead,
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Mark::Pedicle(level) => write!(f, "pedicle of {level}"),
            Mark::RibHead(level) => write!(f, "rib head of {level}"),
            Mark::RibNeck(level) => write!(f, "rib neck of {level}"),
            Mark::Trunk(level) => write!(f, "edge of the trunk at {level}"),
            Mark::Clavicle => f.write_str("clavicle"),
            Mark::IliacCrest => f.write_str("iliac crest"),
            Mark::FemoralHead => f.write_str("femoral head"),
        }
    }
}

/// Corners of the vertebrae of one film, and the points marked beside them.
///
/// The first sacral vertebra may be marked by its two upper corners alone
/// (`sacrum`), or by all four among the `vertebrae`; only its upper edge is
/// ever measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandmarkSet {
    /// By level, from the head down.
    pub vertebrae: BTreeMap<Level, Corners>,
    /// Upper edge of S1, where its lower corners are not marked.
    pub sacrum: Option<Edge>,
    /// Single points, as displayed.
    pub marks: BTreeMap<(Mark, Viewed), Pixel>,
}

impl LandmarkSet {
    /// The marked levels, from the head down.
    pub fn levels(&self) -> Vec<Level> {
        let mut levels: Vec<Level> = self.vertebrae.keys().copied().collect();
        if self.sacrum.is_some() && !self.vertebrae.contains_key(&Level::S1) {
            levels.push(Level::S1);
        }
        levels
    }

    /// The upper edge of a level, if marked.
    pub fn upper(&self, level: Level) -> Option<Edge> {
        let whole = self.vertebrae.get(&level).map(Corners::upper);
        whole.or(if level == Level::S1 { self.sacrum } else { None })
    }

    /// The lower edge of a level, if marked.
    pub fn lower(&self, level: Level) -> Option<Edge> {
        self.vertebrae.get(&level).map(Corners::lower)
    }
}
