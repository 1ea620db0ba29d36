//! The outline from the side, from the lateral films with landmarks.
//!
//! Angles and distances are the films' own facts, so that the figure says
//! what the text says. A film without landmarks is not drawn, and without one
//! the figure falls away.

use super::words::worded;
use super::{BESIDE, Shown, angle, captions, corners};
use crate::case::{Bend as Bent, Film, SagittalItem, View};
use crate::facts::compare::{self, Held};
use crate::facts::derive::track::Track;
use crate::facts::derive::{measure, treatment};
use crate::figure::Size;
use crate::figure::sagittal::{
    Bend, Falls, Plumb, SagittalPanel, SagittalPanels, SagittalWords, alt, draw,
};
use crate::letter::block::Figure;
use crate::letter::wording::{Say, say};
use crate::quantity::Reported;
use crate::spine::frame::Plane;
use crate::spine::landmark::Mark;
use crate::spine::sagittal::Stretch;
use crate::spine::{Level, PatientSpine};

/// Height of the figure in mm: a spine of seventeen vertebrae and the hips.
const HEIGHT: f64 = 78.0;

/// Fewer vertebrae are no outline; our own bound.
const FEWEST: usize = 5;

/// The figure, or nothing where no lateral film has landmarks.
pub(super) fn outline(tracks: &[Track], shown: &Shown, width: f64) -> Option<Figure> {
    let panels: Vec<SagittalPanel> =
        films(shown)?.iter().filter_map(|film| panel(film, tracks, shown)).collect();
    let model = SagittalPanels { panels, words: worded::<SagittalWords>(shown) };
    let size = Size { width: width.min(BESIDE), height: HEIGHT };
    let drawing = draw(&model, size)?;
    Some(Figure { alt: alt(&model), caption: model.caption(), drawing })
}

/// The film of now, beside it the one in the brace or cast worn now, else the
/// comparable one before.
fn films<'a>(shown: &Shown<'a>) -> Option<Vec<&'a Film>> {
    let case = shown.known;
    let marked: Vec<&Film> = case
        .films
        .iter()
        .filter(|f| f.view.value == View::Lateral)
        .filter(|f| spine(f).is_some_and(|s| s.vertebrae().count() >= FEWEST))
        .collect();
    let now = compare::now(case, marked.iter().copied())?;
    let worn = treatment::current(case, shown.facts.as_of).map(|t| &t.id.value);
    let in_it = |f: &&Film| match (&f.support, worn) {
        (Some(support), Some(id)) => support.value == crate::case::Support::Treatment(id.clone()),
        _ => false,
    };
    if let Some(held) = marked.iter().copied().rfind(in_it) {
        return Some(vec![now, held]);
    }
    let earlier =
        |f: &&Film| f.taken.value < now.taken.value && compare::progression(case, f, now).is_ok();
    let before = marked.iter().copied().rfind(earlier);
    Some(before.into_iter().chain([now]).collect())
}

fn spine(film: &Film) -> Option<PatientSpine> {
    let spines = film.readings.iter().filter_map(|r| measure::spine(film, r));
    spines.into_iter().find(|s| s.plane() == Plane::Sagittal)
}

fn panel(film: &Film, tracks: &[Track], shown: &Shown) -> Option<SagittalPanel> {
    let spine = spine(film)?;
    let point = |p: crate::spine::frame::Point| (p.across, p.up);
    Some(SagittalPanel {
        vertebrae: spine.vertebrae().map(|v| (v.level, corners(v, Plane::Sagittal))).collect(),
        femoral_heads: spine.marks(Mark::FemoralHead).into_iter().map(point).collect(),
        in_millimetres: film.scale.is_some(),
        bends: bends(film, &spine, tracks, shown),
        plumb: plumb(film, &spine, shown),
        pelvis: [SagittalItem::Incidence, SagittalItem::Tilt, SagittalItem::Slope]
            .map(|item| number(film, item, shown).map(angle)),
        captions: captions(film, shown),
        in_support: matches!(compare::held(shown.known, film), Held::Brace | Held::Cast),
    })
}

/// What a film's own fact says of an item.
fn number(film: &Film, item: SagittalItem, shown: &Shown) -> Option<Reported> {
    let id = format!("films.{}.sagittal.{}", film.id.value, item.key());
    shown.facts.get(&id)?.number()
}

/// The curves read from the film; a kyphosis or lordosis that no reader named
/// is told between its usual ends.
fn bends(film: &Film, spine: &PatientSpine, tracks: &[Track], shown: &Shown) -> Vec<Bend> {
    let mut bends: Vec<Bend> = tracks
        .iter()
        .filter(|t| t.plane == Plane::Sagittal)
        .filter_map(|t| t.films.iter().find(|c| c.film.id.value == film.id.value))
        .filter_map(|c| {
            let bend = c.members[0].curve.bend.as_ref()?.value;
            let (upper, lower) = c.levels();
            let angle = angle(c.reported());
            Some(Bend { upper, lower, kyphosis: bend == Bent::Kyphosis, angle })
        })
        .collect();
    for (stretch, kyphosis) in [(Stretch::T5T12, true), (Stretch::Lordosis, false)] {
        if bends.iter().any(|b| b.kyphosis == kyphosis) {
            continue;
        }
        let (upper, lower) = stretch.ends();
        let marked = spine.vertebra(upper).is_some() && spine.vertebra(lower).is_some();
        let found = number(film, SagittalItem::Bend(stretch), shown).filter(|_| marked);
        bends.extend(found.map(|n| Bend { upper, lower, kyphosis, angle: angle(n) }));
    }
    bends.sort_by_key(|b| (b.upper, b.lower));
    bends
}

/// The distance of the plumb line, where both its ends are marked.
fn plumb(film: &Film, spine: &PatientSpine, shown: &Shown) -> Option<Plumb> {
    let marked = |level| spine.vertebra(level).is_some();
    let axis = number(film, SagittalItem::Axis, shown)
        .filter(|_| marked(Level::C(7)) && marked(Level::S1))?;
    let falls = match axis.sign() {
        1 => Falls::InFront,
        -1 => Falls::Behind,
        _ => Falls::On,
    };
    let value = crate::facts::Value::Number(axis.abs());
    let distance = say(&value, &Say::default(), shown.style).ok()?.text;
    Some(Plumb { distance, falls })
}
