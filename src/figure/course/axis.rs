//! Scales of the course: days to the right, degrees upward, and their ticks.

use chrono::{Datelike, NaiveDate};

use super::{Course, CoursePoint, PointKind};
use crate::figure::board::Rect;
use crate::figure::words::Calendar;

/// The plot's area with both scales.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plot {
    pub area: Rect,
    pub days: (f64, f64),
    pub degrees: Degrees,
}

impl Plot {
    pub(super) fn x(&self, date: NaiveDate) -> f64 {
        self.x_of(day_number(date))
    }

    fn x_of(&self, day: f64) -> f64 {
        let share = (day - self.days.0) / (self.days.1 - self.days.0);
        self.area.left + share.clamp(0.0, 1.0) * self.area.width()
    }

    pub(super) fn y(&self, degrees: f64) -> f64 {
        let share = (degrees - self.degrees.low) / (self.degrees.high - self.degrees.low);
        self.area.bottom - share * self.area.height()
    }

    pub(super) fn at(&self, point: &CoursePoint) -> (f64, f64) {
        (self.x(point.date), self.y(point.value.value()))
    }
}

fn day_number(date: NaiveDate) -> f64 {
    f64::from(date.num_days_from_ce())
}

/// Shortest span shown, so that one film does not look like a day's drama.
const SHORTEST_DAYS: f64 = 62.0;

/// First and last day shown: everything that happened, with a little air.
pub(super) fn span(course: &Course) -> (f64, f64) {
    let points = course.series.iter().flat_map(|s| &s.points).map(|p| p.date);
    let episodes = course.episodes.iter().map(|e| e.from);
    let maturity = course.maturity.iter().map(|m| m.date);
    let dates = || points.clone().chain(episodes.clone()).chain(maturity.clone());
    let first = dates().min().unwrap_or(course.until).min(course.until);
    let last = dates().max().unwrap_or(course.until).max(course.until);
    let (first, last) = (day_number(first), day_number(last));
    let missing = (SHORTEST_DAYS - (last - first)).max(0.0);
    let air = (last - first).max(SHORTEST_DAYS) * 0.04;
    (first - missing - air, last + air)
}

/// Lowest and highest degree shown and the step of ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Degrees {
    pub low: f64,
    pub high: f64,
    pub step: f64,
}

/// Smallest span of the axis: a narrower one would make noise look like news.
const LEAST_HIGH: f64 = 20.0;

impl Degrees {
    /// Zero always shown; below it only if a value or its band goes there.
    /// Ticks keep apart in a plot of about that height, in mm.
    pub(super) fn covering(course: &Course, height: f64) -> Degrees {
        let band = course.band_half_width.map_or(0.0, |b| b.value().abs());
        let points = course.series.iter().flat_map(|s| &s.points);
        let reach = points.map(|p| {
            let half = if p.kind == PointKind::OutOfSupport { band } else { 0.0 };
            (p.value.value() - half, p.value.value() + half)
        });
        let low = reach.clone().fold(0.0, |low: f64, r| low.min(r.0));
        let high = reach.fold(LEAST_HIGH, |high: f64, r| high.max(r.1));
        let step = step_for(high - low, height * PLOT_SHARE);
        Degrees { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    pub(super) fn ticks(self) -> Vec<f64> {
        let count = ((self.high - self.low) / self.step).round() as usize;
        (0..=count).map(|i| self.low + i as f64 * self.step).collect()
    }
}

/// About so much of the height per curve is left to its plot.
const PLOT_SHARE: f64 = 0.55;
/// Ticks nearer than this run together, in mm.
const TICK_ROOM: f64 = 4.2;

fn step_for(span: f64, height: f64) -> f64 {
    let most = (height / TICK_ROOM).clamp(2.0, 6.0);
    [5.0, 10.0, 20.0, 30.0, 50.0].into_iter().find(|s| span / s <= most).unwrap_or(100.0)
}

/// The label of a tick of the degree axis.
pub(super) fn degree_label(value: f64) -> String {
    let sign = if value < 0.0 { "\u{2212}" } else { "" };
    format!("{sign}{:.0}°", value.abs())
}

/// The time axis: ticks and labels in one or two rows.
#[derive(Debug, Default)]
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
    pub(super) fn of(plot: &Plot, calendar: &Calendar) -> TimeAxis {
        let months = (plot.days.1 - plot.days.0) / 30.44;
        let month_width = plot.area.width() / months;
        let step = [1, 2, 3, 6].into_iter().find(|s| f64::from(*s) * month_width >= MONTH_ROOM);
        match step {
            Some(step) if months <= MONTHS_SHOWN => TimeAxis::by_months(plot, calendar, step),
            _ => TimeAxis::by_years(plot, month_width * 12.0),
        }
    }

    fn by_months(plot: &Plot, calendar: &Calendar, step: u32) -> TimeAxis {
        let mut axis = TimeAxis { rows: 2, ..TimeAxis::default() };
        for first in firsts(plot.days, |month| (month - 1) % step == 0) {
            let x = plot.x(first);
            axis.ticks.push(x);
            axis.labels.push((x, 0, calendar.month(first.month())));
        }
        axis.turns = turns(plot);
        axis.label_years(plot, 1, 1);
        axis
    }

    fn by_years(plot: &Plot, year_width: f64) -> TimeAxis {
        let step = [1, 2, 5, 10].into_iter().find(|s| f64::from(*s) * year_width >= YEAR_ROOM);
        let step = step.unwrap_or(20);
        let mut axis = TimeAxis { rows: 1, turns: turns(plot), ..TimeAxis::default() };
        if step == 1 {
            axis.label_years(plot, 0, step);
        } else {
            for first in firsts(plot.days, |m| m == 1).filter(|d| d.year() % step == 0) {
                axis.labels.push((plot.x(first), 0, first.year().to_string()));
            }
        }
        axis
    }

    /// Each year's number under the middle of its visible part.
    fn label_years(&mut self, plot: &Plot, row: usize, step: i32) {
        let mut edges = vec![plot.area.left];
        edges.extend(turns(plot));
        edges.push(plot.area.right);
        let first_year = year_left_of_turns(plot.days);
        for (year, pair) in (first_year..).zip(edges.windows(2)) {
            let wide = pair[1] - pair[0] >= YEAR_LEAST;
            if year % step == 0 && wide {
                self.labels.push(((pair[0] + pair[1]) / 2.0, row, year.to_string()));
            }
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

fn turns(plot: &Plot) -> Vec<f64> {
    firsts(plot.days, |month| month == 1).map(|d| plot.x(d)).collect()
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
