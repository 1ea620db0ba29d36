//! What each lateral film measures: every item, its readings and their mean.

use crate::case::SagittalItem as Item;
use crate::case::{Bend, Cause, Film, Reading};
use crate::course::change::{Ends, Group};
use crate::course::observer;
use crate::course::sagittal::{IDENTITY_WITHIN, identity_gap};
use crate::diag::Place;
use crate::evidence::{Source, works};
use crate::facts::derive::maker::Maker;
use crate::facts::derive::span::Setting;
use crate::facts::derive::{measure, tracks};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::cobb::Convexity;
use crate::spine::{Column, PatientSpine, sagittal::Stretch};

/// A reading of a lateral film with the spine its landmarks give.
pub struct Viewed<'a> {
    /// The reading.
    pub reading: &'a Reading,
    /// The spine, where landmarks were placed and the display is recorded.
    pub spine: Option<PatientSpine>,
}

/// The readings of a film, the latest of each reader.
pub fn viewed(film: &Film) -> Vec<Viewed<'_>> {
    let readings = tracks::one_per_reader(film).into_iter();
    readings.map(|reading| Viewed { reading, spine: measure::spine(film, reading) }).collect()
}

/// Where a number of one reading came from.
enum Origin {
    /// Measured from its landmarks.
    Landmarks,
    /// Typed under `sagittal`.
    Typed,
    /// Typed as a curve with the same ends.
    Curve,
}

struct Read<'a> {
    value: f64,
    place: &'a Place,
    origin: Origin,
}

/// The number of one reading: from landmarks where they give it, else typed,
/// else the typed angle of a curve with the same ends.
fn read<'a>(viewed: &'a Viewed<'a>, item: Item) -> Option<Read<'a>> {
    let reading = viewed.reading;
    let measured = viewed.spine.as_ref().and_then(|spine| item.measure(spine).ok());
    if let (Some(value), Some(landmarks)) = (measured, &reading.landmarks) {
        return Some(Read { value, place: &landmarks.path.place, origin: Origin::Landmarks });
    }
    if let Some((value, place)) = reading.sagittal.as_ref().and_then(|typed| item.typed(typed)) {
        return Some(Read { value, place, origin: Origin::Typed });
    }
    let Item::Bend(stretch) = item else { return None };
    reading.curves.iter().find_map(|curve| {
        let bend = match curve.bend.as_ref()?.value {
            Bend::Kyphosis => Convexity::Kyphosis,
            Bend::Lordosis => Convexity::Lordosis,
        };
        let ends = (curve.upper.value, curve.lower.value);
        let cobb = curve.cobb.as_ref().filter(|_| ends == stretch.ends())?;
        let size = cobb.to_degrees().abs();
        let value = if bend == stretch.bend() { size } else { -size };
        Some(Read { value, place: &cobb.place, origin: Origin::Curve })
    })
}

/// `films.<id>.sagittal.*` of one film.
pub fn film(make: &mut Maker, set: &Setting, film: &Film) {
    let viewed = viewed(film);
    for item in Item::all() {
        measured(make, set, film, &viewed, item);
    }
    third(make, film);
    balance(make, film);
}

fn id(film: &Film, key: &str) -> String {
    format!("films.{}.sagittal.{key}", film.id.value)
}

fn measured(make: &mut Maker, set: &Setting, film: &Film, viewed: &[Viewed], item: Item) {
    let mut inputs = Vec::new();
    let mut sum = 0.0;
    for one in viewed {
        if let Some(read) = read(one, item) {
            sum += read.value;
            inputs.push(reading(make, film, one.reading, item, &read));
        }
    }
    if inputs.is_empty() {
        // The third of the pelvic angles may follow from the other two.
        if !matches!(item, Item::Incidence | Item::Tilt | Item::Slope) {
            nothing(make, set.case.patient.column, film, viewed, item);
        }
        return;
    }
    let mean = sum / inputs.len() as f64;
    let value = Value::Number(Reported::round(mean, 0, item.unit()));
    let (_, source) = item.method();
    let mut draft = make
        .fact(id(film, item.key()), item.label(), value)
        .by("mean over the readings, rounded once to whole units, half away from zero", source)
        .unrounded(mean);
    for input in &inputs {
        draft = draft.from(input);
    }
    if let Item::Bend(_) = item {
        let (half, meaning) = half_width(set, inputs.len());
        draft = draft.uncertain(half, meaning);
    }
    draft.done();
}

fn reading(make: &mut Maker, film: &Film, reading: &Reading, item: Item, read: &Read) -> String {
    let path = format!("film {} / reading {}", film.id.value, reading.id.value);
    let key = item.key();
    let id = format!("films.{}.readings.{}.sagittal.{key}", film.id.value, reading.id.value);
    let value = Value::Number(Reported::round(read.value, 0, item.unit()));
    let label = format!("{} of one reading", item.label());
    let (formula, source) = item.method();
    let draft = make.fact(&id, label, value).unrounded(read.value);
    match read.origin {
        Origin::Landmarks => {
            let file = reading.landmarks.as_ref().map_or("", |l| l.path.value.as_str());
            draft
                .record(format!("{path} / landmarks ({file})"), read.place)
                .by(format!("{formula}, from the landmarks"), source)
                .done()
        }
        Origin::Typed => draft
            .record(format!("{path} / sagittal / {key}"), read.place)
            .by("as typed by the reader", source)
            .done(),
        Origin::Curve => draft
            .record(format!("{path} / curve / cobb"), read.place)
            .by("as typed by the reader for the curve with these end vertebrae", source)
            .done(),
    };
    id
}

/// 95 % half-width of the mean of `n` measurements of a bend of the lateral
/// film, by the published limit between two readings.
pub fn half_width(set: &Setting, n: usize) -> (Reported, Source) {
    let congenital = set.case.diagnosis.cause.value == Cause::Congenital;
    let own = set.clinic.limits.repeatability.as_ref().map(|limit| limit.value);
    let limit = observer::repeat_limit(Group::of(congenital, true, None), Ends::Same, own);
    (observer::half_width(&limit, n), limit.source)
}

fn nothing(make: &mut Maker, column: Column, film: &Film, viewed: &[Viewed], item: Item) {
    if !item.exists_in(column) {
        let Item::Bend(stretch) = item else { return };
        let why = format!("the patient's column lacks an end vertebra of {stretch}");
        make.missing(id(film, item.key()), item.label(), Missing::NotApplicable(why));
        return;
    }
    let why = viewed.iter().filter_map(|v| v.spine.as_ref()).find_map(|s| item.measure(s).err());
    let missing = Missing::NotRecorded {
        item: match why {
            Some(why) => format!("{} ({why})", item.label()),
            None => item.label().into(),
        },
        who: "the reader of the film".into(),
    };
    make.fact(id(film, item.key()), item.label(), Value::Missing(missing))
        .record(format!("film {}", film.id.value), &film.place)
        .done();
}

fn number(make: &Maker, id: &str) -> Option<Reported> {
    make.facts.get(id).and_then(|fact| fact.number())
}

/// Of incidence, tilt and slope the third follows from two; one alone, or
/// none, leaves the others not recorded.
fn third(make: &mut Maker, film: &Film) {
    let pelvic = [Item::Incidence, Item::Tilt, Item::Slope];
    let known = pelvic.map(|item| number(make, &id(film, item.key())));
    let (found, formula) = match known {
        [None, Some(tilt), Some(slope)] => {
            let none = Reported::whole(0, Unit::Degree);
            (Some(tilt.minus(none.minus(slope))), "PT + SS, both as reported")
        }
        [Some(incidence), None, Some(slope)] => {
            (Some(incidence.minus(slope)), "PI - SS, both as reported")
        }
        [Some(incidence), Some(tilt), None] => {
            (Some(incidence.minus(tilt)), "PI - PT, both as reported")
        }
        _ => (None, ""),
    };
    let viewed = viewed(film);
    for (item, known) in pelvic.into_iter().zip(known) {
        let others = pelvic.into_iter().filter(|other| *other != item);
        match (known, found) {
            (Some(_), _) => {}
            (None, Some(value)) => {
                let mut draft = make.fact(id(film, item.key()), item.label(), Value::Number(value));
                for other in others {
                    draft = draft.from(id(film, other.key()));
                }
                draft.by(formula, Source::read(&works::SAGITTAL_NORMS, "PI = PT + SS")).done();
            }
            (None, None) => nothing(make, Column::default(), film, &viewed, item),
        }
    }
}

/// Incidence against lordosis, and the identity of the pelvic angles.
fn balance(make: &mut Maker, film: &Film) {
    let at = |key: &str| id(film, key);
    let (pi, ll) = (number(make, &at("pelvic_incidence")), number(make, &at("lordosis")));
    let label = "pelvic incidence minus lordosis L1 to S1";
    let value = match (pi, ll) {
        (Some(pi), Some(ll)) => Value::Number(pi.minus(ll)),
        _ => Value::Missing(Missing::NotRecorded {
            item: "pelvic incidence and lordosis on one film".into(),
            who: "the reader of the film".into(),
        }),
    };
    make.fact(at("pi_ll"), label, value)
        .from(at("pelvic_incidence"))
        .from(at("lordosis"))
        .by("PI - LL, both as reported", Source::read(&works::SAGITTAL_NORMS, ""))
        .done();
    let angles = ["pelvic_incidence", "pelvic_tilt", "sacral_slope"];
    if let [Some(pi), Some(pt), Some(ss)] = angles.map(|key| number(make, &at(key))) {
        let gap = Value::Number(identity_gap(pi, pt, ss));
        let mut draft = make.fact(at("identity_gap"), "what PI = PT + SS misses", gap);
        for key in angles {
            draft = draft.from(at(key));
        }
        let formula = format!(
            "PI - PT - SS, all as reported; 1 comes from rounding, above {} is an error",
            IDENTITY_WITHIN.value
        );
        draft.by(formula, Source::read(&works::SAGITTAL_NORMS, "PI = PT + SS")).done();
    }
}

/// The ends of a stretch as they are told.
pub fn ends(stretch: Stretch) -> String {
    let (upper, lower) = stretch.ends();
    format!("{upper} to {lower}")
}
