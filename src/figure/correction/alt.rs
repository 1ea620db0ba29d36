//! The figure in sentences: every angle with its day and posture.

use super::{Bar, Corrections, CurveBars};
use crate::figure::words::fill;
use crate::quantity::Reported;

/// The alt text.
pub fn alt(figure: &Corrections) -> String {
    let shown = figure.curves.iter().filter(|c| !c.bars.is_empty());
    let curves = shown.map(|c| curve(figure, c));
    let title = fill(&figure.words.alt.title, &[("worn", figure.worn.clone())]);
    std::iter::once(title).chain(curves).collect::<Vec<_>>().join(" ")
}

fn curve(figure: &Corrections, curve: &CurveBars) -> String {
    let list: Vec<String> = curve.bars.iter().map(|b| bar(figure, b)).collect();
    let values = [("curve", curve.name.clone()), ("list", list.join("; "))];
    fill(&figure.words.alt.curve, &values)
}

fn bar(figure: &Corrections, bar: &Bar) -> String {
    let words = &figure.words;
    let angle = |value: Reported| words.spoken.angle(value.abs());
    let posture = |p: &Option<String>| p.clone().unwrap_or_else(|| words.no_posture.clone());
    let mut values = vec![
        ("support", bar.support.clone()),
        ("held", angle(bar.held.angle)),
        ("held_on", words.calendar.date(bar.held.date)),
        ("held_posture", posture(&bar.held.posture)),
    ];
    let percent =
        bar.percent.map(|p| fill(&words.percent, &[("percent", words.calendar.digits(p))]));
    values.push(("percent", percent.unwrap_or_else(|| words.alt.no_percent.clone())));
    let pattern = match &bar.free {
        Some(free) => {
            values.push(("free", angle(free.angle)));
            values.push(("free_on", words.calendar.date(free.date)));
            values.push(("free_posture", posture(&free.posture)));
            &words.alt.bar
        }
        None => &words.alt.alone,
    };
    let mut out = fill(pattern, &values);
    if bar.is_turned() {
        out += &words.alt.turned;
    }
    if bar.postures_differ() {
        out += &words.alt.differ;
    }
    out
}
