//! Collects shapes and finishes them into a drawing.

use super::board::Rect;
use super::text;
use crate::digest::Digest;
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink, Shape};

/// A point in mm, x to the right and y downward.
pub(super) type Point = (f64, f64);

/// How a line of text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    /// In points.
    pub size: f64,
    pub bold: bool,
    pub ink: Ink,
}

impl Type {
    pub(super) const fn plain(size: f64) -> Type {
        Type { size, bold: false, ink: Ink::Ink }
    }

    pub(super) const fn bold(size: f64) -> Type {
        Type { size, bold: true, ink: Ink::Ink }
    }

    pub(super) const fn inked(self, ink: Ink) -> Type {
        Type { ink, ..self }
    }

    pub(super) fn width(self, text: &str) -> f64 {
        text::width(text, self.size, self.bold)
    }

    /// Height of capitals and digits, in mm.
    pub(super) fn rise(self) -> f64 {
        text::points(self.size) * RISE
    }

    /// How deep a text reaches below its baseline, in mm: digits and capitals
    /// not at all.
    pub(super) fn drop(self, text: &str) -> f64 {
        let deep =
            |c: char| "gjpqyQ,;()[]{}/|@".contains(c) || !(c.is_ascii() || "°–−".contains(c));
        if text.contains(deep) { text::points(self.size) * DROP } else { 0.0 }
    }

    /// From one baseline to the next, in mm.
    pub(super) fn leading(self) -> f64 {
        text::points(self.size) * 1.22
    }
}

/// Noto Sans: capitals and digits stand 0.714 em high, descenders 0.24 em deep.
const RISE: f64 = 0.714;
const DROP: f64 = 0.24;

/// Shapes so far, from back to front.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    shapes: Vec<Shape>,
}

impl Canvas {
    pub(super) fn line(&mut self, points: Vec<Point>, ink: Ink, width: f64, dash: Dash) {
        if points.len() > 1 {
            self.shapes.push(Shape::Line { points, ink, width, dash });
        }
    }

    pub(super) fn area(&mut self, points: Vec<Point>, fill: Ink, outline: Option<(Ink, f64)>) {
        let (ink, width) = outline.unzip();
        self.shapes.push(Shape::Area {
            points,
            fill: Some(fill),
            ink,
            width: width.unwrap_or(0.0),
        });
    }

    pub(super) fn circle(&mut self, at: Point, radius: f64, fill: Ink, outline: Ink, width: f64) {
        self.shapes.push(Shape::Circle { at, radius, fill: Some(fill), ink: Some(outline), width });
    }

    /// A raster picture; it lies under everything else.
    pub(super) fn picture(&mut self, rect: Rect, digest: Digest) {
        let (at, width, height) = ((rect.left, rect.top), rect.width(), rect.height());
        self.shapes.push(Shape::Picture { at, width, height, digest });
    }

    pub(super) fn text(&mut self, at: Point, text: &str, face: Type, anchor: Anchor) {
        if text.trim().is_empty() {
            return;
        }
        let Type { size, bold, ink } = face;
        let text = text.to_owned();
        self.shapes.push(Shape::Text { at, text, size, bold, ink, anchor });
    }

    /// The drawing, its coordinates settled to a thousandth of a millimetre so
    /// that the same figure is always the same bytes.
    pub(super) fn finish(mut self, width: f64, height: f64) -> Drawing {
        for shape in &mut self.shapes {
            settle_shape(shape);
        }
        Drawing { width: settle(width), height: settle(height), shapes: self.shapes }
    }
}

fn settle(value: f64) -> f64 {
    // Adding zero turns a negative zero into zero.
    (value * 1000.0).round() / 1000.0 + 0.0
}

fn settle_point(point: &mut Point) {
    *point = (settle(point.0), settle(point.1));
}

fn settle_shape(shape: &mut Shape) {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => {
            points.iter_mut().for_each(settle_point);
        }
        Shape::Circle { at, radius, .. } => {
            settle_point(at);
            *radius = settle(*radius);
        }
        Shape::Text { at, .. } => settle_point(at),
        Shape::Picture { at, width, height, .. } => {
            settle_point(at);
            (*width, *height) = (settle(*width), settle(*height));
        }
    }
}

/// The box that a line of text fills, in mm.
pub(super) fn text_box(at: Point, text: &str, face: Type, anchor: Anchor) -> Rect {
    let width = face.width(text);
    let left = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - width / 2.0,
        Anchor::End => at.0 - width,
    };
    let em = text::points(face.size);
    Rect { left, top: at.1 - RISE * em, right: left + width, bottom: at.1 + face.drop(text) }
}

/// The box that a shape fills on paper, in mm: left, top, right, bottom; the
/// width of text is an estimate.
pub fn extent(shape: &Shape) -> (f64, f64, f64, f64) {
    let rect = match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => Rect::around(points),
        Shape::Circle { at, radius, .. } => Rect::about(*at, *radius),
        Shape::Text { at, text, size, bold, ink, anchor } => {
            text_box(*at, text, Type { size: *size, bold: *bold, ink: *ink }, *anchor)
        }
        Shape::Picture { at, width, height, .. } => {
            Rect { left: at.0, top: at.1, right: at.0 + width, bottom: at.1 + height }
        }
    };
    (rect.left, rect.top, rect.right, rect.bottom)
}
