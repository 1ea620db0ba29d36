//! What can be wrong with the single points of a landmark set.
//!
//! Works on the film as displayed. Left and right are the viewer's, along the
//! vertebra's own endplates where it is marked, else along the film. Part of
//! [`LandmarkSet::faults`].

use super::fault::{GeometryFault, GeometryFaultKind, error};
use super::landmark::{Corners, LandmarkSet, Mark, Pixel, Viewed};
use super::{Column, Level};

/// How far beyond its endplates the centre of a pedicle may lie, as a part of
/// the body's height. Our own bound: the shadow lies in the upper half.
const BEYOND_ENDPLATE: f64 = 0.25;

impl LandmarkSet {
    /// Everything wrong with the single points.
    pub(super) fn mark_faults(&self, column: Column) -> Vec<GeometryFault> {
        let mut marks: Vec<Mark> = self.marks.keys().map(|(mark, _)| *mark).collect();
        marks.dedup();
        let mut faults: Vec<_> = marks.iter().filter_map(|m| level_fault(*m, column)).collect();
        faults.extend(marks.iter().filter_map(|m| self.swapped(*m)));
        faults.extend(marks.iter().flat_map(|m| self.misplaced(*m)));
        faults.extend(self.pelvis_upside_down());
        faults
    }

    /// Points whose coordinates are no numbers.
    pub(super) fn marks_not_finite(&self) -> Vec<GeometryFault> {
        let broken = |p: &Pixel| !p.x.is_finite() || !p.y.is_finite();
        let named = self.marks.iter().filter(|(_, p)| broken(p)).map(|((mark, _), _)| {
            let message = format!("a coordinate of the {mark} is not a number");
            error(GeometryFaultKind::NotFinite, level_of(*mark).into_iter().collect(), message)
        });
        named.collect()
    }

    fn seen(&self, mark: Mark) -> (Option<Pixel>, Option<Pixel>) {
        let at = |viewed| self.marks.get(&(mark, viewed)).copied();
        (at(Viewed::Left), at(Viewed::Right))
    }

    /// The direction that counts as rightward at a mark.
    fn rightward(&self, mark: Mark) -> Pixel {
        let body = match mark {
            Mark::Pedicle(level) | Mark::RibHead(level) | Mark::RibNeck(level) => {
                self.vertebrae.get(&level)
            }
            _ => None,
        };
        body.map_or(Pixel { x: 1.0, y: 0.0 }, |c| Pixel {
            x: c.upper_right.x - c.upper_left.x + c.lower_right.x - c.lower_left.x,
            y: c.upper_right.y - c.upper_left.y + c.lower_right.y - c.lower_left.y,
        })
    }

    fn swapped(&self, mark: Mark) -> Option<GeometryFault> {
        let (Some(left), Some(right)) = self.seen(mark) else { return None };
        // From the side the femoral heads may lie over each other.
        if mark == Mark::FemoralHead && left == right {
            return None;
        }
        let along = self.rightward(mark);
        let apart = (right.x - left.x) * along.x + (right.y - left.y) * along.y;
        (apart <= 0.0).then(|| {
            let message = format!(
                "the left {mark} (x {:.0} px) does not lie left of the right one (x {:.0} px)",
                left.x, right.x
            );
            error(GeometryFaultKind::MarksSwapped, level_of(mark).into_iter().collect(), message)
        })
    }

    fn misplaced(&self, mark: Mark) -> Vec<GeometryFault> {
        let say = |level, message| error(GeometryFaultKind::MarkMisplaced, vec![level], message);
        let both = [Viewed::Left, Viewed::Right];
        match mark {
            Mark::Pedicle(level) => both
                .into_iter()
                .filter(|viewed| self.outside_body(level, *viewed))
                .map(|v| say(level, format!("the {} {mark} lies outside its body", word(v))))
                .collect(),
            Mark::RibNeck(level) => both
                .into_iter()
                .filter(|viewed| self.neck_inside(level, *viewed))
                .map(|v| {
                    say(level, format!("the {} {mark} lies no farther out than its head", word(v)))
                })
                .collect(),
            Mark::Trunk(level) => self
                .off_trunk(level)
                .then(|| say(level, format!("{level} lies outside the edges of the trunk")))
                .into_iter()
                .collect(),
            _ => Vec::new(),
        }
    }

    fn outside_body(&self, level: Level, viewed: Viewed) -> bool {
        let (Some(body), Some(point)) =
            (self.vertebrae.get(&level), self.marks.get(&(Mark::Pedicle(level), viewed)))
        else {
            return false;
        };
        let (across, down) = within(body, *point);
        let height = -BEYOND_ENDPLATE..=1.0 + BEYOND_ENDPLATE;
        !((-1.0..=1.0).contains(&across) && height.contains(&down))
    }

    fn neck_inside(&self, level: Level, viewed: Viewed) -> bool {
        let at = |mark| self.marks.get(&(mark, viewed));
        let (Some(head), Some(neck)) = (at(Mark::RibHead(level)), at(Mark::RibNeck(level))) else {
            return false;
        };
        let along = self.rightward(Mark::RibHead(level));
        let out = (neck.x - head.x) * along.x + (neck.y - head.y) * along.y;
        match viewed {
            Viewed::Left => out >= 0.0,
            Viewed::Right => out <= 0.0,
        }
    }

    fn off_trunk(&self, level: Level) -> bool {
        let (Some(left), Some(right)) = self.seen(Mark::Trunk(level)) else { return false };
        self.vertebrae.get(&level).is_some_and(|c| {
            let middle =
                (c.upper_left.x + c.upper_right.x + c.lower_left.x + c.lower_right.x) / 4.0;
            left.x < right.x && !(left.x < middle && middle < right.x)
        })
    }

    fn pelvis_upside_down(&self) -> Option<GeometryFault> {
        let below = |viewed: Viewed| {
            let crest = self.marks.get(&(Mark::IliacCrest, viewed))?;
            let head = self.marks.get(&(Mark::FemoralHead, viewed))?;
            (crest.y >= head.y).then(|| {
                let side = word(viewed);
                format!(
                    "the {side} iliac crest (y {:.0} px) lies below the femoral head (y {:.0} px)",
                    crest.y, head.y
                )
            })
        };
        let message = below(Viewed::Left).or_else(|| below(Viewed::Right))?;
        Some(error(GeometryFaultKind::MarkMisplaced, Vec::new(), message))
    }
}

/// Where a point lies in a body: across in half-widths from the midline, to
/// the viewer's right, and down in heights from the upper edge.
fn within(body: &Corners, point: Pixel) -> (f64, f64) {
    let mean = |a: Pixel, b: Pixel| Pixel { x: (a.x + b.x) / 2.0, y: (a.y + b.y) / 2.0 };
    let top = mean(body.upper_left, body.upper_right);
    let bottom = mean(body.lower_left, body.lower_right);
    let right = mean(body.upper_right, body.lower_right);
    let left = mean(body.upper_left, body.lower_left);
    let half = Pixel { x: (right.x - left.x) / 2.0, y: (right.y - left.y) / 2.0 };
    let down = Pixel { x: bottom.x - top.x, y: bottom.y - top.y };
    let at = Pixel { x: point.x - top.x, y: point.y - top.y };
    let area = half.x * down.y - half.y * down.x;
    ((at.x * down.y - at.y * down.x) / area, (half.x * at.y - half.y * at.x) / area)
}

fn level_of(mark: Mark) -> Option<Level> {
    match mark {
        Mark::Pedicle(level) | Mark::RibHead(level) | Mark::RibNeck(level) | Mark::Trunk(level) => {
            Some(level)
        }
        Mark::Clavicle | Mark::IliacCrest | Mark::FemoralHead => None,
    }
}

fn level_fault(mark: Mark, column: Column) -> Option<GeometryFault> {
    let level = level_of(mark)?;
    let (kind, message) = if !column.has(level) {
        let (thoracic, lumbar) = (column.thoracic(), column.lumbar());
        let message = format!(
            "the {mark} is marked, but the patient has {thoracic} thoracic and {lumbar} lumbar \
             vertebrae"
        );
        (GeometryFaultKind::NotInColumn, message)
    } else if matches!(mark, Mark::RibHead(_) | Mark::RibNeck(_)) && !matches!(level, Level::T(_)) {
        (GeometryFaultKind::NoRibThere, format!("the {mark} is marked, and {level} bears no rib"))
    } else {
        return None;
    };
    Some(error(kind, vec![level], message))
}

fn word(viewed: Viewed) -> &'static str {
    match viewed {
        Viewed::Left => "left",
        Viewed::Right => "right",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Pixel {
        Pixel { x, y }
    }

    /// T8 and T9, 100 px wide and 60 high, with every point in its place.
    fn sound() -> LandmarkSet {
        let body = |y: f64| Corners {
            upper_left: at(200.0, y),
            upper_right: at(300.0, y),
            lower_right: at(300.0, y + 60.0),
            lower_left: at(200.0, y + 60.0),
        };
        let t8 = Level::T(8);
        let points = [
            (Mark::Pedicle(t8), at(215.0, 20.0), at(285.0, 20.0)),
            (Mark::RibHead(t8), at(195.0, 5.0), at(305.0, 5.0)),
            (Mark::RibNeck(t8), at(180.0, 12.0), at(320.0, 12.0)),
            (Mark::Trunk(t8), at(0.0, 30.0), at(500.0, 30.0)),
            (Mark::Clavicle, at(50.0, -300.0), at(450.0, -300.0)),
            (Mark::IliacCrest, at(100.0, 600.0), at(400.0, 600.0)),
            (Mark::FemoralHead, at(120.0, 800.0), at(380.0, 800.0)),
        ];
        let mut set = LandmarkSet {
            vertebrae: [(t8, body(0.0)), (Level::T(9), body(80.0))].into(),
            ..Default::default()
        };
        for (mark, left, right) in points {
            set.marks.insert((mark, Viewed::Left), left);
            set.marks.insert((mark, Viewed::Right), right);
        }
        set
    }

    fn told(mark: Mark, viewed: Viewed, to: Pixel) -> Vec<String> {
        let mut set = sound();
        set.marks.insert((mark, viewed), to);
        set.faults(Column::default()).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn points_in_their_place_have_no_fault() {
        assert_eq!(sound().faults(Column::default()), []);
    }

    #[test]
    fn swapped_points_are_named_with_their_places() {
        for mark in [Mark::Clavicle, Mark::FemoralHead] {
            let mut set = sound();
            let left = set.marks[&(mark, Viewed::Left)];
            let right = set.marks.insert((mark, Viewed::Right), left).unwrap();
            set.marks.insert((mark, Viewed::Left), right);
            let faults = set.faults(Column::default());
            assert_eq!(faults.len(), 1);
            assert_eq!(faults[0].kind, GeometryFaultKind::MarksSwapped);
        }
        assert_eq!(
            told(Mark::Pedicle(Level::T(8)), Viewed::Left, at(290.0, 20.0)),
            ["the left pedicle of T8 (x 290 px) does not lie left of the right one (x 285 px)"]
        );
    }

    #[test]
    fn points_out_of_place_are_named() {
        let t8 = Level::T(8);
        assert_eq!(
            told(Mark::Pedicle(t8), Viewed::Right, at(340.0, 20.0)),
            ["the right pedicle of T8 lies outside its body"]
        );
        assert_eq!(
            told(Mark::RibNeck(t8), Viewed::Left, at(197.0, 12.0)),
            ["the left rib neck of T8 lies no farther out than its head"]
        );
        assert_eq!(
            told(Mark::Trunk(t8), Viewed::Left, at(260.0, 30.0)),
            ["T8 lies outside the edges of the trunk"]
        );
        assert_eq!(
            told(Mark::IliacCrest, Viewed::Right, at(400.0, 900.0)),
            ["the right iliac crest (y 900 px) lies below the femoral head (y 800 px)"]
        );
        assert_eq!(
            told(Mark::RibHead(Level::L(1)), Viewed::Left, at(0.0, 0.0)),
            ["the rib head of L1 is marked, and L1 bears no rib"]
        );
        assert_eq!(
            told(Mark::Clavicle, Viewed::Left, at(f64::NAN, 0.0)),
            ["a coordinate of the clavicle is not a number"]
        );
    }
}
