//! `ending.missed.*`: what was planned last and never happened on record. It
//! says nothing of why.

use chrono::NaiveDate;

use crate::case::{Case, Choice, Opt, Plan};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day};
use crate::facts::{Missing, Value};
use crate::quantity::PartialDate;

/// `ending.missed.film`, `.visit`, and `ending.last_seen`.
pub(super) fn missed(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let plan = before_discharge(case);
    let film = |on| case.films.iter().any(|f| f.taken.value > on);
    let fitted = |on| case.treatments.iter().flat_map(|t| &t.fittings).any(|f| f.on.value > on);
    let visit = |on| film(on) || fitted(on) || case.exams.iter().any(|e| e.on.value > on);
    let next = |get: fn(&crate::case::Next) -> &Opt<PartialDate>| {
        plan.and_then(|p| Some((p, get(p.next.as_ref()?).as_ref()?)))
    };
    let late = |(_, date): &(&Plan, &crate::diag::Located<PartialDate>)| date.last_day() < as_of;
    for (item, label, found) in [
        (
            "film",
            "planned film that is not on record",
            next(|n| &n.film).filter(|(p, _)| !film(p.on.value)),
        ),
        (
            "visit",
            "planned visit that is not on record",
            next(|n| &n.visit).filter(|(p, _)| !visit(p.on.value)),
        ),
    ] {
        let id = format!("ending.missed.{item}");
        match found.filter(late) {
            Some((plan, date)) => make
                .fact(id, label, Value::Date(date.value))
                .record(format!("plan {} / next / {item}", plan.on.value), &date.place)
                .by("nothing later than that plan is on record", Source::definition(""))
                .done(),
            None => make.missing(id, label, Missing::NotApplicable("none was missed".into())),
        };
    }
    last_seen(make, case);
}

/// The last plan that did not discharge.
fn before_discharge(case: &Case) -> Option<&Plan> {
    case.plans.iter().rfind(|p| p.choice.iter().all(|c| c.value != Choice::Discharge))
}

/// The latest day on which a film, a fitting or an examination saw the patient.
fn last_seen(make: &mut Maker, case: &Case) {
    let films = case.films.iter().map(|f| &f.taken);
    let fitted = case.treatments.iter().flat_map(|t| &t.fittings).map(|f| &f.on);
    let examined = case.exams.iter().map(|e| &e.on);
    let last = films.chain(fitted).chain(examined).max_by_key(|d| d.value);
    let (id, label) = ("ending.last_seen", "last day with a film, a fitting or an examination");
    match last {
        Some(on) => make
            .fact(id, label, day(on.value))
            .record("films, fittings and exams", &on.place)
            .by("the latest of them", Source::definition(""))
            .done(),
        None => make.not_recorded(id, label, "the clinic", "films", &case.place),
    };
}
