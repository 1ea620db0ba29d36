//! Recorded diagnosis codes held against the set and against the proposal.
//!
//! The recorded code is the one that letters print, whatever is found here;
//! what disagrees is told with both codes, and a person decides.

use super::family::{self, First};
use super::{Asked, EDITION, NoCode, Proposal, excluded, exists, propose};
use crate::case::Diagnosis;
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::facts::Facts;

/// Reports recorded codes that the set does not have, that it never pairs, or
/// that the record of the case contradicts.
pub fn check(diagnosis: &Diagnosis, facts: &Facts, report: &mut Report) {
    let sound = all(diagnosis).filter(|code| stands(code, report)).count();
    if sound < all(diagnosis).count() {
        return;
    }
    let proposal = Asked::of(facts).map(|asked| propose(&asked));
    pairs(diagnosis, report);
    if let Some(code) = &diagnosis.code {
        first(diagnosis, code, report);
        if let Some(proposal) = &proposal {
            agrees(code, proposal, report);
        }
    } else if let Some(Ok(proposal)) = &proposal {
        beside_proposed(diagnosis, proposal, report);
    }
}

/// The recorded codes in their order.
fn all(diagnosis: &Diagnosis) -> impl Iterator<Item = &Located<String>> {
    diagnosis.codes_first.iter().chain(&diagnosis.code).chain(&diagnosis.codes_after)
}

fn stands(code: &Located<String>, report: &mut Report) -> bool {
    let fault = |message: String, remedy: String| {
        Diagnostic::new(Code::DiagnosisCodeUnknown, Some(code.place.clone()), message)
            .remedy(remedy)
    };
    if !shaped(code) {
        let message = format!("`{}` is not of the form of an ICD-10-CM code", code.value);
        let remedy = "write one code, its letter in capitals and its dot, as in M41.124";
        report.push(fault(message, remedy.into()));
        return false;
    }
    if exists(code) != Some(false) {
        return true;
    }
    let near = family::near(code);
    let remedy = match near.as_slice() {
        [] => "look it up in the tabular list".to_string(),
        list => format!("codes of this kind are {}", list.join(", ")),
    };
    report.push(fault(format!("`{}` is not in {EDITION}", code.value), remedy));
    false
}

/// A letter, a digit, a letter or digit, then up to four after a dot.
fn shaped(code: &str) -> bool {
    let (stem, rest) = code.split_once('.').map_or((code, None), |(a, b)| (a, Some(b)));
    let inside = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit();
    let letters: Vec<char> = stem.chars().collect();
    let [first, second, third] = letters[..] else { return false };
    first.is_ascii_uppercase()
        && second.is_ascii_digit()
        && inside(third)
        && rest.is_none_or(|rest| (1..=4).contains(&rest.len()) && rest.chars().all(inside))
}

fn pairs(diagnosis: &Diagnosis, report: &mut Report) {
    let list: Vec<_> = all(diagnosis).collect();
    for (n, one) in list.iter().enumerate() {
        for other in &list[n + 1..] {
            if excluded(one, other) {
                let message = format!(
                    "`{}` and `{}` exclude each other in {EDITION}",
                    one.value, other.value
                );
                let place = Some(other.place.clone());
                let fault = Diagnostic::new(Code::DiagnosisCodesExcluded, place, message);
                report.push(fault.related(one.place.clone(), "the other code"));
            }
        }
    }
}

/// A family that means an underlying disease has its code before it.
fn first(diagnosis: &Diagnosis, code: &Located<String>, report: &mut Report) {
    let asks = family::of(code).is_some_and(|family| family.code_first == First::Always);
    if asks && diagnosis.codes_first.is_empty() {
        let message = format!("`{}` stands alone; the set codes the disease first", code.value);
        report.add(Code::UnderlyingNotCoded, &code.place, message);
    }
}

fn agrees(code: &Located<String>, proposal: &Result<Proposal, NoCode>, report: &mut Report) {
    let message = match proposal {
        Ok(proposal) if proposal.code == code.value => return,
        Ok(proposal) => {
            let never = match excluded(&proposal.code, code) {
                true => ", and the set never pairs the two",
                false => "",
            };
            let code = &code.value;
            format!(
                "`{code}` is recorded; cause, age and region lead to `{}`{never}",
                proposal.code
            )
        }
        Err(NoCode { why, settled: true }) => {
            format!("`{}` is recorded; no code is proposed: {why}", code.value)
        }
        Err(_) => return,
    };
    report.add(Code::DiagnosisCodeDiffers, &code.place, message);
}

/// Without a recorded code the proposed one is printed beside the others.
fn beside_proposed(diagnosis: &Diagnosis, proposal: &Proposal, report: &mut Report) {
    for code in all(diagnosis).filter(|code| excluded(&proposal.code, code)) {
        let message = format!(
            "`{}` and the proposed `{}` exclude each other in {EDITION}",
            code.value, proposal.code
        );
        report.add(Code::DiagnosisCodesExcluded, &code.place, message);
    }
}
