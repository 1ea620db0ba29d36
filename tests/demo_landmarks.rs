//! The demo clinic's landmark files are what the synthetic spine draws, and
//! hold the angles they are said to hold.
//!
//! Angles are worked out here by plain arithmetic from the text of the files;
//! the program under test has no part in it.

#![allow(clippy::disallowed_methods, reason = "the test owns its files and its switch")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_yaml::Value;

use crate::synthetic::demo::{Demo, sides, table};
use crate::synthetic::{self, Bow, CORNERS, Film, Point, Shown, Spine, Towards};

/// Largest difference between a file and its truth, in degrees: a tenth of a
/// pixel of noise and half of one of rounding, at both endplates.
const WITHIN: f64 = 0.2;

fn films() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/films")
}

#[test]
fn the_committed_files_are_what_the_spine_draws() {
    let bless = std::env::var("ENDPLATE_BLESS").is_ok_and(|value| value == "1");
    let mut stale = Vec::new();
    let frontal = table().into_iter().map(|demo| (demo.file, demo.draw().csv()));
    let lateral = sides().into_iter().map(|demo| (demo.file, demo.draw().csv()));
    for (file, drawn) in frontal.chain(lateral) {
        let path = films().join(file);
        if bless {
            std::fs::write(&path, &drawn).expect("the film folder can be written");
        }
        if std::fs::read_to_string(&path).ok().as_ref() != Some(&drawn) {
            stale.push(file);
        }
    }
    assert!(stale.is_empty(), "run again with ENDPLATE_BLESS=1 to rewrite {stale:?}");
}

#[test]
fn no_landmark_file_lies_outside_the_table() {
    let mut known: Vec<&str> = table().iter().map(|demo| demo.file).collect();
    known.extend(sides().iter().map(|demo| demo.file));
    for entry in std::fs::read_dir(films()).expect("the film folder is there") {
        let name = entry.expect("an entry can be read").file_name();
        let name = name.to_str().expect("our file names are plain");
        // Pictures are drawn from the same table; `pictures` looks at them.
        if name.ends_with(".png") {
            continue;
        }
        assert!(known.contains(&name), "{name} is in no table");
    }
}

#[test]
fn the_files_hold_the_angles_asked_for() {
    for Demo { file, spine, film, .. } in table() {
        let text = std::fs::read_to_string(films().join(file)).expect("the file is there");
        let corners = parse(&text);
        for bow in synthetic::draw(&spine, &film).truth {
            let found = cobb(&corners, bow.upper, bow.lower, film.shown);
            let wanted = sign(&bow) * bow.cobb;
            assert!((found - wanted).abs() <= WITHIN, "{file} {bow:?}: found {found:.3}");
        }
    }
}

#[test]
fn the_cases_record_what_the_landmarks_hold() {
    let mut recorded = 0;
    for Demo { file, spine, .. } in table() {
        let typed = typed_curves(file);
        assert_eq!(typed.len(), spine.bows.len(), "{file}: curves recorded beside the landmarks");
        for (curve, bow) in typed.iter().zip(&spine.bows) {
            let text = |key: &str| curve.get(key).and_then(Value::as_str).unwrap_or_default();
            let way = if bow.towards.lateral() { text("bend") } else { text("convex") };
            let found = (text("upper"), text("apex"), text("lower"), way);
            assert_eq!(found, (bow.upper, bow.apex, bow.lower, word(bow.towards)), "{file}");
            let cobb: f64 = text("cobb").trim_end_matches(" deg").parse().expect("whole degrees");
            assert!((cobb - bow.cobb).abs() <= 0.5, "{file}: {cobb} typed, {} drawn", bow.cobb);
            recorded += 1;
        }
    }
    assert!(recorded > 20, "the demo has landmarks worth checking");
}

/// The measurements typed beside a lateral film are those it was drawn from,
/// to the whole degree and millimetre.
#[test]
fn the_cases_record_what_the_lateral_films_hold() {
    for demo in sides() {
        let typed = &reading_of(demo.file)["sagittal"];
        let truth = demo.draw().truth;
        let wanted = [
            ("t5_t12", truth.t5_t12),
            ("t10_l2", truth.t10_l2),
            ("lordosis", truth.lordosis),
            ("pelvic_incidence", truth.pelvic_incidence),
            ("pelvic_tilt", truth.pelvic_tilt),
            ("sacral_slope", truth.sacral_slope),
            ("sva", truth.sva),
        ];
        for (key, value) in wanted {
            let text = typed[key].as_str().unwrap_or_else(|| panic!("{}: no {key}", demo.file));
            let number: f64 = text.split(' ').next().unwrap().parse().expect("a number");
            assert!(
                (number - value).abs() <= 0.5,
                "{} {key}: {text} typed, {value} drawn",
                demo.file
            );
        }
    }
}

#[test]
fn end_vertebrae_are_the_most_tilted_and_the_apex_the_most_displaced() {
    for demo in table() {
        let exact = Film { noise: 0.0, turn: 0.0, ..demo.film };
        let corners = parse(&synthetic::draw_wedged(&demo.spine, &exact, &demo.wedges).csv());
        let Demo { file, spine, film, .. } = demo;
        for bow in &spine.bows {
            check_ends(file, &corners, bow, film.shown);
            check_apex(file, &corners, bow);
        }
    }
}

#[test]
fn a_single_curve_by_hand() {
    // One right curve seen from behind: the upper end falls to the left, the
    // lower end to the right, 20 degrees apart; the apex lies to the right.
    let bows =
        vec![Bow { upper: "T5", apex: "T8", lower: "T11", towards: Towards::Right, cobb: 20.0 }];
    let spine = Spine { thoracic: 12, lumbar: 5, size: 1.0, bows };
    let seen = |shown| {
        let film = Film { shown, scale: 0.1, turn: 0.0, origin: (900.0, 0.0), noise: 0.0, seed: 1 };
        parse(&synthetic::draw(&spine, &film).csv())
    };
    let (behind, front) = (seen(Shown::FromBehind), seen(Shown::FromFront));
    assert!(slope(behind["T5"], 0, 1) < -9.0 && slope(behind["T11"], 3, 2) > 9.0);
    assert!(middle(behind["T8"]).0 > middle(behind["T5"]).0 + 50.0);
    assert!(slope(front["T5"], 0, 1) > 9.0 && slope(front["T11"], 3, 2) < -9.0);
    assert!(middle(front["T8"]).0 < middle(front["T5"]).0 - 50.0);
}

#[test]
fn other_counts_of_vertebrae_are_drawn() {
    let film = Film {
        shown: Shown::FromBehind,
        scale: 0.2,
        turn: 0.0,
        origin: (500.0, 0.0),
        noise: 0.0,
        seed: 1,
    };
    for (thoracic, lumbar) in [(11, 5), (13, 5), (12, 4), (12, 6)] {
        let picture =
            synthetic::draw(&Spine { thoracic, lumbar, size: 1.0, bows: Vec::new() }, &film);
        assert_eq!(picture.vertebrae.len(), usize::from(thoracic + lumbar) + 2);
        assert_eq!(picture.vertebrae[usize::from(thoracic)].level, format!("T{thoracic}"));
    }
}

/// The curves of the reading that names a landmark file, read by a library
/// that the program does not use.
fn typed_curves(file: &str) -> Vec<Value> {
    reading_of(file)["curves"].as_sequence().cloned().unwrap_or_default()
}

fn reading_of(file: &str) -> Value {
    let case = file.rsplit_once('-').expect("case, dash, film").0;
    let path = films().with_file_name(format!("{case}.yaml"));
    let text = std::fs::read_to_string(path).expect("the case is there");
    let root: Value = serde_yaml::from_str(&text).expect("the case is YAML");
    let list = |value: &Value, key: &str| value[key].as_sequence().cloned().unwrap_or_default();
    let named = Value::from(format!("films/{file}"));
    list(&root, "films")
        .iter()
        .flat_map(|film| list(film, "readings"))
        .find(|reading| reading["landmarks"] == named)
        .unwrap_or_else(|| panic!("no reading names {file}"))
}

fn word(towards: Towards) -> &'static str {
    match towards {
        Towards::Right => "right",
        Towards::Left => "left",
        Towards::Back => "kyphosis",
        Towards::Front => "lordosis",
    }
}

type Corners = BTreeMap<String, [Point; 4]>;

/// Reads the four corners of every level, in the order of [`CORNERS`].
fn parse(text: &str) -> Corners {
    let mut corners = Corners::new();
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let Some(at) = CORNERS.iter().position(|c| *c == cells[1]) else { continue };
        let number = |i: usize| cells[i].parse::<f64>().expect("a number");
        corners.entry(cells[0].to_string()).or_default()[at] = (number(2), number(3));
    }
    corners
}

/// Slope from one corner to another as displayed, in degrees, clockwise.
fn slope(body: [Point; 4], from: usize, to: usize) -> f64 {
    let (a, b) = (body[from], body[to]);
    (b.1 - a.1).atan2(b.0 - a.0).to_degrees()
}

/// The signed angle between the measured endplates, positive when convex to
/// the patient's right or to the front.
fn cobb(corners: &Corners, upper: &str, lower: &str, shown: Shown) -> f64 {
    let turned = match shown {
        Shown::FromBehind | Shown::FacingRight => 1.0,
        Shown::FromFront | Shown::FacingLeft => -1.0,
    };
    turned * (lower_slope(corners, lower) - slope(corners[upper], 0, 1))
}

/// The measured endplate of a lower end vertebra; the sacrum has its upper one.
fn lower_slope(corners: &Corners, level: &str) -> f64 {
    if level == "S1" { slope(corners[level], 0, 1) } else { slope(corners[level], 3, 2) }
}

fn sign(bow: &Bow) -> f64 {
    match bow.towards {
        Towards::Right | Towards::Front => 1.0,
        Towards::Left | Towards::Back => -1.0,
    }
}

fn middle(body: [Point; 4]) -> Point {
    let sum = body.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.0, sum.1 + p.1));
    (sum.0 / 4.0, sum.1 / 4.0)
}

/// Position from the head down.
fn order(level: &str) -> usize {
    let number: usize = level[1..].parse().expect("a level ends in its number");
    number
        + match &level[..1] {
            "C" => 0,
            "T" => 7,
            "L" => 19,
            _ => 24,
        }
}

/// Ends moved by one level, either way, never give a larger angle.
fn check_ends(file: &str, corners: &Corners, bow: &Bow, shown: Shown) {
    let best = cobb(corners, bow.upper, bow.lower, shown).abs();
    let near = |level: &str, other: &str| order(level).abs_diff(order(other)) <= 1;
    for upper in corners.keys().filter(|l| near(l, bow.upper)) {
        for lower in corners.keys().filter(|l| near(l, bow.lower)) {
            let moved = cobb(corners, upper, lower, shown);
            assert!(moved.abs() <= best + 0.1, "{file} {bow:?}: {upper}-{lower} has {moved:.2}");
        }
    }
}

/// No vertebra of the bow lies further out than the apex or its two halves.
fn check_apex(file: &str, corners: &Corners, bow: &Bow) {
    let between = order(bow.upper)..=order(bow.lower);
    let inside = corners.iter().filter(|(l, _)| between.contains(&order(l)));
    let ends = (middle(corners[bow.upper]).0 + middle(corners[bow.lower]).0) / 2.0;
    let (apex, _) = inside
        .max_by(|a, b| {
            let out = |body: &[Point; 4]| (middle(*body).0 - ends).abs();
            out(a.1).total_cmp(&out(b.1))
        })
        .expect("a bow holds vertebrae");
    assert!(bow.apex.split('-').any(|half| half == apex), "{file} {bow:?}: apex at {apex}");
}
