//! What is recorded of one treatment, and how long it took and lasted.

use chrono::NaiveDate;

use super::{casts, fitting, growth, hours};
use crate::case::{Case, FittingKind, Limits, Treatment};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, text, whole};
use crate::facts::derive::wear;
use crate::facts::{Missing, Value};
use crate::quantity::Unit;
use crate::quantity::date::days_between;

/// `treatments.<id>.*`.
pub fn one(
    make: &mut Maker,
    case: &Case,
    root: &str,
    t: &Treatment,
    limits: &Limits,
    as_of: NaiveDate,
) {
    let record = format!("treatment {}", t.id.value);
    make.fact(format!("{root}.kind"), "kind of treatment", Value::Word(t.kind.word()))
        .record(format!("{record} / kind"), &t.kind.place)
        .done();
    device(make, root, t, &record);
    beginning(make, root, t, &record);
    end(make, root, t, &record);
    to_delivery(make, root, t, &record);
    lasted(make, root, t, as_of, &record);
    hours::hours(make, root, t, as_of, &record);
    wear::wear(make, root, t, limits, as_of);
    fitting::fitting(make, root, t, &record);
    casts::casts(make, root, t, &record);
    growth::growth(make, case, root, t);
}

/// What it is.
fn device(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let home = &t.place;
    make.recorded(
        format!("{root}.class"),
        "class of orthosis",
        record,
        t.class.as_ref(),
        |c| Value::Word(c.word()),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.principle"),
        "how it acts",
        record,
        t.principle.first(),
        |p| Value::Word(p.word()),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.prescribed"),
        "what is prescribed",
        record,
        t.prescribed.as_ref(),
        |p| text(p),
        "the clinician",
        home,
    );
}

fn beginning(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    for (item, label, found, who) in [
        ("started", "first day", t.start(), "the orthotist"),
        ("ordered", "day of the order", t.ordered.as_ref(), "the clinician"),
    ] {
        let id = format!("{root}.{item}");
        make.recorded(id, label, record, found, |d| day(*d), who, &t.place);
    }
}

fn end(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let ended = t.ended.as_ref();
    make.recorded(
        format!("{root}.ended"),
        "last day",
        record,
        ended.map(|e| &e.on),
        |d| day(*d),
        "the clinician",
        &t.place,
    );
    make.recorded(
        format!("{root}.ended_why"),
        "why it ended",
        record,
        ended.and_then(|e| e.why.as_ref()),
        |w| text(w),
        "the clinician",
        &t.place,
    );
}

/// The first fitting at which it was delivered or applied; a treatment
/// without one was there on its first day.
fn delivery(t: &Treatment) -> Option<&Located<NaiveDate>> {
    let given = |what| matches!(what, FittingKind::Delivered | FittingKind::Applied);
    let days = t.fittings.iter().filter(|f| given(f.what.value)).map(|f| &f.on);
    days.min_by_key(|on| on.value).or_else(|| t.start())
}

fn to_delivery(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let id = format!("{root}.days_to_delivery");
    let label = "days from order to delivery";
    let (Some(ordered), Some(delivered)) = (&t.ordered, delivery(t)) else {
        let why = "order or delivery is not recorded";
        make.missing(id, label, Missing::CannotTell(why.into()));
        return;
    };
    let days = days_between(ordered.value, delivered.value);
    if days < 0 {
        let why = "the first day lies before the order";
        make.missing(id, label, Missing::CannotTell(why.into()));
        return;
    }
    make.fact(id, label, whole(days, Unit::Day))
        .record(format!("{record} / ordered"), &ordered.place)
        .record(format!("{record} / fittings"), &delivered.place)
        .by("whole days from order to first fitting", Source::definition(""))
        .done();
}

/// `days`: from the first day to the last, or to the day of the letter while
/// it goes on.
fn lasted(make: &mut Maker, root: &str, t: &Treatment, as_of: NaiveDate, record: &str) {
    let (id, label) = (format!("{root}.days"), "days since the first day, or to the last");
    let Some(start) = t.start() else {
        make.missing(id, label, Missing::NotApplicable("it has not begun".into()));
        return;
    };
    let ended = t.ended.as_ref().map(|e| &e.on);
    let to = ended.map_or(as_of, |on| on.value);
    let mut draft = make
        .fact(id, label, whole(days_between(start.value, to), Unit::Day))
        .record(format!("{record} / first day"), &start.place);
    if let Some(ended) = ended {
        draft = draft.record(format!("{record} / ended"), &ended.place);
    }
    let until = if ended.is_some() { "its last day" } else { "the day of the letter" };
    draft.by(format!("whole days from the first day to {until}"), Source::definition("")).done();
}
