//! The hours in a brace, from its log as the letter's facts evaluated it.

use super::words::worded;
use super::{ALONE, Shown};
use crate::case::{Treatment, TreatmentKind};
use crate::course::wear::{DayState, table};
use crate::facts::Value;
use crate::facts::derive::{treatment, wear};
use crate::figure::Size;
use crate::figure::wear::{
    PlainWear, PrescribedHours, WearCalendar, WearDay, WearSpan, WearTold, WearWords, alt, caption,
    draw,
};
use crate::letter::block::Figure;
use crate::quantity::Reported;
use chrono::NaiveDate;

/// The hours of the brace in use, else of the one worn last; in plain words if
/// asked for. Nothing without measured hours.
pub(super) fn figure(shown: &Shown, width: f64, plain: bool) -> Option<Figure> {
    let treatment = worn(shown)?;
    let words = match plain {
        true => worded::<PlainWear>(shown).0,
        false => worded(shown),
    };
    let model = model(treatment, shown, words);
    let size = Size { width, height: height(&model, width, plain) };
    let drawing = draw(&model, size)?;
    Some(Figure { alt: alt(&model), caption: caption(&model, size), drawing })
}

/// In mm: lower where there are only spans, or plain words.
fn height(model: &WearCalendar, width: f64, plain: bool) -> f64 {
    match (width < ALONE, plain || model.days.is_empty()) {
        (_, true) => 34.0,
        (true, false) => 52.0,
        (false, false) => 46.0,
    }
}

fn worn<'a>(shown: &Shown<'a>) -> Option<&'a Treatment> {
    let (case, day) = (shown.known, shown.facts.as_of);
    let brace = |t: &&Treatment| t.kind.value == TreatmentKind::Brace && t.wear.is_some();
    treatment::current(case, day)
        .filter(brace)
        .or_else(|| treatment::last_worn(case, day).filter(brace))
}

fn model(t: &Treatment, shown: &Shown, words: WearWords) -> WearCalendar {
    let told = told(t, shown);
    let days = days(t, shown);
    let logged = days.first().zip(days.last()).map(|(a, b)| (a.date, b.date));
    let apart = |s: &&WearSpan| logged.is_none_or(|(first, last)| s.to < first || last < s.from);
    let typed = told.spans.iter().filter(apart).copied().collect();
    let steps = t.hours.iter().filter(|h| h.from.value <= shown.facts.as_of);
    let step = |h: &crate::case::HoursStep| PrescribedHours {
        from: h.from.value,
        hours: treatment::reported_hours(h.per_day.to_hours()),
    };
    WearCalendar {
        days,
        typed,
        steps: steps.map(step).collect(),
        ended: t.ended.as_ref().map(|e| e.on.value),
        told,
        words,
    }
}

/// The days of the log in the brace.
fn days(t: &Treatment, shown: &Shown) -> Vec<WearDay> {
    let evaluated = wear::evaluate(t, shown.limits, shown.facts.as_of);
    let inside = evaluated.into_iter().flat_map(|t| t.days);
    let inside = inside.filter(|d| !matches!(d.state, DayState::Outside | DayState::Partial));
    let day = |d: crate::course::wear::Day| WearDay {
        date: d.date,
        hours: d.counts().then(|| table::reported(d.hours())),
    };
    inside.map(day).collect()
}

fn told(t: &Treatment, shown: &Shown) -> WearTold {
    let path = format!("treatments.{}.wear", t.id.value);
    let number = |item: &str| shown.facts.get(&format!("{path}.{item}"))?.number();
    let mut spans = Vec::new();
    while let Some(span) = span(shown, &format!("{path}.spans.w{}", spans.len() + 1)) {
        spans.push(span);
    }
    WearTold {
        spans,
        counted: number("days.counted"),
        logged: number("days.logged"),
        too_warm: number("days.cannot_tell"),
        incomplete: number("days.incomplete"),
        unworn: number("days.unworn"),
    }
}

fn span(shown: &Shown, path: &str) -> Option<WearSpan> {
    let day = |item: &str| -> Option<NaiveDate> {
        match &shown.facts.get(&format!("{path}.{item}"))?.value {
            Value::Date(date) => Some(date.first_day()),
            _ => None,
        }
    };
    let hours: Option<Reported> = shown.facts.get(&format!("{path}.mean"))?.number();
    Some(WearSpan { from: day("from")?, to: day("to")?, hours })
}
