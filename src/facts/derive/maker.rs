//! Short ways to write a fact with its provenance.

use chrono::NaiveDate;

use crate::diag::{Located, Place};
use crate::evidence::Source;
use crate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Uncertainty, Value};
use crate::quantity::{PartialDate, Reported, Unit};

/// Writes facts under a path.
pub struct Maker<'a> {
    /// The store.
    pub facts: &'a mut Facts,
}

/// A fact being written.
#[must_use]
pub struct Draft<'a> {
    facts: &'a mut Facts,
    fact: Fact,
}

impl Maker<'_> {
    /// Starts a fact.
    pub fn fact(
        &mut self,
        id: impl AsRef<str>,
        label: impl Into<String>,
        value: Value,
    ) -> Draft<'_> {
        let provenance = Provenance {
            records: Vec::new(),
            inputs: Vec::new(),
            method: Method { formula: "as recorded".into(), source: RECORDED },
        };
        let fact = Fact {
            id: FactId::new(id),
            label: label.into(),
            value,
            uncertainty: None,
            unrounded: None,
            provenance,
        };
        Draft { facts: self.facts, fact }
    }

    /// A value as it stands in a record, or not recorded.
    // One flat call a record reads better than a struct built for it.
    #[allow(clippy::too_many_arguments)]
    pub fn recorded<T>(
        &mut self,
        id: impl AsRef<str>,
        label: &str,
        record: &str,
        found: Option<&Located<T>>,
        value: impl FnOnce(&T) -> Value,
        who: &str,
        home: &Place,
    ) -> FactId {
        match found {
            Some(found) => {
                let value = value(&found.value);
                self.fact(id, label, value).record(record, &found.place).done()
            }
            None => self.not_recorded(id, label, who, record, home),
        }
    }

    /// A fact nobody wrote down; `home` is the record in which it would stand.
    pub fn not_recorded(
        &mut self,
        id: impl AsRef<str>,
        label: &str,
        who: &str,
        record: &str,
        home: &Place,
    ) -> FactId {
        let missing = Missing::NotRecorded { item: label.into(), who: who.into() };
        self.fact(id, label, Value::Missing(missing)).record(record, home).done()
    }

    /// A fact that does not exist here, and why.
    pub fn missing(&mut self, id: impl AsRef<str>, label: &str, missing: Missing) -> FactId {
        self.fact(id, label, Value::Missing(missing)).done()
    }

    /// A copy of another fact under a second path.
    pub fn same(&mut self, id: impl AsRef<str>, of: &str) -> FactId {
        let fact =
            self.facts.get(of).unwrap_or_else(|| panic!("fact {of} is derived first")).clone();
        let mut draft = self.fact(id, fact.label, fact.value);
        draft.fact.uncertainty = fact.uncertainty;
        draft.fact.unrounded = fact.unrounded;
        draft.by("the same as the fact named", Source::definition("")).from(of).done()
    }

    /// Copies every fact below a path to below another.
    pub fn same_tree(&mut self, to: &str, of: &str) {
        let prefix = format!("{of}.");
        let ids: Vec<String> = self
            .facts
            .iter()
            .filter_map(|f| f.id.as_str().strip_prefix(&prefix).map(str::to_string))
            .collect();
        for rest in ids {
            self.same(format!("{to}.{rest}"), &format!("{of}.{rest}"));
        }
    }
}

/// The source of values taken over from a record.
pub const RECORDED: Source = Source::definition("taken over from the record named");

impl<'a> Draft<'a> {
    /// Names a record it was read from.
    pub fn record(mut self, path: impl Into<String>, place: &Place) -> Self {
        self.fact.provenance.records.push(Record { path: path.into(), place: place.clone() });
        self
    }

    /// Names another fact it was computed from.
    pub fn from(mut self, id: impl AsRef<str>) -> Self {
        self.fact.provenance.inputs.push(FactId::new(id));
        self
    }

    /// Says how it was computed.
    pub fn by(mut self, formula: impl Into<String>, source: Source) -> Self {
        self.fact.provenance.method = Method { formula: formula.into(), source };
        self
    }

    /// Keeps the number before rounding.
    pub fn unrounded(mut self, value: f64) -> Self {
        self.fact.unrounded = Some(value);
        self
    }

    /// Says how sure it is.
    pub fn uncertain(mut self, half_width: Reported, meaning: Source) -> Self {
        self.fact.uncertainty = Some(Uncertainty { half_width, meaning });
        self
    }

    /// Puts it in the store.
    pub fn done(self) -> FactId {
        self.facts.insert(self.fact)
    }
}

/// A day as a value.
pub fn day(date: NaiveDate) -> Value {
    Value::Date(PartialDate::Day(date))
}

/// A whole number as a value.
pub fn whole(value: i64, unit: Unit) -> Value {
    Value::Number(Reported::whole(value, unit))
}

/// A yes or no as a value.
pub fn yes_no(yes: bool) -> Value {
    Value::Word(if yes { "yes" } else { "no" })
}

/// Typed text as a value.
pub fn text(text: &str) -> Value {
    Value::Text(text.to_string())
}

/// Which way a reported change goes: rose, fell or same.
pub fn direction(amount: Reported) -> Value {
    Value::Word(match amount.sign() {
        1 => "rose",
        -1 => "fell",
        _ => "same",
    })
}
