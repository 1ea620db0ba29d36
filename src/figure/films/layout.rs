//! Where each film stands: one scale, columns wide enough for their words.

use super::{FilmPanel, Films, Pixel, displayed, to_scale};
use crate::figure::Size;
use crate::figure::board::Rect;
use crate::figure::canvas::{Point, Type};
use crate::figure::text;

pub(super) const CAPTION: Type = Type::plain(crate::figure::SMALLEST_TEXT);
pub(super) const SIDE: Type = Type::bold(9.0);

/// Between two films, in mm; more where a line divides them.
const GUTTER: f64 = 4.0;
const DIVIDED: f64 = 8.0;
/// From the sides' letters to the picture and from there to the words below.
const CLEAR: f64 = 1.0;
/// A picture smaller than this is not worth showing, in mm.
const LEAST: f64 = 15.0;

/// A film laid out on the page.
pub(super) struct Column<'a> {
    pub film: &'a FilmPanel,
    /// The picture.
    pub area: Rect,
    /// The whole column, from the letters to the words.
    pub column: Rect,
    pub captions: Vec<String>,
}

impl Column<'_> {
    /// A point of the picture on the page.
    pub(super) fn at(&self, (x, y): Pixel) -> Point {
        let (width, height) = self.film.pixels;
        (
            self.area.left + x / width * self.area.width(),
            self.area.top + y / height * self.area.height(),
        )
    }
}

/// A film's size in millimetres of the patient, or as a share of its height.
fn extent(film: &FilmPanel, scaled: bool) -> (f64, f64) {
    let (width, height) = film.pixels;
    match film.scale.filter(|_| scaled) {
        Some(scale) => (width * scale, height * scale),
        None => (width / height, 1.0),
    }
}

fn gutter(pair: &[FilmPanel]) -> f64 {
    if pair[0].in_support == pair[1].in_support { GUTTER } else { DIVIDED }
}

/// Lays the films out; nothing without a film, or where the space is too small.
pub(super) fn columns(figure: &Films, size: Size) -> Vec<Column<'_>> {
    let films = &figure.films;
    let scaled = to_scale(films);
    let sized = |f: &FilmPanel| f.pixels.0 > 0.0 && f.pixels.1 > 0.0 && f.scale != Some(0.0);
    if films.is_empty() || !films.iter().all(sized) {
        return Vec::new();
    }
    let captions = all_captions(figure);
    let gutters: f64 = films.windows(2).map(gutter).sum();
    let mut lines = 1;
    loop {
        let head = SIDE.rise() + CLEAR;
        let foot = CLEAR + lines as f64 * CAPTION.leading();
        let room = Size { width: size.width - gutters, height: size.height - head - foot };
        let scale = scale(films, &captions, room, scaled);
        let tallest = films.iter().map(|f| extent(f, scaled).1 * scale).fold(0.0, f64::max);
        if tallest < LEAST {
            return Vec::new();
        }
        let widths = widths(films, &captions, scale, scaled);
        let wrapped: Vec<Vec<String>> =
            captions.iter().zip(&widths).map(|(c, w)| wrap(c, *w)).collect();
        let most = wrapped.iter().map(Vec::len).max().unwrap_or(0);
        if most <= lines {
            let spare = room.width - widths.iter().sum::<f64>();
            return place(films, &widths, wrapped, (scale, scaled), (head, tallest, spare));
        }
        // More lines mean smaller films and no broader columns, so this ends.
        lines = most;
    }
}

fn all_captions(figure: &Films) -> Vec<Vec<String>> {
    let alike = super::alike(&figure.films);
    let of = |film: &FilmPanel| {
        let mut lines = film.captions.clone();
        if !alike {
            lines.push(displayed(&figure.words, film));
        }
        lines
    };
    figure.films.iter().map(of).collect()
}

fn wrap(lines: &[String], width: f64) -> Vec<String> {
    lines.iter().flat_map(|l| text::wrap(l, CAPTION.size, CAPTION.bold, width)).collect()
}

/// The width that a column's words need at least.
fn words(lines: &[String]) -> f64 {
    let word = |l: &String| text::widest_word(l, CAPTION.size, CAPTION.bold);
    lines.iter().map(word).fold(2.0 * SIDE.width("front") + 2.0, f64::max)
}

fn widths(films: &[FilmPanel], captions: &[Vec<String>], scale: f64, scaled: bool) -> Vec<f64> {
    let one = |(film, lines): (&FilmPanel, &Vec<String>)| {
        (extent(film, scaled).0 * scale).max(words(lines))
    };
    films.iter().zip(captions).map(one).collect()
}

/// The largest scale at which height and width suffice. Columns that are as
/// broad as their words need do not grow with the scale, so the width is
/// looked for by halving.
fn scale(films: &[FilmPanel], captions: &[Vec<String>], room: Size, scaled: bool) -> f64 {
    let tallest = films.iter().map(|f| extent(f, scaled).1).fold(0.0, f64::max);
    let (mut low, mut high) = (0.0, (room.height / tallest).max(0.0));
    let fits =
        |scale: f64| widths(films, captions, scale, scaled).iter().sum::<f64>() <= room.width;
    if fits(high) {
        return high;
    }
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if fits(middle) { low = middle } else { high = middle }
    }
    low
}

fn place<'a>(
    films: &'a [FilmPanel],
    widths: &[f64],
    captions: Vec<Vec<String>>,
    (scale, scaled): (f64, bool),
    (head, tallest, spare): (f64, f64, f64),
) -> Vec<Column<'a>> {
    let foot = head + tallest;
    let each = (spare / films.len() as f64).max(0.0);
    let gutters = films.windows(2).map(gutter).chain([0.0]);
    let (mut left, mut out) = (0.0, Vec::new());
    for (((film, captions), width), gutter) in films.iter().zip(captions).zip(widths).zip(gutters) {
        let (broad, high) = extent(film, scaled);
        let column = Rect { left, right: left + width + each, top: 0.0, bottom: foot };
        let middle = (column.left + column.right) / 2.0;
        let half = broad * scale / 2.0;
        let area = Rect {
            left: middle - half,
            right: middle + half,
            top: foot - high * scale,
            bottom: foot,
        };
        out.push(Column { film, area, column, captions });
        left = column.right + gutter;
    }
    out
}
