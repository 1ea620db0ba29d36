//! Times in a brace or cast: a shaded span with its edges, and a flag above.

use super::axis::Plot;
use super::{Course, Episode, EpisodeKind};
use crate::figure::canvas::{Canvas, Type};
use crate::letter::drawing::{Anchor, Dash, Ink};

const FACE: Type = Type::plain(crate::figure::SMALLEST_TEXT);
const INDENT: f64 = 0.7;
const MOST_ROWS: usize = 3;
/// Spans of one label that follow each other this closely share one flag.
const SAME_SPELL_DAYS: i64 = 100;
/// Spans of one label that follow each other this closely are drawn as one: a
/// cast is changed within days.
const UNBROKEN_DAYS: i64 = 14;
/// Spans rise this far above the plot, in mm, clear of its uppermost line.
pub(super) const RISE: f64 = 0.9;

/// A label above the plot, beside the edge where its span begins.
#[derive(Debug)]
pub(super) struct Flag {
    edge: f64,
    left: f64,
    right: f64,
    row: usize,
    text: String,
}

/// Flags in as few rows as keep them apart, the latest lowest: an earlier flag
/// that would run into a later one stands above it.
pub(super) fn flags(course: &Course, plot: &Plot, limit: f64) -> Vec<Flag> {
    let mut flags: Vec<Flag> = Vec::new();
    for episode in labelled(&spells(course)).into_iter().rev() {
        let mut flag = flag(episode, plot, limit);
        let clear = |row: usize| {
            let near = |f: &&Flag| f.row == row;
            flags.iter().filter(near).all(|f| flag.right + INDENT < f.left || f.right < flag.left)
        };
        if let Some(row) = (0..MOST_ROWS).find(|row| clear(*row))
            && flag.left >= 0.0
        {
            flag.row = row;
            flags.push(flag);
        }
    }
    flags
}

fn flag(episode: &Episode, plot: &Plot, limit: f64) -> Flag {
    let edge = plot.x(episode.from);
    let width = FACE.width(&episode.label);
    let left = (edge + INDENT).min(limit - width);
    Flag { edge, left, right: left + width, row: 0, text: episode.label.clone() }
}

/// Episodes by time, without those that only continue the one before.
fn labelled(spells: &[Episode]) -> Vec<&Episode> {
    let all: Vec<&Episode> = spells.iter().collect();
    let continues = |i: usize| {
        let (Some(before), this) = (i.checked_sub(1).map(|b| all[b]), all[i]) else { return false };
        before.label == this.label && gap(before, this) <= SAME_SPELL_DAYS
    };
    (0..all.len()).filter(|i| !continues(*i)).map(|i| all[i]).collect()
}

/// Height of the rows of flags, in mm.
pub(super) fn height(flags: &[Flag]) -> f64 {
    let rows = flags.iter().map(|f| f.row + 1).max().unwrap_or(0);
    rows as f64 * FACE.leading()
}

/// Tints the spans.
pub(super) fn draw_shades(canvas: &mut Canvas, course: &Course, plot: &Plot) {
    let (top, bottom) = (plot.area.top - RISE, plot.area.bottom);
    for spell in spells(course).iter().filter(|s| s.shade) {
        let (left, right) = (plot.x(spell.from), end(spell, course, plot));
        if right > left {
            let corners = vec![(left, top), (right, top), (right, bottom), (left, bottom)];
            canvas.area(corners, Ink::Shade, None);
        }
    }
}

/// Draws a bracket over each span.
pub(super) fn draw_brackets(canvas: &mut Canvas, course: &Course, plot: &Plot) {
    for spell in spells(course) {
        draw_edges(canvas, &spell, course, plot);
    }
}

/// Episodes by time, those that follow each other without a break as one.
fn spells(course: &Course) -> Vec<Episode> {
    let mut all = course.episodes.clone();
    all.sort_by_key(|e| e.from);
    let mut out: Vec<Episode> = Vec::new();
    for next in all {
        match out.last_mut() {
            Some(last) if alike(last, &next) && gap(last, &next) <= UNBROKEN_DAYS => {
                last.to = last.to.zip(next.to).map(|(a, b)| a.max(b));
            }
            _ => out.push(next),
        }
    }
    out
}

fn alike(a: &Episode, b: &Episode) -> bool {
    a.label == b.label && a.kind == b.kind && a.shade == b.shade
}

/// Days without support between two episodes; none if the first continues.
fn gap(before: &Episode, after: &Episode) -> i64 {
    before.to.map_or(0, |to| (after.from - to).num_days())
}

fn end(episode: &Episode, course: &Course, plot: &Plot) -> f64 {
    plot.x(episode.to.unwrap_or(course.until))
}

/// A bracket over the span: edges drop to the axis, so that the span is seen
/// where the tint is lost. A span that continues has no right edge.
fn draw_edges(canvas: &mut Canvas, episode: &Episode, course: &Course, plot: &Plot) {
    let area = plot.area;
    let top = area.top - RISE;
    let (left, right) = (plot.x(episode.from), end(episode, course, plot));
    let dash = match episode.kind {
        EpisodeKind::Brace => Dash::Solid,
        EpisodeKind::Cast => Dash::Dashed,
    };
    canvas.line(vec![(left, area.bottom), (left, top)], Ink::Accent, 0.15, dash);
    if episode.to.is_some() {
        canvas.line(vec![(right, top), (right, area.bottom)], Ink::Accent, 0.15, dash);
    }
    canvas.line(vec![(left, top), (right, top)], Ink::Accent, 0.5, dash);
}

pub(super) fn draw_flags(canvas: &mut Canvas, flags: &[Flag], plot: &Plot) {
    for flag in flags {
        let top = plot.area.top - RISE - flag.row as f64 * FACE.leading();
        let crossed = |f: &&Flag| f.row < flag.row && f.left < flag.edge && flag.edge < f.right;
        if flag.left >= flag.edge && !flags.iter().any(|f| crossed(&f)) {
            let rise = top - FACE.leading() + 0.5;
            let pole = vec![(flag.edge, plot.area.top), (flag.edge, rise)];
            canvas.line(pole, Ink::Accent, 0.15, Dash::Solid);
        }
        canvas.text((flag.left, top - 1.0), &flag.text, FACE, Anchor::Start);
    }
}
