//! From facts to a letter of typed blocks.
//!
//! The way: [`template`] (the language of letters, its engine) → tokens in
//! text → [`markdown`] → blocks with values in their places → [`lint`]; the
//! whole in [`compose`]. [`frame`] fills what stands around the body;
//! [`wording`] says values, in a [`language`] and as a [`locale`]
//! writes them. This room reads facts, cases
//! and the clinic's settings; it knows no file, no clock and no layout, and a
//! renderer sees only [`block`]. [`reading`] counts how hard the words of a
//! finished letter are to read.

pub mod block;
mod closed;
pub mod closed_set;
pub mod compose;
pub mod drawing;
pub mod extra;
mod filter;
pub mod frame;
mod function;
mod grammar;
pub mod language;
pub mod lint;
pub mod locale;
pub mod markdown;
mod object;
pub mod parity;
pub mod reading;
mod session;
mod source;
mod spanish;
pub mod template;
mod tidy;
pub mod token;
pub mod variant;
pub mod wording;
