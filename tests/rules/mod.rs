//! Rules: conditions, payer criteria and codes.

mod brindle;
mod catalogue;
mod codes;
mod conditions;
mod demo;
mod first_brace;
mod payer;
mod reading;
mod removed;
mod support;
