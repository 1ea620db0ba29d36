//! endplate.
pub mod case;
pub mod course;
pub mod diag;
pub mod evidence;
pub mod facts;
pub mod figure;
pub mod letter;
pub mod pipeline;
pub mod quantity;
pub mod render;
pub mod rules;
pub mod spine;
