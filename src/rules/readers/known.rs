//! Which paths of facts a reader's file may name.
//!
//! The catalogue of rules holds the ids whose kind is known; a reader's file
//! names more: everything that is printed can be closed, and much of it can
//! be needed. A root that is missing here would be open to every reader whose
//! file lists only what is closed, so a test holds this table against the
//! facts of every demo case.

use crate::case::suggest::did_you_mean;

use super::super::catalogue;
use super::pattern::{ANY, Pattern};

/// Roots with what stands below them: `*` is any one name, and what lies
/// below the last name is not listed.
const PATHS: &[&str] = &[
    "background: allergies conditions family implants relatives",
    "checked: *",
    "classification: adolescent adult film kyphosis main_thoracic proximal_thoracic taken thoracolumbar_lumbar",
    "code: after beside edition first icd only_if origin proposed valid",
    "coverage: group member payer plan",
    "criteria: *",
    "curves: *",
    "diagnosis: age_class age_class_from age_class_other below_definition cause deformity due_to found name underlying",
    "dose: all background films interval year",
    "early_onset: curve kyphosis",
    "enclosures: count list pages",
    "ending: *",
    "entry: as_of enclosed question remarks urgency",
    "estimates: *",
    "exam: arm_span by findings flags height leg_difference neurology neurology_on on other pain says scores sitting_height skin trunk_rotation weight",
    "figures: *",
    "films: *",
    "frontal: now",
    "gap: asked by consent days_to_go from how items purpose reminder state",
    "growth: at_delivery at_delivery_on corrected gain height height_age height_centile height_on height_z heights loss phase reference since since_delivery steps velocity",
    "item_codes: edition set valid",
    "items: *",
    "limits: height_error real_change scoliosis_from surgeon_from velocity_months",
    "major: before_treatment bend course first flexibility in_brace in_brace_first key long_course name now plane previous region side since_first since_previous since_treatment slope",
    "maturity: hand_stage menarche radius radius_ulna risser triradiate ulna weaning",
    "order: *",
    "overall: all_compared near_limit several surgeon_rule table verdict",
    "patient: age born called decimal_age lumbar name pronouns record_no sex stage thoracic usual_column",
    "plan: aim because by changes_if choice choices next_film next_visit off_for on told",
    "policy: edition lifetime_until name payer section useful_lifetime",
    "protocol: *",
    "published: *",
    "red_flags: *",
    "referral: from on why",
    "replaced: *",
    "request: *",
    "rib_vertebra: latest",
    "risk: *",
    "risk_told: *",
    "sagittal: change expected flexibility modifier now range repeatability repeatability_needed wedges",
    "school: also brace helps limits limits_state on sport until when",
    "scores: *",
    "shown: *",
    "treatment: awaited casts current exercise previous weaning",
    "treatments: *",
    "verdicts: *",
];

/// Single facts, deeper than that, that a reader may need: as ids, or with
/// `*` for each one there is.
const DEEP: &[&str] = &[
    "checked.changes",
    "checked.changes_named",
    "checked.decision",
    "checked.fit",
    "checked.on",
    "checked.skin",
    "ending.adult_care",
    "ending.come_back_state",
    "ending.discharge.on",
    "ending.films_kept",
    "ending.steps_before",
    "ending.weaning.changes_if",
    "ending.weaning.on",
    "growth.velocity.height.per_year",
    "order.by",
    "order.check_by",
    "order.class",
    "order.closure",
    "order.hours",
    "order.lining",
    "order.material",
    "order.opening",
    "order.ordered",
    "order.pads_given",
    "order.shape",
    "order.step_in",
    "order.trim",
    "protocol.plan_hours",
    "red_flags.any",
    "red_flags.unanswered",
    "replaced.class",
    "replaced.growth.amount",
    "replaced.in_brace.first.correction",
    "replaced.in_brace.latest.correction",
    "replaced.started",
    "replaced.wear.mean",
    "replaced.wear.reported",
    "request.alternatives",
    "request.authority.from",
    "request.authority.how",
    "request.codes.c1",
    "request.denial.answer_by",
    "request.denial.level",
    "request.denial.on",
    "request.denial.reasons.*.answered",
    "request.denial.reasons.r1.words",
    "request.goal",
    "request.hours",
    "request.if_not",
    "request.item",
    "request.kind",
    "request.months",
    "request.orderer.name",
    "request.orderer.number",
    "request.orderer.phone",
    "request.peer.phone",
    "request.recent_film",
    "request.reference",
    "request.replaces_because",
    "request.signer.licence",
    "request.stop_rule",
    "request.supplier.name",
    "request.supplier.number",
    "request.supplier.phone",
    "request.units",
    "treatment.awaited.class",
    "treatment.awaited.hours",
    "treatment.awaited.ordered",
    "treatment.awaited.principle",
    "treatment.awaited.state",
    "treatment.current.class",
    "treatment.current.principle",
    "treatment.current.skin",
    "treatment.current.started",
    "treatment.current.state",
    "treatment.exercise.prescribed",
    "treatment.exercise.state",
    "treatment.previous.state",
];

/// Roots with what stands below them.
fn roots() -> impl Iterator<Item = (&'static str, &'static str)> {
    PATHS.iter().filter_map(|line| line.split_once(": "))
}

/// What stands below a root.
fn below(root: &str) -> Option<&'static str> {
    roots().find(|(name, _)| *name == root).map(|(_, below)| below)
}

/// Whether something of that pattern may be open or closed to a reader: it
/// stands in the table, or above or below something that does.
pub fn is_path(pattern: &Pattern) -> bool {
    let steps = pattern.steps();
    let Some(below) = below(&steps[0]) else { return false };
    let second = |step: &String| step == ANY || below.split(' ').any(|b| b == ANY || b == step);
    steps.get(1).is_none_or(second)
}

/// Whether a reader may need the fact of that pattern.
pub fn is_fact(pattern: &Pattern) -> bool {
    let text = pattern.to_string();
    if catalogue::kind(&text).is_some() || DEEP.contains(&text.as_str()) {
        return true;
    }
    let [root, second] = pattern.steps() else { return false };
    below(root).is_some_and(|below| below.split(' ').any(|b| b == second && b != ANY))
}

/// The path that was probably meant.
pub fn nearest(typed: &str) -> Option<String> {
    let two = roots().flat_map(|(root, below)| {
        let named = below.split(' ').filter(|b| *b != ANY);
        named.map(move |b| format!("{root}.{b}"))
    });
    let one = roots().map(|(root, _)| root.to_string());
    let deep = DEEP.iter().map(|id| (*id).to_string());
    let all: Vec<String> = two.chain(one).chain(deep).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    let near = did_you_mean(typed, &all).map(str::to_string);
    near.or_else(|| super::super::near::nearest(typed))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pattern(text: &str) -> Pattern {
        Pattern::parse(text).unwrap()
    }

    #[test]
    fn what_stands_in_the_table_and_around_it_is_known() {
        for good in ["exam", "exam.weight", "exam.scores.odi", "curves.*.now", "figures.spine"] {
            assert!(is_path(&pattern(good)), "{good}");
        }
        for bad in ["weather", "exam.wieght", "exam.wieght.known", "*.weight"] {
            assert!(!is_path(&pattern(bad)), "{bad}");
        }
    }

    #[test]
    fn a_fact_that_is_needed_is_known_to_the_end() {
        for good in ["exam.height", "major.now.cobb", "request.denial.reasons.*.answered"] {
            assert!(is_fact(&pattern(good)), "{good}");
        }
        for bad in ["exam", "major.now.cob", "risk.nothing", "request.denial.reasons.*.answer"] {
            assert!(!is_fact(&pattern(bad)), "{bad}");
        }
    }

    #[test]
    fn near_misses_are_named() {
        assert_eq!(nearest("exam.wieght").as_deref(), Some("exam.weight"));
        assert_eq!(nearest("request.gaol").as_deref(), Some("request.goal"));
        assert_eq!(nearest("major.now.cob").as_deref(), Some("major.now.cobb"));
    }
}
