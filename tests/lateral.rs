//! Lateral films: the program against the truth of the picture, on many
//! random spines, facing either way.

use endplate::case::landmark_file;
use endplate::diag::Report;
use endplate::quantity::PixelScale;
use endplate::spine::landmark::Mark;
use endplate::spine::sagittal::{
    Pelvis, Stretch, faces_the_other_way, stretch, vertical_axis, wedge,
};
use endplate::spine::{Column, FilmFrame, Level, PatientSpine};
use proptest::prelude::*;

use crate::synthetic::lateral::{LateralPicture, Side, draw};
use crate::synthetic::{Film, Shown};

const SCALE: f64 = 0.15;

fn film(shown: Shown, turn: f64) -> Film {
    Film { shown, scale: SCALE, turn, origin: (4000.0, 400.0), noise: 0.0, seed: 1 }
}

/// The picture as the program reads it: through the landmark file.
fn read(picture: &LateralPicture, frame: FilmFrame) -> PatientSpine {
    let mut report = Report::default();
    let text = picture.csv();
    let set = landmark_file::read(&text, "x.csv", Some(Column::default()), &mut report);
    let set = set.expect("a drawn film is read");
    assert!(set.faults(Column::default()).is_empty(), "{:?}", set.faults(Column::default()));
    PatientSpine::new(&set, frame, Some(PixelScale::millimetres_per_pixel(SCALE)))
}

fn facing(right: bool) -> (Shown, FilmFrame) {
    match right {
        true => (Shown::FacingRight, FilmFrame::LateralFacingRight),
        false => (Shown::FacingLeft, FilmFrame::LateralFacingLeft),
    }
}

/// People who hold their heads up: T5 leans forward by 5 to 45 degrees, L1
/// back by up to 45, which gives kyphoses of 0 to 90 and lordoses of 5 to 90.
fn sides() -> impl Strategy<Value = Side> {
    let angles = (5.0..45.0f64, -45.0..5.0f64, 0.0..12.0f64, 10.0..45.0f64, -15.0..40.0f64);
    (angles, -60.0..100.0f64, 0.7..1.1f64, 0.0..12.0f64).prop_map(
        |((t5, l1, above_t5, sacral_slope, pelvic_tilt), sva, size, t8)| Side {
            t5_t12: t5 - l1,
            above_t5,
            lordosis: sacral_slope - l1,
            sacral_slope,
            pelvic_tilt,
            sva,
            size,
            wedges: vec![("T8", t8)],
            ..Side::grown()
        },
    )
}

fn pelvis(spine: &PatientSpine) -> Pelvis {
    Pelvis::new(spine, &spine.marks(Mark::FemoralHead)).unwrap()
}

/// Corners stand to a tenth of a pixel, over endplates of at least 75 px: an
/// angle between two of them is off by no more than 0.2 degrees.
fn near(found: f64, truth: f64, within: f64) -> bool {
    (found - truth).abs() <= within
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn every_measurement_equals_the_truth(side in sides(), right in any::<bool>()) {
        let (shown, frame) = facing(right);
        let picture = draw(&side, &film(shown, 0.0));
        let spine = read(&picture, frame);
        let truth = &picture.truth;
        let named = [
            (Stretch::T2T5, truth.t2_t5),
            (Stretch::T5T12, truth.t5_t12),
            (Stretch::T2T12, truth.t2_t12),
            (Stretch::T4T12, truth.t4_t12),
            (Stretch::T10L2, truth.t10_l2),
            (Stretch::Lordosis, truth.lordosis),
        ];
        for (named, truth) in named {
            let found = stretch(&spine, named).unwrap().to_degrees();
            prop_assert!(near(found, truth, 0.2), "{} {} {}", named, found, truth);
        }
        // What was asked for is what is true.
        prop_assert!(near(truth.t5_t12, side.t5_t12, 1e-9));
        prop_assert!(near(truth.lordosis, side.lordosis, 1e-9));
        let pelvis = pelvis(&spine);
        prop_assert!(near(pelvis.slope().to_degrees(), truth.sacral_slope, 0.2));
        prop_assert!(near(pelvis.tilt().to_degrees(), truth.pelvic_tilt, 0.2));
        prop_assert!(near(pelvis.incidence().to_degrees(), truth.pelvic_incidence, 0.2));
        // Half a tenth of a pixel, 0.0075 mm, on each of five points.
        let axis = vertical_axis(&spine).unwrap().to_millimetres();
        prop_assert!(near(axis, truth.sva, 0.02), "{} {}", axis, truth.sva);
        for (level, truth) in &truth.wedges {
            let found = wedge(&spine, Level::parse(level).unwrap());
            if level.as_str() != "C7" {
                prop_assert!(near(found.unwrap().to_degrees(), *truth, 0.2), "{}", level);
            }
        }
        prop_assert!(near(truth.wedges["T8"], side.wedges[0].1, 1e-9));
    }

    #[test]
    fn incidence_is_the_sum_and_a_turned_film_keeps_it(
        side in sides(),
        right in any::<bool>(),
        turn in -12.0..12.0f64,
    ) {
        let (shown, frame) = facing(right);
        let straight = pelvis(&read(&draw(&side, &film(shown, 0.0)), frame));
        let turned = read(&draw(&side, &film(shown, turn)), frame);
        let (sum, apart) = (
            pelvis(&turned).tilt().to_degrees() + pelvis(&turned).slope().to_degrees(),
            pelvis(&turned).incidence().to_degrees(),
        );
        prop_assert!(near(sum, apart, 1e-9), "{} {}", sum, apart);
        prop_assert!(near(apart, straight.incidence().to_degrees(), 0.2));
        // The slope goes with the film, the kyphosis does not.
        let moved = pelvis(&turned).slope().to_degrees() - straight.slope().to_degrees();
        prop_assert!(near(moved.abs(), turn.abs(), 0.2), "{}", moved);
        let kyphosis = stretch(&turned, Stretch::T5T12).unwrap().to_degrees();
        prop_assert!(near(kyphosis, side.t5_t12, 0.2));
    }

    #[test]
    fn a_film_read_facing_the_wrong_way_is_noticed(side in sides(), right in any::<bool>()) {
        prop_assume!(side.t5_t12 > 11.0 && side.lordosis > 11.0);
        let (shown, frame) = facing(right);
        let picture = draw(&side, &film(shown, 0.0));
        prop_assert_eq!(faces_the_other_way(&read(&picture, frame), 10.0), Some(false));
        let (_, swapped) = facing(!right);
        prop_assert_eq!(faces_the_other_way(&read(&picture, swapped), 10.0), Some(true));
    }
}

#[test]
fn one_femoral_head_serves_where_both_lie_over_each_other() {
    let (shown, frame) = facing(true);
    let mut picture = draw(&Side::grown(), &film(shown, 0.0));
    let [a, b] = picture.femoral_heads;
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    picture.femoral_heads = [middle, middle];
    let spine = read(&picture, frame);
    let one = Pelvis::new(&spine, &spine.marks(Mark::FemoralHead)[..1]).unwrap();
    assert!(near(one.incidence().to_degrees(), 52.0, 0.2));
}

/// The lateral film of the broken cases, facing left: kyphosis 48, lordosis
/// 58, pelvic incidence 52 of tilt 12 and slope 40, C7 9 mm in front.
fn broken_cases_film() -> LateralPicture {
    let side = Side { t5_t12: 48.0, lordosis: 58.0, sva: 9.0, ..Side::grown() };
    draw(&side, &film(Shown::FacingLeft, 0.0))
}

#[test]
#[allow(clippy::disallowed_methods, reason = "tests read files")]
fn the_film_of_the_broken_cases_is_the_drawn_one() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/invalid/cases/films/side.csv");
    let drawn = broken_cases_film().csv();
    if std::env::var_os("ENDPLATE_BLESS").is_some() {
        std::fs::write(path, &drawn).unwrap();
    }
    assert_eq!(std::fs::read_to_string(path).unwrap_or_default(), drawn);
}
