//! Rules: conditions, payer criteria and codes.

mod brindle;
mod care;
mod care_files;
mod catalogue;
mod codes;
mod conditions;
mod demo;
mod items;
mod payer;
mod reading;
mod support;
