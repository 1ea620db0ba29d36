//! Helpers that several tests share.
pub mod svg;
