//! Words that stand around figures of every kind: names of curves, captions,
//! how a film was taken. English unless the letter's language is another.

use super::Shown;
use crate::case::Posture;
use crate::figure::words::{Calendar, Worded, fill};
use crate::spine::Side;

/// The words of a kind of figure in the letter's language, with its dates and
/// numbers.
pub(super) fn worded<W: Worded>(shown: &Shown) -> W {
    let mut words = match shown.style.language.tag {
        "es" => W::spanish(),
        _ => W::default(),
    };
    words.write_as(&Calendar::of(&shown.style.locale));
    words
}

/// The words.
#[derive(Debug, Clone)]
pub struct FillWords {
    /// A curve to the left and to the right, by its `{name}`.
    pub named: [String; 2],
    /// A brace and a cast.
    pub supports: [String; 2],
    /// `{support}` and `{hours}`, over a span of wear.
    pub episode: String,
    /// A film whose support nobody recorded.
    pub support_unknown: String,
    /// A film taken otherwise than the last one: lying, sitting, standing.
    pub apart: [String; 3],
    /// How a film was taken, as [`Posture::ALL`] has it.
    pub postures: [String; 6],
    /// Where the posture is not recorded.
    pub no_posture: String,
    /// Before the posture: in a brace, in a cast, out of the brace, out of the
    /// cast, while that is in use.
    pub held: [String; 4],
    /// Caption of a course.
    pub course: CourseCaption,
    /// Caption of the spine: seen from behind, from the side, and what is said
    /// of a film in support.
    pub spine: [String; 3],
    /// Caption of corrections: `{worn}`, then what is below zero, then that
    /// some curves are left out.
    pub correction: [String; 3],
}

/// The caption of a course, sentence by sentence.
#[derive(Debug, Clone)]
pub struct CourseCaption {
    /// Of several curves.
    pub several: String,
    /// Of one `{curve}`.
    pub one: String,
    /// `{what}` is one of these.
    pub band: String,
    /// Films in support.
    pub held: String,
    /// The same where some are below zero.
    pub turned: String,
    /// Films that do not compare.
    pub apart: String,
}

impl Default for FillWords {
    fn default() -> Self {
        let postures = ["standing", "sitting", "supine", "prone", "traction", "bolster"];
        let held = ["in brace, ", "in cast, ", "out of brace, ", "out of cast, "];
        FillWords {
            named: ["Left {name}", "Right {name}"].map(str::to_owned),
            supports: ["brace", "cast"].map(str::to_owned),
            episode: "{support}, {hours} h/day".into(),
            support_unknown: "support not recorded".into(),
            apart: ["lying", "sitting", "standing"].map(str::to_owned),
            postures: postures.map(str::to_owned),
            no_posture: "posture not recorded".into(),
            held: held.map(str::to_owned),
            course: CourseCaption {
                several: "Cobb angles".into(),
                one: "{curve}, Cobb angle".into(),
                band: "{what} out of support. Band: half our limit for a real change to each \
                       side; two films whose bands overlap do not differ beyond it."
                    .into(),
                held: " Open marks: in the brace or cast, not a result.".into(),
                turned: " Open marks: in the brace or cast, not a result; below zero: turned to \
                         the other side."
                    .into(),
                apart: " Marks off the line: not comparable.".into(),
            },
            spine: [
                "Drawn from the landmarks, seen from behind. Lines: the endplates measured; \
                 dotted: the central sacral line where it is marked."
                    .into(),
                "Drawn from the landmarks, seen from the side. Lines: the endplates measured."
                    .into(),
                " In the brace or cast: smaller, apart.".into(),
            ],
            correction: [
                "Filled mark: out of the {worn}; open mark: in it. What it takes off while it is \
                 on, not a result of treatment."
                    .into(),
                " Below zero: turned to the other side.".into(),
                " Only the largest curves are drawn.".into(),
            ],
        }
    }
}

impl FillWords {
    /// A curve by name and side.
    pub fn curve(&self, name: &str, side: Side) -> String {
        let pattern = &self.named[usize::from(side == Side::Right)];
        let said = fill(pattern, &[("name", name.to_string())]);
        crate::letter::wording::capital(&said)
    }

    /// How a film was taken.
    pub fn posture(&self, posture: Option<Posture>) -> &str {
        let at = posture.and_then(|p| Posture::ALL.iter().position(|q| *q == p));
        at.map_or(&self.no_posture, |at| &self.postures[at])
    }
}
