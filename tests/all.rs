//! All integration tests in one binary, so that the engine links once.

mod pdf;
mod plain_text;
mod support;
