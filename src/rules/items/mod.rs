//! Item codes of spinal orthoses: what they describe, and contradictions.
//!
//! A code is only ever the one a clinician recorded in a request; nothing here
//! chooses one. The table is a data file with its edition
//! (`templates/rules/codes/`), which a clinic may replace by its own; its
//! descriptors are in our words. This room must not know letters or files.

mod check;
mod date;
mod read;

pub use check::{Listed, against_diagnosis, check, say_scoliosis};
pub use date::{LIFETIME, LIFETIME_YEARS, last_authorised_day, useful_lifetime};
pub use read::read;

use crate::case::{Made, OrthosisClass};
use crate::diag::{Located, Place};

/// The item codes in force.
#[derive(Debug, Clone)]
pub struct ItemTable {
    /// The code set.
    pub set: String,
    /// Its edition, in words.
    pub edition: String,
    /// First day of that edition.
    pub valid_from: chrono::NaiveDate,
    /// The items, in the order of the file.
    pub items: Vec<Item>,
}

impl ItemTable {
    /// The item of a code.
    pub fn item(&self, code: &str) -> Option<&Item> {
        self.items.iter().find(|item| item.code.value == code)
    }
}

/// One code.
#[derive(Debug, Clone)]
pub struct Item {
    /// The code.
    pub code: Located<String>,
    /// The class of orthosis it is of.
    pub class: ItemClass,
    /// What part it plays in a request.
    pub kind: ItemKind,
    /// How its descriptor says it is made.
    pub build: Build,
    /// What it describes, in our words.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $($(#[$vdoc])* $variant),* }

        impl $name {
            /// The words of a table.
            pub const WORDS: &'static [&'static str] = &[$($word),*];

            /// The word as it stands in a table.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),* }
            }

            /// The value of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some($name::$variant),)* _ => None }
            }
        }
    };
}

words!(
    /// The class of orthosis that a code is of.
    ItemClass {
        /// Chest, loin and sacrum.
        Tlso = "TLSO",
        /// With the neck.
        Ctlso = "CTLSO",
        /// Loin and sacrum.
        Lso = "LSO",
        /// Loin alone.
        Lumbar = "lumbar",
        /// Sacrum and pelvis.
        Sacroiliac = "sacroiliac",
        /// The code says none.
        Any = "any",
    }
);

words!(
    /// What part a code plays in a request.
    ItemKind {
        /// A whole orthosis.
        Base = "base",
        /// A whole prefabricated item that takes no custom addition.
        Complete = "complete",
        /// An addition to an orthosis of the scoliosis section.
        Addition = "addition",
        /// What may stand beside any orthosis.
        Accessory = "accessory",
    }
);

words!(
    /// How a descriptor says that the item is made.
    Build {
        /// From raw material for one patient.
        CustomFabricated = "custom fabricated",
        /// Prefabricated, altered by somebody with expertise.
        CustomFitted = "custom fitted",
        /// Prefabricated, no expertise asked.
        OffTheShelf = "off the shelf",
        /// Prefabricated, fitting included; the descriptor says no more.
        Prefabricated = "prefabricated",
        /// The descriptor does not say.
        NotStated = "not stated",
    }
);

impl ItemClass {
    /// Whether a code of the class may ask for an orthosis of another.
    pub fn fits(self, class: OrthosisClass) -> bool {
        match self {
            ItemClass::Any => true,
            ItemClass::Tlso => class == OrthosisClass::Tlso,
            ItemClass::Ctlso => class == OrthosisClass::Ctlso,
            ItemClass::Lso => class == OrthosisClass::Lso,
            ItemClass::Lumbar | ItemClass::Sacroiliac => false,
        }
    }
}

impl Build {
    /// Whether an item so described is made that way. Custom fitted and off
    /// the shelf are both prefabricated.
    pub fn fits(self, made: Made) -> bool {
        match self {
            Build::NotStated => true,
            Build::CustomFabricated => made == Made::CustomFabricated,
            Build::CustomFitted => made == Made::CustomFitted,
            Build::OffTheShelf => made == Made::OffTheShelf,
            Build::Prefabricated => made != Made::CustomFabricated,
        }
    }
}
