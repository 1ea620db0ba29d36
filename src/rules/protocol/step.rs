//! The steps of care, from none to a surgeon's opinion.

use std::cmp::Ordering;

use crate::quantity::{Reported, Unit};

/// What a step is. Rigid braces differ by their hours a day, not by words:
/// sources use the same words for other hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StepKind {
    /// Care ends.
    Discharge,
    /// Seen again, nothing else.
    Watch,
    /// Specific exercises.
    Exercise,
    /// A soft brace.
    SoftBrace,
    /// A rigid brace for some hours a day.
    RigidBrace,
    /// A cast, day and night.
    Cast,
    /// A surgeon is asked.
    SurgicalOpinion,
}

impl StepKind {
    const ALL: [(StepKind, &'static str); 7] = [
        (StepKind::Discharge, "discharge"),
        (StepKind::Watch, "watch"),
        (StepKind::Exercise, "exercise"),
        (StepKind::SoftBrace, "soft brace"),
        (StepKind::RigidBrace, "rigid brace"),
        (StepKind::Cast, "cast"),
        (StepKind::SurgicalOpinion, "surgical opinion"),
    ];

    /// The words, from the least to the most.
    pub const WORDS: &'static [&'static str] = &[
        "discharge",
        "watch",
        "exercise",
        "soft brace",
        "rigid brace",
        "cast",
        "surgical opinion",
    ];

    /// The word.
    pub fn word(self) -> &'static str {
        StepKind::ALL[self as usize].1
    }
}

/// A step; a rigid brace with its hours a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    kind: StepKind,
    hours: Option<Reported>,
}

impl Step {
    /// A step other than a rigid brace.
    pub fn plain(kind: StepKind) -> Step {
        Step { kind, hours: None }
    }

    /// A rigid brace for these hours a day.
    pub fn brace(hours: Reported) -> Step {
        Step { kind: StepKind::RigidBrace, hours: Some(hours) }
    }

    /// `watch`, `rigid brace 16 h/day`; `None` if it is neither.
    pub(super) fn parse(text: &str) -> Option<Step> {
        if let Some(hours) = text.strip_prefix("rigid brace") {
            return super::super::bound::number(hours.trim(), Unit::HourPerDay)
                .ok()
                .filter(|h| (0.0..=24.0).contains(&h.value()))
                .map(Step::brace);
        }
        StepKind::ALL.iter().find(|(_, word)| *word == text).map(|(kind, _)| Step::plain(*kind))
    }

    /// What it is.
    pub fn kind(self) -> StepKind {
        self.kind
    }

    /// Hours a day of a rigid brace.
    pub fn hours(self) -> Option<Reported> {
        self.hours
    }

    /// Which of two steps is more; rigid braces by their hours.
    pub fn compare(self, other: Step) -> Ordering {
        self.kind.cmp(&other.kind).then_with(|| match (self.hours, other.hours) {
            (Some(a), Some(b)) => a.compare(b),
            _ => Ordering::Equal,
        })
    }

    /// The lesser of two.
    pub fn least(self, other: Step) -> Step {
        if other.compare(self).is_lt() { other } else { self }
    }

    /// The greater of two.
    pub fn most(self, other: Step) -> Step {
        if other.compare(self).is_gt() { other } else { self }
    }

    /// As it is written in a rule file.
    pub fn words(self) -> String {
        match self.hours {
            Some(hours) => format!("{} {} h/day", self.kind.word(), hours.digits()),
            None => self.kind.word().into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_read_and_ordered() {
        // In the order of the reference's strength scale.
        let texts = [
            "discharge",
            "watch",
            "exercise",
            "soft brace",
            "rigid brace 8 h/day",
            "rigid brace 16 h/day",
            "rigid brace 23 h/day",
            "cast",
            "surgical opinion",
        ];
        let steps: Vec<Step> = texts.iter().map(|t| Step::parse(t).unwrap()).collect();
        assert!(steps.windows(2).all(|p| p[0].compare(p[1]).is_lt()));
        for (step, text) in steps.iter().zip(texts) {
            assert_eq!(step.words(), text);
        }
        for bad in ["brace", "rigid brace", "rigid brace 25 h/day", "rigid brace 16", "casts", ""] {
            assert_eq!(Step::parse(bad), None, "{bad}");
        }
        assert!(
            StepKind::ALL
                .iter()
                .enumerate()
                .all(|(n, (kind, word))| { *kind as usize == n && StepKind::WORDS[n] == *word })
        );
    }
}
