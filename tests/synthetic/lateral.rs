//! A lateral film with known pelvis, kyphosis, lordosis and balance.
//!
//! [`draw`] takes a [`Side`] (what is asked for) and a film and gives the
//! corners of C7 to S1, the centres of both femoral heads, and a [`Truth`]:
//! the angle of every named stretch, the three pelvic angles, the sagittal
//! vertical axis and the wedge of every vertebra. Truth comes from the tilts
//! and lengths that the picture is built from, never from the program.
//!
//! ```text
//! let side = Side { t5_t12: 62.0, ..Side::grown() };
//! let picture = lateral::draw(&side, &film);          // film.shown: FacingLeft or FacingRight
//! std::fs::write("films/x-f1.csv", picture.csv());    // corners and femoral heads
//! picture.truth.t2_t12; picture.truth.wedges["T8"];   // what the program must find
//! ```
//!
//! # How it is made
//!
//! Nodes of a monotone cubic carry the tilts asked for: upper T2, upper T5,
//! lower T12, upper L1, upper S1; the sacral slope fixes them all, going up
//! by the lordosis, down by the kyphosis. A wedge asked for turns the two
//! endplates of its vertebra apart. Bodies are then shifted level by level,
//! without turning, until C7 stands as far in front of the sacrum as asked.
//! The hip axis lies below the sacrum at the pelvic tilt asked for, the heads
//! evenly to both sides of it.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::{
    CORNERS, Column, Drawn, Film, Noise, Point, Spine, Tilts, cos, endplate, project, sin, slopes,
};

/// A lateral spine asked for: degrees and millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Number of thoracic vertebrae; at least 12.
    pub thoracic: u8,
    /// Number of lumbar vertebrae.
    pub lumbar: u8,
    /// Size against a grown person's.
    pub size: f64,
    /// Kyphosis T5 to T12.
    pub t5_t12: f64,
    /// How much more the upper endplate of T2 is tilted forward than that of
    /// T5; the kyphosis T2 to T12 is the sum of this and `t5_t12`.
    pub above_t5: f64,
    /// Lordosis L1 to S1.
    pub lordosis: f64,
    /// Sacral slope.
    pub sacral_slope: f64,
    /// Pelvic tilt; the incidence is its sum with the slope.
    pub pelvic_tilt: f64,
    /// C7 in front of the back corner of S1, in millimetres.
    pub sva: f64,
    /// Wedges asked for, by level; not at T2, T5, T12, L1 or S1. Others are
    /// as the kyphosis makes them, and told in the truth.
    pub wedges: Vec<(&'static str, f64)>,
}

impl Side {
    /// A grown person of usual shape: kyphosis 34, lordosis 56, pelvic
    /// incidence 52 of tilt 12 and slope 40, C7 over the sacrum.
    pub fn grown() -> Side {
        Side {
            thoracic: 12,
            lumbar: 5,
            size: 1.0,
            t5_t12: 34.0,
            above_t5: 8.0,
            lordosis: 56.0,
            sacral_slope: 40.0,
            pelvic_tilt: 12.0,
            sva: 4.0,
            wedges: Vec::new(),
        }
    }
}

/// What is true of the picture before noise and rounding to tenths of a pixel.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Angles of the named stretches, kyphosis above zero.
    pub t2_t5: f64,
    /// See [`Truth::t2_t5`].
    pub t5_t12: f64,
    /// See [`Truth::t2_t5`].
    pub t2_t12: f64,
    /// See [`Truth::t2_t5`].
    pub t4_t12: f64,
    /// See [`Truth::t2_t5`].
    pub t10_l2: f64,
    /// Lordosis L1 to the upper edge of S1, above zero.
    pub lordosis: f64,
    /// Pelvic incidence: tilt and slope.
    pub pelvic_incidence: f64,
    /// Pelvic tilt.
    pub pelvic_tilt: f64,
    /// Sacral slope.
    pub sacral_slope: f64,
    /// Sagittal vertical axis in millimetres.
    pub sva: f64,
    /// Wedge of every vertebra, lower in front above zero.
    pub wedges: BTreeMap<String, f64>,
}

/// A lateral spine on its film.
#[derive(Debug, Clone)]
pub struct LateralPicture {
    /// From C7 to S1.
    pub vertebrae: Vec<Drawn>,
    /// Centres of the femoral heads, the one on the viewer's left first.
    pub femoral_heads: [Point; 2],
    /// What is true of it.
    pub truth: Truth,
}

impl LateralPicture {
    /// The landmark file: corners, then the femoral heads, tenths of a pixel.
    pub fn csv(&self) -> String {
        let mut text = String::from("# synthetic spine, invented\nlevel,corner,x,y\n");
        let mut line = |level: &str, at: &str, (x, y): Point| {
            writeln!(text, "{level},{at},{x:.1},{y:.1}").expect("a string takes all");
        };
        for vertebra in &self.vertebrae {
            for (corner, point) in CORNERS.iter().zip(vertebra.corners) {
                line(&vertebra.level, corner, point);
            }
        }
        line("femoral head", "left", self.femoral_heads[0]);
        line("femoral head", "right", self.femoral_heads[1]);
        text
    }
}

/// Tilts of the two endplates of a body.
type Plates = (f64, f64);

/// Draws a lateral spine. Panics on a request that makes none: the requests
/// are written by us, in tests.
pub fn draw(side: &Side, film: &Film) -> LateralPicture {
    assert!(film.shown.lateral(), "a lateral film faces left or right");
    let spine =
        Spine { thoracic: side.thoracic, lumbar: side.lumbar, size: side.size, bows: Vec::new() };
    let column = Column::of(&spine);
    let tilts = tilts(&column, side);
    let plates = plates(&column, &tilts, side);
    let mut bodies = place(&column, &tilts, &plates);
    shift(&mut bodies, side.sva);
    let heads = heads(&bodies, side);
    let truth = truth(side, &plates);
    let mut noise = Noise { state: film.seed.max(1), size: film.noise };
    let vertebrae = bodies
        .into_iter()
        .map(|(level, corners)| Drawn { level, corners: project(corners, film, &mut noise) })
        .collect();
    // Four points go through the projection of a body, two of them used.
    let [a, b, ..] = project([heads[0], heads[1], heads[1], heads[0]], film, &mut noise);
    let femoral_heads = if a.0 <= b.0 { [a, b] } else { [b, a] };
    LateralPicture { vertebrae, femoral_heads, truth }
}

/// In the inner picture, facing right, an endplate whose front is low is
/// tilted above zero; so is the sacrum by its slope.
fn tilts(column: &Column, side: &Side) -> Tilts {
    let lumbar = side.sacral_slope - side.lordosis;
    let t5 = lumbar + side.t5_t12;
    let t2 = t5 + side.above_t5;
    let sacrum = column.body("S1");
    let nodes = vec![
        (0.0, t2),
        (column.body("T2").upper, t2),
        (column.body("T5").upper, t5),
        (column.body("T12").lower, lumbar),
        (column.body("L1").upper, lumbar),
        (sacrum.upper, side.sacral_slope),
        (column.bottom(), side.sacral_slope),
    ];
    let slopes = slopes(&nodes);
    Tilts { nodes, slopes }
}

/// The tilt of every endplate, wedges asked for included.
fn plates(column: &Column, tilts: &Tilts, side: &Side) -> BTreeMap<String, Plates> {
    let mut plates: BTreeMap<String, Plates> = column
        .bodies
        .iter()
        .map(|body| (body.level.clone(), (tilts.at(body.upper), tilts.at(body.lower))))
        .collect();
    for (level, wedge) in &side.wedges {
        assert!(!["T2", "T5", "T12", "L1", "S1"].contains(level), "{level} carries a node");
        let (upper, lower) = plates[*level];
        let middle = (upper + lower) / 2.0;
        plates.insert(level.to_string(), (middle + wedge / 2.0, middle - wedge / 2.0));
    }
    plates
}

/// Corners in millimetres, the front on the right.
fn place(
    column: &Column,
    tilts: &Tilts,
    plates: &BTreeMap<String, Plates>,
) -> Vec<(String, [Point; 4])> {
    let (mut middle, mut at) = ((0.0, 0.0), 0.0);
    let mut placed = Vec::new();
    for body in &column.bodies {
        let (upper, lower) = plates[&body.level];
        middle = tilts.walk(middle, at, body.upper);
        let (back, front) = endplate(middle, body.depth / 2.0, upper);
        middle = tilts.walk(middle, body.upper, body.lower);
        let (low_back, low_front) = endplate(middle, body.depth / 2.0, lower);
        at = body.lower;
        placed.push((body.level.clone(), [back, front, low_front, low_back]));
    }
    placed
}

fn centre(corners: &[Point; 4]) -> Point {
    let sum = corners.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    (sum.0 / 4.0, sum.1 / 4.0)
}

/// Shifts every body forward or back, more the higher it lies, until C7
/// stands where it is asked for; the sacrum stays.
fn shift(bodies: &mut [(String, [Point; 4])], sva: f64) {
    let top = centre(&bodies[0].1);
    let sacrum = bodies.last().expect("a column has a sacrum").1;
    // The back upper corner of S1 comes first.
    let missing = sva - (top.0 - sacrum[0].0);
    let bottom = centre(&sacrum).1;
    for (_, corners) in bodies.iter_mut() {
        let part = (bottom - centre(corners).1) / (bottom - top.1);
        corners.iter_mut().for_each(|point| point.0 += missing * part);
    }
}

/// Centres of the femoral heads: 105 mm from the sacrum to their middle, 14
/// mm apart on the film, for a grown person.
fn heads(bodies: &[(String, [Point; 4])], side: &Side) -> [Point; 2] {
    let sacrum = bodies.last().expect("a column has a sacrum").1;
    let middle = ((sacrum[0].0 + sacrum[1].0) / 2.0, (sacrum[0].1 + sacrum[1].1) / 2.0);
    let far = 105.0 * side.size;
    let axis = (middle.0 + far * sin(side.pelvic_tilt), middle.1 + far * cos(side.pelvic_tilt));
    let (x, y) = (7.0 * side.size, 3.0 * side.size);
    [(axis.0 - x, axis.1 - y), (axis.0 + x, axis.1 + y)]
}

fn truth(side: &Side, plates: &BTreeMap<String, Plates>) -> Truth {
    let kyphosis = |upper: &str, lower: &str| plates[upper].0 - plates[lower].1;
    Truth {
        t2_t5: kyphosis("T2", "T5"),
        t5_t12: kyphosis("T5", "T12"),
        t2_t12: kyphosis("T2", "T12"),
        t4_t12: kyphosis("T4", "T12"),
        t10_l2: kyphosis("T10", "L2"),
        lordosis: plates["S1"].0 - plates["L1"].0,
        pelvic_incidence: side.pelvic_tilt + side.sacral_slope,
        pelvic_tilt: side.pelvic_tilt,
        sacral_slope: side.sacral_slope,
        sva: side.sva,
        wedges: plates
            .iter()
            .filter(|(level, _)| *level != "S1")
            .map(|(level, (upper, lower))| (level.clone(), upper - lower))
            .collect(),
    }
}
