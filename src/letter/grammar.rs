//! What may stand in a template, checked before anything is composed.
//!
//! The parsed template is walked once: arithmetic, cutting and joining of
//! strings, comparison of a fact as a whole, unknown filters, numbers in the
//! text. What only the values can tell is checked by the objects themselves.

use std::collections::BTreeSet;

use minijinja::machinery::ast::{
    BinOpKind, CallArg, Compare, CompareOpKind, Expr, Filter, Spanned, Stmt, UnaryOpKind,
};
use minijinja::machinery::{Span, parse};
use minijinja::syntax::SyntaxConfig;
use minijinja::value::ValueKind;

use super::closed_set;
use super::language::{self, Language};
use super::source::Source;
use super::template::{FILTERS, TESTS};
use super::token::is_reserved;
use crate::diag::{Code, Diagnostic};

/// Attributes whose values are plain words or counts and may be compared.
const COMPARABLE: &[&str] =
    &["word", "text", "missing", "sign", "key", "path", "index", "index0", "revindex", "length"];

/// Attributes that print sentences of the program, which are English.
const PROGRAM_WORDS: &[&str] = &["reason", "why", "label"];

/// Attributes that are for comparing, not for printing.
const NOT_PRINTED: &[&str] = &["word", "text", "missing", "sign", "known", "path", "foreign"];

/// Parses a template and reports everything in it that templates may not do.
pub(super) fn faults(name: &str, source: &Source, syntax: SyntaxConfig) -> Vec<Diagnostic> {
    walked(name, source, syntax).found
}

/// Macros of other files that a template calls: the name under which the file
/// was imported, and the macro's.
pub(super) fn calls(
    name: &str,
    source: &Source,
    syntax: SyntaxConfig,
) -> BTreeSet<(String, String)> {
    walked(name, source, syntax).calls
}

fn walked<'a>(name: &str, source: &'a Source, syntax: SyntaxConfig) -> Walk<'a> {
    let language = language::of_template(name).filter(|l| !l.own_words);
    let (found, macros, calls) = (Vec::new(), Vec::new(), BTreeSet::new());
    let mut walk = Walk { source, found, macros, language, calls };
    walk.reserved();
    match parse(source.prepared(), name, syntax) {
        Ok(template) => {
            walk.macros = macro_names(&template);
            walk.statement(&template);
        }
        Err(error) => {
            let range = error.range().unwrap_or_default();
            let place = match error.line() {
                Some(line) if range.is_empty() => source.line(line),
                _ => source.place(range.start, range.end),
            };
            let detail = error.detail().unwrap_or("not a template").to_string();
            walk.found.push(Diagnostic::new(Code::TemplateFault, Some(place), detail));
        }
    }
    walk
}

/// Names of the macros that a template makes at its top.
fn macro_names(template: &Stmt<'_>) -> Vec<String> {
    let Stmt::Template(template) = template else { return Vec::new() };
    let name = |statement: &Stmt<'_>| match statement {
        Stmt::Macro(m) => Some(m.name.to_string()),
        _ => None,
    };
    template.children.iter().filter_map(name).collect()
}

/// The steps of a printed path, whatever filters it goes through.
fn path_of<'a>(expr: &'a Expr<'_>) -> Option<(Vec<&'a str>, Span)> {
    match expr {
        Expr::Var(var) => Some((vec![var.id], var.span())),
        Expr::GetAttr(get) => {
            let (mut path, from) = path_of(&get.expr)?;
            path.push(get.name);
            Some((path, Span { start_offset: from.start_offset, ..get.span() }))
        }
        Expr::GetItem(get) => {
            let (mut path, from) = path_of(&get.expr)?;
            path.push("*");
            Some((path, Span { start_offset: from.start_offset, ..get.span() }))
        }
        Expr::Filter(filter) => path_of(filter.expr.as_ref()?),
        _ => None,
    }
}

struct Walk<'a> {
    source: &'a Source,
    found: Vec<Diagnostic>,
    macros: Vec<String>,
    /// The language the template is written in, where the closed sets' own
    /// words are none of its words.
    language: Option<&'static Language>,
    calls: BTreeSet<(String, String)>,
}

impl Walk<'_> {
    fn push(&mut self, code: Code, start: usize, end: usize, message: String) -> &mut Diagnostic {
        let place = self.source.place(start, end);
        self.found.push(Diagnostic::new(code, Some(place), message));
        let last = self.found.len() - 1;
        &mut self.found[last]
    }

    fn fault(&mut self, span: Span, message: impl Into<String>, remedy: &str) {
        let (start, end) = (span.start_offset as usize, span.end_offset as usize);
        let diagnostic = self.push(Code::TemplateFault, start, end, message.into());
        if !remedy.is_empty() {
            diagnostic.remedy = Some(remedy.to_string());
        }
    }

    fn reserved(&mut self) {
        let source = self.source.prepared();
        for (at, c) in source.char_indices().filter(|(_, c)| is_reserved(*c)) {
            let message = format!("a private-use character, U+{:04X}", u32::from(c));
            self.push(Code::ReservedCharacter, at, at + c.len_utf8(), message);
        }
    }

    fn statements(&mut self, list: &[Stmt<'_>]) {
        list.iter().for_each(|s| self.statement(s));
    }

    fn statement(&mut self, statement: &Stmt<'_>) {
        match statement {
            Stmt::Template(t) => self.statements(&t.children),
            Stmt::EmitRaw(raw) => self.raw(raw.raw),
            Stmt::EmitExpr(emit) => self.emitted(&emit.expr),
            Stmt::ForLoop(f) => {
                self.expression(&f.iter);
                f.filter_expr.iter().for_each(|e| self.expression(e));
                self.statements(&f.body);
                self.statements(&f.else_body);
            }
            Stmt::IfCond(i) => {
                self.expression(&i.expr);
                self.statements(&i.true_body);
                self.statements(&i.false_body);
            }
            Stmt::WithBlock(w) => {
                w.assignments.iter().for_each(|(_, value)| self.expression(value));
                self.statements(&w.body);
            }
            Stmt::Set(s) => self.expression(&s.expr),
            Stmt::SetBlock(s) => {
                s.filter.iter().for_each(|e| self.expression(e));
                self.statements(&s.body);
            }
            Stmt::Block(b) => self.statements(&b.body),
            Stmt::Macro(m) => {
                m.defaults.iter().for_each(|e| self.expression(e));
                self.statements(&m.body);
            }
            Stmt::CallBlock(c) => {
                self.arguments(&c.call.args);
                self.statements(&c.macro_decl.body);
            }
            Stmt::Import(_) | Stmt::FromImport(_) | Stmt::Extends(_) | Stmt::Include(_) => {}
            Stmt::AutoEscape(s) => self.fault(s.span(), "the tag `autoescape` does not exist", ""),
            Stmt::FilterBlock(s) => self.fault(s.span(), "the tag `filter` does not exist", ""),
            Stmt::Do(s) => self.fault(s.span(), "the tag `do` does not exist", ""),
        }
    }

    /// Numbers in the words of a template; only the marks of numbered lists
    /// and headings are Markdown's own.
    fn raw(&mut self, raw: &str) {
        // The words are a slice of the source, so that their offset is known.
        let start = self.source.prepared().as_ptr() as usize;
        let offset = (raw.as_ptr() as usize).saturating_sub(start);
        let mut at = 0;
        while let Some(found) = raw[at..].find(char::is_numeric) {
            let start = at + found;
            let digits = &raw[start..];
            let length = digits.find(|c: char| !c.is_numeric()).unwrap_or(digits.len());
            at = start + length;
            if !self.is_list_mark(offset + start, &raw[at..]) {
                let text = &raw[start..at];
                let message = format!("the number {text} stands in the template");
                self.push(Code::NumberInTemplate, offset + start, offset + at, message);
            }
        }
    }

    fn is_list_mark(&self, start: usize, after: &str) -> bool {
        let text = self.source.prepared();
        let before = &text[..start.min(text.len())];
        let line = before.rsplit('\n').next().unwrap_or_default();
        line.trim().is_empty() && after.starts_with([')', '.']) && after[1..].starts_with(' ')
    }

    /// Reports a printed path whose words have no phrase in the template's
    /// language, or are sentences of the program's own.
    fn unsaid(&mut self, expr: &Expr<'_>) {
        let Some(language) = self.language else { return };
        let Some((path, span)) = path_of(expr) else { return };
        let last = path.last().copied().unwrap_or_default();
        let (message, remedy) = if PROGRAM_WORDS.contains(&last) {
            let message = format!("prints `.{last}`, whose words are not in `{}`", language.tag);
            (message, "say it in words of the template")
        } else {
            let said = |w: &&str| language.words.iter().any(|(word, _)| word == w);
            let missing: Vec<&str> = closed_set::words_of(&path).filter(|w| !said(w)).collect();
            if missing.is_empty() {
                return;
            }
            let words = missing.join("`, `");
            let message = format!(
                "`{}` may print `{words}`, which has no phrase in `{}`",
                path.join("."),
                language.tag
            );
            (message, "compare its `.word`, and say each case in words of the template")
        };
        let (start, end) = (span.start_offset as usize, span.end_offset as usize);
        self.push(Code::PhraseMissing, start, end, message).remedy = Some(remedy.to_string());
    }

    fn emitted(&mut self, expr: &Expr<'_>) {
        self.unsaid(expr);
        match expr {
            Expr::GetAttr(get) if NOT_PRINTED.contains(&get.name) => self.fault(
                get.span(),
                format!("prints `.{}`, which is there to be compared", get.name),
                "print the fact itself, or say each case in words of the template",
            ),
            Expr::Const(c) if c.value.kind() == ValueKind::Number => {
                let (start, end) = (c.span().start_offset, c.span().end_offset);
                let message = format!("the number {} stands in the template", c.value);
                self.push(Code::NumberInTemplate, start as usize, end as usize, message);
            }
            Expr::IfExpr(choice) => {
                self.choice(choice);
                self.emitted(&choice.true_expr);
                choice.false_expr.iter().for_each(|e| self.emitted(e));
            }
            _ => self.expression(expr),
        }
    }

    fn choice(&mut self, choice: &Spanned<minijinja::machinery::ast::IfExpr<'_>>) {
        self.expression(&choice.test_expr);
        if choice.false_expr.is_none() {
            let remedy = "write … else \"\", which prints nothing";
            self.fault(choice.span(), "an `if` inside an expression has no `else`", remedy);
        }
    }

    fn expression(&mut self, expr: &Expr<'_>) {
        match expr {
            Expr::Var(_) | Expr::Const(_) => {}
            Expr::Slice(s) => self.fault(s.span(), "nothing can be cut into pieces", ""),
            Expr::UnaryOp(u) => match u.op {
                UnaryOpKind::Not => self.expression(&u.expr),
                UnaryOpKind::Neg => self.arithmetic(u.span(), "-"),
            },
            Expr::BinOp(b) => self.binary(b.op, &b.left, &b.right, b.span()),
            Expr::Compare(c) => self.compare(c),
            Expr::IfExpr(choice) => {
                self.choice(choice);
                self.expression(&choice.true_expr);
                choice.false_expr.iter().for_each(|e| self.expression(e));
            }
            Expr::Filter(f) => self.filter(f),
            Expr::Test(t) => {
                if !TESTS.contains(&t.name) {
                    let message = format!("the test `{}` does not exist", t.name);
                    self.fault(t.span(), message, &format!("tests are {}", TESTS.join(", ")));
                }
                self.expression(&t.expr);
                self.arguments(&t.args);
            }
            Expr::GetAttr(g) => {
                self.hidden(&g.expr);
                self.expression(&g.expr);
            }
            Expr::GetItem(g) => {
                self.expression(&g.expr);
                self.expression(&g.subscript_expr);
            }
            Expr::Call(c) => {
                if let Expr::GetAttr(get) = &c.expr
                    && let Expr::Var(file) = &get.expr
                {
                    self.calls.insert((file.id.to_string(), get.name.to_string()));
                }
                self.expression(&c.expr);
                self.arguments(&c.args);
            }
            Expr::List(l) => l.items.iter().for_each(|e| self.expression(e)),
            Expr::Tuple(t) => t.items.iter().for_each(|e| self.expression(e)),
            Expr::Map(m) => self.fault(m.span(), "a template makes no maps", ""),
        }
    }

    /// A macro hides facts of its name: `treatment.current` is then a part of
    /// the macro, which has none.
    fn hidden(&mut self, expr: &Expr<'_>) {
        let Expr::Var(var) = expr else { return };
        if let Some(at) = self.macros.iter().position(|m| m == var.id) {
            // Once is enough: the name is the fault.
            self.macros.remove(at);
            let message = format!("the macro `{0}` hides the facts `{0}`", var.id);
            self.fault(var.span(), message, "give the macro another name");
        }
    }

    fn arguments(&mut self, args: &[CallArg<'_>]) {
        for arg in args {
            match arg {
                CallArg::Pos(e)
                | CallArg::Kwarg(_, e)
                | CallArg::PosSplat(e)
                | CallArg::KwargSplat(e) => self.expression(e),
            }
        }
    }

    fn arithmetic(&mut self, span: Span, sign: &str) {
        let remedy = "a change, a sum or a rate is a fact of its own: print that fact";
        self.fault(span, format!("a template cannot compute: `{sign}`"), remedy);
    }

    fn binary(&mut self, op: BinOpKind, left: &Expr<'_>, right: &Expr<'_>, span: Span) {
        let sign = match op {
            BinOpKind::Add => "+",
            BinOpKind::Sub => "-",
            BinOpKind::Mul => "*",
            BinOpKind::Div | BinOpKind::FloorDiv => "/",
            BinOpKind::Rem => "%",
            BinOpKind::Pow => "**",
            BinOpKind::Concat => {
                let remedy = "put the parts side by side: {{ a }} {{ b }}";
                return self.fault(span, "a template cannot join values: `~`", remedy);
            }
            BinOpKind::ScAnd | BinOpKind::ScOr => {
                self.expression(left);
                return self.expression(right);
            }
            BinOpKind::In => {
                self.operand(left);
                return self.choices(right);
            }
            _ => {
                self.operand(left);
                return self.operand(right);
            }
        };
        self.arithmetic(span, sign);
    }

    fn compare(&mut self, compare: &Spanned<Compare<'_>>) {
        self.operand(&compare.expr);
        for op in &compare.ops {
            match op.op {
                CompareOpKind::In | CompareOpKind::NotIn => self.choices(&op.expr),
                _ => self.operand(&op.expr),
            }
        }
    }

    /// What stands after `in`.
    fn choices(&mut self, expr: &Expr<'_>) {
        match expr {
            Expr::List(l) => l.items.iter().for_each(|e| self.operand(e)),
            Expr::Tuple(t) => t.items.iter().for_each(|e| self.operand(e)),
            other => {
                self.fault(other.span(), "`in` takes a list of words", "x.word in [\"a\", \"b\"]")
            }
        }
    }

    /// A fact compared with text would be quietly false for ever, so that
    /// only what is plain by its name may stand beside `==`.
    fn operand(&mut self, expr: &Expr<'_>) {
        match expr {
            Expr::Const(_) => {}
            Expr::GetAttr(g) if COMPARABLE.contains(&g.name) => self.expression(&g.expr),
            Expr::Filter(f) if f.name == "count" => self.filter(f),
            other => self.fault(
                other.span(),
                "compares something that may be a whole fact",
                "compare its `.word`, `.missing` or `.sign`, count with `| count`, \
                 or write `x is eq(\"word\")`",
            ),
        }
    }

    fn filter(&mut self, filter: &Spanned<Filter<'_>>) {
        if !FILTERS.contains(&filter.name) {
            let near = FILTERS.iter().find(|f| strsim::jaro_winkler(f, filter.name) > 0.85);
            let remedy = near.map_or_else(
                || "a template cannot change or compute values; print a fact that says it".into(),
                |near| format!("did you mean `{near}`?"),
            );
            let message = format!("the filter `{}` does not exist", filter.name);
            self.fault(filter.span(), message, &remedy);
        }
        filter.expr.iter().for_each(|e| self.expression(e));
        self.arguments(&filter.args);
    }
}
