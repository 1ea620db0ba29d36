//! What can be wrong with a landmark set, before anything is measured.
//!
//! Works on the film as displayed (pixels, y downward) and knows neither the
//! display convention nor the reader. A landmark set with an error is not
//! measured; one with warnings is, and the reader is told.

use std::fmt;

use super::landmark::{Edge, LandmarkSet, Pixel};
use super::{Column, Level};
use crate::diag::Severity;
use crate::quantity::math;

/// The kind of a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GeometryFaultKind {
    /// The person does not have this vertebra.
    NotInColumn,
    /// Too few levels are marked for an angle.
    TooFew,
    /// A coordinate is not a finite number.
    NotFinite,
    /// Corners of a vertebra are named wrongly: its outline crosses itself,
    /// or left and right or upper and lower are swapped.
    CrossedCorners,
    /// A vertebra does not lie below the one above it.
    OutOfOrder,
    /// Levels between the first and the last are not marked.
    Gap,
    /// A vertebra is far larger or smaller than its neighbours.
    SizeUnlikeNeighbours,
    /// The left one of a pair of points does not lie left of the right one.
    MarksSwapped,
    /// A single point lies where its structure cannot be.
    MarkMisplaced,
    /// A rib is marked at a vertebra that bears none.
    NoRibThere,
}

/// A fault of a landmark set.
#[derive(Debug, Clone, PartialEq)]
pub struct GeometryFault {
    /// What kind.
    pub kind: GeometryFaultKind,
    /// Whether the set may still be measured.
    pub severity: Severity,
    /// The levels it concerns, from the head down.
    pub levels: Vec<Level>,
    /// The fault in one line: lower case, no full stop, numbers included.
    pub message: String,
}

impl GeometryFault {
    /// Whether a single point is wrong, not the corners of a vertebra.
    pub fn of_point(&self) -> bool {
        use GeometryFaultKind::{MarkMisplaced, MarksSwapped, NoRibThere};
        matches!(self.kind, MarkMisplaced | MarksSwapped | NoRibThere)
    }
}

impl fmt::Display for GeometryFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.message)
    }
}

/// A neighbour this many times larger or smaller is odd. Our own bound:
/// adjacent vertebral bodies of one person differ by a few per cent, wedged
/// and hemivertebrae by more.
const ODD_RATIO: f64 = 1.8;
/// A neighbour this many times larger or smaller is a slip of the pointer.
const ABSURD_RATIO: f64 = 4.0;

impl LandmarkSet {
    /// Everything wrong with the set, for a person with that column.
    pub fn faults(&self, column: Column) -> Vec<GeometryFault> {
        let mut faults = self.not_finite();
        faults.extend(self.marks_not_finite());
        if !faults.is_empty() {
            return faults;
        }
        faults.extend(self.not_in_column(column));
        faults.extend(self.too_few());
        faults.extend(self.out_of_order());
        faults.extend(self.crossed());
        faults.extend(self.gaps(column));
        faults.extend(self.unlike_neighbours(column));
        faults.extend(self.mark_faults(column));
        faults
    }

    /// Upper edge, and lower edge where marked, of every level.
    fn edges(&self) -> impl Iterator<Item = (Level, Edge, Option<Edge>)> {
        self.levels().into_iter().filter_map(|l| Some((l, self.upper(l)?, self.lower(l))))
    }

    fn not_finite(&self) -> Vec<GeometryFault> {
        let finite = |edge: &Edge| {
            [edge.left.x, edge.left.y, edge.right.x, edge.right.y].iter().all(|v| v.is_finite())
        };
        self.edges()
            .filter(|(_, upper, lower)| !finite(upper) || !lower.as_ref().is_none_or(finite))
            .map(|(level, ..)| {
                let message = format!("a coordinate of {level} is not a number");
                error(GeometryFaultKind::NotFinite, vec![level], message)
            })
            .collect()
    }

    fn not_in_column(&self, column: Column) -> Vec<GeometryFault> {
        let (thoracic, lumbar) = (column.thoracic(), column.lumbar());
        self.levels()
            .into_iter()
            .filter(|level| !column.has(*level))
            .map(|level| {
                let message = format!(
                    "{level} is marked, but the patient has {thoracic} thoracic and {lumbar} \
                     lumbar vertebrae"
                );
                error(GeometryFaultKind::NotInColumn, vec![level], message)
            })
            .collect()
    }

    fn too_few(&self) -> Option<GeometryFault> {
        let levels = self.levels();
        (levels.len() < 2).then(|| {
            let message = match levels.first() {
                None => "no vertebra is marked; an angle needs two".to_string(),
                Some(level) => format!("only {level} is marked; an angle needs two vertebrae"),
            };
            error(GeometryFaultKind::TooFew, levels, message)
        })
    }

    fn out_of_order(&self) -> Vec<GeometryFault> {
        let placed: Vec<_> = self.edges().map(|(l, u, d)| (l, middle(u, d))).collect();
        let above = |pair: &&[(Level, Pixel)]| pair[1].1.y <= pair[0].1.y;
        placed
            .windows(2)
            .filter(above)
            .map(|pair| {
                let ((upper, a), (lower, b)) = (pair[0], pair[1]);
                let message = format!(
                    "{lower} (middle at y {:.0} px) does not lie below {upper} (y {:.0} px)",
                    b.y, a.y
                );
                error(GeometryFaultKind::OutOfOrder, vec![upper, lower], message)
            })
            .collect()
    }

    fn crossed(&self) -> Vec<GeometryFault> {
        let placed: Vec<_> = self.edges().collect();
        let centres: Vec<_> = placed.iter().map(|(_, u, d)| middle(*u, *d)).collect();
        placed
            .iter()
            .enumerate()
            .filter_map(|(i, (level, upper, lower))| {
                let fault = crossing(*upper, *lower, footward(&centres, i))?;
                let message = format!("{level}: {fault} ({})", corners(*upper, *lower));
                Some(error(GeometryFaultKind::CrossedCorners, vec![*level], message))
            })
            .collect()
    }

    fn gaps(&self, column: Column) -> Option<GeometryFault> {
        let marked = self.levels();
        let (first, last) = (*marked.first()?, *marked.last()?);
        let between = |l: &Level| first < *l && *l < last && !marked.contains(l);
        let missing: Vec<_> = column.levels().into_iter().filter(between).collect();
        let named = missing.iter().map(Level::to_string).collect::<Vec<_>>().join(", ");
        (!missing.is_empty()).then(|| GeometryFault {
            kind: GeometryFaultKind::Gap,
            severity: Severity::Warning,
            message: format!(
                "{} of the levels from {first} to {last} not marked: {named}",
                missing.len()
            ),
            levels: missing,
        })
    }

    fn unlike_neighbours(&self, column: Column) -> Vec<GeometryFault> {
        let bodies: Vec<_> = self
            .edges()
            .filter_map(|(level, upper, lower)| {
                Some((level, column.index(level)?, Body::of(upper, lower?)))
            })
            .collect();
        bodies
            .iter()
            .enumerate()
            .filter_map(|(i, &(level, index, body))| {
                let near = |j: Option<usize>| {
                    j.and_then(|j| bodies.get(j)).filter(|n| n.1.abs_diff(index) <= 2).map(|n| n.2)
                };
                body.unlike(level, [near(i.checked_sub(1)), near(Some(i + 1))])
            })
            .collect()
    }
}

pub(super) fn error(kind: GeometryFaultKind, levels: Vec<Level>, message: String) -> GeometryFault {
    GeometryFault { kind, severity: Severity::Error, levels, message }
}

/// A dimension of a body and its name.
type Dimension = (&'static str, fn(Body) -> f64);

/// The size of a vertebral body on the film, in pixels.
#[derive(Clone, Copy)]
struct Body {
    width: f64,
    height: f64,
}

impl Body {
    fn of(upper: Edge, lower: Edge) -> Body {
        let (top, bottom) = (centre(upper), centre(lower));
        Body {
            width: (length(upper) + length(lower)) / 2.0,
            height: math::hypot(bottom.x - top.x, bottom.y - top.y),
        }
    }

    /// The fault, if the body differs from every near neighbour: the one that
    /// slipped is told, not the sound ones beside it.
    fn unlike(self, level: Level, neighbours: [Option<Body>; 2]) -> Option<GeometryFault> {
        let width: Dimension = ("width", |body| body.width);
        let height: Dimension = ("height", |body| body.height);
        [width, height].into_iter().find_map(|(what, side)| {
            let others: Vec<f64> = neighbours.iter().flatten().map(|n| side(*n)).collect();
            let least = others.iter().map(|o| ratio(side(self), *o)).reduce(f64::min)?;
            (least >= ODD_RATIO).then(|| GeometryFault {
                kind: GeometryFaultKind::SizeUnlikeNeighbours,
                severity: if least >= ABSURD_RATIO { Severity::Error } else { Severity::Warning },
                levels: vec![level],
                message: format!(
                    "{level} has a {what} of {:.0} px, its neighbours {}",
                    side(self),
                    others.iter().map(|o| format!("{o:.0} px")).collect::<Vec<_>>().join(" and ")
                ),
            })
        })
    }
}

/// How many times the larger holds the smaller; infinite beside nothing.
fn ratio(a: f64, b: f64) -> f64 {
    let (small, large) = if a < b { (a, b) } else { (b, a) };
    if small > 0.0 { large / small } else { f64::INFINITY }
}

fn centre(edge: Edge) -> Pixel {
    Pixel { x: (edge.left.x + edge.right.x) / 2.0, y: (edge.left.y + edge.right.y) / 2.0 }
}

fn middle(upper: Edge, lower: Option<Edge>) -> Pixel {
    let (a, b) = (centre(upper), centre(lower.unwrap_or(upper)));
    Pixel { x: (a.x + b.x) / 2.0, y: (a.y + b.y) / 2.0 }
}

fn length(edge: Edge) -> f64 {
    math::hypot(edge.right.x - edge.left.x, edge.right.y - edge.left.y)
}

/// The direction toward the feet at a vertebra, from its neighbours; straight
/// down where they lie in no order.
fn footward(centres: &[Pixel], at: usize) -> Pixel {
    let (a, b) = (centres[at.saturating_sub(1)], centres[(at + 1).min(centres.len() - 1)]);
    let (x, y) = (b.x - a.x, b.y - a.y);
    if y > 0.0 { Pixel { x, y } } else { Pixel { x: 0.0, y: 1.0 } }
}

/// The corners of a vertebra in words, whole pixels.
fn corners(upper: Edge, lower: Option<Edge>) -> String {
    let edge = |name: &str, e: Edge| {
        format!(
            "{name} left {:.0}, {:.0} and right {:.0}, {:.0} px",
            e.left.x, e.left.y, e.right.x, e.right.y
        )
    };
    let all = [Some(edge("upper", upper)), lower.map(|lower| edge("lower", lower))];
    all.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// What is wrong with the corners of one vertebra, in words.
fn crossing(upper: Edge, lower: Option<Edge>, foot: Pixel) -> Option<&'static str> {
    // Seen along the spine toward the feet, the viewer's right is (y, -x).
    let rightward = |e: Edge| (e.right.x - e.left.x) * foot.y - (e.right.y - e.left.y) * foot.x;
    let Some(lower) = lower else {
        return (rightward(upper) <= 0.0).then_some("left and right corners are swapped");
    };
    let down = downward(upper, lower, foot);
    match (rightward(upper) > 0.0, rightward(lower) > 0.0, down > 0.0) {
        (true, true, _) if outline_crosses(upper, lower) => Some("the outline crosses itself"),
        (true, true, true) => None,
        (true, true, false) => Some("upper and lower corners are swapped"),
        (false, false, true) => Some("left and right corners are swapped"),
        (false, false, false) => Some("the corners are named upside down"),
        (false, true, _) => Some("the outline crosses itself at the upper corners"),
        (true, false, _) => Some("the outline crosses itself at the lower corners"),
    }
}

/// How far the lower edge lies toward the feet from the upper one.
fn downward(upper: Edge, lower: Edge, foot: Pixel) -> f64 {
    let (top, bottom) = (centre(upper), centre(lower));
    (bottom.x - top.x) * foot.x + (bottom.y - top.y) * foot.y
}

/// Whether the two edges or the two sides of an outline cross.
fn outline_crosses(upper: Edge, lower: Edge) -> bool {
    let sides = intersect((upper.left, lower.left), (upper.right, lower.right));
    let plates = intersect((upper.left, upper.right), (lower.left, lower.right));
    sides || plates
}

/// Whether two segments cross, touching included.
fn intersect(a: (Pixel, Pixel), b: (Pixel, Pixel)) -> bool {
    let side = |p: Pixel, q: Pixel, r: Pixel| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    let apart =
        |p: (Pixel, Pixel), q: (Pixel, Pixel)| side(p.0, p.1, q.0) * side(p.0, p.1, q.1) > 0.0;
    !apart(a, b) && !apart(b, a)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spine::landmark::Corners;

    fn box_at(x: f64, y: f64, width: f64, height: f64) -> Corners {
        let at = |x, y| Pixel { x, y };
        Corners {
            upper_left: at(x, y),
            upper_right: at(x + width, y),
            lower_right: at(x + width, y + height),
            lower_left: at(x, y + height),
        }
    }

    /// T5 to T9, 100 px wide and 60 high, 80 px apart.
    fn sound() -> LandmarkSet {
        let vertebrae = (5..=9u8)
            .map(|n| (Level::T(n), box_at(200.0, 80.0 * f64::from(n), 100.0, 60.0)))
            .collect();
        LandmarkSet { vertebrae, ..Default::default() }
    }

    fn kinds(set: &LandmarkSet) -> Vec<GeometryFaultKind> {
        set.faults(Column::default()).into_iter().map(|f| f.kind).collect()
    }

    fn message(set: &LandmarkSet) -> String {
        set.faults(Column::default()).first().map(ToString::to_string).unwrap_or_default()
    }

    #[test]
    fn a_sound_set_has_no_faults() {
        assert_eq!(kinds(&sound()), []);
    }

    #[test]
    fn swapped_corners_are_named() {
        let change = |edit: fn(&mut Corners)| {
            let mut set = sound();
            edit(set.vertebrae.get_mut(&Level::T(7)).unwrap());
            message(&set).split(" (").next().map(str::to_string).unwrap_or_default()
        };
        let mirrored = change(|c| {
            std::mem::swap(&mut c.upper_left, &mut c.upper_right);
            std::mem::swap(&mut c.lower_left, &mut c.lower_right);
        });
        assert_eq!(mirrored, "T7: left and right corners are swapped");
        let inverted = change(|c| {
            std::mem::swap(&mut c.upper_left, &mut c.lower_left);
            std::mem::swap(&mut c.upper_right, &mut c.lower_right);
        });
        assert_eq!(inverted, "T7: upper and lower corners are swapped");
        let one_edge = change(|c| std::mem::swap(&mut c.upper_left, &mut c.upper_right));
        assert_eq!(one_edge, "T7: the outline crosses itself at the upper corners");
        let one_side = change(|c| std::mem::swap(&mut c.upper_left, &mut c.lower_left));
        assert_eq!(one_side, "T7: the outline crosses itself");
        let mut set = sound();
        let t7 = set.vertebrae.get_mut(&Level::T(7)).unwrap();
        std::mem::swap(&mut t7.upper_left, &mut t7.upper_right);
        assert_eq!(
            message(&set),
            "T7: the outline crosses itself at the upper corners (upper left 300, 560 and right \
             200, 560 px; lower left 200, 620 and right 300, 620 px)"
        );
    }

    #[test]
    fn order_gaps_and_counts_are_checked() {
        let mut swapped = sound();
        let t6 = swapped.vertebrae[&Level::T(6)];
        let t7 = swapped.vertebrae.insert(Level::T(7), t6).unwrap();
        swapped.vertebrae.insert(Level::T(6), t7);
        assert_eq!(message(&swapped), "T7 (middle at y 510 px) does not lie below T6 (y 590 px)");

        let mut gap = sound();
        gap.vertebrae.remove(&Level::T(7));
        assert_eq!(message(&gap), "1 of the levels from T5 to T9 not marked: T7");
        assert_eq!(gap.faults(Column::default())[0].severity, Severity::Warning);

        let mut extra = LandmarkSet::default();
        extra.vertebrae.insert(Level::T(13), box_at(0.0, 0.0, 10.0, 10.0));
        assert_eq!(kinds(&extra), [GeometryFaultKind::NotInColumn, GeometryFaultKind::TooFew]);
        assert_eq!(message(&LandmarkSet::default()), "no vertebra is marked; an angle needs two");
    }

    #[test]
    fn a_slipped_corner_shows_in_the_size() {
        let mut set = sound();
        set.vertebrae.insert(Level::T(7), box_at(200.0, 560.0, 100.0, 10.0));
        let faults = set.faults(Column::default());
        assert_eq!(faults.len(), 1);
        assert_eq!(faults[0].severity, Severity::Error);
        assert_eq!(message(&set), "T7 has a height of 10 px, its neighbours 60 px and 60 px");
    }

    #[test]
    fn coordinates_must_be_numbers() {
        let mut set = sound();
        set.vertebrae.get_mut(&Level::T(5)).unwrap().lower_left.x = f64::NAN;
        assert_eq!(kinds(&set), [GeometryFaultKind::NotFinite]);
    }

    #[test]
    fn the_sacrum_may_hold_two_corners_only() {
        let mut set = sound();
        let edge = |left, right| Edge {
            left: Pixel { x: left, y: 900.0 },
            right: Pixel { x: right, y: 900.0 },
        };
        set.sacrum = Some(edge(200.0, 300.0));
        assert_eq!(kinds(&set), [GeometryFaultKind::Gap]);
        set.sacrum = Some(edge(300.0, 200.0));
        assert!(kinds(&set).contains(&GeometryFaultKind::CrossedCorners));
    }
}
