//! The drawing of the hours, from back to front.

use super::bar::{Bar, bars, runs};
use super::frame::{FACE, Frame};
use super::{PrescribedHours, WearCalendar, WearSpan};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, Type};
use crate::figure::time::day_number;
use crate::figure::words::fill;
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};

/// Thickness of the dark line of days without wear, in mm.
pub(super) const BASE: f64 = 0.9;
const VALUE: Type = Type::bold(9.0);

/// Draws the hours in that space, or nothing where there is no day to show.
pub fn draw(calendar: &WearCalendar, size: Size) -> Option<Drawing> {
    let frame = Frame::of(calendar, size)?;
    let mut canvas = Canvas::default();
    frame.draw_scale(&mut canvas, &calendar.words.hours);
    let bars = bars(calendar, &frame.span);
    for run in runs(&bars) {
        draw_run(&mut canvas, &frame, run);
    }
    for span in &calendar.typed {
        draw_span(&mut canvas, &frame, span);
    }
    let prescribed = prescribed(calendar, &frame);
    canvas.line(prescribed.clone(), Ink::Paper, 1.3, Dash::Solid);
    canvas.line(prescribed.clone(), Ink::Accent, 0.6, Dash::Solid);
    frame.draw_foot(&mut canvas);
    draw_labels(&mut canvas, calendar, &frame, &prescribed);
    Some(canvas.finish(size.width, size.height))
}

fn draw_run(canvas: &mut Canvas, frame: &Frame, run: &[Bar]) {
    let (Some(first), Some(last)) = (run.first(), run.last()) else { return };
    match first.hours {
        Some(hours) if hours > 0.0 => {
            let mut outline = vec![frame.at(first.days.0, 0.0)];
            for bar in run {
                let hours = bar.hours.unwrap_or(0.0);
                outline.extend([frame.at(bar.days.0, hours), frame.at(bar.days.1, hours)]);
            }
            outline.push(frame.at(last.days.1, 0.0));
            canvas.area(without_repeats(outline), Ink::Marked, Some((Ink::Grey, 0.12)));
        }
        Some(_) => {
            let ends = [first.days.0, last.days.1].map(|day| {
                let (x, y) = frame.at(day, 0.0);
                (x, y - BASE / 2.0)
            });
            canvas.line(ends.to_vec(), Ink::Ink, BASE, Dash::Solid);
        }
        None => hatch(canvas, column(frame, first.days.0, last.days.1)),
    }
}

/// Days of equal hours make one step of the outline.
fn without_repeats(points: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for point in points {
        let flat = |a: &Point, b: &Point| a.1 == b.1 && b.1 == point.1;
        if let [.., a, b] = kept.as_slice()
            && flat(a, b)
        {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

fn column(frame: &Frame, from: f64, to: f64) -> Rect {
    Rect { left: frame.span.x_of(from), right: frame.span.x_of(to), ..frame.area }
}

/// Between two lines of a hatched area, in mm.
const HATCH: f64 = 1.7;
/// A column narrower than this is filled by one line to and fro.
const NARROW: f64 = 1.6;

/// Fills a box with slanting lines, which a faxed copy keeps.
pub(super) fn hatch(canvas: &mut Canvas, rect: Rect) {
    let width = rect.width();
    if width < NARROW {
        let steps = (rect.height() / HATCH).floor() as usize;
        let side = |n: usize| if n.is_multiple_of(2) { rect.left } else { rect.right };
        let line = (0..=steps).map(|n| (side(n), rect.bottom - n as f64 * HATCH));
        return canvas.line(line.collect(), Ink::Grey, 0.15, Dash::Solid);
    }
    let lines = ((width + rect.height()) / HATCH).floor() as usize;
    for n in 1..=lines {
        // A line at 45 degrees that meets the left side this far up.
        let up = n as f64 * HATCH;
        let from = ((up - rect.height()).max(0.0), up.min(rect.height()));
        let to = (up.min(width), (up - width).max(0.0));
        let at = |(x, y): Point| (rect.left + x, rect.bottom - y);
        canvas.line(vec![at(from), at(to)], Ink::Grey, 0.15, Dash::Solid);
    }
}

fn draw_span(canvas: &mut Canvas, frame: &Frame, span: &WearSpan) {
    let (from, to) = (day_number(span.from), day_number(span.to) + 1.0);
    let Some(hours) = span.hours else { return hatch(canvas, column(frame, from, to)) };
    let hours = hours.value();
    let corners =
        [frame.at(from, 0.0), frame.at(from, hours), frame.at(to, hours), frame.at(to, 0.0)];
    canvas.area(corners.to_vec(), Ink::Paper, Some((Ink::Ink, 0.3)));
}

/// The steps within the days shown, each with its last day.
fn steps(calendar: &WearCalendar, frame: &Frame) -> Vec<(f64, f64, PrescribedHours)> {
    let (first, last) = frame.span.days;
    let end = calendar.ended.map_or(last, |day| (day_number(day) + 1.0).min(last));
    let next = calendar.steps.iter().skip(1).map(|s| day_number(s.from)).chain([end]);
    let ends = calendar.steps.iter().zip(next);
    ends.map(|(step, to)| (day_number(step.from).max(first), to.min(end), *step))
        .filter(|(from, to, _)| from < to)
        .collect()
}

/// One line for all steps, so that a change of hours is a rise or a fall.
fn prescribed(calendar: &WearCalendar, frame: &Frame) -> Vec<Point> {
    let mut line = Vec::new();
    for (from, to, step) in steps(calendar, frame) {
        let hours = step.hours.value();
        line.extend([frame.at(from, hours), frame.at(to, hours)]);
    }
    line
}

/// The hours of each step above its line, those of each typed span on its bar.
fn draw_labels(canvas: &mut Canvas, calendar: &WearCalendar, frame: &Frame, line: &[Point]) {
    let mut board = Board::new(frame.area.grown(0.3));
    board.line(line);
    for span in &calendar.typed {
        let Some(hours) = span.hours else { continue };
        let (left, right) = (day_number(span.from), day_number(span.to) + 1.0);
        let text = calendar.words.calendar.digits(hours);
        let middle = (frame.span.x_of(left) + frame.span.x_of(right)) / 2.0;
        put(
            canvas,
            &mut board,
            &text,
            VALUE,
            &beside(middle, frame.y(hours.value()), VALUE, &text),
        );
    }
    for (from, _, step) in steps(calendar, frame) {
        let hours = calendar.words.calendar.digits(step.hours);
        let text = fill(&calendar.words.step, &[("hours", hours)]);
        let face = FACE.inked(Ink::Accent);
        let middle = frame.span.x_of(from) + 1.0 + face.width(&text) / 2.0;
        put(
            canvas,
            &mut board,
            &text,
            face,
            &beside(middle, frame.y(step.hours.value()), face, &text),
        );
    }
}

/// Boxes above and below a line, moved to the right where those are taken.
fn beside(middle: f64, line: f64, face: Type, text: &str) -> Vec<Rect> {
    let (half, rise) = (face.width(text) / 2.0, face.rise());
    let mut out = Vec::new();
    for aside in [0.0, 2.0, 4.0, 8.0, 12.0] {
        for top in [line - 1.1 - rise, line + 1.1] {
            let (left, right) = (middle + aside - half, middle + aside + half);
            out.push(Rect { left, right, top, bottom: top + rise });
        }
    }
    out
}

fn put(canvas: &mut Canvas, board: &mut Board, text: &str, face: Type, places: &[Rect]) {
    let Some(rect) = board.place(places) else { return };
    let clear = rect.grown(0.4);
    let corners = vec![
        (clear.left, clear.top),
        (clear.right, clear.top),
        (clear.right, clear.bottom),
        (clear.left, clear.bottom),
    ];
    canvas.area(corners, Ink::Paper, None);
    canvas.text((rect.left, rect.bottom), text, face, Anchor::Start);
}
