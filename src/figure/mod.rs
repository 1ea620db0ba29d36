//! Figures: models of what is shown, and their drawing in plain shapes.
//!
//! [`course`] is a curve's angle over time, [`spine`] the column from its
//! landmarks, [`correction`] what each brace takes off each curve, [`order`]
//! the pads and reliefs of an order at their levels. Each has a model, a
//! drawing of it and an alt text from it, so that a reader who cannot see the
//! drawing misses nothing.
//! Among them [`course`], a curve's angle over time, [`spine`], the column
//! from its landmarks, and [`sagittal`], spine and pelvis from the side. Each has a model, a drawing of it and an alt
//! text from it, so that a reader who cannot see the drawing misses nothing.
//! [`course`] shows a curve's angle over time, [`spine`] the column from its
//! landmarks, [`films`] the films themselves with the measured lines on them,
//! [`wear`] the hours a brace was worn day by day, [`growth`] height and its
//! velocity. Each has a model, a drawing of it and an alt text from it, so that
//! a reader who cannot see the drawing misses nothing.
//!
//! Models and drawings know no case, no facts, no files and no clock: values
//! come in already rounded, words with the model, in the letter's language.
//! Only [`fill`], which builds the models for a letter, reads facts.
//! Drawings must read on a faxed copy: no meaning hangs on colour or a light
//! tint alone, and no text is smaller than [`SMALLEST_TEXT`].

mod board;
mod canvas;
pub mod correction;
pub mod course;
pub mod fill;
pub mod films;
pub mod growth;
mod notes;
pub mod order;
pub mod sagittal;
mod spanish;
pub mod spine;
mod text;
mod time;
pub mod wear;
pub mod words;

pub use canvas::extent;

/// The smallest type in any figure, in points: what a faxed page still shows.
pub const SMALLEST_TEXT: f64 = 8.0;

/// The space a figure may fill, in millimetres on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
}
