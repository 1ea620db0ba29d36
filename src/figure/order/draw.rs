//! The drawing: heads, spine with every level, curves, pads, reliefs.

use super::OrderFigure;
use super::alt::called;
use super::mark::{self, Placed};
use super::place::{Bones, CAPTION, SIDE, bones, centre, foot, head, stretch};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type, text_box};
use crate::figure::spine::{Convexity, PanelCurve, PanelView};
use crate::figure::{SMALLEST_TEXT, Size};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};
use crate::spine::{Apex, Level};

const LEVEL: Type = Type::plain(SMALLEST_TEXT);
const ANGLE: Type = Type::bold(11.0).inked(Ink::Accent);
const NUMBER: Type = Type::bold(10.0);
const AT: Type = Type::plain(9.0);

/// From a mark to its words, in mm.
const GAP: f64 = 1.4;
/// How far an endplate's line reaches beyond the bone, in bone widths.
const REACH: f64 = 0.35;

/// Draws the order, or nothing without landmarks.
pub fn draw(figure: &OrderFigure, size: Size) -> Option<Drawing> {
    let bones = bones(figure, size)?;
    let mut canvas = Canvas::default();
    let mut board = Board::new(Rect {
        left: 0.0,
        top: head() - 1.0,
        right: size.width,
        bottom: size.height - foot(figure) + 4.0,
    });
    draw_heads(&mut canvas, figure, size);
    draw_spine(&mut canvas, &mut board, figure, &bones);
    let placed = mark::place(&figure.marks, &bones);
    placed.iter().for_each(|p| mark::draw(&mut canvas, &mut board, p));
    for curve in &figure.curves {
        draw_angle(&mut canvas, &mut board, &bones, curve);
    }
    placed.iter().for_each(|p| draw_words(&mut canvas, &mut board, figure, p));
    draw_captions(&mut canvas, figure, size);
    Some(canvas.finish(size.width, size.height))
}

/// Towards the page's right (1) or left (-1).
pub(super) fn towards(edge: Convexity) -> f64 {
    match edge {
        Convexity::Left | Convexity::Front => -1.0,
        Convexity::Right | Convexity::Back => 1.0,
    }
}

fn draw_heads(canvas: &mut Canvas, figure: &OrderFigure, size: Size) {
    let words = &figure.words;
    let (left, right) = match figure.view {
        PanelView::Frontal => (&words.left, &words.right),
        PanelView::Lateral => (&words.front, &words.back),
    };
    let y = SIDE.rise() + 0.3;
    canvas.text((size.width * 0.1, y), left, SIDE, Anchor::Start);
    canvas.text((size.width * 0.9, y), right, SIDE, Anchor::End);
}

fn draw_spine(canvas: &mut Canvas, board: &mut Board, figure: &OrderFigure, bones: &Bones) {
    let named: Vec<Level> = figure.curves.iter().flat_map(levels_of).collect();
    for (level, corners) in bones {
        let marked = named.contains(level);
        let (fill, ink) = if marked { (Ink::Marked, Ink::Ink) } else { (Ink::Bone, Ink::Grey) };
        canvas.area(corners.to_vec(), fill, Some((ink, if marked { 0.35 } else { 0.2 })));
        board.take(Rect::around(corners));
    }
    draw_levels(canvas, board, figure, bones, &named);
    for line in figure.curves.iter().flat_map(|c| endplates(bones, c)) {
        canvas.line(line.to_vec(), Ink::Accent, 0.5, Dash::Solid);
        board.line(&line);
    }
}

/// The level of every vertebra on it: first those that a curve, a pad or a
/// relief names, then the others, unless two would lie over each other.
fn draw_levels(
    canvas: &mut Canvas,
    board: &mut Board,
    figure: &OrderFigure,
    bones: &Bones,
    named: &[Level],
) {
    let ends = figure.marks.iter().flat_map(|m| [m.upper, m.lower]);
    let first: Vec<Level> = named.iter().copied().chain(ends).collect();
    let mut done: Vec<Rect> = Vec::new();
    let order = bones.iter().filter(|(l, _)| first.contains(l));
    for (level, corners) in order.chain(bones.iter().filter(|(l, _)| !first.contains(l))) {
        let (x, y) = centre(corners);
        let (at, text) = ((x, level_line(corners, y)), level.to_string());
        let rect = text_box(at, &text, LEVEL, Anchor::Middle);
        if done.iter().all(|other| !rect.overlaps(*other)) {
            canvas.text(at, &text, LEVEL, Anchor::Middle);
            board.take(rect);
            done.push(rect);
        }
    }
}

/// The baseline of a level's name: in the middle of the bone, or below one
/// that is marked as a line, as the sacrum often is.
fn level_line(corners: &[Point; 4], middle: f64) -> f64 {
    let around = Rect::around(corners);
    if around.height() < LEVEL.rise() {
        around.bottom + LEVEL.rise() + 0.8
    } else {
        middle + LEVEL.rise() / 2.0
    }
}

fn levels_of(curve: &PanelCurve) -> Vec<Level> {
    [vec![curve.upper, curve.lower], apex_of(curve).into()].concat()
}

fn apex_of(curve: &PanelCurve) -> [Level; 2] {
    match curve.apex {
        Apex::Vertebra(level) => [level, level],
        Apex::Disc(upper, lower) => [upper, lower],
    }
}

/// The two endplates an angle was measured between, drawn out a little. The
/// sacrum is measured at its upper endplate, the only one it has.
fn endplates(bones: &Bones, curve: &PanelCurve) -> Vec<[Point; 2]> {
    let upper = bones.get(&curve.upper).map(|c| [c[0], c[1]]);
    let lower = bones.get(&curve.lower).map(|c| match curve.lower {
        Level::S1 => [c[0], c[1]],
        _ => [c[3], c[2]],
    });
    let longer = |[a, b]: [Point; 2]| {
        let by = ((b.0 - a.0) * REACH, (b.1 - a.1) * REACH);
        [(a.0 - by.0, a.1 - by.1), (b.0 + by.0, b.1 + by.1)]
    };
    [upper, lower].into_iter().flatten().map(longer).collect()
}

/// Number, level and note beside a mark, as near as there is room.
fn draw_words(canvas: &mut Canvas, board: &mut Board, figure: &OrderFigure, placed: &Placed) {
    let mark = placed.mark;
    let lines = [(called(figure, mark), NUMBER), (levels(placed), AT), (mark.note.clone(), AT)];
    let lines: Vec<_> = lines.into_iter().filter(|(text, _)| !text.is_empty()).collect();
    let width = lines.iter().map(|(text, face)| face.width(text)).fold(0.0, f64::max);
    let height = NUMBER.rise() + (lines.len() - 1) as f64 * AT.leading() + 0.6;
    let (middle, edge) = (placed.middle(), placed.far + placed.side * GAP);
    let box_at = |down: f64, out: f64| {
        let near = edge + placed.side * out;
        let (left, right) =
            if placed.side > 0.0 { (near, near + width) } else { (near - width, near) };
        let top = middle - height / 2.0 + down;
        Rect { left, right, top, bottom: top + height }
    };
    let steps = [0.0, -2.0, 2.0, -4.0, 4.0, -6.0, 6.0, -9.0, 9.0, -13.0, 13.0, -18.0, 18.0];
    let candidates: Vec<Rect> =
        [0.0, 9.0].iter().flat_map(|out| steps.map(|down| box_at(down, *out))).collect();
    // A mark without its number would be useless: it is drawn all the same.
    let found = board.place(&candidates).unwrap_or(candidates[0]);
    let (x, anchor) =
        if placed.side > 0.0 { (found.left, Anchor::Start) } else { (found.right, Anchor::End) };
    let at = (found.top + found.bottom) / 2.0;
    if (at - middle).abs() > height / 2.0 || (x - edge).abs() > 6.0 {
        let lead = vec![(placed.far, middle), (x - placed.side * 0.6, at)];
        canvas.line(lead, Ink::Grey, 0.2, Dash::Solid);
    }
    let mut y = found.top + NUMBER.rise();
    for (text, face) in lines {
        canvas.text((x, y), &text, face, anchor);
        y += AT.leading();
    }
}

fn levels(placed: &Placed) -> String {
    let mark = placed.mark;
    match mark.upper == mark.lower {
        true => mark.upper.to_string(),
        false => format!("{}–{}", mark.upper, mark.lower),
    }
}

/// The angle beside the apex, on the convex side first; it is drawn even
/// where it finds no free place.
fn draw_angle(canvas: &mut Canvas, board: &mut Board, bones: &Bones, curve: &PanelCurve) {
    let [upper, lower] = apex_of(curve);
    let (width, height) = (ANGLE.width(&curve.angle), ANGLE.rise());
    let convex = towards(curve.convex);
    let mut candidates = Vec::new();
    for side in [convex, -convex] {
        let Some(at) = stretch(bones, upper, lower, side) else { continue };
        let middle = (at.top + at.bottom) / 2.0;
        for out in [1.5, 2.5, 4.0] {
            for down in [0.0, -4.6, 4.6, -6.0, 6.0, -8.0, 8.0, -11.0, 11.0] {
                let near = at.edge + side * out;
                let (left, right) =
                    if side > 0.0 { (near, near + width) } else { (near - width, near) };
                let top = middle + down - height / 2.0;
                candidates.push(Rect { left, right, top, bottom: top + height });
            }
        }
    }
    if let Some(found) = board.place(&candidates).or(candidates.first().copied()) {
        canvas.text((found.left, found.bottom), &curve.angle, ANGLE, Anchor::Start);
    }
}

fn draw_captions(canvas: &mut Canvas, figure: &OrderFigure, size: Size) {
    let lines = figure.captions.len() as f64;
    let top = size.height - lines * CAPTION.leading();
    for (i, line) in figure.captions.iter().enumerate() {
        let y = top + CAPTION.rise() + i as f64 * CAPTION.leading();
        canvas.text((size.width / 2.0, y), line, CAPTION, Anchor::Middle);
    }
}
