//! What a rule asks: conditions over facts, as read from a rule file.

use std::cmp::Ordering;

use crate::diag::Place;
use crate::evidence::Work;
use crate::facts::FactId;
use crate::quantity::{Age, Reported, Unit};

/// What kind of value a fact id carries, as the catalogue of facts says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A number of that unit.
    Number(Unit),
    /// An age in years and months.
    Age,
    /// A word of this closed set; an empty set means that the words are not
    /// listed, so that their spelling cannot be checked.
    Word(&'static [&'static str]),
    /// A side of the patient: `left` or `right`.
    Side,
    /// Anything a rule can show but not compare: a date, a level, a text.
    Shown,
}

impl Kind {
    /// The kind in words, for messages.
    pub fn words(self) -> String {
        match self {
            Kind::Number(Unit::One) => "a number without unit".into(),
            Kind::Number(unit) => format!("a number in {}", unit.spellings()[0]),
            Kind::Age => "an age in years or months".into(),
            Kind::Word(_) => "a word".into(),
            Kind::Side => "a side".into(),
            Kind::Shown => "a value that is shown but not compared".into(),
        }
    }
}

/// A condition: a test of one fact, or conditions joined.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// Every part must hold.
    All(Vec<Condition>),
    /// One part at least must hold.
    Any(Vec<Condition>),
    /// The part must not hold.
    Not(Box<Condition>),
    /// One fact against one bound.
    Leaf(Leaf),
}

impl Condition {
    /// Every test of a fact, in the order they are written.
    pub fn leaves(&self) -> Vec<&Leaf> {
        match self {
            Condition::All(parts) | Condition::Any(parts) => {
                parts.iter().flat_map(Condition::leaves).collect()
            }
            Condition::Not(part) => part.leaves(),
            Condition::Leaf(leaf) => vec![leaf],
        }
    }
}

/// One fact against one bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// The fact.
    pub fact: FactId,
    /// The comparison and its bound.
    pub test: Test,
    /// Where the bound comes from.
    pub source: BoundSource,
    /// Where the test is written.
    pub place: Place,
}

/// A comparison with its bound.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Test {
    /// A reported number against a bound of the same unit.
    Number(Op, Reported),
    /// An age in completed months against a bound: `below: 18 years` holds
    /// until the day before the eighteenth birthday.
    Age(Op, Age),
    /// A reported number that must equal one of these (`is`, `in`).
    Numbers(Vec<Reported>),
    /// A word or side that must be one of these (`is`, `in`).
    Words(Vec<String>),
}

impl Test {
    /// The kind of fact that the test can be made on, in words.
    pub fn wants(&self) -> String {
        match self {
            Test::Number(_, bound) => Kind::Number(bound.unit()).words(),
            Test::Numbers(list) => list
                .first()
                .map_or_else(|| "a number".to_string(), |bound| Kind::Number(bound.unit()).words()),
            Test::Age(..) => Kind::Age.words(),
            Test::Words(_) => Kind::Word(&[]).words(),
        }
    }
}

/// A comparison with a bound. The word means what it says: `at_least` and
/// `at_most` hold at the bound itself, `above` and `below` do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Op {
    /// Greater or equal.
    AtLeast,
    /// Greater.
    Above,
    /// Less or equal.
    AtMost,
    /// Less.
    Below,
}

impl Op {
    /// Every comparison.
    pub const ALL: [Op; 4] = [Op::AtLeast, Op::Above, Op::AtMost, Op::Below];

    /// The key in a rule file.
    pub fn key(self) -> &'static str {
        match self {
            Op::AtLeast => "at_least",
            Op::Above => "above",
            Op::AtMost => "at_most",
            Op::Below => "below",
        }
    }

    /// Whether a value that stands so to the bound passes.
    pub fn holds(self, value_to_bound: Ordering) -> bool {
        match self {
            Op::AtLeast => value_to_bound.is_ge(),
            Op::Above => value_to_bound.is_gt(),
            Op::AtMost => value_to_bound.is_le(),
            Op::Below => value_to_bound.is_lt(),
        }
    }
}

/// Where a bound comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoundSource {
    /// The policy that the rule file restates.
    Policy,
    /// A published work, and what in it is meant.
    Work(&'static Work, Option<String>),
    /// Words of the rule's author.
    Words(String),
}
