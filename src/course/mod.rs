//! Change over time: pure functions over dated or paired values.
//!
//! [`change`] says from how many degrees a difference is real, [`outcome`]
//! which published band it falls in, [`trend`] how fast it goes, [`age`] the
//! class of onset, [`maturity`] what a grade of bone maturity means, [`brace`]
//! what a brace or a bend corrects, [`identity`] which curve of one film is
//! which of the next. Every function takes *reported* values (rounded once),
//! so that a reader who holds only the letter can redo the sum; [`wear`] alone
//! starts from what was measured, the temperatures of a sensor, and says how
//! many hours a brace was worn. Nothing here knows cases, files or letters, and
//! nothing reads a clock.

pub mod age;
pub mod brace;
pub mod change;
pub mod identity;
pub mod maturity;
pub mod outcome;
pub mod trend;
pub mod wear;
