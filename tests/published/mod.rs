//! Published figures, one file for each source or table, the citation beside
//! every number.

mod age_and_maturity;
mod cdc_stature;
mod correction;
mod growth_and_maturity;
mod height_loss;
mod outcome_bands;
mod real_change;
mod regions;
mod slopes;
