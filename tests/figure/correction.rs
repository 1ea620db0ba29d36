//! What each brace takes off each curve.

use endplate::figure::correction::*;
use endplate::letter::drawing::{Drawing, Ink, Shape};
use endplate::quantity::{Reported, Unit};
use proptest::prelude::*;

use super::geometry::{assert_sound, text_at, texts};

fn shown(angle: i64, date: &str, posture: &str) -> Shown {
    Shown {
        angle: Reported::whole(angle, Unit::Degree),
        date: date.parse().expect("an ISO date"),
        posture: (!posture.is_empty()).then(|| posture.to_owned()),
    }
}

fn bar(support: &str, free: i64, held: i64, percent: i64) -> Bar {
    Bar {
        support: support.into(),
        held: shown(held, "2025-04-28", "standing"),
        free: Some(shown(free, "2025-02-24", "standing")),
        percent: Some(Reported::whole(percent, Unit::Percent)),
    }
}

fn figure(curves: Vec<(&str, Vec<Bar>)>) -> Corrections {
    let curves = curves.into_iter().map(|(name, bars)| CurveBars { name: name.into(), bars });
    Corrections {
        worn: "brace".into(),
        curves: curves.collect(),
        words: CorrectionWords::default(),
    }
}

/// A first brace at its first and latest film, and a second one.
pub fn braces() -> Corrections {
    figure(vec![
        (
            "Right thoracic",
            vec![
                bar("first brace, first film", 30, 14, 53),
                bar("first brace, latest film", 33, 28, 15),
                bar("second brace", 36, 17, 53),
            ],
        ),
        ("Left lumbar", vec![bar("first brace, first film", 24, 14, 42)]),
    ])
}

/// The middles of the marks, by fill: out of it, in it.
fn marks(drawing: &Drawing, fill: Ink) -> Vec<(f64, f64)> {
    let of = |shape: &Shape| match shape {
        Shape::Circle { at, fill: Some(f), .. } if *f == fill => Some(*at),
        _ => None,
    };
    drawing.shapes.iter().filter_map(of).collect()
}

#[test]
fn a_bar_reaches_from_out_of_it_to_in_it_on_one_scale() {
    let drawing = draw(&braces(), 82.0).unwrap();
    assert_sound(&drawing);
    let (free, held) = (marks(&drawing, Ink::Ink), marks(&drawing, Ink::Paper));
    assert_eq!((free.len(), held.len()), (4, 4));
    // One scale for all: 30 out of it lies right of 24, 14 in it is twice one place.
    assert!(free[0].0 > free[3].0 && free[0].0 < free[2].0);
    assert!((held[0].0 - held[3].0).abs() < 0.01);
    // A degree is everywhere as wide: 30 to 14 against 36 to 17.
    let width = |n: usize| free[n].0 - held[n].0;
    assert!((width(0) / 16.0 - width(2) / 19.0).abs() < 0.01);
    for n in 0..4 {
        assert!((free[n].1 - held[n].1).abs() < 0.01, "a bar lies level");
    }
}

#[test]
fn turned_over_lies_left_of_zero_and_is_said() {
    let figure = figure(vec![("Left thoracolumbar", vec![bar("brace", 27, -4, 115)])]);
    let drawing = draw(&figure, 82.0).unwrap();
    assert_sound(&drawing);
    let zero = text_at(&drawing, "0°");
    let held = marks(&drawing, Ink::Paper)[0];
    assert!(held.0 < zero.0, "{held:?} lies left of {zero:?}");
    assert!(texts(&drawing).iter().any(|(t, _)| *t == "\u{2212}4°"));
    assert!(texts(&drawing).iter().any(|(t, _)| *t == "115 %, turned over"));
    assert!(alt(&figure).contains("4 degrees in it"), "{}", alt(&figure));
    assert!(alt(&figure).contains("turned to the other side"));
}

#[test]
fn a_difference_of_posture_is_said_on_the_page_and_in_words() {
    let mut one = bar("brace", 22, 8, 64);
    one.held.posture = Some("lying face up".into());
    let figure = figure(vec![("Left thoracolumbar", vec![one])]);
    let drawing = draw(&figure, 82.0).unwrap();
    assert_sound(&drawing);
    let said: String = texts(&drawing).iter().map(|(t, _)| format!("{t} ")).collect();
    assert!(said.contains("the postures differ"), "{said}");
    assert!(alt(&figure).contains("part of which may come from the posture"));
}

#[test]
fn without_a_film_out_of_it_there_is_no_percentage() {
    let mut one = bar("brace", 22, 8, 64);
    (one.free, one.percent) = (None, None);
    let figure = figure(vec![("Left thoracolumbar", vec![one])]);
    let drawing = draw(&figure, 82.0).unwrap();
    assert_sound(&drawing);
    assert!(marks(&drawing, Ink::Ink).is_empty());
    assert!(!alt(&figure).contains('%'), "{}", alt(&figure));
    assert!(alt(&figure).contains("no film out of it to compare"));
}

#[test]
fn the_alt_text_tells_every_angle_day_and_posture() {
    let said = alt(&braces());
    for words in [
        "Right thoracic: first brace, first film, 30 degrees out of it on 24 February 2025, \
         standing, and 14 degrees in it on 28 April 2025, standing, correction 53 %",
        "second brace, 36 degrees",
        "Left lumbar",
        "not a result of treatment",
    ] {
        assert!(said.contains(words), "no `{words}` in: {said}");
    }
}

#[test]
fn nothing_to_show_is_no_figure() {
    assert!(draw(&figure(vec![]), 82.0).is_none());
    assert!(draw(&figure(vec![("Right thoracic", vec![])]), 82.0).is_none());
}

proptest! {
    /// Any angles at any width: everything inside, no text over another.
    #[test]
    fn any_angles_are_drawn_soundly(
        angles in prop::collection::vec((1i64..120, -30i64..120), 1..6),
        width in 70.0f64..150.0,
    ) {
        let one = |(n, (free, held)): (usize, &(i64, i64))| {
            bar(&format!("brace {n}, first film"), *free, *held, 100 * (free - held) / free)
        };
        let figure = figure(vec![("Right thoracic", angles.iter().enumerate().map(one).collect())]);
        let drawing = draw(&figure, width).unwrap();
        assert_sound(&drawing);
        prop_assert!((drawing.height - height(&figure, width)).abs() < 0.01);
    }
}
