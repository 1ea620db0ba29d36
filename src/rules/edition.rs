//! From when to when a set of rules is in force.

use chrono::{Days, NaiveDate};

use crate::case::Opt;
use crate::diag::{Code, Diagnostic, Located, Report};

use super::fields::Fields;

/// The days on which an edition is in force.
#[derive(Debug, Clone)]
pub struct Validity {
    /// First day.
    pub from: Located<NaiveDate>,
    /// Last day; absent while it has no end.
    pub to: Opt<NaiveDate>,
}

impl Validity {
    /// Whether a day lies in it; the first and the last day count.
    pub fn holds(&self, day: NaiveDate) -> bool {
        self.from.value <= day && self.to.as_ref().is_none_or(|end| day <= end.value)
    }

    /// The keys `valid_from` and `valid_to`; an end before the beginning is
    /// reported.
    pub(super) fn read(fields: &Fields, report: &mut Report) -> Option<Validity> {
        let from = fields.need("valid_from", report).and(fields.day("valid_from", report))?;
        let to = fields.day("valid_to", report);
        if let Some(end) = to.as_ref().filter(|end| end.value < from.value) {
            let message = format!("valid_to {} is before valid_from {}", end.value, from.value);
            let fault = Diagnostic::new(Code::RuleDates, Some(end.place.clone()), message);
            report.push(fault.related(from.place.clone(), "begins here"));
        }
        Some(Validity { from, to })
    }
}

/// Reports days on which two editions are in force, and days between the
/// first and the last edition on which none is.
pub(super) fn follow_on<'a>(spans: impl Iterator<Item = &'a Validity>, report: &mut Report) {
    let mut spans: Vec<&Validity> = spans.collect();
    spans.sort_by_key(|span| span.from.value);
    for pair in spans.windows(2) {
        let (earlier, later) = (pair[0], pair[1]);
        let begins = later.from.value;
        let next = earlier.to.as_ref().and_then(|to| to.value.checked_add_days(Days::new(1)));
        let message = match next {
            Some(next) if next == begins => continue,
            Some(next) if next < begins => {
                let last = begins.pred_opt().unwrap_or(begins);
                format!("no edition is in force from {next} to {last}")
            }
            _ => format!("two editions are in force on {begins}"),
        };
        let fault = Diagnostic::new(Code::RuleDates, Some(later.from.place.clone()), message);
        report.push(fault.related(earlier.from.place.clone(), "the one before begins here"));
    }
}
