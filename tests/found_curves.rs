//! The curves found from the landmarks of the synthetic spine are those that
//! were asked for.

use endplate::spine::curve::{FoundCurve, SMALLEST_CURVE, find_curves};
use endplate::spine::landmark::{Corners, LandmarkSet, Pixel};
use endplate::spine::{Column, Convexity, FilmFrame, Level, PatientSpine, Side};

use crate::synthetic::demo::{Demo, table};
use crate::synthetic::{Bow, Picture, Shown, Towards, draw};

/// Noise of a tenth of a pixel and rounding to one decimal, at both endplates
/// and with the choice between nearly equal ends.
const WITHIN_DEGREES: f64 = 0.5;
/// Films are turned by a degree or two, which moves the place of the greatest
/// deviation from the vertical by up to a level.
const WITHIN_LEVELS: f64 = 1.0;

fn landmarks(picture: &Picture) -> LandmarkSet {
    let mut set = LandmarkSet::default();
    for drawn in &picture.vertebrae {
        let [upper_left, upper_right, lower_right, lower_left] =
            drawn.corners.map(|(x, y)| Pixel { x, y });
        let corners = Corners { upper_left, upper_right, lower_right, lower_left };
        set.vertebrae.insert(Level::parse(&drawn.level).unwrap(), corners);
    }
    set
}

fn frame(shown: Shown) -> FilmFrame {
    match shown {
        Shown::FromBehind => FilmFrame::FrontalFromBehind,
        Shown::FromFront => FilmFrame::FrontalFromFront,
        Shown::FacingLeft => FilmFrame::LateralFacingLeft,
        Shown::FacingRight => FilmFrame::LateralFacingRight,
    }
}

fn convexity(towards: Towards) -> Convexity {
    match towards {
        Towards::Right => Convexity::Toward(Side::Right),
        Towards::Left => Convexity::Toward(Side::Left),
        Towards::Back => Convexity::Kyphosis,
        Towards::Front => Convexity::Lordosis,
    }
}

/// Whether a found curve is the one asked for.
fn is(found: &FoundCurve, bow: &Bow, column: Column) -> bool {
    let at = |text: &str| column.apex_index(column.parse_apex(text).unwrap()).unwrap();
    let index = |level: Level| column.index(level).unwrap() as f64;
    let near = |a: f64, b: f64| (a - b).abs() <= WITHIN_LEVELS;
    found.convexity == convexity(bow.towards)
        && (found.cobb.size().to_degrees() - bow.cobb).abs() <= WITHIN_DEGREES
        && near(index(found.upper), at(bow.upper))
        && near(index(found.lower), at(bow.lower))
        && near(column.apex_index(found.apex).unwrap(), at(bow.apex))
}

#[test]
fn every_curve_asked_for_is_found() {
    for Demo { file, spine, film, .. } in table() {
        let picture = draw(&spine, &film);
        let column = Column::new(spine.thoracic, spine.lumbar).unwrap();
        let placed = PatientSpine::new(&landmarks(&picture), frame(film.shown), None);
        let found = find_curves(&placed, column, SMALLEST_CURVE);
        for bow in picture.truth.iter().filter(|bow| bow.cobb >= SMALLEST_CURVE + WITHIN_DEGREES) {
            assert!(found.iter().any(|c| is(c, bow, column)), "{file}: {bow:?} in {found:#?}");
        }
    }
}

#[test]
fn sound_films_have_no_faults() {
    for Demo { file, spine, film, .. } in table() {
        let column = Column::new(spine.thoracic, spine.lumbar).unwrap();
        let faults = landmarks(&draw(&spine, &film)).faults(column);
        assert!(faults.is_empty(), "{file}: {faults:?}");
    }
}
