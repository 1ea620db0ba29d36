//! A drawing as SVG, for looking at while working on figures; letters are
//! typeset by the renderer and never pass through here.

use std::fmt::Write;

use endplate::letter::drawing::{Anchor, Dash, Drawing, Ink, Shape};

/// The drawing as an SVG document, on white.
pub fn svg(drawing: &Drawing) -> String {
    let Drawing { width, height, shapes } = drawing;
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{width}mm' height='{height}mm' \
         viewBox='0 0 {width} {height}'><rect width='{width}' height='{height}' fill='#fff'/>\n"
    );
    for shape in shapes {
        write_shape(&mut out, shape).expect("writing to a string");
    }
    out + "</svg>\n"
}

fn write_shape(out: &mut String, shape: &Shape) -> std::fmt::Result {
    match shape {
        Shape::Line { points, ink, width, dash } => {
            let dash = match dash {
                Dash::Solid => "none",
                Dash::Dashed => "1.6 1",
                Dash::Dotted => "0.3 0.9",
            };
            let (path, ink) = (path(points), colour(*ink));
            writeln!(
                out,
                "<polyline points='{path}' fill='none' stroke='{ink}' stroke-width='{width}' \
                 stroke-dasharray='{dash}' stroke-linejoin='round'/>"
            )
        }
        Shape::Area { points, fill, ink, width } => {
            let (path, fill, ink) = (path(points), paint(*fill), paint(*ink));
            writeln!(
                out,
                "<polygon points='{path}' fill='{fill}' stroke='{ink}' stroke-width='{width}'/>"
            )
        }
        Shape::Circle { at: (x, y), radius, fill, ink, width } => {
            let (fill, ink) = (paint(*fill), paint(*ink));
            writeln!(
                out,
                "<circle cx='{x}' cy='{y}' r='{radius}' fill='{fill}' stroke='{ink}' \
                 stroke-width='{width}'/>"
            )
        }
        // Where a raster picture lies; its bytes are not here.
        Shape::Picture { at: (x, y), width, height, .. } => {
            writeln!(out, "<rect x='{x}' y='{y}' width='{width}' height='{height}' fill='#888'/>")
        }
        Shape::Text { at: (x, y), text, size, bold, ink, anchor } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = if *bold { "bold" } else { "normal" };
            let (ink, size) = (colour(*ink), size * 25.4 / 72.0);
            let text = text.replace('&', "&amp;").replace('<', "&lt;");
            writeln!(
                out,
                "<text x='{x}' y='{y}' font-family='Noto Sans' font-size='{size}' \
                 font-weight='{weight}' fill='{ink}' text-anchor='{anchor}'>{text}</text>"
            )
        }
    }
}

fn path(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("{x},{y}")).collect::<Vec<_>>().join(" ")
}

fn paint(ink: Option<Ink>) -> &'static str {
    ink.map_or("none", colour)
}

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Ink => "#1a1a1a",
        Ink::Grey => "#6b6b6b",
        Ink::Faint => "#d9d9d9",
        Ink::Accent => "#1f4e5f",
        Ink::Shade => "#e9eff2",
        Ink::Band => "#e6e0d4",
        Ink::Bone => "#f5f3ee",
        Ink::Marked => "#d8d0bf",
        Ink::Paper => "#ffffff",
    }
}
