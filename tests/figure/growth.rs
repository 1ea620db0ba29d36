//! Height and its velocity: centiles, steps, ages, the first period.

use chrono::{Days, NaiveDate};
use endplate::figure::Size;
use endplate::figure::growth::*;
use endplate::letter::drawing::{Dash, Drawing, Ink, Shape};
use endplate::quantity::{Reported, Unit};
use proptest::prelude::*;

use super::course::day;
use super::geometry::{assert_sound, text_at, texts};

const WIDE: Size = Size { width: 140.0, height: 40.0 };
const BESIDE: Size = Size { width: 82.0, height: 58.0 };

fn cm(value: f64) -> Reported {
    Reported::round(value, 1, Unit::Centimetre)
}

fn height(date: &str, value: f64) -> HeightPoint {
    HeightPoint { date: day(date), value: cm(value) }
}

fn step(from: &str, to: &str, value: f64, half: f64) -> GrowthStep {
    let per_year = |v| Reported::round(v, 1, Unit::CentimetrePerYear);
    GrowthStep { from: day(from), to: day(to), per_year: per_year(value), half: per_year(half) }
}

/// A girl born on 1 January 2013 between two level lines.
fn girl() -> Growth {
    let line = |name: &str, cm: f64| CentileLine {
        name: name.into(),
        points: vec![(day("2020-01-01"), cm), (day("2030-01-01"), cm)],
    };
    Growth {
        heights: vec![height("2025-01-01", 150.0), height("2026-01-01", 156.0)],
        steps: vec![step("2025-01-01", "2026-01-01", 6.0, 0.8)],
        reference: Some(Reference {
            born: day("2013-01-01"),
            lines: vec![line("3", 140.0), line("50", 152.0), line("97", 166.0)],
            whose: "girls".into(),
            peak: Some(Peak {
                from: day("2024-10-16"),
                to: day("2025-10-05"),
                age: Reported::round(11.9, 1, Unit::Year),
                sd: Reported::round(0.86, 2, Unit::Year),
            }),
        }),
        first_period: Some(Event { date: day("2025-06-15"), when: "June 2025".into() }),
        maturity: vec![MaturityMark { date: day("2025-01-01"), text: Some("Risser 0".into()) }],
        words: GrowthWords::default(),
    }
}

fn drawn(growth: &Growth, size: Size) -> Drawing {
    draw(growth, size).expect("two heights are drawn")
}

fn discs(drawing: &Drawing) -> Vec<(f64, f64)> {
    let disc = |shape: &Shape| match shape {
        Shape::Circle { at, .. } => Some(*at),
        _ => None,
    };
    drawing.shapes.iter().filter_map(disc).collect()
}

fn lines(drawing: &Drawing, wanted: (Ink, f64, Dash)) -> Vec<Vec<(f64, f64)>> {
    let line = |shape: &Shape| match shape {
        Shape::Line { points, ink, width, dash } if (*ink, *width, *dash) == wanted => {
            Some(points.clone())
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(line).collect()
}

#[test]
fn heights_stand_among_their_centiles() {
    for size in [WIDE, BESIDE] {
        let drawing = drawn(&girl(), size);
        assert_sound(&drawing);
        let [first, second] = discs(&drawing).try_into().expect("two heights");
        let outer = lines(&drawing, (Ink::Grey, 0.18, Dash::Solid));
        let (low, high) = (outer[0][0].1, outer[1][0].1);
        let middle = lines(&drawing, (Ink::Grey, 0.3, Dash::Solid))
            .into_iter()
            .map(|l| l[0].1)
            .find(|y| *y < low && *y > high)
            .expect("the middle line");
        // 140, 152 and 166 cm are level lines: 150 lies 10/26, 156 lies 16/26
        // of the way from the lowest to the highest.
        let at = |cm: f64| low + (high - low) * (cm - 140.0) / 26.0;
        let near = |a: f64, b: f64| (a - b).abs() < 0.01;
        assert!(near(first.1, at(150.0)) && near(second.1, at(156.0)) && near(middle, at(152.0)));
        for name in ["3", "50", "97", "150.0", "156.0", "6.0", "age 12", "13", "first period"] {
            assert!(texts(&drawing).iter().any(|(t, _)| *t == name), "{name} is missing");
        }
    }
}

#[test]
fn ages_are_birthdays() {
    let drawing = drawn(&girl(), WIDE);
    let [first, second] = discs(&drawing).try_into().expect("two heights");
    // Measured on the twelfth and the thirteenth birthday.
    let twelve = text_at_left(&drawing, "age 12");
    assert!((twelve - first.0).abs() < 0.05, "{twelve} under {}", first.0);
    let thirteen = text_at_left(&drawing, "13");
    assert!((thirteen - second.0).abs() < 0.05);
}

/// The middle of the leftmost text of that reading: both plots have an axis.
fn text_at_left(drawing: &Drawing, wanted: &str) -> f64 {
    let found = texts(drawing).into_iter().filter(|(t, _)| *t == wanted);
    found.map(|(_, b)| (b.0 + b.2) / 2.0).fold(f64::MAX, f64::min)
}

#[test]
fn without_a_reference_the_axis_shows_dates() {
    let drawing = drawn(&Growth { reference: None, ..girl() }, BESIDE);
    assert_sound(&drawing);
    let said: Vec<&str> = texts(&drawing).into_iter().map(|t| t.0).collect();
    assert!(said.contains(&"2025") && !said.iter().any(|t| t.starts_with("age")), "{said:?}");
    assert!(lines(&drawing, (Ink::Grey, 0.18, Dash::Solid)).is_empty());
}

#[test]
fn the_age_of_peak_growth_is_drawn_only_from_a_published_figure() {
    let dashed = |growth: &Growth| lines(&drawn(growth, BESIDE), (Ink::Accent, 0.3, Dash::Dashed));
    assert_eq!(dashed(&girl()).len(), 2);
    let reference = girl().reference.map(|r| Reference { peak: None, ..r });
    let without = Growth { reference, ..girl() };
    assert!(dashed(&without).is_empty());
    assert!(caption(&girl()).contains("at 11.9 years (SD 0.86)"));
    assert!(!caption(&without).contains("fastest"));
}

#[test]
fn one_height_says_nothing() {
    let mut one = girl();
    one.heights.truncate(1);
    assert_eq!(draw(&one, WIDE), None);
}

#[test]
fn growth_is_told_to_those_who_cannot_see_it() {
    assert_eq!(
        alt(&girl()),
        "Standing height: 150.0 cm on 1 January 2025; 156.0 cm on 1 January 2026. Behind it the \
         centiles 3, 50, 97 of girls. Growth a year: 6.0 cm, plus or minus 0.8, from 1 January \
         2025 to 1 January 2026. First period: June 2025. Maturity: Risser 0 on 1 January 2025."
    );
}

#[test]
fn steps_that_follow_each_other_are_one_line_and_others_are_not() {
    let steps = |second: &str| {
        let growth = Growth {
            heights: vec![
                height("2024-01-01", 144.0),
                height("2025-01-01", 150.0),
                height("2026-01-01", 156.0),
            ],
            steps: vec![
                step("2024-01-01", "2025-01-01", 6.0, 0.8),
                step(second, "2026-01-01", 6.4, 0.9),
            ],
            ..girl()
        };
        lines(&drawn(&growth, WIDE), (Ink::Ink, 0.5, Dash::Solid)).len()
    };
    assert_eq!((steps("2025-01-01"), steps("2025-02-01")), (1, 2));
}

fn any_growth() -> impl Strategy<Value = Growth> {
    let heights = prop::collection::vec((1u64..400, -2.0..9.0f64), 2..14);
    (heights, any::<bool>(), any::<bool>(), 70.0..170.0f64).prop_map(|(gaps, known, had, start)| {
        let (mut at, mut value): (NaiveDate, f64) = (day("2019-02-03"), start);
        let mut points = Vec::new();
        for (gap, more) in gaps {
            at = at + Days::new(gap);
            value += more;
            points.push(HeightPoint { date: at, value: cm(value) });
        }
        let steps = points
            .windows(2)
            .filter(|w| (w[1].date - w[0].date).num_days() > 180)
            .map(|w| step(&w[0].date.to_string(), &w[1].date.to_string(), 5.4, 1.7))
            .collect();
        let girl = girl();
        Growth {
            heights: points,
            steps,
            reference: girl.reference.filter(|_| known),
            first_period: girl.first_period.filter(|_| had),
            ..self::girl()
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn any_growth_is_drawn_soundly(growth in any_growth()) {
        for size in [WIDE, BESIDE] {
            let drawing = drawn(&growth, size);
            assert_sound(&drawing);
            prop_assert_eq!(discs(&drawing).len(), growth.heights.len());
        }
        let filled = !alt(&growth).contains('{') && !caption(&growth).contains('{');
        prop_assert!(filled);
    }
}

#[test]
fn the_last_height_is_always_printed() {
    let drawing = drawn(&girl(), BESIDE);
    let last = text_at(&drawing, "156.0");
    assert!(last.0 > text_at(&drawing, "150.0").0);
}
