//! A letter as one page for a browser: nothing is fetched, nothing runs.
//!
//! The same blocks as on the PDF, told by what they are: headings in order,
//! tables with header cells, figures with their description, the frame as
//! header and footer. Style and drawings stand inside the page; it is printed
//! on the letter's own paper, with patient and draft mark on every sheet.

mod blocks;
mod frame;
mod style;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::svg::Drawn;
use crate::letter::block::{Block, Frame, Letter};

/// What a browser may do with a letter: show it. Pictures stand inside it.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
                      base-uri 'none'; form-action 'none'";

/// The page. A pure function of the letter and its pictures.
pub fn page(letter: &Letter, drawn: &Drawn) -> String {
    let frame = &letter.frame;
    // Without a postal address there is no window to keep clear.
    let window = (frame.recipient.len() > 2).then_some("window");
    let close = frame.pages.map(|_| "close");
    let class = window.into_iter().chain(close).collect::<Vec<_>>().join(" ");
    let named = letter.blocks.iter().any(|b| matches!(b, Block::Heading { level: 1, .. }));
    let page = html! {
        (DOCTYPE)
        html lang=(language(frame)) {
            (head(frame))
            body class=[(!class.is_empty()).then_some(class)] {
                (frame::letterhead(frame))
                main {
                    (frame::opening(frame))
                    @if !named { h1 class="unseen" { (frame.title) } }
                    (blocks::all(&letter.blocks, drawn))
                    (frame::ending(frame))
                }
                (frame::foot(frame))
            }
        }
    };
    let mut page = page.into_string();
    page.push('\n');
    page
}

fn language(frame: &Frame) -> String {
    match &frame.region {
        Some(region) => format!("{}-{region}", frame.language),
        None => frame.language.clone(),
    }
}

fn head(frame: &Frame) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta http-equiv="Content-Security-Policy" content=(POLICY);
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="referrer" content="no-referrer";
            meta name="robots" content="noindex";
            meta name="format-detection" content="telephone=no";
            meta name="generator" content="endplate";
            @if let Some(author) = frame.signature.first() { meta name="author" content=(author); }
            meta name="dcterms.identifier" content=(frame.letter_id);
            meta name="dcterms.date" content=(frame::day(frame));
            title { (frame.title) }
            style { (PreEscaped(style::sheet(frame))) }
        }
    }
}
