//! Room for heights above, growth a year below, the axis and maturity.

use super::Growth;
use super::scale::{Axis, Scale, days, tick_label, within};
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Point, Type};
use crate::figure::notes::{self, Note, Row, RowWords};
use crate::figure::time::{Span, day_number};
use crate::figure::{SMALLEST_TEXT, Size};
use crate::letter::drawing::{Anchor, Dash, Ink};
use chrono::NaiveDate;

pub(super) const FACE: Type = Type::plain(SMALLEST_TEXT);
/// Clear of the drawing's edge, in mm.
const EDGE: f64 = 0.4;
/// From a tick label to the plot, in mm.
const TICK_GAP: f64 = 1.5;
/// From the plot to the numbers of its centiles, in mm.
const LINE_GAP: f64 = 0.8;
/// Above a plot, from the words over its scale, in mm.
const AIR: f64 = 1.4;
/// From the lowest label of a plot to the words over the next, in mm.
const BETWEEN: f64 = 2.0;
/// Share of the height that the growth a year takes.
const LOWER: f64 = 0.28;
/// Above the row of maturity, in mm.
const ABOVE_ROW: f64 = 0.5;
/// At least so much of the scale of growth a year is shown, in cm.
const LEAST_VELOCITY: f64 = 8.0;

/// One plot with its scale.
pub(super) struct Plot {
    pub area: Rect,
    pub scale: Scale,
    pub span: Span,
}

impl Plot {
    pub(super) fn y(&self, value: f64) -> f64 {
        let share = (value - self.scale.low) / (self.scale.high - self.scale.low);
        self.area.bottom - share.clamp(0.0, 1.0) * self.area.height()
    }

    pub(super) fn at(&self, date: NaiveDate, value: f64) -> Point {
        (self.span.x(date), self.y(value))
    }

    fn draw(&self, canvas: &mut Canvas, title: &str, axis: &Axis) {
        for tick in self.scale.ticks() {
            let zero = tick == 0.0 && self.scale.low < 0.0;
            let base = tick == self.scale.low || zero;
            let (ink, width) = if base { (Ink::Grey, 0.3) } else { (Ink::Faint, 0.2) };
            let y = self.y(tick);
            canvas.line(vec![(self.area.left, y), (self.area.right, y)], ink, width, Dash::Solid);
            let at = (self.area.left - TICK_GAP, y + FACE.rise() / 2.0);
            canvas.text(at, &tick_label(tick), FACE, Anchor::End);
        }
        let left = self.area.left - TICK_GAP - FACE.width("170");
        let at = (left.max(EDGE), self.area.top - AIR - FACE.rise() / 2.0);
        canvas.text(at, title, FACE, Anchor::Start);
        axis.draw_ticks(canvas, self.area.bottom);
    }
}

/// Both plots and what surrounds them.
pub(super) struct Frame {
    pub heights: Plot,
    pub velocity: Option<Plot>,
    axis: Axis,
    row: Row,
    notes: Vec<Note>,
}

impl Frame {
    pub(super) fn of(growth: &Growth, size: Size) -> Option<Frame> {
        let row = Row::of(&growth.maturity, words(growth));
        let left = EDGE + FACE.width("170").max(row.head_width() + 0.7) + TICK_GAP;
        let right = size.width - EDGE - names(growth);
        let (one, two) = areas(growth, size, (left, right));
        let span = Span { left: one.left, right: one.right, days: days(growth)? };
        let axis = Axis::of(growth, &span);
        let notes = notes::notes(&growth.maturity, &row, &span, one.right + EDGE + names(growth));
        let foot = axis.height() + ABOVE_ROW + notes::height(&notes) + EDGE;
        let (upper, lower) = heights(two.is_some_and(|area| area.left == one.left), size, foot);
        let upper = Rect { top: upper.0, bottom: upper.1, ..one };
        let heights = Plot { area: upper, scale: height_scale(growth, &span, upper), span };
        let velocity = two.map(|area| {
            let area = Rect { top: lower.0, bottom: lower.1, ..area };
            let span = Span { left: area.left, right: area.right, ..span };
            Plot { area, scale: velocity_scale(growth, area), span }
        });
        Some(Frame { heights, velocity, axis, row, notes })
    }

    /// Scales, their words, axes and maturity.
    pub(super) fn draw(&self, canvas: &mut Canvas, growth: &Growth) {
        let heights = &self.heights;
        let mut bottom = heights.area.bottom;
        heights.draw(canvas, &growth.words.height, &self.axis);
        if let Some(plot) = &self.velocity {
            let beside = plot.area.left > heights.area.left;
            let axis = if beside { Axis::of(growth, &plot.span) } else { self.axis.clone() };
            plot.draw(canvas, &growth.words.velocity, &axis);
            axis.draw_words(canvas, &plot.span, plot.area.bottom);
            bottom = plot.area.bottom;
            if beside {
                self.axis.draw_words(canvas, &heights.span, bottom);
            }
        } else {
            self.axis.draw_words(canvas, &heights.span, bottom);
        }
        let top = bottom + self.axis.height() + ABOVE_ROW;
        notes::draw(canvas, &self.notes, &self.row, &heights.span, top);
    }

    /// Draws the number of each centile at the right end of its line, as far
    /// as they keep apart; the outer ones and the middle one first.
    pub(super) fn draw_names(&self, canvas: &mut Canvas, growth: &Growth) {
        let Some(reference) = &growth.reference else { return };
        let end =
            |points: &[(NaiveDate, f64)]| Some(within(points, self.heights.span.days).last()?.1);
        let ends: Vec<(f64, &str)> = reference
            .lines
            .iter()
            .filter_map(|l| Some((self.heights.y(end(&l.points)?), l.name.as_str())))
            .collect();
        let (middle, last) = (ends.len() / 2, ends.len().saturating_sub(1));
        let rank = |n: &usize| usize::from(![0, middle, last].contains(n));
        let mut order: Vec<usize> = (0..ends.len()).collect();
        order.sort_by_key(rank);
        let mut taken: Vec<f64> = Vec::new();
        for (y, name) in order.into_iter().map(|n| ends[n]) {
            if taken.iter().all(|other| (other - y).abs() >= FACE.rise() + 0.5) {
                let at = (self.heights.area.right + LINE_GAP, y + FACE.rise() / 2.0);
                canvas.text(at, name, FACE, Anchor::Start);
                taken.push(y);
            }
        }
    }
}

/// Room that the numbers of centiles need beside the plot.
fn names(growth: &Growth) -> f64 {
    let names = growth.reference.iter().flat_map(|r| &r.lines).map(|l| FACE.width(&l.name));
    LINE_GAP + names.fold(1.2, f64::max)
}

/// A figure at least this wide has its plots side by side, in mm.
const WIDE: f64 = 120.0;
/// Share of a wide figure that the heights take.
const SHARE: f64 = 0.56;

/// Left and right of the heights, and of the growth a year where it is drawn:
/// beside them in a wide figure, else below.
fn areas(growth: &Growth, size: Size, (left, right): (f64, f64)) -> (Rect, Option<Rect>) {
    let area = |left, right| Rect { left, right, top: 0.0, bottom: 0.0 };
    let two = !growth.steps.is_empty();
    if !two || size.width < WIDE {
        return (area(left, right), two.then(|| area(left, right)));
    }
    let middle = size.width * SHARE;
    let start = middle + FACE.width("10") + TICK_GAP + BETWEEN;
    (area(left, middle - names(growth)), Some(area(start, right)))
}

/// Top and bottom of both plots.
fn heights(stacked: bool, size: Size, foot: f64) -> ((f64, f64), (f64, f64)) {
    let head = EDGE + FACE.leading() + AIR;
    let bottom = size.height - foot;
    if !stacked {
        return ((head, bottom), (head, bottom));
    }
    let between = BETWEEN + FACE.leading() + AIR;
    let lower = (bottom - head) * LOWER;
    let upper = bottom - lower - between;
    ((head, upper), (bottom - lower, bottom))
}

fn words(growth: &Growth) -> RowWords<'_> {
    RowWords { not_recorded: &growth.words.not_recorded, maturity: &growth.words.maturity }
}

fn height_scale(growth: &Growth, span: &Span, area: Rect) -> Scale {
    let own = growth.heights.iter().map(|h| h.value.value());
    let lines = growth.reference.iter().flat_map(|r| &r.lines);
    let lines = lines.flat_map(|l| within(&l.points, span.days)).map(|(_, v)| v);
    Scale::around(own.chain(lines), area.height(), &[5.0, 10.0, 20.0, 50.0])
}

fn velocity_scale(growth: &Growth, area: Rect) -> Scale {
    let ends = growth.steps.iter().flat_map(|s| {
        let (value, half) = (s.per_year.value(), s.half.value());
        [value - half, value + half]
    });
    Scale::around(ends.chain([0.0, LEAST_VELOCITY]), area.height(), &[2.0, 5.0, 10.0, 20.0])
}

/// Where a day stands on a plot's scale, if it is shown.
pub(super) fn shown(span: &Span, date: NaiveDate) -> Option<f64> {
    let day = day_number(date);
    (span.days.0..=span.days.1).contains(&day).then(|| span.x_of(day))
}
