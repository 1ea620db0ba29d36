//! Pictures of the synthetic spine that look a little like radiographs.
//!
//! They are drawn, not taken: grey blocks for vertebral bodies with light
//! endplates, faint ribs, a soft trunk over dark, and a coarse grain that still
//! packs well. The corners are those of the landmark file, so that a line drawn
//! over the picture can be seen to lie on its endplate. Nothing here uses the
//! program under test.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};

use super::{Drawn, Picture, Point};

/// A grey picture, row by row from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Radiograph {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// Brightness of each pixel.
    pub values: Vec<u8>,
}

/// Side of one grain, in pixels.
const GRAIN: u32 = 12;
/// Steps of brightness: few, so that the file stays small.
const STEP: f64 = 6.0;

impl Radiograph {
    /// Draws the film of these landmarks in a picture of that size.
    pub fn of(picture: &Picture, (width, height): (u32, u32)) -> Radiograph {
        let mut film = Radiograph { width, height, values: vec![0; (width * height) as usize] };
        film.ground(picture);
        for body in &picture.vertebrae {
            film.ribs(body);
        }
        for body in &picture.vertebrae {
            film.body(body);
        }
        film
    }

    /// The file.
    pub fn png(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        PngEncoder::new_with_quality(&mut bytes, CompressionType::Best, FilterType::Adaptive)
            .write_image(&self.values, self.width, self.height, ExtendedColorType::L8)
            .expect("a picture is written to memory");
        bytes
    }

    /// Trunk and grain: light around the column, dark towards the edges.
    fn ground(&mut self, picture: &Picture) {
        let mut seed = 2_654_435_761_u64;
        for top in (0..self.height).step_by(GRAIN as usize) {
            let middle = column_at(picture, f64::from(top));
            for left in (0..self.width).step_by(GRAIN as usize) {
                seed ^= seed << 13;
                seed ^= seed >> 7;
                seed ^= seed << 17;
                let grain = (seed >> 40) as f64 / f64::from(1 << 24) * 9.0;
                let away = (f64::from(left) - middle) / f64::from(self.width) * 2.2;
                let trunk = 96.0 * (1.0 - (away * away).min(1.0));
                let down = f64::from(top) / f64::from(self.height);
                let value = 24.0 + trunk * (0.62 + 0.38 * down) + grain;
                self.fill(left, top, value);
            }
        }
    }

    fn fill(&mut self, left: u32, top: u32, value: f64) {
        for y in top..(top + GRAIN).min(self.height) {
            for x in left..(left + GRAIN).min(self.width) {
                self.values[(y * self.width + x) as usize] = stepped(value);
            }
        }
    }

    /// A rib from each side of a thoracic vertebra, outward and down.
    fn ribs(&mut self, body: &Drawn) {
        let Some(number) = body.level.strip_prefix('T').and_then(|n| n.parse::<f64>().ok()) else {
            return;
        };
        let [ul, ur, lr, ll] = body.corners;
        let (high, broad) = (ll.1 - ul.1, ur.0 - ul.0);
        let reach = broad * (1.3 + 0.22 * number.min(8.0)) * if number > 10.0 { 0.6 } else { 1.0 };
        for (start, side) in
            [((ul.0, (ul.1 + ll.1) / 2.0), -1.0), ((ur.0, (ur.1 + lr.1) / 2.0), 1.0)]
        {
            for step in 0..=160 {
                let t = f64::from(step) / 160.0;
                let x = start.0 + side * reach * t;
                let y = start.1 - high * 0.5 * t * (1.0 - t) * 4.0 * 0.5 + high * 1.6 * t * t;
                self.brighten((x, y), high * 0.17, 22.0);
            }
        }
    }

    /// Raises a spot to at least so much above the trunk, once.
    fn brighten(&mut self, at: Point, radius: f64, by: f64) {
        let rows =
            (at.1 - radius).max(0.0) as u32..((at.1 + radius).max(0.0) as u32).min(self.height);
        for y in rows {
            let half = radius * radius - (f64::from(y) - at.1) * (f64::from(y) - at.1);
            let half = half.max(0.0).sqrt();
            let from = (at.0 - half).max(0.0) as u32;
            for x in from..((at.0 + half).max(0.0) as u32).min(self.width) {
                let value = &mut self.values[(y * self.width + x) as usize];
                // Ribs lie one over the other; their brightness is not added up.
                *value = (*value).max(stepped(f64::from(72_u8) + by));
            }
        }
    }

    /// A vertebral body: light, lighter along its four edges, its endplates
    /// most of all.
    fn body(&mut self, body: &Drawn) {
        let [ul, ur, lr, ll] = body.corners;
        let (low, high) = bounds(&body.corners);
        for y in low.1 as u32..(high.1 as u32 + 1).min(self.height) {
            for x in low.0 as u32..(high.0 as u32 + 1).min(self.width) {
                let at = (f64::from(x) + 0.5, f64::from(y) + 0.5);
                let plates = [inside(at, ul, ur), inside(at, lr, ll)];
                let sides = [inside(at, ur, lr), inside(at, ll, ul)];
                let all = plates.iter().chain(&sides);
                if all.clone().any(|d| *d < 0.0) {
                    continue;
                }
                let nearest = |d: &[f64; 2]| d[0].min(d[1]);
                let value = if nearest(&plates) < 6.0 {
                    222.0
                } else if nearest(&sides) < 5.0 {
                    198.0
                } else {
                    168.0
                };
                self.values[(y * self.width + x) as usize] = stepped(value);
            }
        }
    }
}

/// Where the middle of the column lies at a height of the picture.
fn column_at(picture: &Picture, y: f64) -> f64 {
    let middle = |body: &Drawn| {
        let sum = body.corners.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
        (sum.0 / 4.0, sum.1 / 4.0)
    };
    let nearest = picture.vertebrae.iter().map(middle).min_by(|a, b| {
        let away = |p: &Point| (p.1 - y).abs();
        away(a).total_cmp(&away(b))
    });
    nearest.map_or(0.0, |p| p.0)
}

fn bounds(corners: &[Point; 4]) -> (Point, Point) {
    let fold = |pick: fn(f64, f64) -> f64, start: f64, axis: fn(&Point) -> f64| {
        corners.iter().map(axis).fold(start, pick)
    };
    let low = (fold(f64::min, f64::MAX, |p| p.0), fold(f64::min, f64::MAX, |p| p.1));
    let high = (fold(f64::max, 0.0, |p| p.0), fold(f64::max, 0.0, |p| p.1));
    (low, high)
}

/// How far a point lies to the right of a directed edge, in pixels: inside a
/// body whose corners go round clockwise.
fn inside(at: Point, from: Point, to: Point) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = (dx * dx + dy * dy).sqrt();
    (dx * (at.1 - from.1) - dy * (at.0 - from.0)) / length
}

fn stepped(value: f64) -> u8 {
    ((value / STEP).round() * STEP).clamp(0.0, 255.0) as u8
}
