//! The clinic's own file.

use crate::case::clinic::{
    After, Choices, Clinic, DateStyle, DefaultLetters, Follow, Limits, PaperSize, Person,
};
use crate::case::model::{
    AgeClasses, Choice, CsvlLine, FittingKind, HeightLoss, LetterKind, Role, WedgeCount,
};
use crate::case::shape::Rec;

/// The clinic, if its name could be read.
pub(in crate::case) fn clinic(mut rec: Rec) -> Option<Clinic> {
    let clinic = Clinic {
        place: rec.place.clone(),
        address: rec.texts("address"),
        phone: rec.text("phone"),
        email: rec.text("email"),
        notice: rec.text("notice"),
        notice_in: rec.named_texts("notice_in"),
        films_kept: rec.text("films_kept"),
        films_kept_in: rec.named_texts("films_kept_in"),
        adult_care: rec.text("adult_care"),
        adult_care_in: rec.named_texts("adult_care_in"),
        people: rec.records("people", &mut Vec::new(), person),
        responsible: rec.text("responsible"),
        paper: rec.word("paper", paper).map_or(PaperSize::A4, |p| p.value),
        dates: rec.word("dates", dates).map_or(DateStyle::DayMonthYear, |d| d.value),
        language: rec.text("language").map_or_else(|| "en".to_string(), |l| l.value),
        languages: rec.texts("languages"),
        region: rec.text("region").map(|r| r.value),
        limits: rec.record("limits").map_or_else(none, limits),
        adopted: rec.texts("adopted"),
        choices: rec.record("choices").map(choices).unwrap_or_default(),
        letters: rec.record("letters").and_then(letters),
        name: rec.text("clinic")?,
    };
    rec.done();
    Some(clinic)
}

fn paper(word: &str) -> Option<PaperSize> {
    match word {
        "A4" => Some(PaperSize::A4),
        "US Letter" => Some(PaperSize::UsLetter),
        _ => None,
    }
}

fn dates(word: &str) -> Option<DateStyle> {
    match word {
        "day month year" => Some(DateStyle::DayMonthYear),
        "month day year" => Some(DateStyle::MonthDayYear),
        _ => None,
    }
}

fn person(mut rec: Rec) -> Option<Person> {
    let person = Person {
        place: rec.place.clone(),
        credentials: rec.text("credentials"),
        role: rec.text("role"),
        role_in: rec.named_texts("role_in"),
        licence: rec.text("licence"),
        provider_no: rec.text("provider_no"),
        phone: rec.text("phone"),
        id: rec.text("id")?,
        name: rec.text("name")?,
    };
    rec.done();
    Some(person)
}

fn limits(mut rec: Rec) -> Limits {
    let limits = Limits {
        real_change: rec.angle("real_change"),
        repeatability: rec.angle("repeatability"),
        scoliosis_from: rec.angle("scoliosis_from"),
        scoliosis_inclusive: rec.flag("scoliosis_inclusive"),
        rate_months: rec.whole("rate_months").map(|n| n.map(|n| n as u32)),
        baseline_months: rec.whole("baseline_months").map(|n| n.map(|n| n as u32)),
        surgeon_from: rec.angle("surgeon_from"),
        worn_above: rec.temperature("worn_above"),
        wear_cool_by: rec.temperature("wear_cool_by"),
        wear_step: rec.temperature("wear_step"),
        wear_missing: rec.number("wear_missing").map(|n| n.map(|n| n.value)),
        film_months: rec.whole("film_months").map(|n| n.map(|n| n as u32)),
        velocity_months: rec.whole("velocity_months").map(|n| n.map(|n| n as u32)),
        height_error: rec.length("height_error"),
        reading_grade: rec.whole("reading_grade").map(|n| n.map(|n| n as u32)),
    };
    rec.done();
    limits
}

fn choices(mut rec: Rec) -> Choices {
    let choices = Choices {
        csvl: rec.word("csvl", CsvlLine::from_word),
        height_loss: rec.word("height_loss", HeightLoss::from_word),
        scheuermann: rec.word("scheuermann", WedgeCount::from_word),
        age_classes: rec.word("age_classes", AgeClasses::from_word),
        width_over_depth: rec
            .numbers_by_level("width_over_depth")
            .into_iter()
            .map(|(level, n)| (level, n.map(|n| n.value / 100.0)))
            .collect(),
    };
    rec.done();
    choices
}

fn letters(mut rec: Rec) -> Option<DefaultLetters> {
    let letters = DefaultLetters {
        follow: rec.records("follow", &mut Vec::new(), follow),
        since: rec.day("since")?,
    };
    rec.done();
    Some(letters)
}

fn follow(mut rec: Rec) -> Option<Follow> {
    let follow = Follow {
        place: rec.place.clone(),
        choice: rec.words("choice", Choice::from_word).unwrap_or_default(),
        except: rec.words("except", Choice::from_word).unwrap_or_default(),
        what: rec.words("what", FittingKind::from_word).unwrap_or_default(),
        copies: rec.words("copies", Role::from_word).unwrap_or_default(),
        after: rec.word("after", After::from_word)?,
        kind: rec.word("kind", LetterKind::from_word)?,
        to: rec.word("to", Role::from_word)?,
    };
    rec.done();
    Some(follow)
}

/// No limit set: each has its default, with a source, elsewhere.
fn none() -> Limits {
    Limits {
        real_change: None,
        repeatability: None,
        scoliosis_from: None,
        scoliosis_inclusive: None,
        rate_months: None,
        baseline_months: None,
        surgeon_from: None,
        worn_above: None,
        wear_cool_by: None,
        wear_step: None,
        wear_missing: None,
        film_months: None,
        velocity_months: None,
        height_error: None,
        reading_grade: None,
    }
}
