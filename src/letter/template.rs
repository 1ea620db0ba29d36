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
//! | `.reason` | fact | why there is no value, with its kind; printed |
//! | `.why` | fact | the same without the kind, for a sentence that has said it |
//! | `.word` | fact | the word of a closed set, or `"left"`, `"right"`; none if missing; for comparing |
//! | `.foreign` | typed text | true if it is not in the letter's language; `remark` then marks it |
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
//! | `plural("film", "films")` | number, count | `one film`, `two films`, `14 films`: the forms of the plural categories `one` and `other` of the locale |
//! | `plural("hora", "horas", gender="feminine")` | number, count | `una hora`, where one agrees with its noun |
//! | `in_words` | a count | `{{ curves | count | in_words }}` |
//! | `date` | date | `20 October 2026` (the default) |
//! | `date_short` | date | `20 Oct 2026` |
//! | `month` | date | `October 2026` |
//! | `short` | date | `Oct 2026` |
//! | `when` | date | `on 20 October 2026`, `in October 2026`; after `short` or `month`: `in Oct 2026` |
//! | `the_date` | date | with the article that a day has after a preposition: `hasta el 20 de octubre de 2026`, `hasta octubre de 2026`; none in English |
//! | `year` | date | `2026` |
//! | `age_short` | age | `13 y 7 mo` |
//! | `years` | age | `13 years` |
//! | `side`, `side(gender="masculine")` | side | `right` (the default); beside a noun of that gender, `derecha`, `derecho` |
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
//! `x | count`, `x | first`, `x | last` take a group or a list; `count` also
//! the lines of a `{% set %}` block, so that a list may be asked whether it is
//! empty before it is joined.
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
//! | `figures("spine", "course")` | a place for figures, a block of its own: the first two of those named that can be drawn, side by side; `films or spine` is one of the two |
//! | `summary("…")` | what the table that follows shows, for readers who cannot see it; every table needs one |
//! | `term("C7")` | a name that holds digits |
//! | `require(fact)` | prints nothing; an error if the fact has no value |
//! | `foreign_words()` | true if a remark so far is in another language than the letter |
//! | `not_recorded()` | the optional items of the reader's file that apply to the patient, are not recorded and were not said to be missing so far: a list |
//! | `fail("…")` | stops with that message |
//!
//! # Readers
//!
//! What is closed to a letter's reader (`templates/rules/readers/`) cannot be
//! looked at in any way; a template that names it is a fault when it is
//! loaded, and again where it is reached through a loop or a variable.
//!
//! # Beside facts
//!
//! What a letter knows beside facts (`letter.greeting`, `letter.question`)
//! prints like a fact, as typed, and has `.known`. Words of closed sets among
//! them are compared through `.word` too: `letter.to.role.word == "family"`.
//! What there is: [`super::frame::extras`].
//!
//! # Lines
//!
//! A line that holds nothing but `{% … %}` leaves no line. A line of words
//! keeps its end, also where a tag ends it, so that a blank line after it
//! parts paragraphs.
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
//! `{% set %}`, `{% with %}` work as usual, and macros see all facts. A macro
//! may not bear the first name of facts that its file speaks of: it would
//! hide them.

use std::collections::BTreeMap;
use std::sync::Arc;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Value, ValueKind};
use minijinja::{AutoEscape, Environment, Error, Output, State, UndefinedBehavior};

use super::extra::{Typed, WordOf};
use super::object::{Group, Leaf};
use super::session::{Fault, Session, SessionObject, fault};
use super::source::Source;
use super::token::Token;
use super::{filter, function, grammar};
use crate::diag::{Code, Report};
use crate::rules::readers::Readers;

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
    "when",
    "the_date",
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
    written: BTreeMap<String, String>,
    sources: BTreeMap<String, Source>,
}

impl Templates {
    /// Checks and loads templates by name. A template with a fault is left
    /// out and its faults reported; the others work.
    pub fn load(written: BTreeMap<String, String>) -> (Templates, Report) {
        let mut report = Report::default();
        let mut environment = environment();
        let prepared = written.iter().map(|(name, text)| (name.clone(), Source::new(name, text)));
        let sources: BTreeMap<String, Source> = prepared.collect();
        for (name, source) in &sources {
            let faults = grammar::faults(name, source, syntax());
            if faults.is_empty() {
                let text = source.prepared().to_string();
                // The same parser has just accepted it.
                if let Err(e) = environment.add_template_owned(name.clone(), text) {
                    report.push(super::compose::diagnostic(&e, name, &sources));
                }
            }
            faults.into_iter().for_each(|f| report.push(f));
        }
        (Templates { environment, written, sources }, report)
    }

    /// Whether there is a faultless template of that name.
    pub fn has(&self, name: &str) -> bool {
        self.environment.get_template(name).is_ok()
    }

    /// The texts as written, by name, for snippets and for digests.
    pub fn sources(&self) -> &BTreeMap<String, String> {
        &self.written
    }

    /// Everything that letters' templates name, themselves or through the
    /// phrases they call, although it is closed to their reader.
    pub fn closed_to(&self, readers: &Readers) -> Report {
        super::closed::faults(&self.sources, readers, syntax())
    }

    pub(super) fn prepared(&self) -> &BTreeMap<String, Source> {
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

pub(super) fn syntax() -> SyntaxConfig {
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
    filter::add(&mut env);
    function::add(&mut env);
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
pub(super) fn undefined(value: &Value) -> Error {
    match value.get_attr("") {
        Err(error) => error,
        Ok(_) => fault("something is undefined"),
    }
}

/// How an object is called in messages.
pub(super) fn name_of(value: &Value) -> String {
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

pub(super) fn session(state: &State) -> Result<Arc<Session>, Error> {
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
pub(super) fn written(session: &Session, value: &Value) -> Result<String, Error> {
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
