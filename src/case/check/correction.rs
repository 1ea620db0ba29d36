//! Corrections point at an entry, and the entry holds the corrected value.

use crate::case::Correction;
use crate::case::address::find;
use crate::case::field::CASE;
use crate::diag::{Code, Diagnostic};

use super::Check;

pub(super) fn check(look: &mut Check) {
    for correction in &look.case.corrections {
        one(look, correction);
    }
}

fn one(look: &mut Check, correction: &Correction) {
    let (at, now) = (&correction.at, &correction.now);
    if now.value.trim() == correction.was.trim() {
        let message = format!("correction of `{}` changes `{}` to itself", **at, **now);
        look.fault(Code::CorrectionChangesNothing, &now.place, message);
    }
    let entry = match find(&look.case.tree, &CASE, at) {
        Ok(entry) => entry,
        Err(_) if !look.complete() => return,
        Err(why) => {
            let message = format!("`{}` names no entry: {why}", **at);
            look.fault(Code::CorrectionTargetMissing, &at.place, message);
            return;
        }
    };
    // A later correction of the same entry is the one that must hold.
    let later = look
        .case
        .corrections
        .iter()
        .any(|other| other.at.value == at.value && other.on.value > correction.on.value);
    if !later && !entry.says(now) {
        let message = format!("`{}` should hold `{}` now but holds `{}`", **at, **now, entry.text);
        let fault = Diagnostic::new(
            Code::CorrectionValueDiffers,
            Some(correction.now.place.clone()),
            message,
        );
        look.report.push(fault.related(entry.place, "the entry"));
    }
}
