//! Case files from disk: read, checked, every fault kept with its file.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::index::Seen;
use crate::case::check::check;
use crate::case::enclose::enclose;
use crate::case::film_image::load_images;
use crate::case::follow;
use crate::case::read::{beside, decode, read_case, read_clinic};
use crate::case::{Case, Clinic};
use crate::diag::{Code, Diagnostic, Place, Report, Sources};
use crate::digest::Digest;
use crate::facts::derive;
use crate::facts::known::repeats_apart;
use crate::render::Coverage;
use crate::rules::codes;
use crate::rules::items::{self, ItemTable};
use crate::rules::readers::{self, Readers};

use super::io::{self, Folder};
use super::letter::read_readers;
use super::workers;
use super::{embedded, glyphs};

/// The case files of one run and all that was found wrong with them.
#[derive(Debug)]
pub struct Loaded {
    /// The clinic, if its file could be read.
    pub clinic: Option<Clinic>,
    /// Case files in the order of their names.
    pub cases: Vec<LoadedCase>,
    /// Faults of no single case: the clinic's file, paths that do not exist.
    pub report: Report,
    /// Texts of the files read, for snippets.
    pub sources: Sources,
}

/// One case file.
#[derive(Debug)]
pub struct LoadedCase {
    /// Its path as shown.
    pub file: String,
    /// The case, if enough of it could be read.
    pub case: Option<Case>,
    /// Everything wrong with it.
    pub report: Report,
    /// Digest of its bytes, if they could be read.
    pub own: Option<Digest>,
    /// The files it names, by the path as written, and what reading them gave.
    pub beside: BTreeMap<String, Seen>,
}

impl LoadedCase {
    /// The case, if nothing forbids using it.
    pub fn sound(&self) -> Option<&Case> {
        self.case.as_ref().filter(|_| !self.report.has_errors())
    }
}

impl Loaded {
    /// All faults: the clinic's first, then those of each case.
    pub fn all_faults(&self) -> Report {
        let mut all = self.report.clone();
        for case in &self.cases {
            all.extend(case.report.clone());
        }
        all
    }
}

/// Reads and checks the clinic's file and the case files below the paths (all
/// of the clinic's, if none is given), `jobs` at a time.
pub fn load(folder: &Folder, paths: &[PathBuf], jobs: usize) -> Loaded {
    let survey = survey(folder, paths);
    let files = survey.files.clone();
    read(folder, survey, &files, jobs)
}

/// What is known before any case file is opened.
#[derive(Debug, Clone)]
pub(super) struct Survey {
    /// The clinic, if its file could be read.
    pub clinic: Option<Clinic>,
    /// Case files, each once, in the order of their names.
    pub files: Vec<PathBuf>,
    /// Faults of the clinic's file, and paths that do not exist.
    pub report: Report,
    /// The clinic's text.
    pub sources: Sources,
}

/// Reads the clinic's file and lists the case files.
pub(super) fn survey(folder: &Folder, paths: &[PathBuf]) -> Survey {
    let mut report = Report::default();
    let mut sources = Sources::default();
    let clinic = load_clinic(folder, &mut report, &mut sources);
    let files = files(folder, paths, &mut report);
    Survey { clinic, files, report, sources }
}

/// Reads and checks some of the case files.
pub(super) fn read(folder: &Folder, survey: Survey, files: &[PathBuf], jobs: usize) -> Loaded {
    let Survey { clinic, mut report, mut sources, .. } = survey;
    if files.is_empty() {
        return Loaded { clinic, cases: Vec::new(), report, sources };
    }
    let rules = Rules::of(folder);
    let against = Against { clinic: clinic.as_ref(), rules: &rules };
    if let Some(clinic) = &clinic {
        readers::check_clinic(clinic, &rules.readers, &mut report);
    }
    let one = |path: &PathBuf| load_case(folder, path, &against);
    let read = match workers::run(files, jobs, one, |_| {}) {
        Ok(read) => read,
        Err(why) => {
            report.push(Diagnostic::new(Code::InternalFault, None, why));
            Vec::new()
        }
    };
    let mut cases = Vec::new();
    for (path, result) in files.iter().zip(read) {
        let file = folder.shown(path);
        let (case, texts) = result.unwrap_or_else(|why| (broken(&file, &why), Texts::new()));
        for (name, text) in texts {
            sources.insert(&name, &text);
        }
        cases.push(case);
    }
    twice(&mut cases);
    Loaded { clinic, cases, report, sources }
}

/// A case whose reading failed inside the program.
fn broken(file: &str, why: &str) -> LoadedCase {
    let mut report = Report::default();
    let message = format!("the program failed while reading this case: {why}");
    report.add(Code::InternalFault, &Place::whole(file), message);
    unread(file, report)
}

fn unread(file: &str, report: Report) -> LoadedCase {
    let beside = BTreeMap::new();
    LoadedCase { file: file.to_string(), case: None, report, own: None, beside }
}

/// The clinic's own file, whatever is wrong with it.
pub(super) fn clinic_of(folder: &Folder) -> Option<Clinic> {
    load_clinic(folder, &mut Report::default(), &mut Sources::default())
}

fn load_clinic(folder: &Folder, report: &mut Report, sources: &mut Sources) -> Option<Clinic> {
    let path = folder.clinic_file();
    // A single case may be checked where there is no clinic.
    if !io::exists(&path) {
        return None;
    }
    let file = folder.shown(&path);
    let text = read_text(&path, &file, report)?;
    sources.insert(&file, &text);
    let clinic = read_clinic(&text, &file, report)?;
    follow::check(&clinic, report);
    Some(clinic)
}

fn read_text(path: &Path, file: &str, report: &mut Report) -> Option<String> {
    decode(&read_bytes(path, file, report)?, file, report)
}

fn read_bytes(path: &Path, file: &str, report: &mut Report) -> Option<Vec<u8>> {
    match io::read(path) {
        Ok(bytes) => Some(bytes),
        Err(error) => {
            let message = format!("`{file}` cannot be read: {}", io::reason(&error));
            report.push(Diagnostic::new(Code::FileUnreadable, None, message));
            None
        }
    }
}

/// The case files below the paths, each once.
fn files(folder: &Folder, paths: &[PathBuf], report: &mut Report) -> Vec<PathBuf> {
    let all = [folder.root().join("cases")];
    let mut files: BTreeMap<String, PathBuf> = BTreeMap::new();
    for path in if paths.is_empty() { &all[..] } else { paths } {
        match io::case_files(path) {
            Ok(found) => {
                if found.is_empty() {
                    let message = format!("no case file below `{}`", folder.shown(path));
                    report.push(Diagnostic::new(Code::NothingToDo, None, message));
                }
                files.extend(found.into_iter().map(|path| (folder.shown(&path), path)));
            }
            Err(error) => {
                let shown = folder.shown(path);
                let message = format!("`{shown}` cannot be read: {}", io::reason(&error));
                report.push(Diagnostic::new(Code::FileUnreadable, None, message));
            }
        }
    }
    files.into_values().collect()
}

/// Rules and fonts that cases are held against; faults of their files are
/// told where letters are opened.
struct Rules {
    items: Option<ItemTable>,
    readers: Readers,
    coverage: Coverage,
}

impl Rules {
    fn of(folder: &Folder) -> Rules {
        let mut told = Report::default();
        let (name, text) = embedded::item_codes(folder);
        Rules {
            items: items::read(&text, &name, &mut told),
            readers: read_readers(&embedded::readers(folder, &mut told), &mut told),
            coverage: Coverage::with(embedded::fonts(folder)),
        }
    }
}

/// What a case is held against, the same for all.
struct Against<'a> {
    clinic: Option<&'a Clinic>,
    rules: &'a Rules,
}

/// What must hold between records, whether curves can be followed, and the
/// codes recorded.
fn examine(case: &Case, against: &Against, text: &str, report: &mut Report) {
    let clinic = against.clinic;
    let broken = report.has_errors();
    check(case, clinic, report);
    readers::check(case, &against.rules.readers, report);
    if broken {
        report.retain(|d| !names_what_was_left_out(d, text));
    }
    if !report.has_errors() {
        derive::tracks(&derive::filled(repeats_apart(case.clone())), report);
    }
    if let Some(table) = against.rules.items.as_ref().filter(|_| !broken) {
        items::check(case, table, report);
    }
    if let Some(clinic) = clinic.filter(|_| !report.has_errors()) {
        diagnosis_codes(case, clinic, report);
        if let Some(table) = &against.rules.items {
            item_words(case, clinic, table, report);
        }
    }
}

/// Item codes whose words say scoliosis, on what is known at the end of the
/// record.
fn item_words(case: &Case, clinic: &Clinic, table: &ItemTable, report: &mut Report) {
    let named = items::say_scoliosis(case, table);
    if !named.is_empty() {
        let derived = derive::derive(case, clinic, last_day(case), None);
        items::against_diagnosis(&named, &derived.facts, report);
    }
}

/// Recorded diagnosis codes, on what is known at the end of the record.
fn diagnosis_codes(case: &Case, clinic: &Clinic, report: &mut Report) {
    let recorded = &case.diagnosis;
    let listed = recorded.codes_first.iter().chain(&recorded.code).chain(&recorded.codes_after);
    if listed.count() > 0 {
        let derived = derive::derive(case, clinic, last_day(case), None);
        codes::check(recorded, &derived.facts, report);
    }
}

/// The last day of which a case records anything that facts follow from.
pub fn last_day(case: &Case) -> NaiveDate {
    let films = case.films.iter().flat_map(|f| {
        f.readings.iter().chain(&f.repeats).map(|r| r.read.value).chain([f.taken.value])
    });
    let exams = case.exams.iter().map(|e| e.on.value);
    let plans = case.plans.iter().map(|p| p.on.value);
    let letters = case.letters.iter().map(|l| l.as_of.value);
    let logs = case.treatments.iter().filter_map(|t| t.wear.as_ref()?.downloaded.as_ref());
    let fittings = case.treatments.iter().flat_map(|t| &t.fittings).map(|f| f.on.value);
    let all = films.chain(exams).chain(plans).chain(letters).chain(fittings);
    all.chain(logs.map(|day| day.value)).max().unwrap_or(case.patient.born.value)
}

/// Whether a fault only says that a record is unknown which the reader left
/// out because of a fault of its own: its id stands in the text.
fn names_what_was_left_out(diagnostic: &Diagnostic, text: &str) -> bool {
    let named = diagnostic.place.as_ref().and_then(|p| text.get(p.start..p.end));
    let (Code::UnknownReference, Some(name)) = (diagnostic.code, named) else { return false };
    let name = name.trim_matches(['"', '\'']);
    let declares = |rest: &str| {
        let rest = rest.trim_start().trim_start_matches(['"', '\'']);
        let after = rest.strip_prefix(name).and_then(|r| r.chars().next());
        rest.starts_with(name) && after.is_none_or(|c| !c.is_alphanumeric() && c != '-' && c != '_')
    };
    text.split("id:").skip(1).any(declares)
}

type Texts = Vec<(String, String)>;

/// One case, and the texts it was read from.
fn load_case(folder: &Folder, path: &Path, against: &Against) -> (LoadedCase, Texts) {
    let file = folder.shown(path);
    let mut report = Report::default();
    let bytes = read_bytes(path, &file, &mut report);
    let own = bytes.as_ref().map(|bytes| Digest::of(bytes));
    let Some(text) = bytes.and_then(|bytes| decode(&bytes, &file, &mut report)) else {
        return (LoadedCase { own, ..unread(&file, report) }, Texts::new());
    };
    let (loaded, texts) = of_text(path, file, text, against, report);
    (LoadedCase { own, ..loaded }, texts)
}

/// The text of a case file, and the case it would be with another text in its
/// place; files beside it are read as they are.
#[derive(Debug)]
pub struct Instead {
    /// The case as it is.
    pub before: LoadedCase,
    /// The case as it would be.
    pub after: LoadedCase,
    /// The texts read, that of the case as it would be.
    pub sources: Sources,
}

/// Reads a case twice, from its file and from what `change` makes of its text;
/// nothing is written.
pub fn instead(
    folder: &Folder,
    path: &Path,
    clinic: Option<&Clinic>,
    change: impl FnOnce(&str) -> Result<String, String>,
) -> Result<Instead, String> {
    let file = folder.shown(path);
    let mut report = Report::default();
    let Some(text) = read_text(path, &file, &mut report) else {
        let why = report.iter().map(|d| d.message.clone()).next();
        return Err(why.unwrap_or_else(|| format!("`{file}` cannot be read")));
    };
    let changed = change(&text)?;
    let rules = Rules::of(folder);
    let against = Against { clinic, rules: &rules };
    let (before, _) = of_text(path, file.clone(), text, &against, Report::default());
    let (after, texts) = of_text(path, file, changed, &against, Report::default());
    let mut sources = Sources::default();
    texts.iter().for_each(|(name, text)| sources.insert(name, text));
    Ok(Instead { before, after, sources })
}

/// A case from its text, and all texts that were read.
fn of_text(
    path: &Path,
    file: String,
    text: String,
    against: &Against,
    mut report: Report,
) -> (LoadedCase, Texts) {
    let texts = RefCell::new(Texts::new());
    let beside_it = RefCell::new(BTreeMap::new());
    let load = |name: &str| {
        let read = io::read_beside(path, name);
        beside_it.borrow_mut().insert(name.to_string(), Seen::of(&read));
        let bytes = read.map_err(|e| io::reason(&e))?;
        let text = String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_string())?;
        texts.borrow_mut().push((beside(&file, name), text.clone()));
        Ok(text)
    };
    let mut case = read_case(&text, &file, &load, &mut report);
    if let Some(case) = &mut case {
        let bytes = |name: &str| {
            let read = io::read_beside(path, name);
            beside_it.borrow_mut().insert(name.to_string(), Seen::of(&read));
            read.map_err(|e| io::reason(&e))
        };
        enclose(case, &bytes, &mut report);
        load_images(case, &bytes, &mut report);
        if let Some(clinic) = against.clinic {
            follow::follow(case, clinic, &mut report);
        }
        examine(case, against, &text, &mut report);
    }
    glyphs::check(&text, &file, &against.rules.coverage, &mut report);
    let mut texts = texts.into_inner();
    texts.push((file.clone(), text));
    // Whoever read the bytes knows their digest.
    let beside = beside_it.into_inner();
    (LoadedCase { file, case, report, own: None, beside }, texts)
}

/// A text as the case of a path, with all that is wrong with it; nothing is
/// read from the path itself, only what the text names beside it.
pub fn load_text(
    folder: &Folder,
    path: &Path,
    text: &str,
    clinic: Option<&Clinic>,
) -> (LoadedCase, Vec<(String, String)>) {
    let mut report = Report::default();
    let file = folder.shown(path);
    let Some(text) = decode(text.as_bytes(), &file, &mut report) else {
        return (unread(&file, report), Texts::new());
    };
    let rules = Rules::of(folder);
    let against = Against { clinic, rules: &rules };
    of_text(path, file, text, &against, report)
}

/// Two files that carry one id would write the same letters.
fn twice(cases: &mut [LoadedCase]) {
    let mut first: BTreeMap<String, Place> = BTreeMap::new();
    for loaded in cases.iter_mut() {
        let Some(id) = loaded.case.as_ref().map(|c| &c.id) else { continue };
        if let Some(other) = first.get(&id.value) {
            let message = format!("case `{}` is also in {}", id.value, other.file);
            let fault = Diagnostic::new(Code::CaseFileName, Some(id.place.clone()), message);
            loaded.report.push(fault.related(other.clone(), "the other file"));
        } else {
            first.insert(id.value.clone(), id.place.clone());
        }
    }
}
