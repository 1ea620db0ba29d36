//! Days along the bottom of a figure: the scale, its ticks and their labels.

use chrono::{Datelike, NaiveDate};

use super::SMALLEST_TEXT;
use super::canvas::{Canvas, Type};
use super::words::Calendar;
use crate::letter::drawing::{Anchor, Dash, Ink};

const FACE: Type = Type::plain(SMALLEST_TEXT);
/// From the axis down to its labels, in mm.
const DROP: f64 = 1.4;
/// A label may reach this far beyond either end of the axis, in mm.
const OVERHANG: f64 = 2.0;

/// Days from one edge of a plot to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Span {
    /// Left edge, in mm.
    pub left: f64,
    /// Right edge, in mm.
    pub right: f64,
    /// First and last day, counted as [`day_number`] does.
    pub days: (f64, f64),
}

impl Span {
    pub(super) fn x(&self, date: NaiveDate) -> f64 {
        self.x_of(day_number(date))
    }

    pub(super) fn x_of(&self, day: f64) -> f64 {
        let share = (day - self.days.0) / (self.days.1 - self.days.0);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    fn width(&self) -> f64 {
        self.right - self.left
    }
}

/// Days of the common era.
pub(super) fn day_number(date: NaiveDate) -> f64 {
    f64::from(date.num_days_from_ce())
}

/// Ticks and labels in one or two rows.
#[derive(Debug, Clone, Default)]
pub(super) struct TimeAxis {
    /// Short ticks.
    pub ticks: Vec<f64>,
    /// Long ticks, at the turn of a year.
    pub turns: Vec<f64>,
    /// Centre, row and words of each label.
    pub labels: Vec<(f64, usize, String)>,
    /// Rows of labels.
    pub rows: usize,
}

/// Room that a short month or a year needs, in mm at eight points.
const MONTH_ROOM: f64 = 8.0;
const YEAR_ROOM: f64 = 8.4;
/// A year's visible part narrower than this has no label.
const YEAR_LEAST: f64 = 7.0;
/// Beyond this many months the axis shows years alone.
const MONTHS_SHOWN: f64 = 20.0;

impl TimeAxis {
    /// Months and years of a span, or years alone.
    pub(super) fn of(span: &Span, calendar: &Calendar) -> TimeAxis {
        TimeAxis::with_months(span, calendar, MONTHS_SHOWN)
    }

    /// The same, with months up to so many of them.
    pub(super) fn with_months(span: &Span, calendar: &Calendar, most: f64) -> TimeAxis {
        let months = (span.days.1 - span.days.0) / 30.44;
        let month_width = span.width() / months;
        let step = [1, 2, 3, 6].into_iter().find(|s| f64::from(*s) * month_width >= MONTH_ROOM);
        match step {
            Some(step) if months <= most => TimeAxis::by_months(span, calendar, step),
            _ => TimeAxis::by_years(span, month_width * 12.0),
        }
    }

    fn by_months(span: &Span, calendar: &Calendar, step: u32) -> TimeAxis {
        let mut axis = TimeAxis { rows: 2, ..TimeAxis::default() };
        for first in firsts(span.days, |month| (month - 1) % step == 0) {
            let x = span.x(first);
            axis.ticks.push(x);
            axis.labels.push((x, 0, calendar.month(first.month())));
        }
        axis.turns = turns(span);
        axis.label_years(span, 1, 1);
        axis
    }

    fn by_years(span: &Span, year_width: f64) -> TimeAxis {
        let step = [1, 2, 5, 10].into_iter().find(|s| f64::from(*s) * year_width >= YEAR_ROOM);
        let step = step.unwrap_or(20);
        let mut axis = TimeAxis { rows: 1, turns: turns(span), ..TimeAxis::default() };
        if step == 1 {
            axis.label_years(span, 0, step);
        } else {
            for first in firsts(span.days, |m| m == 1).filter(|d| d.year() % step == 0) {
                axis.labels.push((span.x(first), 0, first.year().to_string()));
            }
        }
        axis
    }

    /// Each year's number under the middle of its visible part.
    fn label_years(&mut self, span: &Span, row: usize, step: i32) {
        let mut edges = vec![span.left];
        edges.extend(turns(span));
        edges.push(span.right);
        let first_year = year_left_of_turns(span.days);
        for (year, pair) in (first_year..).zip(edges.windows(2)) {
            let wide = pair[1] - pair[0] >= YEAR_LEAST;
            if year % step == 0 && wide {
                self.labels.push(((pair[0] + pair[1]) / 2.0, row, year.to_string()));
            }
        }
    }

    /// Height of ticks and labels, in mm.
    pub(super) fn height(&self) -> f64 {
        DROP + self.rows as f64 * FACE.leading()
    }

    /// Short ticks of one plot; years where there are no months.
    pub(super) fn draw_ticks(&self, canvas: &mut Canvas, bottom: f64) {
        for x in if self.rows > 1 { &self.ticks } else { &self.turns } {
            let ends = vec![(*x, bottom), (*x, bottom + 1.0)];
            canvas.line(ends, Ink::Grey, 0.2, Dash::Solid);
        }
    }

    /// The turns of years and all labels, below a plot that ends there.
    pub(super) fn draw_words(&self, canvas: &mut Canvas, span: &Span, bottom: f64) {
        // Beside months, a year turns in the row of years, clear of "Jan".
        let all = self.height();
        let (from, to) = if self.rows > 1 { (all - FACE.leading(), all) } else { (0.0, 2.0) };
        for x in &self.turns {
            let ends = vec![(*x, bottom + from), (*x, bottom + to)];
            canvas.line(ends, Ink::Grey, 0.2, Dash::Solid);
        }
        for (x, row, label) in &self.labels {
            let half = FACE.width(label) / 2.0;
            let x = x.clamp(span.left - OVERHANG + half, span.right + OVERHANG - half);
            let y = bottom + DROP + FACE.rise() + *row as f64 * FACE.leading();
            canvas.text((x, y), label, FACE, Anchor::Middle);
        }
    }
}

fn year_of(day: f64) -> i32 {
    NaiveDate::from_num_days_from_ce_opt(day.ceil() as i32).map_or(0, |d| d.year())
}

/// The year of the part left of the first turn; without a turn, the only year.
/// A plot that begins on the last day of a year, or with the new year itself,
/// still has that (narrow or empty) part.
fn year_left_of_turns(days: (f64, f64)) -> i32 {
    let first_turn = firsts(days, |month| month == 1).next();
    first_turn.map_or_else(|| year_of(days.0), |turn| turn.year() - 1)
}

fn turns(span: &Span) -> Vec<f64> {
    firsts(span.days, |month| month == 1).map(|d| span.x(d)).collect()
}

/// First days of months within the days shown.
fn firsts(days: (f64, f64), keep: impl Fn(u32) -> bool) -> impl Iterator<Item = NaiveDate> {
    let years = year_of(days.0)..=year_of(days.1);
    years
        .flat_map(|year| (1..=12).map(move |month| (year, month)))
        .filter(move |(_, month)| keep(*month))
        .filter_map(|(year, month)| NaiveDate::from_ymd_opt(year, month, 1))
        .filter(move |day| (days.0..=days.1).contains(&day_number(*day)))
}
