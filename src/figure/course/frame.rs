//! Room for everything around the plot, and the axes.

use super::axis::{Degrees, Plot, TimeAxis, degree_label, span};
use super::episode::{self, Flag};
use super::maturity::{self, Note, Row};
use super::{Course, Series};
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Type, text_box};
use crate::figure::text;
use crate::letter::drawing::{Anchor, Dash, Ink};

pub(super) const FACE: Type = Type::plain(super::super::SMALLEST_TEXT);
pub(super) const TITLE: Type = Type::bold(super::super::SMALLEST_TEXT);
/// From a tick label to the plot, in mm.
const TICK_GAP: f64 = 1.5;
/// Names at line ends break to stay within this width, in mm.
const NAME_LIMIT: f64 = 14.0;
pub(super) const NAME_GAP: f64 = 1.4;
const EDGE: f64 = 0.4;

/// A plot with all that surrounds it, laid out.
pub(super) struct Frame {
    pub plot: Plot,
    pub flags: Vec<Flag>,
    time: TimeAxis,
    row: Row,
    notes: Vec<Note>,
    title: Vec<String>,
}

impl Frame {
    pub(super) fn of(course: &Course, size: Size) -> Frame {
        let row = Row::of(course);
        let degrees = Degrees::covering(course);
        let left = left_margin(degrees, &row);
        let right = size.width - right_margin(course);
        let rough = Rect { left, top: 0.0, right, bottom: size.height };
        let mut plot = Plot { area: rough, days: span(course), degrees };
        let flags = episode::flags(course, &plot, size.width - EDGE);
        let time = TimeAxis::of(&plot, &course.words.calendar);
        let notes = maturity::notes(course, &row, &plot, size.width - EDGE);
        let title = title(course, size.width);
        plot.area.top = EDGE + title.len() as f64 * TITLE.leading() + episode::height(&flags) + 0.6;
        plot.area.bottom = size.height - below(&time, &notes);
        Frame { plot, flags, time, row, notes, title }
    }

    pub(super) fn draw_grid(&self, canvas: &mut Canvas) {
        let (area, degrees) = (self.plot.area, self.plot.degrees);
        for tick in degrees.ticks() {
            let y = self.plot.y(tick);
            let zero = tick == 0.0;
            let (ink, width) = if zero { (Ink::Grey, 0.3) } else { (Ink::Faint, 0.2) };
            canvas.line(vec![(area.left, y), (area.right, y)], ink, width, Dash::Solid);
            canvas.text(self.tick_place(tick), &degree_label(tick), FACE, Anchor::End);
        }
    }

    fn tick_place(&self, tick: f64) -> (f64, f64) {
        (self.plot.area.left - TICK_GAP, self.plot.y(tick) + FACE.rise() / 2.0)
    }

    /// Boxes of the degree axis' labels.
    pub(super) fn tick_boxes(&self) -> Vec<Rect> {
        let ticks = self.plot.degrees.ticks().into_iter();
        ticks.map(|t| text_box(self.tick_place(t), &degree_label(t), FACE, Anchor::End)).collect()
    }

    pub(super) fn draw_words(&self, canvas: &mut Canvas) {
        for (i, line) in self.title.iter().enumerate() {
            let y = EDGE + TITLE.rise() + i as f64 * TITLE.leading();
            canvas.text((EDGE, y), line, TITLE, Anchor::Start);
        }
        self.draw_time(canvas);
        let top = self.plot.area.bottom + time_height(&self.time) + 0.6;
        maturity::draw(canvas, &self.notes, &self.row, &self.plot, top);
        episode::draw_flags(canvas, &self.flags, &self.plot);
    }

    fn draw_time(&self, canvas: &mut Canvas) {
        let bottom = self.plot.area.bottom;
        let mut tick = |x: f64, from: f64, to: f64| {
            canvas.line(vec![(x, bottom + from), (x, bottom + to)], Ink::Grey, 0.2, Dash::Solid);
        };
        self.time.ticks.iter().for_each(|x| tick(*x, 0.0, 1.0));
        // Beside months, a year turns in the row of years, clear of "Jan".
        let all = time_height(&self.time);
        let turn = if self.time.rows > 1 { (all - FACE.leading(), all) } else { (0.0, 2.0) };
        self.time.turns.iter().for_each(|x| tick(*x, turn.0, turn.1));
        for (x, row, label) in &self.time.labels {
            let half = FACE.width(label) / 2.0;
            let x = x.clamp(self.plot.area.left - 2.0 + half, self.plot.area.right + 2.0 - half);
            let y = bottom + 1.4 + FACE.rise() + *row as f64 * FACE.leading();
            canvas.text((x, y), label, FACE, Anchor::Middle);
        }
    }
}

fn time_height(time: &TimeAxis) -> f64 {
    1.4 + time.rows as f64 * FACE.leading()
}

fn below(time: &TimeAxis, notes: &[Note]) -> f64 {
    time_height(time) + 0.6 + maturity::height(notes)
}

fn left_margin(degrees: Degrees, row: &Row) -> f64 {
    let ticks = degrees.ticks().into_iter().map(|t| FACE.width(&degree_label(t)));
    EDGE + ticks.fold(row.head_width() + 0.7, f64::max) + TICK_GAP
}

fn right_margin(course: &Course) -> f64 {
    if course.series.len() < 2 {
        return 2.0;
    }
    let lines = course.series.iter().flat_map(name_lines);
    EDGE + NAME_GAP + lines.map(|line| TITLE.width(&line)).fold(0.0, f64::max)
}

/// A curve's name at the end of its line, broken at spaces.
pub(super) fn name_lines(series: &Series) -> Vec<String> {
    let limit = text::widest_word(&series.name, TITLE.size, TITLE.bold).max(NAME_LIMIT);
    text::wrap(&series.name, TITLE.size, TITLE.bold, limit)
}

/// The name of a single curve stands above the plot.
fn title(course: &Course, width: f64) -> Vec<String> {
    match course.series.as_slice() {
        [only] => text::wrap(&only.name, TITLE.size, TITLE.bold, width - 2.0 * EDGE),
        _ => Vec::new(),
    }
}
