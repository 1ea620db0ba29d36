//! Figures: what is drawn, where, and what is said of it.
//!
//! All patients and values here are invented.

mod correction;
mod course;
mod films;
mod gallery;
mod geometry;
mod growth;
mod order;
mod sagittal;
mod spine;
mod wear;
