//! Where labels may stand: boxes taken, lines to keep clear of, and the first
//! free place among candidates.

use super::canvas::Point;

/// A box in mm, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Rect {
    /// The box around a point, that far to each side.
    pub(super) fn about(at: Point, reach: f64) -> Rect {
        Rect { left: at.0 - reach, top: at.1 - reach, right: at.0 + reach, bottom: at.1 + reach }
    }

    /// The box around points.
    pub(super) fn around(points: &[Point]) -> Rect {
        let fold = |pick: fn(&Point) -> f64, start: f64, join: fn(f64, f64) -> f64| {
            points.iter().map(pick).fold(start, join)
        };
        Rect {
            left: fold(|p| p.0, f64::INFINITY, f64::min),
            top: fold(|p| p.1, f64::INFINITY, f64::min),
            right: fold(|p| p.0, f64::NEG_INFINITY, f64::max),
            bottom: fold(|p| p.1, f64::NEG_INFINITY, f64::max),
        }
    }

    pub(super) fn width(self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(self) -> f64 {
        self.bottom - self.top
    }

    pub(super) fn grown(self, by: f64) -> Rect {
        Rect {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    pub(super) fn overlaps(self, other: Rect) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn within(self, other: Rect) -> bool {
        self.left >= other.left
            && self.right <= other.right
            && self.top >= other.top
            && self.bottom <= other.bottom
    }

    /// The point of the box nearest to a point.
    pub(super) fn nearest(self, to: Point) -> Point {
        (to.0.clamp(self.left, self.right), to.1.clamp(self.top, self.bottom))
    }

    /// Whether a straight line passes through the box: clipped against its
    /// four sides in turn, is anything left?
    fn crossed_by(self, (from, to): (Point, Point)) -> bool {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let sides = [
            (-dx, from.0 - self.left),
            (dx, self.right - from.0),
            (-dy, from.1 - self.top),
            (dy, self.bottom - from.1),
        ];
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for (slope, room) in sides {
            if slope == 0.0 {
                if room < 0.0 {
                    return false;
                }
            } else if slope < 0.0 {
                enter = enter.max(room / slope);
            } else {
                leave = leave.min(room / slope);
            }
        }
        enter <= leave
    }
}

/// What is taken already.
#[derive(Debug)]
pub(super) struct Board {
    area: Rect,
    taken: Vec<Rect>,
    lines: Vec<(Point, Point)>,
    light: Vec<(Point, Point)>,
}

/// Clear space between a label and anything else, in mm.
const GAP: f64 = 0.35;

impl Board {
    pub(super) fn new(area: Rect) -> Board {
        Board { area, taken: Vec::new(), lines: Vec::new(), light: Vec::new() }
    }

    /// A box that no label may touch.
    pub(super) fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// An open line that no label may touch.
    pub(super) fn line(&mut self, points: &[Point]) {
        self.lines.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    /// A line that a label keeps clear of if it can.
    pub(super) fn light_line(&mut self, points: &[Point]) {
        self.light.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    pub(super) fn free(&self, rect: Rect) -> bool {
        let wide = rect.grown(GAP);
        rect.within(self.area)
            && !self.taken.iter().any(|other| wide.overlaps(*other))
            && !self.lines.iter().any(|line| wide.crossed_by(*line))
    }

    fn quiet(&self, rect: Rect) -> bool {
        let wide = rect.grown(GAP / 2.0);
        !self.light.iter().any(|line| wide.crossed_by(*line))
    }

    /// Takes the first free box, the first that also keeps clear of light
    /// lines before any other.
    pub(super) fn place(&mut self, candidates: &[Rect]) -> Option<Rect> {
        let free: Vec<Rect> = candidates.iter().copied().filter(|r| self.free(*r)).collect();
        let chosen = free.iter().find(|r| self.quiet(**r)).or(free.first()).copied()?;
        self.take(chosen);
        Some(chosen)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNIT: Rect = Rect { left: 0.0, top: 0.0, right: 1.0, bottom: 1.0 };

    #[test]
    fn a_line_through_beside_and_short_of_a_box() {
        assert!(UNIT.crossed_by(((-1.0, 0.5), (2.0, 0.5))));
        assert!(UNIT.crossed_by(((0.4, 0.4), (0.6, 0.6))), "a line inside");
        assert!(!UNIT.crossed_by(((-1.0, 1.5), (2.0, 1.5))));
        assert!(!UNIT.crossed_by(((-1.0, 0.5), (-0.5, 0.5))));
    }

    #[test]
    fn the_first_free_place_is_taken() {
        let mut board = Board::new(UNIT.grown(10.0));
        board.take(UNIT);
        let beside = Rect { left: 2.0, right: 3.0, ..UNIT };
        assert_eq!(board.place(&[UNIT, beside]), Some(beside));
        assert_eq!(board.place(&[UNIT, beside]), None);
        let outside = Rect { left: 10.5, right: 11.5, ..UNIT };
        assert_eq!(board.place(&[outside]), None);
    }
}
