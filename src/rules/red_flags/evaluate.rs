//! Red flags against the facts of one case: which hold, and which count.

use crate::facts::Facts;

use super::super::evaluate::Outcome;
use super::super::verdict::Verdict;
use super::{Edition, Flag, TOGETHER, Weight};

/// Whether a flag asks for an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Counts {
    /// It does not hold, or not enough of its kind hold.
    No,
    /// The facts do not decide it.
    CannotTell,
    /// It does.
    Yes,
}

impl Counts {
    /// The word that templates compare.
    pub fn word(self) -> &'static str {
        match self {
            Counts::No => "no",
            Counts::CannotTell => "cannot tell",
            Counts::Yes => "yes",
        }
    }
}

/// One flag with its verdict.
#[derive(Debug, Clone)]
pub struct FlagVerdict<'a> {
    /// The rule.
    pub flag: &'a Flag,
    /// Its verdict with the evidence.
    pub outcome: Outcome,
    /// Whether it asks for an answer.
    pub counts: Counts,
}

/// Evaluates the rules of an edition on reported values only; the order of
/// the rules never matters.
pub fn evaluate<'a>(edition: &'a Edition, facts: &Facts) -> Vec<FlagVerdict<'a>> {
    let judged: Vec<(&Flag, Outcome)> =
        edition.flags.iter().map(|flag| (flag, flag.when.evaluate(facts))).collect();
    let adding = |verdict| {
        let adds = judged.iter().filter(|(flag, _)| flag.weight == Weight::AddsWeight);
        adds.filter(|(_, outcome)| outcome.verdict == verdict).count()
    };
    let (sure, open) = (adding(Verdict::Met), adding(Verdict::CannotTell));
    judged
        .into_iter()
        .map(|(flag, outcome)| {
            let counts = counts(flag.weight, outcome.verdict, sure, open);
            FlagVerdict { flag, outcome, counts }
        })
        .collect()
}

/// `sure` flags that add weight hold, `open` ones cannot be told.
fn counts(weight: Weight, verdict: Verdict, sure: usize, open: usize) -> Counts {
    let others_open = match verdict {
        Verdict::CannotTell => open - usize::from(weight == Weight::AddsWeight),
        _ => open,
    };
    match (weight, verdict) {
        (_, Verdict::NotMet) => Counts::No,
        (Weight::EnoughAlone, Verdict::Met) => Counts::Yes,
        (Weight::EnoughAlone, Verdict::CannotTell) => Counts::CannotTell,
        (Weight::AddsWeight, Verdict::Met) if sure >= TOGETHER => Counts::Yes,
        (Weight::AddsWeight, Verdict::Met) if sure + open >= TOGETHER => Counts::CannotTell,
        (Weight::AddsWeight, Verdict::CannotTell) if 1 + sure + others_open >= TOGETHER => {
            Counts::CannotTell
        }
        (Weight::AddsWeight, _) => Counts::No,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_counts_by_weight_verdict_and_the_others() {
        use Counts::{CannotTell, No, Yes};
        use Weight::{AddsWeight, EnoughAlone};
        // Worked by hand: (weight, verdict, sure, open) with the flag itself
        // among `sure` or `open`.
        let table = [
            (EnoughAlone, Verdict::Met, 0, 0, Yes),
            (EnoughAlone, Verdict::CannotTell, 0, 0, CannotTell),
            (EnoughAlone, Verdict::NotMet, 5, 5, No),
            (AddsWeight, Verdict::Met, 1, 0, No),
            (AddsWeight, Verdict::Met, 2, 0, Yes),
            (AddsWeight, Verdict::Met, 1, 1, CannotTell),
            (AddsWeight, Verdict::CannotTell, 0, 1, No),
            (AddsWeight, Verdict::CannotTell, 0, 2, CannotTell),
            (AddsWeight, Verdict::CannotTell, 1, 1, CannotTell),
            (AddsWeight, Verdict::NotMet, 3, 3, No),
        ];
        for (weight, verdict, sure, open, expected) in table {
            assert_eq!(counts(weight, verdict, sure, open), expected, "{weight:?} {verdict:?}");
        }
    }
}
