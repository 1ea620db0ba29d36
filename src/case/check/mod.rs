//! What must hold between the records of one case.
//!
//! The reader has made sure that each record is well formed; here records are
//! held against one another: ids and references, the order of days, sides and
//! levels, landmarks against what was recorded, letters against who may have
//! them. Every fault of the case is reported; nothing is mended. It knows the
//! case and the clinic, and opens no file.

mod ask;
mod correction;
mod curve;
mod date;
mod dose;
mod film;
mod frontal;
mod geometry;
mod image;
mod letter;
mod maturity;
mod order;
mod patient;
mod reference;
mod sagittal;
mod school;
mod score;
mod sense;
mod treatment;
mod words;

use crate::diag::{Code, Diagnostic, Place, Report, Severity};

use super::{Case, Clinic};

/// Reports everything that does not hold between the records of a case.
/// Without a clinic, what needs one (who signs, who reads) is not checked.
///
/// Errors already in the report are the reader's: what they left out of the
/// case is not reported as missing.
pub fn check(case: &Case, clinic: Option<&Clinic>, report: &mut Report) {
    let errors = report.iter().filter(|d| d.severity == Severity::Error);
    let faulty = errors.filter_map(|d| d.place.clone()).collect();
    let mut look = Check { case, clinic, report, faulty, starts: starts(case) };
    reference::check(&mut look);
    patient::check(&mut look);
    date::check(&mut look);
    film::check(&mut look);
    maturity::check(&mut look);
    curve::check(&mut look);
    geometry::check(&mut look);
    image::check(&mut look);
    frontal::check(&mut look);
    sagittal::check(&mut look);
    treatment::check(&mut look);
    order::check(&mut look);
    letter::check(&mut look);
    school::check(&mut look);
    ask::check(&mut look);
    correction::check(&mut look);
    sense::check(&mut look);
    score::check(&mut look);
    dose::check(&mut look);
    words::check(&mut look);
}

fn starts(case: &Case) -> Vec<usize> {
    let places = (case.contacts.iter().map(|r| &r.place))
        .chain(case.coverage.iter().map(|r| &r.place))
        .chain([&case.patient.place, &case.diagnosis.place])
        .chain(case.films.iter().map(|r| &r.place))
        .chain(case.exams.iter().map(|r| &r.place))
        .chain(case.treatments.iter().map(|r| &r.place))
        .chain(case.plans.iter().map(|r| &r.place))
        .chain(case.school.iter().map(|r| &r.place))
        .chain(case.answers.iter().map(|r| &r.place))
        .chain(case.requests.iter().map(|r| &r.place))
        .chain(case.gaps.iter().map(|r| &r.place))
        .chain(case.letters.iter().map(|r| &r.place))
        .chain(case.corrections.iter().map(|r| &r.place));
    let mut starts: Vec<usize> = places.map(|place| place.start).collect();
    starts.sort_unstable();
    starts
}

/// One case under examination.
struct Check<'a> {
    case: &'a Case,
    clinic: Option<&'a Clinic>,
    report: &'a mut Report,
    /// Where the reader found errors.
    faulty: Vec<Place>,
    /// Where records begin, in bytes, from the top of the file.
    starts: Vec<usize>,
}

impl Check<'_> {
    /// Whether the reader took in the whole record (a film, a treatment, a
    /// letter) that begins at a place.
    fn whole(&self, record: &Place) -> bool {
        let next = self.starts.iter().find(|start| **start > record.start);
        let end = next.copied().unwrap_or(usize::MAX);
        let inside = |fault: &Place| {
            fault.file == record.file && record.start <= fault.start && fault.start < end
        };
        !self.faulty.iter().any(inside)
    }

    /// Whether the reader took in every record.
    fn complete(&self) -> bool {
        self.faulty.is_empty()
    }

    /// Reports a fault with the general remedy of its code.
    fn fault(&mut self, code: Code, place: &Place, message: impl Into<String>) {
        self.report.add(code, place, message);
    }

    /// Reports a fault that another record takes part in.
    fn fault_with(
        &mut self,
        code: Code,
        place: &Place,
        message: impl Into<String>,
        other: (&Place, &str),
    ) {
        let fault = Diagnostic::new(code, Some(place.clone()), message);
        self.report.push(fault.related(other.0.clone(), other.1));
    }
}

/// A number as people type it: no needless zeros.
fn plain(value: f64) -> String {
    let rounded = (value * 1000.0).round() / 1000.0;
    format!("{rounded}")
}
