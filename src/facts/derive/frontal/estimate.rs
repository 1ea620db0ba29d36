//! Regressions as facts: each for the people it was fitted on, none elsewhere.

use super::super::maker::Maker;
use super::super::track::{FilmCurve, Track};
use super::line::side_of;
use super::root;
use crate::case::{Case, Cause, CsvlAtApex, Exam, Film};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::{Fact, Missing, Value};
use crate::quantity::{Age, Angle, Length, Reported, Unit};
use crate::spine::estimate::{
    FROM_TRUNK_ROTATION, TRUNK_SHIFT, lumbar_cobb_of_both, thoracic_cobb_of_both,
    trunk_shift as shift,
};
use crate::spine::frame::Plane;
use crate::spine::region::{Region, region};
use crate::spine::{Level, Side};

/// Another curve from this size on may be structural, which only bending
/// films tell: it stays 25 degrees or more when bent.
const MAY_BE_STRUCTURAL: f64 = 25.0;

/// `films.<id>.frontal.trunk_shift_estimate`.
pub(super) fn trunk_shift(make: &mut Maker, case: &Case, film: &Film, tracks: &[Track]) {
    let path = format!("{}.trunk_shift_estimate", root(film));
    let label = "trunk shift expected from translation and balance, toward the convex side";
    let inputs = population(case, film, tracks).and_then(|(key, convex)| {
        let of = |id: String| toward(make, &id, convex).map(|mm| (id, mm));
        let translation = of(format!("films.{}.curves.{key}.translation", film.id.value))?;
        let balance = of(format!("{}.balance", root(film)))?;
        Ok((translation, balance))
    });
    let record = format!("film {}", film.id.value);
    match inputs {
        Ok(((translation_id, translation), (balance_id, balance))) => {
            let mm = shift(Length::millimetres(translation), Length::millimetres(balance));
            let cm = mm.to_millimetres() / 10.0;
            make.fact(path, label, Value::Number(Reported::round(cm, 1, Unit::Centimetre)))
                .by("2/3 (thoracic translation + coronal balance) - 0.8 cm, both toward the convex side", TRUNK_SHIFT)
                .unrounded(cm)
                .from(&translation_id)
                .from(format!("{translation_id}_side"))
                .from(&balance_id)
                .from(format!("{balance_id}_side"))
                .done();
        }
        Err(why) => {
            make.fact(path, label, Value::Missing(why))
                .record(record, &film.place)
                .by("regression", TRUNK_SHIFT)
                .done();
        }
    }
}

/// Whether the film is of someone like those the regression was fitted on, and
/// the key and convex side of the thoracic curve.
fn population<'t>(
    case: &Case,
    film: &Film,
    tracks: &'t [Track],
) -> Result<(&'t str, Side), Missing> {
    let outside = |why: &str| Missing::NotApplicable(format!("{why}; fitted on types 1A and 1B"));
    if case.diagnosis.cause.value != Cause::Idiopathic {
        return Err(outside("not idiopathic"));
    }
    let age = Age::on(case.patient.born.value, film.taken.value);
    if age.is_none_or(|a| a.years < 10 || a.years > 17) {
        return Err(outside("not an adolescent at the film"));
    }
    let coronal = tracks.iter().filter(|t| t.plane == Plane::Coronal);
    let mut shown: Vec<(&Track, &FilmCurve)> = coronal
        .filter_map(|t| Some((t, t.films.iter().find(|c| c.film.id.value == film.id.value)?)))
        .collect();
    shown.sort_by(|a, b| b.1.reported().compare(a.1.reported()));
    let Some((largest, curve)) = shown.first() else { return Err(outside("no curve")) };
    let apex = curve.apex().and_then(|a| region(a, case.patient.column)).map(|r| r.0);
    if apex != Some(Region::MainThoracic) {
        return Err(outside("the largest curve is not main thoracic"));
    }
    if shown[1..].iter().any(|(_, c)| c.reported().abs().value() >= MAY_BE_STRUCTURAL) {
        let why = "whether the second curve is structural; fitted on types 1A and 1B";
        return Err(Missing::CannotTell(why.into()));
    }
    let at_apex = film
        .readings
        .iter()
        .rev()
        .find_map(|r| r.frontal.as_ref()?.csvl_at_lumbar_apex.as_ref().map(|c| c.value));
    match at_apex {
        Some(CsvlAtApex::Between | CsvlAtApex::Touching) => {}
        Some(CsvlAtApex::Clear) => return Err(outside("the CSVL is clear of the lumbar apex")),
        None => {
            let item = "where the CSVL passes the lumbar apex".into();
            return Err(Missing::NotRecorded { item, who: "the reader of the film".into() });
        }
    }
    match curve.side() {
        Some(side) => Ok((&largest.key, side)),
        None => Err(Missing::CannotTell("the side of the thoracic curve".into())),
    }
}

/// A size with a side, in millimetres above zero toward one side.
fn toward(make: &Maker, id: &str, convex: Side) -> Result<f64, Missing> {
    let fact = make.facts.get(id);
    let Some(size) = fact.and_then(Fact::number) else {
        let why = fact.and_then(|f| f.missing().cloned());
        return Err(why.unwrap_or(Missing::CannotTell(format!("{id} is not known"))));
    };
    let side = make.facts.get(&format!("{id}_side")).map(|f| &f.value);
    let against = matches!(side, Some(Value::Side(side)) if *side != convex);
    Ok(if against { -size.value() } else { size.value() })
}

/// From both trunk rotations, thoracic and lumbar, to a Cobb angle.
type Formula = fn(Angle, Angle) -> Angle;

/// `estimates.trunk_rotation.{thoracic, lumbar}`: curve sizes expected from the
/// latest trunk rotations.
///
/// The formulas on one rotation alone are no facts: their constants belong to
/// the right thoracic and left lumbar curves most of the group had, and would
/// give a mirror image another size.
pub fn trunk_rotation(make: &mut Maker, case: &Case) {
    let exam = case.exams.iter().rfind(|e| !e.trunk_rotation.is_empty());
    let thoracic = exam.and_then(|e| largest(e, |l| matches!(l, Level::T(_))));
    let lumbar = exam.and_then(|e| largest(e, |l| matches!(l, Level::L(_))));
    let both = thoracic.zip(lumbar);
    let table: [(&str, &str, Formula, &str); 2] = [
        (
            "thoracic",
            "thoracic curve expected from both trunk rotations",
            thoracic_cobb_of_both,
            "2.6 TI - 1.4 LI (r 0.931)",
        ),
        (
            "lumbar",
            "lumbar curve expected from both trunk rotations",
            lumbar_cobb_of_both,
            "-1.5 TI + 2.0 LI (r 0.874)",
        ),
    ];
    let idiopathic = case.diagnosis.cause.value == Cause::Idiopathic;
    for (key, label, formula_of, formula) in table {
        let path = format!("estimates.trunk_rotation.{key}");
        match (idiopathic, exam, both) {
            (true, Some(exam), Some((t, l))) => {
                let left = -formula_of(t.value, l.value).to_degrees();
                expected(make, &path, label, formula, left, (exam, [t, l]));
            }
            _ => not_expected(make, &path, label, formula, idiopathic),
        }
    }
}

/// An expected curve, above zero to the left.
fn expected(
    make: &mut Maker,
    path: &str,
    label: &str,
    formula: &str,
    left: f64,
    (exam, angles): (&Exam, [&Located<Angle>; 2]),
) {
    let reported = Reported::round(left, 0, Unit::Degree);
    let draft = make
        .fact(path, label, Value::Number(reported.abs()))
        .by(formula, FROM_TRUNK_ROTATION)
        .unrounded(left.abs());
    let record = format!("exam {} / trunk_rotation", exam.on.value);
    angles.iter().fold(draft, |draft, angle| draft.record(&record, &angle.place)).done();
    make.fact(format!("{path}_side"), format!("{label}: side"), side_of(reported))
        .by("right above zero in the formula", Source::definition(""))
        .from(path)
        .done();
}

fn not_expected(make: &mut Maker, path: &str, label: &str, formula: &str, idiopathic: bool) {
    let missing = if idiopathic {
        let item = "trunk rotation of both regions".into();
        Missing::NotRecorded { item, who: "the examiner".into() }
    } else {
        Missing::NotApplicable("fitted on idiopathic scoliosis only".into())
    };
    let ids =
        [(path.to_string(), label.to_string()), (format!("{path}_side"), format!("{label}: side"))];
    for (id, label) in ids {
        make.fact(id, label, Value::Missing(missing.clone()))
            .by(formula, FROM_TRUNK_ROTATION)
            .done();
    }
}

/// The largest rotation of a region.
fn largest(exam: &Exam, of: impl Fn(Level) -> bool) -> Option<&Located<Angle>> {
    let size = |angle: &Located<Angle>| angle.value.to_degrees().abs();
    let here = exam.trunk_rotation.iter().filter(|(level, _)| of(level.value)).map(|(_, a)| a);
    here.reduce(|a, b| if size(b) > size(a) { b } else { a })
}
