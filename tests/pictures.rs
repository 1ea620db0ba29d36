//! Pictures of films: read, refused, cleaned, shown with the patient's sides,
//! and never forgotten when a letter is made again.
//!
//! All pictures here are drawn, not taken.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use endplate::case::film_image::{Refused, picture};
use endplate::diag::Code;
use endplate::digest::Digest;
use endplate::letter::block::{Block, Figure};
use endplate::letter::drawing::{MOST_PICTURES, Pictures, Shape};
use endplate::pipeline::letter::Written;
use endplate::render::Typesetter;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, GrayImage, ImageBuffer, ImageFormat, Luma, Rgba, RgbaImage};
use lopdf::{Document, Object};

use crate::support::demo::{case_text, demo, read_text, shown, sound};
use crate::support::validate::claimed;
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
            fs::write(&path, drawn.png()).unwrap();
        }
        let bytes = fs::read(&path).unwrap();
        assert!(bytes.len() < LARGEST, "{} has {} bytes", named.0, bytes.len());
        let read = image::load_from_memory(&bytes).unwrap().into_luma8();
        assert_eq!(read.dimensions(), named.1);
        assert!(read.into_raw() == drawn.values, "{}: run again with ENDPLATE_BLESS=1", named.0);
    }
}

// --- files

fn encoded(image: impl Into<DynamicImage>, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    image.into().write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn ramp(width: u32, height: u32) -> GrayImage {
    GrayImage::from_fn(width, height, |x, y| Luma([((x * 7 + y * 3) % 251) as u8]))
}

fn png(image: impl Into<DynamicImage>) -> Vec<u8> {
    encoded(image, ImageFormat::Png)
}

fn jpeg(image: &GrayImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 90).encode_image(image).unwrap();
    bytes
}

/// What is shown of a file, decoded by a library.
fn pixels(file: &[u8]) -> GrayImage {
    let read = picture(file).unwrap();
    image::load_from_memory_with_format(&read.png, ImageFormat::Png).unwrap().into_luma8()
}

/// A part of a PNG file with its length and checksum.
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut out = (data.len() as u32).to_be_bytes().to_vec();
    out.extend(kind);
    out.extend(data);
    let mut crc = u32::MAX;
    for byte in kind.iter().chain(data) {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xEDB8_8320 } else { crc >> 1 };
        }
    }
    out.extend((crc ^ u32::MAX).to_be_bytes());
    out
}

/// A PNG file with a further part after its head.
fn with_chunk(mut file: Vec<u8>, kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    // Signature, then a head of 13 bytes with length, kind and checksum.
    file.splice(33..33, chunk(kind, data));
    file
}

/// Exif data with one entry: how the picture wants to be turned.
fn exif(orientation: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    tiff.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    tiff
}

/// A JPEG file with Exif data after its first mark.
fn with_exif(mut file: Vec<u8>, orientation: u8) -> Vec<u8> {
    let mut data = b"Exif\0\0".to_vec();
    data.extend(exif(orientation));
    let mut part = vec![0xFF, 0xE1];
    part.extend((data.len() as u16 + 2).to_be_bytes());
    part.extend(data);
    file.splice(2..2, part);
    file
}

#[test]
fn small_pictures_keep_every_point() {
    let image = ramp(90, 200);
    assert_eq!(pixels(&png(image.clone())), image);
    // Sixteen bits to eight: v / 257.
    let deep =
        ImageBuffer::from_fn(90, 200, |x, y| Luma([u16::from(image.get_pixel(x, y)[0]) * 257]));
    assert_eq!(pixels(&png(DynamicImage::ImageLuma16(deep))), image);
    // Grey colours stay what they are; a JPEG differs by its own losses alone.
    let rgba = RgbaImage::from_fn(90, 200, |x, y| {
        let v = image.get_pixel(x, y)[0];
        Rgba([v, v, v, 255])
    });
    assert_eq!(pixels(&png(rgba)), image);
    let flat = GrayImage::from_pixel(64, 64, Luma([140]));
    assert!(pixels(&jpeg(&flat)).pixels().all(|p| p[0].abs_diff(140) <= 1));
}

#[test]
fn large_pictures_are_brought_down_and_remember_their_size() {
    // Two grey halves, 2600 points high: 1000 are shown, with the same halves.
    let image = GrayImage::from_fn(1300, 2600, |x, _| Luma([if x < 650 { 40 } else { 200 }]));
    let read = picture(&png(image.clone())).unwrap();
    assert_eq!(read.pixels, (1300, 2600));
    let seen = pixels(&png(image));
    assert_eq!(seen.dimensions(), (500, 1000));
    assert!(seen.enumerate_pixels().all(|(x, _, p)| p[0] == if x < 250 { 40 } else { 200 }));
}

#[test]
fn one_file_gives_the_same_bytes_every_time() {
    let file = fs::read(films().join("fw-0087-f1.png")).unwrap();
    let first = picture(&file).unwrap();
    let threads: Vec<_> = (0..3)
        .map(|_| {
            std::thread::spawn({
                let file = file.clone();
                move || picture(&file)
            })
        })
        .collect();
    for thread in threads {
        assert_eq!(thread.join().unwrap().unwrap(), first);
    }
    assert_eq!(first.digest, Digest::of(&first.png));
    assert_eq!(first.file, Digest::of(&file));
}

#[test]
fn nothing_but_pixels_passes() {
    let name = b"Patient\0Ottilie Brankhurst 1977";
    let plain = png(ramp(60, 80));
    let marked = with_chunk(plain.clone(), b"tEXt", name);
    let read = picture(&marked).unwrap();
    assert_eq!(read.digest, picture(&plain).unwrap().digest);
    assert!(!read.png.windows(9).any(|w| w == b"Brankhurs"));
    // The parts of a PNG file without any metadata.
    let kinds: Vec<&[u8]> =
        [&b"tEXt"[..], b"iTXt", b"zTXt", b"eXIf", b"iCCP", b"tIME", b"pHYs"].into();
    for kind in kinds {
        assert!(!read.png.windows(4).any(|w| w == kind), "{}", String::from_utf8_lossy(kind));
    }
    let jpeg = with_exif(jpeg(&ramp(64, 64)), 1);
    let read = picture(&jpeg).unwrap();
    assert!(!read.png.windows(4).any(|w| w == b"Exif" || w == b"eXIf"));
}

#[test]
fn what_is_no_upright_picture_is_refused() {
    let unreadable = |bytes: &[u8]| match picture(bytes) {
        Err(Refused::Unreadable(why)) => why,
        other => panic!("{other:?}"),
    };
    assert_eq!(unreadable(b"level,corner,x,y"), "it is neither a PNG nor a JPEG file");
    assert_eq!(unreadable(b"GIF89a\x01\0\x01\0\0\0\0;"), "it is neither a PNG nor a JPEG file");
    assert_eq!(unreadable(b""), "it is neither a PNG nor a JPEG file");
    let (whole_png, whole_jpeg) = (png(ramp(200, 300)), jpeg(&ramp(200, 300)));
    for part in [20, 60, whole_png.len() - 40] {
        assert_eq!(unreadable(&whole_png[..part]), "the file is damaged", "{part} bytes");
    }
    assert_eq!(unreadable(&whole_jpeg[..whole_jpeg.len() / 2]), "the file is cut short");
    for orientation in 2..=8 {
        let turned = with_exif(whole_jpeg.clone(), orientation);
        assert_eq!(picture(&turned), Err(Refused::Turned), "orientation {orientation}");
        let turned = with_chunk(whole_png.clone(), b"eXIf", &exif(orientation));
        assert_eq!(picture(&turned), Err(Refused::Turned), "PNG, orientation {orientation}");
    }
    assert!(picture(&with_exif(whole_jpeg, 1)).is_ok());
}

#[test]
fn a_picture_far_too_large_is_refused_before_it_is_decoded() {
    for (width, height) in [(30_000u32, 30u32), (12_000, 12_000)] {
        let mut head = [width.to_be_bytes(), height.to_be_bytes()].concat();
        head.extend([8, 0, 0, 0, 0]);
        let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
        file.extend(chunk(b"IHDR", &head));
        file.extend(chunk(b"IDAT", &[]));
        assert_eq!(picture(&file), Err(Refused::TooLarge(width, height)));
    }
}

// --- the letter

fn written(id: &str) -> Written {
    let case = demo().case("fw-0087");
    let entry = case.letters.iter().find(|l| *l.id == id).unwrap();
    demo().written(case, entry)
}

fn figures(written: &Written) -> Vec<&Figure> {
    let of = written.letter.blocks.iter().flat_map(|block| match block {
        Block::Figures { figures } => figures.as_slice(),
        _ => &[],
    });
    of.collect()
}

fn named(written: &Written) -> Vec<Digest> {
    let shapes = figures(written).into_iter().flat_map(|f| &f.drawing.shapes);
    let digests = shapes.filter_map(|shape| match shape {
        Shape::Picture { digest, .. } => Some(*digest),
        _ => None,
    });
    digests.collect()
}

#[test]
fn bytes_travel_beside_the_letter() {
    let opinion = written("l2");
    let named = named(&opinion);
    assert_eq!(named.len(), 3);
    for (digest, file) in named.iter().zip(["f1", "f6", "f2"]) {
        let bytes = fs::read(films().join(format!("fw-0087-{file}.png"))).unwrap();
        assert_eq!(*digest, picture(&bytes).unwrap().digest, "{file}");
        assert_eq!(Digest::of(&opinion.pictures[digest].bytes), *digest);
    }
    let json = serde_json::to_vec(&opinion.letter).unwrap();
    let shown: usize = opinion.pictures.values().map(|p| p.bytes.len()).sum();
    assert!(json.len() < 60_000 && shown > 100_000, "{} beside {shown}", json.len());
    // A letter of 2025 knows neither film of 2026, nor shows an old one alone.
    assert!(self::named(&written("l1")).is_empty());
    assert!(written("l4").pictures.is_empty());
}

/// The dictionaries of the raster pictures in a document.
fn rasters(pdf: &[u8]) -> Vec<lopdf::Dictionary> {
    let document = Document::load_mem(pdf).unwrap();
    let is = |d: &lopdf::Dictionary| {
        d.get(b"Subtype").is_ok_and(|s| matches!(s, Object::Name(n) if n == b"Image"))
    };
    let streams = document.objects.values().filter_map(|o| o.as_stream().ok());
    streams.map(|s| s.dict.clone()).filter(is).collect()
}

#[test]
fn films_are_pages_that_hold_to_both_standards() {
    let case = demo().case("fw-0087");
    let entry = case.letters.iter().find(|l| *l.id == "l2").unwrap();
    let pdf = demo().pdf(case, entry);
    assert_eq!(claimed(&pdf), Vec::<String>::new());
    let rasters = rasters(&pdf);
    assert_eq!(rasters.len(), 3);
    for raster in rasters {
        let number = |key: &[u8]| raster.get(key).unwrap().as_i64().unwrap();
        // 1000 by 2640 points of the file, brought down to 378 by 1000.
        assert_eq!((number(b"Width"), number(b"Height")), (378, 1000));
    }
    let told = figures(&written("l2"))[0].alt.clone();
    assert!(told.contains("patient's left at the left of the picture"), "{told}");
    assert!(told.contains("T6 to T12, convex to the patient's right, 47°"), "{told}");
    let text = Document::load_mem(&pdf).unwrap().extract_text(&[1]).unwrap();
    assert!(text.contains("The films at one scale, displayed from behind."), "{text}");
}

#[test]
fn a_picture_without_bytes_or_a_ninth_one_is_refused() {
    let opinion = written("l2");
    let typesetter = Typesetter::new(Vec::new());
    let faults = typesetter.pdf(&opinion.letter, &Pictures::new()).unwrap_err();
    assert_eq!(faults.len(), 3);
    assert!(faults.iter().all(|f| f.code == Code::TypesettingFailed));
    let mut many = opinion.letter.clone();
    let mut pictures = opinion.pictures.clone();
    let first = pictures.values().next().unwrap().clone();
    let Some(Block::Figures { figures }) =
        many.blocks.iter_mut().find(|b| matches!(b, Block::Figures { .. }))
    else {
        panic!("a letter with figures")
    };
    for n in 0..=MOST_PICTURES {
        let digest = Digest::of(&[n as u8]);
        pictures.insert(digest, first.clone());
        let shape = Shape::Picture { at: (0.0, 0.0), width: 9.0, height: 9.0, digest };
        figures[0].drawing.shapes.push(shape);
    }
    let faults = typesetter.pdf(&many, &pictures).unwrap_err();
    assert!(faults[0].message.contains("12 pictures, more than 8"), "{}", faults[0].message);
}

/// Places of a text in a figure, as the middle of its left edge.
fn places(figure: &Figure, wanted: &str) -> Vec<f64> {
    let at = |shape: &Shape| match shape {
        Shape::Text { at, text, .. } if text == wanted => Some(at.0),
        _ => None,
    };
    figure.drawing.shapes.iter().filter_map(at).collect()
}

/// Promise: the sides on the page are the patient's, whichever way the film
/// was displayed.
#[test]
fn a_film_declared_otherwise_has_its_marks_at_the_other_edge() {
    let films_of = |text: &str| {
        let case = sound(text, "fw-0087");
        let entry = case.letters.iter().find(|l| *l.id == "l2").unwrap();
        figures(&demo().written(&case, entry))[0].clone()
    };
    let text = case_text("fw-0087");
    let behind = films_of(&text);
    let turned: String = text
        .lines()
        .map(|line| match line.trim() {
            "displayed: from behind" => line.replace("from behind", "from the front"),
            _ => line
                .replace("convex: left", "convex: L")
                .replace("convex: right", "convex: left")
                .replace("convex: L", "convex: right")
                .replace("bent_to: left", "bent_to: L")
                .replace("bent_to: right", "bent_to: left")
                .replace("bent_to: L", "bent_to: right"),
        } + "\n")
        .collect();
    let front = films_of(&turned);
    let (l, r) = (places(&behind, "L"), places(&behind, "R"));
    assert_eq!((l.len(), r.len()), (3, 3));
    assert!(l.iter().zip(&r).all(|(l, r)| l < r));
    let (l, r) = (places(&front, "L"), places(&front, "R"));
    assert!(l.len() == 3 && l.iter().zip(&r).all(|(l, r)| r < l));
    assert!(front.caption.contains("displayed from the front"), "{}", front.caption);
    // The pictures and the lines on them lie as before.
    let fixed = |figure: &Figure| {
        let shapes = figure.drawing.shapes.iter();
        shapes.filter(|s| matches!(s, Shape::Picture { .. })).cloned().collect::<Vec<_>>()
    };
    assert_eq!(fixed(&behind), fixed(&front));
}

#[test]
fn a_picture_that_does_not_fit_its_film_is_a_fault() {
    let text = case_text("fw-0087");
    let codes = |text: &str| {
        let (_, report) = read_text(text, "fw-0087");
        let found: Vec<Code> = report.iter().map(|d| d.code).collect();
        (found, shown(&report))
    };
    let with = |old: &str, new: &str| codes(&text.replace(old, new));
    let (found, said) = with("films/fw-0087-f2.png", "films/fw-0087-f1.png");
    assert!(found.contains(&Code::FilmImageShared), "{said}");
    let (found, said) = with("films/fw-0087-f2.png", "films/none.png");
    assert!(found.contains(&Code::FilmImageUnread), "{said}");
    let (found, said) = with("films/fw-0087-f2.png", "films/fw-0087-f2.csv");
    assert!(said.contains("it is neither a PNG nor a JPEG file"), "{found:?} {said}");
    // Landmarks of a larger child on the same picture size still fit; those
    // of a film whose column stands further right do not.
    let (found, said) = with("films/fw-0087-f2.csv", "films/fw-0171-f2.csv");
    assert!(found.contains(&Code::LandmarksOutsideImage), "{said}");
}

// --- built again

struct Clinic(tempfile::TempDir);

impl Clinic {
    /// The demo clinic with one case.
    fn new() -> Clinic {
        let clinic = Clinic(tempfile::tempdir().unwrap());
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
        let films = clinic.path("cases/films");
        fs::create_dir_all(&films).unwrap();
        for name in ["clinic.yaml", "fw-0087.yaml"] {
            fs::copy(from.join(name), clinic.path("cases").join(name)).unwrap();
        }
        for entry in fs::read_dir(from.join("films")).unwrap() {
            let entry = entry.unwrap();
            if entry.file_name().to_string_lossy().starts_with("fw-0087") {
                fs::copy(entry.path(), films.join(entry.file_name())).unwrap();
            }
        }
        clinic
    }

    fn path(&self, below: &str) -> PathBuf {
        self.0.path().join(below)
    }

    fn run(&self, command: &str) -> Output {
        Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(command.split(' '))
            .current_dir(self.0.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    /// What was printed; panics where the command failed.
    fn says(&self, command: &str) -> String {
        let output = self.run(command);
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{command}: {err}");
        format!("{}{err}", String::from_utf8_lossy(&output.stdout))
    }

    /// Turns the picture of a film's bright and dark over.
    fn edit(&self, film: &str) {
        let path = self.path(&format!("cases/films/fw-0087-{film}.png"));
        let mut image = image::open(&path).unwrap();
        image.invert();
        fs::write(path, png(image)).unwrap();
    }
}

#[test]
fn an_edited_picture_builds_its_letters_again_and_no_other() {
    let clinic = Clinic::new();
    clinic.says("build");
    let before = fs::read(clinic.path("out/fw-0087/l2-surgical-opinion-surgeon.pdf")).unwrap();
    let again = clinic.says("build");
    assert!(again.contains("4 letters: 4 unchanged"), "{again}");
    clinic.edit("f6");
    let told = clinic.says("build --why");
    assert!(told.contains("4 letters: 2 changed, 2 unchanged"), "{told}");
    assert!(told.contains("changed") && told.contains("films/fw-0087-f6.png"), "{told}");
    let after = fs::read(clinic.path("out/fw-0087/l2-surgical-opinion-surgeon.pdf")).unwrap();
    assert!(before != after);
}

#[test]
fn an_issued_letter_knows_the_pictures_it_showed() {
    let clinic = Clinic::new();
    clinic.says("issue fw-0087/l3 --by ev --yes fw-0087/l3");
    let record =
        fs::read_to_string(clinic.path("cases/issued/letters/fw-0087-l3-v1.json")).unwrap();
    // No bytes of a picture, encoded or not, only digests.
    assert!(!record.contains("iVBORw0KGgo") && !record.contains("PNG"));
    let check = || {
        let output = clinic.run("check");
        String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned()
    };
    let quiet = check();
    assert!(!quiet.contains("issued-file-changed"), "{quiet}");
    clinic.edit("f6");
    let said = check();
    assert!(said.contains("issued-file-changed"), "{said}");
    assert!(said.contains("`films/fw-0087-f6.png` has changed since this was issued"), "{said}");
    let touched = clinic.run("impact");
    let said = String::from_utf8_lossy(&touched.stdout).into_owned();
    assert!(said.contains("fw-0087/l3") && said.contains("films/fw-0087-f6.png"), "{said}");
    assert!(!said.contains("layout only"), "{said}");
}
