//! From facts to a letter of typed blocks.
pub mod block;
pub mod drawing;
