//! The spine's figure in sentences.

use super::{Convexity, PanelCurve, PanelView, SpinePanel, SpinePanels};
use crate::figure::words::fill;

/// The alt text: every film, curve, level, side and angle.
pub fn alt(figure: &SpinePanels) -> String {
    let words = &figure.words.alt;
    let opening = match figure.view {
        PanelView::Frontal => &words.frontal,
        PanelView::Lateral => &words.lateral,
    };
    let mut out = vec![opening.clone()];
    let drawn = figure.panels.iter().filter(|p| !p.vertebrae.is_empty());
    out.extend((1..).zip(drawn).map(|(n, p)| panel(figure, n, p)));
    out.join(" ")
}

fn panel(figure: &SpinePanels, n: usize, panel: &SpinePanel) -> String {
    let words = &figure.words.alt;
    let curves: Vec<String> = panel.curves.iter().map(|c| curve(figure, c)).collect();
    let list = if curves.is_empty() { words.no_curve.clone() } else { curves.join("; ") };
    let pattern = if panel.in_support { &words.in_support } else { &words.panel };
    let caption = panel.captions.join(", ");
    fill(pattern, &[("n", n.to_string()), ("caption", caption), ("list", list)])
}

fn curve(figure: &SpinePanels, curve: &PanelCurve) -> String {
    let words = &figure.words.alt;
    let (pattern, side) = match curve.convex {
        Convexity::Left => (&words.curve, 0),
        Convexity::Right => (&words.curve, 1),
        Convexity::Front => (&words.sagittal, 2),
        Convexity::Back => (&words.sagittal, 3),
    };
    let values = [
        ("upper", curve.upper.to_string()),
        ("lower", curve.lower.to_string()),
        ("apex", super::label::apex_text(curve.apex)),
        ("side", words.sides[side].clone()),
        ("angle", curve.angle.clone()),
    ];
    fill(pattern, &values)
}
