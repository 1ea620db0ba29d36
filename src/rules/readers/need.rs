//! One item that a reader needs: the facts that can say it, when it applies,
//! and how it is called where it is missing.

use crate::diag::{Located, Place};
use crate::facts::{Fact, FactId, Facts, Missing, Value};

use super::super::condition::Condition;
use super::super::evaluate::MissingItem;
use super::super::verdict::Verdict;
use super::pattern::{ANY, Pattern};

/// An item.
#[derive(Debug, Clone)]
pub struct Need {
    /// Any one of these facts is enough; a single one may hold a `*`, and is
    /// then asked of each there is.
    pub facts: Vec<Located<Pattern>>,
    /// How it is called; what the fact itself says, if absent.
    pub item: Option<String>,
    /// Who can supply it; who the fact itself names, if absent.
    pub who: Option<String>,
    /// Asked for only where this fact is known: skin where there was an
    /// examination.
    pub with: Option<Pattern>,
    /// When it applies; always, if absent.
    pub when: Option<Condition>,
    /// Where it is written.
    pub place: Place,
}

/// An optional item that is not recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Absent {
    /// The facts that could have said it.
    pub facts: Vec<FactId>,
    /// How it is called.
    pub item: String,
}

impl Need {
    /// What is missing of a required item; nothing where it does not apply.
    pub fn lacking(&self, facts: &Facts) -> Vec<MissingItem> {
        if !self.applies(facts) {
            return Vec::new();
        }
        if let [one] = &self.facts[..] {
            let each = expanded(&one.value, facts);
            return each
                .iter()
                .filter_map(|id| self.lacks(facts, std::slice::from_ref(id)))
                .collect();
        }
        let ids: Vec<String> = self.facts.iter().map(|f| f.value.to_string()).collect();
        self.lacks(facts, &ids).into_iter().collect()
    }

    /// Nothing if one of the facts is known.
    fn lacks(&self, facts: &Facts, ids: &[String]) -> Option<MissingItem> {
        if ids.iter().any(|id| is_known(facts, id)) {
            return None;
        }
        let first = ids.first().and_then(|id| facts.get(id));
        let (what, who) = told(first, ids.first().map_or("", String::as_str));
        let what = match (&self.item, first.and_then(Fact::missing)) {
            (None, _) => what,
            // One of them could have been recorded: that is what is missing.
            (Some(item), Some(why)) if !ids.iter().any(|id| is_not_recorded(facts, id)) => {
                format!("{item}: {}", why.reason())
            }
            (Some(item), _) => format!("{item}: not recorded"),
        };
        Some(MissingItem { what, who: Some(self.who.clone().unwrap_or(who)) })
    }

    /// An optional item that applies and that nobody recorded. What does not
    /// apply, cannot be compared or cannot be told is not called so.
    pub fn absent(&self, facts: &Facts) -> Option<Absent> {
        if !self.applies(facts) {
            return None;
        }
        let ids: Vec<String> = self.facts.iter().map(|f| f.value.to_string()).collect();
        let item = self.item.clone().unwrap_or_default();
        let absent = ids.iter().all(|id| is_not_recorded(facts, id));
        absent.then(|| Absent { facts: ids.iter().map(FactId::new).collect(), item })
    }

    /// Only what is known to apply is asked for.
    fn applies(&self, facts: &Facts) -> bool {
        let with = self.with.as_ref().is_none_or(|with| is_known(facts, &with.to_string()));
        with && self.when.as_ref().is_none_or(|when| when.evaluate(facts).verdict == Verdict::Met)
    }
}

/// The ids of a pattern, one for each name that stands where it has a `*`.
fn expanded(pattern: &Pattern, facts: &Facts) -> Vec<String> {
    pattern.steps().iter().fold(vec![String::new()], |paths, step| {
        let below = |path: &String| -> Vec<String> {
            let join = |name: &str| match path.as_str() {
                "" => name.to_string(),
                path => format!("{path}.{name}"),
            };
            match step.as_str() {
                ANY => facts.children(path).into_iter().map(join).collect(),
                name => vec![join(name)],
            }
        };
        paths.iter().flat_map(below).collect()
    })
}

/// A value, or facts with values below the path.
fn is_known(facts: &Facts, id: &str) -> bool {
    match facts.get(id) {
        Some(fact) => fact.missing().is_none() && fact.word() != Some(NOT_RECORDED),
        None => !facts.children(id).is_empty(),
    }
}

fn is_not_recorded(facts: &Facts, id: &str) -> bool {
    match facts.get(id).map(|f| &f.value) {
        Some(Value::Missing(missing)) => missing.kind() == NOT_RECORDED,
        Some(Value::Word(word)) => *word == NOT_RECORDED,
        Some(_) => false,
        None => facts.children(id).is_empty(),
    }
}

/// Some closed sets have this word of their own.
const NOT_RECORDED: &str = "not recorded";

/// What a fact says of its own absence, and who can supply it.
fn told(fact: Option<&Fact>, id: &str) -> (String, String) {
    let clinic = || "the clinic".to_string();
    match fact.map(|f| (f, f.missing())) {
        Some((_, Some(Missing::NotRecorded { item, who }))) => {
            (format!("{item}: not recorded"), who.clone())
        }
        Some((fact, Some(other))) => (format!("{}: {}", fact.label, other.reason()), clinic()),
        Some((fact, None)) => (format!("{}: not recorded", fact.label), clinic()),
        None => (format!("{id}: not recorded"), clinic()),
    }
}
