//! In which language a reader is given the clinic's own words.
//!
//! What clinicians type stands in the clinic's language, and sometimes in
//! others beside it. A reader gets the words in their own language where they
//! were written in it, else as they were written: nothing is translated here.
//! Words that are not in the clinic's language carry a fact `….language`.

use std::collections::BTreeMap;

use super::maker::{Maker, text};
use crate::case::{Case, Clinic, LetterEntry};
use crate::diag::{Located, Place};

/// The tags that decide: the clinic's language and the reader's.
#[derive(Debug, Clone, Copy)]
pub struct Tongue<'a> {
    clinic: &'a str,
    reader: &'a str,
}

impl<'a> Tongue<'a> {
    /// Of a letter; without one, the clinic is its own reader.
    pub fn of(case: &'a Case, clinic: &'a Clinic, entry: Option<&LetterEntry>) -> Tongue<'a> {
        let own = clinic.language.as_str();
        let to = entry.and_then(|e| case.contacts.iter().find(|c| c.id.value == e.to.value));
        let reader = to.and_then(|c| c.language.as_ref()).map_or(own, |tag| tag.value.as_str());
        Tongue { clinic: own, reader }
    }

    /// Which of several wordings the reader is given: `None` for the clinic's
    /// own, the tag for one of the others. Nothing if there is none at all.
    pub fn choose<T>(self, own: bool, others: &BTreeMap<String, T>) -> Option<Option<(&str, &T)>> {
        let (tag, other) = others.iter().find(|(tag, _)| same_language(tag, self.reader)).unzip();
        let first = others.iter().next();
        match (own, tag.zip(other)) {
            (true, _) if same_language(self.clinic, self.reader) => Some(None),
            (_, Some((tag, other))) => Some(Some((tag, other))),
            (true, None) => Some(None),
            (false, None) => first.map(|(tag, other)| Some((tag.as_str(), other))),
        }
    }
}

/// Whether two tags are of one language, whatever their regions.
pub fn same_language(a: &str, b: &str) -> bool {
    a.split('-').next() == b.split('-').next()
}

/// Words that a clinician typed, perhaps in several languages.
pub struct Words<'a> {
    /// The fact's id.
    pub id: &'a str,
    /// What they are.
    pub label: &'a str,
    /// Where they stand in the clinic's language.
    pub record: &'a str,
    /// Where they stand in others, but for the tag.
    pub record_in: &'a str,
    /// In the clinic's language.
    pub own: Option<&'a Located<String>>,
    /// In others.
    pub others: &'a BTreeMap<String, Located<String>>,
    /// Where they would be written, and who could write them.
    pub home: (&'a Place, &'a str),
}

/// A list of such words.
pub struct List<'a> {
    /// Their ids, but for the number; what of them holds the words.
    pub id: (&'a str, &'a str),
    /// What they are.
    pub label: &'a str,
    /// Where they stand in the clinic's language.
    pub record: &'a str,
    /// Where they stand in others, but for the tag.
    pub record_in: &'a str,
    /// In the clinic's language.
    pub own: &'a [Located<String>],
    /// In others.
    pub others: &'a BTreeMap<String, Vec<Located<String>>>,
}

/// The facts of a list of words, for a reader. The clinic's own list says what
/// there is: one that is shorter elsewhere does not stand for it.
pub fn list(make: &mut Maker, tongue: Tongue, list: &List) {
    let chosen = tongue.choose(!list.own.is_empty(), list.others).flatten();
    let chosen = chosen.filter(|(_, items)| items.len() >= list.own.len());
    let items = chosen.map_or(list.own, |(_, items)| items.as_slice());
    for (n, item) in items.iter().enumerate() {
        let id = format!("{}{}{}", list.id.0, n + 1, list.id.1);
        let Some((tag, _)) = chosen else {
            make.fact(id, list.label, text(item)).record(list.record, &item.place).done();
            continue;
        };
        let path = format!("{} / {tag}", list.record_in);
        make.fact(&id, list.label, text(item)).record(&path, &item.place).done();
        make.fact(format!("{id}.language"), format!("{}: language", list.label), text(tag))
            .record(&path, &item.place)
            .done();
    }
}

/// The fact of such words, for a reader.
pub fn words(make: &mut Maker, tongue: Tongue, words: &Words) {
    match tongue.choose(words.own.is_some(), words.others) {
        Some(Some((tag, said))) => {
            let path = format!("{} / {tag}", words.record_in);
            make.fact(words.id, words.label, text(said)).record(&path, &said.place).done();
            let label = format!("{}: language", words.label);
            make.fact(format!("{}.language", words.id), label, text(tag))
                .record(&path, &said.place)
                .done();
        }
        _ => {
            let (own, (home, who)) = (words.own, words.home);
            make.recorded(words.id, words.label, words.record, own, |t| text(t), who, home);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chosen(clinic: &str, reader: &str, own: bool, others: &[&str]) -> Option<Option<String>> {
        let others = others.iter().map(|tag| (tag.to_string(), ())).collect();
        let tongue = Tongue { clinic, reader };
        tongue.choose(own, &others).map(|c| c.map(|(tag, ())| tag.to_string()))
    }

    #[test]
    fn words_in_the_readers_language_go_first() {
        let es = || Some(Some("es".to_string()));
        assert_eq!(chosen("en", "en", true, &["es"]), Some(None));
        assert_eq!(chosen("en", "es", true, &["es"]), es());
        assert_eq!(chosen("en", "es-MX", true, &["es"]), es());
        assert_eq!(chosen("en", "es", true, &[]), Some(None));
        assert_eq!(chosen("en", "en", false, &["es"]), es());
        assert_eq!(chosen("en-GB", "en", true, &["es"]), Some(None));
        assert_eq!(chosen("en", "es", false, &[]), None);
    }
}
