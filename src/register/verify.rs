//! Whether register and frozen files are as they were written.
//!
//! Reads nothing itself: it is given the files of the event folder, the
//! recorded head, and the digests of what lies in the folder of issued
//! letters. Every finding names the file.

use std::collections::{BTreeMap, BTreeSet};

use super::chain::{Chain, Entry, Stored};
use super::event::{Event, InstanceId, What};
use crate::diag::{Code, Diagnostic, Place, Report};
use crate::digest::Digest;

/// What lies on disk.
#[derive(Debug)]
pub struct OnDisk<'a> {
    /// The files of the event folder.
    pub events: &'a [Stored],
    /// The digest in the head file; `None` without the file, `Some(Err)` with
    /// its text where it is no digest.
    pub head: Option<Result<Digest, String>>,
    /// Digest of each file below the folder of issued letters, by its name.
    pub frozen: &'a BTreeMap<String, Digest>,
}

/// What was checked, for the summary.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Checked {
    /// Readable events.
    pub events: usize,
    /// Frozen files that are as they were.
    pub sound: usize,
    /// Versions whose bytes were destroyed by law.
    pub erased: usize,
}

/// Turns a name below the folder of issued letters into a path shown.
pub type Shown<'a> = &'a dyn Fn(&str) -> String;

/// Checks everything; errors mean that something is not as it was written.
pub fn verify(disk: &OnDisk, shown: Shown, report: &mut Report) -> Checked {
    let chain = verify_events(disk.events, disk.head.as_ref(), shown, report);
    let sound = Check { report, shown }.frozen(&chain, disk.frozen);
    let erased = chain.entries().iter().filter(|e| matches!(e.event.what, What::Erased(_)));
    Checked { events: chain.entries().len(), sound, erased: erased.count() }
}

/// Checks the events and the note of the last one, without any frozen file.
pub fn verify_events(
    events: &[Stored],
    head: Option<&Result<Digest, String>>,
    shown: Shown,
    report: &mut Report,
) -> Chain {
    let mut check = Check { report, shown };
    events.iter().for_each(|file| check.event(file));
    let chain = Chain::of(events);
    check.links(&chain);
    check.forks(&chain);
    check.head(&chain, head);
    check.versions(&chain);
    chain
}

struct Check<'a> {
    report: &'a mut Report,
    shown: Shown<'a>,
}

impl Check<'_> {
    fn add(&mut self, code: Code, file: &str, message: impl Into<String>) {
        let place = Place::whole(&(self.shown)(file));
        self.report.push(Diagnostic::new(code, Some(place), message));
    }

    /// A file must be an event, and its name must be the event's own.
    fn event(&mut self, file: &Stored) {
        let path = format!("events/{}", file.name);
        match Event::read(&file.bytes) {
            Err(why) => {
                let message = format!("the event cannot be read: {}", why.to_lowercase());
                self.add(Code::EventChanged, &path, message);
            }
            Ok(event) if event.file_name() != file.name => {
                let message = format!("the content belongs to `{}`", event.file_name());
                self.add(Code::EventChanged, &path, message);
            }
            Ok(_) => {}
        }
    }

    /// Every parent must be there, with a smaller number.
    fn links(&mut self, chain: &Chain) {
        for entry in chain.entries() {
            let event = &entry.event;
            for parent in &event.parents {
                if chain.get(parent).is_none() {
                    let message = format!(
                        "event {} follows {}, which is not there",
                        event.number,
                        parent.short()
                    );
                    self.add(Code::EventMissing, &at(entry), message);
                }
            }
            let before = event.parents.iter().filter_map(|p| chain.get(p));
            let before = before.map(|p| p.event.number).max().unwrap_or(0);
            let complete = event.parents.iter().all(|p| chain.get(p).is_some());
            if complete && event.number != before + 1 {
                let message = format!("event {} stands where {} belongs", event.number, before + 1);
                self.add(Code::EventMissing, &at(entry), message);
            }
        }
    }

    /// Branches that no later event joins.
    fn forks(&mut self, chain: &Chain) {
        let heads = chain.heads();
        if heads.len() > 1 {
            let names: Vec<_> = heads.iter().map(|h| format!("`{}`", h.name)).collect();
            for (_, named) in chain.forks() {
                let first = named[0];
                let others: Vec<_> = named[1..].iter().map(|e| format!("`{}`", e.name)).collect();
                let message = format!(
                    "the register branches here: {} follows the same event; the branches end in {}",
                    others.join(", "),
                    names.join(" and ")
                );
                self.add(Code::RegisterFork, &at(first), message);
            }
        }
    }

    /// The recorded head must be an event that is there.
    fn head(&mut self, chain: &Chain, head: Option<&Result<Digest, String>>) {
        match head {
            None if chain.entries().is_empty() => {}
            None => self.add(Code::HeadMissing, "head", "the note of the last event is missing"),
            Some(Err(text)) => {
                let message = format!("the note of the last event says `{text}`");
                self.add(Code::HeadMissing, "head", message);
            }
            Some(Ok(digest)) if !chain.holds(digest) => {
                let message =
                    format!("the last event known was {}; it is not there", digest.short());
                self.add(Code::EventMissing, "head", message);
            }
            Some(Ok(_)) => {}
        }
    }

    /// No version of a letter may be issued twice.
    fn versions(&mut self, chain: &Chain) {
        let mut seen: BTreeMap<String, &Entry> = BTreeMap::new();
        for entry in chain.entries() {
            let new =
                matches!(entry.event.what, What::Issued(_) | What::Amended(_) | What::Addendum(_));
            let Some(instance) = entry.event.what.instance().filter(|_| new) else { continue };
            if let Some(first) = seen.insert(instance.to_string(), entry) {
                let message = format!("{instance} was issued before, in `{}`", first.name);
                self.add(Code::IssuedTwice, &at(entry), message);
            }
        }
    }

    /// Frozen files: as they were, changed, missing, or not of the register.
    fn frozen(&mut self, chain: &Chain, disk: &BTreeMap<String, Digest>) -> usize {
        let erased = erasures(chain);
        let gone = |event: &Event| {
            let last = event.what.instance().and_then(|i| erased.get(i));
            last.is_some_and(|last| event.number < *last)
        };
        let later: BTreeSet<&str> = chain
            .entries()
            .iter()
            .filter(|e| !gone(&e.event))
            .flat_map(|e| e.event.what.files())
            .map(|f| f.file.as_str())
            .collect();
        let (mut sound, mut known) = (0, BTreeSet::new());
        for entry in chain.entries() {
            let gone = gone(&entry.event);
            for frozen in entry.event.what.files() {
                known.insert(frozen.file.as_str());
                match disk.get(&frozen.file) {
                    Some(_) if gone && later.contains(frozen.file.as_str()) => {}
                    Some(_) if gone => {
                        let message = "the bytes were to be destroyed and are still there";
                        self.add(Code::FrozenChanged, &frozen.file, message);
                    }
                    None if gone => {}
                    None => {
                        let message = format!("frozen by `{}` and not there", entry.name);
                        self.add(Code::FrozenMissing, &frozen.file, message);
                    }
                    Some(digest) if *digest != frozen.digest => {
                        let message = format!("the bytes are not those frozen by `{}`", entry.name);
                        self.add(Code::FrozenChanged, &frozen.file, message);
                    }
                    Some(_) => sound += 1,
                }
            }
        }
        for file in disk.keys().filter(|file| !known.contains(file.as_str())) {
            self.add(Code::FrozenExtra, file, "no event speaks of this file");
        }
        sound
    }
}

/// The number of the last event that says that a version's bytes are destroyed:
/// what was frozen after it, such as the notice of a later withdrawal, is to be
/// there.
fn erasures(chain: &Chain) -> BTreeMap<InstanceId, u64> {
    let erased = chain.entries().iter().filter_map(|e| match &e.event.what {
        What::Erased(gone) => Some((gone.instance.clone(), e.event.number)),
        _ => None,
    });
    erased.collect()
}

fn at(entry: &Entry) -> String {
    format!("events/{}", entry.name)
}
