//! From facts to a letter of typed blocks.
pub mod block;
pub mod compose;
pub mod drawing;
pub mod frame;
mod grammar;
pub mod language;
pub mod lint;
pub mod markdown;
pub mod object;
pub mod template;
mod tidy;
pub mod token;
pub mod wording;
