//! Where each film stands: one scale, columns wide enough for their labels.

use super::body::{Body, bodies, centre};
use super::label;
use super::{SpinePanel, SpinePanels};
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::Type;
use crate::figure::text;
use crate::spine::Level;

pub(super) const CAPTION: Type = Type::plain(crate::figure::SMALLEST_TEXT);
pub(super) const SIDE: Type = Type::bold(9.0);

/// A film in support is drawn at this share of the common scale.
const SMALLER: f64 = 0.72;
/// Between columns, in mm; twice that where a line divides them.
const GUTTER: f64 = 1.0;
/// From the sides' letters to the spine and from the spine to its caption.
const CLEAR: f64 = 1.2;
/// Column of label room that is kept on each side at least.
const LEAST_SIDE: f64 = 3.0;

/// A film laid out on the page.
pub(super) struct Column<'a> {
    pub panel: &'a SpinePanel,
    pub body: Body,
    /// Its column, over the whole height of the figure.
    pub area: Rect,
    /// Bottom of the spine's room; captions stand below.
    pub foot: f64,
    pub captions: Vec<String>,
}

/// The films before they are placed.
struct Film<'a> {
    panel: &'a SpinePanel,
    body: Body,
    share: f64,
    sides: f64,
    left_side: f64,
    above: f64,
    below: f64,
}

/// Lays the films out, or nothing if none has landmarks or the space is too
/// small for their words.
pub(super) fn columns(figure: &SpinePanels, size: Size) -> Vec<Column<'_>> {
    let bodies = bodies(figure);
    let anchor = anchor(&bodies);
    let films: Vec<Film> = bodies.into_iter().map(|(p, b)| film(p, b, anchor)).collect();
    if films.is_empty() {
        return Vec::new();
    }
    let mut lines = 1;
    loop {
        let scale = scale(&films, size, lines);
        if scale <= 0.0 {
            return Vec::new();
        }
        let widths = widths(&films, size, scale);
        let captions: Vec<_> =
            films.iter().zip(&widths).map(|(f, w)| captions(f.panel, *w)).collect();
        let most = captions.iter().map(Vec::len).max().unwrap_or(0);
        if most <= lines {
            return place(films, &widths, captions, scale, size);
        }
        // More lines mean smaller spines and no narrower columns, so this ends.
        lines = most;
    }
}

/// The lowest vertebra that every film shows; the films stand level there.
fn anchor(bodies: &[(&SpinePanel, Body)]) -> Option<Level> {
    let (_, first) = bodies.first()?;
    let everywhere = |l: &&Level| bodies.iter().all(|(_, b)| b.bones.contains_key(l));
    first.bones.keys().rev().find(everywhere).copied()
}

fn film(panel: &SpinePanel, body: Body, anchor: Option<Level>) -> Film<'_> {
    let share = if panel.in_support { SMALLER } else { 1.0 };
    let extent = body.extent();
    let level = anchor.and_then(|a| body.bones.get(&a)).map_or(extent.bottom, |c| centre(c).1);
    let (left, right) = label::side_room(panel);
    let (left, right) = (left.max(LEAST_SIDE), right.max(LEAST_SIDE));
    Film {
        panel,
        share,
        sides: left + right,
        left_side: left,
        above: (level - extent.top) * share,
        below: (extent.bottom - level) * share,
        body,
    }
}

fn head() -> f64 {
    SIDE.rise() + CLEAR
}

fn foot(lines: usize) -> f64 {
    CLEAR + lines as f64 * CAPTION.leading()
}

fn gutters(films: &[Film]) -> f64 {
    films.windows(2).map(gutter).sum()
}

fn gutter(pair: &[Film]) -> f64 {
    let divided = pair[0].panel.in_support != pair[1].panel.in_support;
    if divided { GUTTER * 3.0 } else { GUTTER }
}

/// The largest scale at which height and width suffice.
fn scale(films: &[Film], size: Size, lines: usize) -> f64 {
    let tallest = |pick: fn(&Film) -> f64| films.iter().map(pick).fold(0.0, f64::max);
    let room = size.height - head() - foot(lines);
    let by_height = room / (tallest(|f| f.above) + tallest(|f| f.below));
    let fixed: f64 = films.iter().map(|f| f.sides).sum::<f64>() + gutters(films);
    let broad: f64 = films.iter().map(|f| f.body.extent().width() * f.share).sum();
    by_height.min((size.width - fixed) / broad).max(0.0)
}

/// Widths of the columns: what each needs, and an equal part of the rest.
fn widths(films: &[Film], size: Size, scale: f64) -> Vec<f64> {
    let needs: Vec<f64> = films
        .iter()
        .map(|f| {
            let words = f.panel.captions.iter();
            let word = words.map(|c| text::widest_word(c, CAPTION.size, CAPTION.bold));
            word.map(|w| w + 1.5)
                .fold(f.sides + f.body.extent().width() * f.share * scale, f64::max)
        })
        .collect();
    let rest = size.width - gutters(films) - needs.iter().sum::<f64>();
    needs.iter().map(|need| need + rest / needs.len() as f64).collect()
}

fn captions(panel: &SpinePanel, width: f64) -> Vec<String> {
    let wrap = |line: &String| text::wrap(line, CAPTION.size, CAPTION.bold, width - 1.5);
    panel.captions.iter().flat_map(wrap).collect()
}

fn place<'a>(
    films: Vec<Film<'a>>,
    widths: &[f64],
    captions: Vec<Vec<String>>,
    scale: f64,
    size: Size,
) -> Vec<Column<'a>> {
    let lines = captions.iter().map(Vec::len).max().unwrap_or(0);
    let foot = size.height - foot(lines);
    let below = films.iter().map(|f| f.below).fold(0.0, f64::max) * scale;
    let gutters: Vec<f64> = films.windows(2).map(gutter).chain([0.0]).collect();
    let mut left = 0.0;
    let mut out = Vec::new();
    for ((film, captions), (width, gutter)) in
        films.into_iter().zip(captions).zip(widths.iter().zip(gutters))
    {
        let area = Rect { left, top: 0.0, right: left + width, bottom: foot };
        out.push(column(film, captions, area, scale, foot - below));
        left += width + gutter;
    }
    out
}

/// Sets a film into its column: spare width is split between its sides, and
/// its anchor stands where the others' stand.
fn column(film: Film, captions: Vec<String>, area: Rect, scale: f64, level: f64) -> Column {
    let size = scale * film.share;
    let extent = film.body.extent();
    let spare = area.width() - film.sides - extent.width() * size;
    let x = area.left + film.left_side + spare / 2.0 - extent.left * size;
    let y = level - (extent.bottom * size - film.below * scale);
    Column {
        panel: film.panel,
        body: film.body.placed(size, (x, y)),
        area,
        foot: area.bottom,
        captions,
    }
}
