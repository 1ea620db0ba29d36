//! Corrections point at an entry, follow one another without a gap, and the
//! entry holds what the last one says.

use std::collections::BTreeMap;

use crate::case::address::{Entry, same_value};
use crate::case::{Correction, rename};
use crate::diag::{Code, Diagnostic};

use super::Check;

pub(super) fn check(look: &mut Check) {
    // By where the entry stands: one entry may have been called by two names.
    let mut chains: BTreeMap<usize, (Entry, Vec<&Correction>)> = BTreeMap::new();
    let case = look.case;
    for correction in &case.corrections {
        if same_value(&correction.was, &correction.now) {
            nothing(look, correction);
        }
        match rename::find(case, &correction.at) {
            Ok(entry) => {
                let chain = chains.entry(entry.place.start).or_insert((entry, Vec::new()));
                chain.1.push(correction);
            }
            Err(why) => missing(look, correction, &why),
        }
    }
    for (entry, mut chain) in chains.into_values() {
        // Those of one day are in the order of the file.
        chain.sort_by_key(|correction| *correction.on);
        chain.windows(2).for_each(|pair| linked(look, pair[0], pair[1]));
        chain.last().into_iter().for_each(|last| held(look, last, &entry));
    }
}

fn nothing(look: &mut Check, correction: &Correction) {
    let (at, now) = (&correction.at, &correction.now);
    let message = format!("correction of `{}` changes `{}` to itself", **at, **now);
    look.fault(Code::CorrectionChangesNothing, &now.place, message);
}

fn missing(look: &mut Check, correction: &Correction, why: &str) {
    // What a fault left out of the case may well be what is meant.
    if look.complete() {
        let message = format!("`{}` names no entry: {why}", *correction.at);
        look.fault(Code::CorrectionTargetMissing, &correction.at.place, message);
    }
}

/// The later one begins where the earlier one ended.
fn linked(look: &mut Check, earlier: &Correction, later: &Correction) {
    if same_value(&earlier.now, &later.was) {
        return;
    }
    let message = format!(
        "correction of {} to `{}` says it was `{}`, but the one before it, of {}, left `{}`",
        *later.on, *later.at, *later.was, *earlier.on, *earlier.now
    );
    let place = Some(later.was.place.clone());
    let fault = Diagnostic::new(Code::CorrectionChainBroken, place, message);
    look.report.push(fault.related(earlier.now.place.clone(), "the one before"));
}

/// The entry holds what the last correction says.
fn held(look: &mut Check, last: &Correction, entry: &Entry) {
    if entry.says(&last.now) {
        return;
    }
    let message =
        format!("`{}` should hold `{}` now but holds `{}`", *last.at, *last.now, entry.text.trim());
    let place = Some(last.now.place.clone());
    let fault = Diagnostic::new(Code::CorrectionValueDiffers, place, message);
    look.report.push(fault.related(entry.place.clone(), "the entry"));
}
