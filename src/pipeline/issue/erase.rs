//! Bytes of a letter destroyed by law.
//!
//! The events stay and say so. Whatever is destroyed has an event that says so
//! first; stopped in between, the next run finishes the work. It must not know
//! what a letter says. Drafts elsewhere are not its business.

use std::collections::{BTreeMap, BTreeSet};

use super::{Act, Desk, Done, file_name, refused, state_of};
use crate::diag::{Code, Diagnostic, Report};
use crate::pipeline::io;
use crate::register::{Chain, Document, DocumentId, Erasure, Event, InstanceId, What};

/// What is on disk of one version.
struct Remains {
    /// Its files, below the folder of issued letters.
    files: Vec<String>,
    /// The last event that said that its bytes are destroyed.
    erased: Option<Event>,
    /// Whether that event came after everything that is still there.
    told: bool,
}

impl Desk<'_> {
    /// Destroys the bytes of every version of a letter, or of one, and what an
    /// interrupted run left under its name. Refused where nothing is left.
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
        // The version after the last one may have been stopped before its event.
        for number in (1..=document.next_version()).filter(|n| version.is_none_or(|v| v == *n)) {
            let instance = InstanceId { document: id.clone(), version: number };
            let Remains { files, erased, told } = self.remains(writer.chain(), &instance);
            let left = !files.is_empty();
            let event = match erased.filter(|_| told) {
                Some(event) if left => event,
                Some(_) => continue,
                None if left || document.version(number).is_some() => {
                    let (instance, ground) = (instance.clone(), ground.to_string());
                    let what = What::Erased(Erasure { instance, ground });
                    writer.append(act.at, act.by, what).map_err(|e| self.unreachable(&e))?
                }
                None => continue,
            };
            for file in files {
                io::destroy(&self.archive().path(&file)).map_err(|e| self.unreachable(&e))?;
            }
            done.push(Done { instance, event, file: None, warnings: Report::default() });
        }
        if done.is_empty() { Err(refused(nothing_left(id, version, &document))) } else { Ok(done) }
    }

    fn remains(&self, chain: &Chain, instance: &InstanceId) -> Remains {
        let events = || chain.entries().iter().map(|e| &e.event);
        let mine = || events().filter(|e| e.what.instance() == Some(instance));
        let erased = mine().rfind(|e| matches!(e.what, What::Erased(_)));
        // The same file with the number of the last event that froze it.
        let mut frozen: BTreeMap<&str, u64> = BTreeMap::new();
        for event in mine() {
            frozen.extend(event.what.files().iter().map(|f| (f.file.as_str(), event.number)));
        }
        let known: BTreeSet<&str> =
            events().flat_map(|e| e.what.files()).map(|f| f.file.as_str()).collect();
        let stem = file_name(instance);
        let ours = |file: &String| match frozen.contains_key(file.as_str()) {
            true => true,
            false => !known.contains(file.as_str()) && is_of(file, &stem),
        };
        let files: Vec<String> = self.archive().letters().into_iter().filter(ours).collect();
        let before = |file: &String, last: &Event| {
            frozen.get(file.as_str()).is_some_and(|number| *number < last.number)
        };
        let told = erased.is_some_and(|last| files.iter().all(|file| before(file, last)));
        Remains { files, erased: erased.cloned(), told }
    }
}

/// Whether a file has a name that pages, record or notice of a version get:
/// `<stem>[-withdrawn][-<digest>].pdf` or `.json`.
fn is_of(file: &str, stem: &str) -> bool {
    let Some(rest) = file.strip_prefix("letters/").and_then(|f| f.strip_prefix(stem)) else {
        return false;
    };
    let Some(rest) = rest.strip_suffix(".pdf").or_else(|| rest.strip_suffix(".json")) else {
        return false;
    };
    let rest = rest.strip_prefix("-withdrawn").unwrap_or(rest);
    let digest = |d: &str| d.len() == 16 && d.bytes().all(|b| b.is_ascii_hexdigit());
    rest.is_empty() || rest.strip_prefix('-').is_some_and(digest)
}

fn nothing_left(id: &DocumentId, version: Option<u32>, document: &Document) -> Diagnostic {
    let (code, message) = match version.filter(|v| document.version(*v).is_none()) {
        _ if document.versions.is_empty() => {
            (Code::NotIssued, format!("letter `{id}` was never issued"))
        }
        Some(version) => (Code::NotIssued, format!("letter `{id}` has no version {version}")),
        None => (Code::NothingToErase, format!("nothing of letter `{id}` is left to be destroyed")),
    };
    Diagnostic::new(code, None, message)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_one_version_are_told_from_those_of_others() {
        let of = |file: &str| is_of(&format!("letters/{file}"), "qa-0001-l1-v1");
        for file in ["", "-withdrawn", "-0123456789abcdef", "-withdrawn-0123456789abcdef"] {
            assert!(of(&format!("qa-0001-l1-v1{file}.pdf")), "{file}");
        }
        assert!(of("qa-0001-l1-v1.json"));
        for file in ["qa-0001-l1-v10.pdf", "qa-0001-l1-v1-v1.pdf", "qa-0001-l1-v1.txt"] {
            assert!(!of(file), "{file}");
        }
    }
}
