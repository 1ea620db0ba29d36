//! The register and the issued letters on disk, under `cases/issued/`.
//!
//! ```text
//! cases/issued/head              digest of the last event
//! cases/issued/events/*.json     one event a file, made once
//! cases/issued/letters/*         frozen bytes, made once
//! ```
//!
//! Writers hold the folder's lock. A letter's files are frozen first, then its
//! event is written, then the note of the head: stopped between two of these,
//! the register is the old one or the new one, and what lies over is told by
//! `verify` as belonging to no event.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use super::io as disk;
use super::io::{Folder, Lock};
use crate::diag::{Code, Diagnostic, Report, Severity};
use crate::digest::Digest;
use crate::register::verify::{Checked, OnDisk, verify, verify_events};
use crate::register::{Chain, Event, Freeze, Frozen, Moment, Stored, What};

/// The folder of issued letters of one clinic.
#[derive(Debug, Clone)]
pub struct Archive {
    root: PathBuf,
    shown: String,
}

/// The archive held for writing.
#[derive(Debug)]
pub struct Writer {
    archive: Archive,
    chain: Chain,
    _lock: Lock,
}

impl Archive {
    /// Of a clinic's folder, whether or not anything was ever issued.
    pub fn of(folder: &Folder) -> Archive {
        let root = folder.root().join("cases/issued");
        let shown = folder.shown(&root);
        Archive { root, shown }
    }

    /// Where a file below it stands.
    pub fn path(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// Its path as shown to people.
    pub fn shown(&self, name: &str) -> String {
        format!("{}/{name}", self.shown)
    }

    /// Whether anything was ever issued.
    pub fn begun(&self) -> bool {
        disk::exists(&self.root.join("events"))
    }

    fn events(&self) -> io::Result<Vec<Stored>> {
        let folder = self.root.join("events");
        named_files(&folder)
            .into_iter()
            .map(|(name, path)| Ok(Stored { name, bytes: disk::read(&path)? }))
            .collect()
    }

    /// The readable events in order.
    pub fn chain(&self) -> io::Result<Chain> {
        Ok(Chain::of(&self.events()?))
    }

    /// The frozen bytes of a file.
    pub fn frozen(&self, frozen: &Frozen) -> io::Result<Vec<u8>> {
        disk::read(&self.path(&frozen.file))
    }

    /// What lies in the folder of frozen files, as events name it.
    pub fn letters(&self) -> Vec<String> {
        let files = named_files(&self.root.join("letters"));
        files.into_iter().map(|(name, _)| format!("letters/{name}")).collect()
    }

    fn head(&self) -> io::Result<Option<Result<Digest, String>>> {
        let path = self.path("head");
        if !disk::exists(&path) {
            return Ok(None);
        }
        let text = String::from_utf8_lossy(&disk::read(&path)?).trim().to_string();
        Ok(Some(text.parse().map_err(|_| text.chars().take(40).collect())))
    }

    /// Checks events, head and every frozen file.
    pub fn verify(&self, report: &mut Report) -> io::Result<Checked> {
        let mut frozen = BTreeMap::new();
        for (name, path) in named_files(&self.root.join("letters")) {
            frozen.insert(format!("letters/{name}"), Digest::of(&disk::read(&path)?));
        }
        let events = self.events()?;
        let found = OnDisk { events: &events, head: self.head()?, frozen: &frozen };
        Ok(verify(&found, &|name| self.shown(name), report))
    }

    /// Takes the archive for writing, in turn with other runs; `waiting` is
    /// called once if another one holds it. Refused where events, head or
    /// links have faults: a register is repaired, not written over.
    pub fn write(&self, waiting: &dyn Fn(), report: &mut Report) -> io::Result<Option<Writer>> {
        let lock = disk::lock_in_turn(&self.root, waiting)?;
        for folder in ["events", "letters", ""] {
            disk::sweep(&self.root.join(folder))?;
        }
        let mut faults = Report::default();
        // Frozen files are not read here: that is `verify`, and takes long.
        let chain = self.examined(&mut faults)?;
        // Of two papers of one name one is to be withdrawn, which is an event.
        let broken = stands_in_the_way(&faults, Code::IssuedTwice);
        report.extend(faults);
        Ok((!broken).then(|| Writer { archive: self.clone(), chain, _lock: lock }))
    }

    /// Records that the branches of the register were looked at and that all
    /// are kept. Refused where anything but the branching is at fault; nothing
    /// where there is only one branch.
    pub fn join(
        &self,
        waiting: &dyn Fn(),
        (at, by): (Moment, &str),
        report: &mut Report,
    ) -> io::Result<Option<Event>> {
        let lock = disk::lock_in_turn(&self.root, waiting)?;
        let mut faults = Report::default();
        let chain = self.examined(&mut faults)?;
        faults.retain(|d| d.code != Code::RegisterFork);
        let broken = stands_in_the_way(&faults, Code::IssuedTwice);
        report.extend(faults);
        if broken || chain.heads().len() < 2 {
            return Ok(None);
        }
        let mut writer = Writer { archive: self.clone(), chain, _lock: lock };
        writer.append(at, by, What::Joined {}).map(Some)
    }

    /// The events in order, with every fault of theirs; frozen files are not
    /// read.
    pub fn examined(&self, faults: &mut Report) -> io::Result<Chain> {
        let (events, head) = (self.events()?, self.head()?);
        Ok(verify_events(&events, head.as_ref(), &|n| self.shown(n), faults))
    }
}

/// Whether there is an error of another kind.
pub(super) fn stands_in_the_way(faults: &Report, passed: Code) -> bool {
    let hinders = |d: &Diagnostic| d.severity == Severity::Error && d.code != passed;
    faults.iter().any(hinders)
}

/// Files of a folder by name, without hidden ones.
fn named_files(folder: &Path) -> Vec<(String, PathBuf)> {
    let named = |path: PathBuf| {
        let name = path.file_name()?.to_string_lossy().into_owned();
        (!name.starts_with('.')).then_some((name, path))
    };
    disk::files_below(folder).into_iter().filter_map(named).collect()
}

impl Writer {
    /// The events so far.
    pub fn chain(&self) -> &Chain {
        &self.chain
    }

    /// The digest of the last event, printed on what is issued next.
    pub fn head(&self) -> Option<Digest> {
        self.chain.heads().last().map(|e| e.digest)
    }

    /// Freezes bytes under a name; the same bytes may be there already, from
    /// a run that was stopped before its event. Other bytes are kept under a
    /// name of their own: nothing that may have left the house is lost.
    pub fn freeze(&self, is: Freeze, name: &str, bytes: &[u8]) -> io::Result<Frozen> {
        let digest = Digest::of(bytes);
        let (stem, ending) = name.rsplit_once('.').unwrap_or((name, "bin"));
        let candidates = [name.to_string(), format!("{stem}-{}.{ending}", digest.short())];
        for name in candidates {
            let file = format!("letters/{name}");
            let path = self.archive.path(&file);
            if disk::holds(&path, bytes) {
                return Ok(Frozen { is, file, digest });
            }
            if !disk::exists(&path) {
                disk::write_once(&path, bytes)?;
                return Ok(Frozen { is, file, digest });
            }
        }
        Err(io::Error::new(io::ErrorKind::AlreadyExists, "another file has that name"))
    }

    /// Writes the next event.
    pub fn append(&mut self, at: Moment, by: &str, what: What) -> io::Result<Event> {
        let event = self.chain.next(at, by, what);
        let bytes = event.to_bytes();
        disk::write_once(&self.archive.path(&format!("events/{}", event.file_name())), &bytes)?;
        self.chain.push(event.clone());
        let head = format!("{}\n", Digest::of(&bytes));
        disk::write_atomic(&self.archive.path("head"), head.as_bytes())?;
        Ok(event)
    }
}
