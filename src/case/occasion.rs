//! When a film of the spine was due: the clinic's interval and the plan in
//! force, against the day it was taken.
//!
//! Films in a brace or cast, or named by a fitting, are called for by the
//! brace; several films of one day are one occasion; films of the hand do not
//! count. It knows one case and opens no file.

use chrono::{Months, NaiveDate};

use super::{Case, Film, Support, Treatment, View};
use crate::course::dose::months_between;

/// Why a film of the spine came sooner than the protocol or the plan says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sooner {
    /// Fewer months after the film before than the clinic's limit.
    Interval {
        /// The day of the film before.
        before: NaiveDate,
        /// Completed months between them.
        months: u32,
        /// The clinic's limit.
        limit: u32,
    },
    /// Before the first day of the month that the plan names.
    Planned {
        /// The plan.
        plan: NaiveDate,
        /// The first day it allows.
        from: NaiveDate,
    },
}

fn of_spine(film: &Film) -> bool {
    film.view.value != View::Hand
}

/// Whether a check of a brace or cast asks for the film: one in it, or named
/// by a fitting.
fn checks_support(case: &Case, film: &Film) -> bool {
    let named = |t: &Treatment| {
        t.fittings.iter().any(|f| f.film.as_ref().is_some_and(|id| id.value == film.id.value))
    };
    let within = matches!(film.support.as_ref().map(|s| &s.value), Some(Support::Treatment(_)));
    within || case.treatments.iter().any(named)
}

/// Whether a film of the spine came sooner than the clinic's interval or the
/// plan in force; films in a brace or cast are called for by the brace, and
/// several films of one day are one occasion.
pub fn sooner_than(case: &Case, limit: Option<u32>, film: &Film) -> Option<Sooner> {
    if !of_spine(film) || checks_support(case, film) {
        return None;
    }
    let on = film.taken.value;
    let followed = case.films.iter().filter(|f| of_spine(f) && !checks_support(case, f));
    let before = followed.map(|f| f.taken.value).filter(|d| *d < on).max();
    let plans = case.plans.iter().filter(|p| p.on.value < on);
    let plan = plans.max_by_key(|p| p.on.value);
    let planned = plan.and_then(|p| Some((p, p.next.as_ref()?.film.as_ref()?.first_day())));
    // A plan that names the film is the better word on when it is due, until
    // that film has been taken.
    if let Some((plan, from)) = planned.filter(|(_, from)| before.is_none_or(|b| b < *from)) {
        return (on < from).then_some(Sooner::Planned { plan: plan.on.value, from });
    }
    let (before, limit) = (before?, limit?);
    (before + Months::new(limit) > on).then(|| Sooner::Interval {
        before,
        months: months_between(before, on),
        limit,
    })
}

/// Whether anybody wrote down why a film of that day was taken.
pub fn has_reason(case: &Case, film: &Film) -> bool {
    let same_day = |f: &&Film| f.taken.value == film.taken.value && of_spine(f);
    case.films.iter().filter(same_day).any(|f| f.why.is_some())
}
