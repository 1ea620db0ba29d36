//! The figure in sentences: film, curves, and every pad and relief.

use super::{Mark, MarkKind, OrderFigure};
use crate::figure::spine::{Convexity, PanelCurve};
use crate::figure::words::fill;
use crate::spine::{Apex, Side};

/// The alt text.
pub fn alt(figure: &OrderFigure) -> String {
    let words = &figure.words;
    let curves: Vec<String> = figure.curves.iter().filter_map(|c| curve(figure, c)).collect();
    let marks: Vec<String> = figure.marks.iter().map(|m| mark(figure, m)).collect();
    let caption = figure.captions.join(", ");
    let mut out = vec![words.alt.clone()];
    if !curves.is_empty() {
        let list = curves.join("; ");
        out.push(fill(&words.alt_film, &[("caption", caption), ("list", list)]));
    }
    if !marks.is_empty() {
        out.push(fill(&words.alt_marks, &[("list", marks.join("; "))]));
    }
    out.join(" ")
}

fn curve(figure: &OrderFigure, curve: &PanelCurve) -> Option<String> {
    let words = &figure.words;
    let side = match curve.convex {
        Convexity::Left => 0,
        Convexity::Right => 1,
        Convexity::Front | Convexity::Back => return None,
    };
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
    Some(fill(&words.alt_curve, &values))
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
    let side = words.sides[usize::from(mark.side == Side::Right)].clone();
    fill(&words.alt_mark, &[("mark", called(figure, mark)), ("level", level), ("side", side)])
}

/// `pad 1`, `relief 2`.
pub(super) fn called(figure: &OrderFigure, mark: &Mark) -> String {
    let pattern = match mark.kind {
        MarkKind::Pad => &figure.words.pad,
        MarkKind::Relief => &figure.words.relief,
    };
    fill(pattern, &[("number", mark.number.clone())])
}
