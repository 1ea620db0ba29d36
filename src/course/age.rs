//! Classes of scoliosis by the age at which it was found.
//!
//! Two published schemes differ at three years. The default is the one that
//! was read ([`BJF`](works::BJF)): infantile to three completed years,
//! juvenile four to nine, adolescent from ten. The other (infantile below
//! three) is known from memory only and must be chosen. Adult from eighteen
//! is from memory in both. Ages are completed years.

use std::fmt;

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
        f.write_str(match self {
            OnsetClass::Infantile => "infantile",
            OnsetClass::Juvenile => "juvenile",
            OnsetClass::Adolescent => "adolescent",
            OnsetClass::Adult => "adult",
        })
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
