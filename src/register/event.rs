//! One event and its one form on disk.
//!
//! An event is JSON in a fixed order of keys, one event to a file. Ids stand
//! for people, letters and contacts; names and free text about a patient have
//! no place in it, so that a register may be shown.

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, NaiveDate, SecondsFormat, Utc};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::digest::Digest;

/// A letter across all its versions: `fw-0118/l3`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct DocumentId(pub String);

impl DocumentId {
    /// The letter of a case.
    pub fn new(case: &str, letter: &str) -> DocumentId {
        DocumentId(format!("{case}/{letter}"))
    }

    /// The case's id.
    pub fn case(&self) -> &str {
        self.0.split_once('/').map_or(self.0.as_str(), |(case, _)| case)
    }

    /// The letter's id within the case.
    pub fn letter(&self) -> &str {
        self.0.split_once('/').map_or("", |(_, letter)| letter)
    }
}

impl fmt::Display for DocumentId {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// One version of a letter: version 1 is the one issued first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InstanceId {
    /// The letter.
    pub document: DocumentId,
    /// The version, from 1.
    pub version: u32,
}

impl fmt::Display for InstanceId {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}/v{}", self.document, self.version)
    }
}

/// A moment, in whole seconds of universal time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub DateTime<Utc>);

impl Moment {
    /// The day in universal time.
    pub fn day(self) -> NaiveDate {
        self.0.date_naive()
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.0.to_rfc3339_opts(SecondsFormat::Secs, true))
    }
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(text: &str) -> Result<Moment, String> {
        let read = DateTime::parse_from_rfc3339(text).map_err(|e| format!("`{text}`: {e}"))?;
        Ok(Moment(read.with_timezone(&Utc)))
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Moment, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

/// What a frozen file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Freeze {
    /// The letter itself.
    Pdf,
    /// What was printed, for later comparison: blocks, facts, verdicts.
    Record,
}

/// A file whose bytes never change again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frozen {
    /// What it is.
    pub is: Freeze,
    /// Name below the folder of issued letters.
    pub file: String,
    /// Digest of its bytes.
    pub digest: Digest,
}

/// Why a recipient holds a copy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// The letter was written to them.
    To,
    /// They got a copy.
    Copy,
}

/// A version of a letter that left the house.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Issue {
    /// Which version of which letter.
    pub instance: InstanceId,
    /// Kind of letter.
    pub kind: String,
    /// The day whose knowledge it states.
    #[serde(with = "day")]
    pub as_of: NaiveDate,
    /// The date on the letter.
    #[serde(with = "day")]
    pub dated: NaiveDate,
    /// Ids of the contacts who got it.
    pub recipients: Vec<(Role, String)>,
    /// The letter it adds to, if it is an addendum.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adds_to: Option<DocumentId>,
    /// The frozen files.
    pub files: Vec<Frozen>,
}

/// What a later version changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Changed {
    /// Neither words nor numbers: the page only looks otherwise.
    Layout,
    /// Words, but no number and no verdict.
    Wording,
    /// A number or a verdict.
    Numbers,
}

/// A version that replaces an earlier one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Replacement {
    /// The new version.
    pub issue: Issue,
    /// The version it replaces.
    pub replaces: u32,
    /// Class of the reason: transcription, side, patient, re-measurement, late data.
    pub reason: String,
    /// What changed.
    pub changed: Changed,
    /// Whether the advice changes, as the clinician said.
    pub advice_changes: bool,
}

/// A version overtaken by another letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Supersession {
    /// What is overtaken.
    pub instance: InstanceId,
    /// By what.
    pub by: DocumentId,
}

/// A version that must not be used any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// Which version.
    pub instance: InstanceId,
    /// Class of the reason, such as `wrong patient`.
    pub reason: String,
    /// The notice that was made of it.
    pub files: Vec<Frozen>,
}

/// A holder said that they know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Acknowledgement {
    /// The version or withdrawal they were told of.
    pub instance: InstanceId,
    /// Id of the contact.
    pub recipient: String,
    /// The day they were told.
    #[serde(with = "day")]
    pub on: NaiveDate,
    /// How: telephone, letter, portal.
    pub how: String,
}

/// Bytes destroyed by law; this event is what remains.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Erasure {
    /// Which version.
    pub instance: InstanceId,
    /// The legal ground.
    pub ground: String,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// A letter left for the first time.
    Issued(Issue),
    /// A new version replaces an earlier one.
    Amended(Replacement),
    /// A version was overtaken by another letter.
    Superseded(Supersession),
    /// Something was added to a letter; nothing in it was wrong.
    Addendum(Issue),
    /// A version must not be used any more.
    Withdrawn(Withdrawal),
    /// A holder was told.
    Acknowledged(Acknowledgement),
    /// The bytes were destroyed by law.
    Erased(Erasure),
    /// Two branches of the register were looked at and both kept.
    Joined {},
}

impl What {
    /// The word of the event.
    pub fn word(&self) -> &'static str {
        match self {
            What::Issued(_) => "issued",
            What::Amended(_) => "amended",
            What::Superseded(_) => "superseded",
            What::Addendum(_) => "addendum",
            What::Withdrawn(_) => "withdrawn",
            What::Acknowledged(_) => "acknowledged",
            What::Erased(_) => "erased",
            What::Joined {} => "joined",
        }
    }

    /// The version it is about.
    pub fn instance(&self) -> Option<&InstanceId> {
        match self {
            What::Issued(issue) | What::Addendum(issue) => Some(&issue.instance),
            What::Amended(new) => Some(&new.issue.instance),
            What::Superseded(old) => Some(&old.instance),
            What::Withdrawn(old) => Some(&old.instance),
            What::Acknowledged(told) => Some(&told.instance),
            What::Erased(gone) => Some(&gone.instance),
            What::Joined {} => None,
        }
    }

    /// The files it froze.
    pub fn files(&self) -> &[Frozen] {
        match self {
            What::Issued(issue) | What::Addendum(issue) => &issue.files,
            What::Amended(new) => &new.issue.files,
            What::Withdrawn(old) => &old.files,
            _ => &[],
        }
    }
}

/// One event of the register.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// One more than the largest number of its parents; the first is 1.
    pub number: u64,
    /// Digests of the events before it: none for the first, several where it
    /// joins branches.
    pub parents: Vec<Digest>,
    /// When, by the clock of the machine that wrote it.
    pub at: Moment,
    /// Id of the person who says that they did it: an assertion, not a login.
    pub by: String,
    /// What happened.
    pub what: What,
}

impl Event {
    /// The one form of the event on disk.
    pub fn to_bytes(&self) -> Vec<u8> {
        // Plain data of strings and numbers: nothing in it can fail to write.
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text.into_bytes()
    }

    /// Reads an event; `Err` says what is wrong with the bytes. A file that
    /// says the same in another form is not the file that was written.
    pub fn read(bytes: &[u8]) -> Result<Event, String> {
        let event: Event = serde_json::from_slice(bytes).map_err(|e| e.to_string())?;
        match event.to_bytes() == bytes {
            true => Ok(event),
            false => Err("it is not written as this program writes events".to_string()),
        }
    }

    /// The name of its file: number and digest.
    pub fn file_name(&self) -> String {
        format!("{:06}-{}.json", self.number, Digest::of(&self.to_bytes()).short())
    }
}

/// Days as `2026-03-02`.
mod day {
    use chrono::NaiveDate;
    use serde::{Deserialize, Deserializer, Serializer};

    pub fn serialize<S: Serializer>(day: &NaiveDate, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(day)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<NaiveDate, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
