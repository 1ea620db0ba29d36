//! Taking typed values out of a checked record.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::case::Opt;
use crate::case::model::{Answers, Sided};
use crate::case::scalar::Number;
use crate::case::shape::{Rec, Value};
use crate::diag::Located;
use crate::quantity::{
    Angle, AreaDose, Dose, Hours, HoursPerDay, Length, Mass, PartialDate, PixelScale, Temperature,
    Unit,
};
use crate::spine::{Apex, Level, Side};

/// Narrows a located value by its variant. The table fixes the variant of
/// each key, so the other arm is never reached by input.
macro_rules! narrow {
    ($located:expr, $variant:path) => {
        $located.and_then(|located| match located.value {
            $variant(value) => Some(Located::new(value, located.place)),
            _ => None,
        })
    };
}

impl Rec {
    pub(super) fn text(&mut self, key: &str) -> Opt<String> {
        narrow!(self.take(key), Value::Text)
    }

    pub(super) fn date(&mut self, key: &str) -> Opt<PartialDate> {
        narrow!(self.take(key), Value::Date)
    }

    pub(super) fn day(&mut self, key: &str) -> Opt<NaiveDate> {
        Some(self.date(key)?.map(PartialDate::first_day))
    }

    pub(super) fn number(&mut self, key: &str) -> Opt<Number> {
        narrow!(self.take(key), Value::Number)
    }

    pub(super) fn angle(&mut self, key: &str) -> Opt<Angle> {
        Some(self.number(key)?.map(|n| Angle::degrees(n.value)))
    }

    pub(super) fn length(&mut self, key: &str) -> Opt<Length> {
        Some(self.number(key)?.map(|n| Length::millimetres(n.in_unit(Unit::Millimetre))))
    }

    pub(super) fn mass(&mut self, key: &str) -> Opt<Mass> {
        Some(self.number(key)?.map(|n| Mass::kilograms(n.value)))
    }

    pub(super) fn per_day(&mut self, key: &str) -> Opt<HoursPerDay> {
        Some(self.number(key)?.map(|n| HoursPerDay::hours(n.value)))
    }

    pub(super) fn hours(&mut self, key: &str) -> Opt<Hours> {
        Some(self.number(key)?.map(|n| Hours::hours(n.value)))
    }

    pub(super) fn dose(&mut self, key: &str) -> Opt<Dose> {
        Some(self.number(key)?.map(|n| Dose::millisievert(n.value)))
    }

    pub(super) fn area_dose(&mut self, key: &str) -> Opt<AreaDose> {
        let gray = |n: Number| n.in_unit(Unit::GraySquareCentimetre);
        Some(self.number(key)?.map(|n| AreaDose::gray_square_centimetres(gray(n))))
    }

    pub(super) fn temperature(&mut self, key: &str) -> Opt<Temperature> {
        Some(self.number(key)?.map(|n| Temperature::celsius(n.value)))
    }

    pub(super) fn scale(&mut self, key: &str) -> Opt<PixelScale> {
        Some(self.number(key)?.map(|n| PixelScale::millimetres_per_pixel(n.value)))
    }

    fn sided<T>(&mut self, key: &str, make: impl Fn(Number) -> T) -> Opt<Sided<T>> {
        self.take(key).and_then(|located| match located.value {
            Value::Sided(number, side) => {
                Some(Located::new(Sided { amount: make(number), side }, located.place))
            }
            _ => None,
        })
    }

    pub(super) fn sided_length(&mut self, key: &str) -> Opt<Sided<Length>> {
        self.sided(key, |n| Length::millimetres(n.in_unit(Unit::Millimetre)))
    }

    pub(super) fn sided_angle(&mut self, key: &str) -> Opt<Sided<Angle>> {
        self.sided(key, |n| Angle::degrees(n.value))
    }

    /// From levels to numbers.
    pub(super) fn numbers_by_level(&mut self, key: &str) -> Vec<(Located<Level>, Located<Number>)> {
        self.numbers_by_key(key).into_iter().filter_map(|(name, n)| leveled(name, n)).collect()
    }

    /// From levels to whole numbers.
    pub(super) fn wholes_by_level(&mut self, key: &str) -> Vec<(Located<Level>, Located<i64>)> {
        let wholes = self.map(key, |value| match value {
            Value::Whole(whole) => Some(whole),
            _ => None,
        });
        wholes.into_iter().filter_map(|(name, n)| leveled(name, n)).collect()
    }

    pub(super) fn level(&mut self, key: &str) -> Opt<Level> {
        narrow!(self.take(key), Value::Level)
    }

    pub(super) fn apex(&mut self, key: &str) -> Opt<Apex> {
        narrow!(self.take(key), Value::Apex)
    }

    pub(super) fn whole(&mut self, key: &str) -> Opt<i64> {
        narrow!(self.take(key), Value::Whole)
    }

    pub(super) fn flag(&mut self, key: &str) -> Opt<bool> {
        narrow!(self.take(key), Value::Flag)
    }

    pub(super) fn word<T>(&mut self, key: &str, from: fn(&str) -> Option<T>) -> Opt<T> {
        let word = narrow!(self.take(key), Value::Word)?;
        Some(Located::new(from(word.value)?, word.place))
    }

    pub(super) fn side(&mut self, key: &str) -> Opt<Side> {
        self.word(key, |word| match word {
            "left" => Some(Side::Left),
            "right" => Some(Side::Right),
            _ => None,
        })
    }

    fn list(&mut self, key: &str) -> Option<Vec<Located<Value>>> {
        narrow!(self.take(key), Value::List).map(|list| list.value)
    }

    pub(super) fn texts(&mut self, key: &str) -> Vec<Located<String>> {
        self.texts_if_given(key).unwrap_or_default()
    }

    /// `None` if the key is absent, which an empty list is not.
    pub(super) fn texts_if_given(&mut self, key: &str) -> Option<Vec<Located<String>>> {
        let list = self.list(key)?;
        Some(list.into_iter().filter_map(|item| narrow!(Some(item), Value::Text)).collect())
    }

    pub(super) fn days(&mut self, key: &str) -> Vec<Located<NaiveDate>> {
        let list = self.list(key).unwrap_or_default().into_iter();
        let dates = list.filter_map(|item| narrow!(Some(item), Value::Date));
        dates.map(|date: Located<PartialDate>| date.map(PartialDate::first_day)).collect()
    }

    /// The answers to a questionnaire; `None` if the key is absent.
    pub(super) fn answers(&mut self, key: &str) -> Option<Answers> {
        let list = narrow!(self.take(key), Value::List)?;
        let answers = list.value.into_iter().filter_map(|item| narrow!(Some(item), Value::Answer));
        Some(Answers { answers: answers.collect(), place: list.place })
    }

    pub(super) fn words<T>(
        &mut self,
        key: &str,
        from: fn(&str) -> Option<T>,
    ) -> Option<Vec<Located<T>>> {
        let words = self.list(key)?.into_iter().filter_map(|item| {
            let word = narrow!(Some(item), Value::Word)?;
            Some(Located::new(from(word.value)?, word.place))
        });
        Some(words.collect())
    }

    pub(super) fn record(&mut self, key: &str) -> Option<Rec> {
        narrow!(self.take(key), Value::Record).map(|rec| rec.value)
    }

    /// The records of a list, built one by one; `None` if the key is absent.
    /// The ids of those that could not be built are added to `unread`.
    pub(super) fn records_if_given<T>(
        &mut self,
        key: &str,
        unread: &mut Vec<String>,
        mut build: impl FnMut(Rec) -> Option<T>,
    ) -> Option<Vec<T>> {
        let mut built = Vec::new();
        for item in self.list(key)? {
            let Value::Record(rec) = item.value else { continue };
            let id = rec.id();
            match build(rec) {
                Some(record) => built.push(record),
                None => unread.extend(id),
            }
        }
        Some(built)
    }

    pub(super) fn records<T>(
        &mut self,
        key: &str,
        unread: &mut Vec<String>,
        build: impl FnMut(Rec) -> Option<T>,
    ) -> Vec<T> {
        self.records_if_given(key, unread, build).unwrap_or_default()
    }

    fn map<T>(
        &mut self,
        key: &str,
        each: impl Fn(Value) -> Option<T>,
    ) -> Vec<(Located<String>, Located<T>)> {
        let map = narrow!(self.take(key), Value::Map).map(|map| map.value).unwrap_or_default();
        let narrowed = map
            .into_iter()
            .filter_map(|(name, item)| Some((name, Located::new(each(item.value)?, item.place))));
        narrowed.collect()
    }

    pub(super) fn named_texts(&mut self, key: &str) -> BTreeMap<String, Located<String>> {
        let text = |value| match value {
            Value::Text(text) => Some(text),
            _ => None,
        };
        self.map(key, text).into_iter().map(|(name, text)| (name.value, text)).collect()
    }

    /// From names to lists of texts.
    pub(super) fn named_lists(&mut self, key: &str) -> BTreeMap<String, Vec<Located<String>>> {
        let texts = |value| match value {
            Value::List(items) => {
                let items = items.into_iter();
                Some(items.filter_map(|i| narrow!(Some(i), Value::Text)).collect::<Vec<_>>())
            }
            _ => None,
        };
        self.map(key, texts).into_iter().map(|(name, list)| (name.value, list.value)).collect()
    }

    /// From names to words of a closed set.
    pub(super) fn named_words<T>(
        &mut self,
        key: &str,
        from: fn(&str) -> Option<T>,
    ) -> BTreeMap<String, Located<T>> {
        let word = |value| match value {
            Value::Word(word) => from(word),
            _ => None,
        };
        self.map(key, word).into_iter().map(|(name, word)| (name.value, word)).collect()
    }

    pub(super) fn numbers_by_key(&mut self, key: &str) -> Vec<(Located<String>, Located<Number>)> {
        self.map(key, |value| match value {
            Value::Number(number) => Some(number),
            _ => None,
        })
    }

    /// Everything of the table was taken: a field nobody reads is a mistake of
    /// the program, which the tests must show.
    pub(super) fn done(&self) {
        if cfg!(test) {
            assert!(self.left().is_empty(), "fields nobody reads: {:?}", self.left());
        }
    }
}

fn leveled<T>(name: Located<String>, value: T) -> Option<(Located<Level>, T)> {
    let level = Level::parse(&name)?;
    Some((Located::new(level, name.place), value))
}
