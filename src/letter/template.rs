//! The template language of letters.
//!
//! A template is Markdown with tags: `{{ … }}` prints, `{% … %}` decides,
//! `{# … #}` is a note. Templates choose words; they cannot compute. Whatever
//! they print travels as an opaque token, so that text typed in a case is
//! never read as Markdown, and every value keeps the id of its fact.
//!
//! This file holds the engine and its filters and functions; it knows no
//! case, no file and no clock. Sources come in as a map from name
//! (`letters/en/progress.md.j2`, `phrases/en.md.j2`) to text.
//!
//! # Facts
//!
//! Facts are reached by their dotted id: `{{ curves.thoracic.now.cobb }}`.
//! A step above facts is a *group*: `{% for c in curves %} … {% endfor %}`
//! visits its children in the order they were derived, and
//! `curves["main thoracic"]` reaches a child whose name is no identifier.
//! `{% if curves.thoracic is defined %}` asks whether a child exists;
//! `has("curves.thoracic.now")` asks the same of a whole path, even if
//! `curves` itself is absent. Any other use of something that does not exist
//! is an error that names it.
//!
//! | attribute | of | what it is |
//! |---|---|---|
//! | `.key` | group, fact | its own name, `thoracic`; for comparing and for `[…]` |
//! | `.path` | group, fact | the dotted path; for comparing |
//! | `.known` | fact | true if there is a value |
//! | `.missing` | fact | none, or `"not recorded"`, `"not applicable"`, `"not comparable"`, `"cannot tell"`; for comparing |
//! | `.reason` | fact | why there is no value; printed |
//! | `.word` | fact | the word of a closed set, or `"left"`, `"right"`; none if missing; for comparing |
//! | `.text` | fact | typed text; for comparing with a `.key` |
//! | `.sign` | fact | of a number: `"below"`, `"zero"`, `"above"`; for comparing |
//! | `.label` | fact | what it is, in words; printed |
//! | `.uncertainty` | fact | half the width of its interval, `5°`; not defined if it has none |
//! | `.citation` | fact | the publication behind it; not defined if it has none |
//!
//! # Conditions
//!
//! `==`, `!=`, `in […]`, `<` take `.word`, `.missing`, `.sign`, `.key`,
//! `loop.index`, `x | count` and quoted words: `{% if change.word == "worse" %}`,
//! `{% if curves | count > 1 %}`. For a value in a variable or a macro's
//! argument write `x is eq("worse")`, which refuses a whole fact. A fact is
//! neither true nor false: write `x.known`. `and`, `or`, `not`,
//! `is defined`, `is not defined` are there; an `if` inside an expression
//! needs its `else`: `{{ "rose" if x.sign == "above" else "fell" }}`.
//!
//! # Printing
//!
//! A fact prints in the style of letters to doctors; filters change that and
//! can be chained: `{{ change.thoracic | size | plain }}`.
//!
//! | filter | on | prints |
//! |---|---|---|
//! | (none) | | `27°`, `18 h/day`, `55 %`, `20 October 2026`, `13 years 7 months`, `T5–T11`, `the disc T11–T12`, `right` |
//! | `plain` | number, span | `27 degrees`, `18 hours a day`, `55 per cent`, `T5 to T11` |
//! | `bare` | number, disc | `27`, `T11–T12`: where the head of a column names the unit |
//! | `signed` | number | `+7°`, `−4°`, `0°` |
//! | `size` | number | `4°` for −4° |
//! | `in_words` | number | `two`, `two hours a day`; above twelve, digits |
//! | `plural("film", "films")` | number, count | `one film`, `two films`, `14 films` |
//! | `in_words` | a count | `{{ curves | count | in_words }}` |
//! | `date` | date | `20 October 2026` (the default) |
//! | `date_short` | date | `20 Oct 2026` |
//! | `month` | date | `October 2026` |
//! | `short` | date | `Oct 2026` |
//! | `year` | date | `2026` |
//! | `age_short` | age | `13 y 7 mo` |
//! | `years` | age | `13 years` |
//! | `side` | side | `right` (the default) |
//! | `cap` | any but text | with a capital first letter |
//! | `or_say("…")` | any | these words if there is no value |
//!
//! A fact without value prints nothing by itself: that is the error
//! `prints-missing`, which names it. A bare number (`loop.index`, a count)
//! cannot be printed, and no digit may stand in a template: `1.` at the head
//! of a numbered list excepted; a name such as C7 is `{{ term("C7") }}`.
//! Words in quotes print as they are, without Markdown.
//!
//! # Lists of values
//!
//! `x | count`, `x | first`, `x | last` take a group or a list.
//! `and_list`, `or_list`, `comma_list` join a list of values or words, a
//! group's facts, or the lines of a `{% set %}` block:
//!
//! ```text
//! {% set parts %}
//! {% for c in curves %}
//! {{ c.now.cobb }} {{ c.side }}
//! {% endfor %}
//! {% endset %}
//! The curves measure {{ parts | and_list }}.
//! ```
//!
//! # Functions
//!
//! | function | what it does |
//! |---|---|
//! | `has("path")` | whether a fact or group of that path exists |
//! | `remark(text)`, `remark(text, by)` | typed text as a block of its own, set as written |
//! | `figures("spine", "course thoracic")` | a place for figures, side by side, a block of its own |
//! | `summary("…")` | what the table that follows shows, for readers who cannot see it; every table needs one |
//! | `term("C7")` | a name that holds digits |
//! | `require(fact)` | prints nothing; an error if the fact has no value |
//! | `fail("…")` | stops with that message |
//!
//! # Beside facts
//!
//! What a letter knows beside facts (`letter.greeting`, `letter.question`)
//! prints like a fact, as typed, and has `.known`. Words of closed sets among
//! them are compared through `.word` too: `letter.to.role.word == "family"`.
//! What there is: [`super::frame::extras`].
//!
//! # Macros
//!
//! What a macro or a `set` block writes flows into the sentence it is printed
//! in: line ends become spaces and those at its edges vanish, unless it holds
//! a blank line, a list, a table or a heading.
//!
//! # Markdown
//!
//! `#` to `###`, paragraphs, flat lists, tables with a `summary`, `*italic*`,
//! `**bold**`, a backslash at the end of a line for a line break. Everything
//! else is an error. Lines may be indented freely. Spaces before punctuation
//! and doubled spaces vanish; a full stop after a text that ends with one is
//! dropped. Paragraphs without words vanish; a heading without words, or with
//! nothing under it, is an error.
//!
//! `{% import "phrases/en.md.j2" as say %}`, `{% include %}`, `{% macro %}`,
//! `{% set %}`, `{% with %}` work as usual, and macros see all facts.

use std::collections::BTreeMap;
use std::sync::Arc;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Rest, Value, ValueKind};
use minijinja::{AutoEscape, Environment, Error, Output, State, UndefinedBehavior};

use super::grammar;
use super::object::{Fault, Group, Leaf, Session, SessionObject, Typed, WordOf, fault};
use super::token::Token;
use super::wording::{self, Say, SignForm, TimeForm, UnitForm};
use crate::diag::{Code, Report};
use crate::facts::Value as FactValue;

/// Filters a template may use.
pub(super) const FILTERS: &[&str] = &[
    "plain",
    "bare",
    "signed",
    "size",
    "in_words",
    "date",
    "date_short",
    "month",
    "short",
    "year",
    "age_short",
    "years",
    "side",
    "cap",
    "plural",
    "or_say",
    "count",
    "first",
    "last",
    "and_list",
    "or_list",
    "comma_list",
];

/// Tests a template may use.
pub(super) const TESTS: &[&str] = &["defined", "undefined", "eq", "ne"];

/// The hidden global that filters and functions find their composition by; it
/// is no identifier, so that no template can name it.
const SESSION: &str = "(session)";

/// Work one composition may do. The longest shipped letter takes a small part
/// of it; a runaway loop ends within a blink.
const FUEL: u64 = 500_000;

/// The templates of a clinic, checked and ready.
#[derive(Debug, Clone)]
pub struct Templates {
    environment: Environment<'static>,
    sources: BTreeMap<String, String>,
}

impl Templates {
    /// Checks and loads templates by name. A template with a fault is left
    /// out and its faults reported; the others work.
    pub fn load(sources: BTreeMap<String, String>) -> (Templates, Report) {
        let mut report = Report::default();
        let mut environment = environment();
        for (name, source) in &sources {
            let faults = grammar::faults(name, source, syntax());
            if faults.is_empty() {
                // The same parser has just accepted it.
                if let Err(e) = environment.add_template_owned(name.clone(), source.clone()) {
                    report.push(super::compose::diagnostic(&e, name, &sources));
                }
            }
            faults.into_iter().for_each(|f| report.push(f));
        }
        (Templates { environment, sources }, report)
    }

    /// Whether there is a faultless template of that name.
    pub fn has(&self, name: &str) -> bool {
        self.environment.get_template(name).is_ok()
    }

    /// The sources by name, for snippets and for digests.
    pub fn sources(&self) -> &BTreeMap<String, String> {
        &self.sources
    }

    pub(super) fn for_session(
        &self,
        session: &Arc<Session>,
        globals: Vec<(String, Value)>,
    ) -> Environment<'static> {
        let mut environment = self.environment.clone();
        environment.add_global(SESSION, Value::from_object(SessionObject(session.clone())));
        globals.into_iter().for_each(|(name, value)| environment.add_global(name, value));
        environment
    }
}

fn syntax() -> SyntaxConfig {
    SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build().unwrap_or_default()
}

fn environment() -> Environment<'static> {
    let mut env = Environment::empty();
    env.set_undefined_behavior(UndefinedBehavior::Strict);
    env.set_fuel(Some(FUEL));
    // Remembers where an undefined value came from, so that errors name it.
    env.set_debug(true);
    env.set_syntax(syntax());
    // What templates and macros write is "safe"; all other strings are not,
    // and the formatter prints those as tokens.
    env.set_auto_escape_callback(|_| AutoEscape::Custom("letter".into()));
    env.set_formatter(format);
    env.add_test("defined", |v: &Value| !v.is_undefined());
    env.add_test("undefined", |v: &Value| v.is_undefined());
    env.add_test("eq", |a: &Value, b: &Value| same(a, b));
    env.add_test("ne", |a: &Value, b: &Value| same(a, b).map(|same| !same));
    add_wording_filters(&mut env);
    add_list_filters(&mut env);
    add_functions(&mut env);
    env
}

/// Compares plain words and counts; a fact or a text is refused.
fn same(a: &Value, b: &Value) -> Result<bool, Error> {
    match [a, b].iter().find(|v| v.as_object().is_some() || v.is_undefined()) {
        Some(v) if v.is_undefined() => Err(undefined(v)),
        Some(v) => {
            let message = format!("{} cannot be compared as a whole", name_of(v));
            let fault = Fault::new(Code::TemplateFault, message);
            Err(fault.remedy("compare its `.word` or `.missing`").into())
        }
        None => Ok(a == b),
    }
}

/// The engine's own error for an undefined value, which knows its name.
fn undefined(value: &Value) -> Error {
    match value.get_attr("") {
        Err(error) => error,
        Ok(_) => fault("something is undefined"),
    }
}

/// How an object is called in messages.
fn name_of(value: &Value) -> String {
    if let Some(leaf) = value.downcast_object_ref::<Leaf>() {
        return format!("the fact `{}`", leaf.id);
    }
    if let Some(group) = value.downcast_object_ref::<Group>() {
        return format!("the group of facts `{}`", group.path());
    }
    if value.downcast_object_ref::<Typed>().is_some() {
        return "a typed text".into();
    }
    if value.downcast_object_ref::<WordOf>().is_some() {
        return "a word of a closed set".into();
    }
    format!("a {}", value.kind())
}

fn session(state: &State) -> Result<Arc<Session>, Error> {
    let object = state.lookup(SESSION);
    let found = object.as_ref().and_then(|o| o.downcast_object_ref::<SessionObject>());
    found.map(|s| s.0.clone()).ok_or_else(|| fault("a template works only inside a letter"))
}

/// The only way from a value into the letter's text.
fn format(out: &mut Output, state: &mut State, value: &Value) -> Result<(), Error> {
    let session = session(state)?;
    let misused = session.gathered().misused.pop_first();
    if let Some(what) = misused {
        let message = format!("`{what}` stands as a condition, or is compared, as a whole");
        return Err(Fault::new(Code::TemplateFault, message)
            .remedy("at this line or shortly before it: ask `.known`, or compare its `.word`")
            .into());
    }
    Ok(out.write_str(&written(&session, value)?)?)
}

/// What stands in the text for a value: words of the template as they are,
/// everything else as a mark.
fn written(session: &Session, value: &Value) -> Result<String, Error> {
    if value.is_undefined() {
        return Err(undefined(value));
    }
    if let Some(text) = value.as_str() {
        return match (value.is_safe(), text.trim()) {
            (true, _) => Ok(flowing(text)),
            (_, "") => Ok(text.to_string()),
            _ => session.token(Token::Words(text.to_string()), "a word in quotes"),
        };
    }
    if let Some(leaf) = value.downcast_object_ref::<Leaf>() {
        return leaf.mark();
    }
    if let Some(typed) = value.downcast_object_ref::<Typed>() {
        return typed.mark();
    }
    if let Some(word) = value.downcast_object_ref::<WordOf>() {
        return word.mark();
    }
    Err(match value.kind() {
        ValueKind::Number => Fault::new(Code::TemplateFault, "cannot print a bare number")
            .remedy("print a fact; a count can be said as {{ x | count | in_words }}")
            .into(),
        _ => fault(format!("cannot print {}", name_of(value))),
    })
}

/// What a macro or a `set` block wrote, fit to stand inside a sentence: line
/// ends become spaces. Text with a blank line is blocks, and a line that
/// begins a list, a table or a heading stays one.
fn flowing(text: &str) -> String {
    let starts = |l: &str| ["|", "#", "- ", "+ ", "* ", "1."].iter().any(|s| l.starts_with(s));
    let whole = text.trim_matches(['\n', '\r']);
    if text.contains("\n\n") || whole.lines().skip(1).any(|l| starts(l.trim_start())) {
        return text.to_string();
    }
    // A space at an edge was written on purpose; a line end was not.
    let lines: Vec<&str> = whole.lines().collect();
    lines.join(" ")
}

/// Changes how a fact is said, if it is of the right kind.
fn with(
    value: &Value,
    filter: &str,
    fits: impl Fn(&FactValue) -> bool,
    change: impl FnOnce(&mut Say),
) -> Result<Value, Error> {
    if value.is_undefined() {
        return Err(undefined(value));
    }
    let Some(leaf) = value.downcast_object_ref::<Leaf>() else {
        return Err(fault(format!("`{filter}` takes a fact, not {}", name_of(value))));
    };
    // A missing fact keeps its say: it may be printed through `or_say`.
    if !fits(&leaf.value) && !matches!(leaf.value, FactValue::Missing(_)) {
        return Err(fault(format!("`{filter}` does not fit `{}`", leaf.id)));
    }
    let mut leaf = leaf.clone();
    change(&mut leaf.say);
    Ok(Value::from_object(leaf))
}

fn add_wording_filters(env: &mut Environment<'static>) {
    let number = |v: &FactValue| matches!(v, FactValue::Number(_));
    let date = |v: &FactValue| matches!(v, FactValue::Date(_));
    let age = |v: &FactValue| matches!(v, FactValue::Age(_));
    let spelled = |v: &FactValue| {
        matches!(v, FactValue::Number(_) | FactValue::Levels(..) | FactValue::Apex(_))
    };
    macro_rules! filter {
        ($name:literal, $fits:expr, |$say:ident| $change:expr) => {
            env.add_filter($name, move |v: &Value| with(v, $name, $fits, |$say| $change))
        };
    }
    filter!("plain", spelled, |say| say.unit = UnitForm::Plain);
    filter!("bare", spelled, |say| say.unit = UnitForm::Bare);
    filter!("signed", number, |say| say.sign = SignForm::Signed);
    filter!("size", number, |say| say.sign = SignForm::Size);
    filter!("date", date, |say| say.time = TimeForm::Full);
    filter!("date_short", date, |say| say.time = TimeForm::Narrow);
    filter!("month", date, |say| say.time = TimeForm::Month);
    filter!("short", date, |say| say.time = TimeForm::MonthShort);
    filter!("year", date, |say| say.time = TimeForm::Year);
    filter!("age_short", age, |say| say.time = TimeForm::Narrow);
    filter!("years", age, |say| say.time = TimeForm::Year);
    filter!("side", |v| matches!(v, FactValue::Side(_)), |say| say.capital |= false);
    filter!("cap", |v| !matches!(v, FactValue::Text(_)), |say| say.capital = true);
    env.add_filter("or_say", move |v: &Value, words: String| {
        with(v, "or_say", |_| true, |say| say.or_say = Some(words))
    });
    env.add_filter("plural", move |state: &State, v: &Value, one: String, many: String| {
        match (v.kind(), v.as_i64()) {
            (ValueKind::Number, Some(n)) => {
                count_in_words(state, n, Some(if n == 1 { &one } else { &many }))
            }
            _ => with(v, "plural", number, |say| {
                say.in_words = true;
                say.noun = Some((one, many));
            }),
        }
    });
    env.add_filter("in_words", move |state: &State, v: &Value| match (v.kind(), v.as_i64()) {
        (ValueKind::Number, Some(count)) => count_in_words(state, count, None),
        _ => with(v, "in_words", number, |say| say.in_words = true),
    });
}

/// A count of a group in words: it is no fact of its own, but every thing it
/// counts was looked up.
fn count_in_words(state: &State, count: i64, noun: Option<&str>) -> Result<Value, Error> {
    let session = session(state)?;
    let word = wording::small_word(count, session.style.language);
    let number = word.map_or_else(|| count.to_string(), str::to_string);
    let text = noun.map_or_else(|| number.clone(), |noun| format!("{number} {noun}"));
    let token = Token::Value { fact: None, text, keep: false };
    Ok(Value::from_safe_string(session.token(token, "a count")?))
}

fn items(value: &Value) -> Result<Vec<Value>, Error> {
    if value.is_undefined() {
        return Err(undefined(value));
    }
    match value.kind() {
        ValueKind::Seq | ValueKind::Iterable => Ok(value.try_iter()?.collect()),
        _ => Err(fault(format!("takes a group or a list, not {}", name_of(value)))),
    }
}

fn add_list_filters(env: &mut Environment<'static>) {
    env.add_filter("count", |v: &Value| items(v).map(|items| items.len()));
    env.add_filter("first", |v: &Value| one_of(v, |mut items| items.drain(..).next()));
    env.add_filter("last", |v: &Value| one_of(v, |mut items| items.pop()));
    env.add_filter("and_list", |s: &State, v: &Value| join(s, v, Some(0)));
    env.add_filter("or_list", |s: &State, v: &Value| join(s, v, Some(1)));
    env.add_filter("comma_list", |s: &State, v: &Value| join(s, v, None));
}

fn one_of(value: &Value, pick: impl FnOnce(Vec<Value>) -> Option<Value>) -> Result<Value, Error> {
    pick(items(value)?).ok_or_else(|| fault(format!("{} is empty", name_of(value))))
}

fn join(state: &State, value: &Value, last: Option<usize>) -> Result<Value, Error> {
    let session = session(state)?;
    let parts: Vec<String> = match value.as_str() {
        Some(text) if value.is_safe() => text.lines().map(str::to_string).collect(),
        _ => items(value)?.iter().map(|v| written(&session, v)).collect::<Result<_, _>>()?,
    };
    let parts: Vec<&str> = parts.iter().map(|p| p.trim()).filter(|p| !p.is_empty()).collect();
    let joined = match (parts.split_last(), last) {
        (None, _) => return Err(fault("joins an empty list")),
        (Some((one, [])), _) => one.to_string(),
        (_, None) => parts.join(", "),
        (Some((end, before)), Some(which)) => {
            let word = session.style.language.and_or[which];
            format!("{} {word} {end}", before.join(", "))
        }
    };
    Ok(Value::from_safe_string(joined))
}

fn add_functions(env: &mut Environment<'static>) {
    env.add_function("remark", |text: &Value, by: Option<Value>| remark(text, by.as_ref()));
    env.add_function("figures", |state: &State, wanted: Rest<String>| {
        if !(1..=2).contains(&wanted.len()) {
            return Err(fault(format!("figures takes one or two names, not {}", wanted.len())));
        }
        block(session(state)?.token(Token::Slot(wanted.0), "figures")?)
    });
    env.add_function("summary", |state: &State, text: &Value| {
        let session = session(state)?;
        let marked = written(&session, text)?;
        let plain = session.gathered().tokens.plain(&marked);
        block(session.token(Token::Summary(plain.trim().to_string()), "a summary")?)
    });
    env.add_function("term", |state: &State, text: String| {
        let token = Token::Value { fact: None, text, keep: true };
        session(state)?.token(token, "a term").map(Value::from_safe_string)
    });
    env.add_function("require", |value: &Value| match value.downcast_object_ref::<Leaf>() {
        Some(leaf) => leaf.require().map(|()| Value::from("")),
        None if value.is_undefined() => Err(undefined(value)),
        None => Err(fault(format!("require takes a fact, not {}", name_of(value)))),
    });
    env.add_function("fail", |message: String| -> Result<Value, Error> { Err(fault(message)) });
}

/// Blocks stand between blank lines.
fn block(mark: String) -> Result<Value, Error> {
    Ok(Value::from_safe_string(format!("\n\n{mark}\n\n")))
}

fn remark(text: &Value, by: Option<&Value>) -> Result<Value, Error> {
    if text.is_undefined() {
        return Err(undefined(text));
    }
    let by = match by.map(|by| (by, by.downcast_object_ref::<Typed>())) {
        None => None,
        Some((_, Some(typed))) => typed.text.clone(),
        Some((by, None)) => match by.as_str() {
            Some(by) => Some(by.to_string()),
            None => return Err(fault(format!("remark is by a name, not {}", name_of(by)))),
        },
    };
    if let Some(leaf) = text.downcast_object_ref::<Leaf>() {
        return block(leaf.remark(by)?);
    }
    match text.downcast_object_ref::<Typed>() {
        Some(typed) => block(typed.remark(by)?),
        None => Err(fault(format!("remark takes typed text, not {}", name_of(text)))),
    }
}
