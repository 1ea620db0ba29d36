//! Points beside the corners, with a known truth: pedicles, ribs, trunk,
//! clavicles, iliac crests, femoral heads.
//!
//! ```text
//! let marks = Marks {
//!     rotation: vec![("T8", Towards::Right, 15.0)],
//!     ribs: vec![("T9", 66.0, 44.0)],
//!     trunk: Some(("T8", 9.0)),
//!     clavicles: Some(2.0),
//!     pelvis: Some(-1.5),
//!     heads: Some(-4.0),
//! };
//! let text = mark::draw(&spine, &film, &marks).csv();
//! ```
//!
//! A demo film takes them by `demo(...).marked(marks)`. What is measured
//! against the film's own vertical or horizontal (trunk, clavicles, pelvis,
//! heads) is true on the film as displayed, whatever its turn; what is
//! measured against the vertebra (rotation, ribs) turns with it. The sign is
//! above zero for the patient's left, and nothing here uses the program under
//! test.

use super::{Column, Film, Noise, Picture, Point, Spine, Tilts, Towards, cos, placed, sin, tenths};

/// Half the distance between the pedicles, as a part of the half-body.
const PEDICLE_HALF: f64 = 0.78;
/// How far the pedicles lie behind the middle of the body, in the same unit.
const PEDICLE_DEPTH: f64 = 0.4;
/// Width between the pedicles over their depth: what the rotation by formula
/// needs to give back the rotation asked for.
pub const WIDTH_OVER_DEPTH: f64 = 2.0 * PEDICLE_HALF / PEDICLE_DEPTH;

/// What is marked beside the corners.
#[derive(Debug, Clone, Default)]
pub struct Marks {
    /// Pedicles of a level whose body is turned to a side of the patient by
    /// so many degrees.
    pub rotation: Vec<(&'static str, Towards, f64)>,
    /// Heads and necks of the ribs of a level, with the rib-vertebra angles on
    /// the patient's left and right.
    pub ribs: Vec<(&'static str, f64, f64)>,
    /// Edges of the trunk at the height of a level, their middle so many
    /// millimetres to the patient's left of the vertical through the middle of
    /// the upper endplate of S1.
    pub trunk: Option<(&'static str, f64)>,
    /// Clavicles, degrees with the patient's left up.
    pub clavicles: Option<f64>,
    /// Iliac crests, degrees with the patient's left up.
    pub pelvis: Option<f64>,
    /// Femoral heads, millimetres with the patient's left up.
    pub heads: Option<f64>,
}

/// Draws a frontal spine on a film and marks the points asked for.
pub fn draw(spine: &Spine, film: &Film, marks: &Marks) -> Picture {
    let mut picture = super::draw(spine, film);
    let mut pen = Pen {
        film,
        size: spine.size,
        bodies: bodies(spine, film),
        noise: Noise { state: film.seed.wrapping_mul(31).max(1), size: film.noise },
        points: Vec::new(),
    };
    marks.rotation.iter().for_each(|(level, towards, turn)| pen.pedicles(level, *towards, *turn));
    marks.ribs.iter().for_each(|(level, left, right)| pen.ribs(level, *left, *right));
    if let Some((level, shift)) = marks.trunk {
        pen.trunk(level, shift);
    }
    if let Some(tilt) = marks.clavicles {
        pen.line("clavicle", "T2", 75.0, tilt);
    }
    if let Some(tilt) = marks.pelvis {
        pen.line("iliac crest", "L4", 120.0, tilt);
    }
    if let Some(step) = marks.heads {
        pen.heads(step);
    }
    picture.points = pen.points;
    picture
}

/// The corners of every body in the inner picture, in millimetres.
fn bodies(spine: &Spine, film: &Film) -> Vec<(String, [Point; 4])> {
    let column = Column::of(spine);
    let tilts = Tilts::of(&column, &spine.bows, &[], film.shown.lateral());
    column.place(&tilts, film.shown.lateral())
}

struct Pen<'a> {
    film: &'a Film,
    size: f64,
    bodies: Vec<(String, [Point; 4])>,
    noise: Noise,
    points: Vec<(String, String, Point)>,
}

impl Pen<'_> {
    fn body(&self, level: &str) -> [Point; 4] {
        let found = self.bodies.iter().find(|(name, _)| name == level);
        found.unwrap_or_else(|| panic!("the column has no {level}")).1
    }

    /// Puts down a point that belongs to the patient's left or right.
    fn put(&mut self, structure: &str, point: &str, left: bool, (x, y): Point) {
        // From the front the patient's left is on the viewer's right.
        let seen = if left == self.film.shown.mirrored() { "right" } else { "left" };
        let name = if point.is_empty() { seen.to_string() } else { format!("{point} {seen}") };
        let at = (tenths(x + self.noise.next()), tenths(y + self.noise.next()));
        self.points.push((structure.to_string(), name, at));
    }

    fn pedicles(&mut self, level: &str, towards: Towards, turn: f64) {
        let [upper_left, upper_right, lower_right, lower_left] = self.body(level);
        // In the upper third of the body, on the line between its sides.
        let left = between(upper_left, lower_left, 0.3);
        let right = between(upper_right, lower_right, 0.3);
        let middle = between(left, right, 0.5);
        let (near, far) = (
            PEDICLE_HALF * cos(turn) - PEDICLE_DEPTH * sin(turn),
            PEDICLE_HALF * cos(turn) + PEDICLE_DEPTH * sin(turn),
        );
        let turned_left = towards == Towards::Left;
        for (is_left, edge) in [(true, left), (false, right)] {
            let part = if is_left == turned_left { near } else { far };
            let at = placed(between(middle, edge, part), self.film);
            self.put(level, "pedicle", is_left, at);
        }
    }

    fn ribs(&mut self, level: &str, left: f64, right: f64) {
        let [upper_left, upper_right, lower_right, lower_left] = self.body(level);
        let across = unit(lower_left, lower_right);
        let down = (-across.1, across.0);
        let length = 12.0 * self.size;
        for (is_left, angle, edge) in [
            (true, left, between(upper_left, lower_left, 0.1)),
            (false, right, between(upper_right, lower_right, 0.1)),
        ] {
            let out = if is_left { -1.0 } else { 1.0 };
            let head = (edge.0 + out * 2.0 * across.0, edge.1 + out * 2.0 * across.1);
            let along = |axis: (f64, f64)| down_and_out(axis, angle, out);
            let neck = (
                head.0 + length * along((down.0, across.0)),
                head.1 + length * along((down.1, across.1)),
            );
            self.put(level, "rib head", is_left, placed(head, self.film));
            self.put(level, "rib neck", is_left, placed(neck, self.film));
        }
    }

    /// The middle of the upper endplate of S1 on the film.
    fn sacrum(&self) -> Point {
        let [upper_left, upper_right, ..] = self.body("S1");
        placed(between(upper_left, upper_right, 0.5), self.film)
    }

    /// Pixels to the viewer's right for millimetres to the patient's left.
    fn leftward(&self, mm: f64) -> f64 {
        let mirrored = self.film.shown.mirrored();
        (if mirrored { mm } else { -mm }) / self.film.scale
    }

    fn trunk(&mut self, level: &str, shift: f64) {
        let [upper_left, _, lower_right, _] = self.body(level);
        let height = placed(between(upper_left, lower_right, 0.5), self.film).1;
        let middle = self.sacrum().0;
        for (is_left, half) in [(true, 140.0), (false, -140.0)] {
            let x = middle + self.leftward(shift + half * self.size);
            self.put(level, "trunk", is_left, (x, height));
        }
    }

    /// Two points of a line that tilts by so much, at the height of a level.
    fn line(&mut self, structure: &str, level: &str, half: f64, tilt: f64) {
        let [upper_left, upper_right, ..] = self.body(level);
        let middle = placed(between(upper_left, upper_right, 0.5), self.film);
        let half = half * self.size;
        for (is_left, sign) in [(true, 1.0), (false, -1.0)] {
            let x = middle.0 + self.leftward(sign * half * cos(tilt));
            let y = middle.1 - sign * half * sin(tilt) / self.film.scale;
            self.put(structure, "", is_left, (x, y));
        }
    }

    fn heads(&mut self, step: f64) {
        let sacrum = self.sacrum();
        for (is_left, sign) in [(true, 1.0), (false, -1.0)] {
            let x = sacrum.0 + self.leftward(sign * 85.0 * self.size);
            let y = sacrum.1 + (110.0 * self.size - sign * step / 2.0) / self.film.scale;
            self.put("femoral head", "", is_left, (x, y));
        }
    }
}

/// One coordinate of the direction at an angle from `down`, outward.
fn down_and_out((down, across): (f64, f64), angle: f64, out: f64) -> f64 {
    down * cos(angle) + out * across * sin(angle)
}

fn between(a: Point, b: Point, part: f64) -> Point {
    (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part)
}

fn unit(a: Point, b: Point) -> (f64, f64) {
    let (x, y) = (b.0 - a.0, b.1 - a.1);
    let length = (x * x + y * y).sqrt();
    (x / length, y / length)
}
