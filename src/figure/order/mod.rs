//! The spine with the pads and reliefs of an order at their levels: the
//! model, its drawing, its alt text.
//!
//! Drawn large and as seen from behind, the patient's left at the page's left,
//! both sides written out at the head. Every vertebra bears its level. A pad
//! is a filled bar with an arrow towards the spine, a relief an open dashed
//! frame, each with the number under which the letter's table tells of it.
//!
//! Must not know: how the film was displayed, nor whether a pad is well
//! placed. Corners come in the patient's axes.

mod alt;
mod draw;
mod place;

use super::spine::{Corners, PanelCurve};
use crate::spine::{Level, Side};

pub use alt::alt;
pub use draw::draw;

/// An order over the film it goes by.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderFigure {
    /// Corners of each vertebral body as (across, up) in the patient's axes,
    /// as [`super::spine::SpinePanel`] has them.
    pub vertebrae: Vec<(Level, Corners)>,
    /// The curves measured.
    pub curves: Vec<PanelCurve>,
    /// Pads and reliefs.
    pub marks: Vec<Mark>,
    /// What stands below: posture and date of the film.
    pub captions: Vec<String>,
    /// Words in the letter's language.
    pub words: OrderWords,
}

/// A pad or a relief on one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Whether it presses or gives room.
    pub kind: MarkKind,
    /// Its number in the letter's table.
    pub number: String,
    /// Its highest level.
    pub upper: Level,
    /// Its lowest level.
    pub lower: Level,
    /// The patient's side.
    pub side: Side,
}

/// What a mark stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// It presses.
    Pad,
    /// It gives room.
    Relief,
}

/// Words of the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderWords {
    /// Head of the page's left: `patient's left`.
    pub left: String,
    /// Head of the page's right: `patient's right`.
    pub right: String,
    /// `{number}`.
    pub pad: String,
    /// `{number}`.
    pub relief: String,
    /// Opens the alt text.
    pub alt: String,
    /// `{caption}` and `{list}`: the film and its curves.
    pub alt_film: String,
    /// `{list}`: the pads and reliefs.
    pub alt_marks: String,
    /// `{upper}`, `{lower}`, `{apex}`, `{side}` and `{angle}`.
    pub alt_curve: String,
    /// `{mark}`, `{level}` and `{side}`.
    pub alt_mark: String,
    /// `{upper}` and `{lower}`.
    pub alt_levels: String,
    /// Left and right within a sentence.
    pub sides: [String; 2],
}

impl Default for OrderWords {
    fn default() -> Self {
        OrderWords {
            left: "patient’s LEFT".into(),
            right: "patient’s RIGHT".into(),
            pad: "pad {number}".into(),
            relief: "relief {number}".into(),
            alt: "The spine drawn from its landmarks, seen from behind: the patient's left is \
                  at the left. Pads press, reliefs give room."
                .into(),
            alt_film: "Film ({caption}): {list}.".into(),
            alt_marks: "Ordered: {list}.".into(),
            alt_curve: "{upper} to {lower}, apex {apex}, convex to the patient's {side}, {angle}"
                .into(),
            alt_mark: "{mark} at {level} on the patient's {side}".into(),
            alt_levels: "{upper} to {lower}".into(),
            sides: ["left", "right"].map(str::to_owned),
        }
    }
}
