//! Scales of growth: the days shown, years of age, centimetres and their ticks.

use chrono::{Months, NaiveDate};

use super::Growth;
use crate::figure::canvas::{Canvas, Type};
use crate::figure::time::{Span, TimeAxis, day_number};
use crate::figure::words::fill;
use crate::letter::drawing::{Anchor, Dash, Ink};

const FACE: Type = Type::plain(crate::figure::SMALLEST_TEXT);
/// Shortest span shown: in a shorter one centiles look like level lines.
const SHORTEST_DAYS: f64 = 2.0 * 365.25;
/// Air beyond the first and the last height, as a share of the span.
const AIR: f64 = 0.05;

/// The first and the last day shown.
pub(super) fn days(growth: &Growth) -> Option<(f64, f64)> {
    let heights = growth.heights.iter().map(|h| day_number(h.date));
    let first = heights.clone().reduce(f64::min)?;
    let last = heights.reduce(f64::max)?;
    let spare = (SHORTEST_DAYS - (last - first)).max(0.0) / 2.0;
    let air = (last - first).max(SHORTEST_DAYS) * AIR;
    Some((first - spare - air, last + spare + air))
}

/// The part of a line between two days, cut where it leaves them.
pub(super) fn within(points: &[(NaiveDate, f64)], days: (f64, f64)) -> Vec<(f64, f64)> {
    let points: Vec<(f64, f64)> = points.iter().map(|(d, v)| (day_number(*d), *v)).collect();
    let mut out = Vec::new();
    for pair in points.windows(2) {
        let ((from, low), (to, high)) = (pair[0], pair[1]);
        let (start, end) = (from.max(days.0), to.min(days.1));
        if start >= end {
            continue;
        }
        let at = |day: f64| low + (high - low) * (day - from) / (to - from);
        if out.is_empty() {
            out.push((start, at(start)));
        }
        out.push((end, at(end)));
    }
    out
}

/// Lowest and highest value of a scale and the step of its ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub low: f64,
    pub high: f64,
    pub step: f64,
}

/// Ticks nearer than this run together, in mm.
const TICK_ROOM: f64 = 4.2;

impl Scale {
    /// Whole steps around some values, with room between ticks in a plot of
    /// that height.
    pub(super) fn around(values: impl Iterator<Item = f64>, height: f64, steps: &[f64]) -> Scale {
        let (low, high) = values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let fits = |step: f64| {
            let count = (high / step).ceil() - (low / step).floor();
            count * TICK_ROOM <= height
        };
        let step = steps.iter().copied().find(|s| fits(*s));
        let step = step.unwrap_or(steps.last().copied().unwrap_or(1.0));
        let (bottom, top) = ((low / step).floor() * step, (high / step).ceil() * step);
        Scale { low: bottom, high: if top > bottom { top } else { bottom + step }, step }
    }

    pub(super) fn ticks(self) -> Vec<f64> {
        let count = ((self.high - self.low) / self.step).round() as usize;
        (0..=count).map(|i| self.low + i as f64 * self.step).collect()
    }
}

/// The label of a tick: a whole number, with a minus sign below zero.
pub(super) fn tick_label(value: f64) -> String {
    let sign = if value < 0.0 { "\u{2212}" } else { "" };
    format!("{sign}{:.0}", value.abs())
}

/// Dates or years of age below a plot.
#[derive(Debug, Clone)]
pub(super) enum Axis {
    Dates(TimeAxis),
    /// Place and words of each birthday.
    Ages(Vec<(f64, String)>),
}

/// Room that an age needs, in mm at eight points.
const AGE_ROOM: f64 = 7.0;

impl Axis {
    pub(super) fn of(growth: &Growth, span: &Span) -> Axis {
        match &growth.reference {
            Some(reference) => Axis::Ages(ages(reference.born, span, &growth.words.age)),
            None => Axis::Dates(TimeAxis::of(span, &growth.words.calendar)),
        }
    }

    pub(super) fn height(&self) -> f64 {
        match self {
            Axis::Dates(time) => time.height(),
            Axis::Ages(_) => 1.4 + FACE.leading(),
        }
    }

    pub(super) fn draw_ticks(&self, canvas: &mut Canvas, bottom: f64) {
        match self {
            Axis::Dates(time) => time.draw_ticks(canvas, bottom),
            Axis::Ages(ages) => ages.iter().for_each(|(x, _)| {
                canvas.line(vec![(*x, bottom), (*x, bottom + 1.0)], Ink::Grey, 0.2, Dash::Solid);
            }),
        }
    }

    pub(super) fn draw_words(&self, canvas: &mut Canvas, span: &Span, bottom: f64) {
        match self {
            Axis::Dates(time) => time.draw_words(canvas, span, bottom),
            Axis::Ages(ages) => ages.iter().for_each(|(x, label)| {
                let at = (*x, bottom + 1.4 + FACE.rise());
                canvas.text(at, label, FACE, Anchor::Middle);
            }),
        }
    }
}

/// Birthdays within a span; the first one that is named says what the numbers
/// are.
fn ages(born: NaiveDate, span: &Span, first: &str) -> Vec<(f64, String)> {
    let birthday = |years: u32| born.checked_add_months(Months::new(12 * years));
    let inside = |day: &NaiveDate| (span.days.0..=span.days.1).contains(&day_number(*day));
    let year = (span.right - span.left) / ((span.days.1 - span.days.0) / 365.25);
    let step = [1, 2, 5].into_iter().find(|s| f64::from(*s) * year >= AGE_ROOM).unwrap_or(10);
    let named = (0..=120).filter(|n| n % step == 0);
    let all = named.filter_map(|n| Some((n, birthday(n).filter(inside)?)));
    let label = |(place, (n, day)): (usize, (u32, NaiveDate))| {
        let words = match place {
            0 => fill(first, &[("n", n.to_string())]),
            _ => n.to_string(),
        };
        (span.x(day), words)
    };
    let mut ages: Vec<(f64, String)> = all.enumerate().map(label).collect();
    // The longer first label must neither leave the figure nor meet the next.
    if let [(x, words), rest @ ..] = ages.as_mut_slice() {
        let half = FACE.width(words) / 2.0;
        let least = half + 0.4;
        let most = rest
            .first()
            .map_or(span.right, |(next, label)| next - FACE.width(label) / 2.0 - 1.0 - half);
        if *x < least && least <= most {
            *x = x.max(least);
        }
    }
    ages
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, 1, 1).unwrap()
    }

    #[test]
    fn a_line_is_cut_where_it_leaves_the_days_shown() {
        let line = [(day(2020), 100.0), (day(2021), 106.0), (day(2022), 112.0)];
        // 2020 has 366 days: half-way through it the line is at 103.
        let half = day_number(day(2020)) + 183.0;
        let cut = within(&line, (half, day_number(day(2021))));
        assert_eq!(cut, [(half, 103.0), (day_number(day(2021)), 106.0)]);
        assert!(within(&line, (0.0, 10.0)).is_empty());
    }

    #[test]
    fn ticks_keep_apart() {
        let scale = Scale::around([132.0, 171.0].into_iter(), 34.0, &[5.0, 10.0, 20.0]);
        // Steps of 5: 130 to 175 are 9 of at least 4.2 mm, more than 34.
        assert_eq!((scale.low, scale.high, scale.step), (130.0, 180.0, 10.0));
        assert_eq!(scale.ticks().len(), 6);
    }
}
