//! `growth.height_z`, `growth.height_centile`, `patient.decimal_age`: height
//! against others of the same age and sex.

use chrono::NaiveDate;

use crate::case::Exam;
use crate::course::growth::lms::{LMS_SOURCE, Lms, centile};
use crate::course::growth::stature::{STATURE_SOURCE, months_of_age, stature};
use crate::evidence::Source;
use crate::facts::derive::maker::Maker;
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::date::years_between;
use crate::quantity::{Reported, Unit};

/// Height for age, and the age it is taken at.
pub(super) fn stature_facts(make: &mut Maker, set: &Setting) {
    decimal_age(make, set);
    let exam = set.case.exams.iter().rfind(|e| e.height.is_some());
    let Some(exam) = exam else {
        let missing = Missing::NotRecorded { item: "height".into(), who: "the examiner".into() };
        for (id, label) in [
            ("growth.height_age", "age in months at the height"),
            ("growth.height_z", "z-score of the height"),
            ("growth.height_centile", "centile of the height"),
        ] {
            make.missing(id, label, missing.clone());
        }
        return;
    };
    let born = &set.case.patient.born;
    let months = months_of_age(born.value, exam.on.value);
    make.fact(
        "growth.height_age",
        "age in months at the height",
        Value::Number(Reported::round(months, 1, Unit::Month)),
    )
    .record("patient / born", &born.place)
    .from("growth.height_on")
    .by("days from birth over 30.4375", Source::definition(""))
    .unrounded(months)
    .done();
    let (lms, cm) = (parameters(set, exam.on.value), height_of(exam));
    score(make, &HEIGHT, &lms, cm, set);
}

fn decimal_age(make: &mut Maker, set: &Setting) {
    let born = &set.case.patient.born;
    let years = years_between(born.value, set.as_of);
    if years < 0.0 {
        let why = "the day lies before birth".into();
        make.missing("patient.decimal_age", "age in years", Missing::CannotTell(why));
        return;
    }
    let value = Value::Number(Reported::round(years, 2, Unit::Year));
    make.fact("patient.decimal_age", "age in years", value)
        .record("patient / born", &born.place)
        .by("days from birth to the letter's day over 365.25", Source::definition(""))
        .unrounded(years)
        .done();
}

/// The reported height of an examination that has one, in cm.
pub(super) fn height_of(exam: &Exam) -> Reported {
    let length = exam.height.as_ref().expect("only exams with a height are asked");
    Reported::round(length.to_millimetres() / 10.0, 1, Unit::Centimetre)
}

/// The parameters for the patient on a day, or why there are none.
pub(super) fn parameters(set: &Setting, on: NaiveDate) -> Result<Lms, Missing> {
    let sex = super::reference_sex(set)?;
    let months = months_of_age(set.case.patient.born.value, on);
    stature(sex, months).map_err(|outside| Missing::NotApplicable(outside.to_string()))
}

/// Ids and words of one height that is scored.
pub(super) struct Scored {
    /// The fact of the height.
    pub input: &'static str,
    /// Id and label of its z-score.
    pub z: (&'static str, &'static str),
    /// Id and label of its centile.
    pub centile: (&'static str, &'static str),
    /// The least well known source that the scores rest on.
    pub source: Source,
}

const HEIGHT: Scored = Scored {
    input: "growth.height",
    z: ("growth.height_z", "z-score of the height"),
    centile: ("growth.height_centile", "centile of the height"),
    source: STATURE_SOURCE,
};

/// A z-score and its centile, from a reported height.
pub(super) fn score(
    make: &mut Maker,
    ids: &Scored,
    lms: &Result<Lms, Missing>,
    cm: Reported,
    set: &Setting,
) {
    let z = lms.clone().and_then(|lms| {
        let z = lms.z(cm.value());
        z.map(|z| (lms, z)).ok_or(Missing::CannotTell("no z-score of such a height".into()))
    });
    let (lms, z) = match z {
        Ok(found) => found,
        Err(missing) => {
            make.missing(ids.z.0, ids.z.1, missing.clone());
            make.missing(ids.centile.0, ids.centile.1, missing);
            return;
        }
    };
    let reported = Reported::round(z, 2, Unit::One);
    let draft = make
        .fact(ids.z.0, ids.z.1, Value::Number(reported))
        .from(ids.input)
        .from("growth.height_age")
        .from("limits.height_error")
        .by("LMS method on the table of stature for age, L, M and S in proportion between half-months", ids.source)
        .unrounded(z);
    match half_width(lms, cm, set) {
        Some(half) => draft.uncertain(half, LMS_SOURCE).done(),
        None => draft.done(),
    };
    let share = centile(reported.value());
    let value = Value::Number(Reported::round(share, 1, Unit::One));
    make.fact(ids.centile.0, ids.centile.1, value)
        .from(ids.z.0)
        .by("share of a normal distribution below the reported z-score", ids.source)
        .unrounded(share)
        .done();
}

/// What the error of one measurement, 1.96 SD either way, does to the z-score.
fn half_width(lms: Lms, cm: Reported, set: &Setting) -> Option<Reported> {
    let (_, sd) = super::velocity::settings(set.clinic);
    let error = 1.96 * sd / 10.0;
    let width = lms.z(cm.value() + error)? - lms.z(cm.value() - error)?;
    Some(Reported::round(width / 2.0, 2, Unit::One))
}
