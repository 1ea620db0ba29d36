//! What a rule may ask of the facts: ids, and the kind of value behind each.
//!
//! A rule file that names anything else is refused when it is read, so that a
//! misspelt id can never wait for a fact that nobody derives. Tests hold this
//! table against the facts derived of every demo case.

use crate::case::field::FLAGS;
use crate::case::{
    Cause, Choice, Decision, Deformity, Finding, RisserScale, Sex, TreatmentKind, Triradiate,
    WearWhen,
};
use crate::course::growth::phase::Phase;
use crate::quantity::Unit;

use super::condition::Kind;

const DEGREES: Kind = Kind::Number(Unit::Degree);
const PERCENT: Kind = Kind::Number(Unit::Percent);
const MONTHS: Kind = Kind::Number(Unit::Month);
const CENTIMETRES: Kind = Kind::Number(Unit::Centimetre);
const HOURS: Kind = Kind::Number(Unit::HourPerDay);
const NUMBER: Kind = Kind::Number(Unit::One);
const YES_NO: Kind = Kind::Word(&["yes", "no"]);

/// A brace or cast, as the facts of the current or an earlier one say it.
const STATES: &[&str] = &["none", "exercise", "brace", "cast", "shoe lift"];

/// The kind of the fact of an id, or `None` if no rule may ask for it.
pub fn kind(id: &str) -> Option<Kind> {
    if let Some(rest) = id.strip_prefix("major.") {
        return curve(rest);
    }
    if let Some(rest) = id.strip_prefix("curves.") {
        let part = |(_, rest)| curve(rest).or_else(|| structure(rest));
        return rest.split_once('.').and_then(part);
    }
    if let Some(rest) = id.strip_prefix("classification.") {
        return classification(rest);
    }
    if let Some(rest) = id.strip_prefix("sagittal.") {
        return sagittal(rest);
    }
    if let Some(rest) = id.strip_prefix("exam.flags.") {
        return finding(rest);
    }
    if let Some(rest) = id.strip_prefix("rib_vertebra.latest.") {
        return ribs(rest);
    }
    let treatment_of = |root: &str| id.strip_prefix(root).and_then(treatment);
    treatment_of("treatment.current.")
        .or_else(|| treatment_of("treatment.previous."))
        .or_else(|| id.strip_prefix("scores.").and_then(score))
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

/// A finding of an examination, below `exam.flags`; names that a clinic adds
/// begin with `own_`, so that a misspelt one is not taken for its own.
fn finding(rest: &str) -> Option<Kind> {
    let (name, item) = rest.split_once('.')?;
    if !FLAGS.contains(&name) && !name.starts_with("own_") {
        return None;
    }
    match item {
        "value" => Some(Kind::Word(Finding::WORDS)),
        "on" | "since" => Some(Kind::Shown),
        _ => None,
    }
}

/// The rib-vertebra angles of the latest film that shows them.
fn ribs(item: &str) -> Option<Kind> {
    Some(match item {
        "difference" => DEGREES,
        "limit_20" | "limit_17" => Kind::Word(&["reached", "not reached"]),
        "phase" => NUMBER,
        "on" => Kind::Shown,
        _ => return None,
    })
}

/// How a curve gives way and what it is among the others, below
/// `curves.<name>` alone.
fn structure(rest: &str) -> Option<Kind> {
    Some(match rest {
        "structural" => YES_NO,
        "role" => Kind::Word(&["major", "minor"]),
        "sci.value" => NUMBER,
        "sci.correction_reached" | "sci.flexibility_reached" => YES_NO,
        _ if rest.starts_with("flexibility_by.") && rest.ends_with(".amount") => PERCENT,
        _ => return None,
    })
}

/// Types of curves, below `classification`.
fn classification(rest: &str) -> Option<Kind> {
    Some(match rest {
        "adolescent.type" => Kind::Word(&["1", "2", "3", "4", "5", "6"]),
        "adolescent.lumbar" => Kind::Word(&["A", "B", "C"]),
        "adolescent.sagittal" => Kind::Word(&["-", "N", "+"]),
        "adult.coronal" => Kind::Word(&["T", "L", "D", "N"]),
        "kyphosis.t2_t5" | "kyphosis.t5_t12" | "kyphosis.t10_l2" => DEGREES,
        "film" | "taken" => Kind::Shown,
        _ if rest.ends_with(".cobb") => DEGREES,
        _ if rest.ends_with(".structural") => YES_NO,
        _ => return None,
    })
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
        "overcorrected" | "baseline_soon_after_support" => YES_NO,
        "baseline_off_for" => Kind::Number(Unit::Hour),
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
        "state" => Kind::Word(STATES),
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
        "days_to_delivery" | "days" | "weaning.days" => Kind::Number(Unit::Day),
        "weaning.state" => YES_NO,
        "weaning.before" | "weaning.now" => HOURS,
        "weaning.steps" => NUMBER,
        "growth.at_delivery" | "growth.latest" | "growth.amount" => CENTIMETRES,
        "started" | "ordered" | "ended" | "wear.from" | "wear.to" | "wear.downloaded"
        | "fitting.on" => Kind::Shown,
        _ => return None,
    })
}

/// Facts of the lateral film, below `sagittal`.
fn sagittal(rest: &str) -> Option<Kind> {
    const MODIFIER: Kind = Kind::Word(&["0", "+", "++"]);
    const CRITERION: Kind = Kind::Word(&["met", "not met"]);
    let (part, item) = rest.split_once('.')?;
    Some(match (part, item) {
        ("now", "sva") => Kind::Number(Unit::Millimetre),
        ("now", item) if item.ends_with("_taken") => Kind::Shown,
        ("now", item) if sagittal_angle(item) => DEGREES,
        ("modifier", "pi_ll" | "sva" | "pt") => MODIFIER,
        ("wedges", "count") => NUMBER,
        ("wedges", "verdict" | "at_least_5.verdict" | "above_5.verdict") => CRITERION,
        ("change", item) => match item.split_once('.')? {
            (of, "since_previous.verdict" | "since_first.verdict") if sagittal_angle(of) => {
                Kind::Word(&["unchanged", "rose", "fell"])
            }
            (of, "since_previous.amount" | "since_first.amount") if sagittal_angle(of) => DEGREES,
            _ => return None,
        },
        ("flexibility", item) if item.ends_with(".amount") => PERCENT,
        _ => return None,
    })
}

/// Facts of one score, below `scores`.
fn score(rest: &str) -> Option<Kind> {
    let (name, item) = rest.split_once('.')?;
    let unit = match name {
        "odi" => Unit::Percent,
        "pain" => Unit::OutOfTen,
        "vas" => Unit::Millimetre,
        "srs22r" => Unit::One,
        _ => return None,
    };
    Some(match item {
        "now" | "previous" | "first" => Kind::Number(unit),
        "since_previous.change" | "since_first.change" => Kind::Number(unit),
        "since_previous.verdict" | "since_first.verdict" => {
            Kind::Word(&["better", "worse", "no important change"])
        }
        "since_previous.reaches_share" | "since_first.reaches_share" => YES_NO,
        "on" | "previous_on" | "first_on" => Kind::Shown,
        _ => return None,
    })
}

fn sagittal_angle(item: &str) -> bool {
    matches!(
        item,
        "t2_t5"
            | "t5_t12"
            | "t2_t12"
            | "t4_t12"
            | "t10_l2"
            | "lordosis"
            | "pelvic_incidence"
            | "pelvic_tilt"
            | "sacral_slope"
            | "pi_ll"
            | "largest_kyphosis"
    )
}

/// Facts that exist once.
fn single(id: &str) -> Option<Kind> {
    Some(match id {
        "patient.age" => Kind::Age,
        "patient.sex" => Kind::Word(Sex::WORDS),
        "patient.stage" => Kind::Word(&["child", "adolescent", "adult"]),
        "diagnosis.cause" => Kind::Word(Cause::WORDS),
        "diagnosis.deformity" => Kind::Word(Deformity::WORDS),
        "maturity.risser.grade"
        | "maturity.risser.before.grade"
        | "maturity.hand_stage.value"
        | "maturity.radius.value"
        | "maturity.ulna.value" => NUMBER,
        "maturity.hand_stage.months" => MONTHS,
        "maturity.hand_stage.bone_age" => Kind::Number(Unit::Year),
        "maturity.risser.scale" | "maturity.risser.before.scale" => Kind::Word(RisserScale::WORDS),
        "maturity.risser.step" => Kind::Word(&["rose", "same", "fell"]),
        "maturity.weaning.risser" | "maturity.weaning.menarche" | "maturity.weaning.growth" => {
            YES_NO
        }
        "maturity.risser.taken" | "maturity.hand_stage.taken" | "maturity.triradiate.taken" => {
            Kind::Shown
        }
        "maturity.triradiate.value" => Kind::Word(Triradiate::WORDS),
        "maturity.menarche.state" => {
            Kind::Word(&["had", "not yet", "not recorded", "not applicable"])
        }
        "maturity.menarche.months_since"
        | "maturity.menarche.months_since_fewest"
        | "maturity.menarche.months_since_most" => MONTHS,
        "maturity.menarche.on" | "maturity.menarche.not_yet" => Kind::Shown,
        "growth.height" | "growth.gain" | "growth.at_delivery" | "growth.since_delivery" => {
            CENTIMETRES
        }
        "growth.height_on" | "growth.since" => Kind::Shown,
        "growth.phase.value" => Kind::Word(Phase::WORDS),
        "growth.height_z" | "growth.height_centile" => NUMBER,
        "growth.velocity.height.per_year"
        | "growth.velocity.sitting.per_year"
        | "growth.velocity.span.per_year" => Kind::Number(Unit::CentimetrePerYear),
        "growth.velocity.height.months"
        | "growth.velocity.sitting.months"
        | "growth.velocity.span.months" => MONTHS,
        "growth.velocity.height.change"
        | "growth.velocity.sitting.change"
        | "growth.velocity.span.change" => Kind::Word(&["rose", "same", "fell"]),
        "overall.verdict" => {
            Kind::Word(&["unchanged", "worse", "better", "worse over time", "better over time"])
        }
        "overall.several" | "overall.near_limit" => YES_NO,
        "treatment.casts.count" | "treatment.casts.changes" => NUMBER,
        "treatment.casts.days" | "treatment.casts.longest" => Kind::Number(Unit::Day),
        "early_onset.curve" => Kind::Word(&["1", "2", "3", "4"]),
        "early_onset.kyphosis" => Kind::Word(&["-", "N", "+"]),
        "dose.year.total" | "dose.all.total" => Kind::Number(Unit::Millisievert),
        "dose.year.films" | "dose.all.films" => NUMBER,
        "dose.year.at_least" | "dose.all.at_least" => YES_NO,
        "checked.decision" => Kind::Word(Decision::WORDS),
        "order.kind" => Kind::Word(TreatmentKind::WORDS),
        "treatment.awaited.state" | "replaced.state" => Kind::Word(STATES),
        "plan.choice" => Kind::Word(Choice::WORDS),
        "request.seen_before_order" => Kind::Number(Unit::Day),
        "request.hours" => HOURS,
        "request.months" => MONTHS,
        "request.review" => Kind::Word(&["expedited", "standard"]),
        "request.ordered" | "request.seen" | "request.sent" => Kind::Shown,
        _ => return None,
    })
}
