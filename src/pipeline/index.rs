//! The memory of an output folder: which letter was built with which bytes.
//!
//! `.endplate-build.json` lists every letter that was written there with the
//! digest of its bytes. From it a build says what changed since the last one.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::io;

/// The index's name in the output folder.
pub const FILE: &str = ".endplate-build.json";

/// What was built.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Index {
    /// Letters by name (`mr-0118/l1`).
    pub letters: BTreeMap<String, Entry>,
}

/// One letter that was built.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Path below the output folder.
    pub file: String,
    /// Digest of its bytes.
    pub digest: String,
}

/// The digest of a letter's bytes.
pub fn digest(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().to_string()
}

/// The index of a folder; empty where there is none or it cannot be read,
/// since it can be made again from nothing.
pub fn load(folder: &Path) -> Index {
    let bytes = io::read(&folder.join(FILE)).unwrap_or_default();
    serde_json::from_slice(&bytes).unwrap_or_default()
}

/// Writes the index, if it changed.
pub fn save(folder: &Path, index: &Index) -> std::io::Result<()> {
    let mut text = serde_json::to_string_pretty(index).map_err(std::io::Error::other)?;
    text.push('\n');
    let path = folder.join(FILE);
    if io::holds(&path, text.as_bytes()) {
        Ok(())
    } else {
        io::write_atomic(&path, text.as_bytes())
    }
}
