//! Letters that followed by a rule of the clinic's, have left, and that no
//! record calls for any more: the visit has another day now, or the rule is
//! gone. Nobody typed an entry that could be missed, so the register itself
//! says to whom they went and of which day; they can be compared, amended and
//! withdrawn like any other.

use std::collections::BTreeMap;

use super::{Desk, in_force};
use crate::case::follow::is_default;
use crate::case::{Case, InLanguages, LetterEntry, LetterKind};
use crate::diag::Located;
use crate::register::{DocumentId, Role, Version};

impl Desk<'_> {
    /// The entries of such letters, read once.
    pub(super) fn former(&self) -> &BTreeMap<DocumentId, LetterEntry> {
        self.former.get_or_init(|| {
            // A register with faults is told where it is used.
            let documents = self.documents().unwrap_or_default();
            let last = |id: &DocumentId| {
                let document = documents.get(id)?;
                in_force(document).or(document.versions.last())
            };
            let entry = |id: &DocumentId| {
                let case = self.case_of(id)?;
                let known = case.letters.iter().any(|l| l.id.value == id.letter());
                if known || !is_default(id.letter()) {
                    return None;
                }
                self.entry(case, id, last(id)?)
            };
            documents.keys().filter_map(|id| Some((id.clone(), entry(id)?))).collect()
        })
    }

    fn case_of(&self, id: &DocumentId) -> Option<&Case> {
        let cases = self.loaded().cases.iter().filter_map(|c| c.case.as_ref());
        cases.into_iter().find(|c| c.id.value == id.case())
    }

    /// The entry as it was when that version left.
    fn entry(&self, case: &Case, id: &DocumentId, version: &Version) -> Option<LetterEntry> {
        let issue = &version.issue;
        let at = |text: &str| Located::new(text.to_string(), case.place.clone());
        let of = |role: Role| issue.recipients.iter().filter(move |(r, _)| *r == role);
        let signed_by = self.record(version).map(|record| record.signed_by).unwrap_or_default();
        Some(LetterEntry {
            id: at(id.letter()),
            kind: Located::new(LetterKind::from_word(&issue.kind)?, case.place.clone()),
            to: at(&of(Role::To).next()?.1),
            copies: of(Role::Copy).map(|(_, contact)| at(contact)).collect(),
            as_of: Located::new(issue.as_of, case.place.clone()),
            dated: None,
            signed_by: at(&signed_by),
            signed: None,
            adds_to: None,
            question: None,
            urgency: None,
            about: None,
            request: None,
            gap: None,
            enclosed: Vec::new(),
            enclosures: Vec::new(),
            remarks: None,
            remarks_in: InLanguages::new(),
            risk: Vec::new(),
            follows: Some(at("the register")),
            place: case.place.clone(),
        })
    }
}
