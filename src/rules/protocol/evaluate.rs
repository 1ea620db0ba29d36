//! An edition against the facts of one case: rows, range, interval.

use crate::facts::Facts;
use crate::quantity::Reported;

use super::super::evaluate::{MissingItem, Outcome};
use super::super::verdict::Verdict;
use super::{Edition, FollowUp, Row, Step};

/// A row with its verdict.
#[derive(Debug, Clone)]
pub struct RowVerdict<'a> {
    /// The row.
    pub row: &'a Row,
    /// Its verdict with the evidence.
    pub outcome: Outcome,
}

/// An interval between visits with its verdict.
#[derive(Debug, Clone)]
pub struct FollowUpVerdict<'a> {
    /// The row.
    pub row: &'a FollowUp,
    /// Its verdict with the evidence.
    pub outcome: Outcome,
}

/// What the rows together allow.
#[derive(Debug, Clone, PartialEq)]
pub enum Range {
    /// From the least to the most.
    From(Step, Step),
    /// Rows as well founded as those that hold cannot be told; what is missing.
    CannotTell(Vec<MissingItem>),
    /// No row speaks of this case.
    NotCovered,
}

/// Everything an edition says of one case.
#[derive(Debug, Clone)]
#[must_use]
pub struct Judged<'a> {
    /// Every row in the order of the file.
    pub rows: Vec<RowVerdict<'a>>,
    /// What the rows together allow.
    pub range: Range,
    /// Intervals in the order of the file.
    pub follow_up: Vec<FollowUpVerdict<'a>>,
}

/// Evaluates an edition on reported values only.
pub fn evaluate<'a>(edition: &'a Edition, facts: &Facts) -> Judged<'a> {
    let rows: Vec<RowVerdict> = edition
        .rows
        .iter()
        .map(|row| RowVerdict { row, outcome: row.when.evaluate(facts) })
        .collect();
    let follow_up = edition
        .follow_up
        .iter()
        .map(|row| FollowUpVerdict { row, outcome: row.when.evaluate(facts) })
        .collect();
    let range = range(&rows);
    Judged { rows, range, follow_up }
}

/// The best founded rows that hold set the range, from the least to the most
/// that any of them allows. A row that cannot be told and is as well founded
/// might change it, so that nothing is told. The order of rows never matters.
fn range(rows: &[RowVerdict]) -> Range {
    let of = |verdict| rows.iter().filter(move |r: &&RowVerdict| r.outcome.verdict == verdict);
    let best = of(Verdict::Met).map(|r| r.row.basis.standing).max();
    let open: Vec<&RowVerdict> = of(Verdict::CannotTell)
        .filter(|r| best.is_none_or(|best| r.row.basis.standing >= best))
        .collect();
    if !open.is_empty() {
        let mut missing: Vec<MissingItem> = open.iter().flat_map(|r| r.outcome.missing()).collect();
        missing.sort();
        missing.dedup();
        return Range::CannotTell(missing);
    }
    let steps = of(Verdict::Met)
        .filter(|r| Some(r.row.basis.standing) == best)
        .map(|r| (r.row.least, r.row.most));
    steps
        .reduce(|(least, most), (l, m)| (least.least(l), most.most(m)))
        .map_or(Range::NotCovered, |(least, most)| Range::From(least, most))
}

impl Judged<'_> {
    /// Whether a row is among those that set the range.
    pub fn decides(&self, row: &RowVerdict) -> bool {
        let met = self.rows.iter().filter(|r| r.outcome.verdict == Verdict::Met);
        let best = met.map(|r| r.row.basis.standing).max();
        row.outcome.verdict == Verdict::Met && Some(row.row.basis.standing) == best
    }

    /// The shortest interval that holds, with its row; what is missing if a
    /// shorter one cannot be told; `Ok(None)` if no row speaks of the case.
    pub fn interval(&self) -> Result<Option<&FollowUpVerdict<'_>>, Vec<MissingItem>> {
        let shorter = |a: Reported, b: Reported| a.compare(b).is_lt();
        let met = self.follow_up.iter().filter(|f| f.outcome.verdict == Verdict::Met);
        let best = met.min_by(|a, b| a.row.months.compare(b.row.months));
        let mut missing: Vec<MissingItem> = self
            .follow_up
            .iter()
            .filter(|f| f.outcome.verdict == Verdict::CannotTell)
            .filter(|f| best.is_none_or(|best| shorter(f.row.months, best.row.months)))
            .flat_map(|f| f.outcome.missing())
            .collect();
        missing.sort();
        missing.dedup();
        if missing.is_empty() { Ok(best) } else { Err(missing) }
    }
}
