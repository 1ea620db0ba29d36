//! Hours in a brace: bars, unknown days, the line of what was prescribed.

use chrono::{Days, NaiveDate};
use endplate::figure::Size;
use endplate::figure::wear::*;
use endplate::letter::drawing::{Dash, Drawing, Ink, Shape};
use endplate::quantity::{Reported, Unit};
use proptest::prelude::*;

use super::course::day;
use super::geometry::{assert_sound, texts};

pub const WIDE: Size = Size { width: 140.0, height: 46.0 };
pub const BESIDE: Size = Size { width: 82.0, height: 52.0 };

pub fn hours(value: f64) -> Reported {
    Reported::round(value, 1, Unit::HourPerDay)
}

fn whole(value: i64) -> Reported {
    Reported::whole(value, Unit::HourPerDay)
}

/// A log from that day on; nothing where the hours could not be told.
pub fn log(from: &str, days: &[Option<f64>]) -> WearCalendar {
    let first = day(from);
    let one = |(n, h): (usize, &Option<f64>)| WearDay {
        date: first + Days::new(n as u64),
        hours: h.map(hours),
    };
    WearCalendar {
        days: days.iter().enumerate().map(one).collect(),
        typed: Vec::new(),
        steps: vec![PrescribedHours { from: first, hours: whole(18) }],
        ended: None,
        told: WearTold::default(),
        words: WearWords::default(),
    }
}

fn drawn(calendar: &WearCalendar, size: Size) -> Drawing {
    draw(calendar, size).expect("days are drawn")
}

/// Corners of every area of that fill with an outline.
fn areas(drawing: &Drawing, wanted: Ink) -> Vec<Vec<(f64, f64)>> {
    let area = |shape: &Shape| match shape {
        Shape::Area { points, fill: Some(fill), ink: Some(_), .. } if *fill == wanted => {
            Some(points.clone())
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(area).collect()
}

/// Points of every line of that ink and width.
fn lines(drawing: &Drawing, wanted: (Ink, f64)) -> Vec<Vec<(f64, f64)>> {
    let line = |shape: &Shape| match shape {
        Shape::Line { points, ink, width, dash: Dash::Solid } if (*ink, *width) == wanted => {
            Some(points.clone())
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(line).collect()
}

const HATCHED: (Ink, f64) = (Ink::Grey, 0.15);
const NOT_WORN: (Ink, f64) = (Ink::Ink, 0.9);
const PRESCRIBED: (Ink, f64) = (Ink::Accent, 0.6);

/// Heights of 0 and of 24 hours on paper: those of the scale's outer labels.
fn scale(drawing: &Drawing) -> (f64, f64) {
    let at = |wanted: &str| {
        let found = texts(drawing).into_iter().find(|(t, _)| *t == wanted).unwrap().1;
        (found.1 + found.3) / 2.0
    };
    (at("0"), at("24"))
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.02
}

#[test]
fn a_day_stands_as_high_as_its_hours() {
    // Forty-two days of 12 hours: one block, half as high as the plot.
    let drawing = drawn(&log("2026-03-02", &[Some(12.0); 42]), WIDE);
    let (zero, full) = scale(&drawing);
    // The first block is the bar, the second its sample in the key.
    let blocks = areas(&drawing, Ink::Marked);
    let tops: Vec<f64> = blocks[0].iter().map(|p| p.1).collect();
    let top = tops.iter().copied().fold(f64::MAX, f64::min);
    assert!(near(top, (zero + full) / 2.0), "{top} between {zero} and {full}");
    assert_eq!(blocks.len(), 2);
    assert!(lines(&drawing, HATCHED).is_empty() && lines(&drawing, NOT_WORN).is_empty());
    assert_sound(&drawing);
}

#[test]
fn unknown_is_hatched_and_zero_is_dark_and_neither_is_the_other() {
    let mut days = vec![Some(15.0); 60];
    days[20..30].fill(None);
    days[40] = Some(0.0);
    let drawing = drawn(&log("2026-03-02", &days), WIDE);
    let (zero, full) = scale(&drawing);
    let hatched: Vec<_> = lines(&drawing, HATCHED);
    let on_plot = |line: &&Vec<(f64, f64)>| line.iter().all(|p| p.1 <= zero + 0.01);
    let column: Vec<_> = hatched.iter().filter(on_plot).flatten().copied().collect();
    // The hatched column reaches from the axis to the top, over days 20 to 29
    // of the 60 shown.
    let ys: Vec<f64> = column.iter().map(|p| p.1).collect();
    assert!(ys.iter().copied().fold(f64::MAX, f64::min) < full + 2.0);
    let left = areas(&drawing, Ink::Marked)[0][0].0;
    let wide = |day: f64| left + (138.0 - left) * day / 60.0;
    let xs: Vec<f64> = column.iter().map(|p| p.0).collect();
    let (low, high) =
        (xs.iter().copied().fold(f64::MAX, f64::min), xs.iter().copied().fold(0.0, f64::max));
    assert!(near(low, wide(20.0)) && near(high, wide(30.0)), "{low} to {high}");
    // One dark mark on the axis under day 40, and its sample in the key.
    let dark = lines(&drawing, NOT_WORN);
    assert_eq!(dark.len(), 2);
    assert!(near(dark[0][0].0, wide(40.0)) && near(dark[0][1].0, wide(41.0)));
    let said: Vec<&str> = texts(&drawing).into_iter().map(|t| t.0).collect();
    for words in ["worn", "prescribed", "not worn", "cannot be told", "18 h"] {
        assert!(said.contains(&words), "{said:?} lacks {words}");
    }
}

#[test]
fn the_line_steps_with_the_prescription() {
    let mut calendar = log("2026-03-02", &[Some(14.0); 90]);
    calendar.steps.push(PrescribedHours { from: day("2026-04-01"), hours: whole(12) });
    calendar.steps.push(PrescribedHours { from: day("2026-05-01"), hours: whole(0) });
    calendar.ended = Some(day("2026-05-15"));
    let drawing = drawn(&calendar, WIDE);
    let (zero, full) = scale(&drawing);
    let at = |hours: f64| zero + (full - zero) * hours / 24.0;
    let line = &lines(&drawing, PRESCRIBED)[0];
    let heights: Vec<f64> = line.iter().map(|p| p.1).collect();
    let wanted = [18.0, 18.0, 12.0, 12.0, 0.0, 0.0].map(at);
    assert!(heights.iter().zip(wanted).all(|(a, b)| near(*a, b)), "{heights:?}, not {wanted:?}");
    // It ends with the last day of treatment, before the last day of the log:
    // 2 March to 15 May are 75 of 90 days.
    let (left, right) = (line[0].0, 138.0);
    assert!(near(line[5].0, left + (right - left) * 75.0 / 90.0));
}

#[test]
fn three_years_are_drawn_by_weeks_and_one_by_days() {
    let days: Vec<Option<f64>> = (0..1096).map(|n| Some(f64::from(n % 7 + 10))).collect();
    let long = log("2023-03-06", &days);
    assert!(caption(&long, BESIDE).contains("mean of each week’s counted days"));
    let drawing = drawn(&long, BESIDE);
    // Every week has the same mean, (10 + … + 16) / 7 = 13, so one flat block.
    let (zero, full) = scale(&drawing);
    let block = &areas(&drawing, Ink::Marked)[0];
    let at = zero + (full - zero) * 13.0 / 24.0;
    let tops: Vec<f64> = block.iter().map(|p| p.1).filter(|y| *y < zero - 0.1).collect();
    // The last week has only its Monday to Thursday: 10 to 13, 11.5 hours.
    let last = zero + (full - zero) * 11.5 / 24.0;
    assert!(tops.iter().all(|y| near(*y, at) || near(*y, last)), "{tops:?}");
    assert_sound(&drawing);
    let year = log("2025-03-06", &days[..365]);
    assert!(!caption(&year, WIDE).contains("week"), "a year fits by days");
}

#[test]
fn typed_spans_are_open_bars_with_their_value() {
    let span = |from: &str, to: &str, h: Option<f64>| WearSpan {
        from: day(from),
        to: day(to),
        hours: h.map(hours),
    };
    let mut calendar = log("2025-05-01", &[]);
    calendar.typed = vec![
        span("2025-05-01", "2026-03-31", Some(15.9)),
        span("2026-04-01", "2026-07-31", Some(14.6)),
    ];
    calendar.told.spans = calendar.typed.clone();
    let drawing = drawn(&calendar, WIDE);
    assert_sound(&drawing);
    let said: Vec<&str> = texts(&drawing).into_iter().map(|t| t.0).collect();
    assert!(said.contains(&"15.9") && said.contains(&"14.6"), "{said:?}");
    // Two bars and one sample.
    assert_eq!(areas(&drawing, Ink::Paper).len(), 3);
    assert!(areas(&drawing, Ink::Marked).is_empty());
    assert_eq!(
        alt(&calendar),
        "Hours in the brace from 1 May 2025 to 31 July 2026, as means over spans. Prescribed: \
         18 hours a day from 1 May 2025. Measured: 15.9 hours a day from 1 May 2025 to 31 March \
         2026; 14.6 hours a day from 1 April 2026 to 31 July 2026."
    );
    assert!(!caption(&calendar, WIDE).contains("Hatched"));
}

#[test]
fn what_is_zero_is_not_said_and_what_is_unknown_is() {
    let mut calendar = log("2026-03-02", &[Some(15.0), None, Some(0.0)]);
    let count = |n: i64| Some(Reported::whole(n, Unit::Day));
    calendar.told = WearTold {
        spans: vec![WearSpan { from: day("2026-03-02"), to: day("2026-03-04"), hours: None }],
        counted: count(2),
        logged: count(3),
        too_warm: count(1),
        incomplete: count(0),
        unworn: count(1),
    };
    let alt = alt(&calendar);
    assert!(alt.contains("The hours of 2 of 3 days in the log count."));
    assert!(alt.contains("Days too warm to tell wear: 1.") && !alt.contains("samples missing"));
    assert!(alt.contains("too few days counted from 2 March 2026 to 4 March 2026"));
    assert!(caption(&calendar, WIDE).ends_with("this is not zero."));
}

#[test]
fn without_a_day_there_is_nothing() {
    assert_eq!(draw(&log("2026-03-02", &[]), WIDE), None);
}

fn any_log() -> impl Strategy<Value = WearCalendar> {
    let one = prop_oneof![Just(None), Just(Some(0.0)), (0.0..24.0).prop_map(Some)];
    let days = prop::collection::vec(one, 1..1200);
    let steps = prop::collection::vec((0u64..1200, 0.0..24.0f64), 0..5);
    (days, steps).prop_map(|(days, mut steps)| {
        steps.sort_by_key(|s| s.0);
        let first: NaiveDate = day("2023-01-05");
        let mut calendar = log("2023-01-05", &days);
        calendar.steps = steps
            .into_iter()
            .map(|(n, h)| PrescribedHours { from: first + Days::new(n), hours: hours(h) })
            .collect();
        calendar
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_log_is_drawn_soundly(calendar in any_log()) {
        for size in [WIDE, BESIDE] {
            assert_sound(&drawn(&calendar, size));
        }
    }
}
