//! What several tests share.

pub mod demo;
pub mod gallery;
pub mod generated;
pub mod mutate;
pub mod page;
pub mod sample_letter;
pub mod small;
pub mod svg;
pub mod tags;
pub mod validate;
