//! What a letter's template names although it is closed to its reader.
//!
//! The template is read before there is a case: through the phrases it
//! imports, the parts it includes and the macros it calls, with the facts that
//! are handed to them. A step that only a case can tell (a child in a loop, a
//! key in a variable) is any child, and something is reported only if it is
//! closed whatever stands there. What slips through is refused at access.

use std::collections::{BTreeMap, BTreeSet};

use minijinja::machinery::ast::{CallArg, Expr, Macro, Stmt};
use minijinja::machinery::{Span, parse};
use minijinja::syntax::SyntaxConfig;

use super::function::figure_names;
use super::session::CLOSED_HERE;
use super::source::Source;
use crate::diag::{Code, Diagnostic, Place, Report};
use crate::rules::readers::{Door, Reader, Readers};

/// Names that are no facts: what the letter knows beside them, and functions.
const NO_FACTS: &[&str] = &[
    "letter",
    "loop",
    "has",
    "remark",
    "figures",
    "summary",
    "term",
    "require",
    "fail",
    "not_recorded",
];

/// Attributes of a fact or group that are no step of a path.
const ATTRIBUTES: &[&str] = &[
    "key",
    "path",
    "known",
    "missing",
    "reason",
    "why",
    "word",
    "text",
    "sign",
    "label",
    "uncertainty",
    "citation",
    "foreign",
];

/// The templates by name, parsed.
type Parsed<'a> = BTreeMap<&'a str, Stmt<'a>>;

/// Every closed path that the template of a reader names, in each language.
pub(super) fn faults(
    sources: &BTreeMap<String, Source>,
    readers: &Readers,
    syntax: SyntaxConfig,
) -> Report {
    let parsed: Parsed = sources
        .iter()
        .filter_map(|(name, source)| {
            Some((name.as_str(), parse(source.prepared(), name, syntax.clone()).ok()?))
        })
        .collect();
    let mut report = Report::default();
    for name in parsed.keys() {
        let stem = name.strip_suffix(".md.j2").and_then(|n| n.rsplit('/').next());
        let letters = name.starts_with("letters/");
        if let Some(reader) = stem.filter(|_| letters).and_then(|stem| readers.get(stem)) {
            let mut walk = Walk::new(sources, &parsed, reader);
            walk.template(name, &mut Scope::new());
            walk.found.into_values().for_each(|fault| report.push(fault));
        }
    }
    report
}

/// A path of facts; `None` is any child.
type Path = Vec<Option<String>>;

/// What a name or an expression may stand for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    /// Facts or groups of one of these paths.
    Facts(Vec<Path>),
    /// An imported template.
    Module(String),
    /// A macro of a template.
    Macro(String, String),
    /// Anything else: words, lists, what the letter knows beside facts.
    Other,
}

/// Names in force.
type Scope = BTreeMap<String, Thing>;

struct Walk<'a> {
    sources: &'a BTreeMap<String, Source>,
    parsed: &'a Parsed<'a>,
    reader: &'a Reader,
    /// The template that is read now.
    here: String,
    /// What was called on the way here.
    calls: Vec<Place>,
    /// Macros already read, with what was handed to them.
    read: BTreeSet<(String, String, Vec<Thing>)>,
    /// Faults by place and path.
    found: BTreeMap<(Place, String), Diagnostic>,
}

impl<'a> Walk<'a> {
    fn new(
        sources: &'a BTreeMap<String, Source>,
        parsed: &'a Parsed<'a>,
        reader: &'a Reader,
    ) -> Walk<'a> {
        let (here, calls) = (String::new(), Vec::new());
        Walk { sources, parsed, reader, here, calls, read: BTreeSet::new(), found: BTreeMap::new() }
    }

    /// Reads a template whole and gives the names it leaves in force.
    fn template(&mut self, name: &str, scope: &mut Scope) {
        let Some(Stmt::Template(template)) = self.parsed.get(name) else { return };
        // A part that includes itself is a fault of another kind.
        if self.here == name || self.calls.len() > DEPTH {
            return;
        }
        let before = std::mem::replace(&mut self.here, name.to_string());
        for statement in &template.children {
            if let Stmt::Macro(m) = statement {
                let thing = Thing::Macro(name.to_string(), m.name.to_string());
                scope.insert(m.name.to_string(), thing);
            }
        }
        self.statements(&template.children, scope);
        self.here = before;
    }

    fn statements(&mut self, list: &[Stmt<'_>], scope: &mut Scope) {
        list.iter().for_each(|s| self.statement(s, scope));
    }

    fn statement(&mut self, statement: &Stmt<'_>, scope: &mut Scope) {
        match statement {
            Stmt::EmitExpr(emit) => drop(self.ask(&emit.expr, scope)),
            Stmt::ForLoop(f) => {
                let each = child(self.ask(&f.iter, scope));
                let mut inner = scope.clone();
                bind(&f.target, each, &mut inner);
                f.filter_expr.iter().for_each(|e| drop(self.ask(e, &inner)));
                self.statements(&f.body, &mut inner);
                self.statements(&f.else_body, &mut scope.clone());
            }
            Stmt::IfCond(i) => {
                self.ask(&i.expr, scope);
                // A name set in one branch may be in force after it.
                self.statements(&i.true_body, scope);
                self.statements(&i.false_body, scope);
            }
            Stmt::WithBlock(w) => {
                let mut inner = scope.clone();
                for (target, value) in &w.assignments {
                    let value = self.ask(value, scope);
                    bind(target, value, &mut inner);
                }
                self.statements(&w.body, &mut inner);
            }
            Stmt::Set(s) => {
                let value = self.ask(&s.expr, scope);
                bind(&s.target, value, scope);
            }
            Stmt::SetBlock(s) => {
                self.statements(&s.body, &mut scope.clone());
                bind(&s.target, Thing::Other, scope);
            }
            Stmt::Block(b) => self.statements(&b.body, scope),
            Stmt::CallBlock(c) => {
                let args = c.call.args.iter().map(|a| self.argument(a, scope).1).collect();
                let callee = self.value(&c.call.expr, scope);
                self.call(callee, args, c.call.span());
                self.statements(&c.macro_decl.body, &mut scope.clone());
            }
            Stmt::Import(i) => {
                let module = named(&i.expr);
                if let Some(name) = &module {
                    self.template(name, &mut Scope::new());
                }
                bind(&i.name, module.map_or(Thing::Other, Thing::Module), scope);
            }
            Stmt::FromImport(f) => {
                let Some(module) = named(&f.expr) else { return };
                self.template(&module, &mut Scope::new());
                for (name, alias) in &f.names {
                    let Some(own) = variable(name) else { continue };
                    let thing = Thing::Macro(module.clone(), own);
                    bind(alias.as_ref().unwrap_or(name), thing, scope);
                }
            }
            Stmt::Include(i) => {
                if let Some(name) = named(&i.name) {
                    self.called(i.span(), |walk| walk.template(&name, &mut scope.clone()));
                }
            }
            // The rest shows nothing, or is refused by the grammar.
            _ => {}
        }
    }

    /// Reads something below another place.
    fn called(&mut self, span: Span, read: impl FnOnce(&mut Self)) {
        let depth = self.calls.len();
        self.calls.extend(self.place(span));
        read(self);
        self.calls.truncate(depth);
    }

    fn place(&self, span: Span) -> Option<Place> {
        let source = self.sources.get(&self.here)?;
        Some(source.place(span.start_offset as usize, span.end_offset as usize))
    }

    /// Reads an expression for what it shows: a path that stands by itself is
    /// looked at.
    fn ask(&mut self, expr: &Expr<'_>, scope: &Scope) -> Thing {
        let thing = self.value(expr, scope);
        if let Thing::Facts(paths) = &thing {
            paths.clone().iter().for_each(|path| self.look(path, whole(expr)));
        }
        thing
    }

    /// What an expression stands for; everything inside it is read too.
    fn value(&mut self, expr: &Expr<'_>, scope: &Scope) -> Thing {
        match expr {
            Expr::Var(var) => self.named(var.id, scope),
            Expr::GetAttr(get) => match self.value(&get.expr, scope) {
                Thing::Module(module) => Thing::Macro(module, get.name.to_string()),
                Thing::Facts(paths) if ATTRIBUTES.contains(&get.name) => Thing::Facts(paths),
                Thing::Facts(paths) => below(paths, Some(get.name.to_string())),
                _ => Thing::Other,
            },
            Expr::GetItem(get) => {
                self.ask(&get.subscript_expr, scope);
                let key = text(&get.subscript_expr);
                match self.value(&get.expr, scope) {
                    Thing::Facts(paths) => below(paths, key),
                    _ => Thing::Other,
                }
            }
            Expr::Filter(f) => self.filtered(f, scope),
            Expr::IfExpr(choice) => {
                self.ask(&choice.test_expr, scope);
                let yes = self.ask(&choice.true_expr, scope);
                let no = choice.false_expr.as_ref().map(|e| self.ask(e, scope));
                either(yes, no.unwrap_or(Thing::Other))
            }
            Expr::Call(c) => {
                self.function(&c.expr, &c.args, c.span(), scope);
                Thing::Other
            }
            other => {
                parts(other).into_iter().for_each(|e| drop(self.ask(e, scope)));
                Thing::Other
            }
        }
    }

    fn named(&self, name: &str, scope: &Scope) -> Thing {
        match scope.get(name) {
            Some(thing) => thing.clone(),
            None if NO_FACTS.contains(&name) => Thing::Other,
            None => Thing::Facts(vec![vec![Some(name.to_string())]]),
        }
    }

    /// Filters hand on what they say; of a list they pick one.
    fn filtered(&mut self, f: &minijinja::machinery::ast::Filter<'_>, scope: &Scope) -> Thing {
        f.args.iter().for_each(|a| drop(self.argument(a, scope)));
        let Some(expr) = &f.expr else { return Thing::Other };
        let of = self.ask(expr, scope);
        match f.name {
            "first" | "last" => child(of),
            "count" | "and_list" | "or_list" | "comma_list" => Thing::Other,
            _ => of,
        }
    }

    fn argument(&mut self, arg: &CallArg<'_>, scope: &Scope) -> (Option<String>, Thing) {
        match arg {
            CallArg::Pos(e) | CallArg::PosSplat(e) | CallArg::KwargSplat(e) => {
                (None, self.ask(e, scope))
            }
            CallArg::Kwarg(name, e) => (Some((*name).to_string()), self.ask(e, scope)),
        }
    }

    /// A function that asks for facts by name, or a macro.
    fn function(&mut self, callee: &Expr<'_>, args: &[CallArg<'_>], span: Span, scope: &Scope) {
        let words = args.iter().filter_map(|arg| match arg {
            CallArg::Pos(e) => text(e),
            _ => None,
        });
        match variable(callee).filter(|name| !scope.contains_key(name)).as_deref() {
            Some("has") => {
                let asked = words.map(|w| w.split('.').map(|s| Some(s.to_string())).collect());
                asked.collect::<Vec<Path>>().iter().for_each(|path| self.look(path, span));
            }
            Some("figures") => words.collect::<Vec<_>>().iter().for_each(|wanted| {
                for figure in figure_names(wanted) {
                    self.look(&vec![Some("figures".to_string()), Some(figure.to_string())], span);
                }
            }),
            _ => {}
        }
        let args: Vec<_> = args.iter().map(|arg| self.argument(arg, scope)).collect();
        let callee = self.value(callee, scope);
        let positional = args.iter().filter(|(name, _)| name.is_none()).map(|(_, t)| t.clone());
        let named = args.iter().filter_map(|(name, t)| Some((name.clone()?, t.clone())));
        let named: Vec<(String, Thing)> = named.collect();
        self.call_with(callee, positional.collect(), &named, span);
    }

    fn call(&mut self, callee: Thing, args: Vec<Thing>, span: Span) {
        self.call_with(callee, args, &[], span);
    }

    /// Reads a macro's body with what is handed to it.
    fn call_with(
        &mut self,
        callee: Thing,
        args: Vec<Thing>,
        by_name: &[(String, Thing)],
        span: Span,
    ) {
        let Thing::Macro(module, name) = callee else { return };
        let parsed = self.parsed;
        let Some((scope, m)) = found(parsed, &module, &name) else { return };
        let mut inner = scope;
        let mut handed = Vec::new();
        for (n, target) in m.args.iter().enumerate() {
            let own = variable(target).unwrap_or_default();
            let by_name = by_name.iter().find(|(name, _)| *name == own).map(|(_, t)| t.clone());
            let thing = by_name.or_else(|| args.get(n).cloned()).unwrap_or(Thing::Other);
            handed.push(thing.clone());
            inner.insert(own, thing);
        }
        if !self.read.insert((module.clone(), name, handed)) || self.calls.len() > DEPTH {
            return;
        }
        self.called(span, |walk| {
            let before = std::mem::replace(&mut walk.here, module);
            m.defaults.iter().for_each(|e| drop(walk.ask(e, &inner)));
            walk.statements(&m.body, &mut inner);
            walk.here = before;
        });
    }

    /// Reports a path that is closed whatever stands where it is open-ended.
    fn look(&mut self, path: &Path, span: Span) {
        let steps: Vec<Option<&str>> = path.iter().map(Option::as_deref).collect();
        let Door::Closed(line) = self.reader.access.door_of(&steps) else { return };
        let Some(place) = self.place(span) else { return };
        let shown: Vec<&str> = steps.iter().map(|s| s.unwrap_or("*")).collect();
        let shown = shown.join(".");
        let stem = &*self.reader.stem;
        let message = format!("`{shown}` is closed to the reader `{stem}`");
        let fault = Diagnostic::new(Code::ClosedToReader, Some(place.clone()), message);
        let mut fault = fault.related(line.clone(), CLOSED_HERE);
        for call in self.calls.iter().rev() {
            fault = fault.related(call.clone(), "included or called from here");
        }
        let remedy = format!("leave it out, or open it in {}", self.reader.file());
        self.found.entry((place, shown)).or_insert_with(|| fault.remedy(remedy));
    }
}

/// How deep macros may call each other; more is a fault of another kind.
const DEPTH: usize = 32;

/// A macro with the names in force where it stands.
fn found<'p>(parsed: &'p Parsed<'p>, module: &str, name: &str) -> Option<(Scope, &'p Macro<'p>)> {
    let Some(Stmt::Template(template)) = parsed.get(module) else { return None };
    let mut scope = Scope::new();
    let mut own = None;
    for statement in &template.children {
        match statement {
            Stmt::Macro(m) => {
                let thing = Thing::Macro(module.to_string(), m.name.to_string());
                scope.insert(m.name.to_string(), thing);
                own = (m.name == name).then_some(&**m).or(own);
            }
            Stmt::Import(i) => {
                let module = self::named(&i.expr).map_or(Thing::Other, Thing::Module);
                bind(&i.name, module, &mut scope);
            }
            Stmt::FromImport(f) => {
                let Some(module) = self::named(&f.expr) else { continue };
                for (name, alias) in &f.names {
                    let Some(of) = variable(name) else { continue };
                    let thing = Thing::Macro(module.clone(), of);
                    bind(alias.as_ref().unwrap_or(name), thing, &mut scope);
                }
            }
            _ => {}
        }
    }
    Some((scope, own?))
}

/// A child of whatever it is.
fn child(of: Thing) -> Thing {
    match of {
        Thing::Facts(paths) => below(paths, None),
        _ => Thing::Other,
    }
}

fn below(paths: Vec<Path>, step: Option<String>) -> Thing {
    let down = |mut path: Path| {
        path.push(step.clone());
        path
    };
    Thing::Facts(paths.into_iter().map(down).collect())
}

fn either(one: Thing, other: Thing) -> Thing {
    match (one, other) {
        (Thing::Facts(mut one), Thing::Facts(other)) => {
            one.extend(other);
            Thing::Facts(one)
        }
        (Thing::Other, thing) | (thing, Thing::Other) => thing,
        (one, _) => one,
    }
}

fn bind(target: &Expr<'_>, thing: Thing, scope: &mut Scope) {
    match target {
        Expr::Var(var) => drop(scope.insert(var.id.to_string(), thing)),
        Expr::Tuple(t) => t.items.iter().for_each(|e| bind(e, Thing::Other, scope)),
        Expr::List(l) => l.items.iter().for_each(|e| bind(e, Thing::Other, scope)),
        _ => {}
    }
}

fn variable(expr: &Expr<'_>) -> Option<String> {
    match expr {
        Expr::Var(var) => Some(var.id.to_string()),
        _ => None,
    }
}

/// The span of a path from its first name on; the engine's own begins at its
/// last step.
fn whole(expr: &Expr<'_>) -> Span {
    let mut first = expr;
    while let Expr::GetAttr(get) = first {
        first = &get.expr;
    }
    Span { start_offset: first.span().start_offset, ..expr.span() }
}

/// A word in quotes.
fn text(expr: &Expr<'_>) -> Option<String> {
    match expr {
        Expr::Const(c) => c.value.as_str().map(str::to_string),
        _ => None,
    }
}

/// The name of a template in quotes.
fn named(expr: &Expr<'_>) -> Option<String> {
    text(expr)
}

/// The parts of an expression that has no path of its own.
fn parts<'e>(expr: &'e Expr<'e>) -> Vec<&'e Expr<'e>> {
    match expr {
        Expr::UnaryOp(u) => vec![&u.expr],
        Expr::BinOp(b) => vec![&b.left, &b.right],
        Expr::Compare(c) => {
            std::iter::once(&c.expr).chain(c.ops.iter().map(|op| &op.expr)).collect()
        }
        Expr::Test(t) => {
            let args = t.args.iter().map(|arg| match arg {
                CallArg::Pos(e)
                | CallArg::Kwarg(_, e)
                | CallArg::PosSplat(e)
                | CallArg::KwargSplat(e) => e,
            });
            std::iter::once(&t.expr).chain(args).collect()
        }
        Expr::List(l) => l.items.iter().collect(),
        Expr::Tuple(t) => t.items.iter().collect(),
        _ => Vec::new(),
    }
}
