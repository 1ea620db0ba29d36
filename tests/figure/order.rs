//! Pads and reliefs of an order over the spine.

use endplate::figure::Size;
use endplate::figure::order::*;
use endplate::figure::spine::{Convexity, PanelView};
use endplate::letter::drawing::{Drawing, Ink, Shape};

use super::geometry::{assert_sound, middle, text_at, texts};
use super::spine::{double_panels, lateral_panels, level};

const SIZE: Size = Size { width: 140.0, height: 108.0 };

fn mark(kind: MarkKind, number: &str, levels: (&str, &str), edges: &[Convexity]) -> Mark {
    Mark {
        kind,
        number: number.into(),
        upper: level(levels.0),
        lower: level(levels.1),
        edges: edges.to_vec(),
        note: "at the back".into(),
    }
}

use Convexity::{Back, Front, Left, Right};
use MarkKind::{Pad, Relief};

pub fn frontal(marks: Vec<Mark>) -> OrderFigure {
    let panel = double_panels().panels.remove(0);
    OrderFigure {
        view: PanelView::Frontal,
        vertebrae: panel.vertebrae,
        curves: panel.curves,
        marks,
        captions: vec!["standing, 4 March 2026".into()],
        words: OrderWords::default(),
    }
}

pub fn usual() -> OrderFigure {
    frontal(vec![
        mark(Pad, "1", ("T3", "T4"), &[Left]),
        mark(Pad, "2", ("T8", "T9"), &[Right]),
        mark(Pad, "3", ("L2", "L2"), &[Left]),
        mark(Relief, "1", ("T7", "T10"), &[Left]),
        mark(Relief, "2", ("L1", "L3"), &[Right]),
    ])
}

/// Where the vertebrae lie across the page.
fn spine(drawing: &Drawing) -> (f64, f64) {
    let bones = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Area { points, fill: Some(Ink::Bone | Ink::Marked), .. } => Some(points),
        _ => None,
    });
    let xs = || bones.clone().flatten().map(|p| p.0);
    (xs().fold(f64::INFINITY, f64::min), xs().fold(f64::NEG_INFINITY, f64::max))
}

/// Arrows' heads: the tip first.
fn heads(drawing: &Drawing) -> Vec<&Vec<(f64, f64)>> {
    let of = |shape: &Shape| matches!(shape, Shape::Area { points, fill: Some(Ink::Ink), .. } if points.len() == 3);
    let kept = drawing.shapes.iter().filter(|s| of(s));
    let points = kept.filter_map(|shape| match shape {
        Shape::Area { points, .. } => Some(points),
        _ => None,
    });
    points.collect()
}

#[test]
fn a_pad_lies_on_its_side_and_points_at_the_spine() {
    let drawing = draw(&usual(), SIZE).unwrap();
    assert_sound(&drawing);
    let (left, right) = spine(&drawing);
    for (name, is_right) in [
        ("pad 1", false),
        ("pad 2", true),
        ("pad 3", false),
        ("relief 1", false),
        ("relief 2", true),
    ] {
        let at = text_at(&drawing, name);
        let beside =
            if is_right { at.0 > (left + right) / 2.0 } else { at.2 < (left + right) / 2.0 };
        assert!(beside, "{name} at {at:?}, spine {left} to {right}");
    }
    assert_eq!(heads(&drawing).len(), 3);
    for head in heads(&drawing) {
        // The tip is nearer to the middle of the spine than the neck.
        let from = |p: (f64, f64)| (p.0 - (left + right) / 2.0).abs();
        assert!(from(head[0]) < from(head[1]), "{head:?}");
    }
}

#[test]
fn both_sides_are_written_out_at_the_head() {
    let drawing = draw(&usual(), SIZE).unwrap();
    let (left, right) = (text_at(&drawing, "patient’s LEFT"), text_at(&drawing, "patient’s RIGHT"));
    assert!(middle(left) < SIZE.width / 2.0 && middle(right) > SIZE.width / 2.0);
    for level in ["T1", "T8", "L2", "L5"] {
        let levels = texts(&drawing).into_iter().filter(|(t, _)| *t == level).count();
        assert!(levels >= 1, "{level} is named");
    }
    let below = text_at(&drawing, "T3–T4");
    assert!(below.1 > text_at(&drawing, "pad 1").1);
}

#[test]
fn a_relief_beside_a_pad_lies_further_out_and_both_are_read() {
    let figure = frontal(vec![
        mark(Pad, "1", ("L1", "L1"), &[Left]),
        mark(Relief, "1", ("T12", "L3"), &[Left, Right]),
    ]);
    let drawing = draw(&figure, SIZE).unwrap();
    assert_sound(&drawing);
    assert_eq!(texts(&drawing).iter().filter(|(t, _)| *t == "relief 1").count(), 2);
}

#[test]
fn seen_from_the_side_front_is_left() {
    let panel = lateral_panels().panels.remove(0);
    let figure = OrderFigure {
        view: PanelView::Lateral,
        vertebrae: panel.vertebrae,
        curves: panel.curves,
        marks: vec![mark(Pad, "1", ("T3", "T4"), &[Front]), mark(Pad, "2", ("T9", "T10"), &[Back])],
        captions: vec!["standing, 4 March 2026".into()],
        words: OrderWords::default(),
    };
    let drawing = draw(&figure, SIZE).unwrap();
    assert_sound(&drawing);
    assert!(text_at(&drawing, "pad 1").2 < text_at(&drawing, "pad 2").0);
    assert!(middle(text_at(&drawing, "FRONT")) < middle(text_at(&drawing, "BACK")));
    let said = alt(&figure);
    assert!(said.contains("pad 1 at T3 to T4 in front"), "{said}");
    assert!(said.contains("pad 2 at T9 to T10 at the back"), "{said}");
}

#[test]
fn the_alt_text_tells_curves_pads_and_reliefs_with_their_sides() {
    let said = alt(&usual());
    for words in [
        "the patient's left is at the left",
        "T5 to T11, apex T8, convex to the patient's right, 31°",
        "pad 2 at T8 to T9 on the patient's right, at the back",
        "pad 3 at L2 on the patient's left, at the back",
        "relief 1 at T7 to T10 on the patient's left",
    ] {
        assert!(said.contains(words), "no `{words}` in: {said}");
    }
    let both = frontal(vec![mark(Pad, "1", ("S1", "S1"), &[Left, Right])]);
    assert!(alt(&both).contains("pad 1 at S1 on both sides"), "{}", alt(&both));
}

#[test]
fn without_landmarks_there_is_no_drawing() {
    let figure = OrderFigure { vertebrae: Vec::new(), ..usual() };
    assert!(draw(&figure, SIZE).is_none());
}
