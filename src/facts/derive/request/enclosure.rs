//! What goes with a letter: each enclosure with its pages and digest.

use super::super::maker::{Maker, day, text, whole};
use crate::case::{Case, Enclosure, LetterEntry};
use crate::evidence::Source;
use crate::facts::Missing;
use crate::quantity::Unit;

/// `enclosures.list.e<n>.*`, `enclosures.count`, `enclosures.pages`.
pub(super) fn enclosures(make: &mut Maker, case: &Case, entry: &LetterEntry) {
    let record = format!("letter {}", entry.id.value);
    for (n, enclosure) in entry.enclosures.iter().enumerate() {
        one(make, case, enclosure, n + 1, &record);
    }
    let count = entry.enclosures.len() as i64;
    make.fact("enclosures.count", "how many enclosures", whole(count, Unit::One))
        .record(format!("{record} / enclosures"), &entry.place)
        .done();
    let pages: Option<Vec<i64>> =
        entry.enclosures.iter().map(|e| e.pages.as_ref().map(|n| i64::from(n.value))).collect();
    match pages {
        Some(pages) => {
            let total = whole(pages.iter().sum(), Unit::One);
            let mut draft = make.fact("enclosures.pages", "pages of all enclosures", total);
            for n in 1..=entry.enclosures.len() {
                draft = draft.from(format!("enclosures.list.e{n}.pages"));
            }
            draft.by("sum of the pages", Source::definition("")).done()
        }
        None => make.missing(
            "enclosures.pages",
            "pages of all enclosures",
            Missing::NotRecorded {
                item: "pages of every enclosure".into(),
                who: "the administrator".into(),
            },
        ),
    };
}

fn one(make: &mut Maker, case: &Case, e: &Enclosure, number: usize, record: &str) {
    let root = format!("enclosures.list.e{number}");
    let record = format!("{record} / enclosure {number}");
    make.fact(format!("{root}.number"), "number of the enclosure", whole(number as i64, Unit::One))
        .record(&record, &e.place)
        .done();
    make.fact(format!("{root}.what"), "enclosure", text(&e.what))
        .record(&record, &e.what.place)
        .done();
    let film = e.film.as_ref().and_then(|id| case.films.iter().find(|f| f.id.value == id.value));
    match film {
        Some(film) => make
            .fact(format!("{root}.taken"), "day of the enclosed film", day(film.taken.value))
            .record(format!("film {} / taken", film.id.value), &film.taken.place)
            .done(),
        None => make.missing(
            format!("{root}.taken"),
            "day of the enclosed film",
            Missing::NotApplicable("it is no film".into()),
        ),
    };
    make.recorded(
        format!("{root}.pages"),
        "pages of the enclosure",
        &record,
        e.pages.as_ref(),
        |n| whole(i64::from(*n), Unit::One),
        "the administrator",
        &e.place,
    );
    digest(make, e, &root, &record);
}

fn digest(make: &mut Maker, e: &Enclosure, root: &str, record: &str) {
    let id = format!("{root}.digest");
    let label = "digest of the enclosed file";
    match (&e.digest, &e.file) {
        (Some(digest), Some(file)) => make
            .fact(id, label, text(&digest.short()))
            .record(format!("{record} / file"), &file.place)
            .by(
                "BLAKE3 over the bytes of the file, the first 16 of 64 characters",
                Source::definition(""),
            )
            .done(),
        _ => make.missing(id, label, Missing::NotApplicable("no file was read".into())),
    };
}
