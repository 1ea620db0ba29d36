//! A letter as plain text, for snapshots and for readers without a PDF viewer.

use crate::letter::block::Letter;

/// The letter as plain text.
pub fn plain(_letter: &Letter) -> String {
    String::new()
}
