//! What an issued letter took from its case file, kept beside its frozen
//! bytes, and whether the file still says so.
//!
//! The JSON record of an issued letter holds, under [`RESTS_ON`], each entry of
//! the case that a printed fact came from, by its address, with the value as
//! typed, and the digest of each attached file. `check` compares them with the
//! file of today. It knows nothing of letters and how they are issued.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::archive::Archive;
use super::io::{self, Folder};
use super::load::Loaded;
use crate::case::address::{Entry, same_value};
use crate::case::{Case, rename};
use crate::diag::{Code, Diagnostic, Report};
use crate::digest::Digest;
use crate::register::{Freeze, fold};

/// The key of [`Printed`] in the JSON record of an issued letter.
pub const RESTS_ON: &str = "rests_on";

/// The entries and files of a case that an issued letter rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Printed {
    /// Address of an entry (`film f1 / reading r1 / curve thoracic / cobb`) to
    /// its value as typed on the day of issue.
    #[serde(default)]
    pub values: BTreeMap<String, String>,
    /// Name of an attached file, as the case names it, to its digest.
    #[serde(default)]
    pub attachments: BTreeMap<String, Digest>,
}

impl Printed {
    /// From the bytes of a letter's JSON record; `None` where it is no such
    /// record.
    pub fn of_record(bytes: &[u8]) -> Option<Printed> {
        let mut record: serde_json::Value = serde_json::from_slice(bytes).ok()?;
        serde_json::from_value(record.get_mut(RESTS_ON)?.take()).ok()
    }
}

/// The latest version of an issued letter and what it rests on.
#[derive(Debug, Clone)]
pub struct Rests {
    /// The letter and its version, in words.
    pub letter: String,
    /// The entries and files.
    pub on: Printed,
}

/// What the letters of each case rest on, by the case's id: the latest
/// version of each letter that was not withdrawn. A record that cannot be
/// read is left to `verify`.
pub fn issued(archive: &Archive) -> std::io::Result<BTreeMap<String, Vec<Rests>>> {
    let mut all: BTreeMap<String, Vec<Rests>> = BTreeMap::new();
    for (id, document) in fold(&archive.chain()?) {
        let standing = document.versions.iter().rev().find(|v| v.state.in_force());
        let Some(version) = standing else { continue };
        let records = version.issue.files.iter().filter(|file| file.is == Freeze::Record);
        let read = |file| archive.frozen(file).ok().and_then(|bytes| Printed::of_record(&bytes));
        if let Some(on) = records.filter_map(read).next() {
            let letter = format!("{id} version {}", version.issue.instance.version);
            all.entry(id.case().to_string()).or_default().push(Rests { letter, on });
        }
    }
    Ok(all)
}

/// Compares every case read with what its issued letters rest on.
pub fn check_issued(folder: &Folder, loaded: &Loaded, report: &mut Report) {
    let issued = match issued(&Archive::of(folder)) {
        Ok(issued) => issued,
        Err(error) => {
            let message = format!("the register cannot be read: {}", io::reason(&error));
            report.push(Diagnostic::new(Code::FileUnreadable, None, message));
            return;
        }
    };
    for read in &loaded.cases {
        let Some(case) = &read.case else { continue };
        let Some(rests) = issued.get(&case.id.value) else { continue };
        let path = folder.root().join(&read.file);
        let digest = |name: &str| io::read_beside(&path, name).ok().map(|b| Digest::of(&b));
        compare(case, rests, &digest, report);
    }
}

/// Warns of each entry and each attached file of a case that an issued letter
/// rests on and that has changed with no correction. `digest` gives the digest
/// of a file named in the case, if it can be read.
pub fn compare(
    case: &Case,
    issued: &[Rests],
    digest: &dyn Fn(&str) -> Option<Digest>,
    report: &mut Report,
) {
    // One warning for each change, however many letters printed the value.
    let mut values: BTreeMap<(&str, &str), Vec<&str>> = BTreeMap::new();
    let mut files: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for rests in issued {
        for (path, then) in &rests.on.values {
            values.entry((path, then)).or_default().push(&rests.letter);
        }
        for (name, then) in &rests.on.attachments {
            if digest(name) != Some(*then) {
                files.entry(name).or_default().push(&rests.letter);
            }
        }
    }
    for ((path, then), letters) in values {
        value(case, path, then, &letters.join(", "), report);
    }
    for (name, letters) in files {
        let state = if digest(name).is_some() { "has changed" } else { "was lost" };
        let letters = letters.join(", ");
        let message = format!("`{name}` {state} since this was issued: {letters}");
        report.add(Code::IssuedFileChanged, &case.id.place, message);
    }
}

fn value(case: &Case, path: &str, then: &str, letters: &str, report: &mut Report) {
    let entry = rename::find(case, path).ok();
    if entry.as_ref().is_some_and(|entry| entry.says(then)) || corrected(case, &entry, then) {
        return;
    }
    let now = match &entry {
        Some(entry) => format!("holds `{}`", entry.text.trim()),
        None => "is no longer recorded".to_string(),
    };
    let message = format!("`{path}` {now}; issued with `{}`: {letters}", then.trim());
    let place = entry.map_or_else(|| case.id.place.clone(), |entry| entry.place);
    report.push(Diagnostic::new(Code::IssuedValueChanged, Some(place), message));
}

/// Whether a correction of the entry began with that value.
fn corrected(case: &Case, entry: &Option<Entry>, then: &str) -> bool {
    let Some(entry) = entry else { return false };
    case.corrections.iter().any(|correction| {
        let same = rename::find(case, &correction.at).is_ok_and(|e| e.place == entry.place);
        same && same_value(&correction.was, then)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::read::read_case;

    #[test]
    fn it_is_read_out_of_the_record_of_a_letter() {
        let values = [("film f1 / dose".to_string(), "0.07 mSv".to_string())].into();
        let attachments = [("films/f1.csv".to_string(), Digest::of(b"level"))].into();
        let printed = Printed { values, attachments };
        let record = serde_json::json!({ "text": ["..."], RESTS_ON: &printed });
        let bytes = serde_json::to_vec(&record).unwrap();
        assert_eq!(Printed::of_record(&bytes), Some(printed));
        assert_eq!(Printed::of_record(b"{\"text\": []}"), None);
        assert_eq!(Printed::of_record(b"%PDF"), None);
    }

    const CASE_TEXT: &str = "case: qa-0001\npatient: {name: Ann Orr, born: 2013-05-06, sex: female}\n\
        diagnosis: {cause: idiopathic}\nfilms:\n  - {id: f1, taken: 2024-11-04, view: frontal, dose: 0.08 mSv}\n\
        exams: [{on: 2024-11-05, pain: 2/10}]\n";

    fn warnings(text: &str, values: &[(&str, &str)], files: &[(&str, &str)]) -> Vec<String> {
        let case = read_case(text, "a.yaml", &|_| Err("no".into()), &mut Report::default());
        let values = values.iter().map(|(a, b)| (a.to_string(), b.to_string())).collect();
        let digest = |text: &str| Digest::of(text.as_bytes());
        let attachments = files.iter().map(|(a, b)| (a.to_string(), digest(b))).collect();
        let on = Printed { values, attachments };
        let rests = ["l1", "l2"].map(|letter| Rests { letter: letter.into(), on: on.clone() });
        let mut report = Report::default();
        let there = |name: &str| (name == "f1.csv").then(|| digest("marks"));
        compare(&case.expect("a case"), &rests, &there, &mut report);
        report.iter().map(|d| d.message.clone()).collect()
    }

    #[test]
    fn a_value_changed_with_no_correction_is_told_once() {
        let values = [("film f1 / dose", "0.07 mSv"), ("film f1 / taken", "2024-11-04")];
        let told = "`film f1 / dose` holds `0.08 mSv`; issued with `0.07 mSv`: l1, l2";
        assert_eq!(warnings(CASE_TEXT, &values, &[]), [told]);
        // Another form of the same value is no change.
        assert!(warnings(CASE_TEXT, &[("film f1 / dose", "0.080 mSv")], &[]).is_empty());
        let gone = "`film f1 / off_for` is no longer recorded; issued with `24 h`: l1, l2";
        assert_eq!(warnings(CASE_TEXT, &[("film f1 / off_for", "24 h")], &[]), [gone]);
    }

    #[test]
    fn a_corrected_value_is_not_told_also_of_a_record_renamed_since() {
        let text = format!(
            "{CASE_TEXT}corrections:\n  - {{on: 2025-01-07, by: hk, at: film f1 / dose, was: \
             0.07 mSv, now: 0.08 mSv}}\n  - {{on: 2025-01-08, by: hk, at: exam 2024-11-05 / on, \
             was: 2024-11-04, now: 2024-11-05}}\n"
        );
        let values = [
            ("film f1 / dose", "0.07 mSv"),
            ("exam 2024-11-04 / on", "2024-11-04"),
            ("exam 2024-11-04 / pain", "2/10"),
        ];
        assert_eq!(warnings(&text, &values, &[]), Vec::<String>::new());
        // The correction was of another value than the letter printed.
        assert_eq!(warnings(&text, &[("film f1 / dose", "0.06 mSv")], &[]).len(), 1);
    }

    #[test]
    fn a_changed_or_lost_file_is_told() {
        assert!(warnings(CASE_TEXT, &[], &[("f1.csv", "marks")]).is_empty());
        let changed = "`f1.csv` has changed since this was issued: l1, l2";
        assert_eq!(warnings(CASE_TEXT, &[], &[("f1.csv", "other")]), [changed]);
        let lost = "`f2.csv` was lost since this was issued: l1, l2";
        assert_eq!(warnings(CASE_TEXT, &[], &[("f2.csv", "marks")]), [lost]);
    }
}
