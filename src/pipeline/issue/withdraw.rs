//! A letter that must not be used any more, and bytes destroyed by law.

use super::{
    Act, Desk, Done, Found, file_name, must_be_in_force, printed_head, refused, state_of,
    to_holders,
};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::letter::extra::Extra;
use crate::letter::frame::Standing;
use crate::letter::wording::full_date;
use crate::pipeline::io;
use crate::register::{DocumentId, Erasure, Freeze, InstanceId, What, Withdrawal};

/// Classes of reasons for a withdrawal.
pub const WITHDRAWN_BECAUSE: &[&str] = &["wrong patient", "wrong reader", "not to be relied on"];

impl Desk<'_> {
    /// Withdraws the version in force and makes a notice of it, under the
    /// name of the person who withdraws. The case may have errors by then;
    /// the notice speaks of no measurement.
    pub fn withdraw(&self, id: &DocumentId, act: Act<'_>, reason: &str) -> Result<Done, Report> {
        let found = self.find(id)?;
        self.known_actor(found.clinic, act)?;
        let mut writer = self.open()?;
        let document = state_of(writer.chain(), id);
        let old = must_be_in_force(&document, id)?;
        let instance = old.issue.instance.clone();
        // Those who hold the version must know, whoever the entry names today.
        let mut entry = to_holders(found, &old.issue)?;
        let style = self.press().style(found.case, &entry, found.clinic)?;
        let about = Extra::group([
            ("letter", Extra::Text(id.to_string())),
            ("version", Extra::Text(instance.version.to_string())),
            ("date", Extra::Text(full_date(old.issue.dated, &style))),
            ("reason", Extra::Word(reason.to_string())),
        ]);
        entry.signed_by = Located::new(act.by.to_string(), entry.signed_by.place.clone());
        entry.as_of.value = act.at.day();
        entry.dated = None;
        entry.enclosed = Vec::new();
        let Found { case, clinic, .. } = found;
        let words =
            self.press().words("withdrawal-notice", case, &entry, clinic, ("withdrawn", about))?;
        let head = printed_head(&writer);
        let standing = Standing::Issued { version: instance.version, head: head.as_deref() };
        let letter = self.press().framed(case, &entry, clinic, standing, words)?;
        let pdf = self.press().pdf(&letter)?;
        let name = format!("{}-withdrawn.pdf", file_name(&instance));
        let frozen = writer.freeze(Freeze::Pdf, &name, &pdf).map_err(|e| self.unreachable(&e))?;
        let file = Some(self.archive().shown(&frozen.file));
        let what = What::Withdrawn(Withdrawal {
            instance: instance.clone(),
            reason: reason.to_string(),
            files: vec![frozen],
        });
        let event = writer.append(act.at, act.by, what).map_err(|e| self.unreachable(&e))?;
        Ok(Done { instance, event, file, warnings: Report::default() })
    }

    /// Destroys the bytes of every version of a letter, or of one; the events
    /// stay and say so. The event comes first: stopped in between, the next
    /// run finishes the work.
    pub fn erase(
        &self,
        id: &DocumentId,
        version: Option<u32>,
        act: Act<'_>,
        ground: &str,
    ) -> Result<Vec<Done>, Report> {
        if let Some(clinic) = &self.loaded().clinic {
            self.known_actor(clinic, act)?;
        }
        let mut writer = self.open()?;
        let document = state_of(writer.chain(), id);
        let mut done = Vec::new();
        for old in &document.versions {
            let instance = old.issue.instance.clone();
            if version.is_some_and(|v| v != instance.version) {
                continue;
            }
            if !old.erased {
                let what = What::Erased(Erasure {
                    instance: instance.clone(),
                    ground: ground.to_string(),
                });
                let event = writer.append(act.at, act.by, what);
                let event = event.map_err(|e| self.unreachable(&e))?;
                let warnings = Report::default();
                done.push(Done { instance: instance.clone(), event, file: None, warnings });
            }
            self.destroy(&writer, &instance)?;
        }
        if done.is_empty() && document.versions.is_empty() {
            let message = format!("letter `{id}` was never issued");
            return Err(refused(Diagnostic::new(Code::NotIssued, None, message)));
        }
        Ok(done)
    }

    fn destroy(
        &self,
        writer: &crate::pipeline::archive::Writer,
        instance: &InstanceId,
    ) -> Result<(), Report> {
        let events = writer.chain().entries().iter().map(|e| &e.event.what);
        let mine = events.filter(|what| what.instance() == Some(instance));
        for file in mine.flat_map(What::files) {
            let path = self.archive().path(&file.file);
            if io::exists(&path) {
                io::destroy(&path).map_err(|e| self.unreachable(&e))?;
            }
        }
        Ok(())
    }
}
