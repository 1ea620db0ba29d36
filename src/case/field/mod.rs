//! The field table: every key of a case file and of the clinic's file, once.
//!
//! A [`Record`] lists its [`Field`]s; a field's [`Kind`] says what may stand
//! there. The reader checks against the table, the JSON Schema is written
//! from it, and a key that is not here does not exist. Pure data: no reading,
//! no words of complaint.

mod case;
mod clinic;
mod order;

pub use case::{ANSWER, CASE, CONTACT, DIAGNOSIS, FILM, FLAGS, PATIENT, TREATMENT};
pub use clinic::CLINIC;

use crate::quantity::Unit;

/// Tags of the languages that letters are written in.
pub const LANGUAGES: &[&str] = &["en", "es"];

/// A record: which keys it may have.
#[derive(Debug)]
pub struct Record {
    /// What it is, in messages: `film`, `reading`.
    pub name: &'static str,
    /// What it means, in one sentence.
    pub doc: &'static str,
    /// Its keys, in the order in which they are usually written.
    pub fields: &'static [Field],
    /// Of these keys at least one must be given.
    pub any_of: &'static [&'static str],
}

impl Record {
    /// The field of a key.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|f| f.key == key)
    }
}

/// One key of a record.
#[derive(Debug)]
pub struct Field {
    /// The key as written.
    pub key: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// Whether the record is useless without it.
    pub required: bool,
    /// What it means, in one sentence.
    pub doc: &'static str,
    /// A value as it would be written.
    pub example: &'static str,
}

/// What may stand as a value.
#[derive(Debug)]
pub enum Kind {
    /// One line of text.
    Text,
    /// Text of any number of lines.
    LongText,
    /// An id: letters, digits, `-` and `_`.
    Id,
    /// The id of something else; the word says of what.
    Reference(&'static str),
    /// The path of a file in the clinic's folder, relative to the case file.
    Path,
    /// An ISO date at least this precise.
    Date(Precision),
    /// A number with a unit.
    Quantity(Amount),
    /// A distance toward a side of the patient: `12 mm right`; zero has none.
    Toward(Amount),
    /// An angle or a height difference with the patient's higher side:
    /// `4 deg left up`; zero has none.
    Higher(Amount),
    /// A pain rating: `6/10`.
    Pain,
    /// A score, by the key it stands under.
    Score,
    /// The answer to one question: points in a range, `none` if it was left
    /// open, `two` if two answers were marked.
    Answer(u8, u8),
    /// A vertebra.
    Level,
    /// A vertebra or the disc between two neighbours.
    Apex,
    /// One word of a list.
    Word(&'static [&'static str]),
    /// `none` or the id of a treatment.
    Support,
    /// A whole number in a range.
    Whole(i64, i64),
    /// `true` or `false`.
    Flag,
    /// A record.
    Record(&'static Record),
    /// A list of records.
    Records(&'static Record),
    /// A list of such values.
    List(&'static Kind),
    /// One such value or a list of them, at least one.
    OneOrMore(&'static Kind),
    /// From a level to such a value.
    ByLevel(&'static Kind),
    /// From a name to such a value; the names in common use are listed, and a
    /// near miss of one of them is refused.
    ByName(&'static [&'static str], &'static Kind),
}

/// The coarsest precision a date may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Precision {
    /// The day must be known.
    Day,
    /// A month is enough.
    Month,
    /// A year is enough.
    Year,
}

/// What a quantity may be: its usual unit, others allowed, and the range
/// outside of which it must be a slip of the pen, in the usual unit.
#[derive(Debug, Clone, Copy)]
pub struct Amount {
    /// The unit shown in examples.
    pub unit: Unit,
    /// Other units allowed, each convertible to the first.
    pub also: &'static [Unit],
    /// Smallest plausible value.
    pub low: f64,
    /// Largest plausible value.
    pub high: f64,
}

impl Amount {
    const fn new(unit: Unit, low: f64, high: f64) -> Amount {
        Amount { unit, also: &[], low, high }
    }

    /// Every unit allowed, the usual one first.
    pub fn units(&self) -> impl Iterator<Item = Unit> {
        std::iter::once(self.unit).chain(self.also.iter().copied())
    }
}

const fn required(
    key: &'static str,
    kind: Kind,
    doc: &'static str,
    example: &'static str,
) -> Field {
    Field { key, kind, required: true, doc, example }
}

const fn optional(
    key: &'static str,
    kind: Kind,
    doc: &'static str,
    example: &'static str,
) -> Field {
    Field { key, kind, required: false, doc, example }
}

const fn record(name: &'static str, doc: &'static str, fields: &'static [Field]) -> Record {
    Record { name, doc, fields, any_of: &[] }
}
