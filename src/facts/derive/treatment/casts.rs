//! Casts in series: how many, and how long each was on.

use crate::case::{Case, Fitting, FittingKind, Treatment, TreatmentKind};
use crate::course::casts::{self, Cast, Event};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, whole};
use crate::facts::{Missing, Value};
use crate::quantity::Unit;

fn event(f: &Fitting) -> Option<(chrono::NaiveDate, Event)> {
    match f.what.value {
        FittingKind::Applied => Some((f.on.value, Event::Applied)),
        FittingKind::Removed => Some((f.on.value, Event::Removed)),
        _ => None,
    }
}

fn row(t: &Treatment) -> Vec<Cast> {
    let events: Vec<_> = t.fittings.iter().filter_map(event).collect();
    casts::casts(&events, t.ended.as_ref().map(|e| e.on.value))
}

/// `treatments.<id>.casts.*` of a treatment by cast.
pub fn casts(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    if t.kind.value != TreatmentKind::Cast {
        return;
    }
    for (n, cast) in row(t).iter().enumerate() {
        let path = format!("{root}.casts.k{}", n + 1);
        let fitting = t.fittings.iter().find(|f| f.on.value == cast.on);
        let place = fitting.map_or(&t.place, |f| &f.on.place);
        let record = format!("{record} / fitting {}", cast.on);
        make.fact(format!("{path}.on"), "day a cast was put on", day(cast.on))
            .record(&record, place)
            .done();
        for (item, label, value) in [
            ("off", "day it came off or was changed", cast.off.map(day)),
            ("days", "days it was on", cast.days().map(|n| whole(n, Unit::Day))),
        ] {
            let on = || Value::Missing(Missing::NotApplicable("it is still on".into()));
            make.fact(format!("{path}.{item}"), label, value.unwrap_or_else(on))
                .record(&record, place)
                .by(
                    "until the next cast, the removal or the end of treatment",
                    Source::definition(""),
                )
                .done();
        }
    }
}

/// What the series says, or says is missing.
const SERIES: [(&str, &str); 6] = [
    ("count", "casts so far"),
    ("changes", "changes from one cast to the next"),
    ("first_on", "first day of the first cast"),
    ("last_off", "day the last cast came off"),
    ("days", "days in a cast in all"),
    ("longest", "longest time one cast was on"),
];

/// `treatment.casts.*`: all casts of the case as one series.
pub fn series(make: &mut Maker, case: &Case) {
    let of_cast = || case.treatments.iter().filter(|t| t.kind.value == TreatmentKind::Cast);
    let all: Vec<Cast> = of_cast().flat_map(row).collect();
    for (item, label) in SERIES {
        let value = series_value(item, &all)
            .unwrap_or_else(|why| Value::Missing(Missing::NotApplicable(why.into())));
        let mut draft = make.fact(format!("treatment.casts.{item}"), label, value);
        for t in of_cast() {
            draft = draft.record(format!("treatment {} / fittings", t.id.value), &t.place);
        }
        draft
            .by("from the days on which casts were put on and came off", Source::definition(""))
            .done();
    }
}

fn series_value(item: &str, all: &[Cast]) -> Result<Value, &'static str> {
    let none = "no cast was ever put on";
    let (first, last) = (all.first().ok_or(none)?, all.last().ok_or(none)?);
    let days: Vec<i64> = all.iter().filter_map(|cast| cast.days()).collect();
    let open = "a cast is still on";
    Ok(match item {
        "count" => whole(all.len() as i64, Unit::One),
        "changes" => {
            let next = all.windows(2).filter(|pair| pair[0].off == Some(pair[1].on)).count();
            whole(next as i64, Unit::One)
        }
        "first_on" => day(first.on),
        "last_off" => day(last.off.ok_or(open)?),
        "days" if last.off.is_none() => return Err(open),
        "days" => whole(days.iter().sum(), Unit::Day),
        _ => whole(*days.iter().max().ok_or("the first cast is still on")?, Unit::Day),
    })
}
