//! A drawing as vector graphics inside a page for a browser.
//!
//! The shapes are those of the page's picture, raster pictures lie under them
//! with their bytes inside the page, and words stay words. Each word is given the
//! width it has in the letter's own sans face, so that a drawing keeps its order
//! in whatever face a browser finds.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};

use super::measure::Measure;
use super::picture::{Mm, POINT, colour, round, shapes};
use super::sentences::split;
use crate::letter::block::Figure;
use crate::letter::drawing::{Anchor, Drawing, Pictures, Shape};

/// What drawings need beside themselves.
pub struct Drawn<'a> {
    /// The widths of words.
    pub sans: &'a Measure,
    /// The bytes of raster pictures.
    pub pictures: &'a Pictures,
}

/// The figure's drawing. `id` is unique within the page.
pub fn drawing(figure: &Figure, id: &str, drawn: &Drawn) -> Markup {
    let Drawing { width, height, shapes: all } = &figure.drawing;
    let (title, rest) = told(&figure.alt);
    let (title_id, desc_id) = (format!("{id}-title"), format!("{id}-desc"));
    let described = (!rest.is_empty()).then_some(&desc_id);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img"
            aria-labelledby=(title_id) aria-describedby=[described]
            viewBox={ "0 0 " (Mm(*width)) " " (Mm(*height)) }
            width={ (Mm(*width)) "mm" } height={ (Mm(*height)) "mm" }
        {
            title id=(title_id) { (title) }
            @if !rest.is_empty() { desc id=(desc_id) { (rest) } }
            @for shape in all { (raster(shape, drawn.pictures)) }
            (PreEscaped(shapes(all)))
            @for shape in all { (word(shape, drawn.sans)) }
        }
    }
}

/// The alt text as a name and what is to be said beyond it.
fn told(alt: &str) -> (String, String) {
    let sentences = split(alt);
    match sentences.split_first() {
        Some((first, rest)) => (first.clone(), rest.join(" ")),
        None => (String::new(), String::new()),
    }
}

/// A raster picture, stretched into its box.
fn raster(shape: &Shape, pictures: &Pictures) -> Markup {
    let Shape::Picture { at: (x, y), width, height, digest } = shape else { return html! {} };
    let Some(picture) = pictures.get(digest) else { return html! {} };
    let (media, bytes) = (picture.format.media_type(), STANDARD.encode(&picture.bytes));
    html! {
        image x=(Mm(*x)) y=(Mm(*y)) width=(Mm(*width)) height=(Mm(*height))
            preserveAspectRatio="none" href={ "data:" (media) ";base64," (bytes) } {}
    }
}

fn word(shape: &Shape, sans: &Measure) -> Markup {
    let Shape::Text { at: (x, y), text, size, bold, ink, anchor } = shape else { return html! {} };
    let anchor = match anchor {
        Anchor::Start => None,
        Anchor::Middle => Some("middle"),
        Anchor::End => Some("end"),
    };
    let size = size * POINT;
    let width = round(sans.width(text, *bold) * size);
    html! {
        text x=(Mm(*x)) y=(Mm(*y)) font-size=(Mm(size)) font-weight=[bold.then_some("bold")]
            fill=(colour(*ink)) text-anchor=[anchor]
            textLength=[(width > 0.0).then_some(width)] lengthAdjust="spacingAndGlyphs"
        { (text) }
    }
}
