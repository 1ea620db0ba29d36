//! What a frontal film says of a curve beside its angle: translation and
//! rotation of its apex.

use super::super::maker::{Maker, whole};
use super::super::track::{FilmCurve, Track};
use super::level::rotation_levels;
use super::line::{Told, sided, told_missing};
use super::read::{Gathered, csvl, drawn, leftward, not_recorded, one_csvl};
use super::{root, shows};
use crate::case::{Case, Clinic, CurveReading, Reading};
use crate::evidence::{Grade, Source};
use crate::facts::{Fact, Missing, Value};
use crate::quantity::Unit;
use crate::spine::balance::{self, CsvlBy, Reference, reference_of};
use crate::spine::frame::Plane;
use crate::spine::{Apex, Column, GeometryError, Level};

/// `films.<id>.curves.<key>.{translation, translation_side, translation_from,
/// rotation}`.
pub(super) fn curves(make: &mut Maker, case: &Case, clinic: &Clinic, tracks: &[Track]) {
    for track in tracks {
        for shown in &track.films {
            let path = format!("films.{}.curves.{}", shown.film.id.value, track.key);
            if track.plane != Plane::Coronal || !shows(shown.film) {
                none(make, &path, shown, track);
                continue;
            }
            translation(make, &path, shown, case.patient.column, clinic);
            rotation(make, &path, shown);
        }
    }
}

const LABEL: &str = "translation of the apex";
const SIDE: &str = "side it lies to";
const FROM: &str = "line the translation of the apex is measured from";
const ROTATION: &str = "grade of rotation at the apex";

fn none(make: &mut Maker, path: &str, shown: &FilmCurve, track: &Track) {
    let why = match track.plane {
        Plane::Sagittal => "a sagittal curve",
        Plane::Coronal => "the film shows the patient bent to one side",
    };
    let missing = Missing::NotApplicable(why.into());
    told_missing(make, shown.film, &format!("{path}.translation"), LABEL, SIDE, &missing);
    for (item, label) in [("translation_from", FROM), ("rotation", ROTATION)] {
        make.missing(format!("{path}.{item}"), label, missing.clone());
    }
}

/// The curve of a reading that is this one.
fn of<'r>(shown: &FilmCurve<'r>, reading: &Reading) -> Option<&'r CurveReading> {
    let member = shown.members.iter().find(|m| m.reading.place == reading.place)?;
    Some(member.curve)
}

fn translation(make: &mut Maker, path: &str, shown: &FilmCurve, column: Column, clinic: &Clinic) {
    let path = format!("{path}.translation");
    let found = Gathered::of(
        shown.film,
        "curve / translation",
        |reading, spine| {
            let apex = of(shown, reading).and_then(|c| c.apex.as_ref());
            // Without a recorded apex there is nothing to measure.
            let apex = apex.ok_or(GeometryError::NotMarked(Level::C(7)))?.value;
            let by = csvl(reading, clinic);
            let offset = balance::apical_translation(spine, column, apex, by)?;
            Ok(offset.leftward().to_millimetres())
        },
        |reading| {
            let typed = of(shown, reading)?.translation.as_ref()?;
            let amount = typed.value.amount.to_millimetres();
            Some((leftward(amount, typed.value.side), &typed.place))
        },
    );
    let by = one_csvl(&found.found, clinic);
    let reference = shown.apex().zip(by.as_ref().ok());
    let reference = reference.map(|(apex, by)| reference_of(apex, column, *by));
    let from_csvl = !matches!(reference, Some(Reference::C7Plumb));
    match (found.mean(), by) {
        (Some(_), Err(why)) if from_csvl => {
            told_missing(make, shown.film, &path, LABEL, SIDE, &why);
        }
        (Some(left), _) => {
            let formula = found.how(&format!("apex from {}", words(reference)));
            let told = Told {
                label: LABEL,
                side_label: SIDE,
                unit: Unit::Millimetre,
                formula,
                source: CONVENTION,
            };
            sided(make, &found, &path, left, &told);
        }
        (None, _) => {
            told_missing(make, shown.film, &path, LABEL, SIDE, &found.missing(LABEL));
        }
    }
    let value = match (reference, found.mean()) {
        (_, None) => Value::Missing(found.missing(LABEL)),
        (None, _) => Value::Missing(not_recorded("apex")),
        (Some(Reference::C7Plumb), _) => Value::Word("C7 plumb line"),
        (Some(Reference::Csvl(_)), _) => Value::Word("central sacral vertical line"),
    };
    let draft = make
        .fact(format!("{path}_from"), FROM, value)
        .by("a thoracic apex from the C7 plumb line, a lower one from the CSVL", CONVENTION);
    found.records(draft).done();
}

const CONVENTION: Source = Source {
    work: None,
    grade: Grade::Memory,
    note: "which line belongs to which apex is the trade's convention",
};

fn words(reference: Option<Reference>) -> String {
    match reference {
        Some(Reference::C7Plumb) => "the C7 plumb line".into(),
        Some(Reference::Csvl(CsvlBy::Plumb)) => format!("the CSVL, {}", drawn(CsvlBy::Plumb)),
        Some(Reference::Csvl(CsvlBy::Pelvis)) => format!("the CSVL, {}", drawn(CsvlBy::Pelvis)),
        None => "the line the reader took".into(),
    }
}

/// The grade of the apical vertebra; of the two beside an apical disc the
/// higher one, where both are known.
fn rotation(make: &mut Maker, path: &str, shown: &FilmCurve) {
    let known = rotation_levels(shown.film);
    let levels: Vec<Level> = match shown.apex() {
        Some(Apex::Vertebra(level)) => vec![level],
        Some(Apex::Disc(upper, lower)) => vec![upper, lower],
        None => Vec::new(),
    };
    let ids: Vec<String> = levels
        .iter()
        .filter(|level| known.contains(level))
        .map(|level| format!("{}.rotation.{level}.grade", root(shown.film)))
        .collect();
    let facts: Vec<&Fact> = ids.iter().filter_map(|id| make.facts.get(id)).collect();
    let grades: Option<Vec<i64>> =
        facts.iter().map(|f| f.number().map(|n| n.value() as i64)).collect();
    let source = facts.first().map_or(Source::definition(""), |f| f.provenance.method.source);
    let value = match (shown.apex(), grades) {
        (None, _) => Value::Missing(not_recorded("apex")),
        (_, None) => Value::Missing(Missing::CannotTell("the readers differ".into())),
        (_, Some(grades)) => match grades.iter().max() {
            Some(grade) => whole(*grade, Unit::One),
            None => Value::Missing(not_recorded(ROTATION)),
        },
    };
    let draft = make
        .fact(format!("{path}.rotation"), ROTATION, value)
        .by("grade of the apical vertebra; at a disc the higher of its two neighbours", source);
    ids.iter().fold(draft, |draft, id| draft.from(id)).done();
}
