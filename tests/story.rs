//! The story of one mistake: five letters leave over a year, one reading of
//! the first film turns out wrong, and every letter that told it is found and
//! replaced. The clock is handed in, so that each run tells the same story.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use chrono::NaiveDate;
use endplate::case::edit::{self, Correction};
use endplate::diag::{Code, Report};
use endplate::digest::Digest;
use endplate::pipeline::impact::{Class, Touched};
use endplate::pipeline::io::Folder;
use endplate::pipeline::issue::{Act, Amendment, Desk, Done, Record};
use endplate::pipeline::{Archive, Press, load};
use endplate::register::verify::Checked;
use endplate::register::{DocumentId, Freeze, Moment, State};

use crate::support::generated;

/// The first reading of the first film, as typed wrongly and as it is: 47 is
/// a number that nothing else in the letters has.
const WRONG: &str = "47 deg";
const RIGHT: &str = "33 deg";
const LETTERS: &str = "letters:
  - {id: l1, kind: progress, to: gp, copies: [home], as_of: 2022-03-14, signed_by: lb}
  - {id: l2, kind: progress, to: home, as_of: 2022-03-14, signed_by: ev, signed: 2022-03-15}
  - {id: l3, kind: progress, to: gp, copies: [home], as_of: 2022-09-14, signed_by: lb}
  - {id: l4, kind: progress, to: home, as_of: 2023-03-14, signed_by: lb}
  - {id: l5, kind: surgical opinion, to: surgeon, copies: [gp], as_of: 2023-03-14, signed_by: lb}
  - {id: l6, kind: progress, to: gp, as_of: 2023-03-14, signed_by: ev}
  - {id: l7, kind: progress, to: gp, as_of: 2023-03-14, signed_by: lb, adds_to: l5}
answers:
  - {flag: fast-progression, on: 2022-09-13, by: ev, what: imaging done}
  - {flag: fast-progression, on: 2023-03-13, by: ev, what: imaging done}
";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A clinic in a folder of its own.
struct Clinic {
    dir: tempfile::TempDir,
    case: PathBuf,
    id: String,
    /// The way to the reading that was wrong.
    at: String,
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn at(text: &str) -> Moment {
    text.parse().unwrap()
}

fn act(text: &str) -> Act<'_> {
    Act { by: "lb", at: at(text) }
}

impl Clinic {
    /// A generated case of one curve whose first film has no landmarks, so
    /// that the typed angle counts.
    fn new() -> Clinic {
        let one = |c: &generated::Generated| {
            let first = c.text.split("- id: f1").next().unwrap();
            !c.text.contains("-f0.csv") && first.matches("cobb:").count() == 1
        };
        let long = |c: &generated::Generated| c.text.contains("- id: f3");
        let made = (0..500).map(generated::case).find(|c| one(c) && long(c)).unwrap();
        let dir = tempfile::tempdir().unwrap();
        let cases = dir.path().join("cases");
        fs::create_dir_all(cases.join("films")).unwrap();
        fs::copy(root().join("cases/clinic.yaml"), cases.join("clinic.yaml")).unwrap();
        for (path, text) in &made.landmarks {
            fs::write(cases.join(path), text).unwrap();
        }
        let (head, _) = made.text.split_once("letters:").unwrap();
        let start = head.find("cobb: ").unwrap() + "cobb: ".len();
        let end = start + head[start..].find('}').unwrap();
        let text = format!("{}{WRONG}{}{LETTERS}", &head[..start], &head[end..]);
        let name = head[..start].rsplit("{name: ").next().unwrap().split(',').next().unwrap();
        let at = format!("film f0 / reading r1 / curve {name} / cobb");
        let case = cases.join(format!("{}.yaml", made.id));
        fs::write(&case, text).unwrap();
        Clinic { dir, case, id: made.id, at }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join("cases/issued").join(name)
    }

    fn letter(&self, id: &str) -> DocumentId {
        DocumentId::new(&self.id, id)
    }

    /// Loads everything and works at a desk, as each command does.
    fn desk<T>(&self, work: impl FnOnce(&Desk) -> T) -> T {
        let folder = Folder::at(self.dir.path()).unwrap();
        let loaded = load(&folder, &[], 1);
        let press = Press::open(&folder);
        work(&Desk::new(&folder, &loaded, &press, &|| {}))
    }

    fn issue(&self, letter: &str, when: &str) -> Result<Done, Report> {
        self.desk(|desk| desk.issue(&self.letter(letter), act(when)))
    }

    fn amend(&self, letter: &str, when: &str) -> Result<Done, Report> {
        self.amend_by("lb", letter, when)
    }

    fn amend_by(&self, by: &str, letter: &str, when: &str) -> Result<Done, Report> {
        let amendment = Amendment { reason: "transcription", advice_changes: false };
        let act = Act { by, at: at(when) };
        self.desk(|desk| desk.amend(&self.letter(letter), act, amendment))
    }

    fn impact(&self) -> Vec<Touched> {
        self.desk(|desk| desk.impact(&[])).unwrap_or_else(|r| panic!("{}", told(&r)))
    }

    fn correct(&self) {
        let text = fs::read_to_string(&self.case).unwrap();
        let correction = Correction {
            at: &self.at,
            now: RIGHT,
            on: day("2023-04-03"),
            by: "lb",
            because: "read from another film",
        };
        fs::write(&self.case, edit::correct(&text, &correction).unwrap().text).unwrap();
    }

    fn record(&self, letter: &str, version: u32) -> Record {
        let name = format!("letters/{}-{letter}-v{version}.json", self.id);
        Record::read(&fs::read(self.path(&name)).unwrap()).unwrap()
    }

    fn verify(&self) -> (Checked, Report) {
        let mut report = Report::default();
        let folder = Folder::at(self.dir.path()).unwrap();
        (Archive::of(&folder).verify(&mut report).unwrap(), report)
    }

    /// Every frozen file with its digest.
    fn frozen(&self) -> BTreeMap<String, Digest> {
        let read = |entry: fs::DirEntry| {
            let bytes = fs::read(entry.path()).unwrap();
            (entry.file_name().into_string().unwrap(), Digest::of(&bytes))
        };
        fs::read_dir(self.path("letters")).unwrap().map(|e| read(e.unwrap())).collect()
    }
}

fn told(report: &Report) -> String {
    report.iter().map(|d| format!("{}: {}\n", d.code.name(), d.message)).collect()
}

fn codes(result: Result<Done, Report>) -> Vec<Code> {
    match result {
        Ok(done) => panic!("{} went out", done.instance),
        Err(report) => report.iter().map(|d| d.code).collect(),
    }
}

fn must(result: Result<Done, Report>) -> Done {
    result.unwrap_or_else(|report| panic!("{}", told(&report)))
}

/// The five letters of a year, one of them signed by somebody else before.
fn a_year(clinic: &Clinic) {
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    must(clinic.issue("l2", "2022-03-15T09:05:00Z"));
    must(clinic.issue("l3", "2022-09-15T10:00:00Z"));
    must(clinic.issue("l4", "2023-03-15T10:00:00Z"));
    must(clinic.issue("l5", "2023-03-15T10:10:00Z"));
}

#[test]
fn a_mistake_is_followed_into_every_letter_that_told_it() {
    let clinic = Clinic::new();
    a_year(&clinic);
    assert!(clinic.impact().iter().all(|t| class(t) == Class::Unchanged));
    let before = clinic.frozen();
    assert_eq!(before.len(), 10);
    // The letters that tell the first film are those in whose words its angle
    // stands; they were written before anyone knew that it is wrong.
    let letters = ["l1", "l2", "l3", "l4", "l5"];
    let tells = |l: &&str| clinic.record(l, 1).text.contains("47");
    let telling: Vec<&str> = letters.into_iter().filter(tells).collect();
    assert!((3..5).contains(&telling.len()), "{telling:?}");
    clinic.correct();
    let touched = clinic.impact();
    let numbers = touched.iter().filter(|t| class(t) == Class::Numbers);
    let found: Vec<&str> = numbers.map(|t| t.document.letter()).collect();
    assert_eq!(found, telling);
    assert!(touched.iter().all(|t| matches!(class(t), Class::Numbers | Class::Unchanged)));
    told_in_full(&touched[0], &clinic.at);
    for letter in &telling {
        // What ev signed was the wrong version: now ev acts.
        let by = if *letter == "l2" { "ev" } else { "lb" };
        let done = must(clinic.amend_by(by, letter, "2023-04-03T11:00:00Z"));
        assert_eq!(done.instance.version, 2);
    }
    let after = clinic.frozen();
    for (file, digest) in &before {
        assert_eq!(after.get(file), Some(digest), "{file} is not as it was");
    }
    assert_eq!(after.len(), 10 + 2 * telling.len());
    assert!(clinic.impact().iter().all(|t| class(t) == Class::Unchanged));
    let (checked, report) = clinic.verify();
    assert!(report.is_empty(), "{}", told(&report));
    assert_eq!((checked.events, checked.sound), (5 + telling.len(), after.len()));
    the_box_says_it(&clinic.record("l1", 2));
}

fn class(touched: &Touched) -> Class {
    touched.difference.as_ref().unwrap_or_else(|r| panic!("{}", told(r))).class
}

/// Sentences, value, record, correction and holders of the first letter.
fn told_in_full(first: &Touched, path: &str) {
    let difference = first.difference.as_ref().unwrap();
    let sentence = difference.sentences.iter().find(|s| {
        s.old.as_ref().is_some_and(|s| s.contains("47°"))
            && s.new.as_ref().is_some_and(|s| s.contains("33°"))
    });
    assert!(sentence.is_some(), "{:?}", difference.sentences);
    let [entry] = &difference.entries[..] else { panic!("{:?}", difference.entries) };
    assert_eq!(entry.path, path);
    assert_eq!((entry.old.as_deref(), entry.new.as_deref()), (Some(WRONG), Some(RIGHT)));
    assert_eq!(entry.correction, Some(("lb".to_string(), "2023-04-03".to_string())));
    let holders: Vec<&str> = first.holders.iter().map(|h| h.contact.as_str()).collect();
    assert_eq!(holders, ["gp", "home"]);
}

fn the_box_says_it(record: &Record) {
    let words = record.text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Amended, version 2. This letter replaces version 1 of letter"));
    assert!(words.contains("now: Cobb angle 47° 33°"), "{words}");
    assert!(words.contains("an error of transcription"), "{words}");
    assert!(
        words.contains("Amended on 3 April 2023 by Linnet Barrowe. Our advice does not change.")
    );
    assert!(words.contains("version 2, register "), "{words}");
}

#[test]
fn what_may_not_leave_stays() {
    let clinic = Clinic::new();
    let when = "2023-03-16T10:00:00Z";
    // Signed by another, who has not signed; added to a letter not issued.
    assert_eq!(codes(clinic.issue("l6", when)), [Code::LetterUnsigned]);
    assert_eq!(codes(clinic.issue("l7", when)), [Code::NotIssued]);
    assert_eq!(codes(clinic.issue("l9", when)), [Code::LetterNotFound]);
    let nobody = Act { by: "zz", at: at(when) };
    let result = clinic.desk(|desk| desk.issue(&clinic.letter("l1"), nobody));
    assert_eq!(codes(result), [Code::ActorUnknown]);
    must(clinic.issue("l1", when));
    assert_eq!(codes(clinic.issue("l1", when)), [Code::AlreadyIssued]);
    assert_eq!(codes(clinic.amend("l1", when)), [Code::NothingToAmend]);
    assert_eq!(codes(clinic.amend("l3", when)), [Code::NotIssued]);
    // A reader who may not get that kind is an error of the case.
    let text = fs::read_to_string(&clinic.case).unwrap();
    let closed = text.replacen("role: family,", "role: family, may_receive: [],", 1);
    fs::write(&clinic.case, closed).unwrap();
    let refused = codes(clinic.issue("l3", when));
    assert!(refused.contains(&Code::CaseHasErrors), "{refused:?}");
    assert!(refused.contains(&Code::ReaderMayNotReceive), "{refused:?}");
    assert_eq!(clinic.frozen().len(), 2);
}

#[test]
fn a_holder_is_owed_the_news_until_they_know() {
    let clinic = Clinic::new();
    a_year(&clinic);
    clinic.correct();
    must(clinic.amend("l1", "2023-04-03T11:00:00Z"));
    let owed = || -> Vec<String> {
        let debts = clinic.desk(|desk| desk.owed()).unwrap_or_default();
        debts.iter().map(|d| format!("{} {} {:?}", d.contact, d.about, d.holds)).collect()
    };
    assert_eq!(owed(), ["gp 2 [1]", "home 2 [1]"]);
    let tell = |contact: &str| {
        let (letter, on) = (clinic.letter("l1"), day("2023-04-04"));
        clinic
            .desk(|desk| desk.told(&letter, contact, act("2023-04-04T08:00:00Z"), on, "telephone"))
    };
    must(tell("gp"));
    assert_eq!(codes(tell("gp")), [Code::HolderUnknown]);
    assert_eq!(codes(tell("surgeon")), [Code::HolderUnknown]);
    assert_eq!(owed(), ["home 2 [1]"]);
    // A withdrawal has its own notice, and its readers are owed it.
    let l3 = clinic.letter("l3");
    let when = act("2023-04-05T08:00:00Z");
    let done = must(clinic.desk(|desk| desk.withdraw(&l3, when, "wrong patient")));
    assert!(done.file.unwrap().ends_with("-l3-v1-withdrawn.pdf"));
    assert_eq!(owed(), ["home 2 [1]", "gp 1 [1]", "home 1 [1]"]);
    assert_eq!(codes(clinic.amend("l3", "2023-04-05T09:00:00Z")), [Code::NotIssued]);
    // An addendum is a letter of its own and overtakes nothing.
    must(clinic.issue("l7", "2023-04-05T10:00:00Z"));
    let documents = clinic.desk(|desk| desk.documents()).unwrap_or_default();
    assert_eq!(documents[&clinic.letter("l7")].versions[0].state, State::Addendum);
    assert_eq!(documents[&clinic.letter("l5")].versions[0].state, State::Issued);
    assert!(clinic.record("l7", 1).text.contains("Addendum. This letter adds to version 1"));
    let house = clinic.dir.path().join("cases/clinic.yaml");
    let text = fs::read_to_string(&house).unwrap();
    fs::write(&house, text.replace("phone: 0555 010 3300", "phone: 0555 010 3301")).unwrap();
    must(clinic.amend("l7", "2023-04-06T10:00:00Z"));
    let amended = clinic.record("l7", 2).text;
    assert!(amended.contains("Amended, version 2.") && amended.contains("Addendum. This letter"));
    assert!(amended.contains("Words have changed; no number and no verdict has."), "{amended}");
    // What the law has destroyed is gone, and the register says so.
    let result = clinic.desk(|desk| desk.erase(&l3, None, when, "order 7 of 2023"));
    assert_eq!(result.map(|done| done.len()).ok(), Some(1));
    assert!(!clinic.path(&format!("letters/{}-l3-v1.pdf", clinic.id)).exists());
    assert!(!clinic.path(&format!("letters/{}-l3-v1-withdrawn.pdf", clinic.id)).exists());
    let (checked, report) = clinic.verify();
    assert!(report.is_empty(), "{}", told(&report));
    assert_eq!(checked.erased, 1);
}

/// Changes the case file.
fn retype(clinic: &Clinic, old: &str, new: &str) {
    let text = fs::read_to_string(&clinic.case).unwrap();
    assert!(text.contains(old), "{old}");
    fs::write(&clinic.case, text.replacen(old, new, 1)).unwrap();
}

#[test]
fn a_withdrawal_goes_to_those_who_hold_the_version() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    let l1 = "id: l1, kind: progress, to: gp, copies: [home]";
    retype(&clinic, l1, "id: l1, kind: progress, to: surgeon, copies: []");
    let text = fs::read_to_string(&clinic.case).unwrap();
    let withdraw = || {
        let when = act("2022-03-16T09:00:00Z");
        clinic.desk(|desk| desk.withdraw(&clinic.letter("l1"), when, "wrong reader"))
    };
    // A holder whom the case no longer has cannot be written to.
    retype(&clinic, "{id: home,", "{id: house,");
    let refused = withdraw().unwrap_err();
    let gone = told(&refused);
    assert!(gone.contains("letter-contact-unknown: `home` holds "), "{gone}");
    fs::write(&clinic.case, text).unwrap();
    // The notice is the one that would go out had nobody changed the reader.
    let notice = |done: Done| fs::read(clinic.dir.path().join(done.file.unwrap())).unwrap();
    let sent = notice(must(withdraw()));
    let other = Clinic::new();
    must(other.issue("l1", "2022-03-15T09:00:00Z"));
    let when = act("2022-03-16T09:00:00Z");
    let done = other.desk(|desk| desk.withdraw(&other.letter("l1"), when, "wrong reader"));
    let as_held = fs::read(other.dir.path().join(must(done).file.unwrap())).unwrap();
    assert!(sent == as_held, "the notice went to somebody else");
}

#[test]
fn an_amended_letter_goes_to_the_holders_of_the_wrong_one() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    let l1 = "id: l1, kind: progress, to: gp, copies: [home]";
    retype(&clinic, l1, "id: l1, kind: progress, to: gp, copies: [surgeon]");
    assert_eq!(class(&clinic.impact()[0]), Class::Unchanged);
    clinic.correct();
    let when = "2023-04-03T11:00:00Z";
    let text = fs::read_to_string(&clinic.case).unwrap();
    retype(&clinic, "id: l1, kind: progress, to: gp", "id: l1, kind: progress, to: home");
    assert_eq!(codes(clinic.amend("l1", when)), [Code::ReaderChanged]);
    let asked = clinic.desk(|desk| desk.to_amend(&clinic.letter("l1"))).unwrap_err();
    assert_eq!(asked.iter().map(|d| d.code).collect::<Vec<_>>(), [Code::ReaderChanged]);
    fs::write(&clinic.case, text).unwrap();
    must(clinic.amend("l1", when));
    let documents = clinic.desk(|desk| desk.documents()).unwrap_or_default();
    let versions = &documents[&clinic.letter("l1")].versions;
    assert_eq!(versions[1].issue.recipients, versions[0].issue.recipients);
}

#[test]
fn nobody_is_told_before_the_news_or_on_a_day_to_come() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    clinic.correct();
    must(clinic.amend("l1", "2023-04-03T11:00:00Z"));
    let l1 = clinic.letter("l1");
    let tell = |contact: &str, on: &str| {
        let when = act("2023-04-10T08:00:00Z");
        clinic.desk(|desk| desk.told(&l1, contact, when, day(on), "telephone"))
    };
    // Owed since 3 April, recorded on 10 April; one day either way is the
    // difference between the clinic's time and the register's.
    for on in ["2022-03-15", "2023-04-01", "2023-04-12", "2032-04-05"] {
        assert_eq!(codes(tell("gp", on)), [Code::ToldOnWrongDay], "{on}");
    }
    must(tell("gp", "2023-04-02"));
    must(tell("home", "2023-04-11"));
}

#[test]
fn an_erasure_leaves_nothing_and_destroys_nothing_unsaid() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    let (l1, when) = (clinic.letter("l1"), act("2022-03-16T09:00:00Z"));
    // Left by runs that were stopped before their event, and one of another letter.
    let left = |name: &str| clinic.path(&format!("letters/{}-{name}", clinic.id));
    let names = ["l1-v1-0123456789abcdef.pdf", "l1-v2.json", "l1-v20.pdf"];
    names.iter().for_each(|name| fs::write(left(name), "left").unwrap());
    let erase = |version| {
        let done = clinic.desk(|desk| desk.erase(&l1, version, when, "order 7 of 2023"));
        done.map(|list| list.iter().map(|d| d.instance.version).collect::<Vec<_>>())
    };
    let code = |result: Result<Vec<u32>, Report>| -> Vec<Code> {
        result.unwrap_err().iter().map(|d| d.code).collect()
    };
    assert_eq!(code(erase(Some(7))), [Code::NotIssued]);
    assert_eq!(erase(None).ok(), Some(vec![1, 2]));
    assert_eq!(names.map(|name| left(name).exists()), [false, false, true]);
    fs::remove_file(left("l1-v20.pdf")).unwrap();
    assert_eq!(code(erase(None)), [Code::NothingToErase]);
    // The notice of a later withdrawal stands until an event says otherwise.
    must(clinic.desk(|desk| desk.withdraw(&l1, when, "wrong patient")));
    let events = |clinic: &Clinic| {
        let (checked, report) = clinic.verify();
        assert!(report.is_empty(), "{}", told(&report));
        checked.events
    };
    assert_eq!(events(&clinic), 4);
    assert_eq!(erase(None).ok(), Some(vec![1]));
    assert_eq!((events(&clinic), clinic.frozen().len()), (5, 0));
    assert_eq!(code(erase(Some(1))), [Code::NothingToErase]);
    assert_eq!(events(&clinic), 5);
}

#[test]
fn every_change_on_disk_is_found_and_named() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    must(clinic.issue("l3", "2022-09-15T10:00:00Z"));
    must(clinic.issue("l4", "2023-03-15T10:00:00Z"));
    let events: Vec<PathBuf> = sorted(&clinic.path("events"));
    let found = |what: &str| {
        let (_, report) = clinic.verify();
        let named = report.iter().map(|d| {
            let file = d.place.as_ref().map(|p| p.file.rsplit('/').next().unwrap().to_string());
            (d.code, file.unwrap_or_default())
        });
        let named: Vec<(Code, String)> = named.collect();
        assert!(!named.is_empty(), "{what} was not found");
        named
    };
    let name = |path: &Path| path.file_name().unwrap().to_string_lossy().into_owned();
    for file in sorted(&clinic.path("letters")) {
        let held = flip(&file);
        assert_eq!(found("a flipped byte"), [(Code::FrozenChanged, name(&file))]);
        fs::write(&file, held).unwrap();
    }
    for event in &events {
        let held = flip(event);
        let named = found("a flipped byte of an event");
        assert!(named.contains(&(Code::EventChanged, name(event))), "{named:?}");
        fs::write(event, held).unwrap();
    }
    let last = fs::read(&events[2]).unwrap();
    fs::remove_file(&events[2]).unwrap();
    let named = found("a dropped last event");
    assert!(named.contains(&(Code::EventMissing, "head".to_string())), "{named:?}");
    // Nothing is written over a broken register.
    let refused = codes(clinic.issue("l5", "2023-03-16T10:00:00Z"));
    assert!(refused.contains(&Code::EventMissing), "{refused:?}");
    fs::write(&events[2], &last).unwrap();
    let (first, second) = (fs::read(&events[0]).unwrap(), fs::read(&events[1]).unwrap());
    fs::write(&events[0], &second).unwrap();
    fs::write(&events[1], &first).unwrap();
    let named = found("two events that changed places");
    assert!(named.contains(&(Code::EventChanged, name(&events[0]))), "{named:?}");
    assert!(named.contains(&(Code::EventChanged, name(&events[1]))), "{named:?}");
    fs::write(&events[0], &first).unwrap();
    fs::write(&events[1], &second).unwrap();
    assert!(clinic.verify().1.is_empty());
}

/// Two copies of the folder go different ways and are put together again.
#[test]
fn a_forked_register_is_told_and_joined() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    let other = tempfile::tempdir().unwrap();
    copy(&clinic.path(""), other.path());
    must(clinic.issue("l3", "2022-09-15T10:00:00Z"));
    let ours = tempfile::tempdir().unwrap();
    copy(&clinic.path(""), ours.path());
    fs::remove_dir_all(clinic.path("")).unwrap();
    copy(other.path(), &clinic.path(""));
    must(clinic.issue("l4", "2022-09-15T11:00:00Z"));
    copy(ours.path(), &clinic.path(""));
    let (_, report) = clinic.verify();
    assert!(report.iter().any(|d| d.code == Code::RegisterFork), "{}", told(&report));
    let archive = Archive::of(&Folder::at(clinic.dir.path()).unwrap());
    let when = (at("2022-09-16T08:00:00Z"), "ev");
    let joined = archive.join(&|| {}, when, &mut Report::default()).unwrap();
    assert_eq!(joined.unwrap().parents.len(), 2);
    let (checked, report) = clinic.verify();
    assert!(report.is_empty(), "{}", told(&report));
    assert_eq!(checked.events, 4);
    must(clinic.issue("l5", "2023-03-15T10:00:00Z"));
}

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    files
}

/// Changes one byte in the middle of a file and gives back what it held.
fn flip(file: &Path) -> Vec<u8> {
    let held = fs::read(file).unwrap();
    let mut bytes = held.clone();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(file, bytes).unwrap();
    held
}

fn copy(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.unwrap();
        let to = to.join(entry.path().strip_prefix(from).unwrap());
        match entry.file_type().is_dir() {
            true => fs::create_dir_all(to).unwrap(),
            false => _ = fs::copy(entry.path(), to).unwrap(),
        }
    }
}

/// A case of one film and so many letters, each without a figure.
fn many(id: &str, letters: usize) -> String {
    let entry = |n: usize| {
        format!("  - {{id: l{n}, kind: progress, to: gp, as_of: 2026-03-14, signed_by: lb}}\n")
    };
    format!(
        "# Invented: nobody in this file exists.\ncase: {id}\n\
         patient: {{name: Orla Fane, called: Orla, born: 2013-05-06, sex: female}}\n\
         contacts: [{{id: gp, role: referring doctor, name: Dr Piet Lorne}}]\n\
         diagnosis: {{cause: idiopathic}}\nletters:\n{}",
        (1..=letters).map(entry).collect::<String>()
    )
}

#[test]
fn two_runs_at_once_write_one_chain() {
    const EACH: usize = 100;
    let dir = tempfile::tempdir().unwrap();
    let cases = dir.path().join("cases");
    fs::create_dir_all(&cases).unwrap();
    fs::copy(root().join("cases/clinic.yaml"), cases.join("clinic.yaml")).unwrap();
    let run = |id: &str| {
        fs::write(cases.join(format!("{id}.yaml")), many(id, EACH)).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_endplate"));
        command.current_dir(dir.path()).args(["issue", "--by", "lb"]).stdin(Stdio::null());
        for n in 1..=EACH {
            let letter = format!("{id}/l{n}");
            command.args([&letter, "--yes", &letter]);
        }
        command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
    };
    let both = [run("qa-0001"), run("qa-0002")];
    for child in both {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let archive = Archive::of(&Folder::at(dir.path()).unwrap());
    let mut report = Report::default();
    let checked = archive.verify(&mut report).unwrap();
    assert!(report.is_empty(), "{}", told(&report));
    assert_eq!((checked.events, checked.sound), (2 * EACH, 4 * EACH));
    let chain = archive.chain().unwrap();
    let mut after = None;
    for (entry, number) in chain.entries().iter().zip(1..) {
        assert_eq!(entry.event.number, number);
        assert_eq!(entry.event.parents, after.into_iter().collect::<Vec<_>>());
        let pdf = entry.event.what.files().iter().find(|f| f.is == Freeze::Pdf).unwrap();
        assert!(archive.frozen(pdf).unwrap().starts_with(b"%PDF"));
        after = Some(entry.digest);
    }
}

/// The list for the clinician is pages like any other.
#[test]
fn the_worklist_is_set_as_pages() {
    use endplate::pipeline::impact::worklist;
    let clinic = Clinic::new();
    a_year(&clinic);
    clinic.correct();
    let folder = Folder::at(clinic.dir.path()).unwrap();
    let loaded = load(&folder, &[], 1);
    let press = Press::open(&folder);
    let touched = Desk::new(&folder, &loaded, &press, &|| {}).impact(&[]).unwrap_or_default();
    let house = loaded.clinic.as_ref().unwrap();
    for list in [&touched[..], &[]] {
        let pdf = worklist(&press, house, list, day("2023-04-03"));
        let pdf = pdf.unwrap_or_else(|r| panic!("{}", told(&r)));
        let faults = crate::support::validate::claimed(&pdf);
        assert_eq!(faults, Vec::<String>::new());
    }
    let amended = must(clinic.amend("l1", "2023-04-03T11:00:00Z")).file.unwrap();
    let pdf = fs::read(clinic.dir.path().join(amended)).unwrap();
    assert_eq!(crate::support::validate::claimed(&pdf), Vec::<String>::new());
}

#[test]
fn looks_and_words_are_told_from_numbers() {
    let clinic = Clinic::new();
    must(clinic.issue("l1", "2022-03-15T09:00:00Z"));
    let one = || class(&clinic.impact()[0]);
    assert_eq!(one(), Class::Unchanged);
    let house = clinic.dir.path().join("cases/clinic.yaml");
    let text = fs::read_to_string(&house).unwrap();
    fs::write(&house, text.replace("paper: A4", "paper: US Letter")).unwrap();
    assert_eq!(one(), Class::Layout);
    let template = "templates/letters/en/progress.md.j2";
    let words = fs::read_to_string(root().join(template)).unwrap();
    let own = clinic.dir.path().join(template);
    fs::create_dir_all(own.parent().unwrap()).unwrap();
    fs::write(own, words.replace("Dear {{", "Good morning, {{")).unwrap();
    assert_eq!(one(), Class::Wording);
    let touched = clinic.impact();
    let [change] = &touched[0].difference.as_ref().unwrap().sentences[..] else {
        panic!("one sentence");
    };
    assert!(change.new.as_ref().unwrap().starts_with("Good morning, "));
    let done = must(clinic.amend("l1", "2022-03-16T09:00:00Z"));
    let text = clinic.record("l1", done.instance.version).text;
    assert!(text.contains("Words have changed; no number and no verdict has."), "{text}");
}

#[test]
fn a_signature_must_be_there_and_not_to_come() {
    let clinic = Clinic::new();
    let text = fs::read_to_string(&clinic.case).unwrap();
    fs::write(&clinic.case, text.replace("signed: 2022-03-15", "signed: 2022-03-25")).unwrap();
    assert_eq!(codes(clinic.issue("l2", "2022-03-15T09:05:00Z")), [Code::LetterUnsigned]);
    must(clinic.issue("l2", "2022-03-25T09:05:00Z"));
    clinic.correct();
    // What was signed was the version that turned out wrong.
    assert_eq!(codes(clinic.amend("l2", "2023-04-03T11:00:00Z")), [Code::LetterUnsigned]);
    let text = fs::read_to_string(&clinic.case).unwrap();
    fs::write(&clinic.case, text.replace("signed: 2022-03-25", "signed: 2023-04-03")).unwrap();
    must(clinic.amend("l2", "2023-04-03T11:00:00Z"));
}
