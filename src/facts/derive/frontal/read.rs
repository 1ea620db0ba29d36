//! From the readings of a film to one value: typed or recomputed, one for each
//! reader.

use super::super::maker::Draft;
use super::super::measure;
use crate::case::{Clinic, CsvlLine, Film, Frontal, Posture, Reading};
use crate::diag::Place;
use crate::evidence::{Grade, Source};
use crate::facts::{Missing, compare};
use crate::spine::balance::CsvlBy;
use crate::spine::{GeometryError, PatientSpine, Side};

/// One reading's value and the record it stands in.
pub struct Read<'a, T> {
    /// The reading.
    pub reading: &'a Reading,
    /// The value.
    pub value: T,
    record: String,
    place: Place,
    /// Whether it was recomputed from landmarks.
    pub recomputed: bool,
}

/// What the readings of a film give: a value for each reader, or why none.
pub struct Gathered<'a, T> {
    /// The latest value of each reader.
    pub found: Vec<Read<'a, T>>,
    fault: Option<GeometryError>,
}

impl<'a, T> Gathered<'a, T> {
    /// Takes a value of every reading: from its landmarks, else as typed.
    pub fn of(
        film: &'a Film,
        key: &str,
        measured: impl Fn(&Reading, &PatientSpine) -> Result<T, GeometryError>,
        typed: impl Fn(&'a Reading) -> Option<(T, &'a Place)>,
    ) -> Gathered<'a, T> {
        let mut found: Vec<Read<'a, T>> = Vec::new();
        let mut fault = None;
        for reading in &film.readings {
            let path = format!("film {} / reading {}", film.id.value, reading.id.value);
            let computed = measure::spine(film, reading).map(|spine| measured(reading, &spine));
            let read = match (computed, &reading.landmarks) {
                (Some(Ok(value)), Some(marks)) => Some(Read {
                    reading,
                    value,
                    record: format!("{path} / landmarks ({})", marks.path.value),
                    place: marks.path.place.clone(),
                    recomputed: true,
                }),
                (computed, _) => {
                    // "Not marked" says no more than "not recorded".
                    fault = computed.and_then(Result::err).filter(told).or(fault);
                    typed(reading).map(|(value, place)| Read {
                        reading,
                        value,
                        record: format!("{path} / {key}"),
                        place: place.clone(),
                        recomputed: false,
                    })
                }
            };
            if let Some(read) = read {
                found.push(read);
            }
        }
        one_per_reader(&mut found);
        Gathered { found, fault }
    }

    /// Why there is no value.
    pub fn missing(&self, item: &str) -> Missing {
        match &self.fault {
            Some(fault) => Missing::CannotTell(fault.to_string()),
            None => not_recorded(item),
        }
    }

    /// Names the records of all readings.
    pub fn records<'d>(&self, draft: Draft<'d>) -> Draft<'d> {
        self.found.iter().fold(draft, |draft, read| draft.record(&read.record, &read.place))
    }

    /// How the values came about, for the formula.
    pub fn how(&self, measured: &str) -> String {
        let all = |recomputed| self.found.iter().all(|r| r.recomputed == recomputed);
        match (all(true), all(false)) {
            (true, _) => format!("{measured}, from the landmarks"),
            (_, true) => format!("{measured}, as typed by the reader"),
            _ => format!("{measured}, from the landmarks where a reading has them, else as typed"),
        }
    }
}

impl Gathered<'_, f64> {
    /// The mean over the readers, if any value was found.
    pub fn mean(&self) -> Option<f64> {
        let sum: f64 = self.found.iter().map(|r| r.value).sum();
        (!self.found.is_empty()).then(|| sum / self.found.len() as f64)
    }
}

/// A value nobody wrote down.
pub fn not_recorded(item: &str) -> Missing {
    Missing::NotRecorded { item: item.into(), who: "the reader of the film".into() }
}

/// Whether a film shows the patient lying down.
pub fn lying(film: &Film) -> bool {
    matches!(compare::posture(film), Some(Posture::Supine | Posture::Prone))
}

/// What is told of an upright body and nobody can read from a lying one.
pub fn of_lying(item: &str) -> Missing {
    Missing::NotApplicable(format!(
        "{item} is read standing or sitting, and the film was taken lying"
    ))
}

/// Whether an error says more than that something was not marked.
fn told(error: &GeometryError) -> bool {
    !matches!(error, GeometryError::NotMarked(_) | GeometryError::NoMark(..))
}

/// Keeps the latest value of each reader.
fn one_per_reader<T>(found: &mut Vec<Read<T>>) {
    let last: Vec<bool> = found
        .iter()
        .map(|a| {
            let (by, at) = (&a.reading.by.value, (a.reading.read.value, &a.reading.place));
            !found
                .iter()
                .any(|b| b.reading.by.value == *by && (b.reading.read.value, &b.reading.place) > at)
        })
        .collect();
    let mut keep = last.into_iter();
    found.retain(|_| keep.next().unwrap_or(true));
}

/// A typed amount with its side as a number, above zero on the left.
pub fn leftward(size: f64, side: Option<Side>) -> f64 {
    match side {
        Some(Side::Right) => -size,
        _ => size,
    }
}

/// How a reading's CSVL is drawn: as the reader says, else by the clinic's
/// choice, else plumb.
pub fn csvl(reading: &Reading, clinic: &Clinic) -> CsvlBy {
    let typed = reading.frontal.as_ref().and_then(|f| f.csvl.as_ref());
    match typed.or(clinic.choices.csvl.as_ref()).map(|c| c.value) {
        Some(CsvlLine::Pelvis) => CsvlBy::Pelvis,
        Some(CsvlLine::Plumb) | None => CsvlBy::Plumb,
    }
}

/// The line all readings of a film measured from; the reason if they differ.
pub fn one_csvl<T>(found: &[Read<T>], clinic: &Clinic) -> Result<CsvlBy, Missing> {
    let mut by = found.iter().map(|read| csvl(read.reading, clinic));
    let Some(first) = by.next() else {
        return Ok(match clinic.choices.csvl.as_ref().map(|c| c.value) {
            Some(CsvlLine::Pelvis) => CsvlBy::Pelvis,
            _ => CsvlBy::Plumb,
        });
    };
    if by.all(|other| other == first) {
        return Ok(first);
    }
    let why = "the readers drew the central sacral vertical line in different ways";
    Err(Missing::NotComparable(why.into()))
}

/// How the line is drawn, in words.
pub fn drawn(by: CsvlBy) -> &'static str {
    match by {
        CsvlBy::Plumb => "the CSVL drawn plumb",
        CsvlBy::Pelvis => "the CSVL drawn square to the line of the iliac crests",
    }
}

/// Typed values of a reading's frontal record.
pub fn frontal<'a, T>(reading: &'a Reading, take: impl Fn(&'a Frontal) -> Option<T>) -> Option<T> {
    reading.frontal.as_ref().and_then(take)
}

/// The clinic's own setting, as a source.
pub const SETTING: Source =
    Source { work: None, grade: Grade::ClinicSetting, note: "the clinic's choice" };
