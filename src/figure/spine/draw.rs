//! The drawing of the spine, film by film, from back to front.

use super::body::{Body, centre};
use super::label;
use super::layout::{CAPTION, Column, SIDE, columns};
use super::{PanelView, SpinePanels, SpineWords};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, text_box};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};
use crate::spine::Level;

/// Draws the films that have landmarks, or nothing if none has: recorded
/// levels and angles alone do not give a spine's shape. A space too small for
/// the words gives nothing either.
pub fn draw(figure: &SpinePanels, size: Size) -> Option<Drawing> {
    let columns = columns(figure, size);
    if columns.is_empty() {
        return None;
    }
    let mut canvas = Canvas::default();
    for column in &columns {
        draw_column(&mut canvas, column, figure);
    }
    for pair in columns.windows(2) {
        if pair[0].panel.in_support != pair[1].panel.in_support {
            let x = (pair[0].area.right + pair[1].area.left) / 2.0;
            let ends = vec![(x, 0.5), (x, size.height - 0.5)];
            canvas.line(ends, Ink::Grey, 0.15, Dash::Solid);
        }
    }
    Some(canvas.finish(size.width, size.height))
}

fn draw_column(canvas: &mut Canvas, column: &Column, figure: &SpinePanels) {
    let mut board = Board::new(column.area);
    draw_sides(canvas, &mut board, column, figure.view, &figure.words);
    let marked = label::marked(column.panel);
    for (level, corners) in &column.body.bones {
        draw_bone(canvas, corners, marked.contains(level));
        board.take(Rect::around(corners));
    }
    if figure.view == PanelView::Frontal {
        draw_sacral_line(canvas, &mut board, column);
    }
    for plate in column.panel.curves.iter().flat_map(|c| label::endplates(&column.body, c)) {
        let ends = [plate.concave, plate.convex];
        canvas.line(ends.to_vec(), Ink::Accent, 0.4, Dash::Solid);
        board.line(&ends);
    }
    label::draw(canvas, &mut board, column.panel, &column.body);
    draw_captions(canvas, column);
}

/// The letters of a film's sides stand this share of its width from its edges,
/// so that one film's right is not read with the next film's left.
const INSET: f64 = 0.14;

/// The patient's sides, in every film of their own.
fn draw_sides(
    canvas: &mut Canvas,
    board: &mut Board,
    column: &Column,
    view: PanelView,
    words: &SpineWords,
) {
    let (left, right) = match view {
        PanelView::Frontal => (&words.left, &words.right),
        PanelView::Lateral => (&words.front, &words.back),
    };
    let y = SIDE.rise() + 0.3;
    let inset = column.area.width() * INSET;
    let ends = [
        ((column.area.left + inset, y), left, Anchor::Start),
        ((column.area.right - inset, y), right, Anchor::End),
    ];
    for (at, word, anchor) in ends {
        canvas.text(at, word, SIDE, anchor);
        board.take(text_box(at, word, SIDE, anchor));
    }
}

/// The central sacral line: upright from the middle of the sacral endplate.
fn draw_sacral_line(canvas: &mut Canvas, board: &mut Board, column: &Column) {
    if let Some(sacrum) = column.body.bones.get(&Level::S1) {
        let x = (sacrum[0].0 + sacrum[1].0) / 2.0;
        let y = (sacrum[0].1 + sacrum[1].1) / 2.0;
        let line = [(x, y), (x, top(&column.body) - 0.8)];
        canvas.line(line.to_vec(), Ink::Grey, 0.25, Dash::Dotted);
        board.light_line(&line);
    }
}

fn top(body: &Body) -> f64 {
    body.bones.values().map(|c| centre(c).1).fold(f64::INFINITY, f64::min)
}

fn draw_bone(canvas: &mut Canvas, corners: &[Point; 4], marked: bool) {
    let (fill, outline) =
        if marked { (Ink::Marked, (Ink::Ink, 0.3)) } else { (Ink::Bone, (Ink::Grey, 0.18)) };
    canvas.area(corners.to_vec(), fill, Some(outline));
}

fn draw_captions(canvas: &mut Canvas, column: &Column) {
    let middle = (column.area.left + column.area.right) / 2.0;
    for (i, line) in column.captions.iter().enumerate() {
        let y = column.foot + 1.2 + CAPTION.rise() + i as f64 * CAPTION.leading();
        canvas.text((middle, y), line, CAPTION, Anchor::Middle);
    }
}
