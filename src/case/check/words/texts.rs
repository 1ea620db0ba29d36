//! Every free text of a case that can reach a letter, with the way to it.
//!
//! Found by the field table, so that a new field of that kind is looked at
//! too. Left out are words that are somebody else's by their place: a payer's
//! reason for a denial, relatives, and corrections, which tell what was wrong.

use crate::case::address;
use crate::case::field::{CASE, Field, Kind, Record};
use crate::case::node::Node;
use crate::diag::Place;

/// Records whose texts are not the clinic’s word on this patient now, or (places on
/// a brace) are held against their own side where it is recorded.
const NOT_OURS: &[&str] = &["relative", "correction", "pad", "relief", "change"];

/// Lines of text that are free all the same; other lists of lines are codes,
/// addresses and names of records.
const ALSO: (&str, &str) = ("background", "conditions");

/// A free text.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeText {
    /// `letter l1 / remarks`.
    pub path: String,
    /// As typed.
    pub words: String,
    /// Where it stands.
    pub place: Place,
}

/// The free texts of a case, in the order of its file.
pub fn texts(tree: &Node) -> Vec<FreeText> {
    address::entries_of(tree, &CASE, &is_free)
        .into_iter()
        .map(|(path, entry)| FreeText { path, words: entry.text, place: entry.place })
        .collect()
}

/// Whether a field of a record holds free text.
fn is_free(record: &Record, field: &Field) -> bool {
    let payers_words = record.name == "reason" && field.key == "text";
    let free = long(&field.kind) || (record.name, field.key) == ALSO;
    free && !NOT_OURS.contains(&record.name) && !payers_words
}

fn long(kind: &Kind) -> bool {
    match kind {
        Kind::LongText | Kind::ByName(_, Kind::Text) => true,
        Kind::List(inner) | Kind::OneOrMore(inner) | Kind::ByName(_, inner) => long(inner),
        _ => false,
    }
}
