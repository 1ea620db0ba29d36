//! Corrections: one value and its entry change and no other byte; what cannot
//! be written leaves the file as it was.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;

use chrono::NaiveDate;
use endplate::case::address::{self, Entry};
use endplate::case::edit::{self, Correction};
use endplate::case::field::CASE as TABLE;
use endplate::pipeline::correct;
use endplate::pipeline::io;
use serde_yaml::Value;

use crate::support::demo::{case_text, demo, folder};
use crate::support::small::{CASE, Small, told};

const COBB: &str = "film f1 / reading r1 / curve lumbar / cobb";
const WHO: [&str; 5] = ["--by", "hk", "--because", "a slip of the pen", "--yes"];

fn made<'a>(at: &'a str, now: &'a str) -> Correction<'a> {
    let on = NaiveDate::from_ymd_opt(2027, 1, 11).expect("a day");
    Correction { at, now, on, by: "lb", because: "a slip: \"two\" for two" }
}

/// Another value of the same kind: the last digit goes up, else a letter more.
fn other(text: &str) -> String {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match text.rfind(|c: char| c.is_ascii_digit()) {
        Some(at) => {
            let digit = (text.as_bytes()[at] - b'0' + 1) % 10;
            format!("{}{digit}{}", &text[..at], &text[at + 1..])
        }
        None => format!("{text}x"),
    }
}

/// The case as another library reads it, without its corrections, and these.
fn read(text: &str) -> (Value, Vec<Value>) {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut value: Value = serde_yaml::from_str(text).expect("good YAML");
    let list = value.as_mapping_mut().expect("a record").remove("corrections");
    let list = list.and_then(|list| list.as_sequence().cloned());
    (value, list.unwrap_or_default())
}

/// Number of values that differ between two trees of one form.
fn differences(a: &Value, b: &Value) -> usize {
    match (a, b) {
        (Value::Mapping(a), Value::Mapping(b)) if a.len() == b.len() => {
            a.iter().zip(b).map(|(a, b)| differences(a.0, b.0) + differences(a.1, b.1)).sum()
        }
        (Value::Sequence(a), Value::Sequence(b)) if a.len() == b.len() => {
            a.iter().zip(b).map(|(a, b)| differences(a, b)).sum()
        }
        _ => usize::from(a != b),
    }
}

fn one_value_and_its_entry(text: &str, was: &(Value, Vec<Value>), path: &str, entry: &Entry) {
    let now = other(&entry.text);
    let edited = edit::correct(text, &made(path, &now)).unwrap_or_else(|e| panic!("{path}: {e}"));
    // The bytes: two stretches, one empty, the other the value's.
    let [a, b] = &edited.splices;
    let kept = [&text[..a.old.start], &a.new, &text[a.old.end..b.old.start], &b.new];
    assert_eq!(edited.text, kept.concat() + &text[b.old.end..], "{path}");
    let value = [a, b].into_iter().find(|s| !s.old.is_empty()).expect("the value's");
    let mark = text.len() - text.trim_start_matches('\u{feff}').len();
    assert!(value.old.end <= mark + entry.place.end, "{path}");
    let typed = text[mark + entry.place.start..mark + entry.place.end].trim_end();
    assert!(text[value.old.clone()].ends_with(typed), "{path}");
    // The values, by another library: one differs, one correction is added.
    let ((before, old), (after, new)) = (was, read(&edited.text));
    assert_eq!(differences(before, &after), 1, "{path}");
    assert_eq!(new[..old.len()], old[..], "{path}");
    let [last] = &new[old.len()..] else { panic!("{path}: {new:?}") };
    let told = |key: &str| match &last[key] {
        Value::String(text) => text.clone(),
        other => serde_yaml::to_string(other).expect("a value").trim().to_string(),
    };
    assert_eq!((told("at"), told("by")), (edited.at.clone(), "lb".to_string()));
    assert_eq!(told("because"), "a slip: \"two\" for two");
    // Reading back gives the new value.
    let root = edit::parse(&edited.text).expect("a case");
    let holds = address::find(&root, &TABLE, &edited.at).unwrap_or_else(|e| panic!("{path}: {e}"));
    assert_eq!(holds.text.trim(), now, "{path}");
}

/// Every entry of every demo case, as it stands and as another system might
/// have saved it.
#[test]
fn every_entry_can_be_corrected_and_nothing_else_changes() {
    let mut count = 0;
    for (n, case) in demo().cases.iter().enumerate() {
        let text = case_text(&case.id);
        let text = match n % 4 {
            0 => text,
            1 => format!("\u{feff}{}", text.replace('\n', "\r\n")),
            2 => text.trim_end().to_string(),
            _ => {
                text + "corrections: [{on: 2027-01-04, by: ev, at: record_no, was: x, now: y}] # ]\n"
            }
        };
        let text = text.replacen("corrections: [{on", "corrections: [ {on", 1);
        let (root, was) = (edit::parse(&text).expect("a demo case"), read(&text));
        for (path, entry) in address::entries(&root, &TABLE) {
            if !path.starts_with("correction ") {
                one_value_and_its_entry(&text, &was, &path, &entry);
                count += 1;
            }
        }
    }
    assert!(count > 1500, "{count} entries");
}

#[test]
fn the_program_shows_the_difference_and_writes_it() {
    let small = Small::new();
    let before = small.text();
    let args = ["correct", "base", COBB, "27 deg", "--on", "2025-03-02"];
    let (code, out, err) = told(&small.run(&[&args[..], &WHO].concat()));
    assert_eq!((code, err.as_str()), (0, "cases/base.yaml: corrected\n"));
    let shown = "--- cases/base.yaml\n+++ cases/base.yaml\n@@ -30 +30 @@\n";
    assert!(out.starts_with(shown), "{out}");
    let signs = |sign: char| out.lines().skip(2).filter(|l| l.starts_with(sign)).count();
    assert_eq!((signs('-'), signs('+')), (1, 9), "{out}");
    let after = small.text();
    let changed = before.replace("convex: left, cobb: 25 deg", "convex: left, cobb: 27 deg");
    assert_eq!(
        after,
        changed
            + "\ncorrections:\n  - on: 2025-03-02\n    by: hk\n    at: film f1 / reading r1 / curve \
               lumbar / cobb\n    was: 25 deg\n    now: 27 deg\n    because: a slip of the pen\n"
    );
    let (code, _, err) = told(&small.run(&["check"]));
    assert_eq!((code, err.as_str()), (0, "1 case checked: no faults\n"));
}

#[test]
fn nothing_is_written_without_a_yes() {
    let small = Small::new();
    let before = small.text();
    let (code, out, err) =
        told(&small.run(&[&["correct", "base", COBB, "27 deg"], &WHO[..4]].concat()));
    assert_eq!(code, 2);
    assert!(out.contains("+          - {name: lumbar") && out.contains("cobb: 27 deg}"), "{out}");
    assert!(err.contains("nobody is there to say yes; nothing was written"), "{err}");
    assert_eq!(small.text(), before);
}

#[test]
fn what_the_reader_refuses_is_not_written() {
    let small = Small::new();
    let before = small.text();
    for (at, now, fault) in [
        (COBB, "27", "error[missing-unit]"),
        (COBB, "T5", "error[bad-number]"),
        ("film f1 / taken", "2024-13-01", "error["),
        ("film f1 / view", "sideways", "error["),
        ("film f2 / id", "f7", "error[unknown-reference]"),
        ("film f2 / taken", "2025-01-10", "error[film-before-fitting]"),
    ] {
        let (code, _, err) = told(&small.run(&[&["correct", "base", at, now], &WHO[..]].concat()));
        assert_eq!(code, 1, "{at}: {err}");
        assert!(err.contains(fault), "{at} {now}: {err}");
        assert!(err.contains("cases/base.yaml: not written"), "{err}");
    }
    for (args, says) in [
        (
            vec!["base", COBB, "25.0 deg", "--by", "hk", "--because", "x", "--yes"],
            "holds `25 deg` already",
        ),
        (vec!["base", COBB, "", "--by", "hk", "--because", "x", "--yes"], "the new value is empty"),
        (
            vec!["base", COBB, "27 deg", "--by", "zz", "--because", "x", "--yes"],
            "`zz` is not among the people",
        ),
        (
            vec!["base", COBB, "27 deg", "--by", "hk", "--because", " ", "--yes"],
            "no reason is given",
        ),
        (
            vec!["bass", COBB, "27 deg", "--by", "hk", "--because", "x", "--yes"],
            "there is no case `bass`",
        ),
    ] {
        let (code, _, err) = told(&small.run(&[&["correct"], &args[..]].concat()));
        assert_eq!(code, 2, "{err}");
        assert!(err.contains(says), "{err}");
    }
    assert_eq!(small.text(), before);
}

/// A warning is told, and does not keep anybody from correcting.
#[test]
fn a_new_warning_is_told_and_written() {
    let small = Small::new();
    let args = ["correct", "base", "exam 2025-02-10 / height", "150.0 cm"];
    let (code, _, err) = told(&small.run(&[&args[..], &WHO].concat()));
    assert_eq!(code, 0, "{err}");
    assert!(err.contains("warning[") && err.ends_with("cases/base.yaml: corrected\n"), "{err}");
    assert!(small.text().contains("height: 150.0 cm"));
}

#[test]
fn near_misses_are_offered() {
    let small = Small::new();
    let help =
        |at: &str| told(&small.run(&[&["correct", "base", at, "27 deg"], &WHO[..]].concat())).2;
    assert!(
        help("film f1 / reading r1 / curve lumbr / cob")
            .contains(&format!("did you mean `{COBB}`?"))
    );
    assert!(help("curve lumbar / cobb").contains(&format!("    {COBB}: 25 deg\n")));
    assert!(help("film f2 / reading r1").contains("curve thoracic / cobb: 15 deg"));
    let (code, out, _) = told(&small.run(&["correct", "base", "--list", "film f1 / maturity"]));
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "film f1 / maturity / risser / grade: 0\nfilm f1 / maturity / risser / scale: US\n\
         film f1 / maturity / triradiate: open\n"
    );
}

/// The day of an examination is its name: corrections of it made before are
/// still found, and so is the entry.
#[test]
fn a_record_may_be_renamed_by_a_correction() {
    let small = Small::new();
    let run = |at: &str, now: &str, on: &str| {
        let args = ["correct", "base", at, now, "--on", on];
        told(&small.run(&[&args[..], &WHO].concat()))
    };
    assert_eq!(run("exam 2025-02-10 / height", "153.5 cm", "2025-03-01").0, 0);
    assert_eq!(run("exam 2025-02-10 / on", "2025-02-11", "2025-03-02").0, 0);
    assert_eq!(run("exam 2025-02-11 / height", "153.6 cm", "2025-03-03").0, 0);
    let (code, out, err) = told(&small.run(&["check"]));
    assert_eq!((code, out.as_str(), err.as_str()), (0, "", "1 case checked: no faults\n"));
}

/// The demo clinic has issued letters that rest on a reading of fw-0131, once
/// corrected. Changed again by hand, without a correction, it is told; so are
/// landmarks placed again in the same file.
#[test]
fn what_issued_letters_rest_on_is_watched() {
    let clinic = tempfile::tempdir().unwrap();
    let cases = folder().root().join("cases");
    for entry in walkdir::WalkDir::new(&cases).sort_by_file_name() {
        let entry = entry.unwrap();
        let to = clinic.path().join("cases").join(entry.path().strip_prefix(&cases).unwrap());
        match entry.file_type().is_dir() {
            true => fs::create_dir_all(to).unwrap(),
            false => fs::copy(entry.path(), to).map(|_| ()).unwrap(),
        }
    }
    let check = || {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_endplate"));
        command.args(["check", "cases/fw-0131.yaml"]).current_dir(clinic.path());
        told(&command.output().unwrap())
    };
    assert_eq!(check(), (0, String::new(), "1 case checked: no faults\n".to_string()));
    let edit = |file: &str, old: &str, new: &str| {
        let path = clinic.path().join("cases").join(file);
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(old));
        fs::write(path, text.replacen(old, new, 1)).unwrap();
    };
    edit("fw-0131.yaml", "by: ev\n        read: 2025-11-18", "by: lb\n        read: 2025-11-18");
    let (code, out, err) = check();
    assert_eq!((code, err.as_str()), (0, "1 case checked: 1 warning\n"), "{out}");
    let head = "warning[issued-value-changed]: `film f2 / reading r1 / by` holds `lb`; issued \
                with `ev`: fw-0131/l1 version ";
    assert!(out.contains(head), "{out}");
    edit("fw-0131.yaml", "by: lb\n        read: 2025-11-18", "by: ev\n        read: 2025-11-18");
    assert_eq!(check().1, "");
    let marks = clinic.path().join("cases/films/fw-0131-f1.csv");
    let text = fs::read_to_string(&marks).unwrap();
    fs::write(&marks, text + "\n").unwrap();
    let (_, out, _) = check();
    let head = "warning[issued-file-changed]: `films/fw-0131-f1.csv` has changed since this was \
                issued: fw-0131/l";
    assert!(out.contains(head), "{out}");
}

/// Someone saves the file in an editor while the difference is being read.
#[test]
fn a_file_changed_meanwhile_is_left_alone() {
    let small = Small::new();
    let path = small.path(CASE);
    let prepared = correct::prepare(&small.folder(), &path, None, &made(COBB, "27 deg"))
        .unwrap_or_else(|why| panic!("{why:?}"));
    let saved = small.text() + "# a note\n";
    small.write(&saved);
    let held = correct::hold(&path, &|| {}).expect("the folder");
    let error = prepared.write(&held).expect_err("it was changed");
    assert_eq!(io::reason(&error), "it was changed meanwhile by another program");
    assert_eq!(small.text(), saved);
    assert_eq!(small.files("cases"), ["base.yaml", "clinic.yaml", "films/base-f1.csv"]);
}

/// Two at a time take turns, and no correction is lost.
#[test]
fn corrections_at_once_take_turns() {
    let small = Small::new();
    let one = |at: &str, now: &str| {
        let args = [&["correct", "base", at, now], &WHO[..]].concat();
        small
            .command(&args)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap()
    };
    let entries =
        [(COBB, "26 deg"), ("exam 2025-02-10 / height", "153.2 cm"), ("record_no", "MR-7")];
    let running: Vec<_> = entries.iter().map(|(at, now)| one(at, now)).collect();
    for mut child in running {
        assert!(child.wait().unwrap().success());
    }
    let text = small.text();
    assert_eq!(text.matches("    because: a slip of the pen\n").count(), 3, "{text}");
    assert!(text.contains("153.2 cm}") && text.contains("record_no: MR-7\n"), "{text}");
    assert_eq!(told(&small.run(&["check"])).0, 0);
}

#[cfg(unix)]
mod failing {
    use super::*;
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;
    use std::process::{Command, Output};

    fn correct(small: &Small) -> Command {
        small.command(&[&["correct", "base", COBB, "27 deg"], &WHO[..]].concat())
    }

    /// Fails clearly, and the folder is as it was.
    fn assert_untouched(small: &Small, before: &str, output: &Output, why: &str) {
        let (code, _, err) = told(output);
        assert_eq!(
            (code, err.as_str()),
            (
                3,
                format!("error: `cases/base.yaml` cannot be written: {why}; it is as it was\n")
                    .as_str()
            )
        );
        assert_eq!(small.text(), before);
        assert_eq!(small.files("cases"), ["base.yaml", "clinic.yaml", "films/base-f1.csv"]);
    }

    /// As on a full disk: the system takes only the first bytes of the file.
    #[test]
    fn a_file_that_cannot_be_written_whole() {
        let small = Small::new();
        let before = small.text();
        assert!(before.len() > 1024);
        let command = correct(&small);
        let mut shell = Command::new("sh");
        shell.args(["-c", "trap '' XFSZ; ulimit -f 1; exec \"$@\"", "sh"]);
        shell.arg(command.get_program()).args(command.get_args());
        let output = shell.current_dir(small.path("")).output().unwrap();
        assert_untouched(&small, &before, &output, "the system allows no file that large");
    }

    #[test]
    fn a_folder_that_may_not_be_written_to() {
        let small = Small::new();
        let before = small.text();
        let mode = |below: &str, mode| {
            fs::set_permissions(small.path(below), fs::Permissions::from_mode(mode)).unwrap()
        };
        mode("", 0o755);
        mode("cases", 0o555);
        let mut command = correct(&small);
        // Nothing is forbidden to the system's administrator.
        if fs::metadata(small.path("cases")).unwrap().uid() == 0 {
            command.uid(65534);
        }
        // Where the program may not be run as somebody else nothing is tested.
        let Ok(output) = command.output() else { return };
        mode("cases", 0o755);
        assert_untouched(&small, &before, &output, "permission is denied");
    }

    #[test]
    fn a_write_protected_file() {
        let small = Small::new();
        let before = small.text();
        fs::set_permissions(small.path(CASE), fs::Permissions::from_mode(0o444)).unwrap();
        let output = correct(&small).output().unwrap();
        assert_untouched(&small, &before, &output, "it is write-protected");
    }

    #[test]
    fn a_folder_of_the_name_of_a_case_is_no_case() {
        let small = Small::new();
        fs::create_dir(small.path("cases/qa-0002.yaml")).unwrap();
        let args = [&["correct", "qa-0002", COBB, "27 deg"], &WHO[..]].concat();
        let (code, _, err) = told(&small.run(&args));
        assert_eq!((code, err.lines().next()), (2, Some("error: there is no case `qa-0002`")));
    }

    /// The file behind a link is changed, the link stays, and so do the
    /// permissions.
    #[test]
    fn a_case_behind_a_link() {
        let small = Small::new();
        fs::create_dir(small.path("shared")).unwrap();
        let real = small.path("shared/the-case.yaml");
        fs::rename(small.path(CASE), &real).unwrap();
        std::os::unix::fs::symlink(&real, small.path(CASE)).unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o600)).unwrap();
        let (code, _, err) = told(&correct(&small).output().unwrap());
        assert_eq!(code, 0, "{err}");
        assert!(fs::symlink_metadata(small.path(CASE)).unwrap().is_symlink());
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o600);
        assert!(fs::read_to_string(&real).unwrap().contains("now: 27 deg"));
        assert_eq!(small.files("shared"), ["the-case.yaml"]);
    }
}
