//! The outline in sentences: every film, bend, distance and angle, and what
//! is not known.

use super::{Bend, Falls, MOST, SagittalPanel, SagittalPanels, SagittalWords};
use crate::figure::words::fill;

/// The alt text.
pub fn alt(figure: &SagittalPanels) -> String {
    let words = &figure.words;
    let films = figure.panels.iter().filter(|p| !p.vertebrae.is_empty()).take(MOST);
    let told = (1..).zip(films).map(|(n, p)| panel(words, n, p));
    std::iter::once(words.alt.opening.clone()).chain(told).collect::<Vec<_>>().join(" ")
}

fn panel(words: &SagittalWords, n: usize, panel: &SagittalPanel) -> String {
    let mut list: Vec<String> = panel.bends.iter().map(|b| bend(words, b)).collect();
    if list.is_empty() {
        list.push(words.alt.no_bend.clone());
    }
    list.push(plumb(words, panel));
    list.push(pelvis(words, panel));
    let pattern = if panel.in_support { &words.alt.in_support } else { &words.alt.panel };
    let caption = panel.captions.join(", ");
    fill(pattern, &[("n", n.to_string()), ("caption", caption), ("list", list.join("; "))])
}

fn bend(words: &SagittalWords, bend: &Bend) -> String {
    let pattern = if bend.kyphosis { &words.alt.kyphosis } else { &words.alt.lordosis };
    let values = [
        ("upper", bend.upper.to_string()),
        ("lower", bend.lower.to_string()),
        ("angle", bend.angle.clone()),
    ];
    fill(pattern, &values)
}

fn plumb(words: &SagittalWords, panel: &SagittalPanel) -> String {
    let Some(plumb) = &panel.plumb else { return words.alt.no_plumb.clone() };
    let [in_front, on, behind] = &words.alt.plumb;
    let pattern = match plumb.falls {
        Falls::InFront => in_front,
        Falls::On => on,
        Falls::Behind => behind,
    };
    fill(pattern, &[("distance", plumb.distance.clone())])
}

fn pelvis(words: &SagittalWords, panel: &SagittalPanel) -> String {
    let known = panel.pelvis.iter().zip(&words.alt.pelvis);
    let known = known.filter_map(|(a, p)| Some(fill(p, &[("angle", a.clone()?)])));
    let known: Vec<String> = known.collect();
    if known.is_empty() { words.alt.no_pelvis.clone() } else { known.join(", ") }
}
