//! A new version of a letter that was wrong.

use std::collections::BTreeMap;

use super::{
    About, Act, Desk, Done, Found, must_be_answered, must_be_in_force, must_be_signed, must_reach,
    printed_head, refused, same_reader, state_of, without_barred,
};
use crate::case::Role;
use crate::diag::{Code, Diagnostic, Report};
use crate::letter::block::Block;
use crate::letter::extra::Extra;
use crate::letter::frame::Standing;
use crate::letter::language::Language;
use crate::letter::wording::full_date;
use crate::pipeline::impact::{Class, Difference, as_issued, compare};
use crate::register::{Changed, DocumentId, InstanceId, Replacement, Version, What};

/// Classes of reasons for an amendment.
pub const REASONS: &[&str] = &["transcription", "side", "patient", "re-measurement", "late data"];

/// What the clinician says of an amendment.
#[derive(Debug, Clone, Copy)]
pub struct Amendment<'a> {
    /// One of [`REASONS`].
    pub reason: &'a str,
    /// Whether what the reader is asked to do changes.
    pub advice_changes: bool,
}

impl Desk<'_> {
    /// What an amendment would change, for those who have to agree to it.
    pub fn to_amend(&self, id: &DocumentId) -> Result<Difference, Report> {
        let found = self.sound(id)?;
        let document = self.documents()?.remove(id).unwrap_or_default();
        let old = must_be_in_force(&document, id)?;
        let entry = same_reader(found, &old.issue)?;
        let found = Found { entry: &entry, ..found };
        changed(compare(self.press(), found, &self.record(old)?, self.texts())?, id)
    }

    /// Writes the new version, which names what it replaces and what changed.
    pub fn amend(
        &self,
        id: &DocumentId,
        act: Act<'_>,
        amendment: Amendment<'_>,
    ) -> Result<Done, Report> {
        let found = self.sound(id)?;
        self.known_actor(found.clinic, act)?;
        let mut writer = self.open()?;
        let document = state_of(writer.chain(), id);
        let old = must_be_in_force(&document, id)?;
        must_be_signed(found, act, Some(old.at.day()))?;
        let entry = without_barred(found.case, same_reader(found, &old.issue)?, act);
        let found = Found { entry: &entry, ..found };
        must_reach(found, act)?;
        let record = self.record(old)?;
        let difference = changed(compare(self.press(), found, &record, self.texts())?, id)?;
        // The new version states what the old one should have stated.
        let entry = as_issued(found.entry, &old.issue);
        let found = Found { entry: &entry, ..found };
        let head = printed_head(&writer);
        let version = document.next_version();
        let standing = Standing::Issued { version, head: head.as_deref() };
        let mut written = self.press().write_as(found.case, found.entry, found.clinic, standing)?;
        let facts = &written.derived.facts;
        let open = self.press().open_flags(found.case, found.entry, facts);
        must_be_answered(found.entry, &open)?;
        let mut boxed = self.amendment_box(found, (old, version), &difference, act, amendment)?;
        if let Some(first) = self.added_to(found, &writer)? {
            boxed = together(&boxed, &self.addendum_box(found, &first)?);
        }
        written.letter.blocks.insert(0, boxed.clone());
        let instance = InstanceId { document: id.clone(), version };
        let about = About { instance, head: head.as_deref(), boxed: Some(&boxed) };
        let make = |issue| {
            What::Amended(Replacement {
                issue,
                replaces: old.issue.instance.version,
                reason: amendment.reason.to_string(),
                changed: match difference.class {
                    Class::Numbers => Changed::Numbers,
                    Class::Wording => Changed::Wording,
                    Class::Layout | Class::Unchanged => Changed::Layout,
                },
                advice_changes: amendment.advice_changes,
            })
        };
        self.leave(&mut writer, found, written, about, act, make)
    }

    /// The box at the head of an amended letter.
    fn amendment_box(
        &self,
        found: Found<'_>,
        (old, version): (&Version, u32),
        difference: &Difference,
        act: Act<'_>,
        amendment: Amendment<'_>,
    ) -> Result<Block, Report> {
        let Found { case, entry, clinic, .. } = found;
        let style = self.press().style(case, entry, clinic)?;
        let person = clinic.person(act.by).map_or(act.by, |p| p.name.value.as_str());
        let reader = case.contacts.iter().find(|c| c.id.value == entry.to.value);
        let about = Extra::group([
            ("version", Extra::Text(version.to_string())),
            ("letter", Extra::Text(old.issue.instance.document.to_string())),
            ("replaces", Extra::Text(old.issue.instance.version.to_string())),
            ("replaced_date", Extra::Text(full_date(old.issue.dated, &style))),
            ("issued_date", Extra::Text(full_date(old.at.day(), &style))),
            ("date", Extra::Text(full_date(act.at.day(), &style))),
            ("by", Extra::Text(person.to_string())),
            ("reason", Extra::Word(amendment.reason.to_string())),
            ("changed", Extra::Word(difference.class.word().to_string())),
            ("advice_changes", Extra::Flag(amendment.advice_changes)),
            ("items", Extra::List(items(difference, style.language))),
            ("corrections", Extra::List(corrections(difference, reader.map(|c| *c.role)))),
        ]);
        let blocks =
            self.press().words("amendment-box", case, entry, clinic, ("amendment", about))?;
        Ok(Block::Boxed { blocks })
    }
}

fn changed(difference: Difference, id: &DocumentId) -> Result<Difference, Report> {
    match difference.class {
        Class::Unchanged => {
            let message = format!("letter `{id}` would be the same as the one in force");
            Err(refused(Diagnostic::new(Code::NothingToAmend, None, message)))
        }
        _ => Ok(difference),
    }
}

/// One box of two: an amended addendum says what it replaces and adds to.
fn together(first: &Block, second: &Block) -> Block {
    Block::Boxed { blocks: [first.inside(), second.inside()].concat() }
}

/// Printed values and verdicts that changed.
fn items(difference: &Difference, language: &Language) -> Vec<Extra> {
    let said = |text: &Option<String>, verdict: bool| match text {
        Some(word) if verdict => Extra::Word(word.clone()),
        text => Extra::text(text.clone()),
    };
    let item = |p: &crate::pipeline::impact::PrintedChange| {
        Extra::group([
            ("item", Extra::Text(language.label(&p.fact).unwrap_or_else(|| p.label.clone()))),
            ("old", said(&p.old, p.verdict)),
            ("new", said(&p.new, p.verdict)),
        ])
    };
    difference.printed.iter().map(item).collect()
}

/// Entries of the record that were corrected, for those who treat the
/// patient; others are told what their letter printed and no more.
fn corrections(difference: &Difference, reader: Option<Role>) -> Vec<Extra> {
    let treats = matches!(
        reader,
        Some(Role::ReferringDoctor | Role::Surgeon | Role::Specialist | Role::Orthotist)
    );
    let told: BTreeMap<&str, _> = difference
        .entries
        .iter()
        .filter(|e| treats && e.correction.is_some())
        .map(|e| (e.path.as_str(), e))
        .collect();
    told.values()
        .map(|e| {
            Extra::group([
                ("at", Extra::Text(e.path.clone())),
                ("was", Extra::text(e.old.clone())),
                ("now", Extra::text(e.new.clone())),
            ])
        })
        .collect()
}
