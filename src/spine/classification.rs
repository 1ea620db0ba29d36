//! Curve types as tables: the six types of adolescent idiopathic scoliosis
//! with their two modifiers, and the coronal types of adults.
//!
//! Every rule stands as a row with its source and is read three-valued: what
//! is not known stays open, and a type is given only where every row that is
//! still possible names it. Angles are reported values. Whether the patient
//! belongs to the population of a scheme is for the caller to see to; nothing
//! here knows ages, causes or films.

use super::Region;
use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

/// Where the six types and the lumbar modifier come from.
pub const SIX_TYPES: Source = Source::read(
    &works::SIX_TYPES,
    "types 1 to 6; where the proximal thoracic curve is the largest, the main thoracic one is taken as major; lumbar modifier by the CSVL",
);
/// Where the structural criteria and the sagittal modifier come from.
pub const STRUCTURAL: Source = Source::read(
    &works::AO_LENKE,
    "a minor curve is structural if 25 degrees or more remain on side-bending, or with a kyphosis of 20 or more (T2-T5; T10-L2), whatever its flexibility",
);
/// Where the sagittal modifier comes from.
pub const SAGITTAL: Source =
    Source::read(&works::AO_LENKE, "T5-T12: - below 10, N from 10 to 40, + above 40");
/// Where the adult coronal types come from.
pub const ADULT: Source = Source::read(
    &works::ADULT_TYPES,
    "T thoracic, L thoracolumbar or lumbar, D both above 30, N all below 30; exactly 30 is unassigned",
);

/// A minor curve with this many degrees left on side-bending is structural.
const BENT_FROM: i64 = 25;
/// A kyphosis of this many degrees makes the region's curve structural.
const KYPHOSIS_FROM: i64 = 20;
/// Bounds of the sagittal modifier: below the first, above the second.
const SAGITTAL_NORMAL: (i64, i64) = (10, 40);
/// The adult coronal types part here.
const ADULT_FROM: i64 = 30;

/// A region of the six-type scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Apex T2 to T5.
    ProximalThoracic,
    /// Apex from T5-T6 to the disc above the last thoracic vertebra.
    MainThoracic,
    /// Apex from the last thoracic to the last but one lumbar vertebra.
    Lower,
}

impl Part {
    /// All, from the head down.
    pub const ALL: [Part; 3] = [Part::ProximalThoracic, Part::MainThoracic, Part::Lower];

    /// The part a region belongs to; curves above and below have none.
    pub fn of(region: Region) -> Option<Part> {
        match region {
            Region::ProximalThoracic => Some(Part::ProximalThoracic),
            Region::MainThoracic => Some(Part::MainThoracic),
            Region::Thoracolumbar | Region::Lumbar => Some(Part::Lower),
            Region::Cervical | Region::Cervicothoracic | Region::Lumbosacral => None,
        }
    }

    /// Its word in ids of facts.
    pub fn key(self) -> &'static str {
        match self {
            Part::ProximalThoracic => "proximal_thoracic",
            Part::MainThoracic => "main_thoracic",
            Part::Lower => "thoracolumbar_lumbar",
        }
    }

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Part::ProximalThoracic => "proximal thoracic",
            Part::MainThoracic => "main thoracic",
            Part::Lower => "thoracolumbar or lumbar",
        }
    }

    /// The stretch whose kyphosis makes its curve structural.
    pub fn kyphosis(self) -> (super::Level, super::Level) {
        use super::Level::{L, T};
        match self {
            Part::ProximalThoracic => (T(2), T(5)),
            Part::MainThoracic | Part::Lower => (T(10), L(2)),
        }
    }
}

/// What is known of a minor curve.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Minor {
    /// Standing.
    pub standing: Option<Reported>,
    /// Bent towards its convexity.
    pub bent: Option<Reported>,
    /// Kyphosis of its stretch on a lateral film.
    pub kyphosis: Option<Reported>,
}

/// Whether a minor curve is structural, and by what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Structural {
    /// Too much of it remains on side-bending.
    ByBending,
    /// By the kyphosis of its stretch.
    ByKyphosis,
    /// It bends out and there is no such kyphosis.
    No,
    /// What is still needed to tell.
    CannotTell {
        /// The film bent towards its convexity.
        bending: bool,
        /// The kyphosis from a lateral film.
        kyphosis: bool,
    },
}

impl Structural {
    /// Yes, no, or open.
    pub fn known(self) -> Option<bool> {
        match self {
            Structural::ByBending | Structural::ByKyphosis => Some(true),
            Structural::No => Some(false),
            Structural::CannotTell { .. } => None,
        }
    }
}

fn reaches(value: Option<Reported>, from: i64) -> Option<bool> {
    value.map(|v| v.compare(Reported::whole(from, Unit::Degree)).is_ge())
}

/// Judges a minor curve ([`STRUCTURAL`]).
///
/// A curve below the limit standing needs no bending film: bent towards its
/// convexity it cannot hold more than it has (ours, and printed as such).
pub fn structural(minor: Minor) -> Structural {
    let stiff = match reaches(minor.bent, BENT_FROM) {
        None => reaches(minor.standing, BENT_FROM).filter(|large| !large),
        known => known,
    };
    match (stiff, reaches(minor.kyphosis, KYPHOSIS_FROM)) {
        (Some(true), _) => Structural::ByBending,
        (_, Some(true)) => Structural::ByKyphosis,
        (Some(false), Some(false)) => Structural::No,
        (stiff, kyphosis) => {
            Structural::CannotTell { bending: stiff.is_none(), kyphosis: kyphosis.is_none() }
        }
    }
}

/// A row of the six types: which parts are structural, which may be major.
struct Row {
    name: &'static str,
    structural: [bool; 3],
    major: &'static [Part],
}

/// The six types ([`SIX_TYPES`]).
const ROWS: [Row; 6] = [
    Row { name: "1", structural: [false, true, false], major: &[Part::MainThoracic] },
    Row { name: "2", structural: [true, true, false], major: &[Part::MainThoracic] },
    Row { name: "3", structural: [false, true, true], major: &[Part::MainThoracic] },
    Row { name: "4", structural: [true, true, true], major: &[Part::MainThoracic, Part::Lower] },
    Row { name: "5", structural: [false, false, true], major: &[Part::Lower] },
    Row { name: "6", structural: [false, true, true], major: &[Part::Lower] },
];

/// What the six types leave of a set of curves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SixType {
    /// One type: `1` to `6`.
    Is(&'static str),
    /// These are still possible.
    Between(Vec<&'static str>),
    /// No row fits.
    NoRow,
}

/// The type of a spine by which parts are structural, from the head down,
/// each known or open, and which is major, if known.
pub fn six_type(structural: [Option<bool>; 3], major: Option<Part>) -> SixType {
    let fits = |row: &&Row| {
        let part = |(known, wanted): (&Option<bool>, &bool)| known.is_none_or(|k| k == *wanted);
        structural.iter().zip(&row.structural).all(part)
            && major.is_none_or(|m| row.major.contains(&m))
    };
    let names: Vec<&'static str> = ROWS.iter().filter(fits).map(|row| row.name).collect();
    match names[..] {
        [] => SixType::NoRow,
        [one] => SixType::Is(one),
        _ => SixType::Between(names),
    }
}

/// The major part of three curves, `None` for a part without one: the larger
/// of the main thoracic and the lower one, the main thoracic one also where
/// the proximal one is the largest. An error holds the size both share, or
/// nothing if neither has a curve.
pub fn major(sizes: [Option<Reported>; 3]) -> Result<Part, Option<Reported>> {
    match (sizes[1], sizes[2]) {
        (Some(main), Some(lower)) => match main.compare(lower) {
            std::cmp::Ordering::Greater => Ok(Part::MainThoracic),
            std::cmp::Ordering::Less => Ok(Part::Lower),
            std::cmp::Ordering::Equal => Err(Some(main)),
        },
        (Some(_), None) => Ok(Part::MainThoracic),
        (None, Some(_)) => Ok(Part::Lower),
        (None, None) => Err(None),
    }
}

/// The sagittal modifier by the kyphosis T5 to T12 ([`SAGITTAL`]).
pub fn sagittal_modifier(t5_t12: Reported) -> &'static str {
    let beside = |bound| t5_t12.compare(Reported::whole(bound, Unit::Degree));
    if beside(SAGITTAL_NORMAL.0).is_lt() {
        "-"
    } else if beside(SAGITTAL_NORMAL.1).is_gt() {
        "+"
    } else {
        "N"
    }
}

/// Share of the width of a body within which a line beside the middle of a
/// pedicle's shadow may or may not touch the shadow: its edge is not marked.
/// Our own bound.
const PEDICLE_HALF: f64 = 0.1;

/// The lumbar modifier where the CSVL passes an apical body: `A` between the
/// pedicles, `B` touching the body or a pedicle, `C` clear of the body
/// ([`SIX_TYPES`]). All positions in one grid, in the patient's axes: the
/// line, the middles of the two pedicles, the two edges of the body. `None`
/// where the line runs so near the middle of a pedicle, on its inner side,
/// that its unmarked edge would decide.
pub fn lumbar_modifier(csvl: f64, pedicles: [f64; 2], body: [f64; 2]) -> Option<&'static str> {
    let ordered = |[a, b]: [f64; 2]| if a < b { (a, b) } else { (b, a) };
    let (edge, far_edge) = ordered(body);
    if csvl < edge || csvl > far_edge {
        return Some("C");
    }
    let (pedicle, far_pedicle) = ordered(pedicles);
    if csvl <= pedicle || csvl >= far_pedicle {
        return Some("B");
    }
    let inside = (csvl - pedicle).min(far_pedicle - csvl);
    (inside > PEDICLE_HALF * (far_edge - edge)).then_some("A")
}

/// The coronal type of an adult: `T`, `L`, `D`, `N`; an error names which of
/// the two, thoracic first, is exactly at the limit and so unassigned. `None`
/// stands for no curve ([`ADULT`]).
pub fn adult_coronal(
    thoracic: Option<Reported>,
    lower: Option<Reported>,
) -> Result<&'static str, [bool; 2]> {
    let limit = Reported::whole(ADULT_FROM, Unit::Degree);
    let at = |value: Option<Reported>| value.is_some_and(|v| v.compare(limit).is_eq());
    let above = |value: Option<Reported>| value.is_some_and(|v| v.compare(limit).is_gt());
    if at(thoracic) || at(lower) {
        return Err([at(thoracic), at(lower)]);
    }
    Ok(match (above(thoracic), above(lower)) {
        (true, false) => "T",
        (false, true) => "L",
        (true, true) => "D",
        (false, false) => "N",
    })
}
