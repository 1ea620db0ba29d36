//! Pictures of films: read, refused, cleaned, shown with the patient's sides.
//!
//! All pictures here are drawn, not taken.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::path::{Path, PathBuf};

use crate::synthetic::demo::{PICTURES, radiograph};

fn films() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/films")
}

/// Largest file of a picture in the demo, in bytes.
const LARGEST: usize = 60_000;

#[test]
fn the_committed_pictures_are_what_the_spine_draws() {
    let bless = std::env::var("ENDPLATE_BLESS").is_ok_and(|value| value == "1");
    for named in PICTURES {
        let (path, drawn) = (films().join(named.0), radiograph(named));
        if bless {
            std::fs::write(&path, drawn.png()).unwrap();
        }
        let bytes = std::fs::read(&path).unwrap();
        assert!(bytes.len() < LARGEST, "{} has {} bytes", named.0, bytes.len());
        let read = image::load_from_memory(&bytes).unwrap().into_luma8();
        assert_eq!(read.dimensions(), named.1);
        assert!(read.into_raw() == drawn.values, "{}: run again with ENDPLATE_BLESS=1", named.0);
    }
}
