//! Growth in height: how fast, compared with whom, and how much the curve hides.
//!
//! [`lms`] turns a measure into a z-score, [`stature`] holds the public table
//! of heights by age, [`velocity`] says how fast a length grows and how
//! surely, [`loss`] estimates the height lost to a curve, and [`phase`] which
//! part of puberty the signs together allow. Lengths and angles come in as
//! reported values; nothing here knows cases or films.

pub mod lms;
pub mod loss;
pub mod phase;
pub mod stature;
pub mod velocity;
