//! The drawing of the outline, film by film, from back to front.

use super::body::{Body, centre, middle};
use super::label;
use super::layout::{CAPTION, CLEAR, Column, SIDE, columns};
use super::{Bend, SagittalPanels, SagittalWords};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, text_box};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};
use crate::quantity::math;
use crate::spine::Level;

/// Draws the films that have landmarks, or nothing if none has; a space too
/// small for the words gives nothing either.
pub fn draw(figure: &SagittalPanels, size: Size) -> Option<Drawing> {
    let columns = columns(figure, size);
    if columns.is_empty() {
        return None;
    }
    let mut canvas = Canvas::default();
    for column in &columns {
        draw_column(&mut canvas, column, &figure.words);
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

fn draw_column(canvas: &mut Canvas, column: &Column, words: &SagittalWords) {
    let mut board = Board::new(column.area);
    let Column { panel, body, .. } = column;
    draw_sides(canvas, &mut board, column, words);
    for (level, corners) in &body.bones {
        draw_bone(canvas, *level, corners, is_end(&panel.bends, *level));
        board.take(Rect::around(corners));
    }
    draw_pelvis(canvas, &mut board, body);
    for bend in &panel.bends {
        draw_endplates(canvas, &mut board, body, bend);
    }
    let across = draw_plumb(canvas, &mut board, body, panel.plumb.is_some());
    if let (Some(plumb), Some(across)) = (&panel.plumb, across) {
        label::axis(canvas, &mut board, (words, plumb), &across);
    }
    for bend in &panel.bends {
        label::bend(canvas, &mut board, body, bend);
    }
    draw_captions(canvas, column);
}

fn is_end(bends: &[Bend], level: Level) -> bool {
    bends.iter().any(|b| b.upper == level || b.lower == level)
}

/// How far from the middle of a film its front and back are written at most,
/// so that they are read with it.
const APART: f64 = 17.0;

/// Front and back, in every film of its own.
fn draw_sides(canvas: &mut Canvas, board: &mut Board, column: &Column, words: &SagittalWords) {
    let y = SIDE.rise() + 0.3;
    let (area, extent) = (column.area, column.body.extent());
    let middle = (extent.left + extent.right) / 2.0;
    let front = (area.left + CLEAR).max(middle - APART);
    let back = (area.right - CLEAR).min(middle + APART);
    let ends = [((front, y), &words.front, Anchor::Start), ((back, y), &words.back, Anchor::End)];
    for (at, word, anchor) in ends {
        canvas.text(at, word, SIDE, anchor);
        board.take(text_box(at, word, SIDE, anchor));
    }
}

/// A body with its four corners; of the sacrum often only the upper edge.
fn draw_bone(canvas: &mut Canvas, level: Level, corners: &[Point; 4], end: bool) {
    let edge_only = level == Level::S1 && corners[0] == corners[3] && corners[1] == corners[2];
    if edge_only {
        canvas.line(vec![corners[0], corners[1]], Ink::Ink, 0.5, Dash::Solid);
        return;
    }
    let (fill, outline) =
        if end { (Ink::Marked, (Ink::Ink, 0.3)) } else { (Ink::Bone, (Ink::Grey, 0.18)) };
    canvas.area(corners.to_vec(), fill, Some(outline));
}

/// The radius of the rings at the femoral heads and at the hip axis, in mm.
const HEAD: f64 = 1.3;
const AXIS: f64 = 0.6;

/// What the pelvic angles lie between: the line from the hip axis to the
/// middle of the sacrum's upper edge, the upright through the hip axis, the
/// edge's own perpendicular and the level through it.
fn draw_pelvis(canvas: &mut Canvas, board: &mut Board, body: &Body) {
    for head in &body.heads {
        canvas.circle(*head, HEAD, Ink::Bone, Ink::Grey, 0.2);
        board.take(Rect::about(*head, HEAD));
    }
    let (Some(hips), Some([front, back])) = (body.hips(), body.sacrum()) else { return };
    let top = middle(front, back);
    let (across, down) = (back.0 - front.0, back.1 - front.1);
    let length = math::hypot(across, down);
    let reach = math::hypot(hips.0 - top.0, hips.1 - top.1);
    if length > 0.0 {
        // The edge runs to the back; turned by a right angle it points down.
        let part = reach * 0.7 / length;
        let foot = (top.0 - down * part, top.1 + across * part);
        thin(canvas, board, [top, foot]);
        thin(canvas, board, [front, (front.0 + length * 1.2, front.1)]);
    }
    thin(canvas, board, [hips, (hips.0, top.1)]);
    canvas.line(vec![hips, top], Ink::Ink, 0.35, Dash::Solid);
    board.line(&[hips, top]);
    canvas.circle(hips, AXIS, Ink::Paper, Ink::Ink, 0.3);
}

fn thin(canvas: &mut Canvas, board: &mut Board, line: [Point; 2]) {
    canvas.line(line.to_vec(), Ink::Grey, 0.2, Dash::Dotted);
    board.light_line(&line);
}

/// How far the measured endplates are drawn out beyond the bone, in its
/// widths.
const OUT: f64 = 0.45;

fn draw_endplates(canvas: &mut Canvas, board: &mut Board, body: &Body, bend: &Bend) {
    let upper = body.bones.get(&bend.upper).map(|c| [c[0], c[1]]);
    // Of the sacrum the upper edge closes a lordosis.
    let lower = body.bones.get(&bend.lower).map(|c| match bend.lower {
        Level::S1 => [c[0], c[1]],
        _ => [c[3], c[2]],
    });
    for [front, back] in [upper, lower].into_iter().flatten() {
        let (x, y) = ((back.0 - front.0) * OUT, (back.1 - front.1) * OUT);
        let line = [(front.0 - x / 2.0, front.1 - y / 2.0), (back.0 + x, back.1 + y)];
        canvas.line(line.to_vec(), Ink::Accent, 0.4, Dash::Solid);
        board.line(&line);
    }
}

/// The plumb line from the middle of C7 to below the sacrum, and the line
/// across to the sacrum's back corner where the distance is known.
fn draw_plumb(
    canvas: &mut Canvas,
    board: &mut Board,
    body: &Body,
    known: bool,
) -> Option<label::Across> {
    let c7 = centre(body.bones.get(&Level::C(7))?);
    let [_, corner] = body.sacrum()?;
    let line = [c7, (c7.0, corner.1 + BELOW)];
    canvas.line(line.to_vec(), Ink::Ink, 0.3, Dash::Dashed);
    board.line(&line);
    let across = label::Across { plumb: (c7.0, corner.1), corner };
    if known {
        let line = [across.plumb, across.corner];
        canvas.line(line.to_vec(), Ink::Accent, 0.5, Dash::Solid);
        board.line(&line);
        canvas.circle(corner, 0.5, Ink::Accent, Ink::Accent, 0.1);
    }
    Some(across)
}

/// How far the plumb line goes on below the corner of the sacrum, in mm.
const BELOW: f64 = 2.0;

fn draw_captions(canvas: &mut Canvas, column: &Column) {
    let middle = (column.area.left + column.area.right) / 2.0;
    for (i, line) in column.captions.iter().enumerate() {
        let y = column.area.bottom + CLEAR + CAPTION.rise() + i as f64 * CAPTION.leading();
        canvas.text((middle, y), line, CAPTION, Anchor::Middle);
    }
}
