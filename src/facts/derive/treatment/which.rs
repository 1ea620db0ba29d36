//! Which brace or cast is meant: worn on a day, last worn, ended, the first.

use chrono::NaiveDate;

use crate::case::{Case, Treatment, TreatmentKind};

/// Whether the treatment holds the spine.
pub fn supports(treatment: &Treatment) -> bool {
    matches!(treatment.kind.value, TreatmentKind::Brace | TreatmentKind::Cast)
}

/// The brace or cast worn on that day: begun, not ended; the latest to begin.
pub fn current(case: &Case, on: NaiveDate) -> Option<&Treatment> {
    worn(case, on).next_back()
}

fn worn(case: &Case, on: NaiveDate) -> impl DoubleEndedIterator<Item = &Treatment> {
    case.treatments
        .iter()
        .filter(|t| supports(t))
        .filter(move |t| t.start().is_some_and(|s| s.value <= on))
        .filter(move |t| t.ended.as_ref().is_none_or(|e| e.on.value > on))
}

/// The brace or cast that began last, up to that day, worn still or not.
pub fn last_worn(case: &Case, on: NaiveDate) -> Option<&Treatment> {
    let begun = case.treatments.iter().filter(|t| supports(t));
    let begun = begun.filter(|t| t.start().is_some_and(|s| s.value <= on));
    begun.max_by_key(|t| t.start().map(|s| s.value))
}

/// The brace or cast that ended last before that day.
pub fn previous(case: &Case, on: NaiveDate) -> Option<&Treatment> {
    case.treatments
        .iter()
        .filter(|t| supports(t) && t.start().is_some())
        .filter(|t| t.ended.as_ref().is_some_and(|e| e.on.value <= on))
        .max_by_key(|t| t.ended.as_ref().map(|e| e.on.value))
}

/// The first brace or cast ever.
pub fn first_ever(case: &Case) -> Option<&Treatment> {
    let worn = case.treatments.iter().filter(|t| supports(t) && t.start().is_some());
    worn.min_by_key(|t| t.start().map(|s| s.value))
}

/// The brace or cast that began last before that one.
pub fn before<'a>(case: &'a Case, one: &Treatment) -> Option<&'a Treatment> {
    let start = one.start()?.value;
    let worn = case.treatments.iter().filter(|t| supports(t) && t.id.value != one.id.value);
    let began = worn.filter_map(|t| Some((t.start()?.value, t)));
    began.filter(|(on, _)| *on < start).max_by_key(|(on, _)| *on).map(|(_, t)| t)
}
