//! Pictures of films: from a PNG or JPEG file to what a letter may show.
//!
//! A picture is decoded once, turned to grey, made no taller and no broader
//! than a page can show, and encoded anew. Nothing but pixels passes: names,
//! dates and places in a file's text, Exif data or colour profile never reach
//! a letter (what is burned into the picture does). All of it is whole-number
//! arithmetic, so that one file gives the same bytes on every machine.
//!
//! Landmarks are in the file's own pixels, and a side of the patient hangs on
//! how they lie: a file that asks to be turned or mirrored is refused. Opens no
//! file: bytes come through the closure given.

use std::fmt;
use std::io::Cursor;
use std::sync::Arc;

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::metadata::Orientation;
use image::{
    DynamicImage, ExtendedColorType, ImageDecoder, ImageEncoder, ImageFormat, ImageReader, Limits,
};

use super::Case;
use crate::diag::{Code, Report};
use crate::digest::Digest;

/// Tallest and broadest that a picture is shown, in pixels: on a page 100 mm
/// high that is 250 a inch, more than a printed radiograph resolves.
pub const SHOWN: u32 = 1000;
/// Longest side of a file that is read at all, in pixels.
const LONGEST: u32 = 20_000;
/// Most pixels of a file that is read at all: a film of the whole spine at a
/// tenth of a millimetre has some fifteen million.
const MOST: u64 = 60_000_000;
/// Most memory for one file while it is read, in bytes.
const MEMORY: u64 = 400_000_000;

/// A film's picture, ready to be shown.
#[derive(Clone, PartialEq)]
pub struct FilmPicture {
    /// Width and height of the file, in pixels: the frame of all landmarks.
    pub pixels: (u32, u32),
    /// The picture as shown: a grey PNG without any metadata.
    pub png: Arc<[u8]>,
    /// Digest of the picture as shown.
    pub digest: Digest,
    /// Digest of the file.
    pub file: Digest,
}

impl fmt::Debug for FilmPicture {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "FilmPicture({} x {}, {})", self.pixels.0, self.pixels.1, self.file.short())
    }
}

/// Why a file gives no picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// Neither PNG nor JPEG, or damaged.
    Unreadable(String),
    /// So many pixels that it is no film.
    TooLarge(u32, u32),
    /// It asks to be turned or mirrored before it is shown.
    Turned,
}

impl Refused {
    fn code(&self) -> Code {
        match self {
            Refused::Unreadable(_) => Code::FilmImageUnread,
            Refused::TooLarge(..) => Code::FilmImageTooLarge,
            Refused::Turned => Code::FilmImageTurned,
        }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Refused::Unreadable(why) => f.write_str(why),
            Refused::TooLarge(width, height) => {
                write!(f, "it has {width} by {height} pixels, more than any film of a spine")
            }
            Refused::Turned => f.write_str("its Exif data ask for it to be turned or mirrored"),
        }
    }
}

/// Reads the picture of every film that names one; `load` gives the bytes of a
/// file by its path as written. A file that gives none is a fault of the case.
pub fn load_images(
    case: &mut Case,
    load: &dyn Fn(&str) -> Result<Vec<u8>, String>,
    report: &mut Report,
) {
    for image in case.films.iter_mut().filter_map(|film| film.image.as_mut()) {
        let read = load(&image.path.value).map_err(Refused::Unreadable);
        match read.and_then(|bytes| picture(&bytes)) {
            Ok(picture) => image.picture = Some(Arc::new(picture)),
            Err(why) => {
                let message = format!("`{}` cannot be shown: {why}", image.path.value);
                report.add(why.code(), &image.path.place, message);
            }
        }
    }
}

/// The picture of a PNG or JPEG file.
pub fn picture(bytes: &[u8]) -> Result<FilmPicture, Refused> {
    let decoded = decode(bytes)?;
    let pixels = (decoded.width(), decoded.height());
    let png = encode(&reduced(&grey(decoded)));
    let (digest, file) = (Digest::of(&png), Digest::of(bytes));
    Ok(FilmPicture { pixels, png: png.into(), digest, file })
}

fn decode(bytes: &[u8]) -> Result<DynamicImage, Refused> {
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Png | ImageFormat::Jpeg)) => format,
        _ => return Err(Refused::Unreadable("it is neither a PNG nor a JPEG file".into())),
    };
    if format == ImageFormat::Jpeg && !ends(bytes) {
        return Err(Refused::Unreadable("the file is cut short".into()));
    }
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if width > LONGEST || height > LONGEST || pixels > MOST || decoder.total_bytes() > MEMORY {
        return Err(Refused::TooLarge(width, height));
    }
    if decoder.orientation().map_err(damaged)? != Orientation::NoTransforms {
        return Err(Refused::Turned);
    }
    DynamicImage::from_decoder(decoder).map_err(damaged)
}

fn damaged(_: image::ImageError) -> Refused {
    Refused::Unreadable("the file is damaged".into())
}

/// Whether a JPEG file holds the mark of its end after that of its last scan:
/// what is cut short would be filled up with grey.
fn ends(bytes: &[u8]) -> bool {
    let last = |mark: [u8; 2]| bytes.windows(2).rposition(|pair| pair == mark);
    last([0xFF, 0xD9]) > last([0xFF, 0xDA])
}

/// A grey picture, row by row from the top.
struct Grey {
    width: u32,
    height: u32,
    values: Vec<u8>,
}

fn grey(image: DynamicImage) -> Grey {
    let (width, height) = (image.width(), image.height());
    let values = match image {
        DynamicImage::ImageLuma8(grey) => grey.into_raw(),
        DynamicImage::ImageLuma16(grey) => {
            grey.into_raw().into_iter().map(|v| ((u32::from(v) + 128) / 257) as u8).collect()
        }
        other => other.to_rgba8().pixels().map(|p| luma(p.0)).collect(),
    };
    Grey { width, height, values }
}

/// Brightness of a coloured point over black, by the weights of ITU-R BT.709.
fn luma([r, g, b, alpha]: [u8; 4]) -> u8 {
    let bright = 2126 * u32::from(r) + 7152 * u32::from(g) + 722 * u32::from(b);
    ((bright * u32::from(alpha) + 1_275_000) / 2_550_000) as u8
}

/// The picture brought down to what is shown, each new point the mean of those
/// it stands for; a small picture stays as it is.
fn reduced(grey: &Grey) -> Grey {
    let longest = grey.width.max(grey.height);
    if longest <= SHOWN {
        let values = grey.values.clone();
        return Grey { values, ..*grey };
    }
    let share =
        |side: u32| ((u64::from(side) * u64::from(SHOWN) / u64::from(longest)) as u32).max(1);
    let (width, height) = (share(grey.width), share(grey.height));
    let mut values = Vec::with_capacity((width * height) as usize);
    for row in 0..height {
        let rows = part(row, height, grey.height);
        for column in 0..width {
            values.push(mean(grey, part(column, width, grey.width), rows.clone()));
        }
    }
    Grey { width, height, values }
}

/// Which of `all` points the point `at` of `parts` stands for: at least one.
fn part(at: u32, parts: u32, all: u32) -> std::ops::Range<u32> {
    let edge = |at: u32| (u64::from(at) * u64::from(all) / u64::from(parts)) as u32;
    edge(at)..edge(at + 1)
}

fn mean(grey: &Grey, columns: std::ops::Range<u32>, rows: std::ops::Range<u32>) -> u8 {
    let count = columns.len() as u64 * rows.len() as u64;
    let mut sum = 0;
    for row in rows {
        let start = row as usize * grey.width as usize;
        let line = &grey.values[start + columns.start as usize..start + columns.end as usize];
        sum += line.iter().map(|v| u64::from(*v)).sum::<u64>();
    }
    ((sum + count / 2) / count) as u8
}

fn encode(grey: &Grey) -> Vec<u8> {
    let mut png = Vec::new();
    PngEncoder::new_with_quality(&mut png, CompressionType::Default, FilterType::Adaptive)
        .write_image(&grey.values, grey.width, grey.height, ExtendedColorType::L8)
        .expect("a grey picture of that many points is written to memory");
    png
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brightness_is_weighed_and_hidden_points_are_black() {
        assert_eq!(luma([255, 255, 255, 255]), 255);
        assert_eq!(luma([0, 0, 0, 255]), 0);
        // 0.7152 x 255 = 182.4.
        assert_eq!(luma([0, 255, 0, 255]), 182);
        assert_eq!(luma([255, 255, 255, 0]), 0);
        assert_eq!(luma([255, 255, 255, 128]), 128);
    }

    #[test]
    fn a_reduced_point_is_the_mean_of_those_it_stands_for() {
        // 2000 by 2 points: columns 0 and 1 become one, 10 + 20 + 30 + 41 over 4 = 25.25.
        let mut values = vec![0; 4000];
        (values[0], values[1], values[2000], values[2001]) = (10, 20, 30, 41);
        let small = reduced(&Grey { width: 2000, height: 2, values });
        assert_eq!((small.width, small.height), (1000, 1));
        assert_eq!(&small.values[..2], [25, 0]);
    }

    #[test]
    fn parts_of_uneven_size_leave_nothing_out() {
        // 7 points in 3 parts: 0 1, 2 3, 4 5 6.
        let parts: Vec<_> = (0..3).map(|at| part(at, 3, 7)).collect();
        assert_eq!(parts, [0..2, 2..4, 4..7]);
    }
}
