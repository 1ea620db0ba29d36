//! Rules as data: conditions over facts, three-valued, each with its evidence.
//!
//! A rule file says what must hold (`all` / `any` / `not` over a fact, a bound
//! and the bound's source); this room reads it, finds every fault in it, and
//! evaluates it against the facts of one case on one day. It compares only
//! values as reported, so a reader who holds the letter can redo every
//! verdict. It must not know letters, files or the clock, and it never
//! decides for anybody: a verdict is met, not met, or cannot tell and why.

pub mod as_facts;
mod band;
mod bound;
pub mod catalogue;
pub mod codes;
pub mod condition;
mod edition;
mod evaluate;
mod fields;
pub mod items;
mod near;
pub mod payer;
pub mod protocol;
mod reach;
mod read;
pub mod readers;
pub mod red_flags;
mod standing;
mod told;
mod verdict;

pub use condition::{BoundSource, Condition, Kind, Leaf, Op, Test};
pub use edition::Validity;
pub use evaluate::{LeafEvidence, Mismatch, MissingItem, Outcome};
pub use read::KnownFact;
pub use standing::{Basis, Standing};
pub use verdict::Verdict;
