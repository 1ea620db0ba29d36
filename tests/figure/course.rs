//! The course of a curve over time.

use chrono::NaiveDate;
use endplate::figure::course::*;
use endplate::quantity::{Reported, Unit};

pub fn day(text: &str) -> NaiveDate {
    text.parse().expect("an ISO date")
}

fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

pub fn point(date: &str, value: i64, kind: PointKind) -> CoursePoint {
    let sign = if value < 0 { "\u{2212}" } else { "" };
    CoursePoint {
        date: day(date),
        value: degrees(value),
        kind,
        label: format!("{sign}{}°", value.abs()),
    }
}

pub fn free(date: &str, value: i64) -> CoursePoint {
    point(date, value, PointKind::OutOfSupport)
}

pub fn mark(date: &str, text: &str) -> MaturityMark {
    MaturityMark { date: day(date), text: (!text.is_empty()).then(|| text.to_owned()) }
}

pub fn brace(from: &str, to: &str, label: &str) -> Episode {
    Episode {
        from: day(from),
        to: (!to.is_empty()).then(|| day(to)),
        label: label.into(),
        kind: EpisodeKind::Brace,
        shade: true,
    }
}

pub fn course(series: Vec<(&str, Vec<CoursePoint>)>, until: &str) -> Course {
    Course {
        series: series
            .into_iter()
            .map(|(name, points)| Series { name: name.into(), points })
            .collect(),
        band_half_width: Some(degrees(3)),
        episodes: Vec::new(),
        maturity: Vec::new(),
        until: day(until),
        words: CourseWords::default(),
    }
}

/// A girl whose curve rose, then held in a brace.
pub fn held() -> Course {
    let points = vec![
        free("2024-09-03", 19),
        free("2025-03-05", 23),
        free("2025-09-04", 28),
        free("2026-03-04", 31),
        free("2026-10-20", 27),
        point("2026-04-15", 14, PointKind::InBrace),
    ];
    Course {
        episodes: vec![brace("2026-04-08", "", "brace, 18 h/day")],
        maturity: vec![
            mark("2024-09-03", "Risser 0"),
            mark("2025-03-05", ""),
            mark("2025-09-04", "Risser 0"),
            mark("2026-03-04", "Risser 1"),
            mark("2026-10-20", "Risser 2"),
        ],
        ..course(vec![("Right thoracic", points)], "2026-10-27")
    }
}

/// Two curves that lie close together.
pub fn double() -> Course {
    let lumbar = vec![
        free("2024-09-03", 13),
        free("2025-03-05", 18),
        free("2025-09-04", 20),
        free("2026-03-04", 22),
        free("2026-10-20", 20),
        point("2026-04-15", 9, PointKind::InBrace),
    ];
    let mut course = held();
    course.series.push(Series { name: "Left lumbar".into(), points: lumbar });
    course
}
