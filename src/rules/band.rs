//! Bands of one size: each size in exactly one of them.
//!
//! Sizes are reported in whole degrees, so a band is a span of whole numbers,
//! and `at_most: 20 deg` is followed by `at_least: 21 deg` without a gap.

use crate::diag::{Code, Diagnostic, Place, Report};
use crate::facts::FactId;
use crate::quantity::{Reported, Unit};

use super::bound;
use super::condition::{BoundSource, Condition, Leaf, Op, Test};
use super::fields::{Fields, text};

/// A span of sizes; a side without bound has no end.
#[derive(Debug, Clone)]
pub(super) struct Band {
    bounds: Vec<(Op, Reported)>,
    place: Place,
}

/// The keys of a band.
pub(super) const KEYS: [&str; 4] = ["at_least", "above", "at_most", "below"];

impl Band {
    /// The band of a row about a fact in degrees.
    pub fn read(fields: &Fields, fact: &str, report: &mut Report) -> Option<Band> {
        let mut bounds = Vec::new();
        let mut sound = true;
        for op in Op::ALL {
            let Some(node) = fields.get(op.key()) else { continue };
            let typed = text(node, op.key(), report)?;
            match bound::number(&typed.value, Unit::Degree) {
                Ok(at) if at.decimals() == 0 => bounds.push((op, at)),
                Ok(_) => {
                    sound = false;
                    let message = format!("`{}` is not in whole degrees, as {fact} is", *typed);
                    report.add(Code::BoundUnit, &typed.place, message);
                }
                Err(why) => {
                    sound = false;
                    let message = format!("`{}` {why}, as {fact} is", *typed);
                    report.add(Code::BoundUnit, &typed.place, message);
                }
            }
        }
        let sides = |low: bool| bounds.iter().filter(|(op, _)| rises(*op) == low).count();
        if sides(true) > 1 || sides(false) > 1 {
            let message = "the band has two bounds on one side";
            report.add(Code::RuleBands, fields.place, message);
            return None;
        }
        sound.then(|| Band { bounds, place: fields.place.clone() })
    }

    /// Its tests of a fact, in the order they are written.
    pub fn tests(&self, fact: &FactId, source: &BoundSource) -> Vec<Condition> {
        let leaf = |(op, at): &(Op, Reported)| {
            Condition::Leaf(Leaf {
                fact: fact.clone(),
                test: Test::Number(*op, *at),
                source: source.clone(),
                place: self.place.clone(),
            })
        };
        self.bounds.iter().map(leaf).collect()
    }

    fn first(&self) -> i64 {
        let low = self.bounds.iter().find(|(op, _)| rises(*op));
        low.map_or(i64::MIN, |(op, at)| at.value() as i64 + i64::from(*op == Op::Above))
    }

    fn last(&self) -> i64 {
        let high = self.bounds.iter().find(|(op, _)| !rises(*op));
        high.map_or(i64::MAX, |(op, at)| at.value() as i64 - i64::from(*op == Op::Below))
    }
}

fn rises(op: Op) -> bool {
    matches!(op, Op::AtLeast | Op::Above)
}

/// Reports bands that hold no size, sizes in two bands, and sizes between the
/// smallest and the largest band that are in none.
pub(super) fn tile(bands: &[&Band], fact: &str, report: &mut Report) {
    let mut sorted: Vec<&Band> = bands.to_vec();
    sorted.sort_by_key(|band| (band.first(), band.last()));
    for band in sorted.iter().filter(|band| band.last() < band.first()) {
        let message = format!("no value of {fact} lies in this band");
        report.add(Code::RuleBands, &band.place, message);
    }
    sorted.retain(|band| band.first() <= band.last());
    for pair in sorted.windows(2) {
        let (lower, upper) = (pair[0], pair[1]);
        let (end, begin) = (lower.last(), upper.first());
        let message = if begin <= end {
            let (from, to) = (begin, end.min(upper.last()));
            format!("two bands of {fact} hold {}", span(from, to))
        } else if begin - end > 1 {
            format!("no band of {fact} holds {}", span(end + 1, begin - 1))
        } else {
            continue;
        };
        let fault = Diagnostic::new(Code::RuleBands, Some(upper.place.clone()), message);
        report.push(fault.related(lower.place.clone(), "the band below"));
    }
}

fn span(from: i64, to: i64) -> String {
    match (from, to) {
        (i64::MIN, i64::MAX) => "every size".into(),
        (i64::MIN, to) => format!("{to} deg and less"),
        (from, i64::MAX) => format!("{from} deg and more"),
        (from, to) if from == to => format!("{from} deg"),
        (from, to) => format!("{from} to {to} deg"),
    }
}
