//! The outline of spine and pelvis from the side, held against a synthetic
//! spine whose angles and distances are known.

use endplate::figure::Size;
use endplate::figure::sagittal::*;
use endplate::letter::drawing::{Dash, Drawing, Ink, Shape};
use endplate::spine::Level;

use super::geometry::{assert_sound, text_at, texts};
use crate::synthetic::lateral::{Side, draw as film_of};
use crate::synthetic::{Film, Shown};

const SIZE: Size = Size { width: 82.0, height: 78.0 };

/// A film facing left without noise: its points in millimetres, to the back
/// and up.
fn panel(side: &Side) -> SagittalPanel {
    let film = Film {
        shown: Shown::FacingLeft,
        scale: 0.2,
        turn: 0.0,
        origin: (900.0, 100.0),
        noise: 0.0,
        seed: 1,
    };
    let picture = film_of(side, &film);
    let place = |(x, y): (f64, f64)| (x * 0.2, -y * 0.2);
    let level = |text: &str| Level::parse(text).expect("a level");
    let bend = |upper, lower, kyphosis, angle: f64| Bend {
        upper: level(upper),
        lower: level(lower),
        kyphosis,
        angle: format!("{angle:.0}°"),
    };
    SagittalPanel {
        vertebrae: picture
            .vertebrae
            .iter()
            .map(|v| (level(&v.level), v.corners.map(place)))
            .collect(),
        femoral_heads: picture.femoral_heads.iter().copied().map(place).collect(),
        in_millimetres: true,
        bends: vec![bend("T5", "T12", true, side.t5_t12), bend("L1", "S1", false, side.lordosis)],
        plumb: Some(Plumb {
            distance: format!("{:.0} mm", side.sva.abs()),
            falls: if side.sva < 0.0 { Falls::Behind } else { Falls::InFront },
        }),
        pelvis: [side.pelvic_tilt + side.sacral_slope, side.pelvic_tilt, side.sacral_slope]
            .map(|a| Some(format!("{a:.0}°"))),
        captions: vec!["standing".into(), "5 October 2026".into()],
        in_support: false,
    }
}

fn figure(panels: Vec<SagittalPanel>) -> SagittalPanels {
    SagittalPanels { panels, words: SagittalWords::default() }
}

fn drawn(panels: Vec<SagittalPanel>) -> Drawing {
    draw(&figure(panels), SIZE).expect("films with landmarks are drawn")
}

fn forward() -> Side {
    Side {
        t5_t12: 44.0,
        lordosis: 28.0,
        sacral_slope: 28.0,
        pelvic_tilt: 26.0,
        sva: 80.0,
        ..Side::grown()
    }
}

/// The plumb line and the line across to the sacrum: straight lines by their
/// ends.
fn lines(drawing: &Drawing, ink: Ink, dash: Dash, wide: f64) -> Vec<[(f64, f64); 2]> {
    let line = |shape: &Shape| match shape {
        Shape::Line { points, ink: i, dash: d, width }
            if *i == ink && *d == dash && *width == wide =>
        {
            <[(f64, f64); 2]>::try_from(points.as_slice()).ok()
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(line).collect()
}

#[test]
fn the_front_is_at_the_left_and_the_hips_lie_before_the_sacrum() {
    let drawing = drawn(vec![panel(&forward())]);
    assert!(text_at(&drawing, "front").2 < text_at(&drawing, "back").0);
    let [(hips, _), (top, _)] = lines(&drawing, Ink::Ink, Dash::Solid, 0.35)[0];
    assert!(hips < top, "a pelvis turned back has its hips in front");
    let [kyphosis] = ["44°"].map(|t| text_at(&drawing, t));
    let [(plumb, _), _] = lines(&drawing, Ink::Ink, Dash::Dashed, 0.3)[0];
    assert!(plumb < kyphosis.0, "the kyphosis is convex behind the plumb line");
}

/// The line across is as long against the height of the spine as the distance
/// asked for is on the film.
#[test]
fn the_distance_is_drawn_to_scale() {
    for sva in [80.0, 25.0, -40.0] {
        let side = Side { sva, ..forward() };
        let film = panel(&side);
        let centre = |corners: &Corners| corners.iter().map(|p| p.1).sum::<f64>() / 4.0;
        let top = centre(&film.vertebrae[0].1);
        let (_, sacrum) = film.vertebrae.last().expect("a sacrum");
        let tall = top - sacrum[1].1;
        let drawing = drawn(vec![film]);
        let [(plumb, from), (corner, to)] = lines(&drawing, Ink::Accent, Dash::Solid, 0.5)[0];
        let [(_, c7), _] = lines(&drawing, Ink::Ink, Dash::Dashed, 0.3)[0];
        assert_eq!(from, to, "it lies level");
        let found = (corner - plumb) / (from - c7) * tall;
        // Thousandths of a millimetre of paper, at about a tenth of the size.
        assert!((found - sva).abs() < 0.2, "{sva}: drawn {found:.2}");
    }
}

/// Labels find room whatever the shape: every angle and distance stands on the
/// drawing, over no other text and within it.
#[test]
fn every_value_is_written_whatever_the_shape() {
    for sva in [-80.0, -8.0, 0.0, 29.0, 62.0, 140.0] {
        for (t5_t12, lordosis) in [(12.0, 30.0), (44.0, 28.0), (60.0, 65.0), (85.0, 80.0)] {
            for count in [1, 2] {
                let side = Side { sva, t5_t12, lordosis, ..forward() };
                let drawing = drawn(vec![panel(&side); count]);
                assert_sound(&drawing);
                let words: Vec<&str> = texts(&drawing).into_iter().map(|(t, _)| t).collect();
                let [a, b] = [t5_t12, lordosis].map(|n| format!("{n:.0}°"));
                for wanted in [&*a, &*b, &format!("{:.0} mm", sva.abs()), "T5–T12", "L1–S1"] {
                    let found = words.iter().filter(|w| **w == wanted).count();
                    assert_eq!(found, count, "{wanted} of {side:?} in {words:?}");
                }
            }
        }
    }
}

#[test]
fn no_more_than_two_films_and_one_scale_for_both() {
    let small = Side { size: 0.8, ..forward() };
    let drawing = drawn(vec![panel(&forward()), panel(&small), panel(&forward())]);
    let fronts = texts(&drawing).into_iter().filter(|(t, _)| *t == "front").count();
    assert_eq!(fronts, MOST);
    let plumbs = lines(&drawing, Ink::Ink, Dash::Dashed, 0.3);
    let [big, little] = [0, 1].map(|i: usize| {
        let [(_, top), (_, bottom)] = plumbs[i];
        // The line goes on by 2 mm below the corner.
        bottom - top - 2.0
    });
    // From C7 to the sacrum everything shrinks alike, but the distance in front.
    assert!((little / big - 0.8).abs() < 0.01, "{little} of {big}");
}

#[test]
fn what_is_not_marked_is_not_drawn() {
    let mut film = panel(&forward());
    film.femoral_heads.clear();
    film.vertebrae.retain(|(level, _)| *level != Level::C(7));
    film.plumb = None;
    film.pelvis = [None, None, Some("28°".into())];
    let model = figure(vec![film.clone()]);
    let drawing = draw(&model, SIZE).expect("a spine is left");
    assert!(lines(&drawing, Ink::Ink, Dash::Dashed, 0.3).is_empty(), "no plumb line");
    assert!(!drawing.shapes.iter().any(|s| matches!(s, Shape::Circle { .. })), "no ring");
    assert!(!model.caption().contains("SVA") && !model.caption().contains("PI"));
    assert!(model.caption().contains("SS: sacral slope."), "{}", model.caption());
    film.vertebrae.clear();
    assert_eq!(draw(&figure(vec![film]), SIZE), None);
    assert_eq!(draw(&figure(Vec::new()), SIZE), None);
}

#[test]
fn the_alt_text_tells_all_of_it() {
    let mut brace = panel(&Side { sva: -12.0, ..forward() });
    brace.in_support = true;
    brace.pelvis = [None, None, None];
    brace.bends.clear();
    let told = alt(&figure(vec![panel(&forward()), brace]));
    assert_eq!(
        told,
        "Spine and pelvis from the side, drawn from the landmarks, facing left. \
         Film 1 (standing, 5 October 2026): kyphosis T5 to T12 44°; \
         lordosis L1 to S1 28°; the plumb line from C7 falls 80 mm in front of the back upper \
         corner of the sacrum; pelvic incidence 54°, pelvic tilt 26°, sacral slope 28°. Film 2, \
         apart because it was taken in support (standing, 5 October 2026): no kyphosis or \
         lordosis measured; the plumb line from C7 falls 12 mm behind the back upper corner of \
         the sacrum; no pelvic angle is known."
    );
}
