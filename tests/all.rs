//! All integration tests in one binary, so that the engine links once.

mod architecture;
mod as_of;
mod cli;
mod demo_build;
mod demo_cases;
mod demo_landmarks;
mod explain;
mod figure;
mod found_curves;
mod identity;
mod invalid;
mod letter;
mod payer_file;
mod pdf;
mod pipeline;
mod plain_text;
mod published;
mod reader;
mod reader_properties;
mod rules;
mod same_bytes;
mod spine;
mod support;
mod synthetic;
