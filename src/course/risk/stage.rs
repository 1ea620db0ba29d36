//! Risk by stage of hand maturity and size: two tables that disagree, and the
//! grades of radius and ulna.

use super::{Finding, Found, Model, Moment, Said, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};
use crate::spine::region::Region;

/// A share between two printed columns, in per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Between {
    /// At the column at or below the angle.
    pub from: u8,
    /// At the column at or above it.
    pub to: u8,
}

/// Each stage's printed columns: degrees and share in per cent. Where a row
/// says "at most" or "at least", the first or last column carries it on.
const SANDERS_TABLE: [&[(i64, u8)]; 8] = [
    &[(10, 2), (15, 23), (20, 84), (25, 99), (30, 100)],
    &[(10, 0), (15, 11), (20, 92), (25, 100)],
    &[(20, 0), (25, 29), (30, 100)],
    &[(35, 0), (40, 15), (45, 88)],
    &[(40, 0), (45, 1)],
    &[(45, 0)],
    &[(45, 0)],
    &[(45, 0)],
];

/// Probability of reaching surgery by the table of 2008, from memory
/// ([`SANDERS_2008`](works::SANDERS_2008)): between the columns that hold the
/// angle. `None` outside the table: below 10 degrees, above 45 where the last
/// column is not certain, or no such stage.
pub fn sanders_2008(stage: u8, cobb: Reported) -> Option<Between> {
    let row = SANDERS_TABLE.get(usize::from(stage).checked_sub(1)?)?;
    let size = cobb.value();
    let last = *row.last()?;
    if size < 10.0 || (size > last.0 as f64 && last.1 < 100) {
        return None;
    }
    let below = row.iter().rev().find(|c| c.0 as f64 <= size).unwrap_or(&row[0]);
    let above = row.iter().find(|c| c.0 as f64 >= size).unwrap_or(&last);
    Some(Between { from: below.1, to: above.1 })
}

/// Share that progressed in the larger cohort, in per cent
/// ([`SITOULA_2015`](works::SITOULA_2015)): only the cells that were seen.
/// `None` where none was.
pub fn sitoula_2015(stage: u8, cobb: Reported) -> Option<u8> {
    let size = cobb.value().round() as i64;
    match (stage, size) {
        (_, ..10) => None,
        (1..=7, ..=15) => Some(0),
        (5..=7, 16..=30) => Some(0),
        (1, 30) => Some(67),
        (2, 20) => Some(50),
        (3, 30) => Some(43),
        (4, 30) => Some(27),
        (6, 35) => Some(60),
        (1..=6, 40..) => Some(100),
        _ => None,
    }
}

const DISAGREE: &str = "two tables disagree, for instance at stage 3 and 30 degrees: 100 % in the one of 2008, 43 % in the cohort of 2015; both are given";

pub(super) const SANDERS: Model = Model {
    key: "hand_stage_2008",
    items: &[
        ("value", "probability of reaching surgery by stage and size, at least"),
        ("to", "the same, at most"),
    ],
    population: "a small cohort of 2008, idiopathic curves of Lenke types 1 and 3 (main thoracic)",
    caveat: DISAGREE,
    source: Source {
        work: Some(&works::SANDERS_2008),
        grade: Grade::Memory,
        note: "probability by stage and size, with very wide intervals; raters' stages changed the prognosis in 11 %",
    },
    find: sanders,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn sanders(subject: &Subject) -> Found {
    subject.idiopathic()?;
    let stage = subject.stage()?;
    if subject.placed()?.region != Region::MainThoracic {
        return Err(Unfit::Outside("for main thoracic curves; the apex lies elsewhere".into()));
    }
    let found = sanders_2008(stage, subject.cobb).ok_or_else(|| no_cell(stage, subject.cobb))?;
    Ok(vec![
        Finding::percent("value", i64::from(found.from)),
        Finding::percent("to", i64::from(found.to)),
    ])
}

fn no_cell(stage: u8, cobb: Reported) -> Unfit {
    let degrees = cobb.digits();
    Unfit::Outside(format!("the table as known has no cell for stage {stage} at {degrees} degrees"))
}

pub(super) const SITOULA: Model = Model {
    key: "hand_stage_2015",
    items: &[("value", "share that progressed by stage and size")],
    population: "a larger cohort of 2015 with idiopathic curves, stages 1 to 7",
    caveat: "two tables disagree, for instance at stage 3 and 30 degrees: 43 % here, 100 % in the one of 2008; both are given; a cohort of 309 found some risk even at high stages",
    source: Source::read(
        &works::SITOULA_2015,
        "stage / degrees: 1/30 67 %, 2/20 50, 3/30 43, 4/30 27, 6/35 60; none at 15 or less, nor in stages 5 to 7 at 30 or less; all from 40 except stage 7",
    ),
    find: sitoula,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn sitoula(subject: &Subject) -> Found {
    subject.idiopathic()?;
    let stage = subject.stage()?;
    let found = sitoula_2015(stage, subject.cobb).ok_or_else(|| no_cell(stage, subject.cobb))?;
    Ok(vec![Finding::percent("value", i64::from(found))])
}

pub(super) const RADIUS_ULNA: Model = Model {
    key: "radius_ulna",
    items: &[
        ("value", "share that reaches 40 degrees, at least"),
        ("to", "the same, at most"),
        ("late", "share that reaches 50 degrees from radius grade 9"),
    ],
    population: "idiopathic curves with grades of the distal radius and ulna: above 25 degrees at radius 6 and ulna 5, or at radius 9",
    caveat: "figures of other grades and sizes were not seen",
    source: Source::read(
        &works::RADIUS_ULNA_2018,
        "radius 6 / ulna 5 above 25 degrees: 48.1 to 55.5 % reach 40; radius 9: none reaches 50, even from 35 and more",
    ),
    find: by_radius_and_ulna,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn by_radius_and_ulna(subject: &Subject) -> Found {
    subject.idiopathic()?;
    let reader = "the reader of a hand film";
    let radius = subject.radius.ok_or(Unfit::Unknown("the grade of the radius", reader))?;
    if radius == 9 {
        let early = || Said::Nothing(Unfit::Outside("for radius 6; the grade is 9".into()));
        return Ok(vec![
            Finding::new("value", early()),
            Finding::new("to", early()),
            Finding::percent("late", 0),
        ]);
    }
    if radius != 6 {
        return Err(Unfit::Outside(format!("for radius 6 and 9; the grade is {radius}")));
    }
    match subject.ulna.ok_or(Unfit::Unknown("the grade of the ulna", reader))? {
        5 => subject.cobb_above(25)?,
        ulna => return Err(Unfit::Outside(format!("for ulna 5; the grade is {ulna}"))),
    }
    let tenths = |item, share| Finding::tenths(item, share, Unit::Percent);
    let late = Said::Nothing(Unfit::Outside("for radius 9; the grade is 6".into()));
    Ok(vec![tenths("value", 48.1), tenths("to", 55.5), Finding::new("late", late)])
}
