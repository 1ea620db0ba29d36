//! The outline of spine and pelvis from the side: the model, its drawing, its
//! alt text.
//!
//! Every film faces left, whichever way it was displayed, and both share one
//! scale. Drawn are the vertebrae from their corners, the measured endplates,
//! the plumb line from C7 with its distance from the sacrum, and the lines
//! that the pelvic angles lie between. A film in a brace or cast stands apart
//! behind a thin line, so that it is not taken for a result.
//!
//! Must not know: facts, cases, how a film was displayed. Points come in the
//! patient's axes, angles and distances as the letter prints them; what is not
//! marked is not drawn.

mod alt;
mod body;
mod draw;
mod label;
mod layout;

use crate::spine::Level;

pub use alt::alt;
pub use draw::draw;

/// Corners of a vertebral body as (across, up) in the patient's axes, across
/// to the back: upper front, upper back, lower back, lower front.
pub type Corners = [(f64, f64); 4];

/// One or two lateral films of one patient side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct SagittalPanels {
    /// The films, in the order of reading; no more than [`MOST`] are drawn.
    pub panels: Vec<SagittalPanel>,
    /// Words in the letter's language.
    pub words: SagittalWords,
}

/// How many films stand beside each other at most.
pub const MOST: usize = 2;

/// One film.
#[derive(Debug, Clone, PartialEq)]
pub struct SagittalPanel {
    /// The vertebrae marked; of S1 only the upper edge is measured, and its
    /// lower corners repeat the upper ones where they are not marked.
    pub vertebrae: Vec<(Level, Corners)>,
    /// Centres of the femoral heads: none, one where they lie over each
    /// other, or two.
    pub femoral_heads: Vec<(f64, f64)>,
    /// Whether points are millimetres; otherwise pixels of unknown scale,
    /// which are brought to the size of the first film.
    pub in_millimetres: bool,
    /// Kyphosis and lordosis.
    pub bends: Vec<Bend>,
    /// Where the plumb line from C7 falls.
    pub plumb: Option<Plumb>,
    /// Pelvic incidence, tilt and slope as printed, where known.
    pub pelvis: [Option<String>; 3],
    /// What stands below, such as `standing` and the date.
    pub captions: Vec<String>,
    /// Taken in a brace or cast.
    pub in_support: bool,
}

/// A kyphosis or a lordosis with its end vertebrae.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// Upper end vertebra.
    pub upper: Level,
    /// Lower end vertebra.
    pub lower: Level,
    /// Convex to the back, as a kyphosis.
    pub kyphosis: bool,
    /// The angle as printed, such as `43°`.
    pub angle: String,
}

/// The plumb line from C7 against the back upper corner of the sacrum.
#[derive(Debug, Clone, PartialEq)]
pub struct Plumb {
    /// Its distance as printed, such as `51 mm`.
    pub distance: String,
    /// Where it falls.
    pub falls: Falls,
}

/// Where the plumb line from C7 falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Falls {
    /// In front of the corner.
    InFront,
    /// On it.
    On,
    /// Behind it.
    Behind,
}

/// Words of the outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SagittalWords {
    /// Mark of the front.
    pub front: String,
    /// Mark of the back.
    pub back: String,
    /// Short name of the distance of the plumb line, before its value.
    pub axis: String,
    /// Short names of incidence, tilt and slope.
    pub pelvis: [String; 3],
    /// Stands under the figure: how to read it, then what the plumb line is
    /// (where one is drawn), the pelvic lines (likewise; the slope where it is
    /// alone), films in support.
    pub caption: [String; 5],
    /// Sentences of the alt text.
    pub alt: AltWords,
}

impl Default for SagittalWords {
    fn default() -> Self {
        SagittalWords {
            front: "front".into(),
            back: "back".into(),
            axis: "SVA".into(),
            pelvis: ["PI", "PT", "SS"].map(str::to_owned),
            caption: [
                "Drawn from the landmarks of the lateral film, facing left. Lines across: the \
                 endplates measured."
                    .into(),
                "Dashed: the plumb line from C7; SVA: its distance from the back corner of the \
                 sacrum."
                    .into(),
                "PI, PT, SS: pelvic incidence, tilt and sacral slope; ring: the hip axis.".into(),
                "SS: sacral slope.".into(),
                "In the brace or cast: apart, not a result.".into(),
            ],
            alt: AltWords::default(),
        }
    }
}

/// Sentences of the alt text; places in braces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AltWords {
    /// Opens it.
    pub opening: String,
    /// `{n}`, `{caption}` and `{list}`.
    pub panel: String,
    /// The same for a film in support.
    pub in_support: String,
    /// A kyphosis: `{upper}`, `{lower}`, `{angle}`.
    pub kyphosis: String,
    /// A lordosis.
    pub lordosis: String,
    /// Where the plumb line falls, in front, on the corner, behind:
    /// `{distance}`.
    pub plumb: [String; 3],
    /// A film without the plumb line.
    pub no_plumb: String,
    /// Incidence, tilt and slope: `{angle}`.
    pub pelvis: [String; 3],
    /// A film without femoral heads or sacrum.
    pub no_pelvis: String,
    /// A film without a measured kyphosis or lordosis.
    pub no_bend: String,
}

impl Default for AltWords {
    fn default() -> Self {
        AltWords {
            opening: "Spine and pelvis from the side, drawn from the landmarks, facing left."
                .into(),
            panel: "Film {n} ({caption}): {list}.".into(),
            in_support: "Film {n}, apart because it was taken in support ({caption}): {list}."
                .into(),
            kyphosis: "kyphosis {upper} to {lower} {angle}".into(),
            lordosis: "lordosis {upper} to {lower} {angle}".into(),
            plumb: [
                "the plumb line from C7 falls {distance} in front of the back upper corner of \
                 the sacrum"
                    .into(),
                "the plumb line from C7 falls on the back upper corner of the sacrum".into(),
                "the plumb line from C7 falls {distance} behind the back upper corner of the \
                 sacrum"
                    .into(),
            ],
            no_plumb: "no distance of the plumb line from C7 is known".into(),
            pelvis: [
                "pelvic incidence {angle}".into(),
                "pelvic tilt {angle}".into(),
                "sacral slope {angle}".into(),
            ],
            no_pelvis: "no pelvic angle is known".into(),
            no_bend: "no kyphosis or lordosis measured".into(),
        }
    }
}

impl SagittalPanels {
    /// What stands under the figure.
    pub fn caption(&self) -> String {
        let drawn = || self.panels.iter().take(MOST);
        let [read, plumb, pelvis, slope, held] = &self.words.caption;
        let with_hips = drawn().any(|p| p.pelvis[..2].iter().any(Option::is_some));
        let lines = [
            (read, true),
            (plumb, drawn().any(|p| p.plumb.is_some())),
            (pelvis, with_hips),
            (slope, !with_hips && drawn().any(|p| p.pelvis[2].is_some())),
            (held, drawn().any(|p| p.in_support)),
        ];
        let said: Vec<&str> = lines.iter().filter(|(_, so)| *so).map(|(l, _)| l.as_str()).collect();
        said.join(" ")
    }
}
