//! The age class at diagnosis: the one place that decides it.
//!
//! It follows from the day the curve was found, or from the first film where
//! no day is recorded, by the clinic's choice of classes
//! (`choices / age_classes`). A date that spans two classes decides none.
//! Names, early-onset classes and diagnosis codes all read what is told here.

use super::maker::Maker;
use crate::case::{AgeClasses, Case, Clinic};
use crate::course::age::{OnsetClass, OnsetScheme, onset_classes};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::PartialDate;

/// What the record says of the age at diagnosis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Onset {
    /// Youngest and oldest class that the date can mean.
    pub classes: (OnsetClass, OnsetClass),
    /// The same by the other published scheme.
    pub other: (OnsetClass, OnsetClass),
    /// The date they follow from.
    pub found: PartialDate,
    /// Whether that is the day of the first film, for want of another.
    pub first_film: bool,
}

impl Onset {
    /// Reads the record; `None` if neither a day of finding nor a film is
    /// known, or all of the date lies before birth.
    pub fn of(case: &Case, clinic: &Clinic) -> Option<Onset> {
        let recorded = case.diagnosis.found.as_ref().map(|f| f.value);
        let film = case.films.iter().map(|f| f.taken.value).min().map(PartialDate::Day);
        let (found, born) = (recorded.or(film)?, case.patient.born.value);
        let by = |scheme| onset_classes(born, found.first_day(), found.last_day(), scheme);
        let scheme = scheme(clinic);
        let first_film = recorded.is_none();
        Some(Onset { classes: by(scheme)?, other: by(scheme.other())?, found, first_film })
    }

    /// The class, if the date decides it.
    pub fn class(&self) -> Option<OnsetClass> {
        decided(self.classes)
    }
}

fn decided((first, last): (OnsetClass, OnsetClass)) -> Option<OnsetClass> {
    (first == last).then_some(first)
}

/// The scheme in force.
pub fn scheme(clinic: &Clinic) -> OnsetScheme {
    match clinic.choices.age_classes.as_ref().map(|c| c.value) {
        Some(AgeClasses::Guideline) => OnsetScheme::BelowThree,
        Some(AgeClasses::Review) | None => OnsetScheme::ThreeIncluded,
    }
}

/// `diagnosis.age_class`, `diagnosis.age_class_other` and where both come from.
pub fn facts(make: &mut Maker, case: &Case, clinic: &Clinic) {
    let onset = Onset::of(case, clinic);
    let scheme = scheme(clinic);
    one(
        make,
        "diagnosis.age_class",
        "age class at diagnosis",
        case,
        clinic,
        (scheme, onset.map(|o| (o, o.classes))),
    );
    one(
        make,
        "diagnosis.age_class_other",
        "age class by the other published scheme, which decides nothing",
        case,
        clinic,
        (scheme.other(), onset.map(|o| (o, o.other))),
    );
    let id = "diagnosis.age_class_from";
    let label = "what the age class follows from";
    match onset {
        Some(o) => make
            .fact(id, label, Value::Word(if o.first_film { "first film" } else { "day found" }))
            .from("diagnosis.age_class")
            .by("the day it was found; the first film if none is recorded", Source::definition(""))
            .done(),
        None => make.missing(id, label, missing(case, None)),
    };
}

type Classes = Option<(Onset, (OnsetClass, OnsetClass))>;

fn one(
    make: &mut Maker,
    id: &str,
    label: &str,
    case: &Case,
    clinic: &Clinic,
    (scheme, classes): (OnsetScheme, Classes),
) {
    let value = match classes.map(|(onset, classes)| (onset, classes, decided(classes))) {
        Some((_, _, Some(class))) => Value::Word(class.word()),
        Some((onset, classes, None)) => Value::Missing(missing(case, Some((onset, classes)))),
        None => Value::Missing(missing(case, None)),
    };
    let formula = format!(
        "{}, juvenile to 9, adolescent 10 to 17, adult from 18 completed years, at the day it \
         was found (the first film if no day is recorded); the published schemes differ at 3 \
         years, and the clinic's choice decides",
        scheme.word()
    );
    let mut draft = make
        .fact(id, label, value)
        .record("diagnosis / found", &case.diagnosis.place)
        .record("patient / born", &case.patient.born.place);
    if let Some(Located { place, .. }) = &clinic.choices.age_classes {
        draft = draft.record("clinic / choices / age_classes", place);
    }
    draft.by(formula, scheme.source()).done();
}

fn missing(case: &Case, classes: Classes) -> Missing {
    let Some((onset, (first, last))) = classes else {
        let none = case.diagnosis.found.is_none() && case.films.is_empty();
        return match none {
            true => Missing::NotRecorded {
                item: "when the curve was found".into(),
                who: "the referring doctor".into(),
            },
            false => Missing::CannotTell("the day it was found lies before birth".into()),
        };
    };
    Missing::CannotTell(format!(
        "found in {}, which is the {} or the {} age",
        onset.found,
        first.word(),
        last.word()
    ))
}
