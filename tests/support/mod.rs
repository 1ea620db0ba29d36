//! What several tests share.

pub mod sample_letter;
pub mod svg;
pub mod validate;
