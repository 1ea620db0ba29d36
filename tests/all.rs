//! All integration tests in one binary, so that the engine links once.

mod demo_cases;
mod demo_landmarks;
mod reader;
mod synthetic;
