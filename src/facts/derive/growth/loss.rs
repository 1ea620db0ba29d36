//! `growth.loss.*` and `growth.corrected.*`: the height that the curve hides.
//!
//! The formulas are known from memory. Every one is shown with its grade, the
//! clinic's choice says which one is added to the height, and no rule of this
//! program reads the result; `growth.loss.adopted` says whether the clinic
//! has adopted it (`height-loss`).

use chrono::Months;

use super::stature::{Scored, height_of, parameters, score};
use crate::case::{Cause, Clinic, Exam, HeightLoss};
use crate::course::growth::loss::{Formula, RANGE};
use crate::evidence::{Grade, Source};
use crate::facts::derive::curves::{largest, largest_plane};
use crate::facts::derive::maker::{Maker, day, yes_no};
use crate::facts::derive::span::Setting;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::frame::Plane;

/// What a clinic adopts to let the corrected height decide.
const ADOPTED: &str = "height-loss";
/// Most months between the film and the height. Our own choice: half a year
/// of growth or progression is as large as the loss itself.
const APART_MONTHS: u32 = 6;

fn chosen(clinic: &Clinic) -> Formula {
    match clinic.choices.height_loss.as_ref().map(|c| c.value) {
        Some(HeightLoss::Bjure) => Formula::Bjure,
        Some(HeightLoss::StokesB) => Formula::StokesB,
        Some(HeightLoss::Stokes) | None => Formula::StokesA,
    }
}

/// Every formula side by side, the one chosen, and the corrected height.
pub(super) fn losses(make: &mut Maker, tracks: &[Track], set: &Setting) {
    let formula = chosen(set.clinic);
    choice(make, formula, set);
    let ground = ground(tracks, set);
    match &ground {
        Ok((curve, _)) => {
            make.fact(
                "growth.loss.cobb",
                "curve that hides height",
                Value::Number(curve.reported()),
            )
            .from("major.now.cobb")
            .by("largest frontal curve out of support now", Source::definition(""))
            .done();
            make.fact(
                "growth.loss.taken",
                "film of the curve that hides height",
                day(curve.film.taken.value),
            )
            .record(format!("film {} / taken", curve.film.id.value), &curve.film.taken.place)
            .done();
        }
        Err(missing) => {
            make.missing("growth.loss.cobb", "curve that hides height", missing.clone());
            make.missing(
                "growth.loss.taken",
                "film of the curve that hides height",
                missing.clone(),
            );
        }
    }
    for each in Formula::ALL {
        let loss = ground.as_ref().map_err(Clone::clone).and_then(|(curve, _)| of(each, curve));
        estimate(make, each.key(), each, loss);
    }
    let loss = ground
        .as_ref()
        .map_err(Clone::clone)
        .and_then(|(curve, exam)| Ok((of(formula, curve)?, *exam)));
    estimate(make, "amount", formula, loss.clone().map(|(loss, _)| loss));
    corrected(make, formula, loss, set);
}

fn choice(make: &mut Maker, formula: Formula, set: &Setting) {
    let place = set.clinic.choices.height_loss.as_ref().map(|c| &c.place);
    let word = match formula {
        Formula::Bjure => HeightLoss::Bjure,
        Formula::StokesA => HeightLoss::Stokes,
        Formula::StokesB => HeightLoss::StokesB,
    };
    let label = "whose formula of the height lost";
    let fact = make.fact("growth.loss.formula", label, Value::Word(word.word()));
    let set_by_clinic = Source { work: None, grade: Grade::ClinicSetting, note: "" };
    match place {
        Some(place) => fact
            .record("clinic / choices / height_loss", place)
            .by("the clinic's choice", set_by_clinic)
            .done(),
        None => fact.by("default of this program", formula.source()).done(),
    };
    make.fact(
        "growth.loss.adopted",
        "whether the clinic has adopted the height lost",
        yes_no(set.clinic.has_adopted(ADOPTED)),
    )
    .record("clinic / adopted", &set.clinic.place)
    .by("height-loss stands among the figures adopted", Source::definition(""))
    .done();
}

/// The curve and the height that go together, or why there are none.
fn ground<'a, 'b>(
    tracks: &'a [Track<'b>],
    set: &Setting<'b>,
) -> Result<(&'a FilmCurve<'b>, &'b Exam), Missing> {
    if largest_plane(set.case) != Plane::Coronal {
        let why = "the formulas are for a frontal curve".into();
        return Err(Missing::NotApplicable(why));
    }
    if set.case.diagnosis.cause.value != Cause::Idiopathic {
        let why = "the formulas were found in idiopathic curves".into();
        return Err(Missing::NotApplicable(why));
    }
    let exam = set.case.exams.iter().rfind(|e| e.height.is_some());
    let exam =
        exam.ok_or(Missing::NotRecorded { item: "height".into(), who: "the examiner".into() })?;
    let curve = largest(tracks, set).and_then(|t| t.now(set.case));
    let curve = curve.ok_or(Missing::NotApplicable("no frontal curve is measured".into()))?;
    let (film, height) = (curve.film.taken.value, exam.on.value);
    let (first, last) = (film.min(height), film.max(height));
    if first + Months::new(APART_MONTHS) < last {
        return Err(Missing::NotComparable(format!(
            "the film of {film} and the height of {height} lie more than {APART_MONTHS} months apart"
        )));
    }
    Ok((curve, exam))
}

/// The loss in whole mm, with the number before rounding.
fn of(formula: Formula, curve: &FilmCurve) -> Result<(Reported, f64), Missing> {
    let cobb = curve.reported();
    let exact = formula.millimetres(cobb).ok_or_else(|| {
        Missing::NotApplicable(format!(
            "the formulas were checked for {} to {} degrees",
            RANGE.0, RANGE.1
        ))
    })?;
    Ok((Reported::round(exact, 0, Unit::Millimetre), exact))
}

fn estimate(
    make: &mut Maker,
    item: &str,
    formula: Formula,
    loss: Result<(Reported, f64), Missing>,
) {
    let id = format!("growth.loss.{item}");
    let label = "height lost to the curve, estimated";
    match loss {
        Ok((loss, exact)) => make
            .fact(id, label, Value::Number(loss))
            .from("growth.loss.cobb")
            .by(formula.words(), formula.source())
            .unrounded(exact)
            .done(),
        Err(missing) => make.missing(id, label, missing),
    };
}

/// The scores of the corrected height are no better known than its formula.
fn scored(formula: Formula) -> Scored {
    Scored {
        input: "growth.corrected.height",
        z: ("growth.corrected.z", "z-score of the corrected height, estimated"),
        centile: ("growth.corrected.centile", "centile of the corrected height, estimated"),
        source: formula.source(),
    }
}

fn corrected(
    make: &mut Maker,
    formula: Formula,
    loss: Result<((Reported, f64), &Exam), Missing>,
    set: &Setting,
) {
    let (id, label) = ("growth.corrected.height", "height with what the curve hides, estimated");
    let ids = scored(formula);
    let ((loss, _), exam) = match loss {
        Ok(found) => found,
        Err(missing) => {
            for (id, label) in [(id, label), ids.z, ids.centile] {
                make.missing(id, label, missing.clone());
            }
            return;
        }
    };
    let sum = height_of(exam).value() + loss.value() / 10.0;
    let height = Reported::round(sum, 1, Unit::Centimetre);
    make.fact(id, label, Value::Number(height))
        .from("growth.height")
        .from("growth.loss.amount")
        .from("growth.loss.formula")
        .by("reported height + height lost", formula.source())
        .done();
    let lms = parameters(set, exam.on.value);
    score(make, &ids, &lms, height, set);
}
