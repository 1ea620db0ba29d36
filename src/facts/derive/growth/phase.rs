//! `growth.phase.*`: which part of puberty the signs together allow, each sign
//! with its day and what it allows.

use chrono::{Months, NaiveDate};

use crate::case::{Sex, Triradiate};
use crate::course::growth::phase::{Allowed, Cartilage, Phase, Sign, together};
use crate::evidence::{Source, works};
use crate::facts::derive::maker::{Maker, day};
use crate::facts::derive::maturity::{self, menarche, weaning};
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::Age;

/// Until how many months a sign says what is so now; after that every later
/// phase is possible as well. Our own choice.
const RECENT_MONTHS: u32 = 6;
/// Completed years before which puberty is not looked for: two years before
/// the bone age at which it begins (11 in girls, 13 in boys). Our own choice.
const EARLIEST: (u32, u32) = (9, 11);
/// What a clinic adopts to let hand stages known from memory decide.
const HAND_ADOPTED: &str = "hand-stages";

/// A sign with where it is told.
struct Seen {
    /// Part of the fact ids.
    key: &'static str,
    /// The fact it was taken from.
    fact: &'static str,
    sign: Sign,
    on: NaiveDate,
}

/// The rule in words.
const RULE: &str =
    "the phase that all signs allow together; a sign older than 6 months also allows later ones";
const RULE_SOURCE: Source = Source::read(
    &works::DIMEGLIO_2013,
    "2 years of acceleration, 3 of deceleration; which sign allows which phase is our own table, each line with its source",
);

/// The phase, or what is missing to tell it.
pub(super) fn phase_facts(make: &mut Maker, set: &Setting, change: Option<(bool, NaiveDate)>) {
    let seen = signs(set, change);
    let recent = |s: &Seen| s.on + Months::new(RECENT_MONTHS) >= set.as_of;
    for each in &seen {
        evidence(make, each, recent(each));
    }
    let allowed = together(seen.iter().map(|s| (s.sign, recent(s))));
    let value = match (meaningless(set, &seen), allowed.only()) {
        (Some(why), _) => Value::Missing(Missing::NotApplicable(why.into())),
        (None, Some(phase)) => Value::Word(phase.word()),
        (None, None) => Value::Missing(Missing::CannotTell(undecided(allowed, &seen, set))),
    };
    let mut fact = make.fact("growth.phase.value", "phase of growth in puberty", value);
    for each in &seen {
        fact = fact.from(format!("growth.phase.signs.{}.allows", each.key));
    }
    fact.by(RULE, RULE_SOURCE).done();
}

/// Why the phase is not judged at all.
fn meaningless(set: &Setting, seen: &[Seen]) -> Option<&'static str> {
    let years = Age::on(set.case.patient.born.value, set.as_of)?.years;
    let earliest = match set.case.patient.sex.value {
        Sex::Male => EARLIEST.1,
        Sex::Female | Sex::Other => EARLIEST.0,
    };
    if years < earliest {
        return Some("the patient is younger than puberty is looked for");
    }
    (years >= 18 && seen.is_empty()).then_some("the patient is an adult")
}

/// What is allowed and which signs are not there; or which contradict.
fn undecided(allowed: Allowed, seen: &[Seen], set: &Setting) -> String {
    if allowed.is_none() {
        let told: Vec<String> = seen
            .iter()
            .filter_map(|s| Some((s, s.sign.allows()?.0)))
            .map(|(s, allowed)| format!("{} of {} ({})", s.key, s.on, allowed.words()))
            .collect();
        return format!("the signs contradict each other: {}", told.join(", "));
    }
    // Only what could still narrow it: the cartilage and a turn of velocity
    // speak of the peak, little growth of the end.
    let (peak, end) =
        (allowed.includes(Phase::Acceleration), allowed.includes(Phase::NearlyMature));
    let female = set.case.patient.sex.value != Sex::Male;
    let absent: Vec<&str> = [
        ("risser", "Risser grade", true),
        ("triradiate", "triradiate cartilage", peak),
        ("hand", "hand film", true),
        ("velocity", "two velocities of height", peak),
        ("growth", "two heights six months apart", end),
        ("menarche", "first period", female),
    ]
    .into_iter()
    .filter(|(key, _, helps)| *helps && !seen.iter().any(|s| s.key == *key))
    .map(|(_, words, _)| words)
    .collect();
    let missing = match absent.as_slice() {
        [] => "nothing is missing".to_string(),
        list => format!("missing: {}", list.join(", ")),
    };
    format!("the signs allow {}; {missing}", allowed.words())
}

fn evidence(make: &mut Maker, seen: &Seen, recent: bool) {
    let root = format!("growth.phase.signs.{}", seen.key);
    let label = format!("phases allowed by the sign {}", seen.key);
    match seen.sign.allows() {
        Some((allowed, source)) => {
            let allowed = if recent { allowed } else { allowed.or_later() };
            make.fact(format!("{root}.allows"), label, Value::Word(allowed.words()))
                .from(seen.fact)
                .by(if recent { "as the sign says" } else { "as the sign says, or later" }, source)
                .done();
        }
        None => {
            let why = "this sign decides nothing by itself".into();
            make.fact(format!("{root}.allows"), label, Value::Missing(Missing::NotApplicable(why)))
                .from(seen.fact)
                .done();
        }
    }
    make.fact(format!("{root}.on"), format!("day of the sign {}", seen.key), day(seen.on))
        .from(seen.fact)
        .done();
}

/// Every sign on record, the latest of each kind.
fn signs(set: &Setting, change: Option<(bool, NaiveDate)>) -> Vec<Seen> {
    let case = set.case;
    let mut seen = Vec::new();
    let mut add = |key, fact, sign, on| seen.push(Seen { key, fact, sign, on });
    if let Some((film, risser)) = maturity::latest(case, |m| m.risser.as_ref()) {
        let sign = Sign::Risser(maturity::scale(risser.scale.value), risser.grade.value);
        add("risser", "maturity.risser.grade", sign, film.taken.value);
    }
    if let Some((film, state)) = maturity::latest(case, |m| m.triradiate.as_ref()) {
        let state = match state.value {
            Triradiate::Open => Cartilage::Open,
            Triradiate::Closing => Cartilage::Closing,
            Triradiate::Closed => Cartilage::Closed,
        };
        let sign = Sign::Triradiate(state);
        add("triradiate", "maturity.triradiate.value", sign, film.taken.value);
    }
    if let Some((film, stage)) = maturity::latest_hand(case, |m| m.hand_stage.as_ref()) {
        let adopted = set.clinic.has_adopted(HAND_ADOPTED);
        let sign = Sign::Hand { stage: stage.value, adopted };
        add("hand", "maturity.hand_stage.value", sign, film.taken.value);
    }
    let radius = maturity::latest_hand(case, |m| m.radius.as_ref());
    if let (Some((film, grade)), Sex::Female) = (radius, case.patient.sex.value) {
        let sign = Sign::Radius(grade.value);
        add("radius", "maturity.radius.value", sign, film.taken.value);
    }
    match menarche::sign(case, set.as_of) {
        Some(menarche::State::Had(since)) => {
            add("menarche", "maturity.menarche.state", Sign::Menarche(since), set.as_of);
        }
        Some(menarche::State::NotYet(on)) => {
            add("menarche", "maturity.menarche.state", Sign::NoMenarche, on);
        }
        None => {}
    }
    if let Some((little, on)) = weaning::little(case) {
        add("growth", "maturity.weaning.growth", Sign::LittleGrowth(little), on);
    }
    if let Some((rose, on)) = change {
        let sign = Sign::Quickening(rose);
        add("velocity", "growth.velocity.height.change", sign, on);
    }
    seen
}
