//! All integration tests in one binary, so that the engine links once.

mod demo_build;
mod demo_cases;
mod demo_landmarks;
mod figure;
mod found_curves;
mod identity;
mod letter;
mod pdf;
mod plain_text;
mod published;
mod reader;
mod rules;
mod spine;
mod support;
mod synthetic;
