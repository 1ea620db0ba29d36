//! Codes as facts, so that letters print them like any value.
//!
//! `code.*` comes from the public set of diagnosis codes. Verdicts of payers
//! become facts in [`super::payer::told`].

use crate::case::Case;
use crate::diag::Place;
use crate::evidence::{Grade, Source};
use crate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Value};

use super::codes::{self, Asked};

/// Writes `code.icd`: the diagnosis code proposed, or why there is none.
pub fn code(facts: &mut Facts, case: &Case) {
    let records = vec![record("diagnosis", &case.diagnosis.place)];
    let inputs = vec![FactId::new("diagnosis.name")];
    if let Some(code) = &case.diagnosis.code {
        let records = vec![record("diagnosis / code", &code.place)];
        put(
            facts,
            "code.icd",
            "diagnosis code as recorded",
            Value::Text(code.value.clone()),
            records,
            vec![],
        );
        put(
            facts,
            "code.origin",
            "whether the code is recorded or proposed",
            Value::Word("recorded"),
            vec![],
            vec![FactId::new("code.icd")],
        );
        conditions(facts, None, None);
        return;
    }
    let asked = Asked::of(facts).ok_or("no cause or deformity is recorded");
    let proposal = asked.and_then(|asked| codes::propose(&asked));
    let code = proposal.as_ref().map(|p| p.code.clone());
    let value = match code {
        Ok(code) => Value::Text(code),
        Err(why) => Value::Missing(Missing::NotApplicable((*why).into())),
    };
    // What the record does not show stands beside the code, or it is no proposal.
    let (only_if, beside) = proposal.as_ref().map_or((None, None), |p| (p.only_if, p.beside));
    conditions(facts, only_if, beside);
    put(
        facts,
        "code.icd",
        "diagnosis code proposed from cause, age class and region",
        value,
        records,
        inputs,
    );
    put(
        facts,
        "code.origin",
        "whether the code is recorded or proposed",
        Value::Word("proposed"),
        vec![],
        vec![FactId::new("code.icd")],
    );
}

/// `code.only_if`, `code.beside`: what must be true, and what is coded before
/// or beside, for a proposed code to be right.
fn conditions(facts: &mut Facts, only_if: Option<&'static str>, beside: Option<&'static str>) {
    let none = || Value::Missing(Missing::NotApplicable("the code set asks for nothing".into()));
    let said = |text: Option<&'static str>| text.map_or_else(none, |t| Value::Text(t.into()));
    let inputs = || vec![FactId::new("diagnosis.name")];
    let (only_if, beside) = (said(only_if), said(beside));
    put(
        facts,
        "code.only_if",
        "what the proposed code takes for granted",
        only_if,
        vec![],
        inputs(),
    );
    put(facts, "code.beside", "what is coded before or beside it", beside, vec![], inputs());
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
