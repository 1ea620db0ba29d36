//! Every kind of letter for every demo case that it applies to, to each role
//! it is written for, whether or not the case asks for it.
//!
//! Readers that a case does not have are invented here, so that a kind is not
//! left out because nobody of that role happens to be among the contacts.

use chrono::NaiveDate;
use endplate::case::{Case, Contact, LetterEntry, LetterKind, RequestState, Role};
use endplate::diag::Located;

use super::demo::demo;

/// A letter that may be written: the case with its reader, and the entry.
pub struct Piece {
    /// The demo case, an invented reader added where it had none of that role.
    pub case: Case,
    /// What is asked for.
    pub entry: LetterEntry,
    /// Who reads it.
    pub role: Role,
}

impl Piece {
    /// `fw-0131 check orthotist`.
    pub fn name(&self) -> String {
        format!("{} {} {}", *self.case.id, self.entry.kind.word(), self.role.word())
    }
}

/// Who each kind is written for. Roles that read the same wording are shown
/// once: a referring doctor stands for other doctors.
const KINDS: &[(LetterKind, &[Role])] = &[
    (LetterKind::Progress, &[Role::ReferringDoctor, Role::Family, Role::Patient]),
    (LetterKind::SurgicalOpinion, &[Role::Surgeon]),
    (LetterKind::NeurologicalOpinion, &[Role::Specialist]),
    (LetterKind::Prescription, &[Role::Orthotist]),
    (LetterKind::Check, &[Role::ReferringDoctor, Role::Orthotist, Role::Family]),
    (LetterKind::Justification, &[Role::Payer]),
    (LetterKind::Appeal, &[Role::Payer]),
    (LetterKind::School, &[Role::School]),
    (LetterKind::Weaning, &[Role::ReferringDoctor, Role::Family]),
    (LetterKind::Discharge, &[Role::ReferringDoctor, Role::Family, Role::Patient]),
    (LetterKind::Summary, &[Role::ReferringDoctor]),
    (LetterKind::Gap, &[Role::ReferringDoctor]),
];

/// Every piece, as of the last day that the case's own letters speak of.
pub fn gallery() -> Vec<Piece> {
    let cases = demo().cases.iter();
    cases.flat_map(|case| of(case, last_day(case))).collect()
}

fn last_day(case: &Case) -> NaiveDate {
    case.letters.iter().map(|l| l.as_of.value).max().expect("a demo case has letters")
}

/// Every piece of one case as of a day.
pub fn of(case: &Case, day: NaiveDate) -> Vec<Piece> {
    let asked = KINDS.iter().flat_map(|(kind, roles)| roles.iter().map(|role| (*kind, *role)));
    asked.filter_map(|(kind, role)| piece(case, kind, role, day)).collect()
}

fn piece(case: &Case, kind: LetterKind, role: Role, day: NaiveDate) -> Option<Piece> {
    let mut case = case.clone();
    // Where the case has such a letter, that one is shown.
    let of_role = |id: &str| case.contacts.iter().any(|c| c.id.value == id && *c.role == role);
    let own = case.letters.iter().rev().find(|l| *l.kind == kind && of_role(&l.to.value));
    if let Some(own) = own.cloned() {
        return Some(Piece { entry: own, role, case });
    }
    let model = case.letters.iter().find(|l| *l.kind == kind).or_else(|| case.letters.first())?;
    let mut entry = model.clone();
    entry.kind.value = kind;
    entry.id.value = "gallery".to_string();
    entry.as_of.value = day;
    (entry.dated, entry.signed, entry.adds_to) = (None, None, None);
    (entry.copies, entry.enclosures) = (Vec::new(), Vec::new());
    entry.to = Located::new(reader(&mut case, role), entry.to.place.clone());
    entry.request = request(&case, kind)?;
    entry.gap = gap(&case, kind)?;
    Some(Piece { case, entry, role })
}

/// A payer's letter needs a request of its own state; other kinds need none.
fn request(case: &Case, kind: LetterKind) -> Option<Option<Located<String>>> {
    let wanted = match kind {
        LetterKind::Justification => case
            .requests
            .iter()
            .find(|r| r.state.as_ref().map(|s| s.value) != Some(RequestState::Denied)),
        LetterKind::Appeal => case.requests.iter().find(|r| r.denial.is_some()),
        _ => return Some(None),
    };
    wanted.map(|r| Some(r.id.clone()))
}

fn gap(case: &Case, kind: LetterKind) -> Option<Option<Located<String>>> {
    match kind {
        LetterKind::Gap => case.gaps.first().map(|g| Some(g.id.clone())),
        _ => Some(None),
    }
}

/// The id of the contact of a role; of an invented one if there is none.
fn reader(case: &mut Case, role: Role) -> String {
    if let Some(found) = case.contacts.iter().find(|c| *c.role == role && c.may_receive.is_none()) {
        return found.id.value.clone();
    }
    let model = case.contacts.first().expect("a demo case has contacts");
    let mut made: Contact = model.clone();
    made.id.value = "invented".to_string();
    made.role.value = role;
    made.name.value = "Dana Inverwick".to_string();
    (made.greeting, made.organisation, made.may_receive) = (None, None, None);
    (made.phone, made.provider_no, made.language) = (None, None, None);
    case.contacts.push(made);
    "invented".to_string()
}
