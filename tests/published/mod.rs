//! Published figures, one file for each source or table, the citation beside
//! every number.

mod age_and_maturity;
mod correction;
mod outcome_bands;
mod real_change;
mod regions;
mod slopes;
mod wear;
