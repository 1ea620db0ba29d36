//! Ids are unique in their list, and every id that is named exists.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::{Support, TreatmentKind};
use crate::diag::{Code, Diagnostic, Located};

use super::Check;

pub(super) fn check(look: &mut Check) {
    file_name(look);
    unique(look);
    support(look);
    fittings(look);
    requests(look);
    answers(look);
    school(look);
    letters(look);
    people(look);
}

/// The case's id is the name of its file.
fn file_name(look: &mut Check) {
    let case = look.case;
    let file = case.place.file.rsplit('/').next().unwrap_or_default();
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    // Texts that came from no file (a pipe, a test) have no name to compare.
    if file.contains('.') && stem != case.id.value {
        let message = format!("case `{}` stands in a file named `{file}`", case.id.value);
        look.fault(Code::CaseIdDiffersFromFile, &case.id.place, message);
    }
}

fn unique(look: &mut Check) {
    let case = look.case;
    distinct(look, "contact", case.contacts.iter().map(|r| &r.id));
    distinct(look, "film", case.films.iter().map(|r| &r.id));
    for film in &case.films {
        distinct(look, "reading", film.readings.iter().map(|r| &r.id));
    }
    distinct(look, "treatment", case.treatments.iter().map(|r| &r.id));
    distinct(look, "request", case.requests.iter().map(|r| &r.id));
    distinct(look, "gap", case.gaps.iter().map(|r| &r.id));
    distinct(look, "letter", case.letters.iter().map(|r| &r.id));
}

fn distinct<'a>(look: &mut Check, what: &str, ids: impl Iterator<Item = &'a Located<String>>) {
    let mut seen: BTreeMap<&str, &Located<String>> = BTreeMap::new();
    for id in ids {
        if let Some(first) = seen.get(id.value.as_str()) {
            let message = format!("{what} id `{}` is used twice", id.value);
            let other = (&first.place, "used here first");
            look.fault_with(Code::DuplicateId, &id.place, message, other);
        } else {
            seen.insert(&id.value, id);
        }
    }
}

/// Reports a name that is not among the known ones, with the nearest of them.
pub(super) fn must_exist<'a>(
    look: &mut Check,
    what: &str,
    name: &Located<String>,
    known: impl Iterator<Item = &'a str>,
) {
    let known: BTreeSet<&str> = known.collect();
    let known: Vec<&str> = known.into_iter().collect();
    if known.contains(&name.value.as_str()) {
        return;
    }
    let message = format!("no {what} has the id `{}`", name.value);
    let fault = Diagnostic::new(Code::UnknownReference, Some(name.place.clone()), message);
    look.report.push(fault.remedy(remedy(what, &name.value, &known)));
}

/// What to do about an unknown name: the nearest known one first.
fn remedy(what: &str, name: &str, known: &[&str]) -> String {
    if known.is_empty() {
        return format!("the file holds no {what} at all: add it, or remove the line");
    }
    let near = known.iter().max_by(|a, b| {
        let alike = |k: &str| strsim::jaro_winkler(name, k);
        alike(a).total_cmp(&alike(b)).then_with(|| b.cmp(a))
    });
    let hint = near
        .filter(|k| strsim::jaro_winkler(name, k) >= 0.8)
        .map(|k| format!("did you mean `{k}`? "))
        .unwrap_or_default();
    format!("{hint}known ids: {}; correct it, or add the {what}", known.join(", "))
}

fn support(look: &mut Check) {
    let case = look.case;
    for film in &case.films {
        let Some(Located { value: Support::Treatment(id), place }) = &film.support else {
            continue;
        };
        let name = Located::new(id.clone(), place.clone());
        must_exist(look, "treatment", &name, case.treatments.iter().map(|t| t.id.as_str()));
        let Some(treatment) = case.treatments.iter().find(|t| t.id.value == *id) else { continue };
        if !matches!(*treatment.kind, TreatmentKind::Brace | TreatmentKind::Cast) {
            let kind = treatment.kind.word();
            let message = format!("film `{}` is in `{id}`, which is {kind}", film.id.value);
            let other = (&treatment.kind.place, "its kind");
            look.fault_with(Code::SupportNotWorn, place, message, other);
        }
    }
}

fn fittings(look: &mut Check) {
    let case = look.case;
    for fitting in case.treatments.iter().flat_map(|t| &t.fittings) {
        if let Some(film) = &fitting.film {
            must_exist(look, "film", film, case.films.iter().map(|f| f.id.as_str()));
        }
    }
}

fn requests(look: &mut Check) {
    let case = look.case;
    for request in &case.requests {
        for item in [Some(&request.item), request.replaces.as_ref()].into_iter().flatten() {
            must_exist(look, "treatment", item, case.treatments.iter().map(|t| t.id.as_str()));
        }
        if let Some(old) = request.replaces.as_ref().filter(|o| o.value == request.item.value) {
            let message = format!("request `{}` replaces `{}` by itself", *request.id, old.value);
            look.fault(Code::RequestReplacesItself, &old.place, message);
        }
    }
}

fn answers(look: &mut Check) {
    let case = look.case;
    for letter in case.answers.iter().filter_map(|a| a.letter.as_ref()) {
        must_exist(look, "letter", letter, case.letters.iter().map(|l| l.id.as_str()));
    }
}

fn school(look: &mut Check) {
    let case = look.case;
    for whom in case.school.iter().filter_map(|s| s.whom.as_ref()) {
        must_exist(look, "contact", whom, case.contacts.iter().map(|c| c.id.as_str()));
    }
}

fn letters(look: &mut Check) {
    let case = look.case;
    let contacts = || case.contacts.iter().map(|c| c.id.as_str());
    if let Some(from) = case.referral.as_ref().and_then(|r| r.from.as_ref()) {
        must_exist(look, "contact", from, contacts());
    }
    for letter in &case.letters {
        for reader in std::iter::once(&letter.to).chain(&letter.copies) {
            must_exist(look, "contact", reader, contacts());
        }
        for film in &letter.enclosed {
            must_exist(look, "film", film, case.films.iter().map(|f| f.id.as_str()));
        }
        if let Some(request) = &letter.request {
            must_exist(look, "request", request, case.requests.iter().map(|r| r.id.as_str()));
        }
        if let Some(about) = &letter.about {
            let worn = |kind| matches!(kind, TreatmentKind::Brace | TreatmentKind::Cast);
            let worn = case.treatments.iter().filter(|t| worn(t.kind.value));
            must_exist(look, "brace or cast", about, worn.map(|t| t.id.as_str()));
        }
        if let Some(first) = &letter.adds_to {
            let others = case.letters.iter().map(|l| l.id.as_str());
            must_exist(look, "letter", first, others.filter(|id| *id != letter.id.value));
        }
    }
}

/// Who signs and corrects must be in clinic.yaml; who reads and decides should.
fn people(look: &mut Check) {
    let Some(clinic) = look.clinic else { return };
    let case = look.case;
    let known: Vec<&str> = clinic.people.iter().map(|p| p.id.as_str()).collect();
    let strict = case
        .letters
        .iter()
        .map(|l| (&l.signed_by, "signs", Code::UnknownPerson))
        .chain(case.answers.iter().map(|a| (&a.by, "answers a red flag", Code::UnknownPerson)))
        .chain(case.corrections.iter().map(|c| (&c.by, "corrects", Code::UnknownPerson)));
    let soft = named_people(case).map(|(by, role)| (by, role, Code::PersonNotInClinic));
    for (by, role, code) in strict.chain(soft) {
        if known.contains(&by.value.as_str()) {
            continue;
        }
        let message = format!("`{}`, who {role} here, is not in clinic.yaml", by.value);
        let remedy = format!("{}; people known: {}", code.info().remedy, known.join(", "));
        look.report.push(Diagnostic::new(code, Some(by.place.clone()), message).remedy(remedy));
    }
}

fn named_people(
    case: &crate::case::Case,
) -> impl Iterator<Item = (&Located<String>, &'static str)> {
    let readings = case.films.iter().flat_map(|f| &f.readings).map(|r| (&r.by, "reads"));
    let exams = case.exams.iter().filter_map(|e| e.by.as_ref()).map(|by| (by, "examines"));
    let plans = case.plans.iter().filter_map(|p| p.by.as_ref()).map(|by| (by, "decides"));
    let notes = case.school.iter().map(|s| (&s.by, "agrees"));
    let hours = case.treatments.iter().flat_map(|t| &t.hours);
    let hours = hours.filter_map(|h| h.by.as_ref()).map(|by| (by, "prescribes"));
    let orders = case.requests.iter().filter_map(|r| r.ordered_by.as_ref());
    let makers = case.treatments.iter().filter_map(|t| t.order.as_ref());
    let makers = makers.flat_map(|o| o.by.iter().chain(&o.ring));
    let orders = orders.chain(makers).map(|by| (by, "orders"));
    let fitters = case.treatments.iter().flat_map(|t| &t.fittings);
    let fitters = fitters.filter_map(|f| f.by.as_ref()).map(|by| (by, "fits"));
    let peers = case.requests.iter().filter_map(|r| r.peer_to_peer.as_ref());
    let peers = peers.map(|p| (&p.who, "speaks with the payer"));
    let people = readings.chain(exams).chain(plans).chain(notes).chain(hours).chain(orders);
    people.chain(fitters).chain(peers)
}
