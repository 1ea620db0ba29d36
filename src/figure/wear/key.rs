//! What the marks mean, under the figure: only those that are drawn.

use super::WearCalendar;
use super::bar::Bar;
use super::draw::{BASE, hatch};
use super::frame::FACE;
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Point};
use crate::letter::drawing::{Anchor, Dash, Ink};

/// Size of a sample, and the space after it and after its words, in mm.
const SAMPLE: (f64, f64) = (5.0, 2.4);
const GAP: f64 = 1.2;
const BETWEEN: f64 = 4.5;
/// Above the first row, in mm.
const ABOVE: f64 = 1.6;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Mark {
    Worn,
    Span,
    Prescribed,
    Unworn,
    Unknown,
}

/// Rows of marks with their words.
pub(super) struct Key {
    rows: Vec<Vec<(Mark, String)>>,
}

impl Key {
    pub(super) fn of(calendar: &WearCalendar, bars: &[Bar], width: f64) -> Key {
        let words = &calendar.words;
        let weeks = bars.len() < calendar.days.len();
        let any = |is: fn(&Bar) -> bool| bars.iter().any(is);
        let worn = if weeks { &words.worn_week } else { &words.worn };
        let all = [
            (any(|b| b.hours.is_some_and(|h| h > 0.0)), Mark::Worn, worn),
            (!calendar.typed.is_empty(), Mark::Span, &words.worn_span),
            (!calendar.steps.is_empty(), Mark::Prescribed, &words.prescribed),
            (any(|b| b.hours == Some(0.0)), Mark::Unworn, &words.unworn),
            (any(|b| b.hours.is_none()), Mark::Unknown, &words.unknown),
        ];
        let shown = all.into_iter().filter(|(shown, ..)| *shown);
        Key { rows: rows(shown.map(|(_, mark, words)| (mark, words.clone())), width) }
    }

    pub(super) fn height(&self) -> f64 {
        ABOVE + self.rows.len() as f64 * FACE.leading()
    }

    /// Draws the rows below and right of a point.
    pub(super) fn draw(&self, canvas: &mut Canvas, (left, top): Point) {
        for (n, row) in self.rows.iter().enumerate() {
            let baseline = top + ABOVE + FACE.rise() + n as f64 * FACE.leading();
            let mut x = left;
            for (mark, words) in row {
                let rect = Rect {
                    left: x,
                    right: x + SAMPLE.0,
                    top: baseline - SAMPLE.1 + 0.2,
                    bottom: baseline + 0.2,
                };
                sample(canvas, *mark, rect);
                canvas.text((x + SAMPLE.0 + GAP, baseline), words, FACE, Anchor::Start);
                x += width(words) + BETWEEN;
            }
        }
    }
}

fn width(words: &str) -> f64 {
    SAMPLE.0 + GAP + FACE.width(words)
}

fn rows(all: impl Iterator<Item = (Mark, String)>, most: f64) -> Vec<Vec<(Mark, String)>> {
    let mut rows: Vec<(f64, Vec<(Mark, String)>)> = Vec::new();
    for (mark, words) in all {
        let needed = width(&words);
        match rows.last_mut() {
            Some((filled, row)) if *filled + BETWEEN + needed <= most => {
                *filled += BETWEEN + needed;
                row.push((mark, words));
            }
            _ => rows.push((needed, vec![(mark, words)])),
        }
    }
    rows.into_iter().map(|(_, row)| row).collect()
}

fn sample(canvas: &mut Canvas, mark: Mark, rect: Rect) {
    let corners = vec![
        (rect.left, rect.top),
        (rect.right, rect.top),
        (rect.right, rect.bottom),
        (rect.left, rect.bottom),
    ];
    let middle = (rect.top + rect.bottom) / 2.0;
    match mark {
        Mark::Worn => canvas.area(corners, Ink::Marked, Some((Ink::Grey, 0.12))),
        Mark::Span => canvas.area(corners, Ink::Paper, Some((Ink::Ink, 0.3))),
        Mark::Prescribed => {
            let line = vec![(rect.left, middle), (rect.right, middle)];
            canvas.line(line, Ink::Accent, 0.6, Dash::Solid);
        }
        Mark::Unworn => {
            let line = vec![(rect.left, rect.bottom), (rect.right, rect.bottom)];
            canvas.line(line, Ink::Ink, BASE, Dash::Solid);
        }
        Mark::Unknown => hatch(canvas, rect),
    }
}
