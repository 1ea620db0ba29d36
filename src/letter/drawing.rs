//! A drawing in plain shapes, the same for every renderer.
//!
//! Lengths are millimetres on paper, x to the right and y downward from the
//! upper left corner. Text is set in the letter's sans face by the renderer,
//! so that glyphs are checked like all other text.
//!
//! A raster picture is named by the digest of its bytes, which travel beside
//! the letter as [`Pictures`]: a letter stays small, and its own digest still
//! tells one picture from another.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::digest::Digest;

/// The raster pictures of a letter, by the digest of their bytes.
pub type Pictures = BTreeMap<Digest, Picture>;

/// A letter shows at most so many different pictures.
pub const MOST_PICTURES: usize = 8;

/// A raster picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// How it is encoded.
    pub format: Format,
    /// The encoded picture.
    pub bytes: Arc<[u8]>,
}

/// How a raster picture is encoded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Portable Network Graphics.
    Png,
}

impl Format {
    /// Its media type.
    pub fn media_type(self) -> &'static str {
        match self {
            Format::Png => "image/png",
        }
    }
}

/// A drawing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Drawing {
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// Shapes from back to front.
    pub shapes: Vec<Shape>,
}

/// Inks: few, and told apart in grey.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ink {
    /// Black text and main lines.
    Ink,
    /// Secondary grey.
    Grey,
    /// Hairlines and grids.
    Faint,
    /// The one accent.
    Accent,
    /// Shaded spans, very light accent.
    Shade,
    /// Error band, light warm grey.
    Band,
    /// Bone fill, near white.
    Bone,
    /// Emphasised bone fill.
    Marked,
    /// White.
    Paper,
}

/// Dashes of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Dash {
    Solid,
    Dashed,
    Dotted,
}

/// Where a text's point lies in it, horizontally.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// One shape.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "shape", rename_all = "kebab-case")]
pub enum Shape {
    /// An open line through points.
    Line {
        /// Points in mm.
        points: Vec<(f64, f64)>,
        /// Colour.
        ink: Ink,
        /// Width in mm.
        width: f64,
        /// Dashes.
        dash: Dash,
    },
    /// A closed area.
    Area {
        /// Corners in mm.
        points: Vec<(f64, f64)>,
        /// Fill.
        fill: Option<Ink>,
        /// Outline.
        ink: Option<Ink>,
        /// Width of the outline in mm.
        width: f64,
    },
    /// A disc.
    Circle {
        /// Centre in mm.
        at: (f64, f64),
        /// Radius in mm.
        radius: f64,
        /// Fill.
        fill: Option<Ink>,
        /// Outline.
        ink: Option<Ink>,
        /// Width of the outline in mm.
        width: f64,
    },
    /// A raster picture, stretched into its box; it lies under all other
    /// shapes.
    Picture {
        /// Upper left corner in mm.
        at: (f64, f64),
        /// Width in mm.
        width: f64,
        /// Height in mm.
        height: f64,
        /// The digest of its bytes.
        digest: Digest,
    },
    /// A line of text; `at` lies on its baseline.
    Text {
        /// Position of the anchor on the baseline, in mm.
        at: (f64, f64),
        /// The words.
        text: String,
        /// Size in points.
        size: f64,
        /// Bold.
        bold: bool,
        /// Colour.
        ink: Ink,
        /// Horizontal anchor.
        anchor: Anchor,
    },
}
