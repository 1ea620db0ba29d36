//! Rules: conditions, payer criteria and codes.

mod brindle;
mod care;
mod care_files;
mod catalogue;
mod codes;
mod conditions;
mod demo;
mod first_brace;
mod items;
mod payer;
mod reading;
mod removed;
mod support;
