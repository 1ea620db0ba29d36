//! Classes of scoliosis by the age at which it was found.
//!
//! Two published schemes differ at three years. The default is the one that
//! was read ([`BJF`](works::BJF)): infantile to three completed years,
//! juvenile four to nine, adolescent from ten. The other (infantile below
//! three) is known from memory only and must be chosen. Adult from eighteen
//! is from memory in both. Ages are completed years.

use std::fmt;

use chrono::NaiveDate;
use serde::Serialize;

use crate::evidence::{Grade, Source, works};
use crate::quantity::Age;

/// A class by age at onset or finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
#[allow(missing_docs)]
pub enum OnsetClass {
    Infantile,
    Juvenile,
    Adolescent,
    Adult,
}

impl fmt::Display for OnsetClass {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Whose classes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OnsetScheme {
    /// Infantile 0 to 3, juvenile 4 to 9, adolescent from 10.
    #[default]
    ThreeIncluded,
    /// Infantile below 3, juvenile 3 to 9, adolescent 10 to 17.
    BelowThree,
}

impl OnsetScheme {
    /// First completed year of the juvenile class.
    fn juvenile_from(self) -> u32 {
        match self {
            OnsetScheme::ThreeIncluded => 4,
            OnsetScheme::BelowThree => 3,
        }
    }

    /// Where the scheme comes from.
    pub fn source(self) -> Source {
        match self {
            OnsetScheme::ThreeIncluded => Source::read(
                &works::BJF,
                "infantile to 3 years, juvenile 4 to 9, adolescent from 10; adult from 18 added",
            ),
            OnsetScheme::BelowThree => Source {
                work: Some(&works::SOSORT_2016),
                grade: Grade::Memory,
                note: "infantile below 3 years, juvenile 3 to 9, adolescent 10 to 17",
            },
        }
    }
}

/// First completed year of the adult class (from memory).
const ADULT_FROM: u32 = 18;
/// First completed year of the adolescent class.
const ADOLESCENT_FROM: u32 = 10;

/// The class of an age.
pub fn onset_class(age: Age, scheme: OnsetScheme) -> OnsetClass {
    match age.years {
        years if years >= ADULT_FROM => OnsetClass::Adult,
        years if years >= ADOLESCENT_FROM => OnsetClass::Adolescent,
        years if years >= scheme.juvenile_from() => OnsetClass::Juvenile,
        _ => OnsetClass::Infantile,
    }
}

impl OnsetScheme {
    /// The scheme that puts the end of the infantile class elsewhere.
    pub fn other(self) -> OnsetScheme {
        match self {
            OnsetScheme::ThreeIncluded => OnsetScheme::BelowThree,
            OnsetScheme::BelowThree => OnsetScheme::ThreeIncluded,
        }
    }

    /// Where the infantile class ends, in words.
    pub fn word(self) -> &'static str {
        match self {
            OnsetScheme::ThreeIncluded => "infantile to 3",
            OnsetScheme::BelowThree => "infantile below 3",
        }
    }
}

impl OnsetClass {
    /// The word of the class.
    pub fn word(self) -> &'static str {
        match self {
            OnsetClass::Infantile => "infantile",
            OnsetClass::Juvenile => "juvenile",
            OnsetClass::Adolescent => "adolescent",
            OnsetClass::Adult => "adult",
        }
    }

    /// The class of that word.
    pub fn from_word(word: &str) -> Option<OnsetClass> {
        let all = [
            OnsetClass::Infantile,
            OnsetClass::Juvenile,
            OnsetClass::Adolescent,
            OnsetClass::Adult,
        ];
        all.into_iter().find(|class| class.word() == word)
    }
}

/// The classes of the first and the last day that a vague date can mean, days
/// before birth left out; `None` if all of it lies before birth.
pub fn onset_classes(
    born: NaiveDate,
    first: NaiveDate,
    last: NaiveDate,
    scheme: OnsetScheme,
) -> Option<(OnsetClass, OnsetClass)> {
    let class = |day| Some(onset_class(Age::on(born, day)?, scheme));
    Some((class(first.max(born))?, class(last)?))
}
