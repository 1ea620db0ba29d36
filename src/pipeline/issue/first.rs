//! The first time a letter leaves the house, and addenda.

use super::{
    About, Act, Desk, Done, Found, Record, in_force, leaves, must_be_answered, must_be_in_force,
    must_be_signed, must_reach, printed_head, refused, state_of,
};
use crate::diag::{Code, Diagnostic, Report};
use crate::letter::block::Block;
use crate::letter::extra::Extra;
use crate::letter::frame::Standing;
use crate::letter::wording::full_date;
use crate::pipeline::archive::Writer;
use crate::pipeline::letter::Written;
use crate::register::{Document, DocumentId, InstanceId, Version, What};

impl Desk<'_> {
    /// Issues a letter, or says everything that forbids it.
    pub fn issue(&self, id: &DocumentId, act: Act<'_>) -> Result<Done, Report> {
        let found = self.sound(id)?;
        self.known_actor(found.clinic, act)?;
        must_be_signed(found, act, None)?;
        must_reach(found, act)?;
        let mut writer = self.open()?;
        never_before(&state_of(writer.chain(), id), id)?;
        let first = self.added_to(found, &writer)?;
        let head = printed_head(&writer);
        let standing = Standing::Issued { version: 1, head: head.as_deref() };
        let mut written = self.press().write_as(found.case, found.entry, found.clinic, standing)?;
        let facts = &written.derived.facts;
        let open = self.press().open_flags(found.case, found.entry, facts);
        must_be_answered(found.entry, &open)?;
        let boxed = first.map(|first| self.addendum_box(found, &first)).transpose()?;
        written.letter.blocks.splice(0..0, boxed.clone());
        let instance = InstanceId { document: id.clone(), version: 1 };
        let about = About { instance, head: head.as_deref(), boxed: boxed.as_ref() };
        let make = |issue| match &found.entry.adds_to {
            Some(_) => What::Addendum(issue),
            None => What::Issued(issue),
        };
        self.leave(&mut writer, found, written, about, act, make)
    }

    /// Typesets, freezes and records a version that is complete.
    pub(super) fn leave(
        &self,
        writer: &mut Writer,
        found: Found<'_>,
        written: Written,
        about: About<'_>,
        act: Act<'_>,
        make: impl FnOnce(crate::register::Issue) -> What,
    ) -> Result<Done, Report> {
        let instance = about.instance.clone();
        let pdf = self.press().pdf(&written.letter, &written.pictures)?;
        let sources = &self.loaded().sources;
        let record = Record::of(about, found.case, found.entry, &written, sources, &pdf);
        let files = self.freeze(writer, &instance, &pdf, &record)?;
        let file = files.first().map(|f| self.archive().shown(&f.file));
        let what = make(leaves(found, instance.clone(), files));
        let event = writer.append(act.at, act.by, what).map_err(|e| self.unreachable(&e))?;
        Ok(Done { instance, event, file, warnings: written.derived.report })
    }

    /// The letter that an addendum adds to, which must be in force.
    pub(super) fn added_to(
        &self,
        found: Found<'_>,
        writer: &Writer,
    ) -> Result<Option<Version>, Report> {
        let Some(first) = &found.entry.adds_to else { return Ok(None) };
        let id = DocumentId::new(&found.case.id.value, &first.value);
        let document = state_of(writer.chain(), &id);
        Ok(Some(must_be_in_force(&document, &id)?.clone()))
    }

    /// The box that says what an addendum adds to.
    pub(super) fn addendum_box(&self, found: Found<'_>, first: &Version) -> Result<Block, Report> {
        let style = self.press().style(found.case, found.entry, found.clinic)?;
        let issue = &first.issue;
        let about = Extra::group([
            ("letter", Extra::Text(issue.instance.document.to_string())),
            ("version", Extra::Text(issue.instance.version.to_string())),
            ("date", Extra::Text(full_date(issue.dated, &style))),
        ]);
        let Found { case, entry, clinic, .. } = found;
        let blocks =
            self.press().words("addendum-box", case, entry, clinic, ("addendum", about))?;
        Ok(Block::Boxed { blocks })
    }
}

/// A letter is issued once; what comes after is an amendment.
fn never_before(document: &Document, id: &DocumentId) -> Result<(), Report> {
    let Some(last) = in_force(document).or(document.versions.last()) else { return Ok(()) };
    let message = format!(
        "letter `{id}` was issued on {}; its version {} is {}",
        document.versions[0].at.day(),
        last.issue.instance.version,
        last.state.word()
    );
    Err(refused(Diagnostic::new(Code::AlreadyIssued, None, message)))
}
