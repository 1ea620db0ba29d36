//! The films themselves, with the measured lines drawn over them: the model,
//! its drawing, its alt text.
//!
//! A film is shown as its picture lies, never mirrored and never cut; the
//! patient's sides stand over its own edges, so that they turn with the display
//! that was recorded. Films share one scale where each has one, and otherwise
//! one height, which is said. Lines and levels are those of each reading; the
//! angle is the one that the letter prints.
//!
//! Must not know: files, or how a display becomes a side. Points come in the
//! pixels of the picture, as displayed.

mod alt;
mod draw;
mod label;
mod layout;

use crate::digest::Digest;
use crate::spine::Level;

pub use alt::{alt, caption};
pub use draw::draw;

/// One to three films of one patient side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Films {
    /// The films, in the order of reading.
    pub films: Vec<FilmPanel>,
    /// Words in the letter's language.
    pub words: FilmWords,
}

/// One film.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPanel {
    /// Its picture, by the digest of what is shown.
    pub picture: Digest,
    /// Width and height of the picture file, in pixels: the frame of all
    /// points.
    pub pixels: (f64, f64),
    /// Millimetres that one of these pixels stands for.
    pub scale: Option<f64>,
    /// What lies at the viewer's left; the opposite lies at the right.
    pub at_left: Way,
    /// The curves measured.
    pub curves: Vec<FilmCurve>,
    /// Vertebral bodies as corners in pixels: what no label may hide.
    pub bodies: Vec<[Pixel; 4]>,
    /// What stands below, such as `out of brace, standing` and the date.
    pub captions: Vec<String>,
    /// Taken in a brace or cast: stands apart behind a line.
    pub in_support: bool,
}

/// A point of a picture: x to the right, y downward.
pub type Pixel = (f64, f64);

/// A direction of the patient.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// The patient's left.
    Left,
    /// The patient's right.
    Right,
    /// The front, on a lateral film.
    Front,
    /// The back, on a lateral film.
    Back,
}

impl Way {
    /// The direction at the other edge.
    pub fn opposite(self) -> Way {
        match self {
            Way::Left => Way::Right,
            Way::Right => Way::Left,
            Way::Front => Way::Back,
            Way::Back => Way::Front,
        }
    }
}

/// One curve of a film.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmCurve {
    /// The angle as printed, such as `31°`.
    pub angle: String,
    /// Where it is convex.
    pub convex: Way,
    /// Its lines, one entry a reading.
    pub readings: Vec<ReadingLines>,
}

/// The endplates that one reading measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingLines {
    /// Upper endplate of the upper end vertebra.
    pub upper: Plate,
    /// Lower endplate of the lower end vertebra.
    pub lower: Plate,
}

/// One endplate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Of which vertebra.
    pub level: Level,
    /// Its ends at the viewer's left and right.
    pub ends: (Pixel, Pixel),
}

/// Words of the figure; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FilmWords {
    /// Marks of the patient's left, right, front and back.
    pub sides: [String; 4],
    /// Under a film that is shown from behind, from the front, facing left or
    /// facing right, where the films differ in that.
    pub displayed: [String; 4],
    /// What stands under the figure.
    pub caption: CaptionWords,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

/// What stands under the figure; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaptionWords {
    /// Of one film, `{displayed}`.
    pub one: String,
    /// Of several, at one scale, `{displayed}`.
    pub to_scale: String,
    /// Of several without one scale, `{displayed}`.
    pub not_to_scale: String,
    /// Where all films are displayed alike: `, {way}`.
    pub displayed: String,
    /// Where lines are drawn.
    pub lines: String,
    /// Where two readings are drawn.
    pub readings: String,
    /// What the letters at the upper edges are.
    pub sides: String,
    /// Where a film was taken in support.
    pub in_support: String,
}

/// Sentences of the alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// Opens it, at one scale.
    pub to_scale: String,
    /// Opens it without one scale.
    pub not_to_scale: String,
    /// Opens it for one film.
    pub one: String,
    /// `{n}`, `{caption}`, `{displayed}`, `{side}` and `{list}`.
    pub film: String,
    /// `{angle}`, `{upper}`, `{lower}` and `{side}`.
    pub curve: String,
    /// No line is drawn on it.
    pub no_curve: String,
    /// Left, right, front and back within a sentence.
    pub sides: [String; 4],
}

impl Default for FilmWords {
    fn default() -> Self {
        FilmWords {
            sides: ["L", "R", "front", "back"].map(str::to_owned),
            displayed: [
                "displayed from behind",
                "displayed from the front",
                "facing left",
                "facing right",
            ]
            .map(str::to_owned),
            caption: CaptionWords::default(),
            alt: AltWords::default(),
        }
    }
}

impl Default for CaptionWords {
    fn default() -> Self {
        CaptionWords {
            one: "The film{displayed}.".into(),
            to_scale: "The films at one scale{displayed}.".into(),
            not_to_scale: "The films{displayed}, not at one scale: not every film has one.".into(),
            displayed: ", {way}".into(),
            lines: "Lines: the endplates measured.".into(),
            readings: "Dashed: a second reading.".into(),
            sides: "The patient’s sides stand over each film.".into(),
            in_support: "Behind the line: in the brace or cast, not a result.".into(),
        }
    }
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            to_scale: "Radiographs side by side at one scale, with the measured endplates drawn \
                       on them."
                .into(),
            not_to_scale: "Radiographs side by side, not at one scale, with the measured \
                           endplates drawn on them."
                .into(),
            one: "A radiograph with the measured endplates drawn on it.".into(),
            film: "Film {n} ({caption}), {displayed}, {side} at the left of the picture: {list}."
                .into(),
            curve: "{upper} to {lower}, convex to the {side}, {angle}".into(),
            no_curve: "no line drawn".into(),
            sides: ["patient's left", "patient's right", "front", "back"].map(str::to_owned),
        }
    }
}

/// The word of a direction in a list of left, right, front and back.
fn word(words: &[String; 4], way: Way) -> &str {
    &words[match way {
        Way::Left => 0,
        Way::Right => 1,
        Way::Front => 2,
        Way::Back => 3,
    }]
}

/// How a film lies, by what is at the viewer's left: from behind, from the
/// front, facing left, facing right.
fn displayed(words: &FilmWords, film: &FilmPanel) -> String {
    word(&words.displayed, film.at_left).to_owned()
}

/// Whether all films lie alike.
fn alike(films: &[FilmPanel]) -> bool {
    films.windows(2).all(|pair| pair[0].at_left == pair[1].at_left)
}

/// Whether all films can be shown at one scale.
fn to_scale(films: &[FilmPanel]) -> bool {
    films.iter().all(|film| film.scale.is_some())
}
