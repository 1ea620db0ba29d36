//! The filters of the template language: how a fact is said, and lists.
//!
//! Filters change what was asked of a fact, never the fact.

use minijinja::value::{Value, ValueKind};
use minijinja::{Environment, Error, State};

use super::object::Leaf;
use super::session::fault;
use super::template::{name_of, session, undefined, written};
use super::token::Token;
use super::wording::{self, Say, SignForm, TimeForm, UnitForm};
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
    filter!("side", |v| matches!(v, FactValue::Side(_)), |say| say.capital |= false);
    filter!("when", date, |say| say.preposition = true);
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
        // A part that is closed to the reader is not counted or joined either.
        ValueKind::Seq | ValueKind::Iterable => value.try_iter()?.checked().collect(),
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
