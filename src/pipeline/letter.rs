//! One letter, from a checked case to bytes.

use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::{Code, Report};

use super::io::Folder;

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

/// The maker of letters with the templates and fonts of a clinic's folder.
pub fn maker(_folder: &Folder) -> Box<Make> {
    Box::new(|_, entry, _| {
        let mut report = Report::default();
        let message = format!("letters of kind {} cannot be made yet", entry.kind.word());
        report.add(Code::InternalFault, &entry.kind.place, message);
        Err(report)
    })
}
