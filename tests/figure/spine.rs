//! The spine from its landmarks.

use endplate::figure::spine::*;
use endplate::letter::drawing::{Drawing, Ink, Shape};
use endplate::spine::{Apex, Column, Level};
use proptest::collection::vec;
use proptest::prelude::*;

use super::geometry::{assert_sound, middle, text_at, texts};

pub fn level(text: &str) -> Level {
    Level::parse(text).expect("a level")
}

/// A column stacked from the sacrum upward. Each knot is a level and the tilt
/// of its body in degrees, positive where the column leans towards positive
/// `across` going up; tilts between knots follow a straight line.
pub fn stack(knots: &[(&str, f64)]) -> Vec<(Level, Corners)> {
    let levels: Vec<Level> = Column::default().levels()[7..].to_vec();
    let place = |l: Level| Column::default().index(l).unwrap() as f64;
    let knots: Vec<(f64, f64)> = knots.iter().map(|(l, t)| (place(level(l)), *t)).collect();
    let tilt = |at: f64| match knots.iter().position(|k| k.0 >= at) {
        None => knots.last().unwrap().1,
        Some(0) => knots[0].1,
        Some(i) => {
            let (a, b) = (knots[i - 1], knots[i]);
            a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0)
        }
    };
    let (mut x, mut z) = (0.0, 0.0);
    let mut out = Vec::new();
    for l in levels.into_iter().rev() {
        let at = place(l);
        let (s, c) = tilt(at).to_radians().sin_cos();
        let size = (at - 7.0) / 17.0;
        let (h, half, gap) = (16.0 + 11.0 * size, 13.0 + 10.0 * size, 3.0 + 5.0 * size);
        let corner = |u: f64, v: f64| (x + u * c + v * s, z - u * s + v * c);
        // Upper corners first, the patient's left (or front) leading.
        let lead = |v: f64| (corner(half, v), corner(-half, v));
        let ((ul, ur), (ll, lr)) = (lead(h), lead(0.0));
        out.push((l, [ul, ur, lr, ll]));
        (x, z) = (x + (h + gap) * s, z + (h + gap) * c);
    }
    out.reverse();
    out
}

pub fn panel(
    knots: &[(&str, f64)],
    curves: &[(&str, &str, &str, &str, Convexity)],
    caption: &str,
) -> SpinePanel {
    let curve = |c: &(&str, &str, &str, &str, Convexity)| PanelCurve {
        upper: level(c.0),
        apex: Column::default().parse_apex(c.1).expect("an apex"),
        lower: level(c.2),
        angle: c.3.into(),
        convex: c.4,
    };
    SpinePanel {
        vertebrae: stack(knots),
        in_millimetres: true,
        curves: curves.iter().map(curve).collect(),
        captions: caption.split('|').map(str::to_owned).collect(),
        in_support: false,
    }
}

use Convexity::{Back, Front, Left, Right};

fn double(th: f64, lu: f64, angles: [&str; 2], caption: &str) -> SpinePanel {
    // Leaning to the patient's right is negative across.
    let knots = [
        ("T1", th * 0.3),
        ("T5", th * 0.5),
        ("T11", -th * 0.5),
        ("L4", lu - th * 0.5),
        ("S1", 0.0),
    ];
    let curves = [("T5", "T8", "T11", angles[0], Right), ("T11", "L2", "L4", angles[1], Left)];
    panel(&knots, &curves, caption)
}

pub fn double_panels() -> SpinePanels {
    let mut brace = double(14.0, 9.0, ["14°", "9°"], "in brace, standing|15 April 2026");
    brace.in_support = true;
    SpinePanels {
        view: PanelView::Frontal,
        panels: vec![
            double(31.0, 22.0, ["31°", "22°"], "out of brace, standing|4 March 2026"),
            double(27.0, 20.0, ["27°", "20°"], "out of brace, standing|20 October 2026"),
            brace,
        ],
        words: SpineWords::default(),
    }
}

pub fn single_panels() -> SpinePanels {
    let free = panel(
        &[("T1", -5.0), ("T9", -24.0), ("L3", 24.0), ("S1", 0.0)],
        &[("T9", "T12-L1", "L3", "48°", Left)],
        "out of brace, standing|9 June 2025",
    );
    let mut brace = panel(
        &[("T1", 0.0), ("T9", 2.0), ("L3", -2.0), ("S1", 0.0)],
        &[("T9", "T12-L1", "L3", "\u{2212}4°", Right)],
        "in brace, lying|12 August 2025",
    );
    brace.in_support = true;
    SpinePanels {
        view: PanelView::Frontal,
        panels: vec![free, brace],
        words: SpineWords::default(),
    }
}

pub fn lateral_panels() -> SpinePanels {
    // Across is towards the back; a kyphosis leans forward above.
    let film = |k: f64, angle: &str, caption: &str| SpinePanel {
        vertebrae: stack(&[("T1", -k * 0.5), ("T3", -k * 0.55), ("T12", k * 0.45), ("S1", -30.0)])
            .into_iter()
            .map(|(l, [a, b, c, d])| (l, [b, a, d, c]))
            .collect(),
        ..panel(
            &[("T1", 0.0)],
            &[("T3", "T8", "T12", angle, Back), ("T12", "L3", "S1", "55°", Front)],
            caption,
        )
    };
    SpinePanels {
        view: PanelView::Lateral,
        panels: vec![
            film(72.0, "72°", "out of brace, standing|4 March 2025"),
            film(61.0, "61°", "out of brace, standing|2 March 2026"),
        ],
        words: SpineWords::default(),
    }
}

#[test]
fn an_apical_disc_is_one_apex() {
    let apex = single_panels().panels[0].curves[0].apex;
    assert_eq!(apex, Apex::Disc(level("T12"), level("L1")));
}

fn drawn(figure: &SpinePanels) -> Drawing {
    draw(figure, USUAL_SIZE).expect("films with landmarks are drawn")
}

/// One film, alone in its figure.
fn alone(panel: SpinePanel) -> SpinePanels {
    SpinePanels { view: PanelView::Frontal, panels: vec![panel], words: SpineWords::default() }
}

/// Middles of bones of that fill, film by film and from the head down.
fn bones(drawing: &Drawing, fill: Ink) -> Vec<(f64, f64)> {
    let bone = |shape: &Shape| match shape {
        Shape::Area { points, fill: Some(f), .. } if *f == fill => {
            let sum = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
            Some((sum.0 / 4.0, sum.1 / 4.0))
        }
        _ => None,
    };
    drawing.shapes.iter().filter_map(bone).collect()
}

#[test]
fn the_patients_left_is_at_the_left() {
    let drawing = drawn(&alone(double(31.0, 22.0, ["31°", "22°"], "standing")));
    assert!(text_at(&drawing, "L").2 < text_at(&drawing, "R").0);
    // Worked by hand: T5, T8, T11, L2, L4; the right thoracic apex lies to the
    // right of its ends, the left lumbar apex to the left of its own.
    let [t5, t8, t11, l2, l4] = bones(&drawing, Ink::Marked).try_into().expect("five bones");
    assert!(t8.0 > t5.0 && t8.0 > t11.0 && l2.0 < t11.0 && l2.0 < l4.0);
    assert!(text_at(&drawing, "31°").0 > t8.0, "right of the right thoracic apex");
    assert!(text_at(&drawing, "22°").2 < l2.0, "left of the left lumbar apex");
}

#[test]
fn a_lateral_film_faces_left() {
    let figure = lateral_panels();
    let drawing = drawn(&SpinePanels { panels: figure.panels[..1].to_vec(), ..figure });
    assert!(text_at(&drawing, "front").2 < text_at(&drawing, "back").0);
    assert!(text_at(&drawing, "72°").0 > text_at(&drawing, "T8").2, "a kyphosis is convex behind");
    assert!(text_at(&drawing, "55°").2 < text_at(&drawing, "L3").0, "a lordosis in front");
}

#[test]
fn each_film_has_its_own_sides() {
    let drawing = drawn(&double_panels());
    let letters: Vec<&str> = texts(&drawing).iter().map(|(t, _)| *t).collect();
    assert_eq!(letters.iter().filter(|t| **t == "L").count(), 3);
    assert_eq!(letters.iter().filter(|t| **t == "R").count(), 3);
    for figure in [double_panels(), single_panels(), lateral_panels()] {
        assert_sound(&drawn(&figure));
    }
}

#[test]
fn films_out_of_the_brace_share_a_scale_and_the_brace_is_smaller() {
    let mut figure = double_panels();
    for panel in &mut figure.panels {
        panel.vertebrae = figure_vertebrae();
    }
    let drawing = drawn(&figure);
    let tall = |range: std::ops::Range<usize>| {
        let bone = |shape: &Shape| matches!(shape, Shape::Area { .. });
        let areas: Vec<&Shape> = drawing.shapes.iter().filter(|s| bone(s)).collect();
        let boxes = areas[range].iter().map(|s| endplate::figure::extent(s));
        let (top, bottom) = boxes.fold((f64::MAX, f64::MIN), |b, e| (b.0.min(e.1), b.1.max(e.3)));
        bottom - top
    };
    let [first, second, brace] = [tall(0..18), tall(18..36), tall(36..54)];
    assert!((first - second).abs() < 0.01);
    assert!(brace < 0.8 * first, "{brace} {first}");
}

fn figure_vertebrae() -> Vec<(Level, Corners)> {
    stack(&[("T1", 0.0), ("S1", 0.0)])
}

#[test]
fn without_landmarks_there_is_no_drawing() {
    let mut figure = single_panels();
    figure.panels.iter_mut().for_each(|p| p.vertebrae.clear());
    assert_eq!(draw(&figure, USUAL_SIZE), None);
    let broken = [(f64::NAN, 0.0); 4];
    figure.panels[0].vertebrae = vec![(level("T1"), broken)];
    assert_eq!(draw(&figure, USUAL_SIZE), None);
}

#[test]
fn pixels_of_another_scale_give_the_same_drawing() {
    let mut figure = double_panels();
    let first = drawn(&figure);
    for (_, corners) in &mut figure.panels[1].vertebrae {
        *corners = corners.map(|(a, u)| (a * 7.0 + 300.0, u * 7.0 - 90.0));
    }
    figure.panels[1].in_millimetres = false;
    // Both films show T1 to S1 upright, as tall as each other within a few
    // hundredths; the film of unknown scale takes the first film's height.
    let second = drawn(&figure);
    for (a, b) in bones(&first, Ink::Marked).iter().zip(bones(&second, Ink::Marked)) {
        assert!((a.0 - b.0).abs() < 0.5 && (a.1 - b.1).abs() < 0.5, "{a:?} {b:?}");
    }
}

#[test]
fn the_alt_text_says_every_level_side_and_angle() {
    insta::assert_snapshot!(alt(&double_panels()).replace(". ", ".\n"), @r"
    The spine drawn from its landmarks, seen from behind: the patient's left is at the left.
    Film 1 (out of brace, standing, 4 March 2026): T5 to T11, apex T8, convex to the patient's right, 31°; T11 to L4, apex L2, convex to the patient's left, 22°.
    Film 2 (out of brace, standing, 20 October 2026): T5 to T11, apex T8, convex to the patient's right, 27°; T11 to L4, apex L2, convex to the patient's left, 20°.
    Film 3, drawn smaller and apart because it was taken in support (in brace, standing, 15 April 2026): T5 to T11, apex T8, convex to the patient's right, 14°; T11 to L4, apex L2, convex to the patient's left, 9°.
    ");
}

/// The same film of a patient mirrored: every side the other.
fn mirrored(panel: &SpinePanel) -> SpinePanel {
    let flip = |(across, up): (f64, f64)| (-across, up);
    let mut out = panel.clone();
    for (_, corners) in &mut out.vertebrae {
        let [a, b, c, d] = *corners;
        *corners = [flip(b), flip(a), flip(d), flip(c)];
    }
    for curve in &mut out.curves {
        curve.convex = match curve.convex {
            Left => Right,
            Right => Left,
            other => other,
        };
    }
    out
}

prop_compose! {
    fn any_panel()(
        tilts in vec(-28.0f64..28.0, 4),
        lean in -6.0f64..6.0,
        support in any::<bool>(),
        disc in any::<bool>(),
    ) -> SpinePanel {
        let [a, b, c, d] = tilts.try_into().unwrap();
        let knots = [("T1", lean), ("T4", a), ("T10", b), ("L3", c), ("S1", d / 4.0)];
        // Leaning towards the patient's left going up means tilting positive:
        // a curve whose upper end tilts more positive bulges to the right.
        let side = |upper: f64, lower: f64| if upper > lower { Right } else { Left };
        let apex = if disc { "T12-L1" } else { "L1" };
        let curves = [
            ("T4", "T7", "T10", "44°", side(a, b)),
            ("T10", apex, "L3", "35°", side(b, c)),
        ];
        let mut out = panel(&knots, &curves, "out of brace, standing|20 October 2026");
        out.in_support = support;
        out
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_spines_are_drawn_soundly(panels in vec(any_panel(), 1..4)) {
        let figure = SpinePanels { panels, ..double_panels() };
        let drawing = drawn(&figure);
        assert_sound(&drawing);
        for angle in ["44°", "35°"] {
            let shown = texts(&drawing).iter().filter(|(t, _)| *t == angle).count();
            prop_assert_eq!(shown, figure.panels.len());
        }
    }

    #[test]
    fn an_angle_stands_on_the_convex_side(panel in any_panel()) {
        let side = panel.curves[0].convex;
        let drawing = drawn(&alone(panel));
        let apex = bones(&drawing, Ink::Marked)[1];
        let angle = middle(text_at(&drawing, "44°"));
        prop_assert_eq!(angle > apex.0, side == Right);
    }

    #[test]
    fn a_mirrored_patient_gives_a_mirrored_drawing(panel in any_panel()) {
        let (one, other) = (drawn(&alone(panel.clone())), drawn(&alone(mirrored(&panel))));
        for fill in [Ink::Bone, Ink::Marked] {
            for (a, b) in bones(&one, fill).iter().zip(bones(&other, fill)) {
                prop_assert!((a.0 - (one.width - b.0)).abs() < 0.01 && (a.1 - b.1).abs() < 0.01);
            }
        }
        for (text, at) in texts(&one).into_iter().filter(|(t, _)| t.ends_with('°')) {
            let across = one.width - middle(text_at(&other, text));
            prop_assert!((middle(at) - across).abs() < 0.01, "{text}");
        }
    }
}
