//! Facts on each curve of each film: its angle, its readings, how sure it is.

use super::judge::{ends, group};
use super::maker::{Maker, whole, yes_no};
use super::span::Setting;
use super::track::{FilmCurve, Measured, Track};
use crate::course::change::Ends;
use crate::course::observer::{half_width, repeat_limit};
use crate::course::spread;
use crate::evidence::{Constant, Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};

/// `films.<id>.curves.<key>.*` and `films.<id>.readings.<id>.curves.<key>.cobb`.
pub fn film_curves(make: &mut Maker, tracks: &[Track], set: &Setting) {
    for track in tracks {
        for (n, shown) in track.films.iter().enumerate() {
            readings(make, track, shown);
            curve(make, track, shown, &doubt(track, n, set));
            spread(make, track, shown);
        }
    }
}

fn record_of(shown: &FilmCurve, m: &Measured, track: &Track) -> String {
    let curve = track.name.as_deref().unwrap_or(&track.key);
    format!("film {} / reading {} / curve {curve}", shown.film.id.value, m.reading.id.value)
}

fn readings(make: &mut Maker, track: &Track, shown: &FilmCurve) {
    for m in shown.members.iter().chain(&shown.repeats) {
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

fn curve(make: &mut Maker, track: &Track, shown: &FilmCurve, doubt: &Constant) {
    let root = format!("films.{}.curves.{}", shown.film.id.value, track.key);
    let first = &shown.members[0];
    let record = record_of(shown, first, track);
    let mut draft = make
        .fact(format!("{root}.cobb"), "Cobb angle", Value::Number(shown.reported()))
        .by("mean over the readings, rounded once to whole degrees, half away from zero; below zero if turned to the other side in support", Source::read(&works::COBB_ORTHOFRACS, ""))
        .unrounded(shown.unrounded())
        .uncertain(half_width(doubt, shown.members.len()), doubt.source);
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

/// The published error of one reading that applies to a film of the track:
/// with end vertebrae given, if they are those of the film before.
fn doubt(track: &Track, n: usize, set: &Setting) -> Constant {
    let shown = &track.films[n];
    let before = n.checked_sub(1).map(|i| &track.films[i]);
    let ends = before.map_or(Ends::Free, |before| ends(before, shown));
    let own = set.clinic.limits.repeatability.as_ref().map(|l| l.value);
    repeat_limit(group(track, shown, set.case), ends, own)
}

/// How far the readings of one film lie apart: `repeats`, `sd`, `sem`.
fn spread(make: &mut Maker, track: &Track, shown: &FilmCurve) {
    let root = format!("films.{}.curves.{}", shown.film.id.value, track.key);
    let all = || shown.members.iter().chain(&shown.repeats);
    let count = whole(shown.repeats.len() as i64, Unit::One);
    make.fact(format!("{root}.repeats"), "readings made again by the same reader", count)
        .record(record_of(shown, &shown.members[0], track), &shown.members[0].curve.place)
        .by(
            "count of readings that repeat another; they are no part of the film's value",
            Source::definition(""),
        )
        .done();
    let values = shown.every();
    let rows = [
        (
            "sd",
            "standard deviation of the readings of this film",
            spread::sd(&values),
            "standard deviation (over n - 1) of all readings of this film, repeats included, unrounded",
        ),
        (
            "sem",
            "standard error of the mean of the readings of this film",
            spread::standard_error(&values),
            "standard deviation / root of the number of readings",
        ),
    ];
    for (item, label, value, formula) in rows {
        let id = format!("{root}.{item}");
        let Some(value) = value else {
            let why = "one reading has no spread: read it again, or let another person read it";
            make.missing(id, label, Missing::NotApplicable(why.into()));
            continue;
        };
        let reported = Value::Number(Reported::round(value, 1, Unit::Degree));
        let mut draft = make.fact(id, label, reported).unrounded(value);
        for m in all() {
            draft = draft.from(format!(
                "films.{}.readings.{}.curves.{}.cobb",
                shown.film.id.value, m.reading.id.value, track.key
            ));
        }
        draft.by(formula, Source::definition("")).done();
    }
}
