//! What a rule may ask of the facts: ids, and the kind of value behind each.
//!
//! A rule file that names anything else is refused when it is read, so that a
//! misspelt id can never wait for a fact that nobody derives. Tests hold this
//! table against the facts derived of every demo case.

use crate::case::{
    Cause, Choice, Deformity, RisserScale, Sex, TreatmentKind, Triradiate, WearWhen,
};
use crate::quantity::Unit;

use super::condition::Kind;

const DEGREES: Kind = Kind::Number(Unit::Degree);
const PERCENT: Kind = Kind::Number(Unit::Percent);
const MONTHS: Kind = Kind::Number(Unit::Month);
const CENTIMETRES: Kind = Kind::Number(Unit::Centimetre);
const HOURS: Kind = Kind::Number(Unit::HourPerDay);
const NUMBER: Kind = Kind::Number(Unit::One);
const YES_NO: Kind = Kind::Word(&["yes", "no"]);

/// The kind of the fact of an id, or `None` if no rule may ask for it.
pub fn kind(id: &str) -> Option<Kind> {
    if let Some(rest) = id.strip_prefix("major.") {
        return curve(rest);
    }
    if let Some(rest) = id.strip_prefix("curves.") {
        return rest.split_once('.').and_then(|(_, rest)| curve(rest));
    }
    let treatment_of = |root: &str| id.strip_prefix(root).and_then(treatment);
    treatment_of("treatment.current.")
        .or_else(|| treatment_of("treatment.previous."))
        .or_else(|| single(id))
}

/// Facts of one curve, below `major` or `curves.<name>`.
fn curve(rest: &str) -> Option<Kind> {
    let Some((part, item)) = rest.split_once('.') else {
        return Some(match rest {
            "side" => Kind::Side,
            "region" => Kind::Word(&[
                "cervical",
                "cervicothoracic",
                "upper thoracic",
                "thoracic",
                "thoracolumbar",
                "lumbar",
                "lumbosacral",
            ]),
            "plane" => Kind::Word(&["frontal", "sagittal"]),
            _ => return None,
        });
    };
    match part {
        "now" | "previous" | "first" => point(item),
        "since_previous" | "since_first" | "before_treatment" | "since_treatment" => span(item),
        "in_brace" | "in_brace_first" => check(item),
        "flexibility" => (item == "amount").then_some(PERCENT),
        _ => None,
    }
}

fn point(item: &str) -> Option<Kind> {
    Some(match item {
        "cobb" => DEGREES,
        "taken" | "levels" | "upper" | "lower" | "apex" | "readers" | "film" => Kind::Shown,
        _ => return None,
    })
}

fn span(item: &str) -> Option<Kind> {
    Some(match item {
        "amount" | "limit" | "from_cobb" | "to_cobb" => DEGREES,
        "direction" => Kind::Word(&["rose", "fell", "same"]),
        "verdict" => Kind::Word(&["unchanged", "worse", "better"]),
        "outcome" => Kind::Word(&["improved", "unchanged", "worse"]),
        "months" => MONTHS,
        "rate" => Kind::Number(Unit::DegreePerYear),
        "near_limit" => YES_NO,
        "from_taken" | "to_taken" => Kind::Shown,
        _ => return None,
    })
}

/// A film in a brace or cast against the last one before it.
fn check(item: &str) -> Option<Kind> {
    Some(match item {
        "cobb" | "baseline_cobb" => DEGREES,
        "correction" => PERCENT,
        "baseline_months" => MONTHS,
        "overcorrected" => YES_NO,
        "taken" | "baseline_taken" => Kind::Shown,
        _ => return None,
    })
}

/// Facts of one treatment, below `treatment.current` or `.previous`.
fn treatment(rest: &str) -> Option<Kind> {
    let checked = |of: &str| rest.strip_prefix(of).and_then(check);
    if let Some(kind) = checked("in_brace.first.").or_else(|| checked("in_brace.latest.")) {
        return Some(kind);
    }
    Some(match rest {
        "kind" => Kind::Word(TreatmentKind::WORDS),
        "hours" | "hours_before" | "wear.prescribed" | "wear.mean" | "wear.reported" => HOURS,
        "wear.days.weekday" | "wear.days.weekend" => HOURS,
        "wear.share" | "wear.days.met_share" => PERCENT,
        "wear.days.counted"
        | "wear.days.cannot_tell"
        | "wear.days.met"
        | "wear.days.unworn"
        | "wear.days.longest_break_days" => Kind::Number(Unit::Day),
        "wear.reported_ratio" => NUMBER,
        "when" => Kind::Word(WearWhen::WORDS),
        "days_to_delivery" => Kind::Number(Unit::Day),
        "started" | "ordered" | "ended" | "wear.from" | "wear.to" | "wear.downloaded"
        | "fitting.on" => Kind::Shown,
        _ => return None,
    })
}

/// Facts that exist once.
fn single(id: &str) -> Option<Kind> {
    Some(match id {
        "patient.age" => Kind::Age,
        "patient.sex" => Kind::Word(Sex::WORDS),
        "patient.stage" => Kind::Word(&["child", "adolescent", "adult"]),
        "diagnosis.cause" => Kind::Word(Cause::WORDS),
        "diagnosis.deformity" => Kind::Word(Deformity::WORDS),
        "maturity.risser.grade" | "maturity.hand_stage.value" => NUMBER,
        "maturity.risser.scale" => Kind::Word(RisserScale::WORDS),
        "maturity.risser.taken" | "maturity.hand_stage.taken" | "maturity.triradiate.taken" => {
            Kind::Shown
        }
        "maturity.triradiate.value" => Kind::Word(Triradiate::WORDS),
        "maturity.menarche.state" => {
            Kind::Word(&["had", "not yet", "not recorded", "not applicable"])
        }
        "maturity.menarche.months_since" => MONTHS,
        "maturity.menarche.on" | "maturity.menarche.not_yet" => Kind::Shown,
        "growth.height" | "growth.gain" | "growth.at_delivery" | "growth.since_delivery" => {
            CENTIMETRES
        }
        "growth.height_on" | "growth.since" => Kind::Shown,
        "overall.verdict" => {
            Kind::Word(&["unchanged", "worse", "better", "worse over time", "better over time"])
        }
        "overall.several" => YES_NO,
        "plan.choice" => Kind::Word(Choice::WORDS),
        "request.seen_before_order" => Kind::Number(Unit::Day),
        "request.hours" => HOURS,
        "request.months" => MONTHS,
        "request.review" => Kind::Word(&["expedited", "standard"]),
        "request.ordered" | "request.seen" | "request.sent" => Kind::Shown,
        _ => return None,
    })
}
