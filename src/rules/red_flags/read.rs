//! A file of red flags: read whole or not at all, every fault at its place.

use crate::case::LetterKind;
use crate::case::node::{self, Node};
use crate::diag::{Code, Diagnostic, Report};
use crate::facts::FactId;

use super::super::condition::Condition;
use super::super::edition::{Validity, follow_on};
use super::super::fields::Fields;
use super::super::protocol::{list, repeated};
use super::super::read::{KnownFact, condition, known_kind};
use super::super::standing::Basis;
use super::{Edition, Flag, RedFlags, Weight};

/// Names below `red_flags` that are no flags.
const RESERVED: [&str; 9] =
    ["any", "unanswered", "adding", "letter", "name", "edition", "met", "says", "decided"];

/// The red flags of a file's text, or `None` if the file has any error; every
/// fault is reported. `file` is the path as shown to people, `known` the
/// catalogue of facts.
pub fn read(source: &str, file: &str, known: KnownFact, report: &mut Report) -> Option<RedFlags> {
    let mut faults = Report::default();
    let flags = node::parse(source, file, &mut faults)
        .and_then(|root| red_flags(&root, known, &mut faults))
        .filter(|_| !faults.has_errors());
    report.extend(faults);
    flags
}

fn red_flags(root: &Node, known: KnownFact, report: &mut Report) -> Option<RedFlags> {
    let fields = Fields::of(root, "a set of red flags", &["red_flags", "editions"], report)?;
    let name = fields.need_text("red_flags", report);
    let editions = list(&fields, "editions", report, |node, report| edition(node, known, report));
    let editions = editions?;
    follow_on(editions.iter().map(|e| &e.validity), report);
    Some(RedFlags { name: name?, editions, place: root.place.clone() })
}

fn edition(node: &Node, known: KnownFact, report: &mut Report) -> Option<Edition> {
    let keys = ["edition", "valid_from", "valid_to", "flags"];
    let fields = Fields::of(node, "an edition", &keys, report)?;
    let edition = fields.need_date("edition", report);
    let validity = Validity::read(&fields, report);
    let flags = list(&fields, "flags", report, |node, report| flag(node, known, report))?;
    repeated(&flags.iter().map(|f| &f.id).collect::<Vec<_>>(), "red flags", report);
    for id in flags.iter().map(|f| &f.id).filter(|id| RESERVED.contains(&id.value.as_str())) {
        let message = format!("`{}` cannot be the id of a red flag", id.value);
        report.add(Code::BadId, &id.place, message);
    }
    let place = fields.place.clone();
    Some(Edition { edition: edition?, validity: validity?, flags, place })
}

const FLAG: [&str; 8] = ["id", "says", "when", "weight", "letter", "since", "grade", "source"];

fn flag(node: &Node, known: KnownFact, report: &mut Report) -> Option<Flag> {
    let fields = Fields::of(node, "a red flag", &FLAG, report)?;
    let id = fields.need_text("id", report);
    let says = fields.need_text("says", report);
    let basis = Basis::read(&fields, report);
    let source = basis.as_ref().map(|b| b.source.clone());
    let when = fields
        .need("when", report)
        .and_then(|node| condition(node, known, source.as_ref(), report));
    if let Some(when) = &when {
        spread(when).iter().for_each(|all| super::super::reach::check(all, report));
    }
    let weight = weight(&fields, report);
    let letter = letter(&fields, report);
    let since = fields.text("since", report);
    let since = match since {
        Some(id) => {
            known_kind(&id, known, report)?;
            Some(FactId::new(&id.value))
        }
        None => None,
    };
    let (place, basis) = (fields.place.clone(), basis?);
    Some(Flag {
        id: id?,
        says: says?,
        when: when?,
        weight: weight?,
        letter: letter?,
        since,
        basis,
        place,
    })
}

/// `all` within `all` as one list, where bounds on one fact meet.
fn spread(when: &Condition) -> Option<Condition> {
    let Condition::All(parts) = when else { return None };
    let nested = parts.iter().any(|p| matches!(p, Condition::All(_)));
    let flat = parts.iter().flat_map(|part| match part {
        Condition::All(inner) => inner.clone(),
        other => vec![other.clone()],
    });
    nested.then(|| Condition::All(flat.collect()))
}

fn weight(fields: &Fields, report: &mut Report) -> Option<Weight> {
    let typed = fields.need_text("weight", report)?;
    let all = [Weight::AddsWeight, Weight::EnoughAlone];
    let weight = all.into_iter().find(|w| w.word() == typed.value);
    if weight.is_none() {
        let message = format!("there is no weight `{}`", typed.value);
        let fault = Diagnostic::new(Code::RuleForm, Some(typed.place.clone()), message);
        report.push(fault.remedy(format!("the weights are: {}", Weight::WORDS.join(", "))));
    }
    weight
}

fn letter(fields: &Fields, report: &mut Report) -> Option<LetterKind> {
    let typed = fields.need_text("letter", report)?;
    let kind = LetterKind::from_word(&typed.value).filter(|kind| {
        matches!(kind, LetterKind::NeurologicalOpinion | LetterKind::SurgicalOpinion)
    });
    if kind.is_none() {
        let message = format!("a red flag proposes no letter `{}`", typed.value);
        let fault = Diagnostic::new(Code::RuleForm, Some(typed.place.clone()), message);
        report.push(fault.remedy("write `neurological opinion` or `surgical opinion`"));
    }
    kind
}
