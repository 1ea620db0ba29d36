//! The functions of the template language: blocks, names, requirements.

use minijinja::value::{Rest, Value};
use minijinja::{Environment, Error, State};

use super::extra::Typed;
use super::object::Leaf;
use super::session::{Session, fault};
use super::template::{name_of, session, undefined, written};
use super::token::Token;

/// The figures that a place may be filled with, by the names under which they
/// are open or closed to a reader: `films or spine` is either, `wear plain` the
/// figure `wear` in plain words.
pub(super) fn figure_names(wanted: &str) -> impl Iterator<Item = &str> {
    wanted.split(" or ").filter_map(|name| name.split(' ').next())
}

/// Adds every function but `has`, which needs the facts of a letter.
pub(super) fn add(env: &mut Environment<'static>) {
    env.add_function("remark", |text: &Value, by: Option<Value>| remark(text, by.as_ref()));
    env.add_function("figures", |state: &State, wanted: Rest<String>| {
        if wanted.is_empty() {
            return Err(fault("figures takes the names of the figures wanted"));
        }
        let session = session(state)?;
        for name in wanted.0.iter().flat_map(|w| figure_names(w)) {
            session.open(&format!("figures.{name}"))?;
        }
        block(session.token(Token::Slot(wanted.0), "figures")?)
    });
    env.add_function("not_recorded", |state: &State| {
        let session = session(state)?;
        not_recorded(&session)
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
    env.add_function("foreign_words", |state: &State| -> Result<Value, Error> {
        Ok(Value::from(!session(state)?.gathered().foreign.is_empty()))
    });
    env.add_function("fail", |message: String| -> Result<Value, Error> { Err(fault(message)) });
}

/// The reader's optional items that nobody recorded and that the letter has
/// not said so far to be missing, as a list.
fn not_recorded(session: &Session) -> Result<Value, Error> {
    let mut items = Vec::new();
    for absent in &session.unrecorded {
        let said = absent.facts.iter().any(|id| session.gathered().printed.contains(id));
        let Some(fact) = absent.facts.first().filter(|_| !said) else { continue };
        let token =
            Token::Value { fact: Some(fact.clone()), text: absent.item.clone(), keep: false };
        items.push(Value::from_safe_string(session.token(token, "an item")?));
        session.gathered().printed.push(fact.clone());
    }
    Ok(Value::from(items))
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
