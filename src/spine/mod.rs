//! Pure anatomy and geometry: levels, sides, landmarks, Cobb angles.
//!
//! The way through: a [`LandmarkSet`] as marked on the displayed film is
//! checked ([`fault`]), turned into the patient's axes ([`frame`]) and measured:
//! angles ([`mod@cobb`], [`curve`]), frontal films ([`balance`], [`tilt`],
//! [`rib`], [`rotation`], [`wedge`]), lateral ones ([`sagittal`]).
//! [`mod@region`] names a curve by its apex, [`classification`] the pattern of
//! all curves, and [`estimate`] holds regressions that measure nothing. Nothing
//! here knows of files, dates or letters. Axes are the patient's: x to the
//! left, y to the back, z to the head, in millimetres; degrees at every edge.

pub mod balance;
pub mod classification;
pub mod cobb;
pub mod curve;
pub mod estimate;
pub mod fault;
pub mod frame;
pub mod landmark;
pub mod level;
mod mark_fault;
pub mod region;
pub mod rib;
pub mod rotation;
pub mod sagittal;
pub mod side;
pub mod tilt;
pub mod wedge;

pub use cobb::{CobbAngle, Convexity, GeometryError, cobb};
pub use curve::{FoundCurve, find_curves};
pub use fault::{GeometryFault, GeometryFaultKind};
pub use frame::{FilmFrame, PatientSpine, Plane};
pub use landmark::LandmarkSet;
pub use level::{Apex, Column, Level};
pub use region::{Region, region};
pub use side::Side;
