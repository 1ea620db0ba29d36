//! Published figures, one file for each source or table, the citation beside
//! every number.

mod after_growth;
mod age_and_maturity;
mod agreement;
mod brace_results;
mod cdc_stature;
mod correction;
mod curve_types;
mod frontal_film;
mod growth_and_maturity;
mod hand_stages;
mod height_loss;
mod incidence;
mod ledger;
mod newcombe;
mod observer_error;
mod outcome_bands;
mod people;
mod predictors;
mod progression_factor;
mod radiation;
mod real_change;
mod regions;
mod sagittal;
mod scores;
pub mod shrout_fleiss;
mod slopes;
mod wear;
mod wedges;
