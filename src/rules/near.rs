//! Fact ids in common use, for the remedy of a misspelt one.

use crate::case::suggest::did_you_mean;

/// Ids below `major`; the same stand below `curves.<name>`.
const OF_A_CURVE: &[&str] = &[
    "major.side",
    "major.region",
    "major.plane",
    "major.now.cobb",
    "major.previous.cobb",
    "major.first.cobb",
    "major.since_previous.amount",
    "major.since_previous.verdict",
    "major.since_previous.rate",
    "major.since_previous.months",
    "major.since_first.amount",
    "major.since_first.verdict",
    "major.since_treatment.amount",
    "major.since_treatment.verdict",
    "major.in_brace.correction",
];

/// Other ids that rules ask for.
const OTHERS: &[&str] = &[
    "patient.age",
    "patient.sex",
    "patient.stage",
    "diagnosis.cause",
    "diagnosis.deformity",
    "maturity.risser.grade",
    "maturity.risser.scale",
    "maturity.triradiate.value",
    "maturity.hand_stage.value",
    "maturity.menarche.state",
    "maturity.menarche.months_since",
    "maturity.menarche.months_since_fewest",
    "maturity.menarche.months_since_most",
    "growth.height",
    "growth.since_delivery",
    "growth.phase.value",
    "growth.velocity.height.per_year",
    "sagittal.now.t5_t12",
    "sagittal.now.largest_kyphosis",
    "sagittal.now.sva",
    "treatment.current.kind",
    "treatment.current.hours",
    "treatment.current.wear.share",
    "treatment.current.wear.mean",
    "treatment.current.in_brace.first.correction",
    "treatment.current.in_brace.latest.correction",
    "early_onset.curve",
    "rib_vertebra.latest.difference",
    "rib_vertebra.latest.limit_20",
    "scores.odi.now",
    "scores.pain.now",
    "plan.choice",
    "request.seen_before_order",
    "request.hours",
    "exam.flags.abdominal_reflex_abnormal.value",
    "exam.flags.bladder_bowel_change.value",
    "exam.flags.cancer_history.value",
    "exam.flags.cavus_feet.value",
    "exam.flags.fracture.value",
    "exam.flags.gait_change.value",
    "exam.flags.infection_signs.value",
    "exam.flags.neurological_signs.value",
    "exam.flags.night_pain.value",
    "exam.flags.osteoporosis.value",
    "exam.flags.progressive_weakness.value",
    "exam.flags.saddle_numbness.value",
    "exam.flags.short_segment.value",
    "exam.flags.skin_marks_midline.value",
];

/// The id that was probably meant, if one is close.
pub(super) fn nearest(typed: &str) -> Option<String> {
    let curve = typed.strip_prefix("curves.").and_then(|rest| rest.split_once('.'));
    if let Some((name, rest)) = curve {
        let near = did_you_mean(&format!("major.{rest}"), OF_A_CURVE)?;
        return Some(format!("curves.{name}.{}", near.strip_prefix("major.")?));
    }
    let ids: Vec<&str> = OF_A_CURVE.iter().chain(OTHERS).copied().collect();
    did_you_mean(typed, &ids).map(str::to_string)
}

#[cfg(test)]
mod tests {
    use super::super::catalogue::kind;
    use super::*;

    #[test]
    fn every_id_offered_may_be_asked() {
        for id in OF_A_CURVE.iter().chain(OTHERS) {
            assert!(kind(id).is_some(), "{id}");
        }
    }

    #[test]
    fn the_nearest_id_is_offered() {
        let near = |id| nearest(id);
        assert_eq!(near("major.now.cob").as_deref(), Some("major.now.cobb"));
        assert_eq!(near("curves.lumbar.now.cob").as_deref(), Some("curves.lumbar.now.cobb"));
        assert_eq!(near("weather.tomorrow"), None);
    }
}
