//! Rules: conditions, payer criteria and codes.

mod codes;
mod conditions;
mod support;
