//! From facts to a letter of typed blocks.
//!
//! The way: [`template`] (the language of letters, its engine) → tokens in
//! text → [`markdown`] → blocks with values in their places → [`lint`]; the
//! whole in [`compose`]. [`frame`] fills what stands around the body;
//! [`wording`] says values, in a [`language`]. This room reads facts, cases
//! and the clinic's settings; it knows no file, no clock and no layout, and a
//! renderer sees only [`block`].

pub mod block;
mod closed;
pub mod compose;
pub mod drawing;
pub mod extra;
mod filter;
pub mod frame;
mod function;
mod grammar;
pub mod language;
pub mod lint;
pub mod markdown;
mod object;
mod session;
mod source;
pub mod template;
mod tidy;
pub mod token;
pub mod variant;
pub mod wording;
