//! Pure anatomy and geometry: levels, sides, landmarks, Cobb angles.
//!
//! The way through: a [`LandmarkSet`] as marked on the displayed film is
//! checked, turned into the patient's axes ([`frame`]) and
//! measured ([`mod@cobb`]).
//! Nothing here knows of files, dates or letters. Axes are the
//! patient's: x to the left, y to the back, z to the head, in millimetres;
//! degrees at every edge.

pub mod cobb;
pub mod frame;
pub mod landmark;
pub mod level;
pub mod side;

pub use cobb::{CobbAngle, Convexity, GeometryError, cobb};
pub use frame::{FilmFrame, PatientSpine, Plane};
pub use landmark::LandmarkSet;
pub use level::{Apex, Column, Level};
pub use side::Side;
