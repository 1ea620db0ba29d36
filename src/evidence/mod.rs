//! What is known, from whom, and how well.
//!
//! A [`Work`] is a publication; a [`Source`] points into one and says how the
//! figure was seen; a [`Constant`] carries value, unit and source together.
//! A figure from memory is data with its grade: it decides nothing until a
//! clinic adopts it. This room knows no case.

pub mod works;

use serde::Serialize;

use crate::quantity::Unit;

/// How well a figure or formula is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Read in the publication or its abstract.
    Read,
    /// Computed from a published formula.
    Computed,
    /// From memory, not yet seen in print.
    Memory,
    /// From memory with little confidence.
    WeakMemory,
    /// What the trade does; no source.
    CommonPractice,
    /// By definition: arithmetic or geometry that needs no study.
    Definition,
    /// The clinic's own setting.
    ClinicSetting,
}

impl Grade {
    /// The grade in words, for `explain`.
    pub fn words(self) -> &'static str {
        match self {
            Grade::Read => "read in the source",
            Grade::Computed => "computed from the published formula",
            Grade::Memory => "from memory, not yet seen in print",
            Grade::WeakMemory => "from memory with little confidence",
            Grade::CommonPractice => "common practice, no source",
            Grade::Definition => "by definition",
            Grade::ClinicSetting => "the clinic's own setting",
        }
    }
}

/// A published work.
#[derive(Debug, PartialEq, Eq)]
pub struct Work {
    /// Short name used in code, tests and `explain`.
    pub key: &'static str,
    /// Authors, title or journal, year, volume, pages: enough to find it.
    pub citation: &'static str,
}

/// Where a figure comes from and how well that is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The publication; none for definitions, settings and common practice.
    pub work: Option<&'static Work>,
    /// How it is known.
    pub grade: Grade,
    /// What in the work is meant, or a caveat on it.
    pub note: &'static str,
}

impl Source {
    /// A source that was read.
    pub const fn read(work: &'static Work, note: &'static str) -> Source {
        Source { work: Some(work), grade: Grade::Read, note }
    }

    /// A definition that needs no study.
    pub const fn definition(note: &'static str) -> Source {
        Source { work: None, grade: Grade::Definition, note }
    }

    /// What the trade does without a source.
    pub const fn common_practice(note: &'static str) -> Source {
        Source { work: None, grade: Grade::CommonPractice, note }
    }

    /// One line: citation, note and grade.
    pub fn line(&self) -> String {
        let mut parts = Vec::new();
        if let Some(work) = self.work {
            parts.push(work.citation.to_string());
        }
        if !self.note.is_empty() {
            parts.push(self.note.to_string());
        }
        parts.push(format!("({})", self.grade.words()));
        parts.join(" ")
    }
}

/// A published figure with its unit and source.
#[derive(Debug, Clone, Copy)]
pub struct Constant {
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// Where it comes from.
    pub source: Source,
}
