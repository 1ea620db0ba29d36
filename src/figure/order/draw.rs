//! The drawing: heads, spine with every level, curves, pads, reliefs.

use super::alt::called;
use super::place::{Bones, CAPTION, SIDE, Stretch, bones, centre, foot, head, stretch};
use super::{Mark, MarkKind, OrderFigure};
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type, text_box};
use crate::figure::spine::{Convexity, PanelCurve};
use crate::figure::{SMALLEST_TEXT, Size};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};
use crate::spine::{Apex, Level, Side};

const LEVEL: Type = Type::plain(SMALLEST_TEXT);
const ANGLE: Type = Type::bold(11.0).inked(Ink::Accent);
const NUMBER: Type = Type::bold(10.0);
const AT: Type = Type::plain(9.0);

/// From a bone to an arrow's head, and the arrow's length, in mm.
const NEAR: f64 = 1.6;
const ARROW: f64 = 9.0;
/// Width of a pad's bar and of a relief's frame, in mm.
const BAR: f64 = 2.0;
const FRAME: f64 = 5.0;
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
        bottom: size.height - foot(figure) + 1.5,
    });
    draw_heads(&mut canvas, figure, size);
    draw_spine(&mut canvas, &mut board, figure, &bones);
    let marks = figure.marks.iter().filter_map(|m| Some((m, place(m, &bones)?)));
    let mut marks: Vec<(&Mark, Stretch)> = marks.collect();
    marks.sort_by(|a, b| a.1.top.total_cmp(&b.1.top));
    for (mark, at) in &marks {
        draw_mark(&mut canvas, &mut board, mark, *at);
    }
    for (mark, at) in &marks {
        draw_words(&mut canvas, &mut board, figure, mark, *at);
    }
    for curve in &figure.curves {
        draw_angle(&mut canvas, &mut board, &bones, curve);
    }
    draw_captions(&mut canvas, figure, size);
    Some(canvas.finish(size.width, size.height))
}

/// Towards the page's right (1) or left (-1), seen from behind.
fn towards(side: Side) -> f64 {
    match side {
        Side::Left => -1.0,
        Side::Right => 1.0,
    }
}

fn draw_heads(canvas: &mut Canvas, figure: &OrderFigure, size: Size) {
    let y = SIDE.rise() + 0.3;
    canvas.text((0.5, y), &figure.words.left, SIDE, Anchor::Start);
    canvas.text((size.width - 0.5, y), &figure.words.right, SIDE, Anchor::End);
}

fn draw_spine(canvas: &mut Canvas, board: &mut Board, figure: &OrderFigure, bones: &Bones) {
    let named: Vec<Level> = figure.curves.iter().flat_map(levels_of).collect();
    for (level, corners) in bones {
        let marked = named.contains(level);
        let (fill, ink) = if marked { (Ink::Marked, Ink::Ink) } else { (Ink::Bone, Ink::Grey) };
        canvas.area(corners.to_vec(), fill, Some((ink, if marked { 0.35 } else { 0.2 })));
        board.take(Rect::around(corners));
        let (x, y) = centre(corners);
        canvas.text((x, y + LEVEL.rise() / 2.0), &level.to_string(), LEVEL, Anchor::Middle);
    }
    for line in figure.curves.iter().flat_map(|c| endplates(bones, c)) {
        canvas.line(line.to_vec(), Ink::Accent, 0.5, Dash::Solid);
        board.line(&line);
    }
}

fn levels_of(curve: &PanelCurve) -> Vec<Level> {
    let apex = match curve.apex {
        Apex::Vertebra(level) => vec![level],
        Apex::Disc(upper, lower) => vec![upper, lower],
    };
    [vec![curve.upper, curve.lower], apex].concat()
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

fn place(mark: &Mark, bones: &Bones) -> Option<Stretch> {
    stretch(bones, mark.upper, mark.lower, towards(mark.side))
}

/// A pad's bar with its arrow, or a relief's frame.
fn draw_mark(canvas: &mut Canvas, board: &mut Board, mark: &Mark, at: Stretch) {
    let side = towards(mark.side);
    let (near, far) = reach(mark, at);
    match mark.kind {
        MarkKind::Pad => {
            let y = (at.top + at.bottom) / 2.0;
            let neck = near + side * 2.6;
            canvas.area(rect(far - side * BAR, at.top, far, at.bottom), Ink::Ink, None);
            canvas.line(vec![(far, y), (neck, y)], Ink::Ink, 1.1, Dash::Solid);
            canvas.area(vec![(near, y), (neck, y - 1.9), (neck, y + 1.9)], Ink::Ink, None);
        }
        MarkKind::Relief => {
            let mut ring = rect(near, at.top, far, at.bottom);
            ring.push(ring[0]);
            canvas.line(ring, Ink::Ink, 0.5, Dash::Dashed);
        }
    }
    board.take(Rect { left: near.min(far), right: near.max(far), top: at.top, bottom: at.bottom });
}

/// From where to where a mark reaches across the page, spine first.
fn reach(mark: &Mark, at: Stretch) -> (f64, f64) {
    let side = towards(mark.side);
    let near = at.edge + side * NEAR;
    match mark.kind {
        MarkKind::Pad => (near, near + side * (ARROW + BAR)),
        MarkKind::Relief => (near, near + side * FRAME),
    }
}

fn rect(x: f64, top: f64, other: f64, bottom: f64) -> Vec<Point> {
    vec![(x, top), (other, top), (other, bottom), (x, bottom)]
}

/// Number and level beside a mark, as near as there is room.
fn draw_words(
    canvas: &mut Canvas,
    board: &mut Board,
    figure: &OrderFigure,
    mark: &Mark,
    at: Stretch,
) {
    let side = towards(mark.side);
    let name = called(figure, mark);
    let level = levels(mark);
    let width = NUMBER.width(&name).max(AT.width(&level));
    let height = NUMBER.rise() + AT.leading();
    let (_, far) = reach(mark, at);
    let (middle, edge) = ((at.top + at.bottom) / 2.0, far + side * GAP);
    let box_at = |down: f64, out: f64| {
        let near = edge + side * out;
        let (left, right) = if side > 0.0 { (near, near + width) } else { (near - width, near) };
        let top = middle - height / 2.0 + down;
        Rect { left, right, top, bottom: top + height }
    };
    let steps = [0.0, -2.0, 2.0, -4.0, 4.0, -6.0, 6.0, -9.0, 9.0, -13.0, 13.0, -18.0, 18.0];
    let candidates: Vec<Rect> =
        [0.0, 12.0].iter().flat_map(|out| steps.map(|down| box_at(down, *out))).collect();
    // A mark without its number would be useless: it is drawn all the same.
    let found = board.place(&candidates).unwrap_or(candidates[0]);
    let x = if side > 0.0 { found.left } else { found.right };
    let anchor = if side > 0.0 { Anchor::Start } else { Anchor::End };
    let moved = (found.top + found.bottom) / 2.0 - middle;
    if moved.abs() > height || found.left.max(edge) - edge > 6.0 {
        let from = (far, middle);
        let to = (x - side * 0.6, (found.top + found.bottom) / 2.0);
        canvas.line(vec![from, to], Ink::Grey, 0.2, Dash::Solid);
    }
    canvas.text((x, found.top + NUMBER.rise()), &name, NUMBER, anchor);
    canvas.text((x, found.top + NUMBER.rise() + AT.leading()), &level, AT, anchor);
}

fn levels(mark: &Mark) -> String {
    match mark.upper == mark.lower {
        true => mark.upper.to_string(),
        false => format!("{}–{}", mark.upper, mark.lower),
    }
}

/// The angle beside the apex, on the convex side first.
fn draw_angle(canvas: &mut Canvas, board: &mut Board, bones: &Bones, curve: &PanelCurve) {
    let side = match curve.convex {
        Convexity::Left => -1.0,
        Convexity::Right => 1.0,
        Convexity::Front | Convexity::Back => return,
    };
    let (upper, lower) = match curve.apex {
        Apex::Vertebra(level) => (level, level),
        Apex::Disc(upper, lower) => (upper, lower),
    };
    let (width, height) = (ANGLE.width(&curve.angle), ANGLE.rise());
    let mut candidates = Vec::new();
    for side in [side, -side] {
        let Some(at) = stretch(bones, upper, lower, side) else { continue };
        let middle = (at.top + at.bottom) / 2.0;
        for down in [0.0, -5.0, 5.0, -8.0, 8.0, -11.0, 11.0] {
            for out in [1.5, 3.5, 6.0, 14.0] {
                let near = at.edge + side * out;
                let (left, right) =
                    if side > 0.0 { (near, near + width) } else { (near - width, near) };
                let top = middle + down - height / 2.0;
                candidates.push(Rect { left, right, top, bottom: top + height });
            }
        }
    }
    if let Some(found) = board.place(&candidates) {
        canvas.text((found.left, found.bottom), &curve.angle, ANGLE, Anchor::Start);
        board.take(text_box((found.left, found.bottom), &curve.angle, ANGLE, Anchor::Start));
    }
}

fn draw_captions(canvas: &mut Canvas, figure: &OrderFigure, size: Size) {
    let top = size.height - foot(figure) + 2.0;
    for (i, line) in figure.captions.iter().enumerate() {
        let y = top + CAPTION.rise() + i as f64 * CAPTION.leading();
        canvas.text((size.width / 2.0, y), line, CAPTION, Anchor::Middle);
    }
}
