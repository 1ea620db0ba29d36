//! What was decided for the maker of a brace or cast, and at a fitting.
//!
//! Where a pad presses or a relief gives room is typed: levels from the
//! patient's own column, the patient's own side. What it is stays in the
//! words of whoever decided.

use super::model::{InLanguages, Opt, WearWhen, words};
use crate::diag::{Located, Place};
use crate::quantity::{HoursPerDay, PartialDate};
use crate::spine::{Column, Level, Side};

words!(
    /// On which of the patient's sides a pad or relief lies.
    PadSide { Left = "left", Right = "right", Both = "both" }
);
words!(
    /// On which face of the trunk a pad or relief lies.
    Face { Back = "back", Front = "front", Flank = "flank" }
);
words!(
    /// Where a brace is opened; the sides are the patient's.
    Opening { Back = "back", Front = "front", Left = "left", Right = "right" }
);
words!(
    /// What was decided at a fitting about the brace or cast itself.
    Decision { Accept = "accept", Adjust = "adjust", Remake = "remake" }
);

impl PadSide {
    /// The side, where it is one alone.
    pub fn one(self) -> Option<Side> {
        match self {
            PadSide::Left => Some(Side::Left),
            PadSide::Right => Some(Side::Right),
            PadSide::Both => None,
        }
    }
}

/// What was decided for the maker.
#[derive(Debug, Clone)]
pub struct Order {
    /// Id of who decided.
    pub by: Opt<String>,
    /// Where it presses.
    pub pads: Vec<Spot>,
    /// Where it gives room.
    pub reliefs: Vec<Spot>,
    /// Upper and lower edges, as written.
    pub trim: Opt<String>,
    /// Where it is opened.
    pub opening: Opt<Opening>,
    /// How it is closed, as written.
    pub closure: Opt<String>,
    /// Of what it is made, as written.
    pub material: Opt<String>,
    /// What lies on the skin, as written.
    pub lining: Opt<String>,
    /// How the shape of the trunk was or will be taken, as written.
    pub shape: Opt<String>,
    /// Hours a day it is made for.
    pub hours: Opt<HoursPerDay>,
    /// When in the day it is made to be worn.
    pub when: Opt<WearWhen>,
    /// How wearing begins, as written.
    pub step_in: Opt<String>,
    /// When it is wanted.
    pub deliver_by: Opt<PartialDate>,
    /// When the first film in it is due.
    pub check_by: Opt<PartialDate>,
    /// Id of the person of the clinic whom the maker rings.
    pub ring: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// A pad or a relief.
#[derive(Debug, Clone)]
pub struct Spot {
    /// The level, or the upper end of a stretch.
    pub level: Located<Level>,
    /// The lower end of a stretch.
    pub to: Opt<Level>,
    /// The patient's side.
    pub side: Located<PadSide>,
    /// The face of the trunk.
    pub face: Opt<Face>,
    /// What it is, as written.
    pub what: Located<String>,
    /// Where the record stands.
    pub place: Place,
}

/// Something to be changed on a brace or cast.
#[derive(Debug, Clone)]
pub struct Change {
    /// The level, or the upper end of a stretch.
    pub level: Opt<Level>,
    /// The lower end of a stretch.
    pub to: Opt<Level>,
    /// The patient's side.
    pub side: Opt<PadSide>,
    /// The face of the trunk.
    pub face: Opt<Face>,
    /// What is to be changed, as written.
    pub what: Located<String>,
    /// The same in other languages, by tag.
    pub what_in: InLanguages,
    /// Where the record stands.
    pub place: Place,
}

impl Spot {
    /// The lowest level it covers.
    pub fn lower(&self) -> Level {
        self.to.as_ref().map_or(self.level.value, |to| to.value)
    }

    /// From its upper to its lower level, counted from the head down; nothing
    /// if the patient lacks one of them.
    pub fn reach(&self, column: Column) -> Option<(usize, usize)> {
        Some((column.index(self.level.value)?, column.index(self.lower())?))
    }
}
