//! The register of what left the clinic: it only grows, and shows tampering.
//!
//! An [`Event`] says that a letter was issued, amended, withdrawn, that a
//! holder acknowledged, and so on. Each stands in a file of its own whose name
//! carries its number and digest and whose content names the digest of the
//! event before it, so the events form a [`Chain`]. [`fold()`] tells from the
//! chain what every letter's state is and who is still to be told; [`mod@verify`]
//! says what does not fit. Everything here is pure: files, locks and clocks
//! belong to the pipeline, and no patient's name ever enters an event.
//!
//! What the register can prove: that no event or frozen file was changed,
//! added in between or taken out before the last one, as long as somebody
//! holds a letter that prints a later digest. What it cannot: that the person
//! named really acted, or that nobody rebuilt the whole register before any
//! letter left the house.

mod chain;
mod event;
pub mod fold;
pub mod verify;

pub use chain::{Chain, Entry, Stored};
pub use event::{
    Acknowledgement, Changed, DocumentId, Erasure, Event, Freeze, Frozen, InstanceId, Issue,
    Moment, Replacement, Role, Supersession, What, Withdrawal,
};
pub use fold::{Document, Owed, State, Version, fold};
