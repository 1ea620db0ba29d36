//! The real-change table: from how many degrees a difference between two
//! films is more than measurement.
//!
//! # Which published figure applies
//!
//! | group | same readers | different readers | source |
//! |---|---|---|---|
//! | scoliosis, same end vertebrae | 3.8 | 6.3 | Morrissy 1990 |
//! | scoliosis, end vertebrae chosen anew | 4.9 | 7.2 | Morrissy 1990 |
//! | scoliosis, child of ten or less | 7 | 7 | Loder 2004 ("at least 7") |
//! | congenital | 23 | 23 | Loder 1995 ("at least 23") |
//! | kyphosis, same end vertebrae | 11 | 11 | Carman 1990 |
//!
//! A kyphosis between other end vertebrae is another angle: its ends are
//! fixed before films are compared, and no limit stands for free ones.
//!
//! # From a figure to a limit
//!
//! A change is real when its size in whole reported degrees is *at least* the
//! limit. A 95 % limit must be exceeded: 6.3 becomes 7, because a difference
//! of 6 does not exceed it; a figure that its authors state as a needed
//! change (7, 11, 23) is taken as it stands. The limit is never below the
//! floor of 6 degrees that the published outcome criteria use
//! (Negrini 2014, Kuroki 2015; others use 5, which is why it is a setting).
//! So scoliosis gives 6 for the same readers, 7 for different readers with
//! the same end vertebrae and 8 with new ones.
//!
//! # What a clinic may change
//!
//! It may raise the floor. Its own repeatability study (the 95 % limit
//! between two of its readings) takes the place of Morrissy's figures and of
//! the floor, also downward, because it was measured on its own readers. In
//! young children, congenital curves and kyphosis the published figure stays
//! unless the clinic's is larger: such a study seldom holds enough of them.
//!
//! Carman's 10 degrees for scoliosis is a tolerance limit, a stricter
//! statistic than a 95 % limit, and is listed as considered, like the other
//! studies that decide nothing.

use serde::Serialize;

use crate::evidence::{Constant, Grade, Source, Work, works};
use crate::quantity::{Angle, Reported, Unit};

/// Who read the two films.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Readers {
    /// The same person or the same persons.
    Same,
    /// Not the same.
    Different,
}

impl Readers {
    /// Compares the readers of two films. Only equal sets are the same: a
    /// mean of two readers against one of them still mixes readers.
    pub fn of<'a>(
        earlier: impl IntoIterator<Item = &'a str>,
        later: impl IntoIterator<Item = &'a str>,
    ) -> Readers {
        let set = |names: &mut dyn Iterator<Item = &'a str>| {
            names.collect::<std::collections::BTreeSet<_>>()
        };
        let same = set(&mut earlier.into_iter()) == set(&mut later.into_iter());
        if same { Readers::Same } else { Readers::Different }
    }
}

/// How the end vertebrae of the two measurements relate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Ends {
    /// Both were measured to the same end vertebrae.
    Same,
    /// They were chosen anew and differ.
    Free,
}

/// The group of patients whose measurement error applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Scoliosis after the tenth year of life; also of causes without a
    /// study of their own.
    Scoliosis,
    /// Scoliosis of a child of ten or less, not congenital.
    YoungChild,
    /// Congenital curves, in either plane.
    Congenital,
    /// Kyphosis or lordosis, measured on lateral films.
    Kyphosis,
}

impl Group {
    /// The group of a comparison. `age_years` is the age in completed years
    /// at the earlier film; unknown counts as older, and the caller says so.
    pub fn of(congenital: bool, lateral: bool, age_years: Option<u32>) -> Group {
        match (congenital, lateral, age_years) {
            (true, ..) => Group::Congenital,
            (_, true, _) => Group::Kyphosis,
            (_, _, Some(0..=10)) => Group::YoungChild,
            _ => Group::Scoliosis,
        }
    }
}

/// What the clinic has set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ClinicLimits {
    /// The smallest change the clinic calls real; below the published floor
    /// it holds only together with a study of its own.
    pub real_change: Option<Angle>,
    /// Its own 95 % limit between two readings.
    pub repeatability: Option<Angle>,
}

/// What two measurements have in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circumstances {
    /// Who read them.
    pub readers: Readers,
    /// Their end vertebrae.
    pub ends: Ends,
    /// Whose they are.
    pub group: Group,
    /// The clinic's settings.
    pub clinic: ClinicLimits,
}

/// A figure that was looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Considered {
    /// The figure as published.
    pub degrees: Reported,
    /// Where it comes from.
    pub source: Source,
}

/// The limit of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// A change of at least this many whole degrees is real.
    pub degrees: Reported,
    /// The figure that decides.
    pub source: Source,
    /// Every figure that was looked at, the deciding one first.
    pub considered: Vec<Considered>,
}

/// What a difference is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Grew by at least the limit.
    Rise,
    /// Shrank by at least the limit.
    Fall,
    /// Below the limit: can come from measuring alone.
    Unchanged,
}

impl Limit {
    /// Judges a difference of reported angles, later minus earlier.
    pub fn judge(&self, change: Reported) -> Verdict {
        match (change.abs().compare(self.degrees).is_ge(), change.sign() > 0) {
            (false, _) => Verdict::Unchanged,
            (true, true) => Verdict::Rise,
            (true, false) => Verdict::Fall,
        }
    }
}

/// How a published figure becomes a whole-degree limit.
#[derive(Debug, Clone, Copy)]
enum Statement {
    /// A 95 % limit, which a real change exceeds.
    Beyond,
    /// A change its authors ask for, which a real change reaches.
    AtLeast,
}

/// A figure with its reading.
#[derive(Debug, Clone, Copy)]
struct Figure {
    degrees: f64,
    statement: Statement,
    source: Source,
}

impl Figure {
    const fn read(
        degrees: f64,
        statement: Statement,
        work: &'static Work,
        note: &'static str,
    ) -> Figure {
        Figure { degrees, statement, source: Source::read(work, note) }
    }

    const fn clinic(degrees: f64, statement: Statement, note: &'static str) -> Figure {
        let source = Source { work: None, grade: Grade::ClinicSetting, note };
        Figure { degrees, statement, source }
    }

    /// The least whole degree that counts as real by this figure.
    fn whole(self) -> i64 {
        // Settled to a thousandth, so that a float's last bits decide nothing.
        let settled = (self.degrees * 1000.0).round() / 1000.0;
        match self.statement {
            Statement::Beyond => settled.floor() as i64 + 1,
            Statement::AtLeast => settled.ceil() as i64,
        }
    }

    fn considered(self) -> Considered {
        let settled = (self.degrees * 10.0).round() / 10.0;
        let decimals = if settled.fract() == 0.0 { 0 } else { 1 };
        let degrees = Reported::round(self.degrees, decimals, Unit::Degree);
        Considered { degrees, source: self.source }
    }
}

/// The floor under every limit.
pub const FLOOR: Constant = Constant {
    value: 6.0,
    unit: Unit::Degree,
    source: Source::read(&works::NEGRINI_2014, "a change of 6 degrees or more counts"),
};

const SAME_READERS_SAME_ENDS: Figure = Figure::read(
    3.8,
    Statement::Beyond,
    &works::MORRISSY_1990,
    "95 % limit within one reader, end vertebrae given",
);
const SAME_READERS_FREE_ENDS: Figure = Figure::read(
    4.9,
    Statement::Beyond,
    &works::MORRISSY_1990,
    "95 % limit within one reader, end vertebrae chosen anew",
);
const OTHER_READERS_SAME_ENDS: Figure = Figure::read(
    6.3,
    Statement::Beyond,
    &works::MORRISSY_1990,
    "95 % limit between readers, end vertebrae given",
);
const OTHER_READERS_FREE_ENDS: Figure = Figure::read(
    7.2,
    Statement::Beyond,
    &works::MORRISSY_1990,
    "95 % limit between readers, end vertebrae chosen anew",
);
const YOUNG_CHILD: Figure = Figure::read(
    7.0,
    Statement::AtLeast,
    &works::LODER_2004,
    "at least 7 degrees needed at ten years or less, not congenital",
);
const CONGENITAL: Figure = Figure::read(
    23.0,
    Statement::AtLeast,
    &works::LODER_1995,
    "at least 23 degrees needed, the whole range between readers",
);
const KYPHOSIS: Figure = Figure::read(
    11.0,
    Statement::AtLeast,
    &works::CARMAN_1990,
    "11 degrees needed to be 95 % sure of a change of kyphosis",
);
const CARMAN_SCOLIOSIS: Figure = Figure::read(
    10.0,
    Statement::AtLeast,
    &works::CARMAN_1990,
    "10 degrees needed for scoliosis; a tolerance limit, not applied",
);
const DIGITAL: Figure = Figure::read(
    1.3,
    Statement::Beyond,
    &works::DIGITAL_COBB_2008,
    "95 % limit on digital films, end vertebrae given; below the floor",
);
const FOUR_RATERS: Figure = Figure::read(
    12.8,
    Statement::Beyond,
    &works::EARLY_ONSET_RATERS,
    "95 % limit of four raters of early-onset curves; not applied",
);
const KYPHOSIS_SAME: Figure = Figure::read(
    9.6,
    Statement::Beyond,
    &works::KYPHOSIS_2002,
    "95 % limit within one reader of kyphosis; below the figure applied",
);
const KYPHOSIS_OTHER: Figure = Figure::read(
    8.7,
    Statement::Beyond,
    &works::KYPHOSIS_2002,
    "95 % limit between readers of kyphosis; below the figure applied",
);

/// The limit for a comparison.
pub fn limit(circumstances: &Circumstances) -> Limit {
    let published = group_figure(circumstances);
    let own = own_study(&circumstances.clinic);
    let replaced = own.is_some() && circumstances.group == Group::Scoliosis;
    let candidates: Vec<Figure> = (!replaced)
        .then_some(published)
        .into_iter()
        .chain(own)
        .chain(floor(&circumstances.clinic))
        .collect();
    // The first of equals decides: a study before the floor.
    let deciding = candidates
        .iter()
        .copied()
        .reduce(|best, next| if next.whole() > best.whole() { next } else { best })
        .expect("without a study of its own a clinic has a floor");
    let mut considered = vec![deciding];
    for figure in [published].into_iter().chain(candidates).chain(also_known(circumstances)) {
        if considered.iter().all(|known| known.source != figure.source) {
            considered.push(figure);
        }
    }
    Limit {
        degrees: Reported::whole(deciding.whole(), Unit::Degree),
        source: deciding.source,
        considered: considered.into_iter().map(Figure::considered).collect(),
    }
}

/// The published figure of a cell of the table.
fn group_figure(circumstances: &Circumstances) -> Figure {
    match (circumstances.group, circumstances.readers, circumstances.ends) {
        (Group::Scoliosis, Readers::Same, Ends::Same) => SAME_READERS_SAME_ENDS,
        (Group::Scoliosis, Readers::Same, Ends::Free) => SAME_READERS_FREE_ENDS,
        (Group::Scoliosis, Readers::Different, Ends::Same) => OTHER_READERS_SAME_ENDS,
        (Group::Scoliosis, Readers::Different, Ends::Free) => OTHER_READERS_FREE_ENDS,
        (Group::YoungChild, ..) => YOUNG_CHILD,
        (Group::Congenital, ..) => CONGENITAL,
        (Group::Kyphosis, ..) => KYPHOSIS,
    }
}

/// The floor: the published one, or the clinic's where that is higher or
/// rests on its own study; with a study and no floor set, there is none.
fn floor(clinic: &ClinicLimits) -> Option<Figure> {
    let studied = clinic.repeatability.is_some();
    match clinic.real_change.map(Angle::to_degrees) {
        Some(set) if set >= FLOOR.value || studied => {
            Some(Figure::clinic(set, Statement::AtLeast, "smallest change the clinic calls real"))
        }
        None if studied => None,
        _ => Some(Figure {
            degrees: FLOOR.value,
            statement: Statement::AtLeast,
            source: FLOOR.source,
        }),
    }
}

fn own_study(clinic: &ClinicLimits) -> Option<Figure> {
    let note = "the clinic's own 95 % limit between two readings";
    clinic.repeatability.map(|own| Figure::clinic(own.to_degrees(), Statement::Beyond, note))
}

/// Other published figures of the same measurement, which decide nothing.
fn also_known(circumstances: &Circumstances) -> Vec<Figure> {
    match (circumstances.group, circumstances.readers, circumstances.ends) {
        (Group::Scoliosis, _, Ends::Same) => vec![CARMAN_SCOLIOSIS, DIGITAL],
        (Group::Scoliosis, _, Ends::Free) => vec![CARMAN_SCOLIOSIS],
        (Group::YoungChild, ..) => vec![FOUR_RATERS],
        (Group::Congenital, ..) => vec![],
        (Group::Kyphosis, Readers::Same, _) => vec![KYPHOSIS_SAME],
        (Group::Kyphosis, Readers::Different, _) => vec![KYPHOSIS_OTHER],
    }
}
