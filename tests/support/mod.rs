//! What several tests share.

pub mod sample_letter;
pub mod svg;
