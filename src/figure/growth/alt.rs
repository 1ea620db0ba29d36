//! Growth in sentences, and what stands under the figure.

use super::frame::shown;
use super::scale::days;
use super::{Growth, Peak, Reference};
use crate::figure::time::Span;
use crate::figure::words::fill;

/// The alt text: every height, every step, and the signs of maturity.
pub fn alt(growth: &Growth) -> String {
    let words = &growth.words.alt;
    let date = |day| growth.words.calendar.date(day);
    let list = |items: Vec<String>| [("list", items.join("; "))];
    let heights = growth.heights.iter().map(|h| {
        fill(
            &words.height,
            &[("value", growth.words.calendar.digits(h.value)), ("date", date(h.date))],
        )
    });
    let mut out = vec![fill(&words.heights, &list(heights.collect()))];
    if let Some(reference) = &growth.reference {
        let whose = ("whose", reference.whose.clone());
        out.push(fill(&words.lines, &[("lines", lines(reference)), whose]));
    }
    let steps = growth.steps.iter().map(|s| {
        let ends = [("from", date(s.from)), ("to", date(s.to))];
        let [from, to] = ends;
        let value = ("value", growth.words.calendar.digits(s.per_year));
        fill(&words.step, &[value, ("half", growth.words.calendar.digits(s.half)), from, to])
    });
    if !growth.steps.is_empty() {
        out.push(fill(&words.steps, &list(steps.collect())));
    }
    if let Some(event) = &growth.first_period {
        out.push(fill(&words.first_period, &[("when", event.when.clone())]));
    }
    let marks = growth.maturity.iter().map(|m| {
        let text = m.text.clone().unwrap_or_else(|| growth.words.not_recorded.clone());
        fill(&words.maturity_item, &[("text", text), ("date", date(m.date))])
    });
    if !growth.maturity.is_empty() {
        out.push(fill(&words.maturity, &list(marks.collect())));
    }
    out.join(" ")
}

/// What stands under the figure.
pub fn caption(growth: &Growth) -> String {
    let words = &growth.words.caption;
    let mut out = vec![match &growth.reference {
        Some(reference) => {
            let whose = ("whose", reference.whose.clone());
            fill(&words.lines, &[("lines", lines(reference)), whose])
        }
        None => words.heights.clone(),
    }];
    if !growth.steps.is_empty() {
        out.push(words.steps.clone());
        out.extend(seen(growth).map(|peak| {
            fill(
                &words.peak,
                &[
                    ("age", growth.words.calendar.digits(peak.age)),
                    ("sd", growth.words.calendar.digits(peak.sd)),
                ],
            )
        }));
    }
    out.join(" ")
}

/// The band of peak growth, if an edge of it is among the days shown.
fn seen(growth: &Growth) -> Option<&Peak> {
    let peak = growth.reference.as_ref()?.peak.as_ref()?;
    let span = Span { left: 0.0, right: 1.0, days: days(growth)? };
    let edge = [peak.from, peak.to].into_iter().any(|day| shown(&span, day).is_some());
    edge.then_some(peak)
}

fn lines(reference: &Reference) -> String {
    let names: Vec<&str> = reference.lines.iter().map(|l| l.name.as_str()).collect();
    names.join(", ")
}
