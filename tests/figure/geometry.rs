//! What holds for every drawing: all of it inside, no two texts over each
//! other, no text too small for a faxed copy.

use endplate::figure::{SMALLEST_TEXT, extent};
use endplate::letter::drawing::{Drawing, Shape};

type Box4 = (f64, f64, f64, f64);

fn text(shape: &Shape) -> Option<(&str, Box4)> {
    match shape {
        Shape::Text { text, .. } => Some((text, extent(shape))),
        _ => None,
    }
}

/// Every text with the box it fills.
pub fn texts(drawing: &Drawing) -> Vec<(&str, Box4)> {
    drawing.shapes.iter().filter_map(text).collect()
}

/// The box of the only text that reads so.
pub fn text_at(drawing: &Drawing, wanted: &str) -> Box4 {
    let found: Vec<_> = texts(drawing).into_iter().filter(|(t, _)| *t == wanted).collect();
    assert_eq!(found.len(), 1, "texts reading {wanted}: {found:?}");
    found[0].1
}

pub fn middle(rect: Box4) -> f64 {
    (rect.0 + rect.2) / 2.0
}

fn overlap(a: Box4, b: Box4) -> bool {
    const TOUCH: f64 = 0.01;
    a.0 + TOUCH < b.2 && b.0 + TOUCH < a.2 && a.1 + TOUCH < b.3 && b.1 + TOUCH < a.3
}

pub fn assert_sound(drawing: &Drawing) {
    for shape in &drawing.shapes {
        let (left, top, right, bottom) = extent(shape);
        let inside = left >= -0.01
            && top >= -0.01
            && right <= drawing.width + 0.01
            && bottom <= drawing.height + 0.01;
        assert!(inside, "outside {} x {}: {shape:?}", drawing.width, drawing.height);
        if let Shape::Text { size, text, .. } = shape {
            assert!(*size >= SMALLEST_TEXT && !text.is_empty(), "{shape:?}");
        }
    }
    let texts = texts(drawing);
    for (i, a) in texts.iter().enumerate() {
        for b in &texts[i + 1..] {
            assert!(!overlap(a.1, b.1), "{a:?} lies over {b:?}");
        }
    }
}
