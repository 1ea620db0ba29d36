//! The geometry of the spine against figures worked by hand, and what may
//! never change an angle.

#![allow(clippy::disallowed_methods, reason = "draws with the standard library's trigonometry")]

use endplate::spine::curve::{SMALLEST_CURVE, agreement, apex, find_curves};
use endplate::spine::landmark::{Corners, Edge, LandmarkSet, Pixel, Viewed};
use endplate::spine::{
    Apex, Column, Convexity, FilmFrame, GeometryError, Level, PatientSpine, Side, cobb,
};
use proptest::prelude::*;

const FRAMES: [FilmFrame; 4] = [
    FilmFrame::FrontalFromBehind,
    FilmFrame::FrontalFromFront,
    FilmFrame::LateralFacingLeft,
    FilmFrame::LateralFacingRight,
];

/// Widths and heights of the drawn vertebrae, in pixels.
const WIDTH: f64 = 120.0;
const HEIGHT: f64 = 80.0;
const DISC: f64 = 16.0;

/// A spine stacked from the tilts of its vertebrae, drawn as a film of that
/// frame shows it. A positive tilt lifts the patient's left or posterior end.
/// Written from the definition of each display, not from the code under test.
fn film(tilts: &[(Level, f64)], frame: FilmFrame) -> LandmarkSet {
    // Whether left (or posterior) is displayed on the viewer's right.
    let rightward = matches!(frame, FilmFrame::FrontalFromFront | FilmFrame::LateralFacingLeft);
    let pixel = |across: f64, up: f64| Pixel {
        x: 2000.0 + if rightward { across } else { -across },
        y: -up,
    };
    let mut set = LandmarkSet::default();
    let (mut across, mut up) = (0.0, 0.0);
    for (level, tilt) in tilts {
        let (sin, cos) = (tilt.to_radians().sin(), tilt.to_radians().cos());
        // Down the spine is square to the endplates.
        let step = |length: f64| (length * sin, -length * cos);
        let edge = |across: f64, up: f64| {
            let far = pixel(across + cos * WIDTH / 2.0, up + sin * WIDTH / 2.0);
            let near = pixel(across - cos * WIDTH / 2.0, up - sin * WIDTH / 2.0);
            if rightward {
                Edge { left: near, right: far }
            } else {
                Edge { left: far, right: near }
            }
        };
        let upper = edge(across, up);
        let body = step(HEIGHT);
        let lower = edge(across + body.0, up + body.1);
        if *level == Level::S1 {
            set.sacrum = Some(upper);
        } else {
            set.vertebrae.insert(*level, corners(upper, lower));
        }
        let next = step(HEIGHT + DISC);
        (across, up) = (across + next.0, up + next.1);
    }
    set
}

fn corners(upper: Edge, lower: Edge) -> Corners {
    Corners {
        upper_left: upper.left,
        upper_right: upper.right,
        lower_right: lower.right,
        lower_left: lower.left,
    }
}

/// Two vertebrae whose endplates run along given vectors of the viewer
/// (right, up), whatever lies between.
fn two_plates(upper: (f64, f64), lower: (f64, f64)) -> LandmarkSet {
    let edge = |y: f64, (right, up): (f64, f64)| Edge {
        left: Pixel { x: 100.0, y },
        right: Pixel { x: 100.0 + right, y: y - up },
    };
    let flat = |y| edge(y, (10.0, 0.0));
    let vertebrae = [
        (Level::T(5), corners(edge(100.0, upper), flat(150.0))),
        (Level::T(12), corners(flat(400.0), edge(450.0, lower))),
    ];
    LandmarkSet { vertebrae: vertebrae.into(), ..Default::default() }
}

fn measured(set: &LandmarkSet, frame: FilmFrame) -> (f64, Option<Convexity>) {
    let spine = PatientSpine::new(set, frame, None);
    let angle = cobb(&spine, Level::T(5), Level::T(12)).unwrap();
    (angle.size().to_degrees(), angle.convexity())
}

#[track_caller]
fn assert_near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} within {tolerance}");
}

const RIGHT: Option<Convexity> = Some(Convexity::Toward(Side::Right));
const LEFT: Option<Convexity> = Some(Convexity::Toward(Side::Left));

#[test]
fn cobb_angles_worked_by_hand() {
    // Slope 3/4 is 36.8698976458 degrees, 5/12 is 22.6198649480, 4/3 is
    // 53.1301023542, 1 is 45 (right triangles 3-4-5 and 5-12-13).
    let table = [
        ((4.0, 3.0), (12.0, -5.0), 36.869_897_645_8 + 22.619_864_948_0),
        ((12.0, 5.0), (4.0, 3.0), 36.869_897_645_8 - 22.619_864_948_0),
        ((1.0, 1.0), (1.0, -1.0), 90.0),
        ((3.0, 4.0), (3.0, -4.0), 106.260_204_708_3),
        // The upper endplate upright, the lower one 45 degrees the other way.
        ((0.0, 1.0), (1.0, -1.0), 135.0),
        // The upper endplate leaning beyond upright: 126.8698976458.
        ((-3.0, 4.0), (1.0, -1.0), 126.869_897_645_8 + 45.0),
    ];
    for (upper, lower, expected) in table {
        for frame in FRAMES {
            let (size, _) = measured(&two_plates(upper, lower), frame);
            assert_near(size, expected, 1e-9);
        }
    }
}

#[test]
fn the_display_decides_the_side() {
    let set = two_plates((4.0, -3.0), (12.0, 5.0));
    // Falling to the viewer's right above, rising below: the endplates
    // converge on the right, the concave side, so the curve bulges to the
    // viewer's left.
    assert_eq!(measured(&set, FilmFrame::FrontalFromBehind).1, LEFT);
    assert_eq!(measured(&set, FilmFrame::FrontalFromFront).1, RIGHT);
    // The viewer's left is the front of a patient facing left.
    assert_eq!(measured(&set, FilmFrame::LateralFacingLeft).1, Some(Convexity::Lordosis));
    assert_eq!(measured(&set, FilmFrame::LateralFacingRight).1, Some(Convexity::Kyphosis));
}

#[test]
fn parallel_endplates_have_no_side() {
    let (size, convexity) = measured(&two_plates((4.0, 3.0), (8.0, 6.0)), FRAMES[0]);
    assert_near(size, 0.0, 1e-9);
    assert_eq!(convexity, None);
}

#[test]
fn an_overcorrected_curve_is_negative_toward_its_own_side() {
    let set = two_plates((4.0, -3.0), (12.0, 5.0));
    let spine = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, None);
    let angle = cobb(&spine, Level::T(5), Level::T(12)).unwrap();
    assert_near(angle.toward(LEFT.unwrap()).to_degrees(), 59.489_762_593_8, 1e-9);
    assert_near(angle.toward(RIGHT.unwrap()).to_degrees(), -59.489_762_593_8, 1e-9);
}

#[test]
fn what_cannot_be_measured_says_why() {
    let set = two_plates((4.0, 3.0), (12.0, -5.0));
    let spine = PatientSpine::new(&set, FRAMES[0], None);
    let error = |upper, lower| cobb(&spine, upper, lower).unwrap_err();
    let (t5, t8, t12) = (Level::T(5), Level::T(8), Level::T(12));
    assert_eq!(error(t12, t5), GeometryError::EndsReversed(t12, t5));
    assert_eq!(error(t5, t5), GeometryError::EndsReversed(t5, t5));
    assert_eq!(error(t5, t8).to_string(), "T8 is not among the landmarks");
    let flat = PatientSpine::new(&two_plates((0.0, 0.0), (12.0, -5.0)), FRAMES[0], None);
    assert_eq!(cobb(&flat, t5, t12), Err(GeometryError::NoDirection(t5)));
}

/// A right thoracic curve T5 to T12 (tilts -13 and 15: 28 degrees) above a
/// left lumbar one T12 to L4 (15 and -8: 23 degrees), with small curves at
/// both ends. T8 lies level; between L2 (+3) and L3 (-4) the disc is the most
/// deviated.
fn double_curve() -> Vec<(Level, f64)> {
    let tilts: [f64; 19] = [
        0.0, -2.0, -5.0, -8.0, -11.0, -13.0, -11.0, -6.0, 0.0, 6.0, 11.0, 14.0,
        15.0, // to T12
        10.0, 3.0, -4.0, -8.0, -3.0, 0.0,
    ];
    Column::default().levels().into_iter().skip(6).zip(tilts).collect()
}

type Told = (Level, Apex, Level, Convexity, f64);

fn told(set: &LandmarkSet, frame: FilmFrame) -> Vec<Told> {
    let spine = PatientSpine::new(set, frame, None);
    find_curves(&spine, Column::default(), SMALLEST_CURVE)
        .into_iter()
        .map(|c| (c.upper, c.apex, c.lower, c.convexity, c.cobb.size().to_degrees()))
        .collect()
}

#[test]
fn curves_are_found_between_the_most_tilted_vertebrae() {
    let frame = FilmFrame::FrontalFromBehind;
    let curves = told(&film(&double_curve(), frame), frame);
    let ends: Vec<_> = curves.iter().map(|c| (c.0, c.2)).collect();
    let (c7, t5, t12) = (Level::C(7), Level::T(5), Level::T(12));
    assert_eq!(ends, [(c7, t5), (t5, t12), (t12, Level::L(4)), (Level::L(4), Level::S1)]);
    let sizes = [13.0, 28.0, 23.0, 8.0];
    for (curve, size) in curves.iter().zip(sizes) {
        assert_near(curve.4, size, 1e-9);
    }
    let sides: Vec<_> = curves.iter().map(|c| c.3.side().unwrap()).collect();
    assert_eq!(sides, [Side::Left, Side::Right, Side::Left, Side::Right]);
    assert_eq!(curves[1].1, Apex::Vertebra(Level::T(8)));
    assert_eq!(curves[2].1, Apex::Disc(Level::L(2), Level::L(3)));
}

#[test]
fn ends_at_the_edge_of_the_landmarks_say_so() {
    let frame = FilmFrame::FrontalFromBehind;
    let spine = PatientSpine::new(&film(&double_curve(), frame), frame, None);
    let edges: Vec<_> = find_curves(&spine, Column::default(), SMALLEST_CURVE)
        .iter()
        .map(|c| (c.upper_at_edge, c.lower_at_edge))
        .collect();
    assert_eq!(edges, [(true, false), (false, false), (false, false), (false, true)]);
}

#[test]
fn the_smallest_curve_is_a_setting() {
    let frame = FilmFrame::FrontalFromBehind;
    let spine = PatientSpine::new(&film(&double_curve(), frame), frame, None);
    let count = |smallest| find_curves(&spine, Column::default(), smallest).len();
    assert_eq!((count(5.0), count(10.0), count(20.0), count(30.0)), (4, 3, 2, 0));
}

#[test]
fn kyphosis_and_lordosis_are_found_on_lateral_films() {
    // From T1 (+25) through a level T7 to T12 (-20): kyphosis of 45; on to S1
    // (+35): lordosis of 55. The posterior end of T1 is high when the neck
    // leans forward.
    let mut tilts: Vec<(Level, f64)> = Vec::new();
    for n in 1..=12u8 {
        let tilt = if n <= 7 { 25.0 * f64::from(7 - n) / 6.0 } else { -4.0 * f64::from(n - 7) };
        tilts.push((Level::T(n), tilt));
    }
    for n in 1..=5u8 {
        tilts.push((Level::L(n), -20.0 + 55.0 * f64::from(n) / 6.0));
    }
    tilts.push((Level::S1, 35.0));
    for frame in [FilmFrame::LateralFacingLeft, FilmFrame::LateralFacingRight] {
        let curves = told(&film(&tilts, frame), frame);
        assert_eq!(curves.len(), 2);
        assert_eq!((curves[0].0, curves[0].2), (Level::T(1), Level::T(12)));
        assert_eq!((curves[0].3, curves[1].3), (Convexity::Kyphosis, Convexity::Lordosis));
        assert_near(curves[0].4, 45.0, 1e-9);
        assert_near(curves[1].4, 55.0, 1e-9);
        assert_eq!(curves[0].1, Apex::Vertebra(Level::T(7)));
        assert_eq!((curves[1].0, curves[1].2), (Level::T(12), Level::S1));
    }
}

#[test]
fn angles_beyond_ninety_are_found_whole() {
    // 60 and -60: 120 degrees.
    let tilts: Vec<_> = (1..=9u8).map(|n| (Level::T(n), 15.0 * (f64::from(n) - 5.0))).collect();
    let frame = FilmFrame::FrontalFromFront;
    let curves = told(&film(&tilts, frame), frame);
    assert_eq!(curves.len(), 1);
    assert_near(curves[0].4, 120.0, 1e-9);
    assert_eq!((curves[0].1, curves[0].3), (Apex::Vertebra(Level::T(5)), RIGHT.unwrap()));
}

#[test]
fn a_recorded_curve_is_held_against_the_most_tilted_ends() {
    let frame = FilmFrame::FrontalFromBehind;
    let spine = PatientSpine::new(&film(&double_curve(), frame), frame, None);
    let column = Column::default();
    // T6 (-11) to T11 (14): 25 degrees, three less than T5 to T12.
    let held = agreement(&spine, column, Level::T(6), Level::T(11)).unwrap();
    assert_near(held.recorded.size().to_degrees(), 25.0, 1e-9);
    assert_eq!((held.upper_off, held.lower_off), (Some(-1), Some(1)));
    assert_near(held.degrees_more.unwrap(), 3.0, 1e-9);
    assert_eq!(held.bows_as_tilted, Some(true));
    let straight = agreement(&spine, column, Level::T(4), Level::T(6)).unwrap();
    assert_eq!(straight.recorded.convexity(), None);
    assert_eq!(straight.found, None);
}

#[test]
fn a_leaning_curve_still_has_its_apex_between_its_ends() {
    // Leaning by 30 degrees, no vertebra lies level; the bulge is at T5.
    let tilts: Vec<_> =
        (1..=9u8).map(|n| (Level::T(n), 30.0 + 5.0 * (f64::from(n) - 5.0))).collect();
    let frame = FilmFrame::FrontalFromBehind;
    let spine = PatientSpine::new(&film(&tilts, frame), frame, None);
    let found = apex(&spine, Column::default(), Level::T(1), Level::T(9)).unwrap();
    assert_eq!(found, Some(Apex::Vertebra(Level::T(5))));
}

#[test]
fn degenerate_sets_give_no_curves() {
    let frame = FRAMES[0];
    assert_eq!(told(&LandmarkSet::default(), frame), []);
    assert_eq!(told(&film(&[(Level::T(5), 3.0)], frame), frame), []);
    let straight: Vec<_> = (1..=12u8).map(|n| (Level::T(n), 0.0)).collect();
    assert_eq!(told(&film(&straight, frame), frame), []);
}

/// Moves every corner of a set.
fn moved(set: &LandmarkSet, mut by: impl FnMut(Pixel) -> Pixel) -> LandmarkSet {
    let mut edge = |e: Edge| Edge { left: by(e.left), right: by(e.right) };
    let vertebrae = set
        .vertebrae
        .iter()
        .map(|(level, c)| {
            let (upper, lower) = (edge(c.upper()), edge(c.lower()));
            (*level, corners(upper, lower))
        })
        .collect();
    let sacrum = set.sacrum.map(&mut edge);
    let marks = set.marks.iter().map(|(name, at)| (*name, by(*at))).collect();
    LandmarkSet { vertebrae, sacrum, marks }
}

/// The film turned over: left and right corners change places too.
fn turned_over(set: &LandmarkSet) -> LandmarkSet {
    let mirrored = moved(set, |p| Pixel { x: 5000.0 - p.x, y: p.y });
    let swap = |e: Edge| Edge { left: e.right, right: e.left };
    let vertebrae = mirrored
        .vertebrae
        .iter()
        .map(|(level, c)| (*level, corners(swap(c.upper()), swap(c.lower()))))
        .collect();
    let other = |viewed| if viewed == Viewed::Left { Viewed::Right } else { Viewed::Left };
    let marks = mirrored.marks.iter().map(|((m, v), at)| ((*m, other(*v)), *at)).collect();
    LandmarkSet { vertebrae, sacrum: mirrored.sacrum.map(swap), marks }
}

fn all_angles(set: &LandmarkSet, frame: FilmFrame) -> Vec<f64> {
    let spine = PatientSpine::new(set, frame, None);
    let levels = set.levels();
    let mut angles = Vec::new();
    for (i, upper) in levels.iter().enumerate() {
        for lower in &levels[i + 1..] {
            angles.push(cobb(&spine, *upper, *lower).unwrap().signed().to_degrees());
        }
    }
    angles
}

fn any_tilts() -> impl Strategy<Value = Vec<(Level, f64)>> {
    proptest::collection::vec(-50.0..50.0f64, 19)
        .prop_map(|tilts| Column::default().levels().into_iter().skip(6).zip(tilts).collect())
}

proptest! {
    #[test]
    fn turning_scaling_and_moving_a_film_changes_no_angle(
        tilts in any_tilts(),
        turn in -40.0..40.0f64,
        scale in 0.2..5.0f64,
        shift in (-3000.0..3000.0f64, -3000.0..3000.0f64),
        frame in proptest::sample::select(FRAMES.to_vec()),
    ) {
        let set = film(&tilts, frame);
        let (sin, cos) = (turn.to_radians().sin(), turn.to_radians().cos());
        let other = moved(&set, |p| Pixel {
            x: scale * (cos * p.x - sin * p.y) + shift.0,
            y: scale * (sin * p.x + cos * p.y) + shift.1,
        });
        for (a, b) in all_angles(&set, frame).into_iter().zip(all_angles(&other, frame)) {
            prop_assert!((a - b).abs() < 1e-6, "{} became {}", a, b);
        }
    }

    #[test]
    fn mirroring_a_film_and_its_declared_display_flips_nothing(tilts in any_tilts()) {
        let pairs = [
            (FilmFrame::FrontalFromBehind, FilmFrame::FrontalFromFront),
            (FilmFrame::LateralFacingLeft, FilmFrame::LateralFacingRight),
        ];
        for (one, other) in pairs {
            let set = film(&tilts, one);
            let mirrored = turned_over(&set);
            for (a, b) in all_angles(&set, one).into_iter().zip(all_angles(&mirrored, other)) {
                prop_assert!((a - b).abs() < 1e-9, "{} became {}", a, b);
            }
            let (here, there) = (told(&set, one), told(&mirrored, other));
            prop_assert_eq!(here.len(), there.len());
            for (a, b) in here.iter().zip(&there) {
                prop_assert_eq!((a.0, a.2, a.3), (b.0, b.2, b.3));
            }
        }
    }

    #[test]
    fn mirroring_a_film_without_declaring_it_flips_every_side(tilts in any_tilts()) {
        let frame = FilmFrame::FrontalFromBehind;
        let set = film(&tilts, frame);
        for (a, b) in all_angles(&set, frame).into_iter().zip(all_angles(&turned_over(&set), frame))
        {
            prop_assert!((a + b).abs() < 1e-9, "{} became {}", a, b);
        }
    }

    #[test]
    fn a_pixel_of_noise_makes_no_curve(noise in proptest::collection::vec(-1.0..1.0f64, 8 * 19)) {
        // Two corners off by 1 px each over 120 px: at most 0.96 degrees a
        // plate, so no pair of plates of a straight spine reaches 2 degrees.
        let frame = FilmFrame::FrontalFromBehind;
        let straight: Vec<_> =
            Column::default().levels().into_iter().skip(6).map(|l| (l, 0.0)).collect();
        let mut next = noise.iter().copied().cycle();
        let mut shake = |p: Pixel| Pixel {
            x: p.x + next.next().unwrap_or(0.0),
            y: p.y + next.next().unwrap_or(0.0),
        };
        prop_assert!(told(&moved(&film(&straight, frame), &mut shake), frame).is_empty());
        let curves = told(&moved(&film(&double_curve(), frame), &mut shake), frame);
        prop_assert_eq!(curves.len(), 4);
        for (curve, size) in curves.iter().zip([13.0, 28.0, 23.0, 8.0]) {
            prop_assert!((curve.4 - size).abs() < 2.1, "{} is not near {}", curve.4, size);
        }
        prop_assert_eq!(curves[1].3, Convexity::Toward(Side::Right));
    }

    #[test]
    fn found_curves_reach_the_size_asked_for(tilts in any_tilts()) {
        let frame = FilmFrame::FrontalFromBehind;
        let curves = told(&film(&tilts, frame), frame);
        for curve in &curves {
            prop_assert!(curve.0 < curve.2 && curve.4 >= SMALLEST_CURVE);
        }
    }
}
