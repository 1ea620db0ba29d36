//! The course of a curve over time.

use chrono::NaiveDate;
use endplate::figure::course::*;
use endplate::letter::drawing::{Drawing, Ink, Shape};
use endplate::quantity::{Reported, Unit};
use proptest::collection::vec;
use proptest::prelude::*;

use super::geometry::{assert_sound, text_at, texts};

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

/// The corners of the heavy line through comparable films, by plot.
fn tracks(drawing: &Drawing) -> Vec<Vec<(f64, f64)>> {
    let track = |shape: &Shape| match shape {
        Shape::Line { points, ink: Ink::Ink, .. } => Some(points.clone()),
        _ => None,
    };
    drawing.shapes.iter().filter_map(track).collect()
}

fn circles(drawing: &Drawing, filled: Ink) -> Vec<(f64, f64)> {
    let circle = |shape: &Shape| match shape {
        Shape::Circle { at, fill, ink, .. } => {
            (*fill == Some(filled) && *ink != Some(Ink::Paper)).then_some(*at)
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(circle).collect()
}

fn drawn(course: &Course) -> Drawing {
    draw(course, usual_size(course)).expect("a course with films is drawn")
}

#[test]
fn the_line_joins_comparable_films_only() {
    let drawing = drawn(&held());
    let [track] = tracks(&drawing).try_into().expect("one line");
    assert_eq!(track, circles(&drawing, Ink::Ink));
    assert_eq!(track.len(), 5);
    let [brace] = circles(&drawing, Ink::Paper).try_into().expect("one film in the brace");
    assert!(!track.contains(&brace));
    assert!(track.windows(2).all(|pair| pair[0].0 < pair[1].0), "in order of time");
}

#[test]
fn every_value_is_printed_and_the_brace_said() {
    let drawing = drawn(&held());
    for wanted in ["19°", "23°", "28°", "31°", "27°", "14° in brace", "not recorded"] {
        text_at(&drawing, wanted);
    }
    text_at(&drawing, "brace, 18 h/day");
    assert_sound(&drawing);
}

#[test]
fn bands_touch_when_films_differ_by_the_limit() {
    // Limit 6 degrees, half of it to each side: the bands of 20 and 26 touch.
    let points = vec![free("2025-01-10", 20), free("2025-07-10", 26)];
    let drawing = drawn(&course(vec![("Left thoracic", points)], "2025-08-01"));
    let band = drawing.shapes.iter().find_map(|shape| match shape {
        Shape::Area { points, fill: Some(Ink::Band), .. } => Some(points.clone()),
        _ => None,
    });
    let [upper_first, upper_last, lower_last, lower_first] = band.unwrap().try_into().unwrap();
    assert!((upper_first.1 - lower_last.1).abs() < 0.002);
    assert!(upper_last.1 < upper_first.1 && lower_last.1 < lower_first.1, "y grows downward");
}

#[test]
fn overcorrection_lies_below_the_zero_line() {
    let points = vec![free("2025-11-20", 26), point("2026-01-12", -4, PointKind::InBrace)];
    let drawing = drawn(&course(vec![("Left thoracolumbar", points)], "2026-02-01"));
    let zero = text_at(&drawing, "0°");
    let [brace] = circles(&drawing, Ink::Paper).try_into().unwrap();
    assert!(brace.1 > zero.3, "{brace:?} {zero:?}");
    text_at(&drawing, "\u{2212}4° in brace");
    assert_sound(&drawing);
}

#[test]
fn several_curves_have_a_plot_each() {
    let drawing = drawn(&double());
    let (upper, lower) = (text_at(&drawing, "Right thoracic"), text_at(&drawing, "Left lumbar"));
    for value in ["19°", "23°", "28°", "31°", "27°", "14° in brace"] {
        let at = text_at(&drawing, value);
        assert!(upper.3 < at.1 && at.3 < lower.1, "{value}");
    }
    for value in ["13°", "18°", "22°", "9° in brace"] {
        assert!(text_at(&drawing, value).1 > lower.3, "{value}");
    }
    assert_eq!(tracks(&drawing).len(), 2);
    assert_sound(&drawing);
}

#[test]
fn twenty_films_have_first_last_and_extremes_printed() {
    let values = [30, 31, 29, 33, 35, 44, 41, 38, 36, 34, 31, 28, 22, 24, 26, 27, 25, 26, 28, 29];
    let date = |i: usize| format!("{}-{:02}-11", 2015 + i / 2, 3 + 6 * (i % 2));
    let points = (0..20).map(|i| free(&date(i), values[i])).collect();
    let drawing = drawn(&course(vec![("Left thoracic", points)], "2024-12-01"));
    for shown in ["44°", "22°"] {
        text_at(&drawing, shown);
    }
    let of = |wanted: &str| texts(&drawing).iter().filter(|(t, _)| *t == wanted).count();
    // 30° is also a tick of the axis.
    assert_eq!((of("30°"), of("29°"), of("35°"), of("24°")), (2, 1, 0, 0));
    assert_sound(&drawing);
}

#[test]
fn one_film_alone_is_drawn_and_none_is_not() {
    let one = course(vec![("Left thoracic", vec![free("2026-05-04", 7)])], "2026-05-11");
    let drawing = drawn(&one);
    text_at(&drawing, "7°");
    assert_sound(&drawing);
    let none = course(vec![("Left thoracic", Vec::new())], "2026-05-11");
    assert_eq!(draw(&none, usual_size(&none)), None);
}

#[test]
fn the_alt_text_says_every_value_and_its_standing() {
    let mut course = held();
    let lying = PointKind::NotComparable("lying".into());
    course.series[0].points.push(point("2026-01-08", 24, lying));
    insta::assert_snapshot!(alt(&course).replace(". ", ".\n"), @r"
    Cobb angle over time until 27 October 2026: Right thoracic.
    Right thoracic, out of any support, joined by a line: 19 degrees on 3 September 2024; 23 degrees on 5 March 2025; 28 degrees on 4 September 2025; 31 degrees on 4 March 2026; 27 degrees on 20 October 2026.
    Right thoracic, in the brace, drawn apart from the line: 14 degrees on 15 April 2026.
    Right thoracic, not comparable, drawn apart from the line: 24 degrees on 8 January 2026 (lying).
    The band reaches 3 degrees to each side of the line; where the bands of two films overlap, the difference is below the limit for a real change.
    Since 8 April 2026: brace, 18 h/day.
    Maturity: Risser 0 on 3 September 2024; not recorded on 5 March 2025; Risser 0 on 4 September 2025; Risser 1 on 4 March 2026; Risser 2 on 20 October 2026.
    ");
}

fn any_kind() -> impl Strategy<Value = PointKind> {
    prop_oneof![
        4 => Just(PointKind::OutOfSupport),
        2 => Just(PointKind::InBrace),
        1 => Just(PointKind::InCast),
        1 => Just(PointKind::NotComparable("lying".into())),
        1 => Just(PointKind::NotComparable(String::new())),
    ]
}

fn any_point(days: i64) -> impl Strategy<Value = CoursePoint> {
    (0..=days, -8i64..100, any_kind()).prop_map(|(after, value, kind)| {
        let date = day("2015-02-03") + chrono::Days::new(after as u64);
        point(&date.to_string(), value, kind)
    })
}

fn any_episode(days: i64) -> impl Strategy<Value = Episode> {
    let label = prop_oneof![Just("brace, 18 h/day"), Just("casts"), Just("night brace, 9 h/day")];
    (0..=days, proptest::option::of(1i64..900), label).prop_map(|(from, long, label)| {
        let from = day("2015-02-03") + chrono::Days::new(from as u64);
        Episode {
            to: long.map(|l| from + chrono::Days::new(l as u64)),
            kind: if label == "casts" { EpisodeKind::Cast } else { EpisodeKind::Brace },
            ..brace(&from.to_string(), "", label)
        }
    })
}

fn any_mark(days: i64) -> impl Strategy<Value = MaturityMark> {
    let text = prop_oneof![Just(""), Just("Risser 0"), Just("Risser 4"), Just("Sanders 7")];
    (0..=days, text).prop_map(|(after, text)| {
        let date = day("2015-02-03") + chrono::Days::new(after as u64);
        mark(&date.to_string(), text)
    })
}

prop_compose! {
    fn any_course()(days in 1i64..5500)(
        points in vec(vec(any_point(days), 1..22), 1..4),
        episodes in vec(any_episode(days), 0..7),
        maturity in vec(any_mark(days), 0..9),
        days in Just(days),
        half in proptest::option::of(1i64..6),
    ) -> Course {
        let until = day("2015-02-03") + chrono::Days::new(days as u64);
        let names = ["Right thoracic", "Left thoracolumbar", "Left proximal thoracic"];
        Course {
            band_half_width: half.map(degrees),
            episodes,
            maturity,
            ..course(names.into_iter().zip(points).collect(), &until.to_string())
        }
    }
}

/// Whether a line passes through a box, by walking along it.
fn passes(track: &[(f64, f64)], (left, top, right, bottom): (f64, f64, f64, f64)) -> bool {
    let walk = |pair: &[(f64, f64)]| {
        let (from, to) = (pair[0], pair[1]);
        (0..=400).map(f64::from).any(|i| {
            let (x, y) =
                (from.0 + (to.0 - from.0) * i / 400.0, from.1 + (to.1 - from.1) * i / 400.0);
            left < x && x < right && top < y && y < bottom
        })
    };
    track.windows(2).any(walk)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_course_is_drawn_soundly(course in any_course()) {
        let drawing = drawn(&course);
        assert_sound(&drawing);
        let comparable = |s: &&Series| s.points.iter()
            .filter(|p| p.kind == PointKind::OutOfSupport).count() > 1;
        prop_assert_eq!(tracks(&drawing).len(), course.series.iter().filter(comparable).count());
        for track in tracks(&drawing) {
            for (text, at) in texts(&drawing) {
                prop_assert!(!passes(&track, at), "the line passes through {text}");
            }
            for apart in circles(&drawing, Ink::Paper) {
                prop_assert!(!track.contains(&apart) || circles(&drawing, Ink::Ink).contains(&apart));
            }
        }
    }

    #[test]
    fn a_few_films_have_all_their_values_printed(
        values in vec(5i64..60, 1..6),
        until in 30u64..4000,
    ) {
        // Films at even intervals, all out of support.
        let step = until / values.len() as u64;
        let date = |i: usize| day("2015-02-03") + chrono::Days::new(step * i as u64);
        let points: Vec<_> = values.iter().enumerate()
            .map(|(i, v)| free(&date(i).to_string(), *v))
            .collect();
        let until = day("2015-02-03") + chrono::Days::new(until);
        let drawing = drawn(&course(vec![("Left thoracic", points.clone())], &until.to_string()));
        for p in &points {
            let shown = texts(&drawing).iter().filter(|(t, _)| **t == p.label).count();
            let films = points.iter().filter(|q| q.label == p.label).count();
            prop_assert!(shown >= films, "{} printed {shown} of {films} times", p.label);
        }
    }
}

/// Under the summer of 2025 stands 2025, whichever January day comes first.
#[test]
fn a_course_that_begins_in_early_january_names_its_years_rightly() {
    let years = |first: &str| {
        let points = vec![free(first, 25), free("2025-09-10", 14)];
        let drawing = drawn(&course(vec![("Right thoracic", points)], "2025-09-11"));
        let found = texts(&drawing).into_iter().map(|(t, _)| t.to_string());
        found.filter(|t| t.len() == 4 && t.parse::<u16>().is_ok()).collect::<Vec<_>>()
    };
    for day in 1..=28 {
        assert_eq!(years(&format!("2025-01-{day:02}")), ["2025"], "from January {day}");
    }
}
