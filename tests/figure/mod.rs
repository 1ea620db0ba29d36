//! Figures: what is drawn, where, and what is said of it.
//!
//! All patients and values here are invented.

mod course;
mod gallery;
mod geometry;
mod sagittal;
mod spine;
