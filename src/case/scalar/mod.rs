//! From one text to one typed value, or to a fault that says what is wrong
//! and how to write it. Pure: no places, no records. The caller knows where
//! the text stands.

mod date;
mod quantity;
mod sided;

pub use date::date;
pub use quantity::{Number, pain, quantity, score};
pub use sided::{higher, toward};

use super::field::Kind;
use super::shape::Value;
use super::suggest::{did_you_mean, list, quote};
use crate::course::score::Answer;
use crate::diag::Code;
use crate::spine::{Column, Level, Side};

/// A fault without its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The kind of fault.
    pub code: Code,
    /// What is wrong, with the text quoted.
    pub message: String,
    /// How to write it, where the general remedy is not enough.
    pub remedy: Option<String>,
}

impl Fault {
    pub(super) fn new(code: Code, message: impl Into<String>) -> Fault {
        Fault { code, message: message.into(), remedy: None }
    }

    pub(super) fn remedy(mut self, remedy: impl Into<String>) -> Fault {
        self.remedy = Some(remedy.into());
        self
    }
}

/// What the reading of a text depends on besides the text.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The key it stands under.
    pub key: &'a str,
    /// A value as it would be written there.
    pub example: &'a str,
    /// The patient's vertebrae; `None` if that very record is faulty.
    pub column: Option<Column>,
}

fn sided((number, side): (Number, Option<Side>)) -> Value {
    Value::Sided(number, side)
}

/// Reads a text as a value of a kind that takes a single text.
pub fn read(text: &str, kind: &Kind, context: Context) -> Result<Value, Fault> {
    match kind {
        Kind::Text => one_line(text).map(Value::Text),
        Kind::LongText => Ok(Value::Text(text.trim_end().to_string())),
        Kind::Id if text == "none" => {
            let message = "`none` cannot be an id: it means that there is none";
            Err(Fault::new(Code::BadId, message).remedy("choose another id"))
        }
        Kind::Id | Kind::Reference(_) | Kind::Support => id(text).map(Value::Text),
        Kind::Path => path(text).map(Value::Text),
        Kind::Date(precision) => date(text, *precision).map(Value::Date),
        Kind::Quantity(amount) => quantity(text, amount, context.key).map(Value::Number),
        Kind::Toward(amount) => toward(text, amount, context.key).map(sided),
        Kind::Higher(amount) => higher(text, amount, context.key).map(sided),
        Kind::Pain => pain(text).map(Value::Number),
        Kind::Score => score(text, context.key).map(Value::Number),
        Kind::Answer(low, high) => answer(text, *low, *high).map(Value::Answer),
        Kind::Level => level(text, context.column).map(Value::Level),
        Kind::Apex => apex(text, context.column),
        Kind::Word(words) => word(text, words).map(Value::Word),
        Kind::Whole(low, high) => whole(text, *low, *high).map(Value::Whole),
        Kind::Flag => flag(text).map(Value::Flag),
        Kind::Record(_)
        | Kind::Records(_)
        | Kind::List(_)
        | Kind::OneOrMore(_)
        | Kind::ByLevel(_)
        | Kind::ByName(..) => {
            let message = format!("`{}` cannot be the single value {}", context.key, quote(text));
            let remedy = match kind {
                Kind::List(item) if is_one_word(text, item, context) => {
                    format!("write `{}: [{text}]`", context.key)
                }
                _ => format!("write `{}: {}`", context.key, context.example),
            };
            Err(Fault::new(Code::WrongShape, message).remedy(remedy))
        }
    }
}

/// Whether a text is a good item of a list of ids or words. Such a list is
/// repaired with the text itself: an example would name another reader.
fn is_one_word(text: &str, item: &Kind, context: Context) -> bool {
    matches!(item, Kind::Id | Kind::Reference(_) | Kind::Word(_))
        && read(text, item, context).is_ok()
}

fn one_line(text: &str) -> Result<String, Fault> {
    let text = text.trim();
    if text.contains('\n') {
        let message = format!("{} has more than one line", quote(text));
        return Err(Fault::new(Code::SeveralLines, message));
    }
    Ok(text.to_string())
}

fn id(text: &str) -> Result<String, Fault> {
    let inner = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let good = text.starts_with(|c: char| c.is_ascii_alphanumeric())
        && text.chars().all(inner)
        && text.len() <= 64;
    if good {
        return Ok(text.to_string());
    }
    let message = match text.chars().find(|c| !inner(*c)) {
        Some(c) => format!("{} cannot be an id: it holds `{}`", quote(text), c.escape_default()),
        None if text.len() > 64 => format!("{} cannot be an id: it is too long", quote(text)),
        None => format!("{} cannot be an id: it starts with no letter or digit", quote(text)),
    };
    Err(Fault::new(Code::BadId, message))
}

fn path(text: &str) -> Result<String, Fault> {
    let part_ok = |part: &str| !part.is_empty() && part != "." && part != "..";
    if text.split('/').all(part_ok) && !text.contains(['\\', ':', '\n']) {
        return Ok(text.to_string());
    }
    let message = format!("{} is not a path below the folder of the case file", quote(text));
    Err(Fault::new(Code::BadPath, message))
}

fn unknown_level(text: &str) -> Fault {
    let message = format!("{} is no vertebra", quote(text));
    let fault = Fault::new(Code::UnknownLevel, message);
    match Level::parse(&text.to_ascii_uppercase()) {
        Some(level) => fault.remedy(format!("write {level}")),
        None => fault,
    }
}

/// Reads a vertebra that the column has.
pub fn level(text: &str, column: Option<Column>) -> Result<Level, Fault> {
    let level = Level::parse(text).ok_or_else(|| unknown_level(text))?;
    match column {
        Some(column) if !column.has(level) => Err(not_in_column(level, column)),
        _ => Ok(level),
    }
}

fn not_in_column(level: Level, column: Column) -> Fault {
    let message = format!(
        "{level} does not exist in a column of {} thoracic and {} lumbar vertebrae",
        column.thoracic(),
        column.lumbar()
    );
    Fault::new(Code::LevelNotInColumn, message)
}

fn apex(text: &str, column: Option<Column>) -> Result<Value, Fault> {
    let known = match text.split_once('-') {
        None => level(text, column).map(|_| ()),
        Some((upper, lower)) => level(upper, column).and_then(|_| level(lower, column)).map(|_| ()),
    };
    known?;
    // A disc between T12 and T13, or T11 and L1, exists in some column: while
    // the patient's own is in doubt, any is accepted.
    let columns = match column {
        Some(column) => vec![column],
        None => all_columns(),
    };
    columns.iter().find_map(|c| c.parse_apex(text)).map(Value::Apex).ok_or_else(|| {
        let message = format!("{} is no disc: the vertebrae are not neighbours", quote(text));
        Fault::new(Code::UnknownLevel, message)
    })
}

fn all_columns() -> Vec<Column> {
    let counts = (11..=13).flat_map(|t| (4..=6).map(move |l| (t, l)));
    counts.filter_map(|(t, l)| Column::new(t, l)).collect()
}

/// Reads one word of a list.
pub fn word(text: &str, words: &[&'static str]) -> Result<&'static str, Fault> {
    if let Some(word) = words.iter().find(|w| **w == text) {
        return Ok(word);
    }
    let message = format!("{} is not a word known here", quote(text));
    let known = format!("write one of: {}", list(words));
    let remedy = match did_you_mean(text, words) {
        Some(near) => format!("did you mean `{near}`? {known}"),
        None => known,
    };
    Err(Fault::new(Code::UnknownWord, message).remedy(remedy))
}

fn whole(text: &str, low: i64, high: i64) -> Result<i64, Fault> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let plain = !digits.is_empty()
        && digits.bytes().all(|b| b.is_ascii_digit())
        && (digits == "0" || !digits.starts_with('0'));
    let Some(value) = text.parse::<i64>().ok().filter(|_| plain) else {
        let message = format!("{} is not a whole number", quote(text));
        let remedy = format!("write a whole number from {low} to {high}, digits only");
        return Err(Fault::new(Code::BadNumber, message).remedy(remedy));
    };
    if !(low..=high).contains(&value) {
        let message = format!("{value} is outside {low} to {high}");
        return Err(Fault::new(Code::OutOfRange, message));
    }
    Ok(value)
}

/// Reads the answer to one question of a questionnaire.
fn answer(text: &str, low: u8, high: u8) -> Result<Answer, Fault> {
    let remedy = || {
        format!(
            "write the points from {low} to {high}, `none` for a question left open, `two` for \
             two marks"
        )
    };
    match text {
        "none" => Ok(Answer::Open),
        "two" => Ok(Answer::Double),
        _ => match whole(text, i64::from(low), i64::from(high)) {
            Ok(points) => Ok(Answer::Points(points as u8)),
            Err(fault) if fault.code == Code::OutOfRange => Err(fault.remedy(remedy())),
            Err(_) => {
                let message = format!("{} is no answer to a question", quote(text));
                Err(Fault::new(Code::BadNumber, message).remedy(remedy()))
            }
        },
    }
}

fn flag(text: &str) -> Result<bool, Fault> {
    let meant = match text.to_ascii_lowercase().as_str() {
        "true" | "yes" | "on" | "y" => Some("true"),
        "false" | "no" | "off" | "n" => Some("false"),
        _ => None,
    };
    match (text, meant) {
        ("true", _) => Ok(true),
        ("false", _) => Ok(false),
        (_, meant) => {
            let message = format!("{} is neither `true` nor `false`", quote(text));
            let fault = Fault::new(Code::NotTrueOrFalse, message);
            Err(match meant {
                Some(word) => fault.remedy(format!("write {word}")),
                None => fault,
            })
        }
    }
}
