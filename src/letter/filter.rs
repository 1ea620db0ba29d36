//! The filters of the template language: how a fact is said, and lists.
//!
//! Filters change what was asked of a fact, never the fact.

use minijinja::value::{Kwargs, Value, ValueKind};
use minijinja::{Environment, Error, State};

use super::language::Gender;
use super::locale::{self, Joined};
use super::object::Leaf;
use super::session::{Session, fault};
use super::template::{name_of, session, undefined, written};
use super::token::Token;
use super::wording::{self, Before, Noun, Say, SignForm, TimeForm, UnitForm};
use crate::facts::Value as FactValue;

/// Adds every filter; their names stand in [`super::template::FILTERS`] too,
/// so that an unknown one is found before anything is composed.
pub(super) fn add(env: &mut Environment<'static>) {
    add_wording_filters(env);
    add_list_filters(env);
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
    filter!("when", date, |say| say.before = Before::Preposition);
    filter!("the_date", date, |say| say.before = Before::Article);
    filter!("cap", |v| !matches!(v, FactValue::Text(_)), |say| say.capital = true);
    env.add_filter("or_say", move |v: &Value, words: String| {
        with(v, "or_say", |_| true, |say| say.or_say = Some(words))
    });
    env.add_filter("side", |v: &Value, named: Kwargs| {
        let gender = gender(&named)?;
        with(v, "side", |v| matches!(v, FactValue::Side(_)), |say| say.gender = gender)
    });
    let plural = move |state: &State, v: &Value, one: String, other: String, named: Kwargs| {
        let (gender, noun) = (gender(&named)?, Noun { one, other });
        match (v.kind(), v.as_i64()) {
            (ValueKind::Number, Some(n)) => count_in_words(state, n, gender, Some(&noun)),
            _ => with(v, "plural", number, |say| {
                say.in_words = true;
                say.gender = gender;
                say.noun = Some(noun);
            }),
        }
    };
    env.add_filter("plural", plural);
    let in_words = move |state: &State, v: &Value, named: Kwargs| {
        let gender = gender(&named)?;
        match (v.kind(), v.as_i64()) {
            (ValueKind::Number, Some(count)) => count_in_words(state, count, gender, None),
            _ => with(v, "in_words", number, |say| {
                say.in_words = true;
                say.gender = gender;
            }),
        }
    };
    env.add_filter("in_words", in_words);
}

/// What `gender="feminine"` or `gender="masculine"` asks for.
fn gender(named: &Kwargs) -> Result<Option<Gender>, Error> {
    let word: Option<String> = named.get("gender")?;
    named.assert_all_used()?;
    match word.as_deref() {
        None => Ok(None),
        Some("feminine") => Ok(Some(Gender::Feminine)),
        Some("masculine") => Ok(Some(Gender::Masculine)),
        Some(other) => Err(fault(format!("a gender is feminine or masculine, not `{other}`"))),
    }
}

/// A count of a group in words: it is no fact of its own, but every thing it
/// counts was looked up.
fn count_in_words(
    state: &State,
    count: i64,
    gender: Option<Gender>,
    noun: Option<&Noun>,
) -> Result<Value, Error> {
    let session = session(state)?;
    let text = wording::count(count, gender, noun, &session.style);
    let token = Token::Value { fact: None, text, keep: false };
    Ok(Value::from_safe_string(session.token(token, "a count")?))
}

fn items(value: &Value) -> Result<Vec<Value>, Error> {
    if value.is_undefined() {
        return Err(undefined(value));
    }
    match value.kind() {
        // A part that is closed to the reader is not counted or joined either.
        ValueKind::Seq | ValueKind::Iterable => value.try_iter()?.checked().collect(),
        _ => Err(fault(format!("takes a group or a list, not {}", name_of(value)))),
    }
}

fn add_list_filters(env: &mut Environment<'static>) {
    env.add_filter("count", count);
    env.add_filter("first", |v: &Value| one_of(v, |mut items| items.drain(..).next()));
    env.add_filter("last", |v: &Value| one_of(v, |mut items| items.pop()));
    env.add_filter("and_list", |s: &State, v: &Value| join(s, v, Some(Joined::And)));
    env.add_filter("or_list", |s: &State, v: &Value| join(s, v, Some(Joined::Or)));
    env.add_filter("comma_list", |s: &State, v: &Value| join(s, v, None));
}

/// How many things a group or list holds, or how many lines a `set` block.
fn count(value: &Value) -> Result<usize, Error> {
    match value.as_str() {
        Some(text) if value.is_safe() => Ok(lines(text).count()),
        _ => Ok(items(value)?.len()),
    }
}

/// The lines of a `set` block that hold something.
fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(str::trim).filter(|line| !line.is_empty())
}

fn one_of(value: &Value, pick: impl FnOnce(Vec<Value>) -> Option<Value>) -> Result<Value, Error> {
    pick(items(value)?).ok_or_else(|| fault(format!("{} is empty", name_of(value))))
}

fn join(state: &State, value: &Value, last: Option<Joined>) -> Result<Value, Error> {
    let session = session(state)?;
    let parts: Vec<String> = match value.as_str() {
        Some(text) if value.is_safe() => text.lines().map(str::to_string).collect(),
        _ => items(value)?.iter().map(|v| written(&session, v)).collect::<Result<_, _>>()?,
    };
    let parts: Vec<&str> = parts.iter().map(|p| p.trim()).filter(|p| !p.is_empty()).collect();
    if parts.is_empty() {
        return Err(fault("joins an empty list"));
    }
    let joined = match last {
        None => parts.join(", "),
        Some(joined) => interleaved(&parts, &between(&session, &parts, joined)),
    };
    Ok(Value::from_safe_string(joined))
}

/// The words between items. Which word goes before the last one depends on
/// what is read there, not on the mark that stands for it.
fn between(session: &Session, parts: &[&str], joined: Joined) -> Vec<String> {
    let last = parts.last().map_or(String::new(), |p| session.gathered().tokens.plain(p));
    let last = last.trim_start_matches(['*', ' ']);
    locale::between(parts.len(), last, joined, &session.style.locale)
}

fn interleaved(parts: &[&str], between: &[String]) -> String {
    let between = between.iter().map(String::as_str).chain([""]);
    parts.iter().zip(between).flat_map(|(part, after)| [*part, after]).collect()
}
