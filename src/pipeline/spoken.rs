//! In which language a letter is written, and which kinds are written in it.

use super::io::Folder;
use super::load;
use crate::case::{Clinic, LetterEntry, LetterKind, Role};
use crate::diag::{Code, Diagnostic, Report};
use crate::facts::Derived;
use crate::letter::compose::Composed;
use crate::letter::frame::People;
use crate::letter::language;
use crate::letter::template::Templates;
use crate::letter::variant;
use crate::letter::wording::Style;

/// Keys whose words may stand in other languages too, under the key with `_in`.
const TYPED: &[&str] = &[
    "come_back_if",
    "adult_care",
    "films_kept",
    "changes_if",
    "remarks",
    "limits",
    "items",
    "told",
    "when",
    "also",
];

/// Tags of the languages that the clinic writes to families and schools in,
/// its own first. Faults of its file are told where that is read for good.
pub(super) fn languages(folder: &Folder) -> Vec<String> {
    let Some(clinic) = load::clinic_of(folder) else { return Vec::new() };
    let others = clinic.languages.into_iter().map(|tag| tag.value);
    std::iter::once(clinic.language).chain(others).collect()
}

/// Warns of typed words that the letter carries in another language than its
/// own: the record has none in the reader's.
pub(super) fn untranslated(
    composed: &Composed,
    derived: &mut Derived,
    entry: &LetterEntry,
    style: &Style,
) {
    for (id, tag) in &composed.foreign {
        let Some(fact) = derived.facts.get(id.as_str()) else { continue };
        let record = fact.provenance.records.first();
        let place = record.map_or(&entry.place, |r| &r.place).clone();
        let (letter, language) = (entry.id.value.as_str(), style.language.tag);
        let message =
            format!("letter `{letter}` is in `{language}` and carries {} in `{tag}`", fact.label);
        let fault = Diagnostic::new(Code::WordsNotTranslated, Some(place), message);
        derived.report.push(match TYPED.iter().find(|key| id.as_str().contains(**key)) {
            Some(key) => fault.remedy(format!("write it beside: {key}_in: {{{language}: …}}")),
            None => fault,
        });
    }
}

/// How a letter to these people says things; a fault if their language has no
/// words of ours.
pub(super) fn style(
    clinic: &Clinic,
    entry: &LetterEntry,
    people: &People<'_>,
) -> Result<Style, Report> {
    let tag = people.to.language.as_ref().map_or(clinic.language.as_str(), |l| l.value.as_str());
    let style = Style::of(tag, clinic.region.as_deref(), clinic.dates);
    style.map(|style| style.typed_in(&clinic.language)).ok_or_else(|| {
        let known: Vec<&str> = language::ALL.iter().map(|l| l.tag).collect();
        let known = known.join(" and ");
        let message = format!("there are no letters in the language `{tag}`, only in {known}");
        unwritten(entry, message, None)
    })
}

/// Nothing writes that kind to that reader in their language; the advice names
/// what can be written.
pub(super) fn no_template(
    templates: &Templates,
    entry: &LetterEntry,
    role: Role,
    language: &str,
) -> Report {
    let (kind, role_word) = (entry.kind.word(), role.word());
    let message = format!(
        "there is no template for a letter of kind `{kind}` to a {role_word} in `{language}`"
    );
    let kinds = kinds_written(templates, role, language);
    let advice = match kinds.is_empty() {
        true => format!(
            "nothing is written to a {role_word} in `{language}`: address the letter in another \
             language, or write its template under `templates/letters/{language}/`"
        ),
        false => format!(
            "to a {role_word} in `{language}` there are: {}; address the letter in another \
             language, or write its template under `templates/letters/{language}/`",
            kinds.join(", ")
        ),
    };
    unwritten(entry, message, Some(advice))
}

/// Kinds that some template writes to a role in a language.
fn kinds_written(templates: &Templates, role: Role, language: &str) -> Vec<&'static str> {
    let written = |kind: &&LetterKind| {
        let stems = variant::stems(**kind, role, None);
        stems.iter().any(|stem| templates.has(&format!("letters/{language}/{stem}.md.j2")))
    };
    LetterKind::ALL.iter().filter(written).map(|kind| kind.word()).collect()
}

/// That a letter is not written, and what to do about it.
pub(super) fn unwritten(entry: &LetterEntry, message: String, advice: Option<String>) -> Report {
    let place = Some(entry.kind.place.clone());
    let fault = Diagnostic::new(Code::LetterKindUnwritten, place, message);
    let mut report = Report::default();
    report.push(match advice {
        Some(advice) => fault.remedy(advice),
        None => fault,
    });
    report
}
