//! Measurements of frontal films beside curves, against the truth of the
//! synthetic spine and against figures worked by hand.

use endplate::case::landmark_file;
use endplate::diag::Report;
use endplate::quantity::PixelScale;
use endplate::spine::balance::{self, CsvlBy};
use endplate::spine::landmark::LandmarkSet;
use endplate::spine::{Apex, Column, FilmFrame, Level, PatientSpine, Side, rib, rotation, tilt};
use proptest::prelude::*;

use crate::synthetic::mark::{Marks, WIDTH_OVER_DEPTH, draw};
use crate::synthetic::{Bow, Film, Shown, Spine, Towards};

/// Half a tenth of a pixel at both ends of a rib 12 mm long: 0.1 px in 80.
const DEGREES: f64 = 0.2;
/// Half a tenth of a pixel of 0.15 mm on either side.
const MILLIMETRES: f64 = 0.05;

fn spine() -> Spine {
    let bow = |upper, apex, lower, towards, cobb| Bow { upper, apex, lower, towards, cobb };
    let bows = vec![
        bow("T5", "T8", "T12", Towards::Right, 34.0),
        bow("T12", "L2", "L4", Towards::Left, 24.0),
    ];
    Spine { thoracic: 12, lumbar: 5, size: 1.0, bows }
}

fn film(shown: Shown, turn: f64) -> Film {
    Film { shown, scale: 0.15, turn, origin: (1400.0, 300.0), noise: 0.0, seed: 7 }
}

fn read(text: &str) -> LandmarkSet {
    let mut report = Report::default();
    let set = landmark_file::read(text, "f.csv", Some(Column::default()), &mut report);
    assert!(report.is_empty(), "{report:?}");
    let set = set.expect("a sound file");
    assert_eq!(set.faults(Column::default()), [], "{text}");
    set
}

fn place(set: &LandmarkSet, frame: FilmFrame) -> PatientSpine {
    PatientSpine::new(set, frame, Some(PixelScale::millimetres_per_pixel(0.15)))
}

fn frame(shown: Shown) -> FilmFrame {
    match shown {
        Shown::FromBehind => FilmFrame::FrontalFromBehind,
        _ => FilmFrame::FrontalFromFront,
    }
}

fn other(frame: FilmFrame) -> FilmFrame {
    match frame {
        FilmFrame::FrontalFromBehind => FilmFrame::FrontalFromFront,
        _ => FilmFrame::FrontalFromBehind,
    }
}

const T8: Level = Level::T(8);
const T9: Level = Level::T(9);

/// Every signed measurement of the film, above zero on the patient's left.
fn signed(spine: &PatientSpine) -> Vec<f64> {
    let column = Column::default();
    let mm = |offset: balance::Offset| offset.leftward().to_millimetres();
    let by = CsvlBy::Plumb;
    let apex = |level| balance::apical_translation(spine, column, Apex::Vertebra(level), by);
    let ribs = rib::rib_angles(spine, T9).unwrap();
    let pedicles = rotation::pedicles(spine, T8).unwrap();
    vec![
        mm(balance::coronal_balance(spine, by).unwrap()),
        mm(balance::coronal_balance(spine, CsvlBy::Pelvis).unwrap()),
        mm(balance::trunk_shift(spine, by).unwrap()),
        mm(apex(T8).unwrap()),
        mm(apex(Level::L(2)).unwrap()),
        tilt::t1_tilt(spine).unwrap().left_up().to_degrees(),
        tilt::clavicle_angle(spine).unwrap().left_up().to_degrees(),
        tilt::pelvic_obliquity(spine).unwrap().left_up().to_degrees(),
        tilt::femoral_heads(spine).unwrap().left_up().to_millimetres(),
        ribs.difference(Side::Left).to_degrees(),
        pedicles.on(Side::Right) - pedicles.on(Side::Left),
        endplate::spine::wedge::frontal_wedge(spine, T8).unwrap().to_degrees(),
    ]
}

/// What was asked for, beside what was measured.
#[derive(Debug, Clone, Copy)]
struct Asked {
    rotation: (bool, f64),
    ribs: (f64, f64),
    trunk: f64,
    clavicles: f64,
    pelvis: f64,
    heads: f64,
}

impl Asked {
    fn marks(self) -> Marks {
        let towards = if self.rotation.0 { Towards::Left } else { Towards::Right };
        Marks {
            rotation: vec![("T8", towards, self.rotation.1)],
            ribs: vec![("T9", self.ribs.0, self.ribs.1)],
            trunk: Some(("T8", self.trunk)),
            clavicles: Some(self.clavicles),
            pelvis: Some(self.pelvis),
            heads: Some(self.heads),
        }
    }
}

fn any_asked() -> impl Strategy<Value = Asked> {
    let ribs = (35.0..80.0f64, 35.0..80.0f64);
    let rotation = (any::<bool>(), 6.0..40.0f64);
    (rotation, ribs, -25.0..25.0f64, -12.0..12.0f64, -8.0..8.0f64, -25.0..25.0f64).prop_map(
        |(rotation, ribs, trunk, clavicles, pelvis, heads)| Asked {
            rotation,
            ribs,
            trunk,
            clavicles,
            pelvis,
            heads,
        },
    )
}

proptest! {
    #[test]
    fn what_was_drawn_is_measured(
        asked in any_asked(),
        turn in -6.0..6.0f64,
        shown in proptest::sample::select(vec![Shown::FromBehind, Shown::FromFront]),
    ) {
        let set = read(&draw(&spine(), &film(shown, turn), &asked.marks()).csv());
        let placed = place(&set, frame(shown));
        let near = |found: f64, truth: f64, within: f64| (found - truth).abs() <= within;
        let shift = balance::trunk_shift(&placed, CsvlBy::Plumb).unwrap().leftward();
        prop_assert!(near(shift.to_millimetres(), asked.trunk, MILLIMETRES));
        let tilt = |t: tilt::Tilt| t.left_up().to_degrees();
        prop_assert!(near(tilt(tilt::clavicle_angle(&placed).unwrap()), asked.clavicles, DEGREES));
        prop_assert!(near(tilt(tilt::pelvic_obliquity(&placed).unwrap()), asked.pelvis, DEGREES));
        let heads = tilt::femoral_heads(&placed).unwrap().left_up().to_millimetres();
        prop_assert!(near(heads, asked.heads, MILLIMETRES));
        let ribs = rib::rib_angles(&placed, T9).unwrap();
        prop_assert!(near(ribs.on(Side::Left).to_degrees(), asked.ribs.0, DEGREES));
        prop_assert!(near(ribs.on(Side::Right).to_degrees(), asked.ribs.1, DEGREES));
        let pedicles = rotation::pedicles(&placed, T8).unwrap();
        let side = if asked.rotation.0 { Side::Left } else { Side::Right };
        // Six degrees or less may count as symmetric.
        if asked.rotation.1 > 8.0 {
            prop_assert_eq!(pedicles.turned_to(), Some(side));
        }
        let angle = pedicles.stokes(WIDTH_OVER_DEPTH).unwrap().to_degrees();
        prop_assert!(near(angle, asked.rotation.1, 2.0 * DEGREES), "{} is not {}", angle, asked.rotation.1);
    }

    #[test]
    fn declaring_the_other_display_flips_every_side_and_no_number(
        asked in any_asked(),
        turn in -6.0..6.0f64,
    ) {
        let set = read(&draw(&spine(), &film(Shown::FromBehind, turn), &asked.marks()).csv());
        let behind = signed(&place(&set, FilmFrame::FrontalFromBehind));
        let front = signed(&place(&set, FilmFrame::FrontalFromFront));
        for (i, (a, b)) in behind.iter().zip(&front).enumerate() {
            prop_assert!((a + b).abs() < 1e-9, "measurement {}: {} became {}", i, a, b);
        }
    }

    #[test]
    fn one_patient_shown_both_ways_measures_the_same(asked in any_asked()) {
        let all = |shown| {
            let set = read(&draw(&spine(), &film(shown, 0.0), &asked.marks()).csv());
            signed(&place(&set, frame(shown)))
        };
        for (i, (a, b)) in all(Shown::FromBehind).iter().zip(all(Shown::FromFront)).enumerate() {
            prop_assert!((a - b).abs() <= DEGREES, "measurement {}: {} or {}", i, a, b);
        }
    }

    #[test]
    fn a_turned_film_turns_level_lines_and_nothing_else(
        asked in any_asked(),
        turn in -6.0..6.0f64,
    ) {
        // What belongs to a vertebra, and the line square to the pelvis, turn
        // with the film; the film's own horizontal does not.
        let marks = asked.marks();
        let set = read(&draw(&spine(), &film(Shown::FromBehind, turn), &marks).csv());
        let level = read(&draw(&spine(), &film(Shown::FromBehind, 0.0), &marks).csv());
        let (turned, level) =
            (place(&set, FilmFrame::FrontalFromBehind), place(&level, FilmFrame::FrontalFromBehind));
        let t1 = |s: &PatientSpine| tilt::t1_tilt(s).unwrap().left_up().to_degrees();
        // Clockwise on a film from behind lifts the patient's left.
        prop_assert!((t1(&turned) - t1(&level) - turn).abs() <= DEGREES);
        let rvad = |s: &PatientSpine| rib::rib_angles(s, T9).unwrap().difference(Side::Right).to_degrees();
        prop_assert!((rvad(&turned) - rvad(&level)).abs() <= 2.0 * DEGREES);
    }
}

#[test]
fn the_display_named_in_the_record_is_the_one_that_counts() {
    let asked = Asked {
        rotation: (false, 15.0),
        ribs: (66.0, 44.0),
        trunk: 9.0,
        clavicles: 2.0,
        pelvis: -3.0,
        heads: -6.0,
    };
    let set = read(&draw(&spine(), &film(Shown::FromBehind, 0.0), &asked.marks()).csv());
    let right = place(&set, FilmFrame::FrontalFromBehind);
    assert_eq!(tilt::pelvic_obliquity(&right).unwrap().higher(), Some(Side::Right));
    assert_eq!(balance::trunk_shift(&right, CsvlBy::Plumb).unwrap().side(), Some(Side::Left));
    // The right curve's convex rib hangs more: 66 - 44.
    let difference = rib::rib_angles(&right, T9).unwrap().difference(Side::Right).to_degrees();
    assert!((difference - 22.0).abs() <= 2.0 * DEGREES, "{difference}");
    let wrong = place(&set, other(FilmFrame::FrontalFromBehind));
    assert_eq!(tilt::pelvic_obliquity(&wrong).unwrap().higher(), Some(Side::Left));
}
