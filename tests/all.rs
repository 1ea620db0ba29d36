//! All integration tests in one binary, so that the engine links once.

mod reader;
mod reader_properties;
