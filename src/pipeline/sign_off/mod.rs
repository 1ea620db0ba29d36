//! The sign-off sheet: what a batch of letters asks of those who sign them.
//!
//! A batch is what one build made new or changed. For each letter the sheet
//! says what to look at first, and which printed values changed since the
//! build before, with the record behind each. It helps to read, it replaces no
//! look into a letter, and it never leaves the clinic.

mod near;
pub mod said;
mod sheet;

pub use said::{Origin, Said, SaidValue};
pub use sheet::sheet;

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::build::State;
use super::index::Entry;
use super::letter::{Press, Written};
use super::plan::Job;
use super::why::Why;
use crate::case::{Case, Clinic, LetterEntry, LetterKind, Role};
use crate::diag::{Code, Diagnostic, Report};
use crate::letter::frame::letter_date;

/// The sheet's file in the output folder.
pub const FILE: &str = "sign-off.pdf";

/// A letter of the batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToSign {
    /// `mr-0118/l1`.
    pub name: String,
    /// New or changed.
    pub state: State,
    /// The patient's name.
    pub patient: String,
    /// Kind of letter.
    pub kind: LetterKind,
    /// Whom it goes to, and who that is.
    pub reader: (String, Role),
    /// The date on it.
    pub dated: NaiveDate,
    /// Name of who signs it.
    pub signer: String,
    /// What to look at first.
    pub alerts: Vec<Alert>,
    /// Printed values that changed; `None` where the build before did not note
    /// what it printed.
    pub changes: Option<Vec<Change>>,
    /// What changed among its inputs, in words.
    pub because: Vec<String>,
}

/// Something to look at first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Alert {
    /// How much it matters: contradictions, then verdicts and red flags, then
    /// the rest.
    pub rank: u8,
    /// In words.
    pub what: String,
    /// `file:line`.
    pub at: Option<String>,
}

/// A printed value, before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What it is.
    pub label: String,
    /// As printed before; absent where it was not printed.
    pub old: Option<String>,
    /// As printed now; absent where it is not printed any more.
    pub new: Option<String>,
    /// Records behind it, those that changed if any did.
    pub from: Vec<Origin>,
}

impl Press {
    /// What a letter says and asks of its signer.
    pub(super) fn said(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
        written: &Written,
    ) -> Said {
        let facts = &written.derived.facts;
        let mut alerts = near::open(facts, &self.open_flags(case, entry, facts));
        alerts.extend(near::changes(written));
        if entry.request.is_some() {
            let (_, answers) = self.judge(case, clinic, entry.as_of.value, Some(entry));
            alerts.extend(near::criteria(&answers));
        }
        Said { values: said::values(written), alerts }
    }
}

/// What stands behind one letter of the batch.
pub(super) struct Behind<'a> {
    /// The letter.
    pub job: &'a Job<'a>,
    /// The clinic whose people sign.
    pub clinic: &'a Clinic,
    /// New or changed.
    pub state: State,
    /// What it says.
    pub said: &'a Said,
    /// Warnings of the letter and its case.
    pub warnings: &'a Report,
    /// What the build before remembered.
    pub old: Option<&'a Entry>,
    /// What changed among its inputs.
    pub why: &'a [Why],
}

impl Behind<'_> {
    /// The letter as the sheet tells it.
    pub fn to_sign(&self) -> ToSign {
        let (case, entry) = (self.job.case, self.job.entry);
        let to = case.contacts.iter().find(|c| c.id.value == entry.to.value);
        let signer = self.clinic.person(&entry.signed_by.value);
        let noted = self.old.filter(|old| !old.printed.is_empty());
        let changes = noted.map(|old| self.changes(old));
        ToSign {
            name: self.job.name(),
            state: self.state,
            patient: case.patient.name.value.clone(),
            kind: *entry.kind,
            reader: to
                .map_or((entry.to.value.clone(), Role::Other), |c| (c.name.value.clone(), *c.role)),
            dated: letter_date(entry),
            signer: signer.map_or(&entry.signed_by.value, |p| &p.name.value).clone(),
            alerts: self.alerts(),
            because: self.because(changes.as_deref().unwrap_or_default()),
            changes,
        }
    }

    /// What changed among its inputs and stands behind none of its values.
    fn because(&self, changes: &[Change]) -> Vec<String> {
        let behind = |why: &&Why| match why {
            Why::Entry { at: Some(at), .. } => {
                changes.iter().flat_map(|c| &c.from).any(|origin| origin.at == *at)
            }
            _ => false,
        };
        let told = self.why.iter().filter(|why| told(why) && !behind(why));
        told.map(ToString::to_string).collect()
    }

    fn alerts(&self) -> Vec<Alert> {
        let own =
            self.said.alerts.iter().map(|what| Alert { rank: 1, what: what.clone(), at: None });
        let mut all: Vec<Alert> =
            self.warnings.sorted().into_iter().map(warned).chain(own).collect();
        all.sort();
        all.dedup();
        all
    }

    /// Values that differ, each told once by whatever name it was printed.
    fn changes(&self, old: &Entry) -> Vec<Change> {
        let mut told = BTreeSet::new();
        let mut list: Vec<Change> = Vec::new();
        for value in &self.said.values {
            let before = old.printed.get(&value.fact);
            if before == Some(&value.text) || !told.insert(&value.root) {
                continue;
            }
            list.push(Change {
                label: value.label.clone(),
                old: before.cloned(),
                new: Some(value.text.clone()),
                from: self.changed(&value.from),
            });
        }
        let gone = |fact: &&String| !self.said.values.iter().any(|v| v.fact == **fact);
        for fact in old.printed.keys().filter(gone) {
            let label = said::label(fact, "no longer printed");
            let old = old.printed.get(fact).cloned();
            list.push(Change { label, old, new: None, from: Vec::new() });
        }
        list
    }

    /// The records behind a value that changed; all, if none did.
    fn changed(&self, from: &[Origin]) -> Vec<Origin> {
        let edited = |origin: &&Origin| {
            self.why.iter().any(|why| match why {
                Why::Entry { path, .. } => {
                    *path == origin.record || path.starts_with(&format!("{} / ", origin.record))
                }
                _ => false,
            })
        };
        let changed: Vec<Origin> = from.iter().filter(edited).cloned().collect();
        if changed.is_empty() { from.to_vec() } else { changed }
    }
}

/// Reasons that a signer can do something with.
fn told(why: &Why) -> bool {
    !matches!(why, Why::NotBuiltBefore | Why::FileMissing | Why::WrittenOver)
}

fn warned(fault: &Diagnostic) -> Alert {
    let contradicts = matches!(
        fault.code,
        Code::TextContradictsSide
            | Code::TextContradictsLevel
            | Code::ReadersDisagree
            | Code::PlanContradicts
            | Code::RotationAgainstConvexity
            | Code::TranslationAgainstConvexity
    );
    let rank = match fault.code {
        _ if contradicts => 0,
        Code::RoundingDecides | Code::RedFlag => 1,
        _ => 2,
    };
    let at = fault.place.as_ref().map(|place| format!("{}:{}", place.file, place.line));
    Alert { rank, what: fault.message.clone(), at }
}
