//! What stands around the body of a letter, from case and clinic.
//!
//! Letterhead, window address, patient line, signature, copies, enclosures,
//! draft mark and caution: none of it is chosen by a template. All text is
//! taken as typed. This file reads no facts; the age in the patient line is
//! counted on the letter's own date.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::block::{Frame, FrameWords, Inline, Letterhead, Paper, PatientLine};
use super::extra::Extra;
use super::locale::{self, Joined};
use super::token::is_reserved;
use super::wording::{self, Style, TimeForm, full_date, one_line};
use crate::case::{
    Case, Clinic, Contact, Film, InLanguages, LetterEntry, LetterKind, Opt, PaperSize, Person,
    Role, View,
};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::quantity::Age;

/// Whether a letter left the house, and as what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing<'a> {
    /// It did not: it bears the draft mark.
    Draft,
    /// It is issued.
    Issued {
        /// Its version, from 1.
        version: u32,
        /// Short digest of the register's last event before it; nothing
        /// before the first.
        head: Option<&'a str>,
    },
}

/// The people a letter names.
#[derive(Debug, Clone, Copy)]
pub struct People<'a> {
    /// Whom it is addressed to.
    pub to: &'a Contact,
    /// Who signs it.
    pub signer: &'a Person,
    /// The doctor responsible, if that is someone else.
    pub responsible: Option<&'a Person>,
}

/// Finds the people of a letter, or says who is unknown.
pub fn people<'a>(
    case: &'a Case,
    clinic: &'a Clinic,
    entry: &LetterEntry,
) -> Result<People<'a>, Report> {
    let mut report = Report::default();
    let to = contact(case, &entry.to, &mut report);
    let signer = person(clinic, &entry.signed_by, &mut report);
    for copy in &entry.copies {
        contact(case, copy, &mut report);
    }
    let responsible = clinic.responsible.as_ref();
    let responsible = responsible.and_then(|id| person(clinic, id, &mut report));
    match (to, signer, report.has_errors()) {
        (Some(to), Some(signer), false) => {
            let responsible = responsible.filter(|r| r.id.value != signer.id.value);
            Ok(People { to, signer, responsible })
        }
        _ => Err(report),
    }
}

fn contact<'a>(case: &'a Case, id: &Located<String>, report: &mut Report) -> Option<&'a Contact> {
    let found = case.contacts.iter().find(|c| c.id.value == id.value);
    if found.is_none() {
        let message = format!("the case has no contact `{}`", id.value);
        report.add(Code::LetterContactUnknown, &id.place, message);
    }
    found
}

fn person<'a>(clinic: &'a Clinic, id: &Located<String>, report: &mut Report) -> Option<&'a Person> {
    let found = clinic.person(&id.value);
    if found.is_none() {
        let message = format!("the clinic has no person `{}`", id.value);
        report.add(Code::LetterSignerUnknown, &id.place, message);
    }
    found
}

/// The date a letter bears.
pub fn letter_date(entry: &LetterEntry) -> NaiveDate {
    entry.dated.as_ref().map_or(entry.as_of.value, |d| d.value)
}

/// What templates may know beside facts, under the name `letter`:
///
/// | path | what it is |
/// |---|---|
/// | `letter.kind` | word: `progress`, … |
/// | `letter.date` | its date in full |
/// | `letter.greeting` | what follows "Dear" |
/// | `letter.salutation` | the greeting only if one was typed |
/// | `letter.to.name`, `.organisation`, `.role` | text, text, word: `referring doctor`, … |
/// | `letter.signer.name`, `.credentials`, `.role`, `.phone` | text |
/// | `letter.clinic.name`, `.phone` | text |
/// | `letter.question`, `letter.remarks` | text |
/// | `letter.urgency` | word: `routine`, `soon`, `urgent` |
/// | `letter.copies` | names, a list |
/// | `letter.enclosed` | film descriptions, a list |
///
/// Whatever was not written has `.known` false.
pub fn extras(
    case: &Case,
    clinic: &Clinic,
    entry: &LetterEntry,
    people: &People<'_>,
    style: &Style,
) -> BTreeMap<String, Extra> {
    let typed = |t: &Opt<String>| Extra::text(t.as_ref().map(|t| t.value.clone()));
    let to = people.to;
    let list = |items: Vec<String>| Extra::List(items.into_iter().map(Extra::Text).collect());
    let letter = Extra::group([
        ("kind", Extra::Word(entry.kind.word().into())),
        ("date", Extra::Text(full_date(letter_date(entry), style))),
        ("salutation", typed(&to.greeting)),
        ("greeting", Extra::Text(to.greeting.as_ref().unwrap_or(&to.name).value.clone())),
        ("question", typed(&entry.question)),
        ("remarks", typed(&entry.remarks)),
        ("urgency", entry.urgency.as_ref().map_or(Extra::Absent, |u| Extra::Word(u.word().into()))),
        ("copies", list(copies(case, entry))),
        ("enclosed", list(enclosed(case, entry, to, style))),
        (
            "to",
            Extra::group([
                ("name", Extra::Text(to.name.value.clone())),
                ("organisation", typed(&to.organisation)),
                ("role", Extra::Word(to.role.word().into())),
            ]),
        ),
        (
            "signer",
            Extra::group([
                ("name", Extra::Text(people.signer.name.value.clone())),
                ("credentials", typed(&people.signer.credentials)),
                (
                    "role",
                    Extra::text(in_language(&people.signer.role, &people.signer.role_in, style)),
                ),
                ("phone", typed(&people.signer.phone)),
            ]),
        ),
        (
            "clinic",
            Extra::group([
                ("name", Extra::Text(clinic.name.value.clone())),
                ("phone", typed(&clinic.phone)),
            ]),
        ),
    ]);
    BTreeMap::from([("letter".to_string(), letter)])
}

/// The frame of a letter: a draft bears its mark, an issued one its version
/// and the register's last digest, a witness outside the register.
pub fn frame(
    case: &Case,
    clinic: &Clinic,
    entry: &LetterEntry,
    people: &People<'_>,
    style: &Style,
    standing: Standing<'_>,
) -> Result<Frame, Report> {
    reserved(case, clinic, people)?;
    let words = style.language.frame;
    let date = letter_date(entry);
    let letter_id = format!("{}/{}", case.id.value, entry.id.value);
    let kind = kind_title(entry.kind.value, style);
    let printed_date = full_date(date, style);
    let known_by = case.record_no.as_ref().map_or(&letter_id, |r| &r.value);
    Ok(Frame {
        title: format!("{kind}, {known_by}, {printed_date}"),
        letter_id,
        kind: kind.to_string(),
        language: style.language.tag.to_string(),
        region: style.region.clone(),
        paper: match clinic.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::UsLetter => Paper::UsLetter,
        },
        pages: pages(people.to.role.value),
        sheet: *entry.kind == LetterKind::Summary,
        letterhead: letterhead(clinic, people, style),
        recipient: recipient(people.to, *entry.kind),
        date: printed_date,
        date_ymd: (date.year(), date.month() as u8, date.day() as u8),
        patient: patient_line(case, entry, style),
        draft_mark: (standing == Standing::Draft).then(|| words.draft.to_string()),
        issued_mark: issued_mark(standing, style),
        caution: words.caution.to_string(),
        notice: in_language(&clinic.notice, &clinic.notice_in, style),
        closing: match *entry.kind {
            LetterKind::Summary => words.sheet_closing.to_string(),
            _ => words.closing.to_string(),
        },
        signature: signature(people.signer, style),
        after: after(case, entry, people, style),
        words: FrameWords {
            page: words.page.to_string(),
            of: words.of.to_string(),
            letter: words.letter.to_string(),
        },
    })
}

/// One page for families and schools, two for those who treat; a payer wants
/// every criterion with its evidence, however long (common practice, no source).
fn pages(reader: Role) -> Option<u8> {
    match reader {
        Role::Family | Role::Patient | Role::School | Role::Other => Some(1),
        Role::Payer => None,
        _ => Some(2),
    }
}

/// `version 2, register 3f8a90c1d2e4b567`.
fn issued_mark(standing: Standing<'_>, style: &Style) -> Option<String> {
    let Standing::Issued { version, head } = standing else { return None };
    let words = style.language.frame;
    let register = match head {
        Some(head) => format!("{} {head}", words.register),
        None => words.register_begins.to_string(),
    };
    Some(format!("{} {version}, {register}", words.version))
}

/// The kind of a letter as a title.
pub fn kind_title(kind: LetterKind, style: &Style) -> &'static str {
    let kinds = style.language.kinds;
    kinds.iter().find(|(k, _)| *k == kind).map_or(kind.word(), |(_, title)| title)
}

/// Refuses characters that mark places inside a letter, in any text of the frame.
fn reserved(case: &Case, clinic: &Clinic, people: &People<'_>) -> Result<(), Report> {
    let mut texts: Vec<&Located<String>> = vec![&case.patient.name, &clinic.name];
    texts.extend(&case.record_no);
    texts.extend(clinic.address.iter().chain(&clinic.phone).chain(&clinic.email));
    texts.extend(clinic.notice.iter().chain(clinic.notice_in.values()));
    for c in &case.contacts {
        texts.push(&c.name);
        texts.extend(c.organisation.iter().chain(&c.greeting).chain(&c.address));
    }
    for p in std::iter::once(people.signer).chain(people.responsible) {
        texts.push(&p.name);
        texts.extend(p.credentials.iter().chain(&p.role).chain(&p.licence));
        texts.extend(p.role_in.values());
        texts.extend(p.provider_no.iter().chain(&p.phone));
    }
    let mut report = Report::default();
    for text in texts {
        if let Some(c) = text.value.chars().find(|c| is_reserved(*c)) {
            let message =
                format!("the text holds the private-use character U+{:04X}", u32::from(c));
            report.push(Diagnostic::new(
                Code::ReservedCharacter,
                Some(text.place.clone()),
                message,
            ));
        }
    }
    if report.is_empty() { Ok(()) } else { Err(report) }
}

fn letterhead(clinic: &Clinic, people: &People<'_>, style: &Style) -> Letterhead {
    let words = style.language.frame;
    let address: Vec<String> = clinic.address.iter().map(|l| one_line(&l.value)).collect();
    let mut parts = vec![address.join(", ")];
    parts.extend(clinic.phone.iter().map(|p| format!("{} {}", words.telephone, p.value)));
    parts.extend(clinic.email.iter().map(|m| one_line(&m.value)));
    parts.retain(|p| !p.is_empty());
    let signer = people.signer;
    let mut right = vec![named(signer)];
    right.extend(in_language(&signer.role, &signer.role_in, style));
    right.extend(signer.phone.iter().map(|p| format!("{} {}", words.direct, p.value)));
    right.extend(people.responsible.map(|r| format!("{} {}", words.responsible, named(r))));
    Letterhead { name: one_line(&clinic.name.value), line: parts.join(" · "), right }
}

/// The clinic's words in the letter's language, or as they were written.
fn in_language(own: &Opt<String>, others: &InLanguages, style: &Style) -> Option<String> {
    let other = others.iter().find(|(tag, _)| style.foreign(Some(tag.as_str())).is_none());
    let other = other.filter(|_| style.foreign(None).is_some()).map(|(_, text)| text);
    other.or(own.as_ref()).map(|text| one_line(&text.value))
}

/// Name and credentials.
fn named(person: &Person) -> String {
    let name = one_line(&person.name.value);
    match &person.credentials {
        Some(credentials) => format!("{name}, {}", one_line(&credentials.value)),
        None => name,
    }
}

/// The window address: name, organisation, address lines. A summary is a sheet
/// for the file: it says for whom it was made, and keeps no window clear.
fn recipient(to: &Contact, kind: LetterKind) -> Vec<String> {
    let first = std::iter::once(&to.name).chain(&to.organisation);
    let address: &[Located<String>] = if kind == LetterKind::Summary { &[] } else { &to.address };
    first.chain(address).map(|l| one_line(&l.value)).filter(|l| !l.is_empty()).collect()
}

/// The name and two identifiers that every page carries. A school needs to
/// know who is meant, not how old.
fn patient_line(case: &Case, entry: &LetterEntry, style: &Style) -> PatientLine {
    let words = style.language.frame;
    let born = case.patient.born.value;
    // Nobody outside needs the clinic's own number or the age.
    let inside = *entry.kind != LetterKind::School;
    let age = Age::on(born, letter_date(entry)).filter(|_| inside);
    let record = case.record_no.as_ref().filter(|_| inside);
    PatientLine {
        name: one_line(&case.patient.name.value),
        born: format!("{} {}", words.born, full_date(born, style)),
        age: age.map(|age| wording::age(age, TimeForm::Full, style)),
        record: record.map(|r| format!("{} {}", words.record, one_line(&r.value))),
    }
}

fn signature(signer: &Person, style: &Style) -> Vec<String> {
    let words = style.language.frame;
    let numbers: Vec<String> =
        [(words.licence, &signer.licence), (words.provider, &signer.provider_no)]
            .into_iter()
            .filter_map(|(word, number)| Some(format!("{word} {}", number.as_ref()?.value)))
            .collect();
    let mut lines = vec![named(signer)];
    lines.extend(in_language(&signer.role, &signer.role_in, style));
    lines.extend((!numbers.is_empty()).then(|| numbers.join(", ")));
    lines.extend(signer.phone.iter().map(|p| format!("{} {}", words.direct, p.value)));
    lines
}

/// Lines after the signature: responsible doctor, copies, enclosures.
fn after(case: &Case, entry: &LetterEntry, people: &People<'_>, style: &Style) -> Vec<Vec<Inline>> {
    let words = style.language.frame;
    let responsible = people.responsible.map(|r| vec![named(r)]).unwrap_or_default();
    let lines = [
        (words.responsible, responsible),
        (words.copies, copies(case, entry)),
        (words.enclosures, all_enclosed(case, entry, people.to, style)),
    ];
    let filled = lines.into_iter().filter(|(_, items)| !items.is_empty());
    filled.map(|(label, items)| labelled(label, items)).collect()
}

fn labelled(label: &str, items: Vec<String>) -> Vec<Inline> {
    let mut line = vec![Inline::Text { text: format!("{label} ") }];
    for (at, text) in items.into_iter().enumerate() {
        if at > 0 {
            line.push(Inline::Text { text: "; ".into() });
        }
        line.push(Inline::Value { fact: None, text, keep: false });
    }
    line
}

fn copies(case: &Case, entry: &LetterEntry) -> Vec<String> {
    let found = |id: &Located<String>| case.contacts.iter().find(|c| c.id.value == id.value);
    let named = |c: &Contact| match &c.organisation {
        Some(organisation) => {
            format!("{}, {}", one_line(&c.name.value), one_line(&organisation.value))
        }
        None => one_line(&c.name.value),
    };
    entry.copies.iter().filter_map(found).map(named).collect()
}

/// Films and other enclosures; letters to payers list the latter in their body.
fn all_enclosed(case: &Case, entry: &LetterEntry, to: &Contact, style: &Style) -> Vec<String> {
    let mut list = enclosed(case, entry, to, style);
    if !matches!(*entry.kind, LetterKind::Justification | LetterKind::Appeal) {
        list.extend(entry.enclosures.iter().map(|e| one_line(&e.what.value)));
    }
    list
}

/// Enclosed films, those of one kind told together: `frontal PA radiographs
/// of 4 March 2026 and 20 October 2026`.
fn enclosed(case: &Case, entry: &LetterEntry, to: &Contact, style: &Style) -> Vec<String> {
    let mut groups: Vec<((View, &str), usize, Vec<String>)> = Vec::new();
    for id in &entry.enclosed {
        let Some(film) = case.films.iter().find(|f| f.id.value == id.value) else { continue };
        let (kind, date) = (film_kind(film), full_date(film.taken.value, style));
        match groups.iter_mut().find(|(k, ..)| *k == kind) {
            Some((_, films, dates)) => {
                *films += 1;
                dates.extend((!dates.contains(&date)).then_some(date));
            }
            None => groups.push((kind, 1, vec![date])),
        }
    }
    let told = |(kind, films, dates): ((View, &str), usize, Vec<String>)| {
        let films = films_of(kind, *to.role, films, style);
        let days = locale::list(&dates, Joined::And, &style.locale);
        format!("{films} {} {days}", style.language.of)
    };
    groups.into_iter().map(told).collect()
}

fn film_kind(film: &Film) -> (View, &'static str) {
    (*film.view, film.projection.as_ref().map_or("", |p| p.word()))
}

/// `frontal PA radiographs`, `radiografías frontales PA`.
fn films_of((view, projection): (View, &str), reader: Role, count: usize, style: &Style) -> String {
    let words = style.language.films;
    let found = words.views.iter().find(|(v, _)| *v == view);
    let view = found.map_or("", |(_, forms)| forms[usize::from(count != 1)]);
    let noun = film_noun(reader, count, style);
    let order = match words.view_after {
        true => [noun, view, projection],
        false => [view, projection, noun],
    };
    order.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

fn film_noun(reader: Role, films: usize, style: &Style) -> &'static str {
    let words = style.language.frame;
    let lay = matches!(reader, Role::Family | Role::Patient | Role::School);
    match (lay, films) {
        (true, 1) => words.x_ray,
        (true, _) => words.x_rays,
        (false, 1) => words.radiograph,
        (false, _) => words.radiographs,
    }
}
