//! Change over time: pure functions over dated or paired values.
//!
//! Of curves: [`change`] says from how many degrees a difference is real,
//! [`outcome`] which published band it falls in, [`trend`] how fast it goes,
//! [`identity`] which curve of one film is which of the next, [`sagittal`] and
//! [`wedge`] what published tables say of lateral films, [`early_onset`] the
//! size classes of small children, [`risk`] what published models foretell and
//! for whom.
//!
//! Of readings: [`spread`], [`agreement`], [`icc`] and [`proportion`] say how
//! well repeated readings agree, [`observer`] how surely one film is read.
//!
//! Of the patient: [`age`] gives the class of onset, [`maturity`] what a grade
//! of bone maturity means, [`growth`] how height grows and what a curve hides
//! of it, [`score`] what questionnaires say, [`dose`] what the films cost.
//!
//! Of treatment: [`brace`] says what a brace or a bend corrects, [`hours`]
//! what is prescribed on which day, [`casts`] how long each cast was on,
//! [`wear`] how many hours a brace was worn.
//!
//! Functions take *reported* values (rounded once), so that a reader who holds
//! only the letter can redo the sum; those on repeated readings and on a
//! sensor's temperatures start from what was measured. Nothing here knows
//! cases, files or letters, and nothing reads a clock.
//! [`change`] says from how many degrees a difference is real, [`outcome`]
//! which published band it falls in, [`trend`] how fast it goes, [`age`] the
//! class of onset, [`maturity`] what a grade of bone maturity means, [`growth`]
//! how height grows and what a curve hides of it, [`brace`] what a brace or a
//! bend corrects, [`hours`] what is prescribed on which day, [`casts`] how long
//! each cast of a series was on, [`identity`] which curve of one film is which
//! of the next, [`sagittal`] and [`wedge`] what published tables say of lateral films,
//! [`early_onset`] the size classes of small children. [`spread`],
//! [`agreement`], [`icc`] and [`proportion`] say how well repeated readings
//! agree, [`observer`] how surely one film is read by the published studies.
//! Every function takes *reported* values (rounded once), except those on
//! repeated readings, so that a reader who holds only the letter can redo the
//! sum. Nothing here knows cases, files or letters, and nothing reads a clock.
//! bend corrects, [`identity`] which curve of one film is
//! which of the next. Every function takes *reported* values (rounded once),
//! which of the next. [`spread`], [`agreement`], [`icc`] and [`proportion`] say
//! how well repeated readings agree, [`observer`] how surely one film is read
//! by the published studies. Every function takes *reported* values (rounded once),
//! so that a reader who holds only the letter can redo the sum; [`wear`] alone
//! starts from what was measured, the temperatures of a sensor, and says how
//! many hours a brace was worn. Nothing here knows cases, files or letters, and
//! nothing reads a clock.

pub mod age;
pub mod agreement;
pub mod brace;
pub mod casts;
pub mod change;
pub mod dose;
pub mod early_onset;
pub mod growth;
pub mod hours;
pub mod icc;
pub mod identity;
pub mod maturity;
pub mod observer;
pub mod outcome;
pub mod proportion;
mod quantile;
pub mod risk;
pub mod sagittal;
pub mod score;
pub mod spread;
pub mod trend;
pub mod wear;
pub mod wedge;
