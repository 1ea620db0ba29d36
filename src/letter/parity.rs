//! Whether every language of a clinic says what the others say.
//!
//! A family must not go without a letter, or be told less, because of the
//! language it reads. The clinic's own language is the measure: each letter it
//! has for families, patients and schools exists in every other language, and
//! each phrase file such a letter uses has a counterpart with the same macros.
//! A language may have macros of its own besides: grammar differs.

use std::collections::{BTreeMap, BTreeSet};

use minijinja::machinery::ast::{Expr, Stmt};
use minijinja::machinery::{Span, parse};

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

    /// The phrase files that those letters use, and their macros.
    fn phrases(&self, found: &mut Vec<Diagnostic>) {
        let start = format!("phrases/{}-", self.own);
        let letters = self.own_letters();
        let used: BTreeSet<String> = letters.iter().flat_map(|(_, n, s)| imports(n, s)).collect();
        for name in used.iter().filter(|name| name.starts_with(&start)) {
            let Some(source) = self.sources.get(name) else { continue };
            let wanted = name.replacen(&start, &format!("phrases/{}-", self.other), 1);
            match self.sources.get(&wanted) {
                Some(theirs) => macros_differ((name, source), (&wanted, theirs), found),
                None => {
                    let place = Place::whole(&shown_name(name));
                    found.push(missing(place, &shown_name(&wanted), self.other));
                }
            }
        }
    }
}

fn missing(place: Place, wanted: &str, language: &str) -> Diagnostic {
    let message = format!("there is no `{wanted}`, so nobody who reads `{language}` is told this");
    Diagnostic::new(Code::PhraseMissing, Some(place), message).remedy(format!("write {wanted}"))
}

/// Macros of the first file that the second lacks or gives other arguments.
fn macros_differ(own: (&String, &Source), other: (&String, &Source), found: &mut Vec<Diagnostic>) {
    let theirs = macros(other.0, other.1);
    for ours in macros(own.0, own.1) {
        let place = own.1.place(ours.span.start_offset as usize, ours.span.end_offset as usize);
        let file = shown_name(other.0);
        match theirs.iter().find(|m| m.name == ours.name) {
            None => {
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
                found.push(fault.related(place, "the other language’s"));
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

/// Names of the files that a template takes macros from.
fn imports(name: &str, source: &Source) -> Vec<String> {
    let text = |expr: &Expr<'_>| match expr {
        Expr::Const(c) => c.value.as_str().map(str::to_string),
        _ => None,
    };
    children(name, source, |statement| match statement {
        Stmt::Import(import) => text(&import.expr),
        Stmt::FromImport(import) => text(&import.expr),
        _ => None,
    })
}
