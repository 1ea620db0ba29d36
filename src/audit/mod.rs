//! Across patients: what the clinic's own records say of its work.
//!
//! [`readers`] says how well its readings of films repeat. Data comes from
//! cases and the tracks of [`facts`](crate::facts); nothing here opens a file
//! or prints.

pub mod readers;
