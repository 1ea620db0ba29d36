//! The way in: text of a case or clinic file to its typed form.
//!
//! Opens no file: landmark files and wear logs come through the closure given.

use std::sync::Arc;

use super::build::{self, Load};
use super::clinic::Clinic;
use super::field::{CASE, CLINIC, Kind, PATIENT};
use super::model::Case;
use super::node::{self, Node, Shape};
use super::shape::Shaper;
use crate::diag::Report;
use crate::spine::Column;

pub use super::text::decode;

/// Reads a case file. Every fault goes to the report; the case is given
/// whenever its essential records could be read, with what was faulty left
/// out. `file` is the path as shown to people, relative to the clinic's
/// folder; `load` gives the text of a landmark file or of a wear log by its
/// path as written.
pub fn read_case(
    text: &str,
    file: &str,
    load: &dyn Fn(&str) -> Result<String, String>,
    report: &mut Report,
) -> Option<Case> {
    let root = node::parse(without_mark(text), file, report)?;
    let column = declared_column(&root);
    let rec = Shaper { column, report }.record(&root, &CASE)?;
    build::case(rec, Arc::new(root), &mut Load { read: load, file, column, report })
}

/// Reads the clinic's own file; every fault goes to the report.
pub fn read_clinic(text: &str, file: &str, report: &mut Report) -> Option<Clinic> {
    let root = node::parse(without_mark(text), file, report)?;
    let rec = Shaper { column: None, report }.record(&root, &CLINIC)?;
    build::clinic(rec)
}

/// The path, as shown, of a file named in another file.
pub fn beside(file: &str, path: &str) -> String {
    match file.rsplit_once('/') {
        Some((folder, _)) => format!("{folder}/{path}"),
        None => path.to_string(),
    }
}

/// The text without its byte order mark.
pub(super) fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// The patient's vertebrae, needed before any level can be judged; `None` if
/// they are declared but cannot be read, so that no level is blamed for it.
fn declared_column(root: &Node) -> Option<Column> {
    let Some(patient) = child(root, "patient") else { return Some(Column::default()) };
    let Some(declared) = child(patient, "vertebrae") else { return Some(Column::default()) };
    let Some(Kind::Record(table)) = PATIENT.field("vertebrae").map(|f| &f.kind) else {
        return None;
    };
    let mut faults = Report::default();
    let rec = Shaper { column: None, report: &mut faults }.record(declared, table)?;
    faults.is_empty().then(|| build::column(rec))
}

fn child<'a>(node: &'a Node, key: &str) -> Option<&'a Node> {
    match &node.shape {
        Shape::Map(entries) => entries.iter().find(|e| e.key.value == key).map(|e| &e.value),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::field::Record;

    /// A record with every key of the table, each with its example.
    fn filled(table: &Record) -> String {
        let keys = table.fields.iter().map(|f| match &f.kind {
            Kind::Record(inner) => format!("{}: {}", f.key, filled(inner)),
            Kind::Records(inner) => format!("{}: [{}]", f.key, filled(inner)),
            // A comma ends plain text here, where all keys stand on one line.
            Kind::Text | Kind::LongText if f.example.contains(',') && !f.example.contains('"') => {
                format!("{}: \"{}\"", f.key, f.example)
            }
            _ => format!("{}: {}", f.key, f.example),
        });
        format!("{{{}}}", keys.collect::<Vec<_>>().join(", "))
    }

    const LOG: &str = "Date,Time,Temperature\n01/03/2026,00:00,20\n01/03/2026,00:15,20\n";
    const LANDMARKS: &str = "level,corner,x,y\nS1,upper left,1,2\nS1,upper right,1,2\n";

    #[test]
    fn every_key_of_the_table_is_read_and_its_example_is_good() {
        let mut report = Report::default();
        let load =
            |name: &str| Ok(if name.starts_with("wear") { LOG } else { LANDMARKS }.to_string());
        let case = read_case(&filled(&CASE), "c.yaml", &load, &mut report).unwrap();
        let clinic = read_clinic(&filled(&CLINIC), "c.yaml", &mut report).unwrap();
        assert!(report.is_empty(), "{report:#?}");
        assert_eq!(case.patient.column, Column::new(13, 6).unwrap());
        assert_eq!(clinic.region.as_deref(), Some("GB"));
    }

    #[test]
    fn every_short_example_is_good_too() {
        fn check(table: &'static Record) {
            for field in table.fields {
                let text = format!("{}: {}", field.key, field.example);
                let mut report = Report::default();
                let root = node::parse(&text, "f.yaml", &mut report).unwrap();
                let column = Column::new(13, 6);
                Shaper { column, report: &mut report }.record(&root, table);
                let named = |d: &crate::diag::Diagnostic| d.code != crate::diag::Code::MissingKey;
                assert!(!report.iter().any(named), "{text}: {report:#?}");
                if let Kind::Record(inner) | Kind::Records(inner) = &field.kind {
                    check(inner);
                }
            }
        }
        check(&CASE);
        check(&CLINIC);
    }
}
