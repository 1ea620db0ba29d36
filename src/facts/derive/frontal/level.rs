//! What belongs to a vertebra of a frontal film: rib angles, rotation, wedging.

use super::super::maker::{Maker, whole, yes_no};
use super::read::{Gathered, frontal, leftward, not_recorded};
use super::root;
use crate::case::{Clinic, CurveReading, Film, Reading};
use crate::evidence::{Constant, Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::rotation::{
    STOKES_SOURCE, STOKES_WITHIN, grade_source, marked_pedicles, pedicles,
};
use crate::spine::wedge::frontal_wedge;
use crate::spine::{Apex, GeometryError, Level, PatientSpine, Side, rib};

/// `films.<id>.frontal.{rvad, rotation, wedges}.<level>`.
pub(super) fn levels(make: &mut Maker, film: &Film, clinic: &Clinic) {
    for level in rib_levels(film) {
        ribs(make, film, level);
    }
    for level in rotation_levels(film) {
        grade(make, film, level);
        formula(make, film, clinic, level);
    }
    for level in wedge_levels(film) {
        wedge(make, film, level);
    }
}

/// The levels that any reading of a film gives, from the head down.
fn union(film: &Film, of: impl Fn(&Reading, Option<&PatientSpine>) -> Vec<Level>) -> Vec<Level> {
    let mut levels: Vec<Level> = film
        .readings
        .iter()
        .flat_map(|r| of(r, super::super::measure::spine(film, r).as_ref()))
        .collect();
    levels.sort();
    levels.dedup();
    levels
}

fn rib_levels(film: &Film) -> Vec<Level> {
    union(film, |reading, spine| {
        let typed = reading.frontal.iter().flat_map(|f| &f.rib_vertebra).map(|r| r.level.value);
        typed.chain(spine.map(rib::marked_ribs).unwrap_or_default()).collect()
    })
}

/// The levels whose rotation a film tells of.
pub(super) fn rotation_levels(film: &Film) -> Vec<Level> {
    union(film, |reading, spine| {
        let typed = reading.frontal.iter().flat_map(|f| &f.rotation).map(|(level, _)| level.value);
        typed.chain(spine.map(marked_pedicles).unwrap_or_default()).collect()
    })
}

/// Recorded wedges, and those of apical vertebrae, where wedging is looked for.
fn wedge_levels(film: &Film) -> Vec<Level> {
    union(film, |reading, spine| {
        let apical =
            reading.curves.iter().filter_map(|c| c.apex.as_ref()).flat_map(|a| match a.value {
                Apex::Vertebra(level) => vec![level],
                Apex::Disc(upper, lower) => vec![upper, lower],
            });
        let marked = |level: &Level| spine.is_some_and(|s| frontal_wedge(s, *level).is_ok());
        let typed = reading.wedges.iter().map(|(level, _)| level.value);
        typed.chain(apical.filter(marked)).collect()
    })
}

/// The convex side at a level: that of the curve it lies in, one it does not
/// end first.
pub(super) fn convex_at(reading: &Reading, level: Level) -> Option<Side> {
    let holds = |c: &&CurveReading| c.upper.value <= level && level <= c.lower.value;
    let inside = |c: &&CurveReading| c.upper.value < level && level < c.lower.value;
    let curves = || reading.curves.iter().filter(|c| c.convex.is_some());
    let curve = curves().find(inside).or_else(|| curves().find(holds));
    curve.and_then(|c| c.convex.as_ref()).map(|side| side.value)
}

fn ribs(make: &mut Maker, film: &Film, level: Level) {
    let path = format!("{}.rvad.{level}", root(film));
    let typed = |reading: &'_ Reading| {
        typed_ribs(reading, level).map(|r| (r.convex.value, r.concave.value))
    };
    let gather = |convex: bool| {
        Gathered::of(
            film,
            &format!("frontal / rib_vertebra / {level}"),
            |reading, spine| {
                let angles = rib::rib_angles(spine, level)?;
                let side = convex_at(reading, level).ok_or(GeometryError::NotMarked(level))?;
                let side = if convex { side } else { side.opposite() };
                Ok(angles.on(side).to_degrees())
            },
            |reading| {
                let place = &typed_ribs(reading, level)?.place;
                let (on_convex, on_concave) = typed(reading)?;
                Some((if convex { on_convex } else { on_concave }.to_degrees(), place))
            },
        )
    };
    let (convex, concave) = (gather(true), gather(false));
    let unsided = film.readings.iter().all(|r| convex_at(r, level).is_none());
    let missing = |label: &str, found: &Gathered<f64>| {
        if unsided {
            let why = format!("{label}: {level} lies in no curve with a recorded side");
            return Missing::CannotTell(why);
        }
        found.missing(label)
    };
    let angle = |make: &mut Maker, key: &str, label: &str, found: &Gathered<f64>| {
        let value = found.mean().map(|m| Reported::round(m, 0, Unit::Degree));
        let told = value.map_or_else(|| Value::Missing(missing(label, found)), Value::Number);
        let draft = make.fact(format!("{path}.{key}"), label, told).by(
            found.how(
                "downward normal of the lower endplate against the rib from mid-head to mid-neck",
            ),
            Source::read(&works::RIB_CONSTRUCTION, ""),
        );
        let draft = match found.mean() {
            Some(mean) => draft.unrounded(mean),
            None => draft,
        };
        found.records(draft).done();
        value
    };
    let on_convex = angle(make, "convex", "rib-vertebra angle on the convex side", &convex);
    let on_concave = angle(make, "concave", "rib-vertebra angle on the concave side", &concave);
    let apart = concave.mean().zip(convex.mean()).map(|(a, b)| a - b);
    let apart = on_convex.zip(on_concave).zip(apart);
    let why = missing("rib-vertebra angle difference", &convex);
    difference(make, &path, apart, &why);
    phase(make, film, &path, level);
}

fn typed_ribs(reading: &Reading, level: Level) -> Option<&crate::case::RibVertebra> {
    reading.frontal.as_ref()?.rib_vertebra.iter().find(|r| r.level.value == level)
}

/// The difference of the two reported angles, and what the two published
/// limits make of it.
fn difference(
    make: &mut Maker,
    path: &str,
    found: Option<((Reported, Reported), f64)>,
    why: &Missing,
) {
    let label = "rib-vertebra angle difference";
    let value = found.map(|((convex, concave), _)| concave.minus(convex));
    let told = value.map_or_else(|| Value::Missing(why.clone()), Value::Number);
    let mut draft = make
        .fact(format!("{path}.difference"), label, told)
        .by("concave minus convex angle, as reported", Source::read(&works::RIB_DEFINITION, ""))
        .from(format!("{path}.convex"))
        .from(format!("{path}.concave"));
    if let Some((_, apart)) = found {
        let within = Reported::round(rib::REPEATS_WITHIN.value, 0, Unit::Degree);
        draft = draft.unrounded(apart).uncertain(within, rib::REPEATS_WITHIN.source);
    }
    draft.done();
    let mut limit = |key: &str, constant: &Constant| {
        let reached = value.map(|v| rib::reaches(v, constant));
        let told = match reached {
            Some(true) => Value::Word("reached"),
            Some(false) => Value::Word("not reached"),
            None => Value::Missing(why.clone()),
        };
        make.fact(format!("{path}.{key}"), "whether the published limit is reached", told)
            .by(format!("at least {} degrees", constant.value), constant.source)
            .from(format!("{path}.difference"))
            .done();
        reached
    };
    let first = limit("limit_20", &rib::LIKELY_FROM);
    let later = limit("limit_17", &rib::LIKELY_FROM_LATER);
    let told = match (first, later) {
        (Some(a), Some(b)) => yes_no(a != b),
        _ => Value::Missing(why.clone()),
    };
    make.fact(format!("{path}.limits_differ"), "whether the two published limits disagree", told)
        .by("one limit reached and the other not", Source::definition(""))
        .from(format!("{path}.limit_20"))
        .from(format!("{path}.limit_17"))
        .done();
}

fn phase(make: &mut Maker, film: &Film, path: &str, level: Level) {
    let label = "phase of the convex rib head";
    let found = Gathered::of(
        film,
        &format!("frontal / rib_vertebra / {level} / phase"),
        |_, _| Err(GeometryError::NotMarked(level)),
        |reading| typed_ribs(reading, level)?.phase.as_ref().map(|p| (p.value, &p.place)),
    );
    let told = same_grade(&found, label);
    let draft = make.fact(format!("{path}.phase"), label, told).by(
        "1: a gap between the convex rib head and the body; 2: they overlap, and the curve progresses",
        Source::read(&works::RIB_DEFINITION, "agreement between readers only fair (kappa 0.67)"),
    );
    found.records(draft).done();
}

/// A grade on which the readers agree.
fn same_grade(found: &Gathered<u8>, label: &str) -> Value {
    let mut grades: Vec<u8> = found.found.iter().map(|r| r.value).collect();
    grades.sort_unstable();
    grades.dedup();
    match grades[..] {
        [] => Value::Missing(found.missing(label)),
        [grade] => whole(i64::from(grade), Unit::One),
        _ => {
            let all: Vec<String> = grades.iter().map(u8::to_string).collect();
            Value::Missing(Missing::CannotTell(format!(
                "the readers differ: {}",
                all.join(" and ")
            )))
        }
    }
}

fn grade(make: &mut Maker, film: &Film, level: Level) {
    let label = "grade of rotation by pedicle offset";
    let found = Gathered::of(
        film,
        &format!("frontal / rotation / {level}"),
        |_, spine| pedicles(spine, level).map(|p| p.grade()),
        |reading| {
            let typed = frontal(reading, |f| f.rotation.iter().find(|(l, _)| l.value == level))?;
            Some((typed.1.value, &typed.1.place))
        },
    );
    let told = same_grade(&found, label);
    let source = found.found.first().map_or(grade_source(0), |r| grade_source(r.value));
    let how = found.how("place of the inner pedicle in the thirds of its half-body");
    let path = format!("{}.rotation.{level}", root(film));
    let draft = make.fact(format!("{path}.grade"), label, told).by(how, source);
    found.records(draft).done();
}

/// The rotation in degrees: only with the clinic's own width over depth and
/// the formula adopted, for both are from weak memory.
fn formula(make: &mut Maker, film: &Film, clinic: &Clinic, level: Level) {
    let label = "rotation by formula";
    let path = format!("{}.rotation.{level}.angle", root(film));
    let width = clinic.choices.width_over_depth.iter().find(|(l, _)| l.value == level);
    let found = Gathered::of(film, "landmarks", |_, spine| pedicles(spine, level), |_| None);
    let adopted = clinic.has_adopted(STOKES_ID);
    let angle = width.filter(|_| adopted).and_then(|(_, w)| {
        let angles: Option<Vec<f64>> =
            found.found.iter().map(|r| Some(r.value.stokes(w.value)?.to_degrees())).collect();
        angles.filter(|a| !a.is_empty()).map(|a| a.iter().sum::<f64>() / a.len() as f64)
    });
    let Some(angle) = angle else {
        let why = match (found.found.is_empty(), adopted, width) {
            (true, ..) => not_recorded(&format!("pedicles of {level}")),
            (_, false, _) => Missing::CannotTell(format!(
                "the formula is known from weak memory and the clinic has not adopted `{STOKES_ID}`"
            )),
            (_, _, None) => Missing::CannotTell(format!(
                "the clinic has given no width over depth of {level} (`choices / width_over_depth`)"
            )),
            _ => Missing::CannotTell("both pedicles fall on one point".into()),
        };
        let draft = make.fact(path, label, Value::Missing(why)).by(FORMULA, STOKES_SOURCE);
        found.records(draft).done();
        return;
    };
    let within = Reported::round(STOKES_WITHIN.value, 1, Unit::Degree);
    let mut draft = make
        .fact(path, label, Value::Number(Reported::round(angle, 0, Unit::Degree)))
        .by(FORMULA, STOKES_SOURCE)
        .unrounded(angle)
        .uncertain(within, STOKES_WITHIN.source);
    if let Some((_, w)) = width {
        draft = draft.record("clinic / choices / width_over_depth", &w.place);
    }
    found.records(draft).done();
}

/// The id under which a clinic adopts the formula.
const STOKES_ID: &str = "stokes-1986";
const FORMULA: &str = "tan = (w / 2d) (a - b) / (a + b), toward the side of the inner pedicle";

fn wedge(make: &mut Maker, film: &Film, level: Level) {
    let path = format!("{}.wedges.{level}", root(film));
    let found = Gathered::of(
        film,
        &format!("wedges / {level}"),
        |_, spine| frontal_wedge(spine, level).map(|a| a.to_degrees()),
        |_| None,
    );
    // A typed wedge has no side, so only its size is told.
    let typed = Gathered::of(
        film,
        &format!("wedges / {level}"),
        |_, _| Err(GeometryError::NotMarked(level)),
        |reading| {
            let (_, angle) = reading.wedges.iter().find(|(l, _)| l.value == level)?;
            Some((leftward(angle.value.to_degrees(), None), &angle.place))
        },
    );
    let shown = if found.found.is_empty() { &typed } else { &found };
    let left = shown.mean();
    let reported = left.map(|l| Reported::round(l, 0, Unit::Degree));
    let label = "wedging of the vertebra";
    let told =
        reported.map_or_else(|| Value::Missing(not_recorded(label)), |r| Value::Number(r.abs()));
    let how = shown.how("angle between the vertebra's own endplates");
    let mut draft = make.fact(&path, label, told).by(how, Source::definition(""));
    if let Some(left) = left {
        draft = draft.unrounded(left.abs());
    }
    shown.records(draft).done();
    let side = match reported.filter(|_| !found.found.is_empty()) {
        Some(reported) => super::line::side_of(reported),
        None => Value::Missing(not_recorded("taller side of the vertebra")),
    };
    let draft = make
        .fact(format!("{path}.side"), "taller side of the vertebra", side)
        .by("the side where the endplates lie farther apart", Source::definition(""))
        .from(&path);
    shown.records(draft).done();
}
