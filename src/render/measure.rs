//! Widths of words in one family, from the advances of its glyphs.

use typst::layout::Abs;
use typst::text::{Font, FontInstance, FontVariant, FontVariations, FontWeight};

/// Measures words in a family's regular and bold face.
pub struct Measure {
    regular: Option<FontInstance>,
    bold: Option<FontInstance>,
}

impl Measure {
    /// The measure of a family among the faces.
    pub fn new(fonts: &[Font], family: &str) -> Measure {
        let face = |weight| {
            let variant = FontVariant { weight, ..FontVariant::default() };
            let is = |f: &&Font| f.info().family == family && f.info().variant == variant;
            let font = fonts.iter().find(is)?.clone();
            Some(font.instantiate(variant, Abs::pt(9.0), &FontVariations::default()))
        };
        Measure { regular: face(FontWeight::REGULAR), bold: face(FontWeight::BOLD) }
    }

    /// Width of a text in ems, without kerning.
    pub fn width(&self, text: &str, bold: bool) -> f64 {
        let font = if bold { &self.bold } else { &self.regular };
        text.chars().map(|ch| advance(font.as_ref(), ch)).sum()
    }
}

/// Advance of a character; half an em where the face lacks it.
fn advance(font: Option<&FontInstance>, ch: char) -> f64 {
    let glyph = font.and_then(|font| Some((font, font.ttf().glyph_index(ch)?)));
    glyph.and_then(|(font, glyph)| font.x_advance(glyph.0)).map_or(0.5, |em| em.get())
}
