//! All integration tests in one binary, so that the engine links once.

mod demo_cases;
mod demo_landmarks;
mod figure;
mod letter;
mod pdf;
mod reader;
mod rules;
mod support;
mod synthetic;
