//! Facts on the letter itself: what the clinician wrote for it.

use super::maker::{Maker, day, text};
use super::tongue::{self, Tongue, Words};
use crate::case::{Case, LetterEntry};
use crate::facts::{Missing, Value};

/// `entry.*`: the entry's own words and dates, or nothing without an entry.
pub fn letter(make: &mut Maker, case: &Case, entry: Option<&LetterEntry>, tongue: Tongue) {
    let Some(entry) = entry else {
        for (item, label) in ITEMS {
            let none = Missing::NotApplicable("no letter is named".into());
            make.missing(format!("entry.{item}"), label, none);
        }
        return;
    };
    // A letter that nobody typed says from which record it follows.
    let typed = || format!("letter {}", entry.id.value);
    let record = entry.follows.as_ref().map_or_else(typed, |record| record.value.clone());
    let home = &entry.place;
    let who = "the clinician";
    let word = |u: &crate::case::Urgency| Value::Word(u.word());
    make.recorded(
        "entry.question",
        "question to the reader",
        &record,
        entry.question.as_ref(),
        |t| text(t),
        who,
        home,
    );
    tongue::words(
        make,
        tongue,
        &Words {
            id: "entry.remarks",
            label: "the clinician's own words",
            record: &record,
            record_in: &format!("{record} / remarks_in"),
            own: entry.remarks.as_ref(),
            others: &entry.remarks_in,
            home: (home, who),
        },
    );
    make.recorded("entry.urgency", "how soon", &record, entry.urgency.as_ref(), word, who, home);
    make.fact("entry.as_of", "day whose knowledge the letter states", day(entry.as_of.value))
        .record(as_of_path(entry, &record), &entry.as_of.place)
        .done();
    for (n, id) in entry.enclosed.iter().enumerate() {
        let Some(film) = case.films.iter().find(|f| f.id.value == id.value) else { continue };
        let path = format!("entry.enclosed.e{}", n + 1);
        make.fact(format!("{path}.taken"), "date of an enclosed film", day(film.taken.value))
            .record(format!("{record} / enclosed"), &id.place)
            .done();
        make.fact(
            format!("{path}.view"),
            "view of an enclosed film",
            Value::Word(film.view.word()),
        )
        .record(format!("{record} / enclosed"), &id.place)
        .done();
    }
}

fn as_of_path(entry: &LetterEntry, record: &str) -> String {
    match entry.follows {
        Some(_) => record.to_string(),
        None => format!("{record} / as_of"),
    }
}

const ITEMS: [(&str, &str); 4] = [
    ("question", "question to the reader"),
    ("remarks", "the clinician's own words"),
    ("urgency", "how soon"),
    ("as_of", "day whose knowledge the letter states"),
];
