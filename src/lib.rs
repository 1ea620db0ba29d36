//! endplate.
pub mod case;
pub mod course;
pub mod diag;
pub mod evidence;
pub mod facts;
pub mod figure;
pub mod letter;
pub mod quantity;
pub mod spine;
