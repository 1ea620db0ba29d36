//! The stable names of faults, each explained (`endplate explain CODE`).

use serde::Serialize;

use super::Severity;

/// What a code means, for people.
#[derive(Debug)]
pub struct CodeInfo {
    /// The name: a fault in kebab case.
    pub name: &'static str,
    /// Error or warning.
    pub severity: Severity,
    /// What is wrong, in one sentence.
    pub what: &'static str,
    /// Why it matters to a patient or a clinic.
    pub why: &'static str,
    /// The general remedy.
    pub remedy: &'static str,
    /// A few lines of a case file that show the fault.
    pub example: &'static str,
}

macro_rules! codes {
    ($($variant:ident $name:literal $severity:ident {
        what: $what:literal, why: $why:literal, remedy: $remedy:literal, example: $example:literal $(,)?
    })*) => {
        /// The stable name of a kind of fault.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs)]
        pub enum Code { $($variant),* }

        /// Every code with its explanation, in the order of the catalogue.
        pub const CODES: &[(Code, CodeInfo)] = &[
            $((Code::$variant, CodeInfo {
                name: $name, severity: Severity::$severity,
                what: $what, why: $why, remedy: $remedy, example: $example,
            })),*
        ];
    };
}

include!("codes.in");

impl Code {
    /// The explanation.
    pub fn info(self) -> &'static CodeInfo {
        // The table is built in the order of the enum.
        &CODES[self as usize].1
    }

    /// The kebab-case name.
    pub fn name(self) -> &'static str {
        self.info().name
    }

    /// The code of that name.
    pub fn named(name: &str) -> Option<Code> {
        CODES.iter().find(|(_, info)| info.name == name).map(|(code, _)| *code)
    }
}

impl Serialize for Code {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.name())
    }
}
