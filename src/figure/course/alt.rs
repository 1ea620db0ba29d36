//! A course in sentences, for a reader who cannot see it: every value and
//! date, and what each may be compared with.

use super::mark::{Is, apart, joined};
use super::{Course, CoursePoint, Episode, MaturityMark, PointKind, Series};
use crate::figure::words::fill;

/// The alt text of a course.
pub fn alt(course: &Course) -> String {
    let mut out = vec![title(course)];
    out.extend(course.series.iter().flat_map(|s| sentences(course, s)));
    if let Some(half) = course.band_half_width
        && course.series.iter().any(|s| !joined(s).is_empty())
    {
        let half = course.words.spoken.angle(half);
        out.push(fill(&course.words.alt.band, &[("half", half)]));
    }
    let mut episodes: Vec<&Episode> = course.episodes.iter().collect();
    episodes.sort_by_key(|e| e.from);
    out.extend(episodes.into_iter().map(|e| episode(course, e)));
    out.extend(maturity(course));
    out.join(" ")
}

fn title(course: &Course) -> String {
    let names: Vec<&str> = course.series.iter().map(|s| s.name.as_str()).collect();
    let until = course.words.calendar.date(course.until);
    fill(&course.words.alt.title, &[("curves", names.join(", ")), ("until", until)])
}

fn sentences(course: &Course, series: &Series) -> Vec<String> {
    let words = &course.words.alt;
    let say = |pattern: &str, points: &[&CoursePoint]| {
        let items: Vec<String> = points.iter().map(|p| item(course, p)).collect();
        fill(pattern, &[("curve", series.name.clone()), ("list", items.join("; "))])
    };
    let line = joined(series);
    let mut out = match line.as_slice() {
        [] => vec![fill(&words.no_line, &[("curve", series.name.clone())])],
        points => vec![say(&words.line, points)],
    };
    let apart = apart(series);
    let kinds: [(&str, Is); 3] = [
        (&words.brace, |k| matches!(k, PointKind::InBrace)),
        (&words.cast, |k| matches!(k, PointKind::InCast)),
        (&words.not_comparable, |k| matches!(k, PointKind::NotComparable(_))),
    ];
    for (pattern, is) in kinds {
        let points: Vec<_> = apart.iter().copied().filter(|p| is(&p.kind)).collect();
        if !points.is_empty() {
            out.push(say(pattern, &points));
        }
    }
    out
}

fn item(course: &Course, point: &CoursePoint) -> String {
    let words = &course.words;
    let why = match &point.kind {
        PointKind::NotComparable(why) => why.clone(),
        _ => String::new(),
    };
    let pattern = if why.is_empty() { &words.alt.item } else { &words.alt.item_why };
    let value = words.spoken.angle(point.value);
    fill(pattern, &[("value", value), ("date", words.calendar.date(point.date)), ("why", why)])
}

fn episode(course: &Course, episode: &Episode) -> String {
    let (words, date) = (&course.words.alt, |d| course.words.calendar.date(d));
    let label = ("label", episode.label.clone());
    let from = ("from", date(episode.from));
    match episode.to {
        Some(to) => fill(&words.episode, &[label, from, ("to", date(to))]),
        None => fill(&words.episode_open, &[label, from]),
    }
}

fn maturity(course: &Course) -> Option<String> {
    let words = &course.words;
    let mut marks: Vec<&MaturityMark> = course.maturity.iter().collect();
    marks.sort_by_key(|m| m.date);
    let item = |mark: &&MaturityMark| {
        let text = mark.text.clone().unwrap_or_else(|| words.not_recorded.clone());
        let date = words.calendar.date(mark.date);
        fill(&words.alt.maturity_item, &[("text", text), ("date", date)])
    };
    let items: Vec<String> = marks.iter().map(item).collect();
    (!items.is_empty()).then(|| fill(&words.alt.maturity, &[("list", items.join("; "))]))
}
