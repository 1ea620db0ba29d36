//! How a value is said: number, unit, date, age, level, side, word.
//!
//! One function, [`say`], turns a [`Value`] into printed text. It receives
//! what the template asked for ([`Say`]) and the letter's [`Style`]; it knows
//! neither templates nor blocks. Sides are said by [`side`] and nowhere else.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::language::{Language, UnitWords};
use crate::case::DateStyle;
use crate::facts::Value;
use crate::quantity::{Age, PartialDate, Reported, Unit};
use crate::spine::{Apex, Level, Side};

/// How one letter says things.
#[derive(Debug, Clone)]
pub struct Style {
    /// The language's tables.
    pub language: &'static Language,
    /// How full dates are written.
    pub dates: DateStyle,
    /// What is said for words of closed sets; a word that is not here is
    /// printed as it is where the language allows that.
    pub words: BTreeMap<String, String>,
}

impl Style {
    /// A style without special words.
    pub fn new(language: &'static Language, dates: DateStyle) -> Self {
        Style { language, dates, words: BTreeMap::new() }
    }
}

/// What to do with a number's sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SignForm {
    /// A minus sign below zero.
    #[default]
    AsIs,
    /// A plus sign above zero, a minus sign below.
    Signed,
    /// No sign.
    Size,
}

/// How units and spans are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitForm {
    /// `27°`, `18 h/day`, `T5–T11`.
    #[default]
    Short,
    /// `27 degrees`, `18 hours a day`, `T5 to T11`.
    Plain,
    /// `27`: for table columns whose head names the unit.
    Bare,
}

/// How dates and ages are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TimeForm {
    /// `20 October 2026`, `13 years 7 months`.
    #[default]
    Full,
    /// `20 Oct 2026`, `13 y 7 mo`.
    Narrow,
    /// `October 2026`.
    Month,
    /// `Oct 2026`.
    MonthShort,
    /// `2026`, `13 years`.
    Year,
}

/// What a template asked of a printed value.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Say {
    /// Sign.
    pub sign: SignForm,
    /// Unit.
    pub unit: UnitForm,
    /// Date or age.
    pub time: TimeForm,
    /// Small numbers in words.
    pub in_words: bool,
    /// What is counted, one and many: `reader`, `readers`.
    pub noun: Option<(String, String)>,
    /// `on` or `in` before a date, as its precision wants.
    pub preposition: bool,
    /// Capital first letter.
    pub capital: bool,
    /// What to print if there is no value.
    pub or_say: Option<String>,
}

/// Printed text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The text.
    pub text: String,
    /// Whether it may not break across lines.
    pub keep: bool,
}

/// Short values are kept on one line: no reader should meet `27` at the end
/// of one line and its unit on the next.
const KEEP_UP_TO: usize = 16;

/// Says a value; an error says why it cannot be said.
pub fn say(value: &Value, how: &Say, style: &Style) -> Result<Said, String> {
    let language = style.language;
    let text = match value {
        Value::Number(n) => number(*n, how, language),
        Value::Date(d) if how.preposition => when(*d, how.time, style),
        Value::Date(d) => date(*d, how.time, style),
        Value::Age(a) => age(*a, how.time, language),
        Value::Level(l) => l.to_string(),
        Value::Levels(upper, lower) => span(*upper, *lower, how.unit, language),
        Value::Apex(a) => apex(*a, how.unit, language),
        Value::Side(s) => side(*s, language).to_string(),
        Value::Word(w) => word(w, style)?,
        Value::Text(t) => return Ok(Said { text: one_line(t), keep: false }),
        Value::Missing(m) => return missing(&how.or_say, m.kind()),
    };
    let keep = !matches!(value, Value::Word(_)) && text.chars().count() <= KEEP_UP_TO;
    Ok(Said { text: if how.capital { capital(&text) } else { text }, keep })
}

fn missing(or_say: &Option<String>, kind: &str) -> Result<Said, String> {
    match or_say {
        Some(words) => Ok(Said { text: words.clone(), keep: false }),
        None => Err(format!("has no value ({kind})")),
    }
}

/// The one place where a side becomes a word.
pub fn side(side: Side, language: &Language) -> &'static str {
    match side {
        Side::Left => language.sides[0],
        Side::Right => language.sides[1],
    }
}

fn word(word: &str, style: &Style) -> Result<String, String> {
    match style.words.get(word) {
        Some(said) => Ok(said.clone()),
        None if style.language.own_words => Ok(word.to_string()),
        None => Err(format!("is `{word}`, which has no phrase in `{}`", style.language.tag)),
    }
}

fn number(n: Reported, how: &Say, language: &Language) -> String {
    let shown = if how.sign == SignForm::Size { n.abs() } else { n };
    let plus = if how.sign == SignForm::Signed && n.sign() > 0 { "+" } else { "" };
    let words = language.unit(n.unit());
    let small = how.in_words.then(|| small_number(shown, language)).flatten();
    let spelled = small.is_some();
    let digits = small.map_or_else(|| shown.digits(), str::to_string);
    if let Some((one, many)) = &how.noun {
        return format!("{plus}{digits} {}", if is_one(shown) { one } else { many });
    }
    let plain = how.unit == UnitForm::Plain || (spelled && how.unit == UnitForm::Short);
    format!("{plus}{digits}{}", unit_of(shown, words, plain, how.unit))
}

fn unit_of(n: Reported, words: UnitWords, plain: bool, form: UnitForm) -> &'static str {
    // "1 years" is wrong even in the short form of a unit that is a word.
    let spelled_out = matches!(words.unit, Unit::Year | Unit::Month | Unit::Week | Unit::Day);
    match (form, plain || spelled_out, is_one(n)) {
        (UnitForm::Bare, ..) => "",
        (_, true, true) => words.one,
        (_, true, false) => words.many,
        (_, false, _) => words.short,
    }
}

fn is_one(n: Reported) -> bool {
    n.decimals() == 0 && n.abs().value() == 1.0
}

fn small_number(n: Reported, language: &Language) -> Option<&'static str> {
    (n.decimals() == 0).then(|| small_word(n.value() as i64, language))?
}

/// A whole number from zero to twelve in words.
pub fn small_word(n: i64, language: &Language) -> Option<&'static str> {
    usize::try_from(n).ok().and_then(|n| language.numbers.get(n).copied())
}

fn span(upper: Level, lower: Level, form: UnitForm, language: &Language) -> String {
    match form {
        UnitForm::Plain => format!("{upper}{}{lower}", language.to),
        _ => format!("{upper}\u{2013}{lower}"),
    }
}

fn apex(apex: Apex, form: UnitForm, language: &Language) -> String {
    match (apex, form) {
        (Apex::Vertebra(level), _) => level.to_string(),
        (Apex::Disc(upper, lower), UnitForm::Bare) => format!("{upper}\u{2013}{lower}"),
        (Apex::Disc(upper, lower), _) => format!("{}{upper}\u{2013}{lower}", language.the_disc),
    }
}

/// A day in full, as the clinic writes dates.
pub fn full_date(day: NaiveDate, style: &Style) -> String {
    date(PartialDate::Day(day), TimeForm::Full, style)
}

/// A date in a form, as precisely as it is known.
pub fn date(date: PartialDate, form: TimeForm, style: &Style) -> String {
    let language = style.language;
    let full = |m: u32| language.months[m as usize - 1];
    let short = |m: u32| language.months_short[m as usize - 1];
    match (date, form) {
        (PartialDate::Year(y), _) => y.to_string(),
        (d, TimeForm::Year) => d.first_day().year().to_string(),
        (PartialDate::Day(d), TimeForm::Full) => day(d, full(d.month()), style.dates),
        (PartialDate::Day(d), TimeForm::Narrow) => day(d, short(d.month()), style.dates),
        (d, TimeForm::MonthShort | TimeForm::Narrow) => month(d.first_day(), short),
        (d, TimeForm::Month | TimeForm::Full) => month(d.first_day(), full),
    }
}

/// `on 20 October 2026`, `in October 2026`, `in 2026`.
fn when(d: PartialDate, form: TimeForm, style: &Style) -> String {
    let day = matches!(d, PartialDate::Day(_)) && matches!(form, TimeForm::Full | TimeForm::Narrow);
    let word = style.language.on_in[usize::from(!day)];
    format!("{word} {}", date(d, form, style))
}

fn month(day: NaiveDate, name: impl Fn(u32) -> &'static str) -> String {
    format!("{} {}", name(day.month()), day.year())
}

fn day(d: NaiveDate, month: &str, style: DateStyle) -> String {
    match style {
        DateStyle::DayMonthYear => format!("{} {month} {}", d.day(), d.year()),
        DateStyle::MonthDayYear => format!("{month} {}, {}", d.day(), d.year()),
    }
}

/// An age: months only below two years, as growth is told.
pub fn age(age: Age, form: TimeForm, language: &Language) -> String {
    let words = language.age;
    let count = |n: u32, forms: [&str; 2]| format!("{n} {}", forms[usize::from(n != 1)]);
    let short = form == TimeForm::Narrow;
    match (age.in_months(), age.months) {
        (0, _) => words.under_a_month.to_string(),
        (n, _) if n < 24 && short => format!("{n} {}", words.month_short),
        (n, _) if n < 24 => count(n, words.month),
        (_, 0) if short => format!("{} {}", age.years, words.year_short),
        (_, m) if short => {
            format!("{} {} {m} {}", age.years, words.year_short, words.month_short)
        }
        (_, 0) => count(age.years, words.year),
        _ if form == TimeForm::Year => count(age.years, words.year),
        (_, m) => format!("{} {}", count(age.years, words.year), count(m, words.month)),
    }
}

/// The text with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

/// Typed text for use inside a sentence: line ends become spaces, the ends
/// are trimmed, nothing else changes.
pub fn one_line(text: &str) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|l| !l.is_empty()).collect();
    lines.join(" ")
}

/// Typed text as paragraphs. Blank lines part paragraphs; a line that ends a
/// sentence does too, since folded YAML keeps one line end for a paragraph;
/// other line ends are those of a narrow editor window and become spaces.
pub fn paragraphs(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut open = false;
    for line in text.lines().map(str::trim) {
        match found.last_mut().filter(|_| open && !line.is_empty()) {
            Some(last) => {
                last.push(' ');
                last.push_str(line);
            }
            None if line.is_empty() => {}
            None => found.push(line.to_string()),
        }
        open = !line.is_empty() && !line.ends_with(['.', '!', '?', ':', ';']);
    }
    found
}
