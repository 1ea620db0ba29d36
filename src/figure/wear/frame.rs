//! Room for the scale of hours, the days and the key.

use super::key::Key;
use super::{WearCalendar, bar};
use crate::figure::board::Rect;
use crate::figure::canvas::{Canvas, Point, Type};
use crate::figure::time::{Span, TimeAxis};
use crate::figure::{SMALLEST_TEXT, Size};
use crate::letter::drawing::{Anchor, Dash, Ink};

pub(super) const FACE: Type = Type::plain(SMALLEST_TEXT);
/// Clear of the drawing's edge, in mm.
const EDGE: f64 = 0.4;
/// From a tick label to the plot, in mm.
const TICK_GAP: f64 = 1.5;
/// Right of the plot, for half of a label at its edge, in mm.
const RIGHT: f64 = 2.0;
/// Above the plot, from the words over its scale, in mm.
const AIR: f64 = 1.6;
/// Months are named in a span of up to so many, in mm a month they need.
const MONTHS: f64 = 26.0;
/// Hours of a day.
const DAY: f64 = 24.0;

/// The plot and what surrounds it.
pub(super) struct Frame {
    pub area: Rect,
    pub span: Span,
    time: TimeAxis,
    key: Key,
}

impl Frame {
    /// Lays the figure out; nothing without a day to show.
    pub(super) fn of(calendar: &WearCalendar, size: Size) -> Option<Frame> {
        let left = EDGE + FACE.width("24") + TICK_GAP;
        let span = bar::span(calendar, left, size.width - RIGHT)?;
        let time = TimeAxis::with_months(&span, &calendar.words.calendar, MONTHS);
        let key = Key::of(calendar, &bar::bars(calendar, &span), size.width - 2.0 * EDGE);
        let top = EDGE + FACE.leading() + AIR;
        let bottom = size.height - time.height() - key.height() - EDGE;
        let area = Rect { left, right: span.right, top, bottom };
        Some(Frame { area, span, time, key })
    }

    pub(super) fn y(&self, hours: f64) -> f64 {
        self.area.bottom - hours.clamp(0.0, DAY) / DAY * self.area.height()
    }

    pub(super) fn at(&self, day: f64, hours: f64) -> Point {
        (self.span.x_of(day), self.y(hours))
    }

    /// Lines and labels of the hours.
    pub(super) fn draw_scale(&self, canvas: &mut Canvas, title: &str) {
        for (hours, label) in [(0.0, "0"), (6.0, "6"), (12.0, "12"), (18.0, "18"), (24.0, "24")] {
            let y = self.y(hours);
            let (ink, width) = if hours == 0.0 { (Ink::Grey, 0.3) } else { (Ink::Faint, 0.2) };
            let ends = vec![(self.area.left, y), (self.area.right, y)];
            canvas.line(ends, ink, width, Dash::Solid);
            let at = (self.area.left - TICK_GAP, y + FACE.rise() / 2.0);
            canvas.text(at, label, FACE, Anchor::End);
        }
        canvas.text((EDGE, EDGE + FACE.rise()), title, FACE, Anchor::Start);
    }

    /// Days and key below the plot.
    pub(super) fn draw_foot(&self, canvas: &mut Canvas) {
        self.time.draw_ticks(canvas, self.area.bottom);
        self.time.draw_words(canvas, &self.span, self.area.bottom);
        self.key.draw(canvas, (EDGE, self.area.bottom + self.time.height()));
    }
}
