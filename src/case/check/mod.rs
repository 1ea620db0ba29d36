//! What must hold between the records of one case.
//!
//! The reader has made sure that each record is well formed; here records are
//! held against one another: ids and references, the order of days, sides and
//! levels, landmarks against what was recorded, letters against who may have
//! them. Every fault of the case is reported; nothing is mended. It knows the
//! case and the clinic, and opens no file.

mod correction;
mod curve;
mod date;
mod film;
mod geometry;
mod letter;
mod path;
mod patient;
mod reference;
mod treatment;

use crate::diag::{Code, Diagnostic, Place, Report};

use super::{Case, Clinic};

pub use path::{Entry, find};

/// Reports everything that does not hold between the records of a case.
/// Without a clinic, what needs one (who signs, who reads) is not checked.
pub fn check(case: &Case, clinic: Option<&Clinic>, report: &mut Report) {
    let mut look = Check { case, clinic, report };
    reference::check(&mut look);
    patient::check(&mut look);
    date::check(&mut look);
    film::check(&mut look);
    curve::check(&mut look);
    geometry::check(&mut look);
    treatment::check(&mut look);
    letter::check(&mut look);
    correction::check(&mut look);
}

/// One case under examination.
struct Check<'a> {
    case: &'a Case,
    clinic: Option<&'a Clinic>,
    report: &'a mut Report,
}

impl Check<'_> {
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
