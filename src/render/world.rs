//! The engine's only view outward: the layout, one letter's data, the fonts.
//!
//! Every letter uses the same few virtual paths, because the engine never
//! frees a path it has seen and panics after 65,535 of them.

use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Features, Library, LibraryExt, World};

use super::LAYOUT;
use super::fonts::Fonts;
use crate::letter::drawing::MOST_PICTURES;

/// Path of the layout.
static MAIN: LazyLock<FileId> = LazyLock::new(|| file_id("/letter.typ"));
/// Path of the letter's data.
static DATA: LazyLock<FileId> = LazyLock::new(|| file_id("/data.json"));

/// Paths of the letter's raster pictures.
static PICTURES: LazyLock<[FileId; MOST_PICTURES]> =
    LazyLock::new(|| std::array::from_fn(|n| file_id(&picture_path(n))));

/// Where the engine finds the raster picture of that place in their order.
pub fn picture_path(place: usize) -> String {
    format!("/picture-{}", place + 1)
}

fn file_id(path: &str) -> FileId {
    let path = VirtualPath::new(path).expect("a constant path is valid");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// What all letters share.
pub struct Shared {
    /// The faces.
    pub fonts: Fonts,
    library: LazyHash<Library>,
    layout: Source,
}

impl Shared {
    /// Loads library and layout once.
    pub fn new(fonts: Fonts) -> Shared {
        // Table summaries still need this switch in typst 0.15.
        let features: Features = [Feature::A11yExtras].into_iter().collect();
        Shared {
            fonts,
            library: LazyHash::new(Library::builder().with_features(features).build()),
            layout: Source::new(*MAIN, LAYOUT.into()),
        }
    }

    /// The world of one letter.
    pub fn world(
        &self,
        data: Vec<u8>,
        pictures: Vec<Bytes>,
        today: Option<Datetime>,
    ) -> LetterWorld<'_> {
        LetterWorld { shared: self, data: Bytes::new(data), pictures, today }
    }
}

/// The world of one letter: nothing can be read but its layout, its data and
/// its raster pictures.
pub struct LetterWorld<'a> {
    shared: &'a Shared,
    data: Bytes,
    pictures: Vec<Bytes>,
    today: Option<Datetime>,
}

impl World for LetterWorld<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.shared.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.shared.fonts.book
    }

    fn main(&self) -> FileId {
        *MAIN
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == *MAIN { Ok(self.shared.layout.clone()) } else { Err(refused(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == *DATA {
            return Ok(self.data.clone());
        }
        let place = PICTURES.iter().position(|path| *path == id);
        place.and_then(|n| self.pictures.get(n)).cloned().ok_or_else(|| refused(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.shared.fonts.list.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        self.today
    }
}

fn refused(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_with_slash().into())
}
