//! Who must still be told, and that they were.

use chrono::NaiveDate;

use super::{Act, Desk, Done, refused, state_of};
use crate::case::Contact;
use crate::diag::{Code, Diagnostic, Report};
use crate::register::{Acknowledgement, Document, DocumentId, InstanceId, Moment, What};

/// Ways in which somebody can be told.
pub const HOW: &[&str] = &["telephone", "letter", "e-mail", "portal", "in person"];

/// A holder of a letter that no longer holds, who has not said that they know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Debt {
    /// The letter.
    pub document: DocumentId,
    /// Id of the contact.
    pub contact: String,
    /// Their name, where the case still knows them.
    pub name: Option<String>,
    /// The versions they hold.
    pub holds: Vec<u32>,
    /// What they are to be told of: the new version, or the withdrawn one.
    pub about: u32,
    /// Whether that version was withdrawn.
    pub withdrawn: bool,
    /// Since when.
    pub since: Moment,
    /// Since when letters are withheld from them: then nobody may tell them.
    pub withheld: Option<NaiveDate>,
}

impl Desk<'_> {
    /// Everyone who must still be told, by letter.
    pub fn owed(&self) -> Result<Vec<Debt>, Report> {
        let documents = self.documents()?;
        Ok(documents.iter().flat_map(|(id, document)| self.debts(id, document)).collect())
    }

    /// Who must still be told of one letter.
    pub(in crate::pipeline) fn debts(&self, id: &DocumentId, document: &Document) -> Vec<Debt> {
        let withdrawn = |about: u32| {
            document.version(about).is_some_and(|v| v.state == crate::register::State::Withdrawn)
        };
        let debt = |owed: &crate::register::Owed| Debt {
            document: id.clone(),
            contact: owed.recipient.clone(),
            name: self.name_of(id, &owed.recipient),
            holds: owed.holds.clone(),
            about: owed.about,
            withdrawn: withdrawn(owed.about),
            since: owed.since,
            withheld: self
                .contact(id, &owed.recipient)
                .and_then(|c| c.withheld.as_ref().map(|w| w.since.value)),
        };
        document.owed.iter().map(debt).collect()
    }

    /// The name of a contact, where the case still knows them.
    pub(in crate::pipeline) fn name_of(&self, id: &DocumentId, contact: &str) -> Option<String> {
        Some(self.contact(id, contact)?.name.value.clone())
    }

    fn contact(&self, id: &DocumentId, contact: &str) -> Option<&Contact> {
        let cases = self.loaded().cases.iter().filter_map(|c| c.case.as_ref());
        let case = cases.into_iter().find(|c| c.id.value == id.case())?;
        case.contacts.iter().find(|c| c.id.value == contact)
    }

    /// Records that a holder was told and said so.
    pub fn told(
        &self,
        id: &DocumentId,
        contact: &str,
        act: Act<'_>,
        on: NaiveDate,
        how: &str,
    ) -> Result<Done, Report> {
        if let Some(clinic) = &self.loaded().clinic {
            self.known_actor(clinic, act)?;
        }
        let mut writer = self.open()?;
        let document = state_of(writer.chain(), id);
        let Some(owed) = document.owed.iter().find(|o| o.recipient == contact) else {
            return Err(refused(nothing_owed(id, contact, &document)));
        };
        on_a_day_between(on, owed.since.day(), act.at.day(), contact)?;
        if let Some(since) = self.contact(id, contact).and_then(|c| c.withheld_on(on)) {
            let message = format!(
                "`{contact}` is said to have been told on {on}, but letters are withheld since {}",
                since.value
            );
            let place = Some(since.place.clone());
            return Err(refused(Diagnostic::new(Code::ReaderWithheld, place, message)));
        }
        let instance = InstanceId { document: id.clone(), version: owed.about };
        let what = What::Acknowledged(Acknowledgement {
            instance: instance.clone(),
            recipient: contact.to_string(),
            on,
            how: how.to_string(),
        });
        let event = writer.append(act.at, act.by, what).map_err(|e| self.unreachable(&e))?;
        Ok(Done { instance, event, file: None, warnings: Report::default() })
    }
}

/// Nobody was told before there was anything to tell, nor on a day to come. A
/// clinic's day may be one off the register's universal time.
fn on_a_day_between(
    on: NaiveDate,
    since: NaiveDate,
    today: NaiveDate,
    contact: &str,
) -> Result<(), Report> {
    let first = since.pred_opt().unwrap_or(since);
    let last = today.succ_opt().unwrap_or(today);
    let why = match () {
        () if on < first => format!("before the news of {since}"),
        () if on > last => "which is still to come".to_string(),
        () => return Ok(()),
    };
    let message = format!("`{contact}` is said to have been told on {on}, {why}");
    Err(refused(Diagnostic::new(Code::ToldOnWrongDay, None, message)))
}

fn nothing_owed(id: &DocumentId, contact: &str, document: &Document) -> Diagnostic {
    let message = match (document.versions.is_empty(), document.holders().contains_key(contact)) {
        (true, _) => {
            let message = format!("letter `{id}` was never issued");
            return Diagnostic::new(Code::NotIssued, None, message);
        }
        (false, true) => format!("`{contact}` has nothing to be told about letter `{id}`"),
        (false, false) => format!("`{contact}` never got letter `{id}`"),
    };
    Diagnostic::new(Code::HolderUnknown, None, message)
}
