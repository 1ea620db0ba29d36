//! The drawing of growth, from back to front.

use super::frame::{FACE, Frame, Plot, shown};
use super::scale::within;
use super::{Growth, Peak};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::figure::time::day_number;
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};

const VALUE: Type = Type::bold(9.0);
/// Radius of a height's mark, in mm.
const MARK: f64 = 0.85;
/// Up to so many heights all have their value printed; beyond, the first and
/// the last.
const ALL: usize = 8;

/// Draws the heights in that space; nothing with fewer than two of them.
pub fn draw(growth: &Growth, size: Size) -> Option<Drawing> {
    if growth.heights.len() < 2 {
        return None;
    }
    let frame = Frame::of(growth, size)?;
    let mut canvas = Canvas::default();
    let peak = growth.reference.as_ref().and_then(|r| r.peak.as_ref());
    if let (Some(plot), Some(peak)) = (&frame.velocity, peak) {
        shade(&mut canvas, plot, peak);
    }
    if let Some(plot) = &frame.velocity {
        bands(&mut canvas, growth, plot);
    }
    frame.draw(&mut canvas, growth);
    if let (Some(plot), Some(peak)) = (&frame.velocity, peak) {
        edges(&mut canvas, plot, peak);
    }
    centiles(&mut canvas, growth, &frame.heights);
    frame.draw_names(&mut canvas, growth);
    let mut board = first_period(&mut canvas, growth, &frame);
    heights(&mut canvas, &mut board, growth, &frame.heights);
    if let Some(plot) = &frame.velocity {
        steps(&mut canvas, growth, plot, peak);
    }
    Some(canvas.finish(size.width, size.height))
}

fn centiles(canvas: &mut Canvas, growth: &Growth, plot: &Plot) {
    let lines = growth.reference.iter().flat_map(|r| &r.lines).enumerate();
    let middle = growth.reference.as_ref().map_or(0, |r| r.lines.len() / 2);
    for (n, line) in lines {
        let points = within(&line.points, plot.span.days);
        let points = points.into_iter().map(|(day, v)| (plot.span.x_of(day), plot.y(v)));
        let width = if n == middle { 0.3 } else { 0.18 };
        canvas.line(points.collect(), Ink::Grey, width, Dash::Solid);
    }
}

fn heights(canvas: &mut Canvas, board: &mut Board, growth: &Growth, plot: &Plot) {
    let points: Vec<Point> =
        growth.heights.iter().map(|h| plot.at(h.date, h.value.value())).collect();
    canvas.line(points.clone(), Ink::Ink, 0.45, Dash::Solid);
    board.line(&points);
    for point in &points {
        canvas.circle(*point, MARK, Ink::Ink, Ink::Ink, 0.0);
        board.take(Rect::about(*point, MARK));
    }
    let last = points.len() - 1;
    let mut order = vec![last, 0];
    if points.len() <= ALL {
        order.extend(1..last);
    }
    for at in order {
        let text = growth.words.calendar.digits(growth.heights[at].value);
        put(canvas, board, &text, VALUE, &around(points[at], VALUE, &text));
    }
}

/// Boxes around a mark: above and below, then aside.
fn around((x, y): Point, face: Type, text: &str) -> Vec<Rect> {
    let (width, rise) = (face.width(text), face.rise());
    let mut out = Vec::new();
    for away in [1.0, 2.0, 3.2, 5.0] {
        for (dx, dy) in
            [(-0.5, -1.0), (0.5, 1.0), (0.0, -1.0), (0.0, 1.0), (0.9, 1.0), (-0.9, -1.0)]
        {
            let (middle, centre) = (x + dx * width, y + dy * (MARK + away + rise / 2.0));
            out.push(Rect {
                left: middle - width / 2.0,
                right: middle + width / 2.0,
                top: centre - rise / 2.0,
                bottom: centre + rise / 2.0,
            });
        }
    }
    out
}

fn put(canvas: &mut Canvas, board: &mut Board, text: &str, face: Type, places: &[Rect]) {
    let Some(rect) = board.place(places) else { return };
    let clear = rect.grown(0.3);
    let corners = vec![
        (clear.left, clear.top),
        (clear.right, clear.top),
        (clear.right, clear.bottom),
        (clear.left, clear.bottom),
    ];
    canvas.area(corners, Ink::Paper, None);
    canvas.text((rect.left, rect.bottom), text, face, Anchor::Start);
}

/// A dotted line through both plots with its words; what is taken so far.
fn first_period(canvas: &mut Canvas, growth: &Growth, frame: &Frame) -> Board {
    let plot = &frame.heights;
    let mut board = Board::new(Rect { right: plot.area.right + 0.6, ..plot.area });
    let event = growth.first_period.as_ref();
    let Some((event, x)) = event.and_then(|e| Some((e, shown(&plot.span, e.date)?))) else {
        return board;
    };
    let (top, bottom) = (plot.area.top, plot.area.bottom);
    canvas.line(vec![(x, top), (x, bottom)], Ink::Ink, 0.3, Dash::Dotted);
    if let Some(below) = &frame.velocity {
        let ends = vec![(x, below.area.top), (x, below.area.bottom)];
        canvas.line(ends, Ink::Ink, 0.3, Dash::Dotted);
    }
    board.line(&[(x, top), (x, bottom)]);
    let lines = [growth.words.first_period.as_str(), event.when.as_str()];
    let width = lines.iter().map(|l| FACE.width(l)).fold(0.0, f64::max);
    let left = if x + 1.0 + width <= plot.area.right { x + 0.9 } else { x - 0.9 - width };
    for (n, line) in lines.iter().rev().enumerate() {
        let baseline = bottom - 1.2 - n as f64 * FACE.leading();
        let rect =
            Rect { left, right: left + width, top: baseline - FACE.rise(), bottom: baseline };
        put(canvas, &mut board, line, FACE, &[rect]);
    }
    board
}

fn bands(canvas: &mut Canvas, growth: &Growth, plot: &Plot) {
    for step in &growth.steps {
        let (value, half) = (step.per_year.value(), step.half.value());
        let [high, low] = [value + half, value - half];
        let corners = vec![
            plot.at(step.from, high),
            plot.at(step.to, high),
            plot.at(step.to, low),
            plot.at(step.from, low),
        ];
        canvas.area(corners, Ink::Band, Some((Ink::Grey, 0.1)));
    }
}

/// Each step with its value; two that follow each other are joined.
fn steps(canvas: &mut Canvas, growth: &Growth, plot: &Plot, peak: Option<&Peak>) {
    let mut board = Board::new(plot.area.grown(0.8));
    let mut line: Vec<Point> = Vec::new();
    let mut before = None;
    for step in &growth.steps {
        if before != Some(step.from) {
            canvas.line(std::mem::take(&mut line), Ink::Ink, 0.5, Dash::Solid);
        }
        let value = step.per_year.value();
        line.extend([plot.at(step.from, value), plot.at(step.to, value)]);
        before = Some(step.to);
        board.line(&[plot.at(step.from, value), plot.at(step.to, value)]);
    }
    canvas.line(line, Ink::Ink, 0.5, Dash::Solid);
    for step in &growth.steps {
        let text = growth.words.calendar.digits(step.per_year);
        let (from, to) = (plot.span.x(step.from), plot.span.x(step.to));
        let at = ((from + to) / 2.0, plot.y(step.per_year.value()));
        put(canvas, &mut board, &text, VALUE, &above_or_below(at, VALUE, &text));
    }
    if let Some((left, right)) = peak.and_then(|peak| ages(plot, peak)) {
        let text = &growth.words.peak;
        put(canvas, &mut board, text, FACE, &in_band(plot, (left, right), text));
    }
}

/// Places for a word in the band of peak growth, above and below in it.
fn in_band(plot: &Plot, (left, right): (f64, f64), text: &str) -> Vec<Rect> {
    let width = FACE.width(text);
    let tops = [plot.area.top + 1.2, plot.area.bottom - 1.2 - FACE.rise()];
    let lefts = [(left + right - width) / 2.0, left + 0.8, right - 0.8 - width];
    let fits = lefts.into_iter().filter(|x| *x >= left && x + width <= right);
    fits.flat_map(|left| {
        tops.map(|top| Rect { left, right: left + width, top, bottom: top + FACE.rise() })
    })
    .collect()
}

fn above_or_below((x, y): Point, face: Type, text: &str) -> Vec<Rect> {
    let (half, rise) = (face.width(text) / 2.0, face.rise());
    let tops = [y - 0.8 - rise, y + 0.8];
    tops.map(|top| Rect { left: x - half, right: x + half, top, bottom: top + rise }).to_vec()
}

/// The ages of peak growth, as far as they are shown.
fn ages(plot: &Plot, peak: &Peak) -> Option<(f64, f64)> {
    let (from, to) = (day_number(peak.from), day_number(peak.to));
    let (first, last) = plot.span.days;
    (from < last && first < to).then(|| (plot.span.x_of(from), plot.span.x_of(to)))
}

fn shade(canvas: &mut Canvas, plot: &Plot, peak: &Peak) {
    let Some((left, right)) = ages(plot, peak) else { return };
    let (top, bottom) = (plot.area.top, plot.area.bottom);
    let corners = vec![(left, top), (right, top), (right, bottom), (left, bottom)];
    canvas.area(corners, Ink::Shade, None);
}

fn edges(canvas: &mut Canvas, plot: &Plot, peak: &Peak) {
    for x in [peak.from, peak.to].into_iter().filter_map(|day| shown(&plot.span, day)) {
        let ends = vec![(x, plot.area.top), (x, plot.area.bottom)];
        canvas.line(ends, Ink::Accent, 0.3, Dash::Dashed);
    }
}
