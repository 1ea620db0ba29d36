//! Whether a letter runs over onto a page that holds little.
//!
//! A family that finds a signature alone on a second page may never turn it;
//! such a letter is set once more, a little closer, and kept if that saves the
//! page.

use typst::layout::Abs;
use typst_layout::PagedDocument;

use super::float;

/// The last page holds little if the closing words begin this far from its
/// upper edge or sooner: a third of a sheet of paper.
const LITTLE: f64 = 95.0;

/// Whether the last page of several holds little beside the signature.
pub fn spills(document: &PagedDocument) -> bool {
    let last = document.pages().len();
    let end = float::ending(document);
    last > 1 && end.is_some_and(|(page, y)| page == last && y < Abs::mm(LITTLE))
}
