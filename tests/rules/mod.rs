//! Rules: conditions, payer criteria and codes.

mod conditions;
mod support;
