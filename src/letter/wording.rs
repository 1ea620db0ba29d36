//! How a value is said: number, unit, date, age, level, side, word.
//!
//! One function, [`say`], turns a [`Value`] into printed text. It receives
//! what the template asked for ([`Say`]) and the letter's [`Style`]; it knows
//! neither templates nor blocks. Sides are said by [`side`] and nowhere else.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::language::{Gender, Language, UnitWords};
use super::locale::{self, DateForm, Forms, Locale};
use crate::case::DateStyle;
use crate::facts::Value;
use crate::quantity::{Age, PartialDate, Reported, Unit};
use crate::spine::{Apex, Level, Side};

/// How one letter says things.
#[derive(Debug, Clone)]
pub struct Style {
    /// The language's tables.
    pub language: &'static Language,
    /// How dates, numbers and lists are written.
    pub locale: Locale,
    /// The region of the letter's language, if one is known.
    pub region: Option<String>,
    /// Tag of the language in which the clinic types its own words.
    pub typed: String,
    /// What is said for words of closed sets; a word that is not here is
    /// printed as it is where the language allows that.
    pub words: BTreeMap<String, String>,
}

impl Style {
    /// The style of a language in its own region.
    pub fn new(language: &'static Language, dates: DateStyle) -> Self {
        Style::within(language, None, dates)
    }

    /// The style of letters in the language of a tag, written by a clinic of
    /// some region; `None` if the language has no table.
    pub fn of(tag: &str, region: Option<&str>, dates: DateStyle) -> Option<Self> {
        let language = Language::of(tag, region)?;
        Some(Style::within(language, language.region(tag, region), dates))
    }

    fn within(language: &'static Language, region: Option<&str>, dates: DateStyle) -> Self {
        let words = language.words.iter().map(|(w, said)| (w.to_string(), said.to_string()));
        Style {
            language,
            locale: language.locale(region, dates),
            region: region.map(str::to_string),
            typed: language.tag.to_string(),
            words: words.collect(),
        }
    }

    /// The tag of the language that typed text is in, unless it is the
    /// letter's own: `written` where its record says so, else the clinic's.
    pub fn foreign(&self, written: Option<&str>) -> Option<String> {
        let tag = written.unwrap_or(&self.typed);
        let own = tag.split('-').next() == self.language.tag.split('-').next();
        (!own).then(|| tag.to_string())
    }

    /// The same, for a clinic that types its own words in some language.
    pub fn typed_in(self, tag: &str) -> Self {
        Style { typed: tag.to_string(), ..self }
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
    /// What is counted: `reader`, `readers`.
    pub noun: Option<Noun>,
    /// What a side or a number in words agrees with.
    pub gender: Option<Gender>,
    /// What stands before a date, as its precision wants.
    pub before: Before,
    /// Capital first letter.
    pub capital: bool,
    /// What to print if there is no value.
    pub or_say: Option<String>,
}

/// What stands before a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Before {
    /// Nothing.
    #[default]
    Nothing,
    /// `on` or `in`.
    Preposition,
    /// The article of a day, where the language has one.
    Article,
}

/// A noun that is counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Noun {
    /// Of one.
    pub one: String,
    /// Of any other number.
    pub other: String,
}

impl Noun {
    fn forms(&self) -> Forms<'_> {
        Forms::new(&self.one, &self.other)
    }
}

/// Printed text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The text.
    pub text: String,
    /// Whether it may not break across lines.
    pub keep: bool,
}

/// Says a value; an error says why it cannot be said.
pub fn say(value: &Value, how: &Say, style: &Style) -> Result<Said, String> {
    let language = style.language;
    let text = match value {
        Value::Number(n) => number(*n, how, style),
        Value::Date(d) => dated(*d, how, style),
        Value::Age(a) => age(*a, how.time, style),
        Value::Level(l) => l.to_string(),
        Value::Levels(upper, lower) => span(*upper, *lower, how.unit, language),
        Value::Apex(a) => apex(*a, how.unit, language),
        Value::Side(s) => side(*s, how.gender, language).to_string(),
        Value::Word(w) => word(w, style)?,
        Value::Text(t) => return Ok(Said { text: one_line(t), keep: false }),
        Value::Missing(m) => return missing(&how.or_say, m.kind()),
    };
    let keep = !matches!(value, Value::Word(_)) && text.chars().count() <= language.keep;
    Ok(Said { text: if how.capital { capital(&text) } else { text }, keep })
}

fn missing(or_say: &Option<String>, kind: &str) -> Result<Said, String> {
    match or_say {
        Some(words) => Ok(Said { text: words.clone(), keep: false }),
        None => Err(format!("has no value ({kind})")),
    }
}

/// The one place where a side becomes a word. A curve and a side as such are
/// feminine where that matters, so that is the form without a gender.
pub fn side(side: Side, gender: Option<Gender>, language: &Language) -> &'static str {
    let forms = match side {
        Side::Left => language.sides[0],
        Side::Right => language.sides[1],
    };
    forms[usize::from(gender == Some(Gender::Masculine))]
}

/// What is said for a word of a closed set.
pub fn word(word: &str, style: &Style) -> Result<String, String> {
    match style.words.get(word) {
        Some(said) => Ok(said.clone()),
        None if style.language.own_words => Ok(word.to_string()),
        None => Err(format!("is `{word}`, which has no phrase in `{}`", style.language.tag)),
    }
}

fn number(n: Reported, how: &Say, style: &Style) -> String {
    let language = style.language;
    let shown = if how.sign == SignForm::Size { n.abs() } else { n };
    let plus = if how.sign == SignForm::Signed && n.sign() > 0 { "+" } else { "" };
    let words = language.unit(n.unit());
    // A number alone, before its unit's word, or before a noun.
    let before = match (&how.noun, words.short) {
        (Some(_), _) => Some(how.gender.unwrap_or(Gender::Masculine)),
        (None, "") => how.gender,
        (None, _) => Some(words.gender).filter(|_| how.unit != UnitForm::Bare).or(how.gender),
    };
    let small = how.in_words.then(|| small_number(shown, before, language)).flatten();
    let spelled = small.is_some();
    let digits = small.map_or_else(|| locale::digits(shown, &style.locale), str::to_string);
    if let Some(noun) = &how.noun {
        let noun = noun.forms().of(locale::category(shown, &style.locale));
        return format!("{plus}{digits} {noun}");
    }
    let plain = how.unit == UnitForm::Plain || (spelled && how.unit == UnitForm::Short);
    format!("{plus}{digits}{}", unit_of(shown, words, plain, how.unit, &style.locale))
}

fn unit_of(
    n: Reported,
    words: UnitWords,
    plain: bool,
    form: UnitForm,
    locale: &Locale,
) -> &'static str {
    // "1 years" is wrong even in the short form of a unit that is a word.
    let spelled_out = matches!(words.unit, Unit::Year | Unit::Month | Unit::Week | Unit::Day);
    match form {
        UnitForm::Bare => "",
        _ if plain || spelled_out => words.plain.of(locale::category(n, locale)),
        _ => words.short,
    }
}

fn small_number(n: Reported, before: Option<Gender>, language: &Language) -> Option<&'static str> {
    (n.decimals() == 0).then(|| small_word(n.value() as i64, before, language))?
}

/// A whole number from zero to twelve in words, alone or before a noun.
pub fn small_word(n: i64, before: Option<Gender>, language: &Language) -> Option<&'static str> {
    match (n, before) {
        (1, Some(gender)) => Some(language.one[usize::from(gender == Gender::Masculine)]),
        _ => usize::try_from(n).ok().and_then(|n| language.numbers.get(n).copied()),
    }
}

/// A count with its noun: `two films`; above twelve in digits.
pub fn count(n: i64, gender: Option<Gender>, noun: Option<&Noun>, style: &Style) -> String {
    let before = noun.map(|_| gender.unwrap_or(Gender::Masculine)).or(gender);
    let word = small_word(n, before, style.language);
    let number = word.map_or_else(|| n.to_string(), str::to_string);
    let form = |noun: &Noun| {
        let category = locale::category_of_count(n, &style.locale);
        format!("{number} {}", noun.forms().of(category))
    };
    noun.map_or_else(|| number.clone(), form)
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
    let form = match (date, form) {
        (PartialDate::Year(y), _) => return y.to_string(),
        (d, TimeForm::Year) => return d.first_day().year().to_string(),
        (PartialDate::Day(_), TimeForm::Full) => DateForm::Day,
        (PartialDate::Day(_), TimeForm::Narrow) => DateForm::DayShort,
        (_, TimeForm::MonthShort | TimeForm::Narrow) => DateForm::MonthShort,
        (_, TimeForm::Month | TimeForm::Full) => DateForm::Month,
    };
    locale::date(date.first_day(), form, &style.locale)
}

/// `on 20 October 2026`, `in October 2026`, `in 2026`; in some languages a day
/// has an article also after another preposition, `hasta el 20 de octubre`.
fn dated(d: PartialDate, how: &Say, style: &Style) -> String {
    let said = date(d, how.time, style);
    let day =
        matches!(d, PartialDate::Day(_)) && matches!(how.time, TimeForm::Full | TimeForm::Narrow);
    match how.before {
        Before::Nothing => said,
        Before::Preposition => format!("{} {said}", style.language.on_in[usize::from(!day)]),
        Before::Article if day => format!("{}{said}", style.language.the_day),
        Before::Article => said,
    }
}

/// An age: months only below two years, as growth is told.
pub fn age(age: Age, form: TimeForm, style: &Style) -> String {
    let words = style.language.age;
    let count = |n: u32, forms: Forms<'_>| {
        format!("{n} {}", forms.of(locale::category_of_count(i64::from(n), &style.locale)))
    };
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
        (_, m) => {
            format!("{}{}{}", count(age.years, words.year), words.between, count(m, words.month))
        }
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
