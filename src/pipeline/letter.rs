//! One letter, from a checked case to bytes.

use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::Report;

/// A finished letter.
#[derive(Debug, Clone)]
pub struct Made {
    /// The document.
    pub pdf: Vec<u8>,
    /// What the clinic should know although the letter was made.
    pub warnings: Report,
}

/// What makes a letter: the same for every worker, without state of its own.
pub type Make = dyn Fn(&Case, &LetterEntry, &Clinic) -> Result<Made, Report> + Sync;
