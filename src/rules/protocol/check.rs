//! A plan outside the range without a reason, for `check`.

use crate::case::Case;
use crate::diag::{Code, Diagnostic, Report};
use crate::facts::{Facts, Value};

/// Warns where the facts say that the plan lies outside the range and no
/// reason is recorded. `case` is as known on the facts' day.
pub fn check(facts: &Facts, case: &Case, report: &mut Report) {
    let word = |id: &str| facts.get(id).and_then(|f| f.word());
    if word("protocol.reason") != Some("not recorded") {
        return;
    }
    let Some(plan) = case.plans.last() else { return };
    let message = format!(
        "the plan of {} is {}, and the protocol allows {} to {}",
        plan.on.value,
        step(facts, "protocol.plan"),
        step(facts, "protocol.range.least"),
        step(facts, "protocol.range.most"),
    );
    let place = plan.choice.first().map_or(&plan.place, |c| &c.place);
    report.push(Diagnostic::new(Code::PlanOutsideProtocol, Some(place.clone()), message));
}

fn step(facts: &Facts, id: &str) -> String {
    let word = facts.get(id).and_then(|f| f.word()).unwrap_or("not known");
    match facts.get(&format!("{id}_hours")).map(|f| &f.value) {
        Some(Value::Number(hours)) => format!("{word} {} h/day", hours.digits()),
        _ => word.into(),
    }
}
