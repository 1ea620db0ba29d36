//! The memory of an output folder: what was built there, from what.
//!
//! `.endplate-build.json` holds, for every file written there, the digest of
//! its bytes, the digest of its pages before they were set, and the inputs it
//! was made from: files by digest, entries as typed. From it a build knows what
//! it may leave alone, says why a letter changed, and tells its own files from
//! those of others. It holds what the case files hold, so it belongs where the
//! letters belong. It can be lost: the next build makes it again.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::io;
use super::output::Output;
use crate::diag::{Code, Diagnostic, Place, Severity};
use crate::digest::{Digest, Digester};

/// The index's name in the output folder.
pub const FILE: &str = ".endplate-build.json";

/// What was built.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Index {
    /// The files of letters, by the letter's name (`mr-0118/l1`).
    pub letters: BTreeMap<String, Files>,
    /// Case files all of whose letters stand as their inputs want them.
    #[serde(default)]
    pub cases: BTreeMap<String, CaseRecord>,
    /// The inputs of cases, by their digest.
    #[serde(default)]
    pub snapshots: BTreeMap<Digest, Snapshot>,
    /// The inputs that all cases share, by their digest.
    #[serde(default)]
    pub shared: BTreeMap<Digest, Shared>,
}

/// The files of one letter, by their form.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "Written")]
pub struct Files(pub BTreeMap<Output, Entry>);

/// How an index may tell a letter's files.
#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    /// By form.
    Forms(BTreeMap<Output, Entry>),
    /// As before there were other forms than pages.
    Pages(Entry),
}

impl From<Written> for Files {
    fn from(written: Written) -> Files {
        match written {
            Written::Forms(files) => Files(files),
            Written::Pages(entry) => Files(BTreeMap::from([(Output::Pdf, entry)])),
        }
    }
}

/// One file that was built.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Path below the output folder.
    pub file: String,
    /// Digest of its bytes.
    pub digest: Digest,
    /// Digest of everything its letter's pages are set from.
    #[serde(default)]
    pub pages: Option<Digest>,
    /// The snapshot of the case it was made from.
    #[serde(default)]
    pub made_from: Option<Digest>,
    /// What it printed, by fact, typed text left out: so that the next
    /// sign-off sheet can say what changed.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub printed: BTreeMap<String, String>,
}

/// A case whose letters are all built.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CaseRecord {
    /// The case's id.
    pub id: String,
    /// What its letters were made from.
    pub snapshot: Digest,
    /// Names of its letters, all of them.
    pub letters: Vec<String>,
    /// Warnings of the case and its letters.
    pub warnings: Vec<Warning>,
}

/// Everything a case consists of, and the inputs it shares with the others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Snapshot {
    /// Digest of the case file.
    pub own: Digest,
    /// Files named in it, by the path as written.
    pub beside: BTreeMap<String, Seen>,
    /// Digest of the shared inputs.
    pub shared: Digest,
    /// Every entry as typed, by its path.
    pub values: BTreeMap<String, Typed>,
}

/// The inputs that all cases share.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shared {
    /// Program, engine, templates, rules, fonts, the clinic's file: by name.
    pub files: BTreeMap<String, Digest>,
    /// The clinic's settings as typed, and options of the run.
    pub values: BTreeMap<String, Typed>,
}

/// An entry as typed, and its line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Typed(pub String, pub u32);

/// What a file named in a case turned out to be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Seen {
    /// Read, with these bytes.
    Bytes(Digest),
    /// Not read, and why; that a file is absent is an input too.
    Unread(String),
}

impl Seen {
    /// What reading it gave.
    pub fn of(read: &std::io::Result<Vec<u8>>) -> Seen {
        match read {
            Ok(bytes) => Seen::Bytes(Digest::of(bytes)),
            Err(error) => Seen::Unread(io::reason(error)),
        }
    }
}

impl Snapshot {
    /// The digest of all inputs. The entries follow from the case file.
    pub fn id(&self, file: &str) -> Digest {
        let mut all = Digester::default();
        all.part(file, self.own.to_string().as_bytes());
        for (name, seen) in &self.beside {
            match seen {
                Seen::Bytes(digest) => all.part("beside", digest.to_string().as_bytes()),
                Seen::Unread(why) => all.part("unread", why.as_bytes()),
            };
            all.part("named", name.as_bytes());
        }
        all.part("shared", self.shared.to_string().as_bytes());
        all.digest()
    }
}

impl Shared {
    /// The digest of all of them. Settings follow from the clinic's file, but
    /// options of the run do not.
    pub fn id(&self) -> Digest {
        let mut all = Digester::default();
        for (name, digest) in &self.files {
            all.part(name, digest.to_string().as_bytes());
        }
        all.part("", b"values");
        for (path, Typed(text, _)) in &self.values {
            all.part(path, text.as_bytes());
        }
        all.digest()
    }
}

impl Index {
    /// The file of a letter in a form.
    pub fn entry(&self, letter: &str, output: Output) -> Option<&Entry> {
        self.letters.get(letter)?.0.get(&output)
    }

    /// Every file: its letter, its form, what is known of it.
    pub fn entries(&self) -> impl Iterator<Item = (&str, Output, &Entry)> {
        self.letters.iter().flat_map(|(name, files)| {
            files.0.iter().map(move |(output, entry)| (name.as_str(), *output, entry))
        })
    }

    /// Remembers a file.
    pub fn remember(&mut self, letter: &str, output: Output, entry: Entry) {
        self.letters.entry(letter.to_string()).or_default().0.insert(output, entry);
    }

    /// Forgets a file.
    pub fn forget(&mut self, letter: &str, output: Output) {
        if let Some(files) = self.letters.get_mut(letter) {
            files.0.remove(&output);
        }
    }

    /// Forgets letters without files, and inputs that no letter and no case
    /// rests on any more.
    pub fn prune(&mut self) {
        self.letters.retain(|_, files| !files.0.is_empty());
        let of_letters = self.entries().filter_map(|(_, _, entry)| entry.made_from);
        let used: BTreeSet<_> =
            of_letters.chain(self.cases.values().map(|case| case.snapshot)).collect();
        self.snapshots.retain(|id, _| used.contains(id));
        let used: BTreeSet<_> = self.snapshots.values().map(|snapshot| snapshot.shared).collect();
        self.shared.retain(|id, _| used.contains(id));
    }
}

/// A warning as remembered, to be told again while nothing has changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Warning {
    code: String,
    message: String,
    place: Option<Spot>,
    related: Vec<(Spot, String)>,
    remedy: Option<String>,
}

/// File, line, column, first byte, one past the last.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Spot(String, u32, u32, usize, usize);

impl Spot {
    fn of(place: &Place) -> Spot {
        Spot(place.file.to_string(), place.line, place.column, place.start, place.end)
    }

    fn place(&self) -> Place {
        let Spot(file, line, column, start, end) = self;
        Place { file: file.as_str().into(), line: *line, column: *column, start: *start, end: *end }
    }
}

impl Warning {
    /// As found.
    pub fn of(found: &Diagnostic) -> Warning {
        let related = found.related.iter().map(|(place, role)| (Spot::of(place), role.clone()));
        Warning {
            code: found.code.name().to_string(),
            message: found.message.clone(),
            place: found.place.as_ref().map(Spot::of),
            related: related.collect(),
            remedy: found.remedy.clone(),
        }
    }

    /// To be told again; nothing if its code is not known any more.
    pub fn told(&self) -> Option<Diagnostic> {
        let related = self.related.iter().map(|(spot, role)| (spot.place(), role.clone()));
        Some(Diagnostic {
            code: Code::named(&self.code)?,
            severity: Severity::Warning,
            message: self.message.clone(),
            place: self.place.as_ref().map(Spot::place),
            related: related.collect(),
            remedy: self.remedy.clone(),
        })
    }
}

/// The index of a folder; empty where there is none or it cannot be read,
/// since it can be made again from nothing.
pub fn load(folder: &Path) -> Index {
    let bytes = io::read_own(&folder.join(FILE)).unwrap_or_default();
    serde_json::from_slice(&bytes).unwrap_or_default()
}

/// Writes the index, if it changed. Called after all letters: an older index
/// beside newer letters is made good by the next build.
pub fn save(folder: &Path, index: &Index) -> std::io::Result<()> {
    let mut text = serde_json::to_string(index).map_err(std::io::Error::other)?;
    text.push('\n');
    let path = folder.join(FILE);
    if io::holds(&path, text.as_bytes()) {
        Ok(())
    } else {
        io::write_atomic(&path, text.as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn snapshot(beside: &[(&str, Seen)]) -> Digest {
        let beside = beside.iter().map(|(n, s)| (n.to_string(), s.clone())).collect();
        let (own, shared) = (Digest::of(b"case"), Digest::of(b"shared"));
        Snapshot { own, beside, shared, values: BTreeMap::new() }.id("cases/a.yaml")
    }

    #[test]
    fn every_input_is_in_the_key_absence_too() {
        let bytes = |text: &str| Seen::Bytes(Digest::of(text.as_bytes()));
        let absent = Seen::Unread("it does not exist".to_string());
        let all = [
            snapshot(&[]),
            snapshot(&[("f1.csv", absent)]),
            snapshot(&[("f1.csv", bytes("a"))]),
            snapshot(&[("f1.csv", bytes("b"))]),
            snapshot(&[("f2.csv", bytes("b"))]),
            snapshot(&[("f1.csv", bytes("b")), ("f2.csv", bytes("b"))]),
        ];
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len());
        let of = |name: &str, text: &str| {
            let values = BTreeMap::from([(name.to_string(), Typed(text.to_string(), 1))]);
            Shared { files: BTreeMap::new(), values }.id()
        };
        assert_ne!(of("paper", "A4"), of("paper", "US-Letter"));
    }

    #[test]
    fn an_index_without_forms_is_one_of_pages() {
        let digest = Digest::of(b"x");
        let text = format!(r#"{{"letters":{{"a/l1":{{"file":"a/l1.pdf","digest":"{digest}"}}}}}}"#);
        let index: Index = serde_json::from_str(&text).unwrap();
        assert_eq!(index.entry("a/l1", Output::Pdf).unwrap().file, "a/l1.pdf");
        assert_eq!(index.entries().count(), 1);
        let again: Index = serde_json::from_str(&serde_json::to_string(&index).unwrap()).unwrap();
        assert_eq!(again, index);
    }

    #[test]
    fn a_warning_is_told_again_as_it_was() {
        let place = Place { file: "cases/a.yaml".into(), line: 3, column: 5, start: 20, end: 24 };
        let mut found = Diagnostic::new(Code::CobbUnusual, Some(place.clone()), "91 deg")
            .related(place, "here")
            .remedy("look again");
        found.severity = Severity::Warning;
        assert_eq!(Warning::of(&found).told(), Some(found));
    }
}
