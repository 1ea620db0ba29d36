//! Facts on each film.

use super::maker::{Maker, day, whole, yes_no};
use super::treatment;
use crate::case::{Case, Film, View};
use crate::evidence::Source;
use crate::facts::compare::{self, Held};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Age, Reported, Unit};

/// `films.<id>.*`.
pub fn films(make: &mut Maker, case: &Case) {
    for film in &case.films {
        one(make, case, film);
    }
}

fn one(make: &mut Maker, case: &Case, film: &Film) {
    let root = format!("films.{}", film.id.value);
    let record = format!("film {}", film.id.value);
    let home = &film.place;
    make.fact(format!("{root}.taken"), "date of the film", day(film.taken.value))
        .record(format!("{record} / taken"), &film.taken.place)
        .done();
    make.fact(format!("{root}.view"), "what the film shows", Value::Word(film.view.word()))
        .record(format!("{record} / view"), &film.view.place)
        .done();
    let age = Age::on(case.patient.born.value, film.taken.value).map_or(
        Value::Missing(Missing::CannotTell("the film lies before birth".into())),
        Value::Age,
    );
    make.fact(format!("{root}.age"), "age at the film", age)
        .record("patient / born", &case.patient.born.place)
        .record(format!("{record} / taken"), &film.taken.place)
        .by("completed years and months from birth to the film", Source::definition(""))
        .done();
    make.recorded(
        format!("{root}.projection"),
        "projection",
        &record,
        film.projection.as_ref(),
        |p| Value::Word(p.word()),
        "whoever took the film",
        home,
    );
    make.recorded(
        format!("{root}.posture"),
        "posture",
        &record,
        film.posture.as_ref(),
        |p| Value::Word(p.word()),
        "whoever took the film",
        home,
    );
    make.recorded(
        format!("{root}.dose"),
        "effective dose",
        &record,
        film.dose.as_ref(),
        |d| Value::Number(crate::course::dose::reported(*d)),
        "whoever took the film",
        home,
    );
    picture(make, film, &root, &record);
    support(make, case, film, &root, &record);
    let worn = treatment::current(case, film.taken.value);
    treatment::on_film(make, &film.id, film.taken.value, worn);
    let mut readers: Vec<&str> = film.readings.iter().map(|r| r.by.value.as_str()).collect();
    readers.sort_unstable();
    readers.dedup();
    make.fact(
        format!("{root}.readers"),
        "number of readers",
        whole(readers.len() as i64, Unit::One),
    )
    .record(&record, home)
    .by("different people among the readings", Source::definition(""))
    .done();
    shown(make, film, &root, &record);
    match film.maturity.as_ref().and_then(|m| m.risser.as_ref()) {
        Some(r) => make
            .fact(
                format!("{root}.risser"),
                "Risser grade on this film",
                whole(i64::from(r.grade.value), Unit::One),
            )
            .record(format!("{record} / maturity / risser"), &r.grade.place)
            .done(),
        None => make.not_recorded(
            format!("{root}.risser"),
            "Risser grade on this film",
            "the reader of the film",
            &record,
            home,
        ),
    };
}

/// What only some films show: the side bent to, the stage of the hand.
fn shown(make: &mut Maker, film: &Film, root: &str, record: &str) {
    let (bent, hand) = (format!("{root}.bent_to"), format!("{root}.hand_stage"));
    let (side, stage) = ("side the patient bends to", "stage of hand maturity on this film");
    let other = |what: &str| Missing::NotApplicable(format!("the film shows no {what}"));
    match film.view.value {
        View::Bending => {
            let found = film.bent_to.as_ref();
            let who = "whoever took the film";
            make.recorded(bent, side, record, found, |s| Value::Side(*s), who, &film.place)
        }
        _ => make.missing(bent, side, other("bending")),
    };
    let found = film.maturity.as_ref().and_then(|m| m.hand_stage.as_ref());
    match film.view.value {
        View::Hand => {
            let who = "the reader of the film";
            let value = |s: &u8| whole(i64::from(*s), Unit::One);
            make.recorded(hand, stage, record, found, value, who, &film.place)
        }
        _ => make.missing(hand, stage, other("hand")),
    };
}

/// Which picture a letter shows of the film; no fact where it has none.
fn picture(make: &mut Maker, film: &Film, root: &str, record: &str) {
    let Some(image) = &film.image else { return };
    let Some(picture) = &image.picture else { return };
    let label = "picture of the film, by the digest of its file";
    make.fact(format!("{root}.picture"), label, Value::Text(picture.file.short()))
        .record(format!("{record} / image"), &image.path.place)
        .by("digest of the bytes of the file named", Source::definition(""))
        .done();
}

fn support(make: &mut Maker, case: &Case, film: &Film, root: &str, record: &str) {
    let held = compare::held(case, film);
    let place = film.support.as_ref().map_or(&film.place, |s| &s.place);
    let value = match held {
        Held::Unknown => Value::Missing(Missing::NotRecorded {
            item: "whether the brace was on".into(),
            who: "whoever took the film".into(),
        }),
        held => Value::Word(held.word()),
    };
    let draft = make
        .fact(format!("{root}.support"), "what held the spine", value)
        .record(format!("{record} / support"), place);
    if film.support.is_none() && held == Held::Free {
        draft.by("no brace or cast was in use on that day", Source::definition("")).done();
    } else {
        draft.done();
    }
    make.fact(
        format!("{root}.support_in_use"),
        "whether a brace or cast was in use that day",
        yes_no(compare::support_in_use(case, film.taken.value)),
    )
    .record(format!("{record} / taken"), &film.taken.place)
    .by("the day lies between first fitting and end of a brace or cast", Source::definition(""))
    .done();
    let last = treatment::last_worn(case, film.taken.value).map(|t| t.kind.word());
    let missing = || Value::Missing(Missing::NotApplicable("no brace or cast before".into()));
    make.fact(
        format!("{root}.support_off"),
        "the brace or cast that was off",
        last.map_or_else(missing, Value::Word),
    )
    .record(format!("{record} / taken"), &film.taken.place)
    .by("the latest brace or cast to begin before the film", Source::definition(""))
    .done();
    make.fact(
        format!("{root}.soon_after_support"),
        "whether a brace or cast had only just come off",
        yes_no(held == Held::Free && just_off(case, film)),
    )
    .record(format!("{record} / taken"), &film.taken.place)
    .by(
        "fewer than 24 hours out of the brace, or a brace or cast ended that day or the day before",
        Source::common_practice("24 hours is common; there is no agreement"),
    )
    .done();
    let hours =
        |h: &crate::quantity::Hours| Value::Number(Reported::round(h.to_hours(), 0, Unit::Hour));
    make.recorded(
        format!("{root}.off_for"),
        "hours out of the brace before the film",
        record,
        film.off_for.as_ref(),
        hours,
        "whoever took the film",
        &film.place,
    );
}

/// Whether the spine may still stand as the brace or cast held it.
fn just_off(case: &Case, film: &Film) -> bool {
    if let Some(off) = &film.off_for {
        return off.to_hours() < 24.0;
    }
    case.treatments.iter().filter(|t| treatment::supports(t)).any(|t| {
        let ended = t.ended.as_ref().map(|e| days_between(e.on.value, film.taken.value));
        ended.is_some_and(|days| (0..=1).contains(&days))
    })
}
