//! The care protocol: which steps of care the rows in force allow, from the
//! least to the most, and how soon the patient is seen again.
//!
//! A row says for whom it speaks, of which sizes, and the least and the most
//! it allows, with its standing. The best founded rows that hold set the
//! range; conflicting ones of one standing both count. It proposes nothing:
//! it holds the recorded plan against the range. It must not know letters or
//! files; cases only for the plan that was recorded.

mod as_facts;
mod check;
mod evaluate;
mod plan;
mod read;
mod step;

pub(super) use as_facts::{missing_item, verdict};
pub use as_facts::{write, write_absent};
pub use check::check;
pub use evaluate::{FollowUpVerdict, Judged, Range, RowVerdict, evaluate};
pub use plan::{Planned, planned};
pub use read::read;
pub(super) use read::{list, repeated};
pub use step::{Step, StepKind};

use chrono::NaiveDate;

use crate::case::Choice;
use crate::diag::{Located, Place};
use crate::quantity::{PartialDate, Reported};

use super::condition::Condition;
use super::edition::Validity;
use super::standing::Basis;

/// A care protocol with its editions.
#[derive(Debug, Clone)]
pub struct Protocol {
    /// Its name, as letters print it.
    pub name: Located<String>,
    /// Editions; no two are in force on one day.
    pub editions: Vec<Edition>,
    /// Where the file begins.
    pub place: Place,
}

impl Protocol {
    /// The edition in force on a letter's date.
    pub fn edition_on(&self, day: NaiveDate) -> Option<&Edition> {
        self.editions.iter().find(|edition| edition.validity.holds(day))
    }
}

/// One dated edition.
#[derive(Debug, Clone)]
pub struct Edition {
    /// How it is dated.
    pub edition: Located<PartialDate>,
    /// When it is in force.
    pub validity: Validity,
    /// Hours a day that a plan's words mean where no hours are recorded.
    pub braces: Vec<BraceWord>,
    /// Rows of all tables, in the order of the file.
    pub rows: Vec<Row>,
    /// How soon the patient is seen again.
    pub follow_up: Vec<FollowUp>,
    /// Where it is written.
    pub place: Place,
}

/// What a plan's word means in hours a day.
#[derive(Debug, Clone)]
pub struct BraceWord {
    /// `night brace`, `part-time brace` or `full-time brace`.
    pub word: Choice,
    /// Fewest hours a day.
    pub from: Reported,
    /// Most hours a day.
    pub to: Reported,
}

/// One row: whom it speaks of, and what it allows.
#[derive(Debug, Clone)]
pub struct Row {
    /// Its id, part of fact ids.
    pub id: Located<String>,
    /// When it holds: the table's condition, the size band, its own condition.
    pub when: Condition,
    /// The least it allows.
    pub least: Step,
    /// The most it allows.
    pub most: Step,
    /// How well it is founded.
    pub basis: Basis,
    /// Where it is written.
    pub place: Place,
}

/// An interval between visits.
#[derive(Debug, Clone)]
pub struct FollowUp {
    /// Its id, part of fact ids.
    pub id: Located<String>,
    /// When it holds.
    pub when: Condition,
    /// Months to the next visit.
    pub months: Reported,
    /// Months from film to film, where the row says so.
    pub film_months: Option<Reported>,
    /// How well it is founded.
    pub basis: Basis,
    /// Where it is written.
    pub place: Place,
}
