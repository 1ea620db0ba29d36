//! How a place writes dates, numbers and lists, and which plural it wants.
//!
//! All of it comes from the published data of the Unicode locale project
//! (CLDR) through its own library, compiled in: no file is read, no clock is
//! asked, and the same letter is the same in every place and year.
//!
//! A formatter is dear to make and cheap to use, so each thread keeps those it
//! has made.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use chrono::{Datelike, NaiveDate};
use icu_calendar::{Date, Gregorian};
use icu_datetime::FixedCalendarDateTimeFormatter;
use icu_datetime::fieldsets::{M, YM, YMD};
use icu_datetime::options::YearStyle;
use icu_decimal::DecimalFormatter;
use icu_decimal::input::Decimal;
use icu_decimal::options::{DecimalFormatterOptions, GroupingStrategy};
use icu_list::ListFormatter;
use icu_list::options::ListFormatterOptions;
use icu_plurals::{PluralCategory, PluralRules};

use crate::quantity::Reported;

/// A place and its language: which tables of the locale data are read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Locale {
    /// For numbers, plurals and lists, such as `es-MX`.
    pub tag: String,
    /// For dates, whose order a clinic may choose for itself.
    pub dates: Dates,
}

/// Which tables are read for dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Dates {
    /// For the order of a date and its words.
    pub order: &'static str,
    /// For short names of months.
    pub short: &'static str,
}

impl Dates {
    /// Order and names of one place.
    pub const fn of(tag: &'static str) -> Dates {
        Dates { order: tag, short: tag }
    }
}

/// How much of a date is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateForm {
    /// `20 October 2026`.
    Day,
    /// `20 Oct 2026`.
    DayShort,
    /// `October 2026`.
    Month,
    /// `Oct 2026`.
    MonthShort,
}

/// Which word joins the last item of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joined {
    /// `and`.
    And,
    /// `or`.
    Or,
}

/// A noun or unit in the forms that number asks for: one in English and
/// Spanish is one thing, and Spanish has a form of its own for whole millions
/// (`un millón de grados`).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Forms<'a> {
    /// Of the category `one`.
    pub one: &'a str,
    /// Of the category `many`; as `other` if absent.
    pub many: Option<&'a str>,
    /// Of every other category.
    pub other: &'a str,
}

impl<'a> Forms<'a> {
    /// Two forms, for the categories `one` and `other`.
    pub const fn new(one: &'a str, other: &'a str) -> Forms<'a> {
        Forms { one, many: None, other }
    }

    /// The same form for every number.
    pub const fn always(form: &'a str) -> Forms<'a> {
        Forms::new(form, form)
    }

    /// The form of a category.
    pub fn of(&self, category: PluralCategory) -> &'a str {
        match category {
            PluralCategory::One => self.one,
            PluralCategory::Many => self.many.unwrap_or(self.other),
            _ => self.other,
        }
    }
}

struct Formatters {
    day: FixedCalendarDateTimeFormatter<Gregorian, YMD>,
    day_short: FixedCalendarDateTimeFormatter<Gregorian, YMD>,
    month: FixedCalendarDateTimeFormatter<Gregorian, YM>,
    month_short: FixedCalendarDateTimeFormatter<Gregorian, YM>,
    name: FixedCalendarDateTimeFormatter<Gregorian, M>,
    /// The month's short name where the order comes from, and as it is wanted.
    names: Option<[FixedCalendarDateTimeFormatter<Gregorian, M>; 2]>,
    decimal: DecimalFormatter,
    plurals: PluralRules,
    and: ListFormatter,
    or: ListFormatter,
}

thread_local! {
    /// The formatters this thread has made; `None` where the data has none.
    static MADE: RefCell<BTreeMap<Locale, Option<Rc<Formatters>>>> =
        const { RefCell::new(BTreeMap::new()) };
}

impl Formatters {
    fn of(locale: &Locale) -> Option<Rc<Formatters>> {
        MADE.with_borrow_mut(|made| match made.get(locale) {
            Some(found) => found.clone(),
            None => {
                let new = Formatters::new(locale).map(Rc::new);
                made.insert(locale.clone(), new.clone());
                new
            }
        })
    }

    fn new(locale: &Locale) -> Option<Formatters> {
        let tag: icu_locale_core::Locale = locale.tag.parse().ok()?;
        let dates: icu_locale_core::Locale = locale.dates.order.parse().ok()?;
        let day = |set: YMD| {
            let set = set.with_year_style(YearStyle::Full);
            FixedCalendarDateTimeFormatter::try_new((&dates).into(), set).ok()
        };
        let month = |set: YM| {
            let set = set.with_year_style(YearStyle::Full);
            FixedCalendarDateTimeFormatter::try_new((&dates).into(), set).ok()
        };
        let name = |tag: &str| {
            let tag: icu_locale_core::Locale = tag.parse().ok()?;
            FixedCalendarDateTimeFormatter::try_new((&tag).into(), M::medium()).ok()
        };
        let Dates { order, short } = locale.dates;
        let names = if order == short { None } else { Some([name(order)?, name(short)?]) };
        let mut grouped = DecimalFormatterOptions::default();
        // Four digits stand together, as the International System writes them.
        grouped.grouping_strategy = Some(GroupingStrategy::Min2);
        let list = ListFormatterOptions::default();
        Some(Formatters {
            day: day(YMD::long())?,
            day_short: day(YMD::medium())?,
            month: month(YM::long())?,
            month_short: month(YM::medium())?,
            name: name(order)?,
            names,
            decimal: DecimalFormatter::try_new((&tag).into(), grouped).ok()?,
            plurals: PluralRules::try_new_cardinal((&tag).into()).ok()?,
            and: ListFormatter::try_new_and((&tag).into(), list).ok()?,
            or: ListFormatter::try_new_or((&tag).into(), list).ok()?,
        })
    }
}

/// Whether the library can write for that place.
pub fn written(locale: &Locale) -> bool {
    Formatters::of(locale).is_some()
}

/// A day, or its month, as the place writes it; ISO 8601 where the library
/// has no words for it.
pub fn date(day: NaiveDate, form: DateForm, locale: &Locale) -> String {
    let parts = Date::try_new_gregorian(day.year(), day.month() as u8, day.day() as u8);
    let (Some(make), Ok(date)) = (Formatters::of(locale), parts) else { return day.to_string() };
    match form {
        DateForm::Day => make.day.format(&date).to_string(),
        DateForm::DayShort => renamed(make.day_short.format(&date).to_string(), &date, &make),
        DateForm::Month => make.month.format(&date).to_string(),
        DateForm::MonthShort => renamed(make.month_short.format(&date).to_string(), &date, &make),
    }
}

/// The short name of a month, from 1, such as `Mar`.
pub fn short_month(month: u32, locale: &Locale) -> String {
    let parts = u8::try_from(month).ok().and_then(|m| Date::try_new_gregorian(2001, m, 1).ok());
    let (Some(make), Some(date)) = (Formatters::of(locale), parts) else {
        return month.to_string();
    };
    let name = make.names.as_ref().map_or(&make.name, |[_, ours]| ours);
    name.format(&date).to_string()
}

/// The date with the month's short name from where it is wanted.
fn renamed(text: String, date: &Date<Gregorian>, make: &Formatters) -> String {
    match &make.names {
        Some([theirs, ours]) => {
            let (theirs, ours) = (theirs.format(date).to_string(), ours.format(date).to_string());
            text.replacen(&theirs, &ours, 1)
        }
        None => text,
    }
}

fn decimal(n: Reported) -> Option<Decimal> {
    n.abs().digits().parse().ok()
}

/// The digits of a number with the place's decimal sign and, below zero, a
/// true minus sign.
pub fn digits(n: Reported, locale: &Locale) -> String {
    let (Some(make), Some(size)) = (Formatters::of(locale), decimal(n)) else { return n.digits() };
    let sign = if n.sign() < 0 { "\u{2212}" } else { "" };
    format!("{sign}{}", make.decimal.format(&size))
}

/// The plural category of a number as it is printed: `1.0` is not `1`.
pub fn category(n: Reported, locale: &Locale) -> PluralCategory {
    match (Formatters::of(locale), decimal(n)) {
        (Some(make), Some(size)) => make.plurals.category_for(&size),
        _ => PluralCategory::Other,
    }
}

/// The plural category of a count.
pub fn category_of_count(count: i64, locale: &Locale) -> PluralCategory {
    Formatters::of(locale).map_or(PluralCategory::Other, |make| make.plurals.category_for(count))
}

/// Stands for an item while only the words between items are wanted.
const ITEM: &str = "\u{1}";

/// The words between the items of a list, one fewer than there are items.
/// `last` is the last item as it will be read: before a word that begins with
/// the sound of `i`, Spanish says `e`, and before one of `o` it says `u`.
pub fn between(count: usize, last: &str, joined: Joined, locale: &Locale) -> Vec<String> {
    let Some(others) = count.checked_sub(1) else { return Vec::new() };
    let plain = || vec![", ".to_string(); others];
    let Some(make) = Formatters::of(locale) else { return plain() };
    let list = match joined {
        Joined::And => &make.and,
        Joined::Or => &make.or,
    };
    let items = std::iter::repeat_n(ITEM, others).chain([last]);
    let whole = list.format_to_string(items);
    let words = whole.strip_suffix(last).and_then(|w| w.strip_prefix(ITEM));
    let Some(words) = words.filter(|_| others > 0) else { return plain() };
    let found: Vec<String> = words.split(ITEM).map(str::to_string).collect();
    if found.len() == others { found } else { plain() }
}

/// Items as one list in words.
pub fn list(items: &[String], joined: Joined, locale: &Locale) -> String {
    let last = items.last().map_or("", String::as_str);
    let mut between = between(items.len(), last, joined, locale).into_iter();
    let mut out = String::new();
    for item in items {
        out.push_str(item);
        out.push_str(&between.next().unwrap_or_default());
    }
    out
}
