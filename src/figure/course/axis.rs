//! Scales of the course: days to the right, degrees upward and their ticks.

use chrono::NaiveDate;

use super::{Course, CoursePoint, PointKind};
use crate::figure::board::Rect;
use crate::figure::time::{Span, day_number};

/// The plot's area with both scales.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plot {
    pub area: Rect,
    pub days: (f64, f64),
    pub degrees: Degrees,
}

impl Plot {
    pub(super) fn x(&self, date: NaiveDate) -> f64 {
        self.span().x(date)
    }

    /// Its scale of days.
    pub(super) fn span(&self) -> Span {
        Span { left: self.area.left, right: self.area.right, days: self.days }
    }

    pub(super) fn y(&self, degrees: f64) -> f64 {
        let share = (degrees - self.degrees.low) / (self.degrees.high - self.degrees.low);
        self.area.bottom - share * self.area.height()
    }

    pub(super) fn at(&self, point: &CoursePoint) -> (f64, f64) {
        (self.x(point.date), self.y(point.value.value()))
    }
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
