//! Codes as facts, so that letters print them like any value.
//!
//! `code.*` comes from the public set of diagnosis codes, `items.*` from the
//! table of item codes. Verdicts of payers become facts in
//! [`super::payer::told`].

use crate::case::{Case, Request, Treatment};
use crate::diag::{Located, Place};
use crate::evidence::{Grade, Source};
use crate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Value};
use crate::quantity::{PartialDate, Reported, Unit};

use super::codes::{self, Asked};
use super::items::{ItemTable, useful_lifetime};
use super::payer::Payer;

/// Writes `code.*`: the code recorded, else the one proposed, or why there is
/// none; both beside each other, what the set asks, and its edition.
pub fn code(facts: &mut Facts, case: &Case) {
    let diagnosis = &case.diagnosis;
    let asked = Asked::of(facts);
    let proposal = asked.map(|asked| codes::propose(&asked));
    let proposed = match &proposal {
        Some(Ok(proposal)) => Value::Text(proposal.code.clone()),
        Some(Err(none)) if none.settled => Value::Missing(Missing::NotApplicable(none.why.into())),
        Some(Err(none)) => Value::Missing(Missing::CannotTell(none.why.into())),
        None => Value::Missing(Missing::CannotTell("no cause is recorded".into())),
    };
    let region = asked.and_then(|asked| codes::region_fact(facts, asked.deformity));
    let ids = FROM.iter().copied().chain(region.as_deref());
    let from: Vec<FactId> = ids.filter(|id| facts.get(id).is_some()).map(FactId::new).collect();
    let by = "diagnosis code proposed from cause, age class and region";
    put(facts, "code.proposed", by, proposed.clone(), vec![], from);
    let (value, origin, records) = match &diagnosis.code {
        Some(code) => {
            (Value::Text(code.value.clone()), "recorded", record("diagnosis / code", &code.place))
        }
        None => (proposed, "proposed", record("diagnosis", &diagnosis.place)),
    };
    let inputs = if origin == "proposed" { vec![FactId::new("code.proposed")] } else { vec![] };
    put(facts, "code.icd", "diagnosis code, recorded or proposed", value, vec![records], inputs);
    let icd = || vec![FactId::new("code.icd")];
    let label = "whether the code is recorded or proposed";
    put(facts, "code.origin", label, Value::Word(origin), vec![], icd());
    let proposal = proposal.and_then(Result::ok).filter(|_| origin == "proposed");
    let (only_if, beside) = proposal.map_or((None, None), |p| (p.only_if, p.beside));
    conditions(facts, only_if, beside.map(str::to_string));
    listed(facts, "first", "code that stands before it", &diagnosis.codes_first);
    listed(facts, "after", "code that stands after it", &diagnosis.codes_after);
    let (edition, label) = (Value::Text(codes::EDITION.into()), "edition of the code set");
    put(facts, "code.edition", label, edition, vec![], vec![]);
    let valid = Value::Date(PartialDate::Day(codes::valid_from()));
    put(facts, "code.valid", "first day on which the edition is valid", valid, vec![], vec![]);
}

/// Writes `items.<code>.*`: what each recorded item code describes, in our
/// words, and `item_codes.*`: the table's edition.
pub fn items(facts: &mut Facts, request: &Request, table: &ItemTable) {
    let mut done: Vec<&str> = Vec::new();
    for code in &request.codes {
        let Some(item) = table.item(code).filter(|_| !done.contains(&code.as_str())) else {
            continue;
        };
        done.push(code);
        let root = format!("items.{}", code.value);
        let records = || {
            let path = format!("request {} / codes", request.id.value);
            vec![record(path, &code.place), record(format!("item {}", code.value), &item.place)]
        };
        let parts = [
            ("words", "what the item code describes, in our words", Value::Text(item.text.clone())),
            ("build", "how the item code says it is made", Value::Word(item.build.word())),
            ("class", "class of orthosis of the item code", Value::Word(item.class.word())),
        ];
        for (part, label, value) in parts {
            put(facts, &format!("{root}.{part}"), label, value, records(), vec![]);
        }
    }
    let valid = Value::Date(PartialDate::Day(table.valid_from));
    for (part, label, value) in [
        ("set", "set of item codes", Value::Text(table.set.clone())),
        ("edition", "edition of the item codes", Value::Text(table.edition.clone())),
        ("valid", "first day on which that edition is valid", valid),
    ] {
        put(facts, &format!("item_codes.{part}"), label, value, vec![], vec![]);
    }
}

/// Writes `policy.useful_lifetime` and `policy.lifetime_until`: how long the
/// payer counts the orthosis that is replaced as useful. Information only.
pub fn lifetime(facts: &mut Facts, payer: &Payer, case: &Case, request: &Request) {
    let (years_label, until_label) = (
        "years for which the payer counts an orthosis as useful",
        "first day after the useful lifetime of the orthosis that is replaced",
    );
    let (years, until) = ("policy.useful_lifetime", "policy.lifetime_until");
    let Some(set) = &payer.useful_lifetime else {
        let none = || Value::Missing(Missing::NotApplicable("the payer's file states none".into()));
        put(facts, years, years_label, none(), vec![], vec![]);
        put(facts, until, until_label, none(), vec![], vec![]);
        return;
    };
    let stated = record("payer / useful_lifetime", &set.place);
    let value = Value::Number(Reported::whole(i64::from(set.value), Unit::Year));
    put(facts, years, years_label, value, vec![stated], vec![]);
    let replaced = request.replaces.as_ref();
    let treatment = replaced.and_then(|r| case.treatments.iter().find(|t| t.id.value == r.value));
    let delivered = treatment.and_then(|t| t.start());
    let day = delivered.and_then(|day| useful_lifetime(day.value, set.value));
    let value = match (day, replaced) {
        (Some(day), _) => Value::Date(PartialDate::Day(day)),
        (None, Some(_)) => Value::Missing(Missing::NotRecorded {
            item: "the delivery of the orthosis that is replaced".into(),
            who: "the clinic".into(),
        }),
        (None, None) => Value::Missing(Missing::NotApplicable("nothing is replaced".into())),
    };
    let from = |t: &Treatment| format!("treatment {} / delivered", t.id.value);
    let records = treatment.zip(delivered).map(|(t, day)| record(from(t), &day.place));
    let inputs = vec![FactId::new(years)];
    put(facts, until, until_label, value, records.into_iter().collect(), inputs);
}

/// What the proposed code follows from.
const FROM: &[&str] = &[
    "diagnosis.cause",
    "diagnosis.due_to",
    "diagnosis.deformity",
    "diagnosis.below_definition",
    "diagnosis.age_class",
];

/// `code.first.c<n>`, `code.after.c<n>`.
fn listed(facts: &mut Facts, part: &str, label: &str, codes: &[Located<String>]) {
    for (n, code) in codes.iter().enumerate() {
        let records = vec![record(format!("diagnosis / codes_{part}"), &code.place)];
        let id = format!("code.{part}.c{}", n + 1);
        put(facts, &id, label, Value::Text(code.value.clone()), records, vec![]);
    }
}

/// `code.only_if`, `code.beside`: what must be true, and what is coded before
/// or beside, for a proposed code to be right.
fn conditions(facts: &mut Facts, only_if: Option<String>, beside: Option<String>) {
    let none = || Value::Missing(Missing::NotApplicable("the code set asks for nothing".into()));
    let inputs = || vec![FactId::new("code.proposed")];
    let (taken, first) =
        ("what the proposed code takes for granted", "what is coded before or beside it");
    for (id, label, said) in [("code.only_if", taken, only_if), ("code.beside", first, beside)] {
        put(facts, id, label, said.map_or_else(none, Value::Text), vec![], inputs());
    }
}

/// A record by its path and place.
pub(super) fn record(path: impl Into<String>, place: &Place) -> Record {
    Record { path: path.into(), place: place.clone() }
}

/// Writes one fact that a rule file decides.
pub(super) fn put(
    facts: &mut Facts,
    id: &str,
    label: &str,
    value: Value,
    records: Vec<Record>,
    inputs: Vec<FactId>,
) {
    let source =
        Source { work: None, grade: Grade::Definition, note: "the rule file named decides" };
    let method = Method { formula: "by the rule named, on reported values".into(), source };
    facts.insert(Fact {
        id: FactId::new(id),
        label: label.into(),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance { records, inputs, method },
    });
}
