//! Red flags: findings that ask for imaging or a specialist's opinion.
//!
//! Each rule says in which patients it speaks, what it weighs and what it
//! rests on. A rule of weight `enough alone` counts when it holds; rules that
//! only add weight count when two of them hold together. What counts is told
//! and waits for an answer (who, when, why); nothing is ordered by it. It
//! must not know letters or files; of cases only the recorded answers and,
//! for warnings that quote them, free texts.

mod as_facts;
mod check;
mod evaluate;
mod read;

pub use as_facts::{write, write_absent};
pub use check::{Warned, check, open, quoted, unasked, unknown};
pub use evaluate::{Counts, FlagVerdict, evaluate};
pub use read::read;

use chrono::NaiveDate;

use crate::case::LetterKind;
use crate::diag::{Located, Place};
use crate::facts::FactId;
use crate::quantity::PartialDate;

use super::condition::Condition;
use super::edition::Validity;
use super::standing::Basis;

/// How many rules that only add weight count together.
pub const TOGETHER: usize = 2;

/// A set of red flags with its editions.
#[derive(Debug, Clone)]
pub struct RedFlags {
    /// Its name.
    pub name: Located<String>,
    /// Editions; no two are in force on one day.
    pub editions: Vec<Edition>,
    /// Where the file begins.
    pub place: Place,
}

impl RedFlags {
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
    /// The rules, in the order of the file.
    pub flags: Vec<Flag>,
    /// Where it is written.
    pub place: Place,
}

/// How much a flag weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// It counts together with another one.
    AddsWeight,
    /// It counts by itself.
    EnoughAlone,
}

impl Weight {
    /// The words of a rule file.
    pub const WORDS: &'static [&'static str] = &["adds weight", "enough alone"];

    /// The word.
    pub fn word(self) -> &'static str {
        Weight::WORDS[self as usize]
    }
}

/// One rule.
#[derive(Debug, Clone)]
pub struct Flag {
    /// Its id, part of fact ids; answers name it.
    pub id: Located<String>,
    /// What it says, as letters print it: `night pain`.
    pub says: Located<String>,
    /// When it holds, the patients it speaks of included.
    pub when: Condition,
    /// How much it weighs.
    pub weight: Weight,
    /// The letter it proposes.
    pub letter: LetterKind,
    /// A fact whose day an answer may not precede: a finding that came after
    /// the answer is not answered by it.
    pub since: Option<FactId>,
    /// How well it is founded.
    pub basis: Basis,
    /// Where it is written.
    pub place: Place,
}
