//! One fact, and the ordered store of a letter's facts.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use chrono::NaiveDate;

use crate::diag::Place;
use crate::evidence::Source;
use crate::quantity::{Age, PartialDate, Reported};
use crate::spine::{Apex, Level, Side};

/// A dotted path that names one fact of one case on one day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactId(Arc<str>);

impl FactId {
    /// An id of that path.
    pub fn new(path: impl AsRef<str>) -> Self {
        FactId(path.as_ref().into())
    }

    /// The path.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FactId {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What a fact says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A rounded number with its unit.
    Number(Reported),
    /// A date as precisely as known.
    Date(PartialDate),
    /// An age in years and months.
    Age(Age),
    /// A vertebra.
    Level(Level),
    /// A span of vertebrae, upper and lower end.
    Levels(Level, Level),
    /// A vertebra or disc.
    Apex(Apex),
    /// A side of the patient.
    Side(Side),
    /// A word of a closed set, such as a verdict or a posture. Templates may
    /// compare it; the phrase files say it in each language.
    Word(&'static str),
    /// Text as typed in the case; never evaluated, never compared.
    Text(String),
    /// There is no value, and why.
    Missing(Missing),
}

impl Value {
    /// The value in plain words, the same in every run and language: for
    /// explanations and comparisons, never for a letter.
    pub fn said(&self) -> String {
        match self {
            Value::Number(n) => n.said(),
            Value::Date(date) => date.to_string(),
            Value::Age(age) => format!("{} years {} months", age.years, age.months),
            Value::Level(level) => level.to_string(),
            Value::Levels(upper, lower) => format!("{upper} to {lower}"),
            Value::Apex(apex) => apex.to_string(),
            Value::Side(Side::Left) => "left".to_string(),
            Value::Side(Side::Right) => "right".to_string(),
            Value::Word(word) => word.to_string(),
            Value::Text(text) => format!("\"{}\"", text.escape_debug()),
            Value::Missing(missing) => missing.reason(),
        }
    }
}

/// Why there is no value. None of these is zero, and none is "normal".
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Missing {
    /// Nobody wrote it down; who could supply it.
    NotRecorded {
        /// What is missing, in words.
        item: String,
        /// Who can supply it, in words.
        who: String,
    },
    /// It has no meaning here; why.
    NotApplicable(String),
    /// Two things that may not be compared; why.
    NotComparable(String),
    /// The records do not decide it; why.
    CannotTell(String),
}

impl Missing {
    /// The reason in words.
    pub fn reason(&self) -> String {
        match self {
            Missing::NotRecorded { item, who } => format!("{item}: not recorded (ask {who})"),
            Missing::NotApplicable(why) => format!("not applicable: {why}"),
            Missing::NotComparable(why) => format!("not comparable: {why}"),
            Missing::CannotTell(why) => format!("cannot tell: {why}"),
        }
    }

    /// The reason alone, for a sentence that has said the kind.
    pub fn why(&self) -> &str {
        match self {
            Missing::NotRecorded { item, .. } => item,
            Missing::NotApplicable(why)
            | Missing::NotComparable(why)
            | Missing::CannotTell(why) => why,
        }
    }

    /// The kind, for templates to compare.
    pub fn kind(&self) -> &'static str {
        match self {
            Missing::NotRecorded { .. } => "not recorded",
            Missing::NotApplicable(_) => "not applicable",
            Missing::NotComparable(_) => "not comparable",
            Missing::CannotTell(_) => "cannot tell",
        }
    }
}

/// How far the true value may lie from the reported one.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertainty {
    /// Half the width of the interval, in the value's unit.
    pub half_width: Reported,
    /// What the interval means, with its source.
    pub meaning: Source,
}

/// A record that a fact came from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Record {
    /// `film f1 / reading r1 / curve thoracic / cobb`.
    pub path: String,
    /// File and line.
    pub place: Place,
}

/// How a fact was made: the formula and its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Method {
    /// The formula or rule in words and symbols.
    pub formula: String,
    /// Where that comes from.
    pub source: Source,
}

/// Where a fact came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Provenance {
    /// Records read directly.
    pub records: Vec<Record>,
    /// Other facts it was computed from.
    pub inputs: Vec<FactId>,
    /// How.
    pub method: Method,
}

/// One fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Its id.
    pub id: FactId,
    /// What it is, in words.
    pub label: String,
    /// What it says.
    pub value: Value,
    /// How sure that is.
    pub uncertainty: Option<Uncertainty>,
    /// The number before the one rounding, for verdicts near a threshold.
    pub unrounded: Option<f64>,
    /// Where it came from.
    pub provenance: Provenance,
}

impl Fact {
    /// The number, if it is one.
    pub fn number(&self) -> Option<Reported> {
        match self.value {
            Value::Number(n) => Some(n),
            _ => None,
        }
    }

    /// The word of a closed set, if it is one.
    pub fn word(&self) -> Option<&'static str> {
        match self.value {
            Value::Word(w) => Some(w),
            _ => None,
        }
    }

    /// Why there is no value, if there is none.
    pub fn missing(&self) -> Option<&Missing> {
        match &self.value {
            Value::Missing(m) => Some(m),
            _ => None,
        }
    }
}

/// The facts of one case as known on one day, in the order they were derived.
#[derive(Debug, Clone)]
pub struct Facts {
    /// The day whose knowledge they state.
    pub as_of: NaiveDate,
    list: Vec<Fact>,
    index: BTreeMap<FactId, usize>,
}

impl Facts {
    /// No facts yet.
    pub fn new(as_of: NaiveDate) -> Self {
        Facts { as_of, list: Vec::new(), index: BTreeMap::new() }
    }

    /// Adds a fact and returns its id. Panics if the id exists: two facts of
    /// one name are a mistake of the program.
    pub fn insert(&mut self, fact: Fact) -> FactId {
        let id = fact.id.clone();
        let old = self.index.insert(id.clone(), self.list.len());
        assert!(old.is_none(), "fact {id} derived twice");
        self.list.push(fact);
        id
    }

    /// The fact of that id.
    pub fn get(&self, id: &str) -> Option<&Fact> {
        self.index.get(&FactId::new(id)).map(|i| &self.list[*i])
    }

    /// All facts in the order they were derived.
    pub fn iter(&self) -> impl Iterator<Item = &Fact> {
        self.list.iter()
    }

    /// Names of the children of a path, in the order they were derived:
    /// `children("curves")` gives `thoracic`, `lumbar`.
    pub fn children(&self, path: &str) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for fact in &self.list {
            let rest = if path.is_empty() {
                Some(fact.id.as_str())
            } else {
                fact.id.as_str().strip_prefix(path).and_then(|r| r.strip_prefix('.'))
            };
            if let Some(name) = rest.and_then(|r| r.split('.').next())
                && !names.contains(&name)
            {
                names.push(name);
            }
        }
        names
    }
}
