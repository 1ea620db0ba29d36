//! The closed catalogue of facts: everything a letter may print.
//!
//! A [`Fact`] is an id, a value with its unit, an uncertainty where one
//! exists, and where it came from. Ids are dotted paths
//! (`curves.thoracic.now.cobb`), and templates use the same paths: what is
//! written in a template is the id that `explain` answers to.

pub mod compare;
pub mod derive;
mod fact;
pub mod known;

pub use fact::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Uncertainty, Value};

pub use derive::{Derived, derive};
pub use known::known_on;
