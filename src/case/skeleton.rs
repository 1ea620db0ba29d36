//! The text of a new case file: what is known filled in, the rest as
//! commented lines to uncomment.

use std::fmt::Write;

use chrono::NaiveDate;

use super::model::{Cause, Deformity, Pronouns, Sex};
use crate::quantity::PartialDate;

/// What is known when a case is opened.
#[derive(Debug, Clone)]
pub struct Answers {
    /// The case's id, also its file name: letters, digits, `-` and `_`.
    pub id: String,
    /// The clinic's record number.
    pub record_no: Option<String>,
    /// Full name.
    pub name: String,
    /// The name they go by.
    pub called: Option<String>,
    /// Date of birth.
    pub born: NaiveDate,
    /// Sex as recorded.
    pub sex: Sex,
    /// Pronouns as stated.
    pub pronouns: Option<Pronouns>,
    /// Cause, if known already.
    pub cause: Option<Cause>,
    /// Deformity; scoliosis if absent.
    pub deformity: Option<Deformity>,
    /// When it was found.
    pub found: Option<PartialDate>,
}

/// The first line of every case file: it tells editors which schema to use.
pub const SCHEMA_LINE: &str = "# yaml-language-server: $schema=schema.json";

/// A commented case file that reads without a fault.
pub fn skeleton(answers: &Answers) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = head(&mut text, answers);
    text.push_str(MORE);
    text
}

fn head(out: &mut String, answers: &Answers) -> std::fmt::Result {
    writeln!(out, "{SCHEMA_LINE}")?;
    writeln!(out, "case: {}    # also the file name", plain_or_quoted(&answers.id))?;
    match &answers.record_no {
        Some(number) => writeln!(out, "record_no: {}", quoted(number))?,
        None => writeln!(out, "# record_no: MR-118034")?,
    }
    writeln!(out, "patient:\n  name: {}", quoted(&answers.name))?;
    match &answers.called {
        Some(called) => writeln!(out, "  called: {}", quoted(called))?,
        None => writeln!(out, "  # called: Mara")?,
    }
    writeln!(out, "  born: {}\n  sex: {}", answers.born, answers.sex.word())?;
    match answers.pronouns {
        Some(pronouns) => writeln!(out, "  pronouns: {}", pronouns.word())?,
        None => writeln!(out, "  # pronouns: she | he | they; letters use the name if absent")?,
    }
    diagnosis(out, answers)
}

fn diagnosis(out: &mut String, answers: &Answers) -> std::fmt::Result {
    let cause = answers.cause.unwrap_or(Cause::Unknown);
    writeln!(out, "diagnosis:\n  cause: {}", cause.word())?;
    if let Some(deformity) = answers.deformity {
        writeln!(out, "  deformity: {}", deformity.word())?;
    }
    match answers.found {
        Some(found) => writeln!(out, "  found: {found}"),
        None => writeln!(out, "  # found: 2024-10    # a year or a month is enough"),
    }
}

/// An id needs no quotes, unless it is a word that YAML takes for nothing.
fn plain_or_quoted(id: &str) -> String {
    let plain = id.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if plain && id != "null" { id.to_string() } else { quoted(id) }
}

/// A text in double quotes, safe whatever it holds.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' | '\r' | '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// What a case may hold besides; without the `# ` it is valid as it stands.
const MORE: &str = "
# What follows is an example: remove the \"# \" where it applies, then the words.
#
# referral: {on: 2024-10-21, from: gp, why: one hip stands out in trousers now}
# background:
#   menarche: {not_yet: 2024-11-04}     # or {on: 2025-09}
#   allergies: none known
#   implants: none
# contacts:
#   - {id: gp, role: referring doctor, name: Dr Iris Fenner, address: [1 Market Square, Tidewell]}
#   - {id: home, role: family, name: Mr and Mrs Ellwood, address: [4 Mill Lane, Tidewell]}
# films:
#   - id: f1
#     taken: 2024-11-04
#     view: frontal                     # frontal | lateral | bending | hand
#     projection: PA                    # PA | AP
#     displayed: from behind            # from the front; lateral: facing left | facing right
#     posture: standing                 # sitting, supine, prone, traction, bolster
#     support: none                     # or the id of a brace or cast
#     readings:
#       - id: r1
#         by: hk
#         read: 2024-11-05
#         curves: [{upper: T5, apex: T8, lower: T12, convex: right, cobb: 19 deg}]
#     maturity: {risser: {grade: 0, scale: US}, triradiate: open}
#     dose: 0.07 mSv                    # or area_dose: 0.25 Gy.cm2
#     why: first film                   # asked for when a film comes before its time
# exams:
#   - on: 2024-11-04
#     by: hk
#     height: 151.2 cm
#     weight: 41 kg
#     trunk_rotation: {T8: 8 deg}
#     pain: 2/10
#     srs22r: [4, 5, none, 3, 4, 4, 5, 4, 5, 3, 4, 5, 4, 4, 5, 4, 5, 5, 3, 4, none, two]
#     # odi: [2, 1, 3, 2, 1, 2, 1, none, 2, 2]    # none: left open, two: two marks
# treatments:
#   - {id: x1, kind: exercise, from: 2024-11-04, prescribed: 20 min/day}
# plans:
#   - {on: 2024-11-04, by: hk, choice: watch, next: {film: 2025-05}}
# school:                               # what a school or club may read
#   - {on: 2024-11-04, by: hk, sport: takes part, limits: []}    # none to keep to
# letters:
#   - {id: l1, kind: progress, to: gp, as_of: 2024-11-05, signed_by: hk}
";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::read::read_case;
    use crate::diag::Report;

    fn answers() -> Answers {
        Answers {
            id: "mr-0118".into(),
            record_no: None,
            name: r#"Zoë "Bo" O'Neill-Łuć #1 *x* \[z] @w: {y}"#.into(),
            called: Some("null".into()),
            born: NaiveDate::from_ymd_opt(2013, 5, 6).unwrap(),
            sex: Sex::Female,
            pronouns: Some(Pronouns::She),
            cause: None,
            deformity: None,
            found: Some(PartialDate::Month(2024, 10)),
        }
    }

    fn read(text: &str) -> crate::case::Case {
        let mut report = Report::default();
        let case = read_case(text, "cases/a.yaml", &|_| Err("none".into()), &mut report);
        assert!(report.is_empty(), "{text}\n{report:#?}");
        case.unwrap()
    }

    #[test]
    fn a_new_case_reads_without_a_fault() {
        let text = skeleton(&answers());
        assert!(text.starts_with(SCHEMA_LINE));
        let case = read(&text);
        assert_eq!(case.patient.name.value, answers().name);
        assert_eq!(case.patient.called.unwrap().value, "null");
        assert_eq!(case.diagnosis.cause.value, Cause::Unknown);
        let bare = Answers { id: "null".into(), called: None, pronouns: None, ..answers() };
        assert_eq!(read(&skeleton(&bare)).id.value, "null");
    }

    #[test]
    fn its_examples_are_good_once_uncommented() {
        let open = |line: &str| line.strip_prefix("# ").unwrap_or(line).to_string();
        let more: Vec<_> = MORE.lines().skip(3).map(open).collect();
        let case = read(&(skeleton(&answers()).replace(MORE, "") + &more.join("\n")));
        assert_eq!((case.films.len(), case.letters.len()), (1, 1));
    }
}
