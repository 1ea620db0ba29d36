//! Default templates inside the program, and a clinic's own over them.
//!
//! Names are paths below `templates/`. A clinic's file of the same name takes
//! the place of the embedded one; other files of the clinic are added.

use std::collections::BTreeMap;

use super::io::{self, Folder};
use crate::diag::{Code, Diagnostic, Place, Report};

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        /// Letters and phrases inside the program.
        pub const TEMPLATES: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../templates/", $name)))),*];
    };
}

embedded!(
    "letters/en/progress.md.j2",
    "letters/en/progress-family.md.j2",
    "letters/en/check.md.j2",
    "letters/en/check-family.md.j2",
    "letters/en/check-maker.md.j2",
    "letters/en/prescription.md.j2",
    "letters/en/progress-adult.md.j2",
    "letters/en/summary.md.j2",
    "letters/en/neurological-opinion.md.j2",
    "letters/en/surgical-opinion.md.j2",
    "letters/en/justification.md.j2",
    "letters/en/appeal.md.j2",
    "letters/en/gap.md.j2",
    "letters/en/school.md.j2",
    "letters/en/weaning.md.j2",
    "letters/en/weaning-family.md.j2",
    "letters/en/discharge.md.j2",
    "letters/en/discharge-family.md.j2",
    "letters/en/amendment-box.md.j2",
    "letters/en/addendum-box.md.j2",
    "letters/en/withdrawal-notice.md.j2",
    "letters/en/worklist.md.j2",
    "letters/es/progress-family.md.j2",
    "letters/es/school.md.j2",
    "letters/es/weaning-family.md.j2",
    "letters/es/discharge-family.md.j2",
    "letters/es/check-family.md.j2",
    "letters/es/gap.md.j2",
    "letters/es/amendment-box.md.j2",
    "letters/es/addendum-box.md.j2",
    "letters/es/withdrawal-notice.md.j2",
    "phrases/es-plain.md.j2",
    "phrases/es-adult-plain.md.j2",
    "phrases/es-fitting.md.j2",
    "phrases/es-note.md.j2",
    "phrases/es-ending-plain.md.j2",
    "letters/en/sign-off.md.j2",
    "phrases/en.md.j2",
    "phrases/en-plain.md.j2",
    "phrases/en-payer.md.j2",
    "phrases/en-ending.md.j2",
    "phrases/en-ending-plain.md.j2",
    "phrases/en-note.md.j2",
    "phrases/en-fitting.md.j2",
    "phrases/en-adult.md.j2",
    "phrases/en-adult-plain.md.j2",
    "phrases/en-summary.md.j2",
);

macro_rules! payers {
    ($($name:literal),* $(,)?) => {
        /// Criteria of payers inside the program, by name below `templates/`.
        pub const PAYERS: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../templates/", $name)))),*];
    };
}

payers!(
    "rules/payers/brindle-mutual.yaml",
    "rules/payers/carrow-vale.yaml",
    "rules/payers/tallow-bridge.yaml",
);

macro_rules! readers {
    ($($stem:literal),* $(,)?) => {
        /// What readers need, inside the program, by name below `templates/`.
        pub const READERS: &[(&str, &str)] = &[$((
            concat!("rules/readers/", $stem, ".yaml"),
            include_str!(concat!("../../templates/rules/readers/", $stem, ".yaml")),
        )),*];
    };
}

readers!(
    "progress",
    "progress-adult",
    "progress-family",
    "surgical-opinion",
    "neurological-opinion",
    "prescription",
    "check",
    "check-maker",
    "check-family",
    "justification",
    "appeal",
    "school",
    "weaning",
    "weaning-family",
    "discharge",
    "discharge-family",
    "summary",
    "gap",
);

/// Name below `templates/` of the table of item codes.
const ITEMS: &str = "rules/codes/spinal-orthoses.yaml";

/// The table of item codes inside the program.
pub const ITEM_CODES: &str = include_str!("../../templates/rules/codes/spinal-orthoses.yaml");

/// The table of item codes in force for a clinic, by its path as shown.
pub fn item_codes(folder: &Folder) -> (String, String) {
    let shown = format!("templates/{ITEMS}");
    let own = io::read(&folder.root().join(&shown)).ok().and_then(|b| String::from_utf8(b).ok());
    (shown, own.unwrap_or_else(|| ITEM_CODES.to_string()))
}

/// Name below `templates/` of the words of the trade.
const TRADE_WORDS: &str = "phrases/trade-words.txt";

/// The words of the trade in force for a clinic, by their path as shown.
pub fn trade_words(folder: &Folder) -> (String, String) {
    let shown = format!("templates/{TRADE_WORDS}");
    let own = io::read(&folder.root().join(&shown)).ok().and_then(|b| String::from_utf8(b).ok());
    let inside = include_str!("../../templates/phrases/trade-words.txt");
    (shown, own.unwrap_or_else(|| inside.to_string()))
}

/// The care protocol inside the program, by name below `templates/`.
pub const PROTOCOL: (&str, &str) =
    ("rules/protocol/default.yaml", include_str!("../../templates/rules/protocol/default.yaml"));

/// The red flags inside the program, by name below `templates/`.
pub const RED_FLAGS: (&str, &str) =
    ("rules/red-flags/default.yaml", include_str!("../../templates/rules/red-flags/default.yaml"));

/// The care protocol and the red flags in force for a clinic, by name: its
/// own file takes the place of the embedded one.
pub fn care_rules(folder: &Folder, report: &mut Report) -> BTreeMap<String, String> {
    let mut all = own(folder, "yaml", report);
    all.retain(|name, _| name == PROTOCOL.0 || name == RED_FLAGS.0);
    for (name, text) in [PROTOCOL, RED_FLAGS] {
        all.entry(name.to_string()).or_insert_with(|| text.to_string());
    }
    all
}

/// The templates in force for a clinic, by name.
pub fn templates(folder: &Folder, report: &mut Report) -> BTreeMap<String, String> {
    let mut all = own(folder, "j2", report);
    for (name, text) in TEMPLATES {
        all.entry((*name).to_string()).or_insert_with(|| (*text).to_string());
    }
    all
}

/// The payers' criteria in force for a clinic, by name.
pub fn payers(folder: &Folder, report: &mut Report) -> BTreeMap<String, String> {
    let mut all = own(folder, "yaml", report);
    all.retain(|name, _| name.starts_with("rules/payers/"));
    for (name, text) in PAYERS {
        all.entry((*name).to_string()).or_insert_with(|| (*text).to_string());
    }
    all
}

/// What readers need in force for a clinic, by name.
pub fn readers(folder: &Folder, report: &mut Report) -> BTreeMap<String, String> {
    let mut all = own(folder, "yaml", report);
    all.retain(|name, _| name.starts_with("rules/readers/"));
    for (name, text) in READERS {
        all.entry((*name).to_string()).or_insert_with(|| (*text).to_string());
    }
    all
}

/// Fonts a clinic adds under `templates/fonts/`.
pub fn fonts(folder: &Folder) -> Vec<Vec<u8>> {
    let root = folder.root().join("templates/fonts");
    let mut files = io::files_below(&root);
    files.retain(|f| f.extension().is_some_and(|e| e == "ttf" || e == "otf" || e == "ttc"));
    files.iter().filter_map(|f| io::read(f).ok()).collect()
}

fn own(folder: &Folder, ending: &str, report: &mut Report) -> BTreeMap<String, String> {
    let root = folder.root().join("templates");
    let mut found = BTreeMap::new();
    for file in io::files_below(&root) {
        if file.extension().is_none_or(|e| e != ending) {
            continue;
        }
        let Ok(name) = file.strip_prefix(&root) else { continue };
        let name = name.to_string_lossy().replace('\\', "/");
        match io::read(&file).map(String::from_utf8) {
            Ok(Ok(text)) => {
                found.insert(name, text);
            }
            Ok(Err(_)) => report.push(unreadable(folder, &file, "it is not UTF-8 text")),
            Err(e) => report.push(unreadable(folder, &file, &io::reason(&e))),
        }
    }
    found
}

fn unreadable(folder: &Folder, file: &std::path::Path, why: &str) -> Diagnostic {
    let shown = folder.shown(file);
    let message = format!("`{shown}` cannot be read: {why}");
    Diagnostic::new(Code::FileUnreadable, Some(Place::whole(&shown)), message)
}
