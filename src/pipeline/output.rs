//! The forms in which a letter is written: the pages, and what is made beside
//! them on request.
//!
//! Every step of a build goes through all forms that are asked for in the same
//! way: a form has a word, an ending of its file's name, and a renderer
//! ([`crate::pipeline::Press::set`]).

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

/// A form of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Output {
    /// Pages: tagged, archival. Always made, and first.
    Pdf,
    /// One page for a browser that needs nothing beside itself.
    Html,
    /// Words alone, to be pasted into another record.
    Text,
}

/// The forms that a build is asked for.
pub type Outputs = BTreeSet<Output>;

impl Output {
    /// Every form, in the order in which they are made.
    pub const ALL: [Output; 3] = [Output::Pdf, Output::Html, Output::Text];

    /// Its word on the command line and in reports.
    pub fn word(self) -> &'static str {
        match self {
            Output::Pdf => "pdf",
            Output::Html => "html",
            Output::Text => "text",
        }
    }

    /// The ending of its file's name.
    pub fn ending(self) -> &'static str {
        match self {
            Output::Pdf => "pdf",
            Output::Html => "html",
            Output::Text => "txt",
        }
    }
}

/// The pages, and these forms beside them.
pub fn with_pages(also: &[Output]) -> Outputs {
    also.iter().copied().chain([Output::Pdf]).collect()
}

/// The words of the forms beside the pages; nothing if there are none.
pub fn beside_pages(outputs: &Outputs) -> Option<String> {
    let words: Vec<_> = outputs.iter().filter(|o| **o != Output::Pdf).map(|o| o.word()).collect();
    (!words.is_empty()).then(|| words.join(", "))
}
