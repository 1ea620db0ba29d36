//! What was found after a denial: films, readings, examinations, downloads.

use chrono::NaiveDate;

use super::super::maker::{Maker, day, yes_no};
use crate::case::{Case, Request};
use crate::evidence::Source;
use crate::facts::Value;

/// `request.new.*`: evidence from after the denial; nothing without one.
pub(super) fn news(make: &mut Maker, case: &Case, r: &Request) {
    let Some(denied) = r.denial.as_ref().map(|d| d.on.value) else { return };
    let mut found = 0;
    for film in case.films.iter().filter(|f| f.taken.value > denied) {
        found += 1;
        let root = format!("request.new.films.n{found}");
        let record = format!("film {} / taken", film.id.value);
        make.fact(format!("{root}.taken"), "film after the denial", day(film.taken.value))
            .record(&record, &film.taken.place)
            .done();
        make.fact(format!("{root}.view"), "view of that film", Value::Word(film.view.word()))
            .record(record, &film.view.place)
            .done();
    }
    for exam in case.exams.iter().filter(|e| e.on.value > denied) {
        found += 1;
        make.fact(
            format!("request.new.exams.n{found}.on"),
            "examination after the denial",
            day(exam.on.value),
        )
        .record(format!("exam {}", exam.on.value), &exam.on.place)
        .done();
    }
    found += read_later(make, case, denied);
    make.fact(
        "request.new.any",
        "whether there is evidence from after the denial",
        yes_no(found > 0),
    )
    .from("request.denial.on")
    .by("films, examinations and downloads later than the denial", Source::definition(""))
    .done();
}

/// Sensors read after the denial.
fn read_later(make: &mut Maker, case: &Case, denied: NaiveDate) -> usize {
    let mut found = 0;
    for t in &case.treatments {
        let Some(on) = t.wear.as_ref().and_then(|w| w.downloaded.as_ref()) else { continue };
        if on.value > denied {
            found += 1;
            make.fact(
                format!("request.new.wear.n{found}.on"),
                "sensor read after the denial",
                day(on.value),
            )
            .record(format!("treatment {} / wear", t.id.value), &on.place)
            .done();
        }
    }
    found
}
