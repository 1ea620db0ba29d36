//! The hours in sentences: spans, prescription, and which days count.

use super::frame::Frame;
use super::{WearCalendar, WearSpan, bar};
use crate::figure::Size;
use crate::figure::words::fill;
use crate::quantity::Reported;

/// The alt text, from what the letter's facts say.
pub fn alt(calendar: &WearCalendar) -> String {
    let words = &calendar.words.alt;
    let mut out = Vec::new();
    if let Some((from, to)) = bar::shown(calendar) {
        let opening = if calendar.days.is_empty() { &words.spans } else { &words.log };
        let day = |day| calendar.words.calendar.date(day);
        out.push(fill(opening, &[("from", day(from)), ("to", day(to))]));
    }
    out.push(prescribed(calendar));
    if !calendar.told.spans.is_empty() {
        let items: Vec<String> = calendar.told.spans.iter().map(|s| span(calendar, s)).collect();
        out.push(fill(&words.measured, &[("list", items.join("; "))]));
    }
    out.extend(counts(calendar));
    out.join(" ")
}

/// What stands under the figure when it is drawn in that space.
pub fn caption(calendar: &WearCalendar, size: Size) -> String {
    let words = &calendar.words.caption;
    let frame = Frame::of(calendar, size);
    let weekly = frame.as_ref().is_some_and(|f| bar::weekly(calendar, &f.span));
    let unknown =
        frame.is_some_and(|f| bar::bars(calendar, &f.span).iter().any(|bar| bar.hours.is_none()));
    let what = match (calendar.days.is_empty(), weekly) {
        (true, _) => &words.spans,
        (false, true) => &words.weeks,
        (false, false) => &words.days,
    };
    let beside = !calendar.days.is_empty() && !calendar.typed.is_empty();
    let parts = [(true, what), (unknown, &words.unknown), (beside, &words.beside)];
    let said: Vec<&str> =
        parts.iter().filter(|(said, _)| *said).map(|(_, words)| words.as_str()).collect();
    said.join(" ")
}

fn prescribed(calendar: &WearCalendar) -> String {
    let words = &calendar.words.alt;
    let item = |step: &super::PrescribedHours| {
        let from = calendar.words.calendar.date(step.from);
        fill(
            &words.prescribed_item,
            &[("hours", calendar.words.calendar.digits(step.hours)), ("from", from)],
        )
    };
    let items: Vec<String> = calendar.steps.iter().map(item).collect();
    if items.is_empty() {
        return words.not_prescribed.clone();
    }
    fill(&words.prescribed, &[("list", items.join("; "))])
}

fn span(calendar: &WearCalendar, span: &WearSpan) -> String {
    let words = &calendar.words.alt;
    let day = |day| calendar.words.calendar.date(day);
    let days = [("from", day(span.from)), ("to", day(span.to))];
    match span.hours {
        Some(hours) => {
            let [from, to] = days;
            fill(
                &words.measured_item,
                &[("hours", calendar.words.calendar.digits(hours)), from, to],
            )
        }
        None => fill(&words.untold_item, &days),
    }
}

/// How many days count, and why others do not; what is zero is not said.
fn counts(calendar: &WearCalendar) -> Vec<String> {
    let (words, told) = (&calendar.words.alt, &calendar.told);
    let mut out = Vec::new();
    if let (Some(counted), Some(logged)) = (told.counted, told.logged) {
        let digits = |n| calendar.words.calendar.digits(n);
        let values = [("counted", digits(counted)), ("logged", digits(logged))];
        out.push(fill(&words.counted, &values));
    }
    let some = |n: Option<Reported>| n.filter(|n| n.sign() > 0);
    let counts = [
        (some(told.too_warm), &words.too_warm),
        (some(told.incomplete), &words.incomplete),
        (some(told.unworn), &words.unworn),
    ];
    for (n, pattern) in counts {
        out.extend(n.map(|n| fill(pattern, &[("n", calendar.words.calendar.digits(n))])));
    }
    out
}
