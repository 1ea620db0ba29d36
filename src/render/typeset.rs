//! One letter in, the bytes of one PDF out.

use std::borrow::Cow;

use serde::Serialize;
use typst::WorldExt;
use typst::diag::{Severity, SourceDiagnostic, Warned};
use typst::foundations::{Bytes, Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use super::columns::{Plan, Planner};
use super::fonts::{Fonts, SANS, SERIF};
use super::glyphs::{Coverage, MissingGlyph};
use super::measure::Measure;
use super::picture::{Picture, picture};
use super::svg::Drawn;
use super::world::{LetterWorld, Shared, picture_path};
use super::{LAYOUT, fit, float, html, structure};
use crate::diag::{Code, Diagnostic};
use crate::digest::Digest;
use crate::letter::block::{Block, Figure, Frame, Letter};
use crate::letter::drawing::{Drawing, MOST_PICTURES, Pictures, Shape};

/// Fonts, library and layout, loaded once and shared by all letters.
///
/// Use one for a whole run, from any number of plain threads. Never call
/// [`Typesetter::pdf`] from a job of a shared rayon pool: the engine waits
/// inside for jobs of its own and would start another letter on the same stack.
pub struct Typesetter {
    shared: Shared,
    coverage: Coverage,
    planner: Planner,
    sans: Measure,
    standards: PdfStandards,
}

/// What the layout reads: the letter, and what was computed from it.
#[derive(Serialize)]
struct Data<'a> {
    frame: &'a Frame,
    /// Whether figures that do not fit go to the top of the next page.
    float: bool,
    /// Whether it is set a little closer.
    tight: bool,
    blocks: Vec<Cow<'a, Block>>,
    /// One plan a table, in order.
    tables: Vec<Plan>,
    /// One picture a figure, in order.
    pictures: Vec<Picture>,
}

/// How one attempt at the pages goes about it.
#[derive(Debug, Clone, Copy)]
struct Setting {
    float: bool,
    tight: bool,
}

impl Typesetter {
    /// A typesetter with the program's faces, and the faces in `extra_fonts`
    /// (contents of font files) for characters that those lack.
    pub fn new(extra_fonts: Vec<Vec<u8>>) -> Typesetter {
        let fonts = Fonts::load(extra_fonts);
        let coverage = Coverage::of(&fonts.list);
        let planner = Planner::new(Measure::new(&fonts.list, SERIF));
        let sans = Measure::new(&fonts.list, SANS);
        let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
            .expect("the two standards agree on a version");
        Typesetter { shared: Shared::new(fonts), coverage, planner, sans, standards }
    }

    /// Positions of those `extra_fonts` that are not readable fonts.
    pub fn unreadable_fonts(&self) -> &[usize] {
        &self.shared.fonts.unreadable
    }

    /// The characters of a letter that no face covers, each with its place.
    pub fn check_glyphs(&self, letter: &Letter) -> Vec<MissingGlyph> {
        self.coverage.missing(letter)
    }

    /// The letter as a PDF that claims PDF/A-2a and PDF/UA-1; `pictures` holds
    /// the bytes of those its figures show. A pure function: the same letter
    /// gives the same bytes, on any thread, cold or warm.
    pub fn pdf(&self, letter: &Letter, pictures: &Pictures) -> Result<Vec<u8>, Vec<Diagnostic>> {
        self.ready(letter, pictures)?;
        let result = self.typeset(letter, pictures);
        // The engine keeps every intermediate result of every letter otherwise.
        evict();
        result
    }

    /// The letter as one page for a browser, complete in itself. A pure function
    /// as well; refused where the pages would be.
    pub fn html(&self, letter: &Letter, pictures: &Pictures) -> Result<String, Vec<Diagnostic>> {
        self.ready(letter, pictures)?;
        Ok(html::page(letter, &Drawn { sans: &self.sans, pictures }))
    }

    fn ready(&self, letter: &Letter, pictures: &Pictures) -> Result<(), Vec<Diagnostic>> {
        let id = &letter.frame.letter_id;
        let glyphs = self
            .check_glyphs(letter)
            .into_iter()
            .map(|m| Diagnostic::new(Code::MissingGlyph, None, format!("letter {id}: {m}")));
        let faults = structure::faults(letter).into_iter().chain(lost(letter, pictures));
        let faults = faults.map(|f| internal(id, &f));
        let list: Vec<_> = glyphs.chain(faults).collect();
        if list.is_empty() { Ok(()) } else { Err(list) }
    }

    fn data(&self, letter: &Letter, setting: Setting) -> Vec<u8> {
        let order = shown(letter);
        let path = |digest: &Digest| Some(picture_path(order.iter().position(|d| d == digest)?));
        let data = Data {
            frame: &letter.frame,
            float: setting.float,
            tight: setting.tight,
            blocks: letter.blocks.iter().map(without_shapes).collect(),
            tables: self.planner.plans(letter),
            pictures: figures(letter).map(|f| picture(&f.drawing, &self.sans, &path)).collect(),
        };
        serde_json::to_vec(&data).expect("a letter has only texts, numbers and lists")
    }

    fn typeset(&self, letter: &Letter, pictures: &Pictures) -> Result<Vec<u8>, Vec<Diagnostic>> {
        let shown = shown(letter);
        let bytes = shown.iter().filter_map(|digest| pictures.get(digest));
        let bytes: Vec<Bytes> = bytes.map(|p| Bytes::new(p.bytes.clone())).collect();
        let roomy = self.filled(letter, &bytes, false)?;
        let most = letter.frame.pages.map_or(usize::MAX, usize::from);
        let document = if roomy.pages().len() > most || fit::spills(&roomy) {
            let closer = self.filled(letter, &bytes, true)?;
            if closer.pages().len() < roomy.pages().len() { closer } else { roomy }
        } else {
            roomy
        };
        let world = self.shared.world(Vec::new(), Vec::new(), None);
        typst_pdf::pdf(&document, &self.options(&letter.frame))
            .map_err(|errors| engine_faults(&world, &letter.frame.letter_id, &errors))
    }

    /// Pages without a hole before a figure, where floating can mend it.
    fn filled(
        &self,
        letter: &Letter,
        pictures: &[Bytes],
        tight: bool,
    ) -> Result<PagedDocument, Vec<Diagnostic>> {
        let plain = self.pages(letter, pictures, Setting { float: false, tight })?;
        if !float::pushed(&plain) {
            return Ok(plain);
        }
        let floating = self.pages(letter, pictures, Setting { float: true, tight })?;
        Ok(if float::mended(&floating, &plain) { floating } else { plain })
    }

    fn pages(
        &self,
        letter: &Letter,
        pictures: &[Bytes],
        setting: Setting,
    ) -> Result<PagedDocument, Vec<Diagnostic>> {
        let data = self.data(letter, setting);
        let world = self.shared.world(data, pictures.to_vec(), day(&letter.frame));
        let Warned { output, warnings } = typst::compile::<PagedDocument>(&world);
        let fail = |list: &[SourceDiagnostic]| engine_faults(&world, &letter.frame.letter_id, list);
        let document = output.map_err(|errors| fail(&errors))?;
        if warnings.is_empty() { Ok(document) } else { Err(fail(&warnings)) }
    }

    fn options(&self, frame: &Frame) -> PdfOptions {
        PdfOptions {
            ident: Smart::Custom(format!("endplate letter {}", frame.letter_id)),
            creator: Smart::Custom(Some("endplate".to_string())),
            timestamp: day(frame).map(Timestamp::new_utc),
            standards: self.standards.clone(),
            tagged: true,
            ..PdfOptions::default()
        }
    }
}

fn figures(letter: &Letter) -> impl Iterator<Item = &Figure> {
    let of = letter.blocks.iter().filter_map(|block| match block {
        Block::Figures { figures } => Some(figures),
        _ => None,
    });
    of.flatten()
}

/// The raster pictures of a letter, each once, in the order of the page.
fn shown(letter: &Letter) -> Vec<Digest> {
    let mut order = Vec::new();
    for shape in figures(letter).flat_map(|f| &f.drawing.shapes) {
        if let Shape::Picture { digest, .. } = shape
            && !order.contains(digest)
        {
            order.push(*digest);
        }
    }
    order
}

/// Raster pictures without bytes, and more of them than there are paths.
fn lost(letter: &Letter, pictures: &Pictures) -> Vec<String> {
    let shown = shown(letter);
    let absent = shown.iter().filter(|digest| !pictures.contains_key(digest));
    let mut list: Vec<String> =
        absent.map(|digest| format!("no bytes of the picture {}", digest.short())).collect();
    if shown.len() > MOST_PICTURES {
        list.push(format!("{} pictures, more than {MOST_PICTURES}", shown.len()));
    }
    list
}

/// The layout gets pictures in place of shapes.
fn without_shapes(block: &Block) -> Cow<'_, Block> {
    let Block::Figures { figures } = block else { return Cow::Borrowed(block) };
    let bare = figures.iter().map(|f| {
        let drawing = Drawing { shapes: Vec::new(), ..f.drawing };
        Figure { alt: f.alt.clone(), caption: f.caption.clone(), drawing }
    });
    Cow::Owned(Block::Figures { figures: bare.collect() })
}

/// The letter's date, at midnight UTC.
fn day(frame: &Frame) -> Option<Datetime> {
    let (year, month, day) = frame.date_ymd;
    Datetime::from_ymd_hms(year, month, day, 0, 0, 0)
}

/// The engine's complaints, with the line of the layout they point to.
fn engine_faults<'a>(
    world: &LetterWorld,
    id: &str,
    list: impl IntoIterator<Item = &'a SourceDiagnostic>,
) -> Vec<Diagnostic> {
    let fault = |d: &SourceDiagnostic| {
        let kind = if d.severity == Severity::Warning { "warning" } else { "error" };
        let line = world.range(d.span).map(|range| layout_line(range.start));
        let line = line.map(|n| format!(" (layout, line {n})")).unwrap_or_default();
        internal(id, &format!("{kind} of the engine: {}{line}", d.message))
    };
    list.into_iter().map(fault).collect()
}

fn layout_line(byte: usize) -> usize {
    LAYOUT.bytes().take(byte).filter(|b| *b == b'\n').count() + 1
}

fn internal(id: &str, what: &str) -> Diagnostic {
    Diagnostic::new(Code::TypesettingFailed, None, format!("letter {id}: {what}"))
}

/// Forgets the engine's memory of letters set before. [`Typesetter::pdf`] does
/// so itself after each letter, failed ones included.
pub fn evict() {
    comemo::evict(0);
}

/// The canonical bytes of a letter: equal bytes, equal pages, as long as
/// [`engine_bytes`] are equal too.
pub fn digest_bytes(letter: &Letter) -> Vec<u8> {
    serde_json::to_vec(letter).expect("a letter has only texts, numbers and lists")
}

/// What else decides the pages: layout and engine version. The clinic's own
/// font files are to be added by whoever loads them.
pub fn engine_bytes() -> Vec<u8> {
    let version = typst::utils::version();
    format!("typst {}\n{LAYOUT}", version.raw()).into_bytes()
}
