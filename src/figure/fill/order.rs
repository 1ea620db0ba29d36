//! The pads and reliefs of an order over the film it goes by.

use crate::case::Film;
use crate::facts::Value;
use crate::facts::derive::measure;
use crate::facts::derive::track::Track;
use crate::figure::Size;
use crate::figure::order::{self, Mark, MarkKind, OrderFigure, OrderWords};
use crate::figure::spine::{Convexity, PanelView};
use crate::letter::block::Figure;
use crate::letter::wording::full_date;
use crate::spine::frame::Plane;
use crate::spine::{Level, Side};

use super::{Shown, corners, panel_curve};

/// A page's width and as high as a hand: a maker reads it at the bench.
const SIZE: Size = Size { width: 140.0, height: 90.0 };

/// The figure, where the letter tells an order and a film of the plane that is
/// followed has landmarks.
pub fn ordered(tracks: &[&Track], plane: Plane, shown: &Shown) -> Option<Figure> {
    let words = OrderWords::default();
    let marks: Vec<Mark> = [("pads", MarkKind::Pad), ("reliefs", MarkKind::Relief)]
        .into_iter()
        .flat_map(|(list, kind)| marks(shown, list, kind, plane, &words))
        .collect();
    if marks.is_empty() {
        return None;
    }
    let film = film(plane, shown)?;
    let spine = film.readings.iter().find_map(|r| measure::spine(film, r))?;
    let model = OrderFigure {
        view: if plane == Plane::Coronal { PanelView::Frontal } else { PanelView::Lateral },
        vertebrae: spine.vertebrae().map(|v| (v.level, corners(v, plane))).collect(),
        curves: tracks.iter().filter_map(|t| panel_curve(t, film)).collect(),
        marks,
        captions: vec![film_caption(film, shown)],
        words,
    };
    let drawing = order::draw(&model, SIZE)?;
    Some(Figure { alt: order::alt(&model), caption: caption(model.view).into(), drawing })
}

fn caption(view: PanelView) -> &'static str {
    match view {
        PanelView::Frontal => {
            "Seen from behind. Arrow: pad; dashed frame: relief; numbers as in the table. It shows at \
             which level they lie, not how far from the spine."
        }
        PanelView::Lateral => {
            "Seen from the side. Arrow: pad; dashed frame: relief; numbers as in the table. It \
             shows at which level they lie, not how far from the spine."
        }
    }
}

/// The film that the letter's angles are of, if it has landmarks of that
/// plane: over an older one the pads would lie beside other angles.
fn film<'a>(plane: Plane, shown: &Shown<'a>) -> Option<&'a Film> {
    let Value::Text(id) = &shown.facts.get("major.now.film")?.value else { return None };
    let film = shown.known.films.iter().find(|f| f.id.value == *id)?;
    let of_plane = |r| measure::spine(film, r).is_some_and(|s| s.plane() == plane);
    film.readings.iter().any(of_plane).then_some(film)
}

fn film_caption(film: &Film, shown: &Shown) -> String {
    let posture = film.posture.as_ref().map_or("posture not recorded", |p| p.word());
    format!("{posture}, {}", full_date(film.taken.value, shown.style))
}

fn marks(shown: &Shown, list: &str, kind: MarkKind, plane: Plane, words: &OrderWords) -> Vec<Mark> {
    let root = format!("order.{list}");
    let all = shown.facts.children(&root);
    let one = |key: &str| mark(shown, &format!("{root}.{key}"), kind, plane, words);
    all.into_iter().filter_map(one).collect()
}

/// A mark; nothing where the view cannot show it.
fn mark(
    shown: &Shown,
    path: &str,
    kind: MarkKind,
    plane: Plane,
    words: &OrderWords,
) -> Option<Mark> {
    let value = |item: &str| shown.facts.get(&format!("{path}.{item}")).map(|f| &f.value);
    let (upper, lower): (Level, Level) = match value("at")? {
        Value::Level(level) => (*level, *level),
        Value::Levels(upper, lower) => (*upper, *lower),
        _ => return None,
    };
    let sides = sides(value("side")?)?;
    let face = match value("face") {
        Some(Value::Word(word)) => ["back", "front", "flank"].iter().position(|f| f == word),
        _ => None,
    };
    let (edges, note) = match plane {
        Plane::Coronal => (sides.edges, face.map_or(String::new(), |at| words.faces[at].clone())),
        Plane::Sagittal => {
            let edge = [Convexity::Back, Convexity::Front].get(face?).copied()?;
            (vec![edge], words.on_side[sides.word].clone())
        }
    };
    let number = shown.facts.get(&format!("{path}.number"))?.number()?.digits();
    Some(Mark { kind, number, upper, lower, edges, note })
}

/// The patient's sides: as edges of a frontal film, and as a place in a list
/// of words (left, right, both).
struct Sides {
    edges: Vec<Convexity>,
    word: usize,
}

fn sides(value: &Value) -> Option<Sides> {
    let (edges, word) = match value {
        Value::Side(Side::Left) => (vec![Convexity::Left], 0),
        Value::Side(Side::Right) => (vec![Convexity::Right], 1),
        Value::Word("both") => (vec![Convexity::Left, Convexity::Right], 2),
        _ => return None,
    };
    Some(Sides { edges, word })
}
