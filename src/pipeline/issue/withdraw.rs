//! A letter that must not be used any more.

use super::{
    Act, Desk, Done, Found, file_name, must_be_in_force, printed_head, state_of, to_holders,
    withheld, without_withheld,
};
use crate::case::{Case, LetterEntry};
use crate::diag::{Located, Report};
use crate::letter::drawing::Pictures;
use crate::letter::extra::Extra;
use crate::letter::frame::Standing;
use crate::letter::wording::full_date;
use crate::register::{DocumentId, Freeze, What, Withdrawal};

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
        let entry = without_withheld(found.case, to_holders(found, &old.issue)?, act);
        let Some(mut entry) = reachable(found.case, entry, act) else {
            let what = What::Withdrawn(Withdrawal {
                instance: instance.clone(),
                reason: reason.to_string(),
                files: Vec::new(),
            });
            let event = writer.append(act.at, act.by, what).map_err(|e| self.unreachable(&e))?;
            return Ok(Done { instance, event, file: None, warnings: Report::default() });
        };
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
        let pdf = self.press().pdf(&letter, &Pictures::new())?;
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
}

/// The entry addressed to somebody who may be written to: where letters are
/// withheld from its reader, to the first of the copies; nothing if nobody is
/// left, since then there is no notice to write.
fn reachable(case: &Case, mut entry: LetterEntry, act: Act<'_>) -> Option<LetterEntry> {
    if withheld(case, &entry.to.value, act).is_some() {
        if entry.copies.is_empty() {
            return None;
        }
        entry.to = entry.copies.remove(0);
    }
    Some(entry)
}
