//! Case files: from YAML text to a checked [`Case`], every fault located.
//!
//! The way in: text → [`node`] (a tree with spans) → [`field`] (the one table
//! of what may stand where, which also makes the schema) → [`model`]
//! (the typed case) → [`check`] (what must hold between records). Reading
//! never stops at the first fault. This room knows spines, dates and units;
//! it does not know facts or letters, and opens no file itself.

pub mod address;
mod build;
pub mod check;
pub mod clinic;
pub mod edit;
pub mod enclose;
pub mod field;
pub mod film_image;
pub mod follow;
pub mod landmark_file;
pub mod model;
pub mod near;
pub mod node;
pub mod occasion;
pub mod order;
pub mod put;
pub mod read;
pub mod rename;
mod sagittal_item;
pub(crate) mod scalar;
pub mod schema;
mod shape;
pub mod skeleton;
pub(crate) mod suggest;
mod syntax;
pub mod text;
pub mod wear_log;
pub mod wear_rule;

pub use clinic::{After, Clinic, DateStyle, DefaultLetters, Follow, Limits, PaperSize, Person};
pub use film_image::FilmPicture;
pub use model::*;
pub use order::{Change, Decision, Face, Opening, Order, PadSide, Spot};
pub use sagittal_item::SagittalItem;
