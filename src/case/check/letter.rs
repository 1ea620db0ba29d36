//! Letters and requests: who may get what, and as of when.

use crate::case::{Case, Contact, LetterEntry, LetterKind, Role};
use crate::diag::{Code, Located};

use super::Check;

pub(super) fn check(look: &mut Check) {
    for letter in &look.case.letters {
        days(look, letter);
        enclosures(look, letter);
        readers(look, letter);
        needs(look, letter);
        risk(look, letter);
    }
    requests(look);
}

fn days(look: &mut Check, letter: &LetterEntry) {
    let as_of = &letter.as_of;
    let first = look.case.films.iter().min_by_key(|f| f.taken.value);
    // The day of a letter that follows is no slip of a pen: of a first visit
    // there may be no film yet.
    let typed = letter.follows.is_none();
    let first = first.filter(|f| typed && as_of.value < f.taken.value && look.complete());
    if let Some(first) = first {
        let message = format!(
            "letter `{}` is as of {}, before the first film on {}",
            *letter.id, **as_of, *first.taken
        );
        let other = (&first.taken.place, "the first film");
        look.fault_with(Code::LetterBeforeFirstFilm, &as_of.place, message, other);
    }
    if let Some(dated) = letter.dated.as_ref().filter(|d| d.value < as_of.value) {
        let message = format!(
            "letter `{}` is dated {} but states what was known on {}",
            *letter.id, **dated, **as_of
        );
        let other = (&as_of.place, "as of");
        look.fault_with(Code::LetterDatedBeforeAsOf, &dated.place, message, other);
    }
}

fn enclosures(look: &mut Check, letter: &LetterEntry) {
    for id in &letter.enclosed {
        look.film_later(letter, id);
    }
}

fn contact<'a>(case: &'a Case, id: &str) -> Option<&'a Contact> {
    case.contacts.iter().find(|c| c.id.value == id)
}

/// Who may see which kind stands with what the kinds' readers need, in the
/// rules; here only what this case says of its contacts.
fn readers(look: &mut Check, letter: &LetterEntry) {
    let case = look.case;
    if let Some(reader) = contact(case, &letter.to) {
        permitted(look, letter, reader, &letter.to);
    }
    let mut seen = vec![letter.to.value.as_str()];
    for copy in &letter.copies {
        if seen.contains(&copy.value.as_str()) {
            let message = format!("`{}` gets letter `{}` twice", **copy, *letter.id);
            look.fault(Code::CopyRepeatsReader, &copy.place, message);
            continue;
        }
        seen.push(&copy.value);
        let Some(reader) = contact(case, copy) else { continue };
        permitted(look, letter, reader, copy);
    }
}

/// What the family has agreed to is never widened.
fn permitted(look: &mut Check, letter: &LetterEntry, reader: &Contact, id: &Located<String>) {
    withheld(look, letter, reader, id);
    let Some(kinds) = &reader.may_receive else { return };
    if kinds.iter().any(|kind| kind.value == *letter.kind) {
        return;
    }
    let listed: Vec<_> = kinds.iter().map(|kind| kind.word()).collect();
    let listed = if listed.is_empty() { "nothing".to_string() } else { listed.join(", ") };
    let message = format!(
        "letter `{}` is a {} letter, but `{}` may receive only: {listed}",
        *letter.id,
        letter.kind.word(),
        **id
    );
    let place = kinds.first().map_or(&reader.id.place, |kind| &kind.place);
    look.fault_with(Code::ReaderMayNotReceive, &id.place, message, (place, "may receive"));
}

/// From that day on no letter goes to them, whatever else is recorded.
fn withheld(look: &mut Check, letter: &LetterEntry, reader: &Contact, id: &Located<String>) {
    let day = letter.dated.as_ref().unwrap_or(&letter.as_of);
    let Some(since) = reader.withheld_on(day.value) else { return };
    let message = format!(
        "letter `{}` of {} goes to `{}`, from whom letters are withheld since {}",
        *letter.id, **day, **id, **since
    );
    look.fault_with(Code::ReaderWithheld, &id.place, message, (&since.place, "since then"));
}

/// Figures of risk in plain words are for the family or the patient alone;
/// letters to doctors and payers tell them with everything a doctor asks for.
fn risk(look: &mut Check, letter: &LetterEntry) {
    let Some(reader) = contact(look.case, &letter.to) else { return };
    let lay = matches!(*reader.role, Role::Family | Role::Patient);
    if let Some(asked) = letter.risk.first().filter(|_| !lay) {
        let message = format!(
            "letter `{}` goes to `{}`, whose role is {}, and tells risk as counts for a family",
            *letter.id,
            *letter.to,
            reader.role.word()
        );
        let other = (&reader.role.place, "the role");
        look.fault_with(Code::RiskNotForReader, &asked.place, message, other);
    }
}

fn needs(look: &mut Check, letter: &LetterEntry) {
    let asks = matches!(*letter.kind, LetterKind::Justification | LetterKind::Appeal);
    if asks && letter.request.is_none() && look.whole(&letter.place) {
        let kind = letter.kind.word();
        let message = format!("letter `{}` is a {kind} but names no request", *letter.id);
        look.fault(Code::LetterNeedsRequest, &letter.kind.place, message);
    }
}

fn requests(look: &mut Check) {
    for request in &look.case.requests {
        let Some(coverage) = &look.case.coverage else {
            if !look.complete() {
                continue;
            }
            let message = format!(
                "request `{}` to `{}`, but no coverage is recorded",
                *request.id, *request.to
            );
            look.fault(Code::RequestWithoutCoverage, &request.to.place, message);
            continue;
        };
        if *request.to != *coverage.payer {
            let message = format!(
                "request `{}` goes to `{}`, the coverage is with `{}`",
                *request.id, *request.to, *coverage.payer
            );
            let other = (&coverage.payer.place, "the coverage");
            look.fault_with(Code::RequestPayerDiffers, &request.to.place, message, other);
        }
    }
}
