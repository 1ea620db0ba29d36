//! Which part of puberty the signs of maturity together allow.
//!
//! Growth quickens for about two years of puberty and slows for three
//! ([`DIMEGLIO_2013`](works::DIMEGLIO_2013)). Each sign allows some of four
//! phases, by one published statement; what all signs allow together is the
//! answer. One phase left: that is it. Several left: the signs do not decide.
//! None left: they contradict each other. Maturity only goes forward, so a
//! sign of some months ago also allows every later phase.
//!
//! The table of signs is ours; each line names what it rests on:
//!
//! | sign | allows | rests on |
//! |---|---|---|
//! | triradiate open | acceleration | curves quicken, at the peak of growth, from its closing on (Risser 2010) |
//! | triradiate closing | acceleration, deceleration | the same |
//! | Risser US 0, French 0 | acceleration, deceleration | the same |
//! | Risser US 1, French 1 | acceleration, deceleration | the same; 81 % of US 1 are at hand stage 4 or more ([`RISSER_HAND_2018`](works::RISSER_HAND_2018)) |
//! | Risser US 2, 3, French 2 | deceleration | beyond 1, below 4 |
//! | Risser US 4 | nearly mature | weaning sign (2019) |
//! | Risser French 3 | deceleration, nearly mature | lies on both sides of US 4 |
//! | Risser US 5, French 4, 5 | mature | growth ended (Risser 2010) |
//! | hand stage 2 | acceleration | goes with radius 6 and 7 (2020) |
//! | hand stage 3 | acceleration, deceleration | half of girls have their peak there |
//! | hand stage 4, 5 | deceleration | after stage 3 |
//! | hand stage 6, 7 | deceleration, nearly mature | bone age 13.5 and 14.5 (2020) |
//! | hand stage 1, 8 | acceleration; mature | from memory: only if adopted |
//! | radius 1 to 6; 7; 8, 9; 10, 11 | before, at, after the peak; growth complete | girls (2009) |
//! | no first period yet | acceleration, deceleration | it comes after the peak on average |
//! | first period, less than 2 years ago | deceleration, nearly mature | the same |
//! | first period, 2 years ago or more | nearly mature, mature | weaning sign (2019) |
//! | less than 1 cm in 6 months | nearly mature, mature | weaning sign (2019) |
//! | velocity rose, fell beyond its error | before; after the peak | definition |

use crate::course::maturity::{
    MonthsSince, RisserScale, WEANING_MENARCHE_MONTHS, growth_ended, hand_stage_meaning,
};
use crate::evidence::{Source, works};

/// A part of growth in puberty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Phase {
    Acceleration,
    Deceleration,
    NearlyMature,
    Mature,
}

impl Phase {
    /// In order.
    pub const ALL: [Phase; 4] =
        [Phase::Acceleration, Phase::Deceleration, Phase::NearlyMature, Phase::Mature];

    /// Words of a rule or a letter.
    pub const WORDS: &[&str] = &["acceleration", "deceleration", "nearly mature", "mature"];

    /// The word.
    pub fn word(self) -> &'static str {
        Phase::WORDS[self as usize]
    }
}

/// A set of phases next to one another, from the first to the last allowed;
/// empty if the first lies after the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Allowed {
    first: u8,
    last: u8,
}

impl Allowed {
    /// Every phase.
    pub const ANY: Allowed = Allowed { first: 0, last: 3 };

    /// From one phase to another.
    pub const fn between(first: Phase, last: Phase) -> Allowed {
        Allowed { first: first as u8, last: last as u8 }
    }

    /// What two signs allow together.
    pub fn and(self, other: Allowed) -> Allowed {
        Allowed { first: self.first.max(other.first), last: self.last.min(other.last) }
    }

    /// The same with every later phase.
    pub fn or_later(self) -> Allowed {
        Allowed { last: Allowed::ANY.last, ..self }
    }

    /// The one phase, if one is left.
    pub fn only(self) -> Option<Phase> {
        (self.first == self.last).then(|| Phase::ALL[usize::from(self.first)])
    }

    /// Whether a phase is among those allowed.
    pub fn includes(self, phase: Phase) -> bool {
        (self.first..=self.last).contains(&(phase as u8))
    }

    /// Whether nothing is left.
    pub fn is_none(self) -> bool {
        self.first > self.last
    }

    /// What is allowed, in words.
    pub fn words(self) -> &'static str {
        match (self.first, self.last) {
            (0, 0) => "acceleration",
            (0, 1) => "acceleration or deceleration",
            (0, 2) => "any phase before maturity",
            (0, 3) => "any phase",
            (1, 1) => "deceleration",
            (1, 2) => "deceleration or nearly mature",
            (1, 3) => "deceleration or later",
            (2, 2) => "nearly mature",
            (2, 3) => "nearly mature or mature",
            (3, 3) => "mature",
            _ => "no phase",
        }
    }
}

use Phase::{Acceleration, Deceleration, Mature, NearlyMature};

const BEFORE_PEAK: Allowed = Allowed::between(Acceleration, Acceleration);
const AROUND_PEAK: Allowed = Allowed::between(Acceleration, Deceleration);
const SLOWING: Allowed = Allowed::between(Deceleration, Deceleration);
const SLOWING_OR_NEAR: Allowed = Allowed::between(Deceleration, NearlyMature);
const AFTER_PEAK: Allowed = Allowed::between(Deceleration, Mature);
const NEAR: Allowed = Allowed::between(NearlyMature, NearlyMature);
const NEAR_OR_MATURE: Allowed = Allowed::between(NearlyMature, Mature);
const GROWN: Allowed = Allowed::between(Mature, Mature);

/// State of the triradiate cartilage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Cartilage {
    Open,
    Closing,
    Closed,
}

/// One sign, as read or measured on its own day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Risser grade on its scale.
    Risser(RisserScale, u8),
    /// Triradiate cartilage.
    Triradiate(Cartilage),
    /// Stage of hand maturity; whether the clinic adopted the stages that are
    /// known from memory.
    Hand {
        /// 1 to 8.
        stage: u8,
        /// Whether stages 1 and 8 may decide.
        adopted: bool,
    },
    /// Grade of a girl's distal radius.
    Radius(u8),
    /// No first period yet.
    NoMenarche,
    /// Months since the first period.
    Menarche(MonthsSince),
    /// Less than 1 cm in six months (true) or not.
    LittleGrowth(bool),
    /// Velocity rose (true) or fell beyond its error.
    Quickening(bool),
}

impl Sign {
    /// What the sign allows, and by which source; `None` if it decides
    /// nothing.
    pub fn allows(self) -> Option<(Allowed, Source)> {
        match self {
            Sign::Risser(scale, grade) => Some(risser(scale, grade)),
            Sign::Triradiate(state) => triradiate(state),
            Sign::Hand { stage, adopted } => hand(stage, adopted),
            Sign::Radius(grade) => radius(grade),
            Sign::NoMenarche => Some((AROUND_PEAK, menarche_source())),
            Sign::Menarche(since) => Some(menarche(since)),
            Sign::LittleGrowth(true) => Some((NEAR_OR_MATURE, weaning())),
            Sign::LittleGrowth(false) => None,
            Sign::Quickening(rose) => Some((
                if rose { BEFORE_PEAK } else { AFTER_PEAK },
                Source::definition("velocity rises before its peak and falls after it"),
            )),
        }
    }
}

const fn weaning() -> Source {
    Source::read(&works::WEANING_2019, "signs of maturity for weaning")
}

const fn menarche_source() -> Source {
    Source::read(&works::PEAK_HEIGHT, "peak at 11.9 years, first period at 12.57 on average")
}

fn risser(scale: RisserScale, grade: u8) -> (Allowed, Source) {
    use RisserScale::{French, UnitedStates};
    let around = Source::read(
        &works::RISSER_2010,
        "Risser 0 with a closed triradiate cartilage, or Risser 1, best marks the start of curve acceleration",
    );
    let ended = Source::read(&works::RISSER_2010, "growth ends at United States 5 or French 4");
    match (scale, grade) {
        (scale, grade) if growth_ended(scale, grade) => (GROWN, ended),
        (_, 0 | 1) => (AROUND_PEAK, around),
        (UnitedStates, 4) => (NEAR, weaning()),
        (French, 3) => (SLOWING_OR_NEAR, weaning()),
        _ => (SLOWING, around),
    }
}

fn triradiate(state: Cartilage) -> Option<(Allowed, Source)> {
    let source = Source::read(
        &works::RISSER_2010,
        "Risser 0 with a closed triradiate cartilage marks the start of curve acceleration",
    );
    match state {
        Cartilage::Open => Some((BEFORE_PEAK, source)),
        Cartilage::Closing => Some((AROUND_PEAK, source)),
        Cartilage::Closed => None,
    }
}

fn hand(stage: u8, adopted: bool) -> Option<(Allowed, Source)> {
    let read = |note| Source::read(&works::HAND_STAGES_2020, note);
    let memory = hand_stage_meaning(stage).map(|(_, source)| source);
    match stage {
        1 if adopted => memory.map(|source| (BEFORE_PEAK, source)),
        8 if adopted => memory.map(|source| (GROWN, source)),
        2 => Some((BEFORE_PEAK, read("stage 2 goes with grades 6 and 7 of the radius"))),
        3 => {
            let note = "51.4 % of girls had their peak at stage 3";
            Some((AROUND_PEAK, Source::read(&works::PEAK_HEIGHT, note)))
        }
        4 | 5 => Some((SLOWING, read("bone age 12.5 and 13 years"))),
        6 | 7 => Some((SLOWING_OR_NEAR, read("bone age 13.5 and 14.5 years"))),
        _ => None,
    }
}

fn radius(grade: u8) -> Option<(Allowed, Source)> {
    let source = Source::read(
        &works::RADIUS_2009,
        "girls: grade 7 at the peak of growth, grade 10 at its end",
    );
    match grade {
        1..=6 => Some((BEFORE_PEAK, source)),
        7 => Some((AROUND_PEAK, source)),
        8 | 9 => Some((SLOWING_OR_NEAR, source)),
        10 | 11 => Some((GROWN, source)),
        _ => None,
    }
}

fn menarche(since: MonthsSince) -> (Allowed, Source) {
    match since.at_least(WEANING_MENARCHE_MONTHS) {
        Some(true) => (NEAR_OR_MATURE, weaning()),
        Some(false) => (SLOWING_OR_NEAR, menarche_source()),
        None => (AFTER_PEAK, menarche_source()),
    }
}

/// What all signs allow together; each comes with whether it is recent.
pub fn together(signs: impl IntoIterator<Item = (Sign, bool)>) -> Allowed {
    signs
        .into_iter()
        .filter_map(|(sign, recent)| Some((sign.allows()?.0, recent)))
        .fold(Allowed::ANY, |all, (allowed, recent)| {
            all.and(if recent { allowed } else { allowed.or_later() })
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    const US: RisserScale = RisserScale::UnitedStates;

    fn now(signs: &[Sign]) -> Allowed {
        together(signs.iter().map(|s| (*s, true)))
    }

    #[test]
    fn signs_narrow_the_phase_together() {
        // By the table above, worked by hand.
        assert_eq!(now(&[Sign::Risser(US, 0)]).only(), None);
        let open = [Sign::Risser(US, 0), Sign::Triradiate(Cartilage::Open)];
        assert_eq!(now(&open).only(), Some(Phase::Acceleration));
        let hand = [Sign::Risser(US, 1), Sign::Hand { stage: 4, adopted: false }];
        assert_eq!(now(&hand).only(), Some(Phase::Deceleration));
        assert_eq!(now(&[Sign::Risser(US, 4)]).only(), Some(Phase::NearlyMature));
        assert_eq!(now(&[Sign::Risser(RisserScale::French, 4)]).only(), Some(Phase::Mature));
        assert_eq!(now(&[]), Allowed::ANY);
    }

    #[test]
    fn old_signs_allow_what_came_since() {
        let old = (Sign::Risser(US, 1), false);
        let new = (Sign::Risser(US, 4), true);
        assert_eq!(together([old]).words(), "any phase");
        assert_eq!(together([old, new]).only(), Some(Phase::NearlyMature));
    }

    #[test]
    fn contradicting_signs_leave_nothing() {
        let signs = [Sign::Triradiate(Cartilage::Open), Sign::Risser(US, 5)];
        assert!(now(&signs).is_none());
    }

    #[test]
    fn stages_from_memory_decide_only_when_adopted() {
        assert_eq!(Sign::Hand { stage: 8, adopted: false }.allows(), None);
        assert!(Sign::Hand { stage: 8, adopted: true }.allows().is_some());
    }
}
