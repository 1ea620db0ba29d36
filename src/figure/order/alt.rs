//! The figure in sentences: film, curves, and every pad and relief.

use super::{Mark, MarkKind, OrderFigure};
use crate::figure::spine::{Convexity, PanelCurve, PanelView};
use crate::figure::words::fill;
use crate::spine::Apex;

/// The alt text.
pub fn alt(figure: &OrderFigure) -> String {
    let words = &figure.words;
    let curves: Vec<String> = figure.curves.iter().map(|c| curve(figure, c)).collect();
    let marks: Vec<String> = figure.marks.iter().map(|m| mark(figure, m)).collect();
    let caption = figure.captions.join(", ");
    let mut out = vec![match figure.view {
        PanelView::Frontal => words.alt.clone(),
        PanelView::Lateral => words.alt_lateral.clone(),
    }];
    if !curves.is_empty() {
        let list = curves.join("; ");
        out.push(fill(&words.alt_film, &[("caption", caption), ("list", list)]));
    }
    if !marks.is_empty() {
        out.push(fill(&words.alt_marks, &[("list", marks.join("; "))]));
    }
    out.join(" ")
}

/// Place of an edge in a list of words.
fn place(edge: Convexity) -> usize {
    match edge {
        Convexity::Left => 0,
        Convexity::Right => 1,
        Convexity::Front => 2,
        Convexity::Back => 3,
    }
}

fn curve(figure: &OrderFigure, curve: &PanelCurve) -> String {
    let words = &figure.words;
    let side = place(curve.convex);
    let pattern = if side < 2 { &words.alt_curve } else { &words.alt_sagittal };
    let apex = match curve.apex {
        Apex::Vertebra(level) => level.to_string(),
        Apex::Disc(upper, lower) => format!("{upper}–{lower}"),
    };
    let values = [
        ("upper", curve.upper.to_string()),
        ("lower", curve.lower.to_string()),
        ("apex", apex),
        ("side", words.sides[side].clone()),
        ("angle", curve.angle.clone()),
    ];
    fill(pattern, &values)
}

fn mark(figure: &OrderFigure, mark: &Mark) -> String {
    let words = &figure.words;
    let level = match mark.upper == mark.lower {
        true => mark.upper.to_string(),
        false => {
            let ends = [("upper", mark.upper.to_string()), ("lower", mark.lower.to_string())];
            fill(&words.alt_levels, &ends)
        }
    };
    let edge = match mark.edges.as_slice() {
        [one] => words.edges[place(*one)].clone(),
        [one, ..] => words.edges[4 + usize::from(place(*one) > 1)].clone(),
        [] => String::new(),
    };
    let edge = if mark.note.is_empty() { edge } else { format!("{edge}, {}", mark.note) };
    let values = [("mark", called(figure, mark)), ("level", level), ("edge", edge)];
    fill(&words.alt_mark, &values)
}

/// `pad 1`, `relief 2`.
pub(super) fn called(figure: &OrderFigure, mark: &Mark) -> String {
    let pattern = match mark.kind {
        MarkKind::Pad => &figure.words.pad,
        MarkKind::Relief => &figure.words.relief,
    };
    fill(pattern, &[("number", mark.number.clone())])
}
