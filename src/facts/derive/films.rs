//! Facts on each film and on each curve it shows.

use super::maker::{Maker, day, whole, yes_no};
use super::sagittal;
use super::track::{FilmCurve, Measured, Track};
use super::treatment;
use crate::case::{Case, Film};
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Age, Reported, Unit};
use crate::spine::frame::Plane;

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
    support(make, case, film, &root, &record);
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

/// `films.<id>.curves.<key>.*` and `films.<id>.readings.<id>.curves.<key>.cobb`.
pub fn film_curves(make: &mut Maker, case: &Case, tracks: &[Track]) {
    for track in tracks {
        for shown in &track.films {
            readings(make, track, shown);
            curve(make, case, track, shown);
        }
    }
}

fn record_of(shown: &FilmCurve, m: &Measured, track: &Track) -> String {
    let curve = track.name.as_deref().unwrap_or(&track.key);
    format!("film {} / reading {} / curve {curve}", shown.film.id.value, m.reading.id.value)
}

fn readings(make: &mut Maker, track: &Track, shown: &FilmCurve) {
    for m in &shown.members {
        let id = format!(
            "films.{}.readings.{}.curves.{}.cobb",
            shown.film.id.value, m.reading.id.value, track.key
        );
        let signed = m.signed();
        let record = record_of(shown, m, track);
        let draft = make
            .fact(
                id,
                "Cobb angle of one reading",
                Value::Number(Reported::round(signed, 0, Unit::Degree)),
            )
            .unrounded(signed);
        let draft = match (&m.curve.cobb, m.from_landmarks) {
            (_, true) if m.curve.found => {
                let landmarks = m.reading.landmarks.as_ref().expect("measured from landmarks");
                draft
                    .record(format!("film {} / reading {} / landmarks ({})", shown.film.id.value, m.reading.id.value, landmarks.path.value), &landmarks.path.place)
                    .by("angle between the upper endplate of the upper and the lower endplate of the lower end vertebra, from the landmarks; no reader named the curve: the ends are the most tilted vertebrae, or those of the film of the spine as it is", Source::read(&works::COBB_ORTHOFRACS, ""))
            }
            (_, true) => {
                let landmarks = m.reading.landmarks.as_ref().expect("measured from landmarks");
                draft
                    .record(format!("{record} / upper, lower"), &m.curve.upper.place)
                    .record(format!("film {} / reading {} / landmarks ({})", shown.film.id.value, m.reading.id.value, landmarks.path.value), &landmarks.path.place)
                    .by("angle between the upper endplate of the upper and the lower endplate of the lower end vertebra, from the landmarks", Source::read(&works::COBB_ORTHOFRACS, ""))
            }
            (Some(typed), false) => draft.record(format!("{record} / cobb"), &typed.place).by(
                "as typed by the reader",
                Source::read(&works::COBB_ORTHOFRACS, "method of the measurement"),
            ),
            (None, false) => draft,
        };
        draft.done();
    }
}

fn curve(make: &mut Maker, case: &Case, track: &Track, shown: &FilmCurve) {
    let root = format!("films.{}.curves.{}", shown.film.id.value, track.key);
    let first = &shown.members[0];
    let record = record_of(shown, first, track);
    let (half, meaning) = match track.plane {
        Plane::Coronal => (
            half_width(shown.members.len()),
            Source::read(
                &works::MORRISSY_1990,
                "95 % half-width of one measurement: intra-observer limit 4.9 / sqrt 2, divided by the root of the number of readings",
            ),
        ),
        Plane::Sagittal => sagittal::half_width(case, shown.members.len()),
    };
    let mut draft = make
        .fact(format!("{root}.cobb"), "Cobb angle", Value::Number(shown.reported()))
        .by("mean over the readings, rounded once to whole degrees, half away from zero; below zero if turned to the other side in support", Source::read(&works::COBB_ORTHOFRACS, ""))
        .unrounded(shown.unrounded())
        .uncertain(half, meaning);
    for m in &shown.members {
        draft = draft.from(format!(
            "films.{}.readings.{}.curves.{}.cobb",
            shown.film.id.value, m.reading.id.value, track.key
        ));
    }
    draft.done();
    if shown.members.len() > 1 {
        for (n, m) in shown.members.iter().enumerate() {
            let reading = format!(
                "films.{}.readings.{}.curves.{}.cobb",
                shown.film.id.value, m.reading.id.value, track.key
            );
            make.same(format!("{root}.reads.r{}", n + 1), &reading);
        }
    }
    let (upper, lower) = shown.levels();
    make.fact(format!("{root}.levels"), "end vertebrae", Value::Levels(upper, lower))
        .record(&record, &first.curve.upper.place)
        .done();
    make.fact(format!("{root}.upper"), "upper end vertebra", Value::Level(upper))
        .record(&record, &first.curve.upper.place)
        .done();
    make.fact(format!("{root}.lower"), "lower end vertebra", Value::Level(lower))
        .record(&record, &first.curve.lower.place)
        .done();
    let apex = shown.members.iter().find_map(|m| m.curve.apex.as_ref());
    make.recorded(
        format!("{root}.apex"),
        "apex",
        &record,
        apex,
        |a| Value::Apex(*a),
        "the reader of the film",
        &first.curve.place,
    );
    let automatic = shown.members.iter().any(|m| m.curve.found);
    make.fact(
        format!("{root}.found"),
        "whether the program found the curve, because no reader named it",
        yes_no(automatic),
    )
    .record(&record, &first.curve.place)
    .by("no typed curve in the reading", Source::definition(""))
    .done();
    make.fact(
        format!("{root}.readers"),
        "number of readers",
        whole(shown.readers() as i64, Unit::One),
    )
    .record(&record, &first.reading.by.place)
    .by("different people among the readings", Source::definition(""))
    .done();
}

/// 95 % half-width of a mean of `n` measurements: 4.9 / sqrt 2 = 3.46 degrees
/// for one.
fn half_width(n: usize) -> Reported {
    let one = 4.9 / crate::quantity::math::sqrt(2.0);
    Reported::round(one / crate::quantity::math::sqrt(n as f64), 1, Unit::Degree)
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
