//! `school.*`: what was agreed for the school or club that a letter goes to.
//!
//! The latest note meant for that reader, or for every school and club.
//! Nothing here is derived from size, pain or diagnosis.

use super::maker::{Maker, day};
use super::record::person;
use super::tongue::{self, List, Tongue, Words};
use super::treatment;
use crate::case::{Case, Clinic, LetterEntry, SchoolNote, TreatmentKind};
use crate::evidence::Source;
use crate::facts::{Missing, Value};

/// Who can say what was agreed.
const WHO: &str = "whoever agreed it with the family";

const ITEMS: [(&str, &str); 9] = [
    ("on", "what was agreed with the family for school or club"),
    ("by", "who agreed it"),
    ("brace", "whether the brace is worn at school or club"),
    ("when", "when it is on and off there"),
    ("sport", "how the patient takes part in sport"),
    ("limits_state", "limits to sport"),
    ("helps_state", "whether anything helps"),
    ("also", "what else school or club should know"),
    ("until", "until when the note holds"),
];

/// `school.*`.
pub fn school(
    make: &mut Maker,
    case: &Case,
    clinic: &Clinic,
    entry: Option<&LetterEntry>,
    tongue: Tongue,
) {
    let reader = entry.map(|e| e.to.value.as_str());
    let day = make.facts.as_of;
    let holds = |s: &SchoolNote| s.until.as_ref().is_none_or(|until| until.last_day() >= day);
    let meant = |s: &&SchoolNote| match (&s.whom, reader) {
        _ if !holds(s) => false,
        (Some(whom), Some(reader)) => whom.value == reader || !outsider(case, reader),
        _ => true,
    };
    match case.school.iter().rfind(meant) {
        Some(note) => told(make, case, clinic, note, tongue),
        None => {
            for (item, label) in ITEMS {
                make.not_recorded(format!("school.{item}"), label, WHO, "school", &case.place);
            }
        }
    }
}

/// Whether the reader is neither the patient nor the family, who read the note
/// that somebody else gets.
fn outsider(case: &Case, reader: &str) -> bool {
    use crate::case::Role::{Family, Patient};
    let contact = case.contacts.iter().find(|c| c.id.value == reader);
    contact.is_none_or(|c| !matches!(*c.role, Family | Patient))
}

fn told(make: &mut Maker, case: &Case, clinic: &Clinic, note: &SchoolNote, tongue: Tongue) {
    let record = format!("school {}", note.on.value);
    let home = &note.place;
    make.fact("school.on", ITEMS[0].1, day(note.on.value))
        .record(format!("{record} / on"), &note.on.place)
        .done();
    person(make, "school.by", ITEMS[1].1, Some(&note.by), clinic, &record, home);
    brace(make, case, note, &record);
    let sport = note.sport.as_ref();
    let word = |s: &crate::case::SportPart| Value::Word(s.word());
    make.recorded("school.sport", ITEMS[4].1, &record, sport, word, WHO, home);
    for (item, label, own, others) in [
        ("when", ITEMS[3].1, &note.when, &note.when_in),
        ("also", ITEMS[7].1, &note.also, &note.also_in),
    ] {
        let (id, record_in) = (format!("school.{item}"), format!("{record} / {item}_in"));
        let (id, record, record_in, own) = (&id, &record, &record_in, own.as_ref());
        let words = Words { id, label, record, record_in, own, others, home: (home, WHO) };
        tongue::words(make, tongue, &words);
    }
    let until = note.until.as_ref();
    make.recorded("school.until", ITEMS[8].1, &record, until, |d| Value::Date(*d), WHO, home);
    limits(make, note, &record, tongue);
    helps(make, note, &record);
}

/// A cast stays on wherever its wearer is.
fn brace(make: &mut Maker, case: &Case, note: &SchoolNote, record: &str) {
    let (id, label) = ("school.brace", ITEMS[2].1);
    let worn = treatment::current(case, make.facts.as_of);
    match (&note.brace, worn) {
        (None, Some(t)) if t.kind.value == TreatmentKind::Cast => make
            .fact(id, label, Value::Word("worn"))
            .record(format!("treatment {}", t.id.value), &t.place)
            .by("a cast stays on", Source::definition(""))
            .done(),
        (found, _) => {
            let word = |b: &crate::case::WornThere| Value::Word(b.word());
            make.recorded(id, label, record, found.as_ref(), word, WHO, &note.place)
        }
    };
}

/// An empty list was asked and means nothing; no list was not asked.
fn limits(make: &mut Maker, note: &SchoolNote, record: &str, tongue: Tongue) {
    let (id, label) = ("school.limits_state", ITEMS[5].1);
    let none = Vec::new();
    let limits = note.limits.as_ref().unwrap_or(&none);
    let others = note.limits_in.values().any(|list| !list.is_empty());
    if note.limits.is_none() && !others {
        make.not_recorded(id, label, WHO, record, &note.place);
        return;
    }
    let word = if limits.is_empty() && !others { "nothing" } else { "some" };
    let place = limits.first().map_or(&note.place, |l| &l.place);
    make.fact(id, label, Value::Word(word)).record(format!("{record} / limits"), place).done();
    let list = List {
        id: ("school.limits.l", ""),
        label: "a limit to sport",
        record: &format!("{record} / limits"),
        record_in: &format!("{record} / limits_in"),
        own: limits,
        others: &note.limits_in,
    };
    tongue::list(make, tongue, &list);
}

fn helps(make: &mut Maker, note: &SchoolNote, record: &str) {
    let (id, label) = ("school.helps_state", ITEMS[6].1);
    let Some(first) = note.helps.first() else {
        make.missing(id, label, Missing::NotApplicable("nothing is named".into()));
        return;
    };
    make.fact(id, label, Value::Word("some"))
        .record(format!("{record} / helps"), &first.place)
        .done();
    for (n, help) in note.helps.iter().enumerate() {
        make.fact(format!("school.helps.h{}", n + 1), "what helps", Value::Word(help.word()))
            .record(format!("{record} / helps"), &help.place)
            .done();
    }
}
