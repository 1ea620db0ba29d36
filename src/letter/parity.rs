//! Whether every language of a clinic says what the others say.
//!
//! A family must not go without a letter, or be told less, because of the
//! language it reads. The clinic's own language is the measure: each letter it
//! has for families, patients and schools exists in every other language, and
//! each macro that such a letter calls has a counterpart with the same
//! arguments. Macros that only their own file calls are a language's own
//! affair: grammar differs.

use std::collections::{BTreeMap, BTreeSet};

use minijinja::machinery::ast::{Expr, Stmt};
use minijinja::machinery::{Span, parse};

use super::grammar;
use super::source::{Source, shown_name};
use super::template::{Templates, syntax};
use super::variant;
use crate::diag::{Code, Diagnostic, Place};

/// What the first of some languages says and another does not.
pub fn faults(templates: &Templates, languages: &[&str]) -> Vec<Diagnostic> {
    let Some((own, others)) = languages.split_first() else { return Vec::new() };
    let mut found = Vec::new();
    for other in others.iter().filter(|tag| *tag != own) {
        let pair = Pair { sources: templates.prepared(), own, other };
        pair.letters(&mut found);
        pair.phrases(&mut found);
    }
    found
}

struct Pair<'a> {
    sources: &'a BTreeMap<String, Source>,
    own: &'a str,
    other: &'a str,
}

impl<'a> Pair<'a> {
    /// Letters for families and schools in the first language.
    fn own_letters(&self) -> Vec<(String, String, &'a Source)> {
        let named = |stem: String| {
            let name = format!("letters/{}/{stem}.md.j2", self.own);
            self.sources.get(&name).map(|source| (stem, name, source))
        };
        variant::lay_stems().into_iter().filter_map(named).collect()
    }

    fn letters(&self, found: &mut Vec<Diagnostic>) {
        for (stem, name, _) in self.own_letters() {
            let wanted = format!("letters/{}/{stem}.md.j2", self.other);
            if !self.sources.contains_key(&wanted) {
                let wanted = shown_name(&wanted);
                found.push(missing(Place::whole(&shown_name(&name)), &wanted, self.other));
            }
        }
    }

    /// The macros that those letters call, in the phrase files they are in.
    fn phrases(&self, found: &mut Vec<Diagnostic>) {
        for (file, called) in self.called() {
            let Some(source) = self.sources.get(&file) else { continue };
            let start = format!("phrases/{}-", self.own);
            let Some(rest) = file.strip_prefix(&start) else { continue };
            let wanted = format!("phrases/{}-{rest}", self.other);
            match self.sources.get(&wanted) {
                Some(theirs) => {
                    differences(&called, (&file, source), (&wanted, theirs), found);
                }
                None => {
                    let place = Place::whole(&shown_name(&file));
                    found.push(missing(place, &shown_name(&wanted), self.other));
                }
            }
        }
    }

    /// By phrase file the macros that letters call, and the macros of other
    /// files that those files call in turn.
    fn called(&self) -> BTreeMap<String, BTreeSet<String>> {
        let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut waiting: Vec<(String, &Source)> =
            self.own_letters().into_iter().map(|(_, name, source)| (name, source)).collect();
        let mut seen = BTreeSet::new();
        while let Some((name, source)) = waiting.pop() {
            if !seen.insert(name.clone()) {
                continue;
            }
            let files = imports(&name, source);
            for (alias, called) in grammar::calls(&name, source, syntax()) {
                if let Some(file) = files.get(&alias) {
                    all.entry(file.clone()).or_default().insert(called);
                }
            }
            let next = files.into_values().filter_map(|f| Some((f.clone(), self.sources.get(&f)?)));
            waiting.extend(next);
        }
        all
    }
}

fn missing(place: Place, wanted: &str, language: &str) -> Diagnostic {
    let message = format!("there is no `{wanted}`, so nobody who reads `{language}` is told this");
    Diagnostic::new(Code::PhraseMissing, Some(place), message).remedy(format!("write {wanted}"))
}

/// Macros called of the first file that the second lacks or gives other
/// arguments.
fn differences(
    called: &BTreeSet<String>,
    own: (&String, &Source),
    other: (&String, &Source),
    found: &mut Vec<Diagnostic>,
) {
    let theirs = macros(other.0, other.1);
    for ours in macros(own.0, own.1).iter().filter(|m| called.contains(&m.name)) {
        let place = own.1.place(ours.span.start_offset as usize, ours.span.end_offset as usize);
        match theirs.iter().find(|m| m.name == ours.name) {
            None => {
                let file = shown_name(other.0);
                let message = format!("the macro `{}` is missing in `{file}`", ours.name);
                let fault = Diagnostic::new(Code::PhraseMissing, Some(place), message);
                found.push(fault.remedy(format!("write it there: {}", ours.head())));
            }
            Some(same) if same.args != ours.args => {
                let span = same.span;
                let at = other.1.place(span.start_offset as usize, span.end_offset as usize);
                let message =
                    format!("the macro is `{}`, and elsewhere `{}`", same.head(), ours.head());
                let fault = Diagnostic::new(Code::PhraseMissing, Some(at), message);
                found.push(fault.related(place, "in the clinic’s language"));
            }
            Some(_) => {}
        }
    }
}

struct Head {
    name: String,
    args: Vec<String>,
    span: Span,
}

impl Head {
    fn head(&self) -> String {
        format!("{}({})", self.name, self.args.join(", "))
    }
}

fn children<T>(name: &str, source: &Source, each: impl Fn(&Stmt<'_>) -> Option<T>) -> Vec<T> {
    match parse(source.prepared(), name, syntax()) {
        Ok(Stmt::Template(template)) => template.children.iter().filter_map(each).collect(),
        // Its faults are told where it was loaded.
        _ => Vec::new(),
    }
}

fn macros(name: &str, source: &Source) -> Vec<Head> {
    let named = |arg: &Expr<'_>| match arg {
        Expr::Var(var) => Some(var.id.to_string()),
        _ => None,
    };
    children(name, source, |statement| match statement {
        Stmt::Macro(m) => Some(Head {
            name: m.name.to_string(),
            args: m.args.iter().filter_map(named).collect(),
            span: m.span(),
        }),
        _ => None,
    })
}

/// The files that a template takes macros from, by the name it gives them.
fn imports(name: &str, source: &Source) -> BTreeMap<String, String> {
    let alias = |expr: &Expr<'_>| match expr {
        Expr::Var(var) => Some(var.id.to_string()),
        _ => None,
    };
    let file = |expr: &Expr<'_>| match expr {
        Expr::Const(c) => c.value.as_str().map(str::to_string),
        _ => None,
    };
    let all = children(name, source, |statement| match statement {
        Stmt::Import(import) => Some((alias(&import.name)?, file(&import.expr)?)),
        _ => None,
    });
    all.into_iter().collect()
}
