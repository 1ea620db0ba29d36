//! The body: each block as what it is.

use maud::{Markup, html};

use crate::letter::block::{Align, Block, Figure, Inline};
use crate::render::picture::Mm;
use crate::render::svg::{self, Drawn};
use crate::render::text::words;

/// Values up to this length stay on one line, as on the pages.
const KEPT: usize = 24;
/// Cells longer than this make a table one of sentences, with rules between
/// its rows.
const SENTENCE: usize = 36;
/// Tables with more columns than this may be wider than a small screen.
const NARROW: usize = 4;
/// Tables with more rows than this may break between pages.
const SHORT: usize = 8;

/// All blocks, in order.
pub fn all(blocks: &[Block], drawn: &Drawn) -> Markup {
    html! {
        @for (n, each) in blocks.iter().enumerate() { (block(each, n + 1, drawn)) }
    }
}

fn block(block: &Block, number: usize, drawn: &Drawn) -> Markup {
    match block {
        Block::Heading { level, text } => heading(*level, text),
        Block::Paragraph { text } => html! { p { (run(text)) } },
        Block::Remark { by, paragraphs, language } => {
            remark(by.as_deref(), paragraphs, language.as_deref())
        }
        Block::List { ordered, items } => list(*ordered, items),
        Block::Table { summary, align, header, rows } => table(summary, align, header, rows),
        Block::Figures { figures } => side_by_side(figures, number, drawn),
        Block::Boxed { blocks } => html! {
            div class="boxed" role="note" { (all(blocks, drawn)) }
        },
        // The figure room has replaced it, or the letter is refused.
        Block::Slot { .. } => html! {},
    }
}

fn heading(level: u8, text: &[Inline]) -> Markup {
    match level {
        1 => html! { h1 { (run(text)) } },
        2 => html! { h2 { (run(text)) } },
        _ => html! { h3 { (run(text)) } },
    }
}

/// Words in another language than the letter's say so to whoever reads aloud.
fn remark(by: Option<&str>, paragraphs: &[String], language: Option<&str>) -> Markup {
    html! {
        blockquote class="remark" {
            @for paragraph in paragraphs { p lang=[language] { (paragraph) } }
            @if let Some(by) = by { p class="by" { (by) } }
        }
    }
}

fn list(ordered: bool, items: &[Vec<Inline>]) -> Markup {
    let items = html! { @for item in items { li { (run(item)) } } };
    if ordered {
        html! { ol { (items) } }
    } else {
        html! { ul { (items) } }
    }
}

fn table(
    summary: &str,
    align: &[Align],
    header: &[Vec<Inline>],
    rows: &[Vec<Vec<Inline>>],
) -> Markup {
    let long = |cell: &Vec<Inline>| words(cell).chars().count() > SENTENCE;
    let class = [("prose", rows.iter().flatten().any(long)), ("short", rows.len() <= SHORT)];
    let class: Vec<_> = class.iter().filter(|(_, is)| *is).map(|(name, _)| *name).collect();
    let wide = header.len() > NARROW;
    html! {
        // A wide table moves by itself on a small screen, by keys too.
        div class="table" role=[wide.then_some("region")] aria-label=[wide.then_some(summary)]
            tabindex=[wide.then_some("0")]
        {
            table class=[(!class.is_empty()).then(|| class.join(" "))] {
                caption class="unseen" { (summary) }
                thead { tr { @for (n, cell) in header.iter().enumerate() {
                    (head_cell(cell, side(align, n), "col"))
                } } }
                tbody { @for row in rows { (table_row(row, align)) } }
            }
        }
    }
}

/// The first cell names its row.
fn table_row(row: &[Vec<Inline>], align: &[Align]) -> Markup {
    html! {
        tr { @for (n, cell) in row.iter().enumerate() {
            @if n == 0 { (head_cell(cell, side(align, 0), "row")) }
            @else { td class=[side(align, n)] { (run(cell)) } }
        } }
    }
}

/// A header cell; an empty one heads nothing.
fn head_cell(cell: &[Inline], class: Option<&str>, scope: &str) -> Markup {
    if words(cell).trim().is_empty() {
        html! { td class=[class] {} }
    } else {
        html! { th class=[class] scope=(scope) { (run(cell)) } }
    }
}

fn side(align: &[Align], column: usize) -> Option<&'static str> {
    match align.get(column) {
        Some(Align::Right) => Some("right"),
        Some(Align::Center) => Some("center"),
        Some(Align::Left) | None => None,
    }
}

/// Figures share the width by the widths of their drawings, so that all keep
/// one scale; on a small screen they stand below each other.
fn side_by_side(figures: &[Figure], number: usize, drawn: &Drawn) -> Markup {
    html! {
        div class="figures" { @for (n, each) in figures.iter().enumerate() {
            @let width = each.drawing.width;
            figure style={
                "flex-grow:" (width) ";max-width:" (Mm(width * 1.25)) "mm;min-width:min(100%," (Mm(width * 0.85)) "mm)"
            } {
                (svg::drawing(each, &format!("figure-{number}-{}", n + 1), drawn))
                figcaption { (each.caption) }
            }
        } }
    }
}

/// A run of words.
pub fn run(list: &[Inline]) -> Markup {
    html! { @for each in list { (piece(each)) } }
}

fn piece(inline: &Inline) -> Markup {
    match inline {
        Inline::Text { text } => html! { (text) },
        Inline::Value { text, keep: true, .. } if text.chars().count() <= KEPT => {
            html! { span class="keep" { (text) } }
        }
        Inline::Value { text, .. } => html! { (text) },
        Inline::Strong { children } => html! { strong { (run(children)) } },
        Inline::Emph { children } => html! { em { (run(children)) } },
        Inline::Break => html! { br; },
    }
}
