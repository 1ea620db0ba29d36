//! The spine from its landmarks: the model, its drawing, its alt text.
//!
//! Frontal films are drawn as seen from behind, the patient's left at the
//! left; lateral films face left. Panels out of support share one scale; a
//! panel in a brace or cast is smaller and stands apart behind a thin line, so
//! that it is not taken for a result. Each panel carries its own sides.
//!
//! Must not know: how a film was displayed. Corners come in the patient's
//! axes; angles come in as the text that the letter prints, never measured
//! again here. Without landmarks there is no drawing.

mod alt;
mod body;
mod draw;
mod label;
mod layout;

use crate::spine::{Apex, Level, Side};

pub use alt::alt;
pub use draw::draw;

/// Usual space for the spine beside a course.
pub const USUAL_SIZE: super::Size = super::Size { width: 82.0, height: 72.0 };

/// One to three films of one patient side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct SpinePanels {
    /// From where the films are seen.
    pub view: PanelView,
    /// The films, in the order of reading.
    pub panels: Vec<SpinePanel>,
    /// Words in the letter's language.
    pub words: SpineWords,
}

/// From where a film is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PanelView {
    /// From behind: across is the patient's x, to the left positive.
    Frontal,
    /// Facing left: across is the patient's y, to the back positive.
    Lateral,
}

/// One film.
#[derive(Debug, Clone, PartialEq)]
pub struct SpinePanel {
    /// Corners of each vertebral body as (across, up) in the patient's axes.
    /// Frontal: upper left, upper right, lower right, lower left, the
    /// patient's sides; lateral: upper front, upper back, lower back, lower
    /// front.
    pub vertebrae: Vec<(Level, Corners)>,
    /// Whether corners are millimetres; otherwise pixels of unknown scale,
    /// which are brought to the size of the first film.
    pub in_millimetres: bool,
    /// The curves measured.
    pub curves: Vec<PanelCurve>,
    /// What stands below, such as `out of brace, standing` and the date.
    pub captions: Vec<String>,
    /// Taken in a brace or cast: drawn smaller and apart.
    pub in_support: bool,
}

/// Four corners of a vertebral body.
pub type Corners = [(f64, f64); 4];

/// One curve of a film.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelCurve {
    /// Upper end vertebra.
    pub upper: Level,
    /// Apical vertebra or disc.
    pub apex: Apex,
    /// Lower end vertebra.
    pub lower: Level,
    /// The angle as printed, such as `31°`.
    pub angle: String,
    /// Where the curve is convex.
    pub convex: Convexity,
}

/// Where a curve is convex: a side of the patient, or front or back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Convexity {
    /// To the patient's left.
    Left,
    /// To the patient's right.
    Right,
    /// To the front, as a lordosis.
    Front,
    /// To the back, as a kyphosis.
    Back,
}

impl From<Side> for Convexity {
    fn from(side: Side) -> Self {
        match side {
            Side::Left => Convexity::Left,
            Side::Right => Convexity::Right,
        }
    }
}

/// Words of the spine's figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpineWords {
    /// Mark of the patient's left.
    pub left: String,
    /// Mark of the patient's right.
    pub right: String,
    /// Mark of the front in a lateral film.
    pub front: String,
    /// Mark of the back in a lateral film.
    pub back: String,
    /// Sentences of the alt text.
    pub alt: AltWords,
}

impl Default for SpineWords {
    fn default() -> Self {
        SpineWords {
            left: "L".into(),
            right: "R".into(),
            front: "front".into(),
            back: "back".into(),
            alt: AltWords::default(),
        }
    }
}

/// Sentences of the spine's alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// Opens a frontal figure.
    pub frontal: String,
    /// Opens a lateral figure.
    pub lateral: String,
    /// `{n}`, `{caption}` and `{list}`.
    pub panel: String,
    /// The same for a film in support.
    pub in_support: String,
    /// `{n}` and `{caption}`: a film without a measured curve.
    pub no_curve: String,
    /// `{angle}`, `{upper}`, `{lower}`, `{apex}` and `{side}`.
    pub curve: String,
    /// The same for front and back.
    pub sagittal: String,
    /// Left, right, front and back within a sentence.
    pub sides: [String; 4],
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            frontal: "The spine drawn from its landmarks, seen from behind: the patient's left \
                      is at the left."
                .into(),
            lateral: "The spine drawn from its landmarks, seen from the side, facing left.".into(),
            panel: "Film {n} ({caption}): {list}.".into(),
            in_support: "Film {n}, drawn smaller and apart because it was taken in support \
                         ({caption}): {list}."
                .into(),
            no_curve: "no curve measured".into(),
            curve: "{upper} to {lower}, apex {apex}, convex to the patient's {side}, {angle}"
                .into(),
            sagittal: "{upper} to {lower}, apex {apex}, convex to the {side}, {angle}".into(),
            sides: ["left", "right", "front", "back"].map(str::to_owned),
        }
    }
}
