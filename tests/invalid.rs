//! Broken case files, each beside the diagnostics it must give.
//!
//! `tests/invalid/NAME.yaml` is read and checked as the case of a small
//! clinic (`tests/invalid/clinic.yaml`); every fault must stand in
//! `NAME.expected` as `line:column severity code message` with its remedy
//! below, and nothing else.
//! Landmark files lie below `tests/invalid/films/`; their faults begin with
//! the file's name. After a deliberate change, run with `ENDPLATE_BLESS=1` to
//! rewrite the expected files, then read every line of the difference as the
//! administrator of a clinic would.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use endplate::diag::{CODES, Code, Report, render};
use endplate::pipeline::io::Folder;
use endplate::pipeline::{Loaded, load};

/// The smallest number of broken cases kept.
const AT_LEAST: usize = 45;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/invalid")
}

fn cases() -> Vec<PathBuf> {
    let mut files: Vec<_> = fs::read_dir(folder().join("cases"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "yaml" || e == "yml"))
        .filter(|path| path.file_name().is_some_and(|name| name != "clinic.yaml"))
        .collect();
    files.sort();
    files
}

fn read(path: &Path) -> Loaded {
    let clinic = Folder::at(&folder()).expect("tests/invalid holds a clinic");
    load(&clinic, &[path.to_path_buf()], 1)
}

/// One line a fault and one for its remedy; faults of another file than the
/// case begin with its name.
fn lines(case: &str, report: &Report) -> String {
    let line = |d: &&endplate::diag::Diagnostic| {
        let concise = render::concise(d);
        let help = d.remedy.as_deref().unwrap_or("");
        match d.place.as_ref().filter(|p| *p.file != *case) {
            Some(place) => format!("{} {concise}\n    help: {help}\n", place.file),
            None => format!("{concise}\n    help: {help}\n"),
        }
    };
    report.sorted().iter().map(line).collect()
}

#[test]
fn every_broken_case_gives_exactly_its_diagnostics() {
    let bless = std::env::var_os("ENDPLATE_BLESS").is_some();
    let mut wrong = Vec::new();
    let files = cases();
    assert!(files.len() >= AT_LEAST, "only {} broken cases", files.len());
    for path in files {
        let loaded = read(&path);
        assert!(loaded.clinic.is_some(), "{}", lines("", &loaded.report));
        let got = lines(&loaded.cases[0].file, &loaded.all_faults());
        let expected = path.with_extension("expected");
        if bless {
            fs::write(&expected, &got).unwrap();
        } else if fs::read_to_string(&expected).unwrap_or_default() != got {
            wrong.push(format!("{}\n{got}", path.display()));
        }
    }
    assert!(wrong.is_empty(), "other diagnostics than expected:\n{}", wrong.join("\n"));
}

#[test]
fn the_base_case_has_no_fault() {
    let loaded = read(&folder().join("cases/base.yaml"));
    let report = loaded.all_faults();
    assert_eq!(lines("cases/base.yaml", &report), "");
}

#[test]
fn every_code_of_a_case_is_shown_by_a_broken_case() {
    // Codes that no single case file can show.
    const ELSEWHERE: &[Code] = &[
        // The reader refuses the file by its size before reading it.
        Code::FileTooLarge,
        // Of the run, not of a case.
        Code::CaseFileName,
        Code::NothingToDo,
        Code::FileUnreadable,
        Code::OutputEdited,
        Code::OutputNotOurs,
        Code::OutputUnwritable,
        Code::InternalFault,
        // Of rules and templates.
        Code::UnknownFact,
        Code::BoundUnit,
        Code::RuleForm,
        Code::RuleDates,
        Code::RuleBands,
        Code::NoPolicyInForce,
        Code::FactOfOtherKind,
        Code::MissingGlyph,
        Code::TypesettingFailed,
        Code::TemplateFault,
        Code::NumberInTemplate,
        Code::PrintsMissing,
        Code::MarkdownNotAllowed,
        Code::EmptyHeading,
        Code::PhraseMissing,
        Code::WordsNotTranslated,
        Code::ReservedCharacter,
        Code::LetterKindUnwritten,
        Code::PayerUnknown,
        Code::LetterLacksItem,
        Code::ClosedToReader,
        // Of the clinic's rules of letters that follow.
        Code::FollowRule,
        Code::DefaultLetterOmitted,
        Code::CriterionUnknown,
        Code::ReadingGrade,
        Code::TradeWordForm,
        Code::RiskNotTold,
        // Of the register.
        Code::EventChanged,
        Code::EventMissing,
        Code::HeadMissing,
        Code::RegisterFork,
        Code::IssuedTwice,
        Code::FrozenMissing,
        Code::FrozenChanged,
        Code::FrozenExtra,
        Code::IssuedValueChanged,
        Code::IssuedFileChanged,
        Code::LetterNotFound,
        Code::CaseHasErrors,
        Code::ActorUnknown,
        Code::LetterUnsigned,
        Code::RedFlagUnanswered,
        Code::AlreadyIssued,
        Code::NotIssued,
        Code::NothingToAmend,
        Code::ReaderChanged,
        Code::ToldOnWrongDay,
        Code::NothingToErase,
        Code::HolderUnknown,
        Code::RecordUnreadable,
        Code::LetterChangedMeanwhile,
        // Of the changes that letters judge, told by `check` alone.
        Code::RoundingDecides,
        // Of the clinic's rules of care, told by `check` alone.
        Code::PlanOutsideProtocol,
        Code::RedFlag,
        Code::AnswerToNoFlag,
        Code::FindingInText,
        Code::FindingNotAsked,
        // What the checks find first.
        Code::LetterContactUnknown,
        Code::LetterSignerUnknown,
        Code::LetterInternal,
    ];
    let seen: BTreeSet<Code> = cases()
        .iter()
        .flat_map(|path| read(path).all_faults().iter().map(|d| d.code).collect::<Vec<_>>())
        .collect();
    let missing: Vec<_> = CODES
        .iter()
        .filter(|(code, _)| !seen.contains(code) && !ELSEWHERE.contains(code))
        .map(|(_, info)| info.name)
        .collect();
    assert_eq!(missing, Vec::<&str>::new(), "codes without a broken case");
}

#[test]
fn the_full_text_of_a_fault_reads_well() {
    let loaded = read(&folder().join("cases/film-before-fitting.yaml"));
    let look = render::Look { unicode: false, ..render::Look::default() };
    let report = loaded.all_faults();
    let texts: Vec<_> =
        report.sorted().iter().map(|d| render::one(d, &loaded.sources, look)).collect();
    insta::assert_snapshot!(texts.concat(), @r"
    cases/film-before-fitting.yaml:36:12: error[film-before-fitting]: film `f2` of 2025-01-10 is in `b1`, which was first fitted on 2025-02-10
        ,-[36:12]
     35 |   - id: f2
     36 |     taken: 2025-01-10
        :            ^^^^^^^^^^
     37 |     view: frontal
        `----
        ,-[58:14]
     57 |     fittings:
     58 |       - {on: 2025-02-10, what: delivered, film: f2}
        :              ^^^^^|^^^^
        :                   `-- first fitted
     59 |     hours:
        `----
      help: correct the film's date or `support:`, or the first fitting
    ");
}
