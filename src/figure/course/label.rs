//! Values beside their marks: which are printed, and where there is room.

use super::axis::Plot;
use super::mark::{self, REACH};
use super::{CoursePoint, CourseWords, PointKind, Series};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::letter::drawing::{Anchor, Dash, Ink};
use crate::quantity::math;

const VALUE: Type = Type::bold(9.0);
const APART: Type = Type::plain(crate::figure::SMALLEST_TEXT);

/// Up to so many films of a kind all have their value printed; beyond, only
/// the first, the last and the extremes.
const ALL_LINE: usize = 8;
const ALL_APART: usize = 3;

/// A value to print beside its mark.
#[derive(Debug)]
struct Wanted {
    at: Point,
    text: String,
    face: Type,
    rank: u8,
    rising: bool,
}

/// Places and draws every label of a curve that finds room.
pub(super) fn draw(
    canvas: &mut Canvas,
    board: &mut Board,
    series: &Series,
    plot: &Plot,
    words: &CourseWords,
) {
    let mut wanted = wanted(series, plot, words);
    wanted.sort_by_key(|w| w.rank);
    for label in wanted {
        place(canvas, board, &label);
    }
}

fn wanted(series: &Series, plot: &Plot, words: &CourseWords) -> Vec<Wanted> {
    let line = mark::joined(series);
    let mut out = Vec::new();
    for (i, rank) in chosen(&line, ALL_LINE) {
        let rising = i.checked_sub(1).is_none_or(|b| line[b].value.compare(line[i].value).is_le());
        let text = line[i].label.clone();
        out.push(Wanted { at: plot.at(line[i]), text, face: VALUE, rank, rising });
    }
    for group in groups(series) {
        for (i, rank) in chosen(&group, ALL_APART) {
            out.push(wanted_apart(group[i], plot, words, rank + 1));
        }
    }
    out
}

fn wanted_apart(point: &CoursePoint, plot: &Plot, words: &CourseWords, rank: u8) -> Wanted {
    let ink = if point.kind == PointKind::InBrace { Ink::Accent } else { Ink::Ink };
    let text = format!("{} {}", point.label, note(&point.kind, words));
    Wanted { at: plot.at(point), text, face: APART.inked(ink), rank, rising: false }
}

/// The films that stand apart, by kind.
fn groups(series: &Series) -> Vec<Vec<&CoursePoint>> {
    let kinds: [mark::Is; 3] = [
        |k| *k == PointKind::InBrace,
        |k| *k == PointKind::InCast,
        |k| matches!(k, PointKind::NotComparable(_)),
    ];
    let apart = mark::apart(series);
    kinds.map(|is| apart.iter().copied().filter(|p| is(&p.kind)).collect()).into()
}

fn note(kind: &PointKind, words: &CourseWords) -> String {
    match kind {
        PointKind::OutOfSupport => String::new(),
        PointKind::InBrace => words.in_brace.clone(),
        PointKind::InCast => words.in_cast.clone(),
        PointKind::NotComparable(why) if why.is_empty() => words.not_comparable.clone(),
        PointKind::NotComparable(why) => why.clone(),
    }
}

/// Which points have their value printed, with their rank: the last and first
/// (0), the extremes (1), the others (2).
fn chosen(points: &[&CoursePoint], all: usize) -> Vec<(usize, u8)> {
    let by_value = |a: &&usize, b: &&usize| points[**a].value.compare(points[**b].value);
    let indices: Vec<usize> = (0..points.len()).collect();
    // Of equal extremes the first.
    let highest = indices.iter().rev().max_by(by_value).copied();
    let lowest = indices.iter().min_by(by_value).copied();
    let rank = |i: usize| match i {
        0 => 0,
        i if i + 1 == points.len() => 0,
        i if Some(i) == highest || Some(i) == lowest => 1,
        _ => 2,
    };
    indices.iter().map(|i| (*i, rank(*i))).filter(|(_, r)| *r < 2 || points.len() <= all).collect()
}

/// Where a place is tried around a mark: right is 1, down is 1.
const DIRECTIONS: [(f64, f64); 8] = [
    (0.0, -1.0),
    (0.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
];
/// Rings of places that count as near: a value of lesser rank goes no further.
const NEAR: usize = 4;
/// Distances from the mark at which a place is tried, in mm.
const STEPS: [f64; 9] = [0.7, 1.3, 2.0, 2.8, 4.0, 6.0, 8.5, 11.5, 15.0];
/// Beyond this distance a hairline leads from the label to its mark.
const LEAD: f64 = 3.4;

fn place(canvas: &mut Canvas, board: &mut Board, label: &Wanted) {
    let candidates = candidates(label, label.face.width(&label.text));
    let (near, far) = candidates.split_at(NEAR * DIRECTIONS.len());
    let chosen = board.place(near).or_else(|| match label.rank {
        0 | 1 => far.chunks(DIRECTIONS.len()).find_map(|ring| board.place(ring)),
        _ => None,
    });
    if let Some(rect) = chosen {
        draw_label(canvas, board, label, rect);
    }
}

fn draw_label(canvas: &mut Canvas, board: &mut Board, label: &Wanted, rect: Rect) {
    let near = rect.nearest(label.at);
    let away = math::hypot(near.0 - label.at.0, near.1 - label.at.1);
    if away > LEAD + REACH {
        let share = (REACH + 0.2) / away;
        let start = (
            label.at.0 + (near.0 - label.at.0) * share,
            label.at.1 + (near.1 - label.at.1) * share,
        );
        canvas.line(vec![start, near], Ink::Grey, 0.15, Dash::Solid);
        board.line(&[start, near]);
    }
    let baseline = rect.bottom - label.face.drop(&label.text);
    canvas.text((rect.left, baseline), &label.text, label.face, Anchor::Start);
}

/// Boxes around a mark, near ones first; above first where the line rises into
/// it, below first where it falls, beside first for marks that stand alone.
fn candidates(label: &Wanted, width: f64) -> Vec<Rect> {
    let height = label.face.rise() + label.face.drop(&label.text);
    let alone = !label.face.bold;
    let order: [usize; 8] = match (alone, label.rising) {
        (true, _) => [6, 7, 1, 0, 4, 5, 2, 3],
        (false, true) => [0, 3, 2, 1, 4, 5, 6, 7],
        (false, false) => [0, 2, 1, 3, 5, 4, 6, 7],
    };
    let mut out = Vec::new();
    for step in STEPS {
        let reach = REACH + step;
        for (dx, dy) in order.map(|i| DIRECTIONS[i]) {
            // Diagonal places start at the mark's side, not a full step away.
            let aside = if dy == 0.0 { reach } else { step * 0.6 };
            let centre =
                (label.at.0 + dx * (aside + width / 2.0), label.at.1 + dy * (reach + height / 2.0));
            out.push(Rect {
                left: centre.0 - width / 2.0,
                right: centre.0 + width / 2.0,
                top: centre.1 - height / 2.0,
                bottom: centre.1 + height / 2.0,
            });
        }
    }
    out
}
