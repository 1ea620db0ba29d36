//! Letters of a case, and those that follow by themselves, against the roles
//! that each kind is written for.

use crate::case::{Case, Clinic, Contact, LetterEntry};
use crate::diag::{Code, Diagnostic, Located, Report};

use super::Readers;

/// Letters and copies that go to somebody whose role no wording of that kind
/// is written for.
pub fn check(case: &Case, readers: &Readers, report: &mut Report) {
    for letter in &case.letters {
        let contact = |id: &Located<String>| case.contacts.iter().find(|c| c.id.value == id.value);
        if let Some(reader) = contact(&letter.to).filter(|r| !addressed(letter, r, readers)) {
            report.push(wrong_role(letter, reader, &letter.to, "goes"));
        }
        for id in letter.copies.iter().filter(|id| id.value != letter.to.value) {
            let seen = |r: &&Contact| !readers.may_see(*letter.kind, *r.role);
            if let Some(reader) = contact(id).filter(seen) {
                report.push(wrong_role(letter, reader, id, "is copied"));
            }
        }
    }
}

/// A list of the family's own (`may_receive`) widens the usual kinds of a
/// role, but never opens what is closed to it.
fn addressed(letter: &LetterEntry, reader: &Contact, readers: &Readers) -> bool {
    match reader.may_receive {
        None => readers.written_for(*letter.kind, *reader.role),
        Some(_) => readers.may_see(*letter.kind, *reader.role),
    }
}

fn wrong_role(
    letter: &LetterEntry,
    reader: &Contact,
    id: &Located<String>,
    verb: &str,
) -> Diagnostic {
    let message = format!(
        "letter `{}` of kind {} {verb} to `{}`, whose role is {}",
        *letter.id,
        letter.kind.word(),
        **id,
        reader.role.word()
    );
    let fault = Diagnostic::new(Code::KindNotForRole, Some(id.place.clone()), message);
    fault.related(reader.role.place.clone(), "the role")
}

/// Letters that follow by themselves to a role that their kind is not
/// written for.
pub fn check_clinic(clinic: &Clinic, readers: &Readers, report: &mut Report) {
    for rule in clinic.letters.iter().flat_map(|letters| &letters.follow) {
        let kind = *rule.kind;
        let to = std::iter::once((&rule.to, readers.written_for(kind, *rule.to), "goes"));
        let copies = rule.copies.iter().map(|c| (c, readers.may_see(kind, **c), "is copied"));
        for (role, _, verb) in to.chain(copies).filter(|(_, fits, _)| !fits) {
            let (kind, word) = (kind.word(), role.word());
            let message = format!("a letter of kind {kind} {verb} by default to the role {word}");
            report.push(Diagnostic::new(Code::KindNotForRole, Some(role.place.clone()), message));
        }
    }
}
