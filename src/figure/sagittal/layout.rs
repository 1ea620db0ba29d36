//! Where each film stands: equal columns, one scale, the sacra level.

use super::body::{Body, bodies, centre};
use super::label::{self, BESIDE};
use super::{Falls, SagittalPanel, SagittalPanels, SagittalWords};
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::Type;
use crate::figure::text;
use crate::spine::Level;

pub(super) const CAPTION: Type = Type::plain(crate::figure::SMALLEST_TEXT);
pub(super) const SIDE: Type = Type::bold(9.0);

/// Between columns, and where a line divides them, in mm.
const GUTTER: f64 = 2.0;
/// From the sides' words to the spine and from the spine to its caption.
pub(super) const CLEAR: f64 = 1.4;

/// A film laid out on the page.
pub(super) struct Column<'a> {
    pub panel: &'a SagittalPanel,
    pub body: Body,
    /// Its column, down to where its captions begin.
    pub area: Rect,
    pub captions: Vec<String>,
}

/// Lays the films out, or nothing if none has landmarks or the space is too
/// small for their words.
pub(super) fn columns(figure: &SagittalPanels, size: Size) -> Vec<Column<'_>> {
    let films = bodies(figure);
    let count = films.len() as f64;
    if films.is_empty() {
        return Vec::new();
    }
    let width = (size.width - GUTTER * (count - 1.0)) / count;
    let captions: Vec<Vec<String>> =
        films.iter().map(|(p, _)| captions(p, &figure.words, width)).collect();
    let lines = captions.iter().map(Vec::len).max().unwrap_or(0);
    let foot = size.height - CLEAR - lines as f64 * CAPTION.leading();
    let scale = scale(&films, &figure.words, width, foot - SIDE.rise() - 2.0 * CLEAR);
    if scale <= 0.0 {
        return Vec::new();
    }
    let anchor = anchor(&films);
    let below = films.iter().map(|(_, b)| reach(b, anchor).1).fold(0.0, f64::max) * scale;
    let mut columns = Vec::new();
    for (at, ((panel, body), captions)) in films.into_iter().zip(captions).enumerate() {
        let left = at as f64 * (width + GUTTER);
        let area = Rect { left, top: 0.0, right: left + width, bottom: foot };
        let room = room(panel, &figure.words);
        let body = stood(&body, anchor, scale, &area, foot - CLEAR / 2.0 - below, room);
        columns.push(Column { panel, body, area, captions });
    }
    columns
}

/// Sets a body into its column: what is spare is split between its sides.
fn stood(
    body: &Body,
    anchor: Option<Level>,
    scale: f64,
    area: &Rect,
    level: f64,
    room: (f64, f64),
) -> Body {
    let extent = body.extent();
    let spare = area.width() - room.0 - room.1 - extent.width() * scale;
    let x = area.left + room.0 + spare / 2.0 - extent.left * scale;
    body.placed(scale, (x, level - at(body, anchor) * scale))
}

/// The lowest vertebra that every film shows; the films stand level there.
fn anchor(films: &[(&SagittalPanel, Body)]) -> Option<Level> {
    let (_, first) = films.first()?;
    let everywhere = |l: &&Level| films.iter().all(|(_, b)| b.bones.contains_key(l));
    first.bones.keys().rev().find(everywhere).copied()
}

/// The height of the anchor in a body, from above.
fn at(body: &Body, anchor: Option<Level>) -> f64 {
    anchor.and_then(|l| body.bones.get(&l)).map_or(body.extent().bottom, |c| centre(c).1)
}

/// How far a body reaches above and below its anchor.
fn reach(body: &Body, anchor: Option<Level>) -> (f64, f64) {
    let (extent, level) = (body.extent(), at(body, anchor));
    (level - extent.top, extent.bottom - level)
}

/// Room that labels need in front of a spine and behind it, in mm.
fn room(panel: &SagittalPanel, words: &SagittalWords) -> (f64, f64) {
    let bends = panel.bends.iter().map(|b| label::bend_size(b).0).fold(0.0, f64::max);
    let axis = panel.plumb.as_ref().map_or(0.0, |p| label::axis_width(words, p));
    let (front, back) = match panel.plumb.as_ref().map(|p| p.falls) {
        Some(Falls::Behind) => (0.0, axis.max(bends)),
        _ => (axis, bends),
    };
    (front + 2.0 * BESIDE, back + 2.0 * BESIDE)
}

/// The largest scale at which height and width suffice.
fn scale(films: &[(&SagittalPanel, Body)], words: &SagittalWords, width: f64, height: f64) -> f64 {
    let anchor = anchor(films);
    let reaches: Vec<(f64, f64)> = films.iter().map(|(_, b)| reach(b, anchor)).collect();
    let tallest = |pick: fn(&(f64, f64)) -> f64| reaches.iter().map(pick).fold(0.0, f64::max);
    let by_height = height / (tallest(|r| r.0) + tallest(|r| r.1));
    let by_width = films.iter().map(|(panel, body)| {
        let (front, back) = room(panel, words);
        (width - front - back) / body.extent().width()
    });
    by_width.fold(by_height, f64::min)
}

/// The pelvic angles, then what the film's own captions say.
fn captions(panel: &SagittalPanel, words: &SagittalWords, width: f64) -> Vec<String> {
    let pelvis = panel.pelvis.iter().zip(&words.pelvis);
    let pelvis = pelvis.filter_map(|(a, name)| Some(format!("{name}\u{a0}{}", a.as_ref()?)));
    let pelvis = pelvis.collect::<Vec<_>>().join(" · ");
    let lines = std::iter::once(&pelvis).chain(&panel.captions);
    lines.flat_map(|l| text::wrap(l, CAPTION.size, CAPTION.bold, width - CLEAR)).collect()
}
