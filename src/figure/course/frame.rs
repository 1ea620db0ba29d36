//! Room for everything around the plots, and the axes.

use super::axis::{Degrees, Plot, degree_label, span};
use super::episode::{self, Flag};
use super::{Course, Series};
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Type, text_box};
use crate::figure::notes::{self, Note, Row, RowWords};
use crate::figure::time::TimeAxis;
use crate::figure::{SMALLEST_TEXT, Size, text};
use crate::letter::drawing::{Anchor, Dash, Ink};

const FACE: Type = Type::plain(SMALLEST_TEXT);
const TITLE: Type = Type::bold(SMALLEST_TEXT);
/// From a tick label to the plot, in mm.
const TICK_GAP: f64 = 1.5;
/// Clear of the drawing's edge, in mm.
const EDGE: f64 = 0.4;
/// Right of the plot, for half of a label at its edge, in mm.
const RIGHT: f64 = 2.0;
/// Between one plot's lowest tick label and the next plot's title, in mm.
const BETWEEN: f64 = 2.2;
/// From the span brackets' rise to the flags or title above, in mm.
const AIR: f64 = 0.5;

/// The plots, one for each curve, with all that surrounds them.
pub(super) struct Frame<'a> {
    pub plots: Vec<(&'a Series, Plot)>,
    flags: Vec<Flag>,
    time: TimeAxis,
    row: Row,
    notes: Vec<Note>,
    titles: Vec<Vec<String>>,
}

impl Frame<'_> {
    /// Lays the course out; all plots share both scales.
    pub(super) fn of(course: &Course, size: Size) -> Frame<'_> {
        let shown: Vec<&Series> = course.series.iter().filter(|s| !s.points.is_empty()).collect();
        let row = Row::of(&course.maturity, row_words(course));
        let degrees = Degrees::covering(course, size.height / shown.len() as f64);
        let area = Rect {
            left: left_margin(degrees, &row),
            top: 0.0,
            right: size.width - RIGHT,
            bottom: size.height,
        };
        let plot = Plot { area, days: span(course), degrees };
        let flags = episode::flags(course, &plot, size.width - EDGE);
        let time = TimeAxis::of(&plot.span(), &course.words.calendar);
        let notes = notes::notes(&course.maturity, &row, &plot.span(), size.width - EDGE);
        let titles = shown.iter().map(|s| title(s, size.width)).collect();
        let mut frame = Frame { plots: Vec::new(), flags, time, row, notes, titles };
        frame.stack(&shown, plot, size.height);
        frame
    }
}

impl<'a> Frame<'a> {
    /// Stacks the plots, each under its head, over the common time axis.
    fn stack(&mut self, shown: &[&'a Series], plot: Plot, height: f64) {
        let heads: Vec<f64> = (0..shown.len()).map(|i| self.head(i)).collect();
        let below = self.time.height() + AIR + notes::height(&self.notes);
        let room = height - below - heads.iter().sum::<f64>();
        let each = (room / shown.len() as f64).max(1.0);
        let mut bottom = 0.0;
        for (series, head) in shown.iter().zip(heads) {
            let top = bottom + head;
            bottom = top + each;
            self.plots.push((series, Plot { area: Rect { top, bottom, ..plot.area }, ..plot }));
        }
    }

    /// Height of what stands above a plot: its title, and flags over the first.
    fn head(&self, index: usize) -> f64 {
        let title = self.titles[index].len() as f64 * TITLE.leading();
        // A title right above needs room for the uppermost tick label.
        let bare = self.flags.is_empty() || index > 0;
        let rise = if bare { FACE.rise() / 2.0 } else { episode::RISE };
        let above = if index == 0 { EDGE + episode::height(&self.flags) } else { BETWEEN };
        above + title + rise + AIR
    }

    /// Grid, ticks of degrees and a bare time axis of one plot.
    pub(super) fn draw_grid(&self, canvas: &mut Canvas, plot: &Plot) {
        let area = plot.area;
        for tick in plot.degrees.ticks() {
            let (ink, width) = if tick == 0.0 { (Ink::Grey, 0.3) } else { (Ink::Faint, 0.2) };
            let y = plot.y(tick);
            canvas.line(vec![(area.left, y), (area.right, y)], ink, width, Dash::Solid);
            canvas.text(tick_place(plot, tick), &degree_label(tick), FACE, Anchor::End);
        }
        self.time.draw_ticks(canvas, area.bottom);
    }

    /// Titles, flags, the words of the time axis, and maturity.
    pub(super) fn draw_words(&self, canvas: &mut Canvas) {
        for (i, lines) in self.titles.iter().enumerate() {
            self.draw_title(canvas, i, lines);
        }
        if let (Some((_, first)), Some((_, last))) = (self.plots.first(), self.plots.last()) {
            episode::draw_flags(canvas, &self.flags, first);
            self.time.draw_words(canvas, &last.span(), last.area.bottom);
            let top = last.area.bottom + self.time.height() + AIR;
            notes::draw(canvas, &self.notes, &self.row, &last.span(), top);
        }
    }

    fn draw_title(&self, canvas: &mut Canvas, index: usize, lines: &[String]) {
        let above = if index == 0 { EDGE } else { BETWEEN };
        let top = self.plots[index].1.area.top - self.head(index) + above;
        for (i, line) in lines.iter().enumerate() {
            let y = top + TITLE.rise() + i as f64 * TITLE.leading();
            canvas.text((EDGE, y), line, TITLE, Anchor::Start);
        }
    }
}

fn row_words(course: &Course) -> RowWords<'_> {
    RowWords { not_recorded: &course.words.not_recorded, maturity: &course.words.maturity }
}

/// Boxes of the degree axis' labels.
pub(super) fn tick_boxes(plot: &Plot) -> Vec<Rect> {
    let place = |t: f64| text_box(tick_place(plot, t), &degree_label(t), FACE, Anchor::End);
    plot.degrees.ticks().into_iter().map(place).collect()
}

fn tick_place(plot: &Plot, tick: f64) -> (f64, f64) {
    (plot.area.left - TICK_GAP, plot.y(tick) + FACE.rise() / 2.0)
}

fn left_margin(degrees: Degrees, row: &Row) -> f64 {
    let ticks = degrees.ticks().into_iter().map(|t| FACE.width(&degree_label(t)));
    EDGE + ticks.fold(row.head_width() + 0.7, f64::max) + TICK_GAP
}

fn title(series: &Series, width: f64) -> Vec<String> {
    text::wrap(&series.name, TITLE.size, TITLE.bold, width - 2.0 * EDGE)
}
