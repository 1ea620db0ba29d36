//! Where facts come from: value, records, formula, source, inputs.

use std::collections::BTreeSet;
use std::fmt::Write;

use endplate::facts::{Fact, FactId, Facts};
use serde_json::json;

use crate::cli::terminal::Terminal;
use crate::cli::{Format, Stop};

/// The facts of one case on one day, ready to be shown.
pub struct Shown<'a> {
    pub facts: &'a Facts,
    pub case: &'a str,
}

impl Shown<'_> {
    /// Every fact, one line each.
    pub fn all(&self, format: Format, terminal: &mut Terminal) -> Result<(), Stop> {
        if format == Format::Json {
            let list: Vec<_> = self.facts.iter().map(as_json).collect();
            terminal.print_json(&self.wrapped(json!(list)))?;
            return Ok(());
        }
        let mut out = format!("{} as known on {}\n", self.case, self.facts.as_of);
        for fact in self.facts.iter() {
            let _ = writeln!(out, "{}: {}", fact.id, with_doubt(fact));
        }
        terminal.print(&out)?;
        Ok(())
    }

    /// One fact, or all below a path, down to records and sources; whether
    /// there is any.
    pub fn one(&self, path: &str, format: Format, terminal: &mut Terminal) -> Result<bool, Stop> {
        let below = format!("{path}.");
        let hit = |f: &&Fact| f.id.as_str() == path || f.id.as_str().starts_with(&below);
        let exact = self.facts.get(path).into_iter();
        let inside = self.facts.iter().filter(|f| f.id.as_str() != path).filter(hit);
        let found: Vec<&Fact> = exact.chain(inside).collect();
        if found.is_empty() {
            return Ok(false);
        }
        self.deep(&found, format, terminal)?;
        Ok(true)
    }

    /// These facts in their order, each told once, down to records and sources.
    pub fn these(
        &self,
        ids: &[FactId],
        format: Format,
        terminal: &mut Terminal,
    ) -> Result<(), Stop> {
        let mut seen = BTreeSet::new();
        let known = ids.iter().filter_map(|id| self.facts.get(id.as_str()));
        let facts: Vec<&Fact> = known.filter(|fact| seen.insert(fact.id.as_str())).collect();
        self.deep(&facts, format, terminal)
    }

    /// Facts with all they were computed from.
    fn deep(&self, facts: &[&Fact], format: Format, terminal: &mut Terminal) -> Result<(), Stop> {
        let mut told = BTreeSet::new();
        if format == Format::Json {
            let mut list = Vec::new();
            facts.iter().for_each(|fact| self.gather(fact, &mut told, &mut list));
            terminal.print_json(&self.wrapped(json!(list)))?;
            return Ok(());
        }
        let mut out = format!("{} as known on {}\n", self.case, self.facts.as_of);
        facts.iter().for_each(|fact| self.tell(fact, 0, &mut told, &mut out));
        terminal.print(&out)?;
        Ok(())
    }

    fn wrapped(&self, list: serde_json::Value) -> serde_json::Value {
        json!({ "case": self.case, "as_of": self.facts.as_of.to_string(), "facts": list })
    }

    /// A fact and, further in, what it was computed from; each told once.
    fn tell<'a>(
        &'a self,
        fact: &'a Fact,
        depth: usize,
        told: &mut BTreeSet<&'a str>,
        out: &mut String,
    ) {
        let pad = "  ".repeat(depth);
        let _ = writeln!(out, "{pad}{}: {}", fact.id, with_doubt(fact));
        if !told.insert(fact.id.as_str()) {
            let _ = writeln!(out, "{pad}    (explained above)");
            return;
        }
        for line in details(fact) {
            let _ = writeln!(out, "{pad}    {line}");
        }
        for input in &fact.provenance.inputs {
            match self.facts.get(input.as_str()) {
                Some(input) => self.tell(input, depth + 1, told, out),
                None => {
                    let _ = writeln!(out, "{pad}  {input}: not among the facts");
                }
            }
        }
    }

    /// The same, as a flat list.
    fn gather<'a>(
        &'a self,
        fact: &'a Fact,
        told: &mut BTreeSet<&'a str>,
        list: &mut Vec<serde_json::Value>,
    ) {
        if !told.insert(fact.id.as_str()) {
            return;
        }
        list.push(as_json(fact));
        for input in &fact.provenance.inputs {
            if let Some(input) = self.facts.get(input.as_str()) {
                self.gather(input, told, list);
            }
        }
    }

    /// Facts with a name like this one, for a slip of the keyboard.
    pub fn near(&self, path: &str) -> String {
        let alike = |fact: &Fact| strsim::jaro_winkler(path, fact.id.as_str());
        let mut facts: Vec<&Fact> = self.facts.iter().filter(|f| alike(f) > 0.8).collect();
        facts.sort_by(|a, b| alike(b).total_cmp(&alike(a)));
        let names: Vec<_> = facts.iter().take(3).map(|f| format!("`{}`", f.id)).collect();
        match names.is_empty() {
            true => "without a fact, `explain` lists all of them".to_string(),
            false => format!("did you mean {}?", names.join(" or ")),
        }
    }
}

/// The lines under a fact: what it is, how it was made, from which records.
fn details(fact: &Fact) -> Vec<String> {
    let mut lines = vec![format!("what     {}", fact.label)];
    if let Some(unrounded) = fact.unrounded {
        lines.push(format!("exactly  {unrounded:.3}, rounded once"));
    }
    if let Some(doubt) = &fact.uncertainty {
        lines.push(format!("doubt    {}", doubt.meaning.line()));
    }
    lines.push(format!("formula  {}", fact.provenance.method.formula));
    lines.push(format!("source   {}", fact.provenance.method.source.line()));
    for record in &fact.provenance.records {
        lines.push(format!("record   {} ({})", record.place, record.path));
    }
    lines
}

fn with_doubt(fact: &Fact) -> String {
    let value = fact.value.said();
    match &fact.uncertainty {
        Some(doubt) => format!("{value}, give or take {}", doubt.half_width.said()),
        None => value,
    }
}

fn as_json(fact: &Fact) -> serde_json::Value {
    let method = &fact.provenance.method;
    let record = |r: &endplate::facts::Record| json!({ "path": r.path, "file": &*r.place.file, "line": r.place.line, "column": r.place.column });
    let inputs: Vec<_> = fact.provenance.inputs.iter().map(|id| id.as_str()).collect();
    json!({
        "id": fact.id.as_str(),
        "label": fact.label,
        "value": fact.value.said(),
        "number": fact.number().map(|n| json!({ "value": n.value(), "unit": n.unit().ucum() })),
        "missing": fact.missing().map(|m| m.kind()),
        "unrounded": fact.unrounded,
        "uncertainty": fact.uncertainty.as_ref().map(|u| json!({
            "half_width": u.half_width.value(),
            "meaning": u.meaning.line(),
        })),
        "formula": method.formula,
        "source": method.source.line(),
        "grade": method.source.grade.words(),
        "records": fact.provenance.records.iter().map(record).collect::<Vec<_>>(),
        "inputs": inputs,
    })
}
