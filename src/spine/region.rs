//! The region of a curve, by its apex.
//!
//! Published for twelve thoracic and five lumbar vertebrae: proximal thoracic
//! T3 to T5, main thoracic T6 to the T11-12 disc, thoracolumbar T12 to L1,
//! lumbar from the L1-2 disc to L4
//! ([`AO_LENKE`](crate::evidence::works::AO_LENKE)). What the source leaves
//! open is settled here and marked as ours: T2 and the discs beside T2 and T5
//! (thoracic by [`SRS_GLOSSARY`](crate::evidence::works::SRS_GLOSSARY), which
//! counts T2 to T11), the ends of the column, and columns with other counts,
//! where the last thoracic vertebra takes the place of T12 and the last but
//! one lumbar that of L4.

use std::fmt;

use serde::Serialize;

use super::{Apex, Column, Level};
use crate::evidence::{Source, works};

/// The region of a curve of the frontal plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Region {
    /// Apex above C7.
    Cervical,
    /// Apex C7 to the T1-2 disc.
    Cervicothoracic,
    /// Apex T2 to T5.
    ProximalThoracic,
    /// Apex from the T5-6 disc to the disc above the last thoracic vertebra.
    MainThoracic,
    /// Apex at the last thoracic vertebra, L1 or the disc between.
    Thoracolumbar,
    /// Apex from the L1-2 disc to the last but one lumbar vertebra.
    Lumbar,
    /// Apex below that.
    Lumbosacral,
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Region::Cervical => "cervical",
            Region::Cervicothoracic => "cervicothoracic",
            Region::ProximalThoracic => "proximal thoracic",
            Region::MainThoracic => "main thoracic",
            Region::Thoracolumbar => "thoracolumbar",
            Region::Lumbar => "lumbar",
            Region::Lumbosacral => "lumbosacral",
        })
    }
}

const PUBLISHED: Source =
    Source::read(&works::AO_LENKE, "regions by apex: T3-T5, T6 to T11-12, T12-L1, L1-2 to L4");
const UPPER_THORACIC: Source =
    Source::read(&works::SRS_GLOSSARY, "thoracic apex T2 to T11; named proximal thoracic here");
const JUNCTION: Source = Source::read(&works::REGION_TABLE, "cervicothoracic apex C7 to T1");
const OURS: Source = Source::definition(
    "the published regions name no such apex; the nearest is taken, counted from the \
     thoracolumbar junction and the ends of the column",
);

/// The region of an apex and where that assignment comes from; `None` if the
/// person has no such level.
pub fn region(apex: Apex, column: Column) -> Option<(Region, Source)> {
    let at = column.apex_index(apex)?;
    let index = |level| column.index(level).map(|i| i as f64);
    let last_thoracic = index(Level::T(column.thoracic()))?;
    let first_lumbar = index(Level::L(1))?;
    let last_lumbar = index(Level::L(column.lumbar()))?;
    let region = if at < index(Level::C(7))? {
        Region::Cervical
    } else if at < index(Level::T(2))? {
        Region::Cervicothoracic
    } else if at <= index(Level::T(5))? {
        Region::ProximalThoracic
    } else if at < last_thoracic {
        Region::MainThoracic
    } else if at <= first_lumbar {
        Region::Thoracolumbar
    } else if at < last_lumbar - 0.5 {
        Region::Lumbar
    } else {
        Region::Lumbosacral
    };
    Some((region, source(region, at, column)))
}

fn source(region: Region, at: f64, column: Column) -> Source {
    let between = |upper: Level, lower: Level, beyond: f64| {
        let index = |level| column.index(level).map_or(f64::NAN, |i| i as f64);
        at >= index(upper) && at <= index(lower) + beyond
    };
    let usual_junction = column.thoracic() == Column::default().thoracic();
    match region {
        Region::Cervicothoracic if between(Level::C(7), Level::T(1), 0.0) => JUNCTION,
        Region::ProximalThoracic if between(Level::T(3), Level::T(5), 0.0) => PUBLISHED,
        Region::ProximalThoracic => UPPER_THORACIC,
        Region::MainThoracic if between(Level::T(6), Level::T(11), 0.5) => PUBLISHED,
        Region::Thoracolumbar if usual_junction => PUBLISHED,
        Region::Lumbar if between(Level::L(1), Level::L(4), 0.0) => PUBLISHED,
        _ => OURS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(text: &str, column: Column) -> Region {
        region(column.parse_apex(text).unwrap(), column).unwrap().0
    }

    #[test]
    fn other_counts_move_the_junction() {
        let long = Column::new(13, 5).unwrap();
        assert_eq!(named("T12", long), Region::MainThoracic);
        assert_eq!(named("T12-T13", long), Region::MainThoracic);
        assert_eq!(named("T13", long), Region::Thoracolumbar);
        let short = Column::new(11, 5).unwrap();
        assert_eq!(named("T10-T11", short), Region::MainThoracic);
        assert_eq!(named("T11", short), Region::Thoracolumbar);
        let six = Column::new(12, 6).unwrap();
        assert_eq!(named("L5", six), Region::Lumbar);
        assert_eq!(region(Apex::Vertebra(Level::T(13)), Column::default()), None);
    }
}
