//! How well the clinic's readers agree with one another and with themselves.
//!
//! Every curve of every film is a *target*; those that were read more than
//! once, by several people or again by one (`repeat_of:`), are compared. Angles are taken unrounded,
//! with the sign they have on their film; films in a brace and bent films
//! count as well, since they are read in the same way. Groups with a
//! measurement error of their own ([`Group`]) are kept apart.
//!
//! # Unequal numbers
//!
//! No reading is left out of the spread within targets: one read n times
//! weighs n - 1. Two readers are compared on the targets that both have read,
//! each by the first reading. Intraclass correlations want a complete table,
//! so they take the targets that every reader named has read.
//!
//! # Few
//!
//! Below [`FEWEST`] targets nothing but the number is told. Below [`ADVISED`]
//! readings beyond the first no limit is proposed. Both numbers are our own
//! choice.
//!
//! # The limit proposed
//!
//! It would take the place of published ones, for two films read by two
//! people as well. So it comes from different readers of one film, whose
//! differences hold what each alone would not repeat; only where one person
//! reads every film, from that reader's repeats.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::Case;
use crate::course::agreement::{self, Limits};
use crate::course::change::Group;
use crate::course::icc::{self, Iccs};
use crate::course::spread::{self, Interval, Within};
use crate::diag::Report;
use crate::facts::derive::track::Measured;
use crate::facts::derive::{group, tracks};
use crate::quantity::{Reported, Unit};
use crate::spine::Level;

/// Fewest targets for which anything but their number is told.
pub const FEWEST: usize = 10;
/// Fewest readings beyond the first of each target from which a limit is
/// proposed.
pub const ADVISED: usize = 30;

/// One reading of one target.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// Who read it.
    pub reader: String,
    /// Degrees, unrounded, with sign.
    pub degrees: f64,
    /// End vertebrae.
    pub ends: (Level, Level),
}

/// One curve of one film.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The case's id.
    pub case: String,
    /// The film's id.
    pub film: String,
    /// The curve's key.
    pub curve: String,
    /// Whose measurement error applies.
    pub group: Group,
    /// First readings, then repeats, each in the order of the file.
    pub values: Vec<Value>,
}

/// The targets of these cases, those read once included: they tell who reads.
pub fn targets<'a>(cases: impl IntoIterator<Item = &'a Case>) -> Vec<Target> {
    let mut targets = Vec::new();
    for case in cases {
        for track in tracks(case, &mut Report::default()) {
            for shown in &track.films {
                let all = shown.members.iter().chain(&shown.repeats);
                targets.push(Target {
                    case: case.id.value.clone(),
                    film: shown.film.id.value.clone(),
                    curve: track.key.clone(),
                    group: group(&track, shown, case),
                    values: all.map(value).collect(),
                });
            }
        }
    }
    targets
}

fn value(m: &Measured) -> Value {
    Value {
        reader: m.reading.by.value.clone(),
        degrees: m.signed(),
        ends: (m.curve.upper.value, m.curve.lower.value),
    }
}

/// How readings compare over some targets.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Targets that have the readings compared.
    pub targets: usize,
    /// On how many of them all these readings used the same end vertebrae.
    pub same_ends: usize,
    /// Readings beyond the first of each target.
    pub freedom: usize,
    /// The figures; none where there are too few targets or nothing differs.
    pub figures: Option<Figures>,
}

/// Figures of a comparison, unrounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Second minus first: mean, SD and limits of agreement; of two columns.
    pub limits: Option<Limits>,
    /// Intraclass correlations over a complete table of several readers.
    pub iccs: Option<Iccs>,
    /// Spread within targets: the standard error of measurement.
    pub within: Within,
}

impl Figures {
    /// The 95 % limit between two readings, to a tenth of a degree.
    pub fn repeatability(&self) -> Reported {
        Reported::round(spread::repeatability(self.within.sd), 1, Unit::Degree)
    }

    /// Its 95 % interval, unrounded.
    pub fn repeatability_interval(&self) -> Option<Interval> {
        let of = spread::repeatability;
        self.within.interval.map(|i| Interval { low: of(i.low), high: of(i.high) })
    }
}

/// A reader's repeats.
#[derive(Debug, Clone, PartialEq)]
pub struct Again {
    /// Who.
    pub reader: String,
    /// First readings against repeats.
    pub compared: Compared,
}

/// Two readers.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The one that is subtracted.
    pub first: String,
    /// The other one.
    pub second: String,
    /// Their first readings.
    pub compared: Compared,
}

/// All that is told of one group.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Which.
    pub group: Group,
    /// Who read its films, once or more often.
    pub readers: Vec<String>,
    /// Patients with a target read more than once.
    pub patients: usize,
    /// Targets read more than once.
    pub targets: usize,
    /// Readings of them.
    pub readings: usize,
    /// Each reader who read targets again.
    pub again: Vec<Again>,
    /// Each two readers who share targets.
    pub pairs: Vec<Pair>,
    /// All readers on the targets that every one has read, if more than two.
    pub everyone: Option<Compared>,
    /// Every reader's repeats together.
    pub within: Compared,
    /// The first readings of different readers together.
    pub between: Compared,
}

impl Summary {
    /// The comparison that a limit would rest on.
    pub fn basis(&self) -> &Compared {
        if self.readers.len() > 1 { &self.between } else { &self.within }
    }

    /// Readings beyond the first of each target in that comparison.
    pub fn freedom(&self) -> usize {
        self.basis().freedom
    }

    /// The limit that the group's readings propose for the clinic's settings;
    /// none from too few. Never below what a reader repeats alone.
    pub fn proposal(&self) -> Option<Reported> {
        let figures = self.basis().figures.as_ref().filter(|_| self.freedom() >= ADVISED)?;
        let (mine, alone) = (figures.repeatability(), self.within.figures.as_ref());
        let alone = alone.map(Figures::repeatability).filter(|a| a.compare(mine).is_gt());
        Some(alone.unwrap_or(mine))
    }
}

/// Summaries of the groups that have targets read more than once.
pub fn summaries(targets: &[Target]) -> Vec<Summary> {
    let groups = [Group::Scoliosis, Group::YoungChild, Group::Congenital, Group::Kyphosis];
    let of = |group: Group| targets.iter().filter(|t| t.group == group).collect::<Vec<_>>();
    groups.into_iter().filter_map(|group| summary(group, &of(group))).collect()
}

fn summary(group: Group, all: &[&Target]) -> Option<Summary> {
    let names: BTreeSet<&str> =
        all.iter().flat_map(|t| t.values.iter().map(|v| v.reader.as_str())).collect();
    let readers: Vec<&str> = names.into_iter().collect();
    let targets: Vec<&Target> = all.iter().copied().filter(|t| t.values.len() > 1).collect();
    let patients: BTreeSet<&str> = targets.iter().map(|t| t.case.as_str()).collect();
    (!targets.is_empty()).then(|| Summary {
        group,
        readers: readers.iter().map(|r| r.to_string()).collect(),
        patients: patients.len(),
        targets: targets.len(),
        readings: targets.iter().map(|t| t.values.len()).sum(),
        again: readers.iter().filter_map(|r| again(&targets, r)).collect(),
        pairs: pairs(&targets, &readers),
        everyone: (readers.len() > 2).then(|| compare(&side_by_side(&targets, &readers))),
        within: pooled(readers.iter().flat_map(|r| by_one(&targets, r)).collect()),
        between: pooled(targets.iter().map(|t| first_readings(t)).collect()),
    })
}

/// Rows of any length together. Which reading is subtracted from which, or
/// whose column is whose, has no meaning here.
fn pooled(mut rows: Vec<Vec<&Value>>) -> Compared {
    rows.retain(|row| row.len() > 1);
    let mut compared = compare(&rows);
    if let Some(figures) = &mut compared.figures {
        (figures.limits, figures.iccs) = (None, None);
    }
    compared
}

/// Each reader's first reading.
fn first_readings(target: &Target) -> Vec<&Value> {
    let mut first: BTreeMap<&str, &Value> = BTreeMap::new();
    for value in &target.values {
        first.entry(value.reader.as_str()).or_insert(value);
    }
    first.into_values().collect()
}

/// Everything a reader read of each target that the reader read again.
fn by_one<'t>(targets: &[&'t Target], reader: &str) -> Vec<Vec<&'t Value>> {
    let mine = |t: &&'t Target| t.values.iter().filter(|v| v.reader == reader).collect::<Vec<_>>();
    targets.iter().map(mine).filter(|row| row.len() > 1).collect()
}

fn again(targets: &[&Target], reader: &str) -> Option<Again> {
    let rows = by_one(targets, reader);
    let compared = (!rows.is_empty()).then(|| compare(&rows))?;
    Some(Again { reader: reader.to_string(), compared })
}

fn pairs(targets: &[&Target], readers: &[&str]) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for (i, first) in readers.iter().enumerate() {
        for second in &readers[i + 1..] {
            let rows = side_by_side(targets, &[first, second]);
            if !rows.is_empty() {
                let compared = compare(&rows);
                pairs.push(Pair { first: first.to_string(), second: second.to_string(), compared });
            }
        }
    }
    pairs
}

/// The first reading of each of these readers, on the targets all have read.
fn side_by_side<'t>(targets: &[&'t Target], readers: &[&str]) -> Vec<Vec<&'t Value>> {
    let row = |target: &&'t Target| -> Option<Vec<&'t Value>> {
        let first = first_readings(target);
        let of = |r: &&str| first.iter().copied().find(|v| v.reader == *r);
        readers.iter().map(of).collect()
    };
    targets.iter().filter_map(row).collect()
}

fn compare(rows: &[Vec<&Value>]) -> Compared {
    let same = |row: &&Vec<&Value>| row.iter().all(|v| v.ends == row[0].ends);
    let values: Vec<Vec<f64>> =
        rows.iter().map(|r| r.iter().map(|v| v.degrees).collect()).collect();
    Compared {
        targets: rows.len(),
        same_ends: rows.iter().filter(same).count(),
        freedom: rows.iter().map(|r| r.len() - 1).sum(),
        figures: figures(&values).filter(|_| rows.len() >= FEWEST),
    }
}

fn figures(rows: &[Vec<f64>]) -> Option<Figures> {
    let within = spread::within(rows.iter().map(Vec::as_slice))?;
    let two: Vec<f64> = rows.iter().filter(|r| r.len() == 2).map(|r| r[1] - r[0]).collect();
    let complete = two.len() == rows.len();
    Some(Figures {
        limits: agreement::limits(&two).filter(|_| complete),
        iccs: icc::iccs(rows),
        within,
    })
}
