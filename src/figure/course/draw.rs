//! The drawing of a course, from back to front.

use super::axis::Plot;
use super::frame::{FACE, Frame, NAME_GAP, TITLE, name_lines};
use super::mark::{self, REACH};
use super::{Course, Series, episode, label};
use crate::figure::Size;
use crate::figure::board::{Board, Rect};
use crate::figure::canvas::{Canvas, Point, text_box};
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};

/// Draws a course in that space, or nothing where there is no film to show.
pub fn draw(course: &Course, size: Size) -> Option<Drawing> {
    if course.series.iter().all(|s| s.points.is_empty()) {
        return None;
    }
    let frame = Frame::of(course, size);
    let plot = &frame.plot;
    let mut canvas = Canvas::default();
    episode::draw_shades(&mut canvas, course, plot);
    let half = course.band_half_width.map(|b| b.value().abs());
    if let Some(half) = half {
        for series in &course.series {
            mark::draw_band(&mut canvas, plot, series, half);
        }
    }
    frame.draw_grid(&mut canvas);
    episode::draw_brackets(&mut canvas, course, plot);
    let mut board = board(course, &frame, size, half);
    draw_names(&mut canvas, &mut board, course, plot);
    draw_tracks(&mut canvas, course, plot);
    label::draw(&mut canvas, &mut board, course, plot);
    frame.draw_words(&mut canvas);
    Some(canvas.finish(size.width, size.height))
}

/// What labels must keep clear of: lines and marks, and lightly the band's
/// edges and those of episodes.
fn board(course: &Course, frame: &Frame, size: Size, half: Option<f64>) -> Board {
    let (plot, area) = (&frame.plot, frame.plot.area);
    let mut board =
        Board::new(Rect { left: 0.0, right: size.width, top: area.top + 0.6, bottom: area.bottom });
    frame.tick_boxes().into_iter().for_each(|rect| board.take(rect));
    for series in &course.series {
        board.line(&mark::track(plot, series));
        for point in &series.points {
            board.take(Rect::about(plot.at(point), REACH));
        }
        for edge in half.iter().flat_map(|half| mark::band_edges(plot, series, *half)) {
            board.light_line(&edge);
        }
    }
    for episode in &course.episodes {
        let ends = [Some(episode.from), episode.to];
        for x in ends.into_iter().flatten().map(|day| plot.x(day)) {
            board.light_line(&[(x, area.top), (x, area.bottom)]);
        }
    }
    board
}

fn draw_tracks(canvas: &mut Canvas, course: &Course, plot: &Plot) {
    let several = course.series.len() > 1;
    for (i, series) in course.series.iter().enumerate() {
        canvas.line(mark::track(plot, series), Ink::Ink, 0.45, mark::dash(i));
    }
    for (i, series) in course.series.iter().enumerate() {
        for point in mark::joined(series).into_iter().chain(mark::apart(series)) {
            mark::halo(canvas, plot.at(point), &point.kind);
            mark::draw(canvas, plot.at(point), &point.kind, i, several);
        }
    }
}

/// With several curves, each one's name at the end of its line.
fn draw_names(canvas: &mut Canvas, board: &mut Board, course: &Course, plot: &Plot) {
    if course.series.len() < 2 {
        return;
    }
    let mut ends: Vec<(Point, Vec<String>)> =
        course.series.iter().filter_map(|s| Some((end(s, plot)?, name_lines(s)))).collect();
    ends.sort_by(|a, b| a.0.1.total_cmp(&b.0.1));
    let tops = spread(&ends, plot);
    for ((end, lines), top) in ends.iter().zip(tops) {
        let left = plot.area.right + NAME_GAP;
        let middle = top + lines.len() as f64 * TITLE.leading() / 2.0;
        let lead = [(end.0 + REACH, end.1), (plot.area.right, end.1), (left - 0.3, middle)];
        canvas.line(lead.to_vec(), Ink::Grey, 0.15, Dash::Solid);
        board.line(&lead);
        for (i, line) in lines.iter().enumerate() {
            let at = (left, top + TITLE.rise() + i as f64 * TITLE.leading());
            canvas.text(at, line, TITLE, Anchor::Start);
            board.take(text_box(at, line, TITLE, Anchor::Start));
        }
    }
}

/// Where a curve's line ends: its last comparable film, else its last film.
fn end(series: &Series, plot: &Plot) -> Option<Point> {
    let last = mark::joined(series).last().copied();
    last.or(mark::apart(series).last().copied()).map(|point| plot.at(point))
}

/// Tops of the names, from above downward: each beside its line's end, pushed
/// down where the one above needs the room and up again from the bottom.
fn spread(ends: &[(Point, Vec<String>)], plot: &Plot) -> Vec<f64> {
    let tall = |lines: &[String]| lines.len() as f64 * TITLE.leading();
    let mut tops = Vec::new();
    let mut free = plot.area.top;
    for (end, lines) in ends {
        let top = (end.1 - tall(lines) / 2.0).max(free);
        free = top + tall(lines) + 0.8;
        tops.push(top);
    }
    let mut limit = plot.area.bottom - FACE.rise() / 2.0;
    for (top, (_, lines)) in tops.iter_mut().zip(ends).rev() {
        *top = top.min(limit - tall(lines));
        limit = *top - 0.8;
    }
    tops
}
