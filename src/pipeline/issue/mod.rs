//! Letters leave the house here, and are corrected, withdrawn and told about.
//!
//! A [`Desk`] holds what one run works with: the clinic's folder, its loaded
//! cases and the press. Every act first looks whether it may happen, then
//! takes the archive, makes the pages with the register's last digest printed
//! on them, freezes pages and record, and writes one event. The archive is
//! held for one letter at a time, so that two runs take turns. What an act
//! needs of the world (who, when) is handed in: this room reads no clock and
//! asks nobody.

mod amend;
mod erase;
mod first;
mod former;
mod record;
mod told;
mod withdraw;

pub use amend::{Amendment, REASONS};
pub use record::{Kept, Record, printed};
pub use told::{Debt, HOW};
pub use withdraw::WITHDRAWN_BECAUSE;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::OnceLock;

use super::archive::{Archive, Writer, stands_in_the_way};
use super::io::{self, Folder};
use super::letter::Press;
use super::load::{Loaded, LoadedCase};
use super::plan::safe;
use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::letter::frame::letter_date;
use crate::register::{
    Chain, Document, DocumentId, Event, Freeze, InstanceId, Issue, Moment, Role, State, Version,
    fold,
};

pub(super) use record::{About, attachments, kept};

/// Who did something, and when.
#[derive(Debug, Clone, Copy)]
pub struct Act<'a> {
    /// Id of the person who says that they did it: an assertion, not a login.
    pub by: &'a str,
    /// When.
    pub at: Moment,
}

/// What an act left behind.
#[derive(Debug)]
pub struct Done {
    /// Which version of which letter.
    pub instance: InstanceId,
    /// The event that was written.
    pub event: Event,
    /// Path of the frozen pages as shown to people; none where the act made
    /// no paper.
    pub file: Option<String>,
    /// What the clinic should know all the same.
    pub warnings: Report,
}

/// What one run works with.
pub struct Desk<'a> {
    folder: &'a Folder,
    loaded: &'a Loaded,
    press: &'a Press,
    archive: Archive,
    waiting: &'a dyn Fn(),
    /// Entries of letters that left by a rule of the clinic's and that no
    /// record calls for any more.
    former: OnceLock<BTreeMap<DocumentId, LetterEntry>>,
}

/// A letter with its case and clinic.
#[derive(Clone, Copy)]
pub(super) struct Found<'a> {
    pub loaded: &'a LoadedCase,
    pub case: &'a Case,
    pub entry: &'a LetterEntry,
    pub clinic: &'a Clinic,
}

/// The case files that hold these cases, by file name.
pub fn files_of(folder: &Folder, cases: &[&str]) -> std::io::Result<Vec<PathBuf>> {
    let named = |path: &PathBuf| {
        let stem = path.file_stem().map(|s| s.to_string_lossy().into_owned());
        stem.is_some_and(|stem| cases.contains(&stem.as_str()))
    };
    Ok(io::case_files(&folder.root().join("cases"))?.into_iter().filter(named).collect())
}

/// One fault as a report.
pub(super) fn refused(diagnostic: Diagnostic) -> Report {
    let mut report = Report::default();
    report.push(diagnostic);
    report
}

impl<'a> Desk<'a> {
    /// A desk; `waiting` is called when another run holds the archive.
    pub fn new(
        folder: &'a Folder,
        loaded: &'a Loaded,
        press: &'a Press,
        waiting: &'a dyn Fn(),
    ) -> Desk<'a> {
        let archive = Archive::of(folder);
        Desk { folder, loaded, press, archive, waiting, former: OnceLock::new() }
    }

    pub(super) fn press(&self) -> &'a Press {
        self.press
    }

    pub(super) fn archive(&self) -> &Archive {
        &self.archive
    }

    pub(super) fn loaded(&self) -> &'a Loaded {
        self.loaded
    }

    /// Texts of the files read.
    pub(super) fn texts(&self) -> &'a crate::diag::Sources {
        &self.loaded.sources
    }

    /// The state of every letter that ever left the house.
    pub fn documents(&self) -> Result<BTreeMap<DocumentId, Document>, Report> {
        let mut faults = Report::default();
        let chain = self.archive.examined(&mut faults).map_err(|e| self.unreachable(&e))?;
        // A register with gaps would name too few letters and too few holders.
        match stands_in_the_way(&faults, Code::IssuedTwice) {
            true => Err(faults),
            false => Ok(fold(&chain)),
        }
    }

    /// The letter of that name, in a case that may have errors.
    pub(super) fn find(&self, id: &DocumentId) -> Result<Found<'_>, Report> {
        let missing = |what: String| refused(Diagnostic::new(Code::LetterNotFound, None, what));
        let named = |c: &&LoadedCase| c.case.as_ref().is_some_and(|c| c.id.value == id.case());
        let Some(loaded) = self.loaded.cases.iter().find(named) else {
            let mut report = self.loaded.all_faults();
            report.retain(|d| d.severity == crate::diag::Severity::Error);
            report.extend(missing(format!("there is no case `{}` for letter `{id}`", id.case())));
            return Err(report);
        };
        let Some(clinic) = &self.loaded.clinic else { return Err(self.loaded.report.clone()) };
        let case = loaded.case.as_ref().filter(|c| c.id.value == id.case());
        let entry = case.and_then(|c| c.letters.iter().find(|l| l.id.value == id.letter()));
        let entry = entry.or_else(|| self.former().get(id));
        match (case, entry) {
            (Some(case), Some(entry)) => Ok(Found { loaded, case, entry, clinic }),
            _ => Err(missing(format!("case `{}` has no letter `{}`", id.case(), id.letter()))),
        }
    }

    /// The letter of that name, in a case and clinic without errors.
    pub(super) fn sound(&self, id: &DocumentId) -> Result<Found<'_>, Report> {
        let found = self.find(id)?;
        let mut report = self.loaded.report.clone();
        report.extend(found.loaded.report.clone());
        report.extend(self.press.report.clone());
        if !report.has_errors() {
            return Ok(found);
        }
        let message = format!("letter `{id}` is not issued while its case has errors");
        let fault = Diagnostic::new(Code::CaseHasErrors, Some(found.entry.place.clone()), message);
        report.push(fault);
        Err(report)
    }

    /// Whoever acts must be known to the clinic.
    pub(super) fn known_actor(&self, clinic: &Clinic, act: Act<'_>) -> Result<(), Report> {
        if clinic.person(act.by).is_some() {
            return Ok(());
        }
        let known: Vec<&str> = clinic.people.iter().map(|p| p.id.value.as_str()).collect();
        let message = format!("the clinic has no person `{}`", act.by);
        let fault = Diagnostic::new(Code::ActorUnknown, None, message);
        Err(refused(fault.remedy(format!("people known: {}", known.join(", ")))))
    }

    /// Takes the archive; refused while the register has faults.
    pub(super) fn open(&self) -> Result<Writer, Report> {
        let mut report = Report::default();
        let writer = self.archive.write(self.waiting, &mut report);
        writer.map_err(|e| self.unreachable(&e))?.ok_or(report)
    }

    /// The folder of issued letters could not be read or written.
    pub(super) fn unreachable(&self, error: &std::io::Error) -> Report {
        let shown = self.folder.shown(&self.archive.path(""));
        let message = format!("`{shown}` cannot be written or read: {}", io::reason(error));
        refused(Diagnostic::new(Code::FileUnreadable, None, message))
    }

    /// The record frozen with a version.
    pub(super) fn record(&self, version: &Version) -> Result<Record, Report> {
        let instance = &version.issue.instance;
        let fault = |why: String| {
            let message = format!("the record of {instance} cannot be read: {why}");
            refused(Diagnostic::new(Code::RecordUnreadable, None, message))
        };
        if version.erased {
            return Err(fault("its bytes were destroyed by law".to_string()));
        }
        let file = version.issue.files.iter().find(|f| f.is == Freeze::Record);
        let file = file.ok_or_else(|| fault("none was kept".to_string()))?;
        let bytes = self.archive.frozen(file).map_err(|e| fault(io::reason(&e)))?;
        if crate::digest::Digest::of(&bytes) != file.digest {
            return Err(fault(format!("`{}` is not as it was frozen", file.file)));
        }
        Record::read(&bytes).map_err(fault)
    }

    /// Freezes pages and record of a version.
    pub(super) fn freeze(
        &self,
        writer: &Writer,
        instance: &InstanceId,
        pdf: &[u8],
        record: &Record,
    ) -> Result<Vec<crate::register::Frozen>, Report> {
        let name = file_name(instance);
        let pdf = writer.freeze(Freeze::Pdf, &format!("{name}.pdf"), pdf);
        let record = writer.freeze(Freeze::Record, &format!("{name}.json"), &record.to_bytes());
        match (pdf, record) {
            (Ok(pdf), Ok(record)) => Ok(vec![pdf, record]),
            (Err(error), _) | (_, Err(error)) => Err(self.unreachable(&error)),
        }
    }
}

/// `fw-0118-l3-v1`.
pub(super) fn file_name(instance: &InstanceId) -> String {
    let document = &instance.document;
    format!("{}-{}-v{}", safe(document.case()), safe(document.letter()), instance.version)
}

/// The version of a letter that its readers may rely on. An addendum is a
/// letter of its own and in force like any other.
pub fn in_force(document: &Document) -> Option<&Version> {
    document.versions.iter().rev().find(|v| v.state.in_force())
}

/// The state of one letter.
pub(super) fn state_of(chain: &Chain, id: &DocumentId) -> Document {
    fold(chain).remove(id).unwrap_or_default()
}

/// The version in force, or why there is none.
pub(super) fn must_be_in_force<'d>(
    document: &'d Document,
    id: &DocumentId,
) -> Result<&'d Version, Report> {
    in_force(document).ok_or_else(|| {
        let message = match document.versions.last() {
            Some(last) if last.state == State::Withdrawn => {
                format!("letter `{id}` was withdrawn on {}", last.at.day())
            }
            _ => format!("letter `{id}` was never issued"),
        };
        refused(Diagnostic::new(Code::NotIssued, None, message))
    })
}

/// A letter leaves under its signer's name: the signer issues it, or has
/// signed it, after the day `since` of the version that was wrong.
pub(super) fn must_be_signed(
    found: Found<'_>,
    act: Act<'_>,
    since: Option<chrono::NaiveDate>,
) -> Result<(), Report> {
    let entry = found.entry;
    let signed = entry.signed.as_ref().map(|s| s.value);
    let fresh = signed.filter(|day| since.is_none_or(|since| *day > since));
    let today = last_day(act);
    let fresh = fresh.filter(|day| *day <= today);
    if act.by == entry.signed_by.value || fresh.is_some() {
        return Ok(());
    }
    let signer = &entry.signed_by.value;
    let message = match (signed, since) {
        (Some(day), _) if day > today => {
            format!(
                "`{signer}` signed letter `{}` on {day}, which is still to come",
                entry.id.value
            )
        }
        (Some(day), Some(since)) => format!(
            "`{signer}` signed letter `{}` on {day}, not after its last version of {since}",
            entry.id.value
        ),
        _ => format!(
            "letter `{}` is signed by `{signer}`, and `{}` is to issue it unsigned",
            entry.id.value, act.by
        ),
    };
    let fault = Diagnostic::new(Code::LetterUnsigned, Some(entry.signed_by.place.clone()), message);
    Err(refused(fault))
}

/// No warning sign of the case may be open: those of `Press::open_flags`.
pub(super) fn must_be_answered(entry: &LetterEntry, open: &[String]) -> Result<(), Report> {
    let mut report = Report::default();
    for flag in open {
        let letter = &entry.id.value;
        let message = format!("letter `{letter}`: the warning sign `{flag}` is not answered");
        report.add(Code::RedFlagUnanswered, &entry.place, message);
    }
    if report.is_empty() { Ok(()) } else { Err(report) }
}

/// The last day that an act may fall on: a clinic's day may be a day ahead of
/// the register's universal time.
pub(super) fn last_day(act: Act<'_>) -> chrono::NaiveDate {
    act.at.day().succ_opt().unwrap_or(act.at.day())
}

/// Whether letters are withheld from a contact on the day of an act; who is
/// no contact of the case cannot be written to anyway.
pub(super) fn withheld<'c>(
    case: &'c Case,
    id: &str,
    act: Act<'_>,
) -> Option<&'c Located<chrono::NaiveDate>> {
    let contact = case.contacts.iter().find(|c| c.id.value == id)?;
    contact.withheld_on(last_day(act))
}

/// Nothing leaves for somebody from whom letters are withheld by now, or who
/// may not get the kind any more, whatever the day of the letter. A letter
/// that nobody typed has no entry in which the case's own checks see it.
pub(super) fn must_reach(found: Found<'_>, act: Act<'_>) -> Result<(), Report> {
    let Found { case, entry, .. } = found;
    let mut report = Report::default();
    for id in std::iter::once(&entry.to).chain(&entry.copies) {
        let letter = format!("letter `{}` cannot leave for `{}`", entry.id.value, id.value);
        if let Some(since) = withheld(case, &id.value, act) {
            let message = format!("{letter}, from whom letters are withheld since {}", since.value);
            let fault = Diagnostic::new(Code::ReaderWithheld, Some(id.place.clone()), message);
            report.push(fault.related(since.place.clone(), "since then"));
        } else if !may_get(case, entry, id, act) {
            let message = format!("{letter}, who may not receive a {} letter", entry.kind.word());
            report.add(Code::ReaderMayNotReceive, &id.place, message);
        }
    }
    if report.is_empty() { Ok(()) } else { Err(report) }
}

fn may_get(case: &Case, entry: &LetterEntry, id: &Located<String>, act: Act<'_>) -> bool {
    let contact = case.contacts.iter().find(|c| c.id.value == id.value);
    contact.is_none_or(|c| c.may_get(*entry.kind, last_day(act)))
}

/// The entry without copies to those who may not get it by now.
pub(super) fn without_barred(case: &Case, mut entry: LetterEntry, act: Act<'_>) -> LetterEntry {
    let copies = std::mem::take(&mut entry.copies);
    entry.copies = copies.into_iter().filter(|id| may_get(case, &entry, id, act)).collect();
    entry
}

/// The same for a notice without any content of the letter, which only those
/// from whom letters are withheld do not get.
pub(super) fn without_withheld(case: &Case, mut entry: LetterEntry, act: Act<'_>) -> LetterEntry {
    entry.copies.retain(|id| withheld(case, &id.value, act).is_none());
    entry
}

/// The entry as a version went out: to those who hold it. One whom the case no
/// longer has cannot be written to.
pub(super) fn to_holders(found: Found<'_>, issue: &Issue) -> Result<LetterEntry, Report> {
    let mut entry = found.entry.clone();
    let known = |id: &String| found.case.contacts.iter().any(|c| c.id.value == *id);
    if let Some((_, gone)) = issue.recipients.iter().find(|(_, id)| !known(id)) {
        let message =
            format!("`{gone}` holds {} and is no longer a contact of the case", issue.instance);
        let fault = Diagnostic::new(Code::LetterContactUnknown, Some(entry.place), message);
        return Err(refused(fault.remedy(format!("put `{gone}` back under `contacts:`"))));
    }
    let at = |id: &String| Located::new(id.clone(), entry.to.place.clone());
    let of = |role: Role| issue.recipients.iter().filter(move |(r, _)| *r == role);
    let copies = of(Role::Copy).map(|(_, id)| at(id)).collect();
    let to = of(Role::To).map(|(_, id)| at(id)).next();
    entry.to = to.unwrap_or(entry.to);
    entry.copies = copies;
    Ok(entry)
}

/// The entry as a version went out, whose place a new version takes: that is
/// no way to another reader, who would get a letter that replaces none of theirs.
pub(super) fn same_reader(found: Found<'_>, issue: &Issue) -> Result<LetterEntry, Report> {
    let held = to_holders(found, issue)?;
    let (to, now) = (&held.to.value, &found.entry.to);
    if *to == now.value {
        return Ok(held);
    }
    let message = format!("{} went to `{to}`, and the case now names `{}`", issue.instance, **now);
    let fault = Diagnostic::new(Code::ReaderChanged, Some(now.place.clone()), message);
    Err(refused(fault))
}

/// What an event says of a version that leaves the house.
pub(super) fn leaves(
    found: Found<'_>,
    instance: InstanceId,
    files: Vec<crate::register::Frozen>,
) -> Issue {
    let entry = found.entry;
    let to = std::iter::once((Role::To, entry.to.value.clone()));
    let copies = entry.copies.iter().map(|c| (Role::Copy, c.value.clone()));
    let adds_to = entry.adds_to.as_ref();
    Issue {
        instance,
        kind: entry.kind.word().to_string(),
        as_of: entry.as_of.value,
        dated: letter_date(entry),
        recipients: to.chain(copies).collect(),
        adds_to: adds_to.map(|l| DocumentId::new(&found.case.id.value, &l.value)),
        files,
    }
}

/// The digest to print on the next letter.
pub(super) fn printed_head(writer: &Writer) -> Option<String> {
    writer.head().map(|digest| digest.short())
}
