//! The films themselves: sides, scale, lines on their endplates, words.

use endplate::digest::Digest;
use endplate::figure::Size;
use endplate::figure::films::*;
use endplate::letter::drawing::{Dash, Drawing, Ink, Shape};
use proptest::prelude::*;

use super::geometry::{assert_sound, texts};
use super::spine::level;

const WIDE: Size = Size { width: 156.0, height: 92.0 };
const BESIDE: Size = Size { width: 92.0, height: 70.0 };

fn plate(name: &str, left: Pixel, right: Pixel) -> Plate {
    Plate { level: level(name), ends: (left, right) }
}

/// A film of 1000 by 2600 pixels with a curve to the patient's right, from T5
/// at 600 to T11 at 1400 pixels below the top.
fn film(name: &str, at_left: Way) -> FilmPanel {
    let upper = plate("T5", (460.0, 590.0), (540.0, 610.0));
    let lower = plate("T11", (455.0, 1415.0), (545.0, 1385.0));
    FilmPanel {
        picture: Digest::of(name.as_bytes()),
        pixels: (1000.0, 2600.0),
        scale: Some(0.2),
        at_left,
        curves: vec![FilmCurve {
            angle: "31°".into(),
            convex: Way::Right,
            readings: vec![ReadingLines { upper, lower }],
        }],
        bodies: vec![[(500.0, 900.0), (590.0, 900.0), (590.0, 980.0), (500.0, 980.0)]],
        captions: vec!["out of brace, standing".into(), "4 March 2026".into()],
        in_support: false,
    }
}

fn films(films: Vec<FilmPanel>) -> Films {
    Films { films, words: FilmWords::default() }
}

fn drawn(figure: &Films, size: Size) -> Drawing {
    draw(figure, size).expect("films are drawn")
}

/// Box and digest of every picture.
fn pictures(drawing: &Drawing) -> Vec<((f64, f64, f64, f64), Digest)> {
    let picture = |shape: &Shape| match shape {
        Shape::Picture { at, width, height, digest } => {
            Some(((at.0, at.1, at.0 + width, at.1 + height), *digest))
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(picture).collect()
}

/// The lines over the films, with their dashes.
fn measured(drawing: &Drawing) -> Vec<(Dash, Vec<(f64, f64)>)> {
    let line = |shape: &Shape| match shape {
        Shape::Line { points, ink: Ink::Ink, width: 0.45, dash } => Some((*dash, points.clone())),
        _ => None,
    };
    drawing.shapes.iter().filter_map(line).collect()
}

/// The middle of a text that stands in a film's part of the figure.
fn middle(drawing: &Drawing, wanted: &str) -> f64 {
    let found: Vec<_> = texts(drawing).into_iter().filter(|(t, _)| *t == wanted).collect();
    assert_eq!(found.len(), 1, "{wanted}");
    (found[0].1.0 + found[0].1.2) / 2.0
}

#[test]
fn sides_turn_with_the_display() {
    let behind = drawn(&films(vec![film("a", Way::Left)]), BESIDE);
    assert!(middle(&behind, "L") < middle(&behind, "R"));
    let front = drawn(&films(vec![film("a", Way::Right)]), BESIDE);
    assert!(middle(&front, "R") < middle(&front, "L"));
    // The picture itself lies the same: a film is never mirrored.
    assert_eq!(pictures(&behind), pictures(&front));
    // The curve is convex to the patient's right: at the viewer's right from
    // behind, at the left from the front.
    let centre = 46.0;
    assert!(middle(&behind, "31°") > centre && middle(&front, "31°") < centre);
    let lateral = drawn(&films(vec![film("a", Way::Front)]), BESIDE);
    assert!(middle(&lateral, "front") < middle(&lateral, "back"));
}

#[test]
fn a_line_lies_on_its_endplate() {
    let drawing = drawn(&films(vec![film("a", Way::Left)]), WIDE);
    let (area, _) = pictures(&drawing)[0];
    let place = |(x, y): Pixel| {
        (area.0 + (area.2 - area.0) * x / 1000.0, area.1 + (area.3 - area.1) * y / 2600.0)
    };
    let ends = [[(460.0, 590.0), (540.0, 610.0)], [(455.0, 1415.0), (545.0, 1385.0)]];
    let lines = measured(&drawing);
    assert_eq!(lines.len(), 2);
    for ((_, line), ends) in lines.iter().zip(ends) {
        let [a, b] = [line[0], line[1]];
        for point in ends.map(place) {
            // On the line, and between its ends.
            let off = (b.0 - a.0) * (point.1 - a.1) - (b.1 - a.1) * (point.0 - a.0);
            assert!(off.abs() < 0.02 && a.0 < point.0 && point.0 < b.0, "{point:?} on {line:?}");
        }
    }
}

#[test]
fn films_with_a_scale_share_it_and_others_share_their_height() {
    let child = FilmPanel { pixels: (1000.0, 2000.0), ..film("b", Way::Left) };
    let drawing = drawn(&films(vec![child.clone(), film("a", Way::Left)]), WIDE);
    let tall = |n: usize| pictures(&drawing)[n].0.3 - pictures(&drawing)[n].0.1;
    // 400 and 520 mm of the patient.
    assert!((tall(0) / tall(1) - 400.0 / 520.0).abs() < 1e-3);
    let unscaled = FilmPanel { scale: None, ..child };
    let figure = films(vec![unscaled, film("a", Way::Left)]);
    let drawing = drawn(&figure, WIDE);
    let tall = |n: usize| pictures(&drawing)[n].0.3 - pictures(&drawing)[n].0.1;
    assert!((tall(0) - tall(1)).abs() < 0.01);
    assert!(
        caption(&figure).contains("not at one scale") && alt(&figure).contains("not at one scale")
    );
}

#[test]
fn a_second_reading_is_dashed() {
    let mut two = film("a", Way::Left);
    let again = two.curves[0].readings[0];
    two.curves[0].readings.push(again);
    let figure = films(vec![two]);
    let dashes: Vec<Dash> = measured(&drawn(&figure, WIDE)).into_iter().map(|l| l.0).collect();
    assert_eq!(dashes, [Dash::Solid, Dash::Solid, Dash::Dashed, Dash::Dashed]);
    assert!(caption(&figure).contains("Dashed: a second reading."));
}

#[test]
fn a_film_in_support_stands_behind_a_line_and_says_so() {
    let held = FilmPanel {
        in_support: true,
        captions: vec!["in brace, standing".into(), "12 May 2026".into()],
        ..film("b", Way::Left)
    };
    let figure = films(vec![film("a", Way::Left), held]);
    let drawing = drawn(&figure, WIDE);
    assert_sound(&drawing);
    assert!(caption(&figure).contains("in the brace or cast, not a result"));
    let [a, b]: [_; 2] = pictures(&drawing).try_into().expect("two films");
    let between = |shape: &Shape| match shape {
        Shape::Line { points, width: 0.15, .. } => {
            points.iter().all(|p| p.0 > a.0.2 && p.0 < b.0.0)
        }
        _ => false,
    };
    assert!(drawing.shapes.iter().any(between), "nothing divides the films");
}

#[test]
fn films_that_lie_otherwise_each_say_how() {
    let figure = films(vec![film("a", Way::Left), film("b", Way::Right)]);
    let said: Vec<String> =
        texts(&drawn(&figure, WIDE)).into_iter().map(|t| t.0.to_string()).collect();
    let said = said.join(" ");
    assert!(said.contains("displayed from behind") && said.contains("displayed from the front"));
    assert_eq!(
        alt(&figure),
        "Radiographs side by side at one scale, with the measured endplates drawn on them. Film 1 \
         (out of brace, standing, 4 March 2026), displayed from behind, patient's left at the left \
         of the picture: T5 to T11, convex to the patient's right, 31°. Film 2 (out of brace, \
         standing, 4 March 2026), displayed from the front, patient's right at the left of the \
         picture: T5 to T11, convex to the patient's right, 31°."
    );
    assert!(!caption(&figure).contains("displayed"), "{}", caption(&figure));
}

#[test]
fn a_space_too_small_shows_nothing() {
    assert_eq!(draw(&films(vec![film("a", Way::Left)]), Size { width: 92.0, height: 20.0 }), None);
    assert_eq!(draw(&films(Vec::new()), WIDE), None);
}

fn any_film() -> impl Strategy<Value = FilmPanel> {
    let point = (0.0..1000.0f64, 0.0..2600.0f64);
    let ends = (point.clone(), point);
    let way = prop_oneof![Just(Way::Left), Just(Way::Right), Just(Way::Front), Just(Way::Back)];
    let scale = prop::option::of(0.05..0.4f64);
    let curves = prop::collection::vec((ends.clone(), ends), 0..3);
    let size = (300.0..3000.0f64, 300.0..3000.0f64);
    (way, scale, curves, size, any::<bool>()).prop_map(|(way, scale, curves, size, held)| {
        let curve = |(a, b): ((Pixel, Pixel), (Pixel, Pixel))| FilmCurve {
            angle: "131°".into(),
            convex: way,
            readings: vec![ReadingLines {
                upper: plate("T10", a.0, a.1),
                lower: plate("L3", b.0, b.1),
            }],
        };
        let inside = |p: Pixel| (p.0 * size.0 / 1000.0, p.1 * size.1 / 2600.0);
        let moved = |c: ((Pixel, Pixel), (Pixel, Pixel))| {
            ((inside(c.0.0), inside(c.0.1)), (inside(c.1.0), inside(c.1.1)))
        };
        FilmPanel {
            scale,
            at_left: way,
            pixels: size,
            curves: curves.into_iter().map(moved).map(curve).collect(),
            bodies: Vec::new(),
            in_support: held,
            ..film("any", way)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn any_films_are_drawn_soundly(panels in prop::collection::vec(any_film(), 1..4)) {
        let figure = films(panels);
        for size in [WIDE, BESIDE] {
            let Some(drawing) = draw(&figure, size) else { continue };
            assert_sound(&drawing);
            prop_assert_eq!(pictures(&drawing).len(), figure.films.len());
            for (_, line) in measured(&drawing) {
                let within = |area: &(f64, f64, f64, f64)| line.iter().all(|p| {
                    p.0 >= area.0 - 0.01 && p.0 <= area.2 + 0.01
                        && p.1 >= area.1 - 0.01 && p.1 <= area.3 + 0.01
                });
                prop_assert!(pictures(&drawing).iter().any(|(area, _)| within(area)));
            }
        }
        let filled = !alt(&figure).contains('{') && !caption(&figure).contains('{');
        prop_assert!(filled);
    }
}
