//! Pages as pictures, drawn by a library that did not write them.

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings};

/// One page, counted from 1, as PNG.
pub fn png(bytes: &[u8], page: usize, scale: f32) -> Vec<u8> {
    let pdf = Pdf::new(bytes.to_vec()).expect("a file hayro can read");
    let settings = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: WHITE };
    let (cache, interpreter) = (RenderCache::new(), InterpreterSettings::default());
    let (render, page) = (RenderSettings::default(), &pdf.pages()[page - 1]);
    let picture = hayro::render(page, &cache, &interpreter, &render, &settings);
    picture.into_png().expect("a picture")
}
