//! The events as they lie in the folder, put in order.

use std::collections::{BTreeMap, BTreeSet};

use super::event::{Event, Moment, What};
use crate::digest::Digest;

/// A file of the register's folder of events.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// One event with its digest and the file it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The file's name.
    pub name: String,
    /// The digest of its bytes.
    pub digest: Digest,
    /// The event.
    pub event: Event,
}

/// All readable events, parents before children; of two branches the one
/// with the smaller number, then the smaller digest comes first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Chain {
    entries: Vec<Entry>,
}

impl Chain {
    /// Puts the readable files in order; what cannot be read is left to
    /// [`verify`](super::verify::verify).
    pub fn of(files: &[Stored]) -> Chain {
        let read = |file: &Stored| {
            let event = Event::read(&file.bytes).ok()?;
            Some(Entry { name: file.name.clone(), digest: Digest::of(&file.bytes), event })
        };
        let mut entries: Vec<Entry> = files.iter().filter_map(read).collect();
        // A child's number is larger than those of its parents.
        entries.sort_by_key(|entry| (entry.event.number, entry.digest));
        entries.dedup_by(|a, b| a.digest == b.digest);
        Chain { entries }
    }

    /// The events in order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The event of a digest.
    pub fn get(&self, digest: &Digest) -> Option<&Entry> {
        self.entries.iter().find(|e| e.digest == *digest)
    }

    /// Events that no other event names as its parent: one, unless the
    /// register has branched or is empty.
    pub fn heads(&self) -> Vec<&Entry> {
        let named: BTreeSet<Digest> =
            self.entries.iter().flat_map(|e| e.event.parents.iter().copied()).collect();
        self.entries.iter().filter(|e| !named.contains(&e.digest)).collect()
    }

    /// The next event. On a branched register it names every head.
    pub fn next(&self, at: Moment, by: &str, what: What) -> Event {
        let heads = self.heads();
        let number = heads.iter().map(|h| h.event.number).max().unwrap_or(0) + 1;
        let parents = heads.iter().map(|h| h.digest).collect();
        Event { number, parents, at, by: by.to_string(), what }
    }

    /// Adds an event that was just written.
    pub fn push(&mut self, event: Event) {
        let digest = Digest::of(&event.to_bytes());
        self.entries.push(Entry { name: event.file_name(), digest, event });
    }

    /// Parents that more than one event names, with those events: the places
    /// where the register branched. The key is `None` for several beginnings.
    pub fn forks(&self) -> BTreeMap<Option<Digest>, Vec<&Entry>> {
        let mut children: BTreeMap<Option<Digest>, Vec<&Entry>> = BTreeMap::new();
        for entry in &self.entries {
            let parents = &entry.event.parents;
            if parents.is_empty() {
                children.entry(None).or_default().push(entry);
            }
            for parent in parents {
                children.entry(Some(*parent)).or_default().push(entry);
            }
        }
        children.retain(|_, named| named.len() > 1);
        children
    }

    /// Whether a digest is a head or an ancestor of one.
    pub fn holds(&self, digest: &Digest) -> bool {
        self.get(digest).is_some()
    }
}
