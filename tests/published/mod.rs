//! Published figures, one file for each source or table, the citation beside
//! every number.

mod age_and_maturity;
mod agreement;
mod correction;
mod newcombe;
mod observer_error;
mod outcome_bands;
mod real_change;
mod regions;
pub mod shrout_fleiss;
mod slopes;
