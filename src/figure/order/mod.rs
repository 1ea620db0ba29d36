//! The spine with the pads and reliefs of an order at their levels: the
//! model, its drawing, its alt text.
//!
//! Drawn large: a frontal film as seen from behind, the patient's left at the
//! page's left, a lateral one facing left, both sides written out at the head.
//! Every vertebra bears its level. A pad is a filled bar with an arrow towards
//! the spine, a relief an open dashed frame, each with the number under which
//! the letter's table tells of it.
//!
//! Must not know: how the film was displayed, nor whether a pad is well
//! placed. Corners come in the patient's axes.

mod alt;
mod draw;
mod mark;
mod place;

use super::spine::{Convexity, Corners, PanelCurve, PanelView};
use crate::spine::Level;

pub use alt::alt;
pub use draw::draw;

/// An order over the film it goes by.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderFigure {
    /// From where the film is seen.
    pub view: PanelView,
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

/// A pad or a relief.
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
    /// Beside which edges of the spine: the patient's sides on a frontal film,
    /// front or back on a lateral one; one or two.
    pub edges: Vec<Convexity>,
    /// What the view cannot show, such as `at the back`; may be empty.
    pub note: String,
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
    /// Head of a lateral film's left.
    pub front: String,
    /// Head of a lateral film's right.
    pub back: String,
    /// Faces of the trunk: back, front, flank.
    pub faces: [String; 3],
    /// Sides of the patient: left, right, both.
    pub on_side: [String; 3],
    /// `{number}`.
    pub pad: String,
    /// `{number}`.
    pub relief: String,
    /// Opens the alt text of a frontal film.
    pub alt: String,
    /// Opens that of a lateral film.
    pub alt_lateral: String,
    /// `{caption}` and `{list}`: the film and its curves.
    pub alt_film: String,
    /// `{list}`: the pads and reliefs.
    pub alt_marks: String,
    /// `{upper}`, `{lower}`, `{apex}`, `{side}` and `{angle}`.
    pub alt_curve: String,
    /// The same for front and back.
    pub alt_sagittal: String,
    /// `{mark}`, `{level}` and `{edge}`.
    pub alt_mark: String,
    /// `{upper}` and `{lower}`.
    pub alt_levels: String,
    /// Left, right, front and back within a sentence.
    pub sides: [String; 4],
    /// Where a mark lies: left, right, front, back, both sides, front and back.
    pub edges: [String; 6],
}

impl Default for OrderWords {
    fn default() -> Self {
        OrderWords {
            left: "patient’s LEFT".into(),
            right: "patient’s RIGHT".into(),
            front: "FRONT".into(),
            back: "BACK".into(),
            faces: ["at the back", "in front", "at the flank"].map(str::to_owned),
            on_side: ["on the left", "on the right", "on both sides"].map(str::to_owned),
            pad: "pad {number}".into(),
            relief: "relief {number}".into(),
            alt: "The spine drawn from its landmarks, seen from behind: the patient's left is \
                  at the left. Pads press, reliefs give room."
                .into(),
            alt_lateral:
                "The spine drawn from its landmarks, seen from the side, facing left. Pads \
                          press, reliefs give room."
                    .into(),
            alt_film: "Film ({caption}): {list}.".into(),
            alt_marks: "Ordered: {list}.".into(),
            alt_curve: "{upper} to {lower}, apex {apex}, convex to the patient's {side}, {angle}"
                .into(),
            alt_sagittal: "{upper} to {lower}, apex {apex}, convex to the {side}, {angle}".into(),
            alt_mark: "{mark} at {level} {edge}".into(),
            alt_levels: "{upper} to {lower}".into(),
            sides: ["left", "right", "front", "back"].map(str::to_owned),
            edges: [
                "on the patient's left",
                "on the patient's right",
                "in front",
                "at the back",
                "on both sides",
                "in front and at the back",
            ]
            .map(str::to_owned),
        }
    }
}
