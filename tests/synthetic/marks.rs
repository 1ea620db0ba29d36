//! Single points on a frontal film beside the corners: clavicles, crests,
//! femoral heads, edges of the trunk, pedicles, ribs, drawn from the values
//! they are to give.
//!
//! Places are round figures for a grown person, times the spine's size; only
//! tilts, offsets and angles asked for are exact.

use super::{Film, Noise, Point, Spine, Towards, cos, place, sin, tenths};

/// A wedge of one vertebra.
#[derive(Debug, Clone, Copy)]
pub struct Wedge {
    /// The vertebra.
    pub level: &'static str,
    /// Angle between its endplates, in degrees, part of the bow it lies in.
    pub angle: f64,
}

/// Pedicles of one vertebra.
#[derive(Debug, Clone, Copy)]
pub struct Pedicles {
    /// The vertebra.
    pub level: &'static str,
    /// The side whose pedicle lies nearer to the midline.
    pub towards: Towards,
    /// Places of that pedicle and of the other, in half-widths of the body.
    pub parts: (f64, f64),
}

/// Ribs of one vertebra.
#[derive(Debug, Clone, Copy)]
pub struct Ribs {
    /// The vertebra.
    pub level: &'static str,
    /// The convex side.
    pub convex: Towards,
    /// Angles on the convex and the concave side, in degrees from the
    /// vertebra's axis.
    pub angles: (f64, f64),
}

/// What is marked on a film.
#[derive(Debug, Clone, Default)]
pub struct Marks {
    /// Tilt of the clavicles in degrees, the patient's right high above zero.
    pub clavicles: Option<f64>,
    /// Tilt of the iliac crests, the same way.
    pub crests: Option<f64>,
    /// Difference of the femoral heads in millimetres, the same way.
    pub heads: Option<f64>,
    /// A level, and how far the middle of the trunk at it lies to the
    /// patient's right of the sacrum, in millimetres.
    pub trunk: Option<(&'static str, f64)>,
    /// Pedicles.
    pub pedicles: Vec<Pedicles>,
    /// Ribs.
    pub ribs: Option<Ribs>,
    /// Wedges; they shape the corners.
    pub wedges: Vec<Wedge>,
}

/// A structure with its two points in the inner picture: left, right.
type Pair = (String, String, Point, Point);

/// The lines of a landmark file for the marks, in pixels as displayed.
pub fn lines(spine: &Spine, film: &Film, marks: &Marks) -> Vec<(String, Point)> {
    let placed = place(spine, film, &marks.wedges);
    let mut noise = Noise { state: film.seed.max(1) * 31, size: film.noise };
    let pairs = Places { placed, size: spine.size }.pairs(marks);
    let mut list = Vec::new();
    for (first, second, left, right) in pairs {
        // On a film from the front the patient's left lies on the right.
        let (left, right) = if film.shown.mirrored() { (right, left) } else { (left, right) };
        for (side, point) in [("left", left), ("right", right)] {
            let what = if second.is_empty() { side.into() } else { format!("{second} {side}") };
            let at = pixel(point, film, &mut noise);
            list.push((format!("{first},{what}"), at));
        }
    }
    list
}

fn pixel((x, y): Point, film: &Film, noise: &mut Noise) -> Point {
    let x = if film.shown.mirrored() { -x } else { x };
    let (turn_x, turn_y) = (cos(film.turn), sin(film.turn));
    let across = (x * turn_x - y * turn_y) / film.scale + film.origin.0 + noise.next();
    let down = (x * turn_y + y * turn_x) / film.scale + film.origin.1 + noise.next();
    (tenths(across), tenths(down))
}

/// The vertebrae in millimetres, seen from behind.
struct Places {
    placed: Vec<(String, [Point; 4])>,
    size: f64,
}

impl Places {
    fn pairs(&self, marks: &Marks) -> Vec<Pair> {
        let mut list = Vec::new();
        let high = |name: &str, level: &str, up: f64, half: f64, tilt: f64| {
            let (x, y) = self.middle(level);
            let (half, up) = (half * self.size, up * self.size);
            let (dx, dy) = (half * cos(tilt), half * sin(tilt));
            (name.into(), String::new(), (x - dx, y - up + dy), (x + dx, y - up - dy))
        };
        list.extend(marks.clavicles.map(|tilt| high("clavicle", "T2", 8.0, 120.0, tilt)));
        list.extend(marks.crests.map(|tilt| high("iliac crest", "L4", 0.0, 110.0, tilt)));
        if let Some(apart) = marks.heads {
            let (x, y) = self.middle("S1");
            let (half, down) = (85.0 * self.size, 90.0 * self.size);
            let (left, right) = (y + down + apart / 2.0, y + down - apart / 2.0);
            list.push(("femoral head".into(), String::new(), (x - half, left), (x + half, right)));
        }
        if let Some((level, shift)) = marks.trunk {
            let ((sacrum, _), (_, y)) = (self.upper_middle("S1"), self.middle(level));
            let half = 140.0 * self.size;
            let middle = sacrum + shift;
            list.push((level.into(), "trunk".into(), (middle - half, y), (middle + half, y)));
        }
        list.extend(marks.pedicles.iter().map(|found| self.pedicles(found)));
        list.extend(marks.ribs.iter().flat_map(|found| self.ribs(found)));
        list
    }

    fn corners(&self, level: &str) -> [Point; 4] {
        self.placed.iter().find(|(l, _)| l == level).expect("a level of the column").1
    }

    fn middle(&self, level: &str) -> Point {
        let sum = self.corners(level).iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
        (sum.0 / 4.0, sum.1 / 4.0)
    }

    fn upper_middle(&self, level: &str) -> Point {
        let [a, b, ..] = self.corners(level);
        between(a, b, 0.5)
    }

    /// A third of the way down the body, across by parts of its half-width.
    fn pedicles(&self, found: &Pedicles) -> Pair {
        let [left_up, right_up, right_low, left_low] = self.corners(found.level);
        let (left, right) = (between(left_up, left_low, 0.35), between(right_up, right_low, 0.35));
        let (near, far) = found.parts;
        let (on_left, on_right) =
            if found.towards == Towards::Left { (near, far) } else { (far, near) };
        let at = |part: f64| between(left, right, 0.5 + part / 2.0);
        (found.level.into(), "pedicle".into(), at(-on_left), at(on_right))
    }

    /// Heads beside the upper half of the body, necks 25 mm along the ribs.
    fn ribs(&self, found: &Ribs) -> [Pair; 2] {
        let [left_up, right_up, right_low, left_low] = self.corners(found.level);
        let (left, right) = (between(left_up, left_low, 0.1), between(right_up, right_low, 0.1));
        let (heads_left, heads_right) = (between(left, right, -0.06), between(left, right, 1.06));
        let plate = ((right_low.0 - left_low.0), (right_low.1 - left_low.1));
        let length = (plate.0 * plate.0 + plate.1 * plate.1).sqrt();
        let along = (plate.0 / length, plate.1 / length);
        let down = (-along.1, along.0);
        let (convex, concave) = found.angles;
        let (on_left, on_right) =
            if found.convex == Towards::Left { (convex, concave) } else { (concave, convex) };
        let neck = |(x, y): Point, angle: f64, out: f64| {
            let (a, b) = (25.0 * self.size * sin(angle) * out, 25.0 * self.size * cos(angle));
            (x + a * along.0 + b * down.0, y + a * along.1 + b * down.1)
        };
        let named = |what: &str, a, b| (found.level.to_string(), what.to_string(), a, b);
        [
            named("rib head", heads_left, heads_right),
            named("rib neck", neck(heads_left, on_left, -1.0), neck(heads_right, on_right, 1.0)),
        ]
    }
}

fn between(a: Point, b: Point, part: f64) -> Point {
    (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part)
}
