//! The drawing of a course, from back to front.

use super::axis::Plot;
use super::frame::{Frame, tick_boxes};
use super::mark::{self, REACH};
use super::{Course, Series, episode, label};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::Canvas;
use crate::letter::drawing::{Dash, Drawing, Ink};

/// Draws a course in that space, or nothing where there is no film to show.
pub fn draw(course: &Course, size: Size) -> Option<Drawing> {
    if course.series.iter().all(|s| s.points.is_empty()) {
        return None;
    }
    let frame = Frame::of(course, size);
    let mut canvas = Canvas::default();
    for (series, plot) in &frame.plots {
        draw_plot(&mut canvas, course, series, plot, &frame);
    }
    frame.draw_words(&mut canvas);
    Some(canvas.finish(size.width, size.height))
}

fn draw_plot(canvas: &mut Canvas, course: &Course, series: &Series, plot: &Plot, frame: &Frame) {
    let half = course.band_half_width.map(|b| b.value().abs());
    episode::draw_shades(canvas, course, plot);
    if let Some(half) = half {
        mark::draw_band(canvas, plot, series, half);
    }
    frame.draw_grid(canvas, plot);
    episode::draw_brackets(canvas, course, plot);
    canvas.line(mark::track(plot, series), Ink::Ink, 0.45, Dash::Solid);
    for point in mark::joined(series).into_iter().chain(mark::apart(series)) {
        mark::draw(canvas, plot.at(point), &point.kind);
    }
    let mut board = board(course, series, plot, half);
    label::draw(canvas, &mut board, series, plot, &course.words);
}

/// A label may reach this far left of the plot, in mm, and no further, so that
/// a value is not read as a tick of the axis.
const OVERHANG_LEFT: f64 = 1.0;
/// It may reach this far right of the plot, in mm.
const OVERHANG_RIGHT: f64 = 1.9;

/// What labels must keep clear of: the line and marks, and lightly the band's
/// edges and those of episodes.
fn board(course: &Course, series: &Series, plot: &Plot, half: Option<f64>) -> Board {
    let area = plot.area;
    let left = area.left - OVERHANG_LEFT;
    let mut board = Board::new(Rect { left, right: area.right + OVERHANG_RIGHT, ..area });
    tick_boxes(plot).into_iter().for_each(|rect| board.take(rect));
    board.line(&mark::track(plot, series));
    for point in &series.points {
        board.take(Rect::about(plot.at(point), REACH));
    }
    for edge in half.iter().flat_map(|half| mark::band_edges(plot, series, *half)) {
        board.light_line(&edge);
    }
    for episode in &course.episodes {
        let ends = [Some(episode.from), episode.to];
        for x in ends.into_iter().flatten().map(|day| plot.x(day)) {
            board.light_line(&[(x, area.top), (x, area.bottom)]);
        }
    }
    board
}
