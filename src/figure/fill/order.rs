//! The pads and reliefs of an order over the film it goes by.

use crate::case::Film;
use crate::facts::Value;
use crate::facts::compare;
use crate::facts::derive::measure;
use crate::facts::derive::track::Track;
use crate::figure::Size;
use crate::figure::order::{self, Mark, MarkKind, OrderFigure, OrderWords};
use crate::letter::block::Figure;
use crate::letter::wording::full_date;
use crate::spine::frame::Plane;
use crate::spine::{Level, Side};

use super::{Shown, corners, panel_curve};

/// A page's width and as high as a hand: a maker reads it at the bench.
const SIZE: Size = Size { width: 140.0, height: 118.0 };

/// The figure, where the letter tells an order and a frontal film has
/// landmarks.
pub fn ordered(tracks: &[&Track], shown: &Shown) -> Option<Figure> {
    let marks: Vec<Mark> = [("pads", MarkKind::Pad), ("reliefs", MarkKind::Relief)]
        .into_iter()
        .flat_map(|(list, kind)| marks(shown, list, kind))
        .collect();
    if marks.is_empty() {
        return None;
    }
    let film = film(tracks, shown)?;
    let spine = film.readings.iter().find_map(|r| measure::spine(film, r))?;
    let model = OrderFigure {
        vertebrae: spine.vertebrae().map(|v| (v.level, corners(v, Plane::Coronal))).collect(),
        curves: tracks.iter().filter_map(|t| panel_curve(t, film)).collect(),
        marks,
        captions: vec![caption(film, shown)],
        words: OrderWords::default(),
    };
    let drawing = order::draw(&model, SIZE)?;
    let caption = "Seen from behind: the patient’s left is at the left. Filled bar with an arrow: \
                   pad. Dashed frame: relief. Numbers as in the tables. Lines: the endplates \
                   measured. Levels show where along the spine, not how far from it.";
    Some(Figure { alt: order::alt(&model), caption: caption.into(), drawing })
}

/// The film that shows the spine as it is now, among those with landmarks.
fn film<'a>(tracks: &[&Track], shown: &Shown<'a>) -> Option<&'a Film> {
    let case = shown.known;
    let measured =
        |f: &Film| tracks.iter().any(|t| t.films.iter().any(|c| c.film.id.value == f.id.value));
    let marked = |f: &&Film| {
        let frontal = |r| measure::spine(f, r).is_some_and(|s| s.plane() == Plane::Coronal);
        measured(f) && f.readings.iter().any(frontal)
    };
    compare::now(case, case.films.iter().filter(|f| compare::natural(case, f)).filter(marked))
}

fn caption(film: &Film, shown: &Shown) -> String {
    let posture = film.posture.as_ref().map_or("posture not recorded", |p| p.word());
    format!("{posture}, {}", full_date(film.taken.value, shown.style))
}

fn marks(shown: &Shown, list: &str, kind: MarkKind) -> Vec<Mark> {
    let root = format!("order.{list}");
    let all = shown.facts.children(&root);
    all.into_iter().flat_map(|key| mark(shown, &format!("{root}.{key}"), kind)).collect()
}

/// One mark for each side.
fn mark(shown: &Shown, path: &str, kind: MarkKind) -> Vec<Mark> {
    let value = |item: &str| shown.facts.get(&format!("{path}.{item}")).map(|f| &f.value);
    let levels: Option<(Level, Level)> = match value("at") {
        Some(Value::Level(level)) => Some((*level, *level)),
        Some(Value::Levels(upper, lower)) => Some((*upper, *lower)),
        _ => None,
    };
    let sides = match value("side") {
        Some(Value::Side(side)) => vec![*side],
        Some(Value::Word("both")) => vec![Side::Left, Side::Right],
        _ => Vec::new(),
    };
    let number = shown.facts.get(&format!("{path}.number")).and_then(|f| f.number());
    let (Some((upper, lower)), Some(number)) = (levels, number) else { return Vec::new() };
    let one = |side| Mark { kind, number: number.digits(), upper, lower, side };
    sides.into_iter().map(one).collect()
}
