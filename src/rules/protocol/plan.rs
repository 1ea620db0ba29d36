//! The recorded plan as a step of care.

use crate::case::{Case, Choice, HoursStep, Plan, TreatmentKind};
use crate::facts::{Facts, Value};
use crate::quantity::{Reported, Unit};

use super::{BraceWord, Step, StepKind};

/// The plan as a span of steps: one step where its hours are recorded, else
/// from the fewest to the most hours its words can mean.
#[derive(Debug, Clone, PartialEq)]
pub enum Planned {
    /// From one step to another, mostly the same.
    Span(Step, Step),
    /// Nothing is planned.
    NotRecorded,
    /// The plan names no step of care, as an opinion on imaging.
    NoStep,
}

/// The strongest step of the latest plan, as known on the day of the facts.
pub fn planned(case: &Case, facts: &Facts, words: &[BraceWord]) -> Planned {
    let Some(plan) = case.plans.last() else { return Planned::NotRecorded };
    let earlier = &case.plans[..case.plans.len() - 1];
    let look = Look { case, facts, words };
    look.strongest(plan, earlier).map_or(Planned::NoStep, |(low, high)| Planned::Span(low, high))
}

struct Look<'a> {
    case: &'a Case,
    facts: &'a Facts,
    words: &'a [BraceWord],
}

type Span = (Step, Step);

impl Look<'_> {
    fn strongest(&self, plan: &Plan, earlier: &[Plan]) -> Option<Span> {
        let spans = plan.choice.iter().filter_map(|c| self.span(c.value, plan, earlier));
        spans.reduce(|a, b| (a.0.most(b.0), a.1.most(b.1)))
    }

    fn span(&self, choice: Choice, plan: &Plan, earlier: &[Plan]) -> Option<Span> {
        let one = |kind| Some((Step::plain(kind), Step::plain(kind)));
        match choice {
            Choice::Discharge => one(StepKind::Discharge),
            Choice::Watch => one(StepKind::Watch),
            Choice::Exercise => one(StepKind::Exercise),
            Choice::Cast => one(StepKind::Cast),
            Choice::SurgicalOpinion => one(StepKind::SurgicalOpinion),
            Choice::NeurologicalOpinion => None,
            Choice::NightBrace | Choice::PartTimeBrace | Choice::FullTimeBrace => {
                Some(self.word(choice, plan))
            }
            Choice::SecondBrace | Choice::Wean => Some(self.worn()),
            Choice::Continue => self.goes_on(earlier),
        }
    }

    /// What is worn now goes on; without brace or cast, exercises, or what the
    /// plan before said.
    fn goes_on(&self, earlier: &[Plan]) -> Option<Span> {
        match self.word_of("treatment.current.state") {
            Some("brace") => return Some(self.worn()),
            Some("cast") => {
                return Some((Step::plain(StepKind::Cast), Step::plain(StepKind::Cast)));
            }
            _ => {}
        }
        if self.word_of("treatment.exercise.state") == Some("yes") {
            let step = Step::plain(StepKind::Exercise);
            return Some((step, step));
        }
        let (plan, before) = earlier.split_last()?;
        self.strongest(plan, before)
    }

    /// A brace with the hours in force, or any hours if none are recorded.
    fn worn(&self) -> Span {
        match self.facts.get("treatment.current.hours").map(|f| &f.value) {
            Some(Value::Number(hours)) => (Step::brace(*hours), Step::brace(*hours)),
            _ => (Step::brace(hours(0.0)), Step::brace(hours(24.0))),
        }
    }

    /// A brace by a plan's word: the hours decided with or after the plan, or
    /// in force under the same word; else what the word can mean.
    fn word(&self, choice: Choice, plan: &Plan) -> Span {
        if let Some(step) = self.decided(choice, plan) {
            let step = Step::brace(hours(step.per_day.to_hours()));
            return (step, step);
        }
        match self.words.iter().find(|w| w.word == choice) {
            Some(word) => (Step::brace(word.from), Step::brace(word.to)),
            None => (Step::brace(hours(0.0)), Step::brace(hours(24.0))),
        }
    }

    fn decided(&self, choice: Choice, plan: &Plan) -> Option<&HoursStep> {
        let day = plan.on.value;
        let open = |end: Option<&crate::case::Ended>| end.is_none_or(|e| e.on.value > day);
        let braces = self
            .case
            .treatments
            .iter()
            .filter(|t| t.kind.value == TreatmentKind::Brace && open(t.ended.as_ref()));
        let mut steps: Vec<&HoursStep> = braces.flat_map(|t| &t.hours).collect();
        steps.sort_by_key(|h| h.from.value);
        let since = |h: &&&HoursStep| {
            h.decided.as_ref().is_some_and(|d| d.value >= day) || h.from.value >= day
        };
        let in_force = || steps.iter().rev().find(|h| h.from.value <= day);
        let same_word = |h: &&&HoursStep| h.when.as_ref().is_some_and(|w| when(choice, w.word()));
        steps.iter().find(since).or_else(|| in_force().filter(same_word)).copied()
    }

    fn word_of(&self, id: &str) -> Option<&'static str> {
        self.facts.get(id).and_then(|f| f.word())
    }
}

fn when(choice: Choice, word: &str) -> bool {
    matches!(
        (choice, word),
        (Choice::NightBrace, "night")
            | (Choice::PartTimeBrace, "part time")
            | (Choice::FullTimeBrace, "full time")
    )
}

fn hours(value: f64) -> Reported {
    let decimals = u8::from(value.fract() != 0.0);
    Reported::round(value, decimals, Unit::HourPerDay)
}
