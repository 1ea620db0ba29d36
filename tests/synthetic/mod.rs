//! A synthetic spine whose true angles are known, drawn onto an imagined film.
//!
//! Everything here is invented, and nothing here uses the program under test:
//! only the standard library and level names as plain strings. It makes the
//! landmark files of the demo clinic and serves any test that needs corners
//! with a known answer.
//!
//! # How a spine is made
//!
//! 1. *A column* from C7 to S1 with as many thoracic and lumbar vertebrae as
//!    asked for. Bodies and discs grow evenly towards the sacrum.
//! 2. *A tilt for every endplate.* The distance `s` along the column carries
//!    nodes: at each bow's measured endplates (the upper one of its upper, the
//!    lower one of its lower end vertebra) a tilt, at its apex zero. The two
//!    tilts of a bow differ by exactly its Cobb angle. Between the nodes runs
//!    a monotone cubic (Fritsch and Carlson 1980), flat at the ends of each
//!    bow, so no endplate between two nodes is tilted more than the nodes:
//!    the end vertebrae are truly the most tilted ones, and the apex truly the
//!    most displaced place.
//! 3. *Positions* by walking down at right angles to the tilts.
//! 4. *A film*: scale, display, a turn, a shift, pixel noise, rounding to a
//!    tenth of a pixel.
//!
//! # Signs
//!
//! Inside, the picture is seen from behind (frontal) or facing right
//! (lateral), x to the right, y downward, so a positive tilt has its right end
//! low. Bows to the patient's left, and backward ones, are negative.

pub mod demo;
pub mod lateral;
pub mod mark;
pub mod radiograph;
pub mod wear;
pub mod wedge;
pub mod worn;

use std::fmt::Write;

/// Whereto the convexity of a bow points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Towards {
    /// The patient's right.
    Right,
    /// The patient's left.
    Left,
    /// Kyphosis.
    Back,
    /// Lordosis.
    Front,
}

impl Towards {
    /// +1 where the bow points to the right of the inner picture.
    fn sign(self) -> f64 {
        match self {
            Towards::Right | Towards::Front => 1.0,
            Towards::Left | Towards::Back => -1.0,
        }
    }

    /// Whether the bow is seen on a lateral film.
    pub fn lateral(self) -> bool {
        matches!(self, Towards::Back | Towards::Front)
    }
}

/// One curve asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bow {
    /// Upper end vertebra.
    pub upper: &'static str,
    /// Apex: a vertebra (`T8`) or the disc between two (`T11-T12`).
    pub apex: &'static str,
    /// Lower end vertebra.
    pub lower: &'static str,
    /// Whereto it is convex.
    pub towards: Towards,
    /// Angle between the measured endplates, in degrees, above zero.
    pub cobb: f64,
}

/// A spine asked for.
#[derive(Debug, Clone)]
pub struct Spine {
    /// Number of thoracic vertebrae.
    pub thoracic: u8,
    /// Number of lumbar vertebrae.
    pub lumbar: u8,
    /// Size against a grown person's: 1.0 for an adult, 0.4 for an infant.
    pub size: f64,
    /// Curves from the head down. Each begins at, or next below, the lower end
    /// of the one above it and points the other way.
    pub bows: Vec<Bow>,
}

/// How the film lies before the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// Frontal, the patient's right on the right.
    FromBehind,
    /// Frontal, the patient's right on the left.
    FromFront,
    /// Lateral, the patient looks to the left.
    FacingLeft,
    /// Lateral, the patient looks to the right.
    FacingRight,
}

impl Shown {
    /// Whether the inner picture is turned over.
    fn mirrored(self) -> bool {
        matches!(self, Shown::FromFront | Shown::FacingLeft)
    }

    /// Whether it is a lateral film.
    fn lateral(self) -> bool {
        matches!(self, Shown::FacingLeft | Shown::FacingRight)
    }
}

/// A film asked for.
#[derive(Debug, Clone, Copy)]
pub struct Film {
    /// How it is displayed.
    pub shown: Shown,
    /// Millimetres per pixel.
    pub scale: f64,
    /// The whole picture turned by this many degrees, clockwise.
    pub turn: f64,
    /// Where the middle of the upper endplate of C7 lies, in pixels.
    pub origin: (f64, f64),
    /// Largest error of a coordinate, in pixels; 0 for none.
    pub noise: f64,
    /// Seed of that error.
    pub seed: u64,
}

/// A point on the film, in pixels: x to the right, y downward.
pub type Point = (f64, f64);

/// A vertebra as drawn.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Its name.
    pub level: String,
    /// Upper left, upper right, lower right, lower left, as displayed.
    pub corners: [Point; 4],
}

/// A spine on its film, with what is true of it.
#[derive(Debug, Clone)]
pub struct Picture {
    /// From C7 to S1.
    pub vertebrae: Vec<Drawn>,
    /// Single points: structure, which point of it, where.
    pub points: Vec<(String, String, Point)>,
    /// What was asked for, exactly what the unrounded picture holds.
    pub truth: Vec<Bow>,
}

/// Names of the corners in the order of [`Drawn::corners`].
pub const CORNERS: [&str; 4] = ["upper left", "upper right", "lower right", "lower left"];

impl Picture {
    /// The landmark file: one corner a line, tenths of a pixel.
    pub fn csv(&self) -> String {
        let mut text = String::from("# synthetic spine, invented\nlevel,corner,x,y\n");
        for vertebra in &self.vertebrae {
            for (corner, (x, y)) in CORNERS.iter().zip(vertebra.corners) {
                writeln!(text, "{},{corner},{x:.1},{y:.1}", vertebra.level)
                    .expect("a string takes all that is written");
            }
        }
        for (structure, point, (x, y)) in &self.points {
            writeln!(text, "{structure},{point},{x:.1},{y:.1}")
                .expect("a string takes all that is written");
        }
        text
    }
}

/// Draws a spine on a film. Panics on a request that makes no spine: the
/// requests are written by us, in tests.
pub fn draw(spine: &Spine, film: &Film) -> Picture {
    draw_wedged(spine, film, &[])
}

/// The same with wedged vertebrae.
pub fn draw_wedged(spine: &Spine, film: &Film, wedges: &[wedge::Wedge]) -> Picture {
    let mut noise = Noise { state: film.seed.max(1), size: film.noise };
    let vertebrae = place(spine, film, wedges)
        .into_iter()
        .map(|(level, corners)| Drawn { level, corners: project(corners, film, &mut noise) })
        .collect();
    Picture { vertebrae, points: Vec::new(), truth: spine.bows.clone() }
}

/// The corners of every vertebra in millimetres of the inner picture.
fn place(spine: &Spine, film: &Film, wedges: &[wedge::Wedge]) -> Vec<(String, [Point; 4])> {
    assert!(spine.bows.iter().all(|bow| bow.towards.lateral() == film.shown.lateral()));
    let column = Column::of(spine);
    let tilts = Tilts::of(&column, &spine.bows, wedges, film.shown.lateral());
    column.place(&tilts, film.shown.lateral())
}

/// A vertebral body before it is bent: where its endplates lie along the
/// column, and how broad and deep it is, in millimetres.
struct Body {
    level: String,
    upper: f64,
    lower: f64,
    width: f64,
    depth: f64,
}

/// The straight column.
struct Column {
    bodies: Vec<Body>,
}

impl Column {
    /// Bodies 13 to 27 mm high, discs 4 to 10 mm, 25 to 48 mm broad and 16 to
    /// 34 mm deep for a grown person: round figures near those of textbooks,
    /// good enough to look like a spine.
    fn of(spine: &Spine) -> Column {
        let levels = levels(spine.thoracic, spine.lumbar);
        let last = (levels.len() - 1) as f64;
        let mut at = 0.0;
        let bodies = levels.into_iter().enumerate().map(|(i, level)| {
            let down = i as f64 / last;
            let grown = |first: f64, more: f64| (first + more * down) * spine.size;
            let upper = at;
            let lower = upper + grown(13.0, 14.0);
            at = lower + grown(4.0, 6.0);
            Body { level, upper, lower, width: grown(25.0, 23.0), depth: grown(16.0, 18.0) }
        });
        Column { bodies: bodies.collect() }
    }

    /// The body of that name.
    fn body(&self, level: &str) -> &Body {
        let found = self.bodies.iter().find(|body| body.level == level);
        found.unwrap_or_else(|| panic!("the column has no {level}"))
    }

    /// The middle of an apex along the column.
    fn middle(&self, apex: &str) -> f64 {
        match apex.split_once('-') {
            None => (self.body(apex).upper + self.body(apex).lower) / 2.0,
            Some((above, below)) => (self.body(above).lower + self.body(below).upper) / 2.0,
        }
    }

    /// The endplate at which a bow ends below: the sacrum is measured at its
    /// upper one.
    fn end_below(&self, level: &str) -> f64 {
        let body = self.body(level);
        if level == "S1" { body.upper } else { body.lower }
    }

    /// The end of the column.
    fn bottom(&self) -> f64 {
        self.bodies.last().map_or(0.0, |body| body.lower)
    }

    /// Corners in millimetres, the middle of the uppermost endplate at 0, 0.
    fn place(&self, tilts: &Tilts, lateral: bool) -> Vec<(String, [Point; 4])> {
        let (mut middle, mut at) = ((0.0, 0.0), 0.0);
        let mut placed = Vec::new();
        for body in &self.bodies {
            let half = if lateral { body.depth } else { body.width } / 2.0;
            middle = tilts.walk(middle, at, body.upper);
            let (left, right) = endplate(middle, half, tilts.at(body.upper));
            middle = tilts.walk(middle, body.upper, body.lower);
            let (low_left, low_right) = endplate(middle, half, tilts.at(body.lower));
            at = body.lower;
            placed.push((body.level.clone(), [left, right, low_right, low_left]));
        }
        placed
    }
}

/// Names from C7 to S1.
fn levels(thoracic: u8, lumbar: u8) -> Vec<String> {
    let thoracic = (1..=thoracic).map(|n| format!("T{n}"));
    let lumbar = (1..=lumbar).map(|n| format!("L{n}"));
    [String::from("C7")]
        .into_iter()
        .chain(thoracic)
        .chain(lumbar)
        .chain([String::from("S1")])
        .collect()
}

/// The ends of an endplate of that tilt.
fn endplate(middle: Point, half: f64, tilt: f64) -> (Point, Point) {
    let (x, y) = (half * cos(tilt), half * sin(tilt));
    ((middle.0 - x, middle.1 - y), (middle.0 + x, middle.1 + y))
}

/// Tilt in degrees as a function of the distance along the column.
struct Tilts {
    nodes: Vec<(f64, f64)>,
    slopes: Vec<f64>,
}

impl Tilts {
    /// Nodes at the ends and the apex of every bow, and at both ends of the
    /// column, where a frontal spine is level again.
    fn of(column: &Column, bows: &[Bow], wedges: &[wedge::Wedge], lateral: bool) -> Tilts {
        let ends = end_tilts(column, bows);
        let mut nodes = Vec::new();
        for (i, bow) in bows.iter().enumerate() {
            let sign = bow.towards.sign();
            nodes.push((column.body(bow.upper).upper, -sign * ends[i]));
            let turned = wedge::nodes(column, bow, wedges);
            if turned.is_empty() {
                nodes.push((column.middle(bow.apex), 0.0));
            }
            nodes.extend(turned.into_iter().map(|(at, tilt)| (at, sign * tilt)));
            nodes.push((column.end_below(bow.lower), sign * ends[i + 1]));
        }
        let rest = if lateral { 0.5 } else { 0.0 };
        let first = nodes.first().map_or(0.0, |n| n.1);
        let last = nodes.last().map_or(0.0, |n| n.1);
        if nodes.first().is_none_or(|n| n.0 > 0.0) {
            nodes.insert(0, (0.0, first * rest));
        }
        let sacrum = column.body("S1");
        if nodes.last().is_none_or(|n| n.0 < sacrum.upper) {
            nodes.push((sacrum.upper, last * rest));
        }
        nodes.push((column.bottom(), nodes[nodes.len() - 1].1));
        nodes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let slopes = slopes(&nodes);
        Tilts { nodes, slopes }
    }

    /// The tilt at a distance: a cubic between two nodes.
    fn at(&self, s: f64) -> f64 {
        let after = self.nodes.iter().position(|n| n.0 >= s).unwrap_or(self.nodes.len() - 1).max(1);
        let ((s0, y0), (s1, y1)) = (self.nodes[after - 1], self.nodes[after]);
        let (m0, m1, length) = (self.slopes[after - 1], self.slopes[after], s1 - s0);
        let t = (s - s0) / length;
        let (t2, t3) = (t * t, t * t * t);
        (2.0 * t3 - 3.0 * t2 + 1.0) * y0
            + (t3 - 2.0 * t2 + t) * length * m0
            + (3.0 * t2 - 2.0 * t3) * y1
            + (t3 - t2) * length * m1
    }

    /// Walks down the column at right angles to the tilts, in small steps.
    fn walk(&self, from: Point, start: f64, end: f64) -> Point {
        const STEPS: u32 = 16;
        let step = (end - start) / f64::from(STEPS);
        (0..STEPS).fold(from, |(x, y), i| {
            let tilt = self.at(start + step * (f64::from(i) + 0.5));
            (x - step * sin(tilt), y + step * cos(tilt))
        })
    }
}

/// How much of each bow's angle lies at its upper and its lower end: sizes of
/// the tilts at the ends of all bows, one more than there are bows.
///
/// Two tilts of a bow add up to its angle and neighbours share one, so one
/// tilt decides all. It is chosen so that each bow returns to the line it left,
/// as nearly as the sums allow.
fn end_tilts(column: &Column, bows: &[Bow]) -> Vec<f64> {
    let Some(first) = bows.first() else { return Vec::new() };
    check_neighbours(column, bows);
    const PARTS: u32 = 1000;
    (1..PARTS)
        .filter_map(|i| {
            let mut tilts = vec![first.cobb * f64::from(i) / f64::from(PARTS)];
            for (bow, upper) in bows.iter().zip(0..) {
                tilts.push(bow.cobb - tilts[upper]);
            }
            let all_tilted = tilts.iter().all(|t| *t > 0.0);
            all_tilted.then(|| (off_balance(column, bows, &tilts), tilts))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, tilts)| tilts)
        .expect("neighbouring bows share the tilt between them: their sizes do not fit")
}

/// Squared distance of the tilts from those at which each bow returns to its line.
fn off_balance(column: &Column, bows: &[Bow], tilts: &[f64]) -> f64 {
    let off = |(i, bow): (usize, &Bow)| {
        let (upper, lower) = (column.body(bow.upper).upper, column.end_below(bow.lower));
        let wanted = bow.cobb * (lower - column.middle(bow.apex)) / (lower - upper);
        (tilts[i] - wanted) * (tilts[i] - wanted)
    };
    bows.iter().enumerate().map(off).sum()
}

/// Neighbours touch and point opposite ways.
fn check_neighbours(column: &Column, bows: &[Bow]) {
    let index = |level: &str| column.bodies.iter().position(|body| body.level == level);
    for pair in bows.windows(2) {
        assert!(pair[0].towards.sign() * pair[1].towards.sign() < 0.0, "bows point one way");
        let (end, start) = (index(pair[0].lower), index(pair[1].upper));
        assert!(start == end || start == end.map(|i| i + 1), "bows do not touch");
    }
    for bow in bows {
        assert!(bow.cobb > 0.0, "a bow has a size");
        assert!(column.body(bow.upper).upper < column.middle(bow.apex));
        assert!(column.middle(bow.apex) < column.end_below(bow.lower));
    }
}

/// Slopes of a monotone cubic: none at extremes, elsewhere the weighted
/// harmonic mean of its neighbours' (Fritsch and Butland 1984).
fn slopes(nodes: &[(f64, f64)]) -> Vec<f64> {
    let secant = |i: usize| (nodes[i + 1].1 - nodes[i].1) / (nodes[i + 1].0 - nodes[i].0);
    let inner = |i: usize| {
        let (before, after) = (secant(i - 1), secant(i));
        if before * after <= 0.0 {
            return 0.0;
        }
        let (a, b) = (nodes[i].0 - nodes[i - 1].0, nodes[i + 1].0 - nodes[i].0);
        3.0 * (a + b) / ((2.0 * b + a) / before + (b + 2.0 * a) / after)
    };
    (0..nodes.len()).map(|i| if i == 0 || i + 1 == nodes.len() { 0.0 } else { inner(i) }).collect()
}

/// From millimetres of the inner picture to pixels of the film.
fn project(corners: [Point; 4], film: &Film, noise: &mut Noise) -> [Point; 4] {
    let [upper_left, upper_right, lower_right, lower_left] = corners;
    let named = if film.shown.mirrored() {
        [upper_right, upper_left, lower_left, lower_right]
    } else {
        corners
    };
    named.map(|point| {
        let (across, down) = placed(point, film);
        (tenths(across + noise.next()), tenths(down + noise.next()))
    })
}

/// A point of the inner picture on the film, in pixels, without any error.
fn placed((x, y): Point, film: &Film) -> Point {
    let x = if film.shown.mirrored() { -x } else { x };
    let (turn_x, turn_y) = (cos(film.turn), sin(film.turn));
    let across = (x * turn_x - y * turn_y) / film.scale + film.origin.0;
    let down = (x * turn_y + y * turn_x) / film.scale + film.origin.1;
    (across, down)
}

/// Rounded to a tenth.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// A seeded generator (xorshift, Marsaglia 2003): the same errors every time.
struct Noise {
    state: u64,
    size: f64,
}

impl Noise {
    /// An error between minus and plus the size.
    fn next(&mut self) -> f64 {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        let part = (self.state >> 11) as f64 / (1u64 << 53) as f64;
        (2.0 * part - 1.0) * self.size
    }
}

/// Sine of degrees by its series, so that every machine draws the same file.
fn sin(degrees: f64) -> f64 {
    let x = degrees * std::f64::consts::PI / 180.0;
    let terms = (1..12u32).scan(x, |term, n| {
        let now = *term;
        *term *= -x * x / f64::from(2 * n * (2 * n + 1));
        Some(now)
    });
    terms.sum()
}

/// Cosine of degrees.
fn cos(degrees: f64) -> f64 {
    sin(degrees + 90.0)
}
