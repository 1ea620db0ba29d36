//! Wedged vertebrae side by side: the published criteria of Scheuermann's
//! disease.
//!
//! Two cut-offs are in print and they disagree. One asks for three adjacent
//! vertebrae wedged by *at least* 5 degrees; another prints *more than* 5
//! degrees together with a kyphosis above 40 degrees, or above 30 at the
//! thoracolumbar junction. Both are kept; which one a clinic uses is its
//! choice. A third in print (one wedged vertebra with a kyphosis above 45)
//! gives no size of the wedge and is not computed.
//!
//! A vertebra that nobody measured is neither wedged nor straight: where one
//! beside a wedged vertebra could complete the row, nothing is decided.

use std::collections::BTreeMap;

use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};
use crate::spine::{Column, Level};

/// How many adjacent wedged vertebrae both criteria ask for.
pub const ADJACENT: usize = 3;

/// From which wedging on a vertebra counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutOff {
    /// 5 degrees count.
    AtLeastFive,
    /// More than 5 degrees count, and the kyphosis decides with them.
    AboveFive,
}

impl CutOff {
    /// Both, in the order they are told.
    pub const ALL: [CutOff; 2] = [CutOff::AtLeastFive, CutOff::AboveFive];

    /// Whether a wedge counts.
    pub fn counts(self, wedge: Reported) -> bool {
        let order = wedge.compare(Reported::whole(5, Unit::Degree));
        match self {
            CutOff::AtLeastFive => order.is_ge(),
            CutOff::AboveFive => order.is_gt(),
        }
    }

    /// Where it is printed.
    pub fn source(self) -> Source {
        match self {
            CutOff::AtLeastFive => Source::read(
                &works::SORENSEN_1964,
                "three or more adjacent vertebrae wedged by 5 degrees or more, as quoted in 1999",
            ),
            CutOff::AboveFive => Source::read(
                &works::WEDGES_ABOVE_FIVE,
                "three or more adjacent vertebrae wedged by more than 5 degrees with a kyphosis above 40, or above 30 at the thoracolumbar junction",
            ),
        }
    }
}

/// Vertebrae that count, side by side.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Row {
    /// The longest row of measured vertebrae that count, from the head down;
    /// of equally long ones the uppermost.
    pub levels: Vec<Level>,
    /// Vertebrae not measured that could lengthen some row to
    /// [`ADJACENT`], from the head down; empty once a row is long enough.
    pub open: Vec<Level>,
}

impl Row {
    /// Whether the row is long enough; `None` where unmeasured vertebrae
    /// could still make it so.
    pub fn long_enough(&self) -> Option<bool> {
        match (self.levels.len() >= ADJACENT, self.open.is_empty()) {
            (true, _) => Some(true),
            (false, true) => Some(false),
            (false, false) => None,
        }
    }
}

/// The longest row of adjacent vertebrae wedged from a cut-off on.
pub fn row(wedges: &BTreeMap<Level, Reported>, column: Column, cut: CutOff) -> Row {
    let spine: Vec<Level> = column.levels();
    let counts = |level: &Level| wedges.get(level).map(|wedge| cut.counts(*wedge));
    let mut longest: &[Level] = &[];
    for run in spine.chunk_by(|a, b| counts(a) == counts(b)) {
        if counts(&run[0]) == Some(true) && run.len() > longest.len() {
            longest = run;
        }
    }
    let levels = longest.to_vec();
    let open = if levels.len() >= ADJACENT { Vec::new() } else { open(&spine, &counts) };
    Row { levels, open }
}

/// Unmeasured vertebrae of every window of three that holds a vertebra that
/// counts and none that does not.
fn open(spine: &[Level], counts: &impl Fn(&Level) -> Option<bool>) -> Vec<Level> {
    let fits = |window: &&[Level]| {
        let found: Vec<_> = window.iter().map(counts).collect();
        found.contains(&Some(true)) && !found.contains(&Some(false))
    };
    let mut open: Vec<Level> = spine
        .windows(ADJACENT)
        .filter(fits)
        .flatten()
        .filter(|level| counts(level).is_none() && measurable(level))
        .copied()
        .collect();
    open.sort_unstable();
    open.dedup();
    open
}

/// Neck and sacrum take no part in the criteria.
fn measurable(level: &Level) -> bool {
    matches!(level, Level::T(_) | Level::L(_))
}

/// The criterion of wedges of more than 5 degrees asks for a kyphosis too:
/// above 40 degrees, or above 30 at the thoracolumbar junction.
///
/// `None` where neither is large enough and one is not known.
pub fn kyphosis_large_enough(
    kyphosis: Option<Reported>,
    thoracolumbar: Option<Reported>,
) -> Option<bool> {
    let above = |value: Option<Reported>, limit| {
        value.map(|v| v.compare(Reported::whole(limit, Unit::Degree)).is_gt())
    };
    match (above(kyphosis, 40), above(thoracolumbar, 30)) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wedges(typed: &[(u8, i64)]) -> BTreeMap<Level, Reported> {
        let one =
            |(n, degrees): &(u8, i64)| (Level::T(*n), Reported::whole(*degrees, Unit::Degree));
        typed.iter().map(one).collect()
    }

    #[test]
    fn a_gap_in_the_measurements_decides_nothing() {
        let column = Column::default();
        // T7 and T9 wedged, T8 not measured: T8 could complete T7 to T9.
        let found = row(&wedges(&[(6, 0), (7, 6), (9, 7), (10, 0)]), column, CutOff::AtLeastFive);
        assert_eq!((found.long_enough(), found.open), (None, vec![Level::T(8)]));
        // T8 measured and straight: nothing can.
        let found =
            row(&wedges(&[(6, 0), (7, 6), (8, 2), (9, 7), (10, 0)]), column, CutOff::AtLeastFive);
        assert_eq!((found.long_enough(), found.levels), (Some(false), vec![Level::T(7)]));
    }

    #[test]
    fn a_row_does_not_jump_over_a_straight_vertebra() {
        let found = row(
            &wedges(&[(6, 8), (7, 8), (8, 4), (9, 8), (10, 8), (11, 8)]),
            Column::default(),
            CutOff::AboveFive,
        );
        assert_eq!(found.levels, [Level::T(9), Level::T(10), Level::T(11)]);
    }

    #[test]
    fn twelve_thoracic_vertebrae_go_on_into_the_lumbar_ones() {
        let mut found = wedges(&[(11, 7), (12, 7)]);
        found.insert(Level::L(1), Reported::whole(7, Unit::Degree));
        let row = row(&found, Column::default(), CutOff::AboveFive);
        assert_eq!(row.levels, [Level::T(11), Level::T(12), Level::L(1)]);
    }
}
