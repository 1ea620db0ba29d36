//! Scores that patients give: from answers to numbers, and from two numbers
//! to whether the difference matters.
//!
//! [`srs22r`] and [`odi`] score questionnaires; [`important`] holds the
//! published differences with the people they were found in. Higher is better
//! in one score and worse in the next, so no change is told without its
//! [`Better`]. Nothing here knows cases or dates.

pub mod important;
pub mod odi;
pub mod srs22r;

/// The answer to one question of a questionnaire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// The points of the one answer marked.
    Points(u8),
    /// No answer marked.
    Open,
    /// Two answers marked: counted as not answered.
    Double,
}

impl Answer {
    /// The points, if exactly one answer is marked.
    pub fn points(self) -> Option<u8> {
        match self {
            Answer::Points(points) => Some(points),
            Answer::Open | Answer::Double => None,
        }
    }
}

/// Which way a score goes when the patient does better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// Higher is better.
    Higher,
    /// Lower is better.
    Lower,
}

impl Better {
    /// The direction in words.
    pub fn word(self) -> &'static str {
        match self {
            Better::Higher => "higher is better",
            Better::Lower => "lower is better",
        }
    }
}

/// Sum and count of the questions that have one answer.
fn tally(answers: impl Iterator<Item = Answer>) -> (u32, u32) {
    let points = answers.filter_map(Answer::points);
    points.fold((0, 0), |(sum, count), p| (sum + u32::from(p), count + 1))
}
