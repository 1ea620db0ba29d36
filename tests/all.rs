//! All integration tests in one binary, so that the engine links once.

mod pdf;
mod figure;
mod support;
mod demo_landmarks;
mod synthetic;
mod rules;
