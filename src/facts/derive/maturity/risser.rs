//! `maturity.risser.*`: the latest grade with its scale, what it means, and
//! the grade before.

use super::{scale, series};
use crate::case::{Case, Film, Risser};
use crate::course::maturity::{RISSER_SOURCE, Step, risser_meaning};
use crate::evidence::{Source, works};
use crate::facts::derive::maker::{Maker, day, whole};
use crate::facts::{Missing, Value};
use crate::quantity::Unit;

/// The Risser grades of the case.
pub(super) fn risser(make: &mut Maker, case: &Case) {
    let grades = series(case, |m| m.risser.as_ref());
    let Some(((film, now), earlier)) = grades.split_last() else {
        for item in ["grade", "scale", "taken", "meaning"] {
            let id = format!("maturity.risser.{item}");
            make.not_recorded(id, "Risser grade", READER, "films", &case.place);
        }
        before(make, None, None);
        return;
    };
    grade(make, "maturity.risser", film, now);
    let meaning = risser_meaning(scale(now.scale.value), now.grade.value);
    let meaning = meaning.map_or_else(
        || Value::Missing(Missing::CannotTell("the scales end at 5".into())),
        Value::Word,
    );
    make.fact("maturity.risser.meaning", "what the Risser grade means", meaning)
        .from("maturity.risser.grade")
        .from("maturity.risser.scale")
        .by("by its own scale", RISSER_SOURCE)
        .done();
    before(make, Some(now), earlier.last().copied());
}

const READER: &str = "the reader of the film";

fn grade(make: &mut Maker, root: &str, film: &Film, risser: &Risser) {
    let record = format!("film {} / maturity / risser", film.id.value);
    make.fact(
        format!("{root}.grade"),
        "Risser grade",
        whole(i64::from(risser.grade.value), Unit::One),
    )
    .record(&record, &risser.grade.place)
    .by(
        "as read on the film, on the scale named",
        Source::read(&works::BITAN_2005, "the two scales are never converted into each other"),
    )
    .done();
    make.fact(
        format!("{root}.scale"),
        "scale of the Risser grade",
        Value::Word(risser.scale.word()),
    )
    .record(&record, &risser.scale.place)
    .done();
    make.fact(format!("{root}.taken"), "film of the Risser grade", day(film.taken.value))
        .record(format!("film {} / taken", film.id.value), &film.taken.place)
        .done();
}

/// `maturity.risser.before.*` and `.step`.
fn before(make: &mut Maker, now: Option<&Risser>, before: Option<(&Film, &Risser)>) {
    let label = "how the Risser grade stands to the one before";
    let (Some(now), Some((film, earlier))) = (now, before) else {
        let none = Missing::NotApplicable("no earlier Risser grade".into());
        for item in ["grade", "scale", "taken"] {
            let id = format!("maturity.risser.before.{item}");
            make.missing(id, "Risser grade before", none.clone());
        }
        make.missing("maturity.risser.step", label, none);
        return;
    };
    grade(make, "maturity.risser.before", film, earlier);
    let of = |r: &Risser| (scale(r.scale.value), r.grade.value);
    let value = match Step::of_risser(of(earlier), of(now)) {
        Step::Rose => Value::Word("rose"),
        Step::Same => Value::Word("same"),
        Step::Fell => Value::Word("fell"),
        Step::OtherScale => Value::Missing(Missing::NotComparable(format!(
            "read on the {} scale before and on the {} scale now",
            earlier.scale.word(),
            now.scale.word()
        ))),
    };
    make.fact("maturity.risser.step", label, value)
        .from("maturity.risser.before.grade")
        .from("maturity.risser.grade")
        .by("compared on one scale only", Source::read(&works::RISSER_2010, ""))
        .done();
}
