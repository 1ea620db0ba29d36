//! Figures: what is drawn, where, and what is said of it.
//!
//! All patients and values here are invented.

mod correction;
mod course;
mod gallery;
mod geometry;
mod order;
mod spine;
