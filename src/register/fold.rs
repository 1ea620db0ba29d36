//! From events to what holds now: the state of each letter, who has it, and
//! who is still to be told.

use std::collections::BTreeMap;

use super::chain::Chain;
use super::event::{Changed, DocumentId, Issue, Moment, Role, What};
use crate::digest::Digest;

/// What a version of a letter is now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// In force as first issued.
    Issued,
    /// In force, and replaces an earlier version.
    Amended,
    /// Added to a letter that stays in force.
    Addendum,
    /// Replaced by a later version or another letter.
    Superseded,
    /// Must not be used any more.
    Withdrawn,
}

impl State {
    /// The word in reports and letters.
    pub fn word(self) -> &'static str {
        match self {
            State::Issued => "issued",
            State::Amended => "amended",
            State::Addendum => "addendum",
            State::Superseded => "superseded",
            State::Withdrawn => "withdrawn",
        }
    }

    /// Whether a reader may rely on it.
    pub fn in_force(self) -> bool {
        matches!(self, State::Issued | State::Amended | State::Addendum)
    }
}

/// One version of a letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// As it was issued.
    pub issue: Issue,
    /// What it is now.
    pub state: State,
    /// When it left.
    pub at: Moment,
    /// Who says that they issued it.
    pub by: String,
    /// The event.
    pub event: Digest,
    /// The version it replaced, and what that changed.
    pub replaced: Option<(u32, Changed)>,
    /// Whether its bytes were destroyed by law.
    pub erased: bool,
}

/// A holder of a version that no longer holds, who has not yet been told.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Owed {
    /// Id of the contact.
    pub recipient: String,
    /// The versions they hold that no longer hold.
    pub holds: Vec<u32>,
    /// The version they are to be told of: the new one, or the withdrawn one.
    pub about: u32,
    /// Since when.
    pub since: Moment,
}

/// One letter across its versions.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Document {
    /// Its versions in the order they were issued.
    pub versions: Vec<Version>,
    /// Who is still to be told.
    pub owed: Vec<Owed>,
}

impl Document {
    /// The version in force: the last one that was neither superseded nor
    /// withdrawn, addenda aside.
    pub fn in_force(&self) -> Option<&Version> {
        let holds = |v: &&Version| v.state.in_force() && v.state != State::Addendum;
        self.versions.iter().rev().find(holds)
    }

    /// The version of that number; on a branched register the first of them.
    pub fn version(&self, number: u32) -> Option<&Version> {
        self.versions.iter().find(|v| v.issue.instance.version == number)
    }

    fn version_mut(&mut self, number: u32) -> impl Iterator<Item = &mut Version> {
        self.versions.iter_mut().filter(move |v| v.issue.instance.version == number)
    }

    /// The number the next version will have.
    pub fn next_version(&self) -> u32 {
        self.versions.iter().map(|v| v.issue.instance.version).max().unwrap_or(0) + 1
    }

    /// Contacts who hold a version, with the versions they hold.
    pub fn holders(&self) -> BTreeMap<String, Vec<(u32, Role)>> {
        let mut holders: BTreeMap<String, Vec<(u32, Role)>> = BTreeMap::new();
        for version in &self.versions {
            for (role, contact) in &version.issue.recipients {
                let held = (version.issue.instance.version, *role);
                holders.entry(contact.clone()).or_default().push(held);
            }
        }
        holders
    }

    /// Everyone who holds an older version than `about` is to be told, and
    /// who holds that version itself too if it was withdrawn: the news that an
    /// older one was replaced sends its holder to one that no longer holds.
    fn owe(&mut self, about: u32, withdrawn: bool, since: Moment) {
        for (recipient, held) in self.holders() {
            let wrong = |n: &u32| if withdrawn { *n <= about } else { *n < about };
            let holds: Vec<u32> = held.into_iter().map(|(n, _)| n).filter(wrong).collect();
            if !holds.is_empty() {
                // One debt a holder: the latest news includes the older.
                self.owed.retain(|o| o.recipient != recipient);
                self.owed.push(Owed { recipient, holds, about, since });
            }
        }
    }
}

/// The state of every letter.
pub fn fold(chain: &Chain) -> BTreeMap<DocumentId, Document> {
    let mut documents: BTreeMap<DocumentId, Document> = BTreeMap::new();
    for entry in chain.entries() {
        let event = &entry.event;
        let Some(instance) = event.what.instance() else { continue };
        let document = documents.entry(instance.document.clone()).or_default();
        let number = instance.version;
        let version = |issue: &Issue, state, replaced| Version {
            issue: issue.clone(),
            state,
            at: event.at,
            by: event.by.clone(),
            event: entry.digest,
            replaced,
            erased: false,
        };
        match &event.what {
            What::Issued(issue) => document.versions.push(version(issue, State::Issued, None)),
            What::Addendum(issue) => document.versions.push(version(issue, State::Addendum, None)),
            What::Amended(new) => {
                document.version_mut(new.replaces).for_each(|v| v.state = State::Superseded);
                let replaced = Some((new.replaces, new.changed));
                document.versions.push(version(&new.issue, State::Amended, replaced));
                document.owe(number, false, event.at);
            }
            What::Superseded(_) => {
                document.version_mut(number).for_each(|v| v.state = State::Superseded);
            }
            What::Withdrawn(_) => {
                document.version_mut(number).for_each(|v| v.state = State::Withdrawn);
                document.owe(number, true, event.at);
            }
            What::Acknowledged(told) => {
                document.owed.retain(|o| o.recipient != told.recipient || o.about > number);
            }
            What::Erased(_) => document.version_mut(number).for_each(|v| v.erased = true),
            What::Joined {} => {}
        }
    }
    documents
}
