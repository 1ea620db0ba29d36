//! From a clinic's folder to its letters: find, read, check, plan, make, write.
//!
//! The only room that touches files, locks and threads ([`io`], [`workers`]).
//! One bad case never stops another: every step works case by case and letter
//! by letter, and collects what went wrong. What a letter says is none of its
//! business; it hands a case and a letter entry to a [`Craft`] and gets blocks,
//! then pages, and spares both where no input changed.

pub mod archive;
pub mod build;
mod care;
pub mod correct;
pub mod craft;
mod embedded;
mod glyphs;
pub mod impact;
pub mod index;
mod internal;
pub mod io;
pub mod issue;
pub mod letter;
pub mod load;
mod memory;
pub mod output;
pub mod plan;
pub mod record;
pub mod rehearse;
mod run;
mod shelf;
pub mod sign_off;
mod spoken;
pub mod why;
pub mod workers;
pub mod worklist;

pub use archive::Archive;
pub use build::{Build, Built, Edited, Outcome, State, build, rebuild};
pub use craft::Craft;
pub use issue::Desk;
pub use letter::{Made, Make, Press};
pub use load::{Loaded, load};
pub use output::Output;
pub use record::Printed;
pub use why::Why;
pub use worklist::worklist;
