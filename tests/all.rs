//! All integration tests in one binary, so that the engine links once.

mod architecture;
mod cli;
mod demo_landmarks;
mod figure;
mod invalid;
mod letter;
mod pdf;
mod reader;
mod rules;
mod support;
mod synthetic;
