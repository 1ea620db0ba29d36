//! Thousands of random synthetic spines: what is found is what was drawn, and
//! noise moves an angle no more than the propagated uncertainty says.

use endplate::spine::cobb::pointing_deviation;
use endplate::spine::curve::{SMALLEST_CURVE, find_curves};
use endplate::spine::landmark::{Corners, LandmarkSet, Pixel};
use endplate::spine::{Column, Convexity, FilmFrame, Level, PatientSpine, Side, cobb};

use crate::synthetic::{Bow, Film, Picture, Shown, Spine, Towards, draw};

/// Random numbers by a recipe of our own choosing (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[(self.next() * list.len() as f64) as usize]
    }

    /// Normal with that standard deviation: the sum of twelve uniforms, whose
    /// variance is 1.
    fn normal(&mut self, deviation: f64) -> f64 {
        deviation * ((0..12).map(|_| self.next()).sum::<f64>() - 6.0)
    }
}

/// Ends and apex of one, two or three curves that meet as the generator asks.
const LAYOUTS: [&[[&str; 3]]; 8] = [
    &[["T5", "T8", "T11"]],
    &[["T6", "T8-T9", "T12"]],
    &[["T11", "L1", "L4"]],
    &[["T4", "T7", "T10"], ["T11", "L1-L2", "L4"]],
    &[["T5", "T8", "T11"], ["T11", "L2", "L4"]],
    &[["T2", "T4", "T6"], ["T6", "T9", "T12"]],
    &[["T1", "T3", "T5"], ["T5", "T8", "T11"], ["T12", "L2", "L4"]],
    &[["T2", "T4", "T6"], ["T7", "T9", "T11"], ["T12", "L2", "L4"]],
];

/// A frontal spine with sizes that fit each other: neighbours share the tilt
/// between them, so each bow is the sum of the tilts of its two ends.
fn spine(dice: &mut Dice) -> Spine {
    let layout = dice.pick(&LAYOUTS);
    let mut towards = dice.pick(&[Towards::Right, Towards::Left]);
    let mut tilt = dice.between(5.0, 25.0);
    let bows = layout.iter().map(|[upper, apex, lower]| {
        let next = dice.between(5.0, 25.0);
        let bow = Bow { upper, apex, lower, towards, cobb: tilt + next };
        tilt = next;
        towards = if towards == Towards::Right { Towards::Left } else { Towards::Right };
        bow
    });
    Spine { thoracic: 12, lumbar: 5, size: 1.0, bows: bows.collect() }
}

fn film(shown: Shown, scale: f64) -> Film {
    Film { shown, scale, turn: 0.0, origin: (900.0, 200.0), noise: 0.0, seed: 1 }
}

fn landmarks(picture: &Picture, mut error: impl FnMut() -> f64) -> LandmarkSet {
    let mut set = LandmarkSet::default();
    for drawn in &picture.vertebrae {
        let mut at = |(x, y): (f64, f64)| Pixel { x: x + error(), y: y + error() };
        let [a, b, c, d] = drawn.corners;
        let corners = Corners {
            upper_left: at(a),
            upper_right: at(b),
            lower_right: at(c),
            lower_left: at(d),
        };
        set.vertebrae.insert(Level::parse(&drawn.level).unwrap(), corners);
    }
    set
}

const SHOWN: [(Shown, FilmFrame); 2] = [
    (Shown::FromBehind, FilmFrame::FrontalFromBehind),
    (Shown::FromFront, FilmFrame::FrontalFromFront),
];

fn side(towards: Towards) -> Convexity {
    match towards {
        Towards::Right => Convexity::Toward(Side::Right),
        _ => Convexity::Toward(Side::Left),
    }
}

#[test]
fn the_curves_found_are_the_curves_drawn() {
    let (mut dice, column) = (Dice(20_240_601), Column::default());
    // Corners are written to a tenth of a pixel: over the 150 px of the
    // narrowest plate (25 mm at 0.15 mm/px the rounding errors of four
    // corners, 0.05 px each way, turn an angle by at most 0.1 degrees.
    let near = 0.1;
    for n in 0..3000 {
        let (shown, frame) = dice.pick(&SHOWN);
        let asked = spine(&mut dice);
        let picture = draw(&asked, &film(shown, 0.15));
        let placed = PatientSpine::new(&landmarks(&picture, || 0.0), frame, None);
        let found = find_curves(&placed, column, SMALLEST_CURVE);
        for bow in &asked.bows {
            let ends = (Level::parse(bow.upper).unwrap(), Level::parse(bow.lower).unwrap());
            let same = found
                .iter()
                .find(|c| (c.upper, c.lower) == ends)
                .unwrap_or_else(|| panic!("spine {n}: {bow:?} is not among {found:#?}"));
            assert_eq!(same.convexity, side(bow.towards), "spine {n}: {bow:?}");
            let size = same.cobb.size().to_degrees();
            assert!((size - bow.cobb).abs() < near, "spine {n}: {bow:?} found as {size}");
            let apex = |text: &str| column.apex_index(column.parse_apex(text).unwrap()).unwrap();
            // A tilt of zero lies inside the apex, so the farthest place is
            // that vertebra or disc itself, or the place beside it if the two
            // lie equally far out.
            let off = (column.apex_index(same.apex).unwrap() - apex(bow.apex)).abs();
            assert!(off <= 0.5, "spine {n}: {bow:?} has its apex at {}", same.apex);
        }
        // Beside them only the return to the level above and below.
        let more = found.len() - asked.bows.len();
        let edges = found.iter().filter(|c| c.upper_at_edge || c.lower_at_edge).count();
        assert!(more <= edges, "spine {n}: {found:#?}");
    }
}

#[test]
fn sums_of_adjacent_tilts_close() {
    // From the upper endplate of one vertebra to the lower one of a farther
    // vertebra, the wedges of bodies and discs between add up to the angle.
    let mut dice = Dice(77);
    for _ in 0..1000 {
        let picture = draw(&spine(&mut dice), &film(Shown::FromBehind, 0.2));
        let set = landmarks(&picture, || 0.0);
        let placed = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, None);
        let run: Vec<_> = placed.vertebrae().filter(|v| v.level != Level::S1).collect();
        let bodies: f64 = run.iter().map(|v| v.upper.tilt() - v.lower.unwrap().tilt()).sum();
        let discs: f64 =
            run.windows(2).map(|p| p[0].lower.unwrap().tilt() - p[1].upper.tilt()).sum();
        let whole = cobb(&placed, Level::C(7), Level::L(5)).unwrap().signed().to_degrees();
        assert!((bodies + discs - whole).abs() < 1e-9);
    }
}

#[test]
fn a_pixel_of_noise_is_covered_by_the_propagated_uncertainty() {
    // Normal errors of 1 px at every coordinate. Of 6,000 angles 95 % should
    // lie within 1.96 standard deviations; the share itself varies by
    // sqrt(0.95 x 0.05 / 6000) = 0.28 %, four times which is 1.1 %.
    let (mut dice, mut errors) = (Dice(4), Dice(99));
    let (mut within, mut count) = (0, 0);
    let (mut sum, mut predicted) = (0.0, 0.0);
    while count < 6000 {
        let (shown, frame) = dice.pick(&SHOWN);
        let asked = spine(&mut dice);
        let scale = dice.between(0.12, 0.4);
        let picture = draw(&asked, &film(shown, scale));
        let clean = PatientSpine::new(&landmarks(&picture, || 0.0), frame, None);
        let noisy = PatientSpine::new(&landmarks(&picture, || errors.normal(1.0)), frame, None);
        for bow in &asked.bows {
            let ends = (Level::parse(bow.upper).unwrap(), Level::parse(bow.lower).unwrap());
            let angle = |spine| cobb(spine, ends.0, ends.1).unwrap().signed().to_degrees();
            let off = angle(&noisy) - angle(&clean);
            let one = pointing_deviation(&clean, ends.0, ends.1, 1.0).unwrap().to_degrees();
            count += 1;
            within += usize::from(off.abs() <= 1.96 * one);
            sum += off * off;
            predicted += one * one;
        }
    }
    let share = within as f64 / count as f64;
    assert!((share - 0.95).abs() <= 0.011, "{within} of {count} within");
    let ratio = sum / predicted;
    assert!((ratio - 1.0).abs() < 0.06, "variance {ratio} of the propagated one");
}

#[test]
fn propagation_worked_by_hand() {
    // Endplates of 100 px, 1 px each way: sqrt(2) / 100 = 0.0141421 rad each,
    // 0.02 rad both, 1.1459156 degrees. With a scale the same pixels are the
    // same angle.
    let at = |x, y| Pixel { x, y };
    let body = |y| Corners {
        upper_left: at(0.0, y),
        upper_right: at(100.0, y),
        lower_right: at(100.0, y + 60.0),
        lower_left: at(0.0, y + 60.0),
    };
    let set = LandmarkSet {
        vertebrae: [(Level::T(5), body(0.0)), (Level::T(12), body(500.0))].into(),
        ..Default::default()
    };
    let scale = endplate::quantity::PixelScale::millimetres_per_pixel(0.2);
    for scale in [None, Some(scale)] {
        let placed = PatientSpine::new(&set, FilmFrame::FrontalFromBehind, scale);
        let one = pointing_deviation(&placed, Level::T(5), Level::T(12), placed.pixel()).unwrap();
        assert!((one.to_degrees() - 1.145_915_6).abs() < 1e-6);
    }
}
