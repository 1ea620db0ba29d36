//! Doses that must be slips of the pen, and films sooner than they were due.

use super::{Check, plain};
use crate::case::occasion::{Sooner, has_reason, sooner_than};
use crate::case::{Film, View};
use crate::course::dose;
use crate::diag::Code;
use crate::quantity::Age;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        implausible(look, film);
        unexplained(look, film);
    }
}

/// A typed dose of a spine film far from every published one.
fn implausible(look: &mut Check, film: &Film) {
    let Some(typed) = &film.dose else { return };
    let Some(age) = Age::on(*look.case.patient.born, *film.taken) else { return };
    if *film.view == View::Hand || !dose::implausible(typed.value, age.years) {
        return;
    }
    let usual = match dose::usual(age.years) {
        Some(u) => format!("{} to {} mSv are usual", u.low.digits(), u.high.digits()),
        None => format!("the smallest published is {} mSv", 0.0026),
    };
    let message = format!(
        "film `{}` at {} years has a dose of {} mSv; {usual}",
        *film.id,
        age.years,
        plain(typed.to_millisievert())
    );
    look.fault(Code::DoseImplausible, &typed.place, message);
}

/// A film sooner than due, and nobody wrote why.
fn unexplained(look: &mut Check, film: &Film) {
    let limit = look.clinic.and_then(|c| c.limits.film_months.as_ref()).map(|m| m.value);
    let Some(sooner) = sooner_than(look.case, limit, film) else { return };
    if has_reason(look.case, film) || !look.whole(&film.place) {
        return;
    }
    let (id, taken) = (&film.id.value, *film.taken);
    let message = match sooner {
        Sooner::Interval { before, months, limit } => format!(
            "film `{id}` of {taken} comes {months} months after that of {before}; \
             the clinic's interval is {limit}"
        ),
        Sooner::Planned { plan, from } => format!(
            "film `{id}` of {taken} comes before {from}, the earliest day of the plan of {plan}"
        ),
    };
    look.fault(Code::FilmWithoutReason, &film.taken.place, message);
}
