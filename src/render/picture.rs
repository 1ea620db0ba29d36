//! A drawing for the page: its shapes as one vector picture, its words apart.
//!
//! One picture is set several times faster than a hundred shapes. Words stay
//! text of the page, so that they are checked, embedded and found like all
//! others; they always lie above the shapes. Raster pictures lie below them and
//! are named by the few paths under which the engine finds their bytes.

use std::fmt::Write;

use serde::Serialize;

use super::measure::Measure;
use crate::digest::Digest;
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink, Shape};

/// A drawing as the layout gets it. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// The shapes as SVG without any text.
    pub svg: String,
    /// The words.
    pub words: Vec<Word>,
    /// Raster pictures under the shapes.
    pub rasters: Vec<Raster>,
}

/// A raster picture of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Raster {
    /// Where the engine finds it.
    pub path: String,
    /// Left edge, in mm.
    pub x: f64,
    /// Upper edge, in mm.
    pub y: f64,
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
}

/// A word of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Word {
    /// Left end of the baseline, in mm.
    pub x: f64,
    /// Height of the baseline, in mm.
    pub y: f64,
    /// The word.
    pub text: String,
    /// Size in points.
    pub size: f64,
    /// Bold.
    pub bold: bool,
    /// Colour, `#rrggbb`.
    pub ink: &'static str,
}

/// Millimetres in a point.
pub(super) const POINT: f64 = 25.4 / 72.0;

/// The colour of an ink. Text and lines keep a contrast of at least 4.5 to 1
/// on white; fills are told apart in grey by their lightness.
pub fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Ink => "#1a1a1a",
        Ink::Grey => "#616161",
        Ink::Faint => "#cccccc",
        Ink::Accent => "#1d4f63",
        Ink::Shade => "#e6edf0",
        Ink::Band => "#e7e2d8",
        Ink::Bone => "#f6f4ef",
        Ink::Marked => "#d8d0c0",
        Ink::Paper => "#ffffff",
    }
}

/// The picture of a drawing; `path` says where the bytes of a raster picture
/// are found.
pub fn picture(
    drawing: &Drawing,
    sans: &Measure,
    path: &dyn Fn(&Digest) -> Option<String>,
) -> Picture {
    let words = drawing.shapes.iter().filter_map(|shape| word(shape, sans)).collect();
    let rasters = drawing.shapes.iter().filter_map(|shape| raster(shape, path)).collect();
    Picture { svg: svg(drawing), words, rasters }
}

fn raster(shape: &Shape, path: &dyn Fn(&Digest) -> Option<String>) -> Option<Raster> {
    let Shape::Picture { at: (x, y), width, height, digest } = shape else { return None };
    let [x, y, width, height] = [x, y, width, height].map(|mm| round(*mm));
    Some(Raster { path: path(digest)?, x, y, width, height })
}

fn word(shape: &Shape, sans: &Measure) -> Option<Word> {
    let Shape::Text { at: (x, y), text, size, bold, ink, anchor } = shape else { return None };
    let width = sans.width(text, *bold) * size * POINT;
    let left = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let (text, ink) = (text.clone(), colour(*ink));
    Some(Word { x: round(x - left), y: round(*y), text, size: *size, bold: *bold, ink })
}

fn svg(drawing: &Drawing) -> String {
    let (width, height) = (Mm(drawing.width), Mm(drawing.height));
    let mut svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">"#
    );
    svg.push_str(&shapes(&drawing.shapes));
    svg.push_str("</svg>");
    svg
}

/// All shapes but words, as elements of a vector picture in mm.
pub(super) fn shapes(shapes: &[Shape]) -> String {
    let mut svg = String::new();
    shapes.iter().for_each(|each| shape(&mut svg, each));
    svg
}

fn shape(svg: &mut String, shape: &Shape) {
    match shape {
        Shape::Line { points, ink, width, dash } => {
            path(svg, points, "");
            paint(svg, None, Some(*ink), *width, *dash);
        }
        Shape::Area { points, fill, ink, width } => {
            path(svg, points, "Z");
            paint(svg, *fill, *ink, *width, Dash::Solid);
        }
        Shape::Circle { at: (x, y), radius, fill, ink, width } => {
            let (x, y, r) = (Mm(*x), Mm(*y), Mm(*radius));
            add(svg, format_args!(r#"<circle cx="{x}" cy="{y}" r="{r}""#));
            paint(svg, *fill, *ink, *width, Dash::Solid);
        }
        Shape::Text { .. } | Shape::Picture { .. } => {}
    }
}

fn path(svg: &mut String, points: &[(f64, f64)], end: &str) {
    svg.push_str("<path d=\"");
    for (index, (x, y)) in points.iter().enumerate() {
        let step = if index == 0 { 'M' } else { 'L' };
        add(svg, format_args!("{step}{} {}", Mm(*x), Mm(*y)));
    }
    add(svg, format_args!("{end}\""));
}

fn paint(svg: &mut String, fill: Option<Ink>, ink: Option<Ink>, width: f64, dash: Dash) {
    add(svg, format_args!(r#" fill="{}""#, fill.map_or("none", colour)));
    if let Some(ink) = ink.filter(|_| width > 0.0) {
        let (ink, width) = (colour(ink), Mm(width));
        add(svg, format_args!(r#" stroke="{ink}" stroke-width="{width}" stroke-linejoin="round""#));
        let (cap, pattern) = match dash {
            Dash::Solid => ("round", ""),
            Dash::Dashed => ("butt", "1.4 0.9"),
            Dash::Dotted => ("butt", "0.35 0.55"),
        };
        add(svg, format_args!(r#" stroke-linecap="{cap}" stroke-dasharray="{pattern}""#));
    }
    svg.push_str("/>");
}

fn add(svg: &mut String, part: std::fmt::Arguments) {
    svg.write_fmt(part).expect("a string takes any text");
}

/// A length in mm, written to a thousandth.
pub(super) struct Mm(pub f64);

impl std::fmt::Display for Mm {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{}", round(self.0))
    }
}

pub(super) fn round(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}
