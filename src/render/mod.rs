//! From a letter of blocks to the bytes of a PDF, to a page for a browser, or to
//! plain text.
//!
//! A [`Typesetter`] holds fonts, library and the one constant layout, loaded
//! once per process; [`Typesetter::pdf`] is a pure function of the letter.
//! The layout (`templates/layout/letter.typ`) gets the letter as JSON data and
//! nothing else: no word of a letter is ever evaluated as markup or code. The
//! page for a browser ([`Typesetter::html`]) and the plain text ([`text::plain`])
//! are made from the same blocks.
//!
//! This room sees only [`crate::letter::block`]. It knows nothing of cases,
//! facts or files, reads no clock, and never looks at fonts of the system.

mod columns;
mod fit;
mod float;
mod fonts;
mod glyphs;
mod html;
mod measure;
mod picture;
pub mod sentences;
mod structure;
mod svg;
pub mod text;
mod typeset;
mod walk;
mod world;

pub use glyphs::{Coverage, MissingGlyph};
pub use typeset::{Typesetter, digest_bytes, engine_bytes, evict};

/// The constant layout of every letter, a Typst program that reads `/data.json`.
pub const LAYOUT: &str = include_str!("../../templates/layout/letter.typ");
