//! Whether figures that did not fit left a hole, and whether letting them
//! float to the top of the next page mended it.

use typst::foundations::{Content, Label, NativeElement, Selector};
use typst::introspection::Introspector;
use typst::layout::Abs;
use typst::model::FigureElem;
use typst::utils::PicoStr;
use typst_layout::PagedDocument;

/// A place on the pages: page, then height from its upper edge.
pub type Place = (usize, Abs);

/// A figure that starts this far from the upper edge stands first on its page:
/// the layout's upper margin and a line more.
const FIRST: f64 = 36.0;

/// Whether figures open a page after the first, as they do when the rest of
/// the page before was too short for them.
pub fn pushed(document: &PagedDocument) -> bool {
    figures(document).iter().any(|(page, y)| *page > 1 && *y < Abs::mm(FIRST))
}

/// Whether the letter with floating figures is the better one: no longer, and
/// no figure after the signature.
pub fn mended(floating: &PagedDocument, plain: &PagedDocument) -> bool {
    let end = ending(floating);
    let last = figures(floating).into_iter().max();
    floating.pages().len() <= plain.pages().len() && end.is_some() && last < end
}

/// Where the closing words begin.
pub fn ending(document: &PagedDocument) -> Option<Place> {
    let end = label("ending").map(Selector::Label);
    end.and_then(|s| places(document, &s).last().copied())
}

fn label(name: &str) -> Option<Label> {
    Label::new(PicoStr::intern(name))
}

fn figures(document: &PagedDocument) -> Vec<Place> {
    places(document, &Selector::Elem(FigureElem::ELEM, None))
}

fn places(document: &PagedDocument, selector: &Selector) -> Vec<Place> {
    let introspector = document.introspector();
    let place = |content: &Content| {
        let position = introspector.as_ref().position(content.location()?)?;
        Some((position.page.get(), position.point.y))
    };
    introspector.query(selector).iter().filter_map(place).collect()
}
