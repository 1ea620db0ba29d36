//! Pure anatomy and geometry: levels, sides, landmarks, Cobb angles.
//!
//! Nothing here knows of files, dates or letters. Axes are the patient's:
//! x to the left, y to the back, z to the head, in millimetres; degrees at
//! every edge.

pub mod landmark;
pub mod level;
pub mod side;

pub use level::{Apex, Column, Level};
pub use side::Side;
