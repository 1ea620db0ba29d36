//! Landmark sets: four corners per vertebra as seen on the film.

use std::collections::BTreeMap;

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

/// Corners of the vertebrae of one film.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandmarkSet {
    /// By level, from the head down.
    pub vertebrae: BTreeMap<Level, Corners>,
}
