//! Facts on exercise, casts and braces: what, since when, how many hours.

use chrono::NaiveDate;

use super::maker::{Maker, day, text, whole, yes_no};
use super::span::CHECK_ITEMS;
use super::track::Track;
use super::wear;
use crate::case::{Case, FittingKind, HoursStep, Limits, Treatment, TreatmentKind};
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Reported, Unit};

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

/// `treatments.*`, `treatment.current.*`, `treatment.previous.*`.
pub fn treatments(make: &mut Maker, case: &Case, limits: &Limits, as_of: NaiveDate) {
    for treatment in &case.treatments {
        let root = format!("treatments.{}", treatment.id.value);
        one(make, &root, treatment, limits, as_of);
    }
    alias(make, "treatment.current", current(case, as_of), "no brace or cast is worn", as_of);
    alias(
        make,
        "treatment.previous",
        previous(case, as_of),
        "no brace or cast was worn before",
        as_of,
    );
    let ordered =
        case.treatments.iter().rfind(|t| supports(t) && t.ordered.is_some() && t.start().is_none());
    alias(make, "treatment.awaited", ordered, "no brace is on order", as_of);
    series(make, case, as_of);
    exercise(make, case, as_of);
}

fn alias(make: &mut Maker, root: &str, treatment: Option<&Treatment>, why: &str, as_of: NaiveDate) {
    match treatment {
        Some(t) => make.same_tree(root, &format!("treatments.{}", t.id.value)),
        None => {
            let none = Missing::NotApplicable(why.into());
            for item in ITEMS.into_iter().chain(wear::ITEMS.map(|(item, _)| item)) {
                make.missing(format!("{root}.{item}"), item, none.clone());
            }
        }
    }
    let state = treatment.map_or("none", |t| t.kind.word());
    let mut draft = make.fact(format!("{root}.state"), "brace, cast or none", Value::Word(state));
    if let Some(t) = treatment {
        draft = draft.record(format!("treatment {}", t.id.value), &t.place);
    }
    draft.by(format!("the latest brace or cast as of {as_of}"), Source::definition("")).done();
}

/// `treatment.current.series_started`: the first day of a row of casts or
/// braces of one kind, where the present one is not the first.
fn series(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let now = current(case, as_of);
    let earlier = now.and_then(|now| {
        let same = case.treatments.iter().filter(|t| t.kind.value == now.kind.value);
        let started = same.filter(|t| t.id.value != now.id.value).filter_map(|t| t.start());
        started.min_by_key(|s| s.value).filter(|s| now.start().is_some_and(|n| s.value < n.value))
    });
    let id = "treatment.current.series_started";
    let label = "first day of the first of its kind";
    match earlier {
        Some(first) => make
            .fact(id, label, day(first.value))
            .record("treatments", &first.place)
            .by("earliest first day among those of the same kind", Source::definition(""))
            .done(),
        None => {
            make.missing(id, label, Missing::NotApplicable("it is the first of its kind".into()))
        }
    };
}

/// The first brace or cast ever.
pub fn first_ever(case: &Case) -> Option<&Treatment> {
    let worn = case.treatments.iter().filter(|t| supports(t) && t.start().is_some());
    worn.min_by_key(|t| t.start().map(|s| s.value))
}

/// What every treatment says, or says is missing.
const ITEMS: [&str; 27] = [
    "kind",
    "class",
    "principle",
    "started",
    "ordered",
    "days_to_delivery",
    "prescribed",
    "hours",
    "when",
    "hours_from",
    "hours_why",
    "hours_before",
    "hours_next",
    "hours_next_from",
    "ended",
    "ended_why",
    "adjusted",
    "wear.several",
    "wear.mean",
    "wear.from",
    "wear.to",
    "wear.prescribed",
    "wear.downloaded",
    "wear.share",
    "wear.reported",
    "fitting.on",
    "fitting.what",
];

fn one(make: &mut Maker, root: &str, t: &Treatment, limits: &Limits, as_of: NaiveDate) {
    let record = format!("treatment {}", t.id.value);
    let home = &t.place;
    make.fact(format!("{root}.kind"), "kind of treatment", Value::Word(t.kind.word()))
        .record(format!("{record} / kind"), &t.kind.place)
        .done();
    make.recorded(
        format!("{root}.class"),
        "class of orthosis",
        &record,
        t.class.as_ref(),
        |c| Value::Word(c.word()),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.principle"),
        "how it acts",
        &record,
        t.principle.first(),
        |p| Value::Word(p.word()),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.started"),
        "first day",
        &record,
        t.start(),
        |d| day(*d),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.ordered"),
        "day of the order",
        &record,
        t.ordered.as_ref(),
        |d| day(*d),
        "the clinician",
        home,
    );
    make.recorded(
        format!("{root}.prescribed"),
        "what is prescribed",
        &record,
        t.prescribed.as_ref(),
        |p| text(p),
        "the clinician",
        home,
    );
    match (&t.ordered, t.start()) {
        (Some(ordered), Some(start)) => make
            .fact(
                format!("{root}.days_to_delivery"),
                "days from order to delivery",
                whole(days_between(ordered.value, start.value), Unit::Day),
            )
            .record(format!("{record} / ordered"), &ordered.place)
            .record(format!("{record} / fittings"), &start.place)
            .by("whole days from order to first fitting", Source::definition(""))
            .done(),
        _ => make.missing(
            format!("{root}.days_to_delivery"),
            "days from order to delivery",
            Missing::CannotTell("order or delivery is not recorded".into()),
        ),
    };
    let ended = t.ended.as_ref();
    make.recorded(
        format!("{root}.ended"),
        "last day",
        &record,
        ended.map(|e| &e.on),
        |d| day(*d),
        "the clinician",
        home,
    );
    make.recorded(
        format!("{root}.ended_why"),
        "why it ended",
        &record,
        ended.and_then(|e| e.why.as_ref()),
        |w| text(w),
        "the clinician",
        home,
    );
    hours(make, root, t, as_of, &record);
    wear::wear(make, root, t, limits, as_of);
    fitting(make, root, t, &record);
}

fn hours(make: &mut Maker, root: &str, t: &Treatment, as_of: NaiveDate, record: &str) {
    let past: Vec<&HoursStep> = t.hours.iter().filter(|h| h.from.value <= as_of).collect();
    let now = past.last().copied();
    let next = t.hours.iter().find(|h| h.from.value > as_of);
    let home = &t.place;
    let per_day = |h: &crate::quantity::HoursPerDay| hours_value(h.to_hours());
    make.recorded(
        format!("{root}.hours"),
        "prescribed hours a day",
        record,
        now.map(|h| &h.per_day),
        per_day,
        "the prescriber",
        home,
    );
    make.recorded(
        format!("{root}.when"),
        "when in the day",
        record,
        now.and_then(|h| h.when.as_ref()),
        |w| Value::Word(w.word()),
        "the prescriber",
        home,
    );
    make.recorded(
        format!("{root}.hours_from"),
        "since when these hours",
        record,
        now.map(|h| &h.from),
        |d| day(*d),
        "the prescriber",
        home,
    );
    make.recorded(
        format!("{root}.hours_why"),
        "why these hours",
        record,
        now.and_then(|h| h.why.as_ref()),
        |w| text(w),
        "the prescriber",
        home,
    );
    let before = past.len().checked_sub(2).map(|i| past[i]);
    step(
        make,
        &format!("{root}.hours_before"),
        "hours a day before",
        before.map(|h| (&h.per_day, hours_value(h.per_day.to_hours()))),
        record,
        "the hours have not changed",
    );
    step(
        make,
        &format!("{root}.hours_next"),
        "hours a day decided for later",
        next.map(|h| (&h.per_day, hours_value(h.per_day.to_hours()))),
        record,
        "no later step is decided",
    );
    match next {
        Some(h) => make
            .fact(
                format!("{root}.hours_next_from"),
                "first day of the later hours",
                day(h.from.value),
            )
            .record(record, &h.from.place)
            .done(),
        None => make.missing(
            format!("{root}.hours_next_from"),
            "first day of the later hours",
            Missing::NotApplicable("no later step is decided".into()),
        ),
    };
    for (n, h) in past.iter().enumerate() {
        let path = format!("{root}.steps.s{}", n + 1);
        make.fact(format!("{path}.from"), "first day of a step of hours", day(h.from.value))
            .record(record, &h.from.place)
            .done();
        make.fact(
            format!("{path}.per_day"),
            "hours a day of a step",
            hours_value(h.per_day.to_hours()),
        )
        .record(record, &h.per_day.place)
        .done();
    }
}

fn step<T>(
    make: &mut Maker,
    id: &str,
    label: &str,
    found: Option<(&crate::diag::Located<T>, Value)>,
    record: &str,
    why: &str,
) {
    match found {
        Some((at, value)) => make.fact(id, label, value).record(record, &at.place).done(),
        None => make.missing(id, label, Missing::NotApplicable(why.into())),
    };
}

/// Hours a day as reported: whole where they are whole, one decimal otherwise.
pub fn reported_hours(hours: f64) -> Reported {
    let one = Reported::round(hours, 1, Unit::HourPerDay);
    let whole = Reported::round(hours, 0, Unit::HourPerDay);
    if one.compare(whole).is_eq() { whole } else { one }
}

/// Hours a day as a value.
pub fn hours_value(hours: f64) -> Value {
    Value::Number(reported_hours(hours))
}

fn fitting(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let adjusted = t.fittings.iter().any(|f| f.what.value == FittingKind::Adjusted);
    make.fact(format!("{root}.adjusted"), "whether it was ever adjusted", yes_no(adjusted))
        .record(record, &t.place)
        .done();
    let last = t.fittings.last();
    let home = &t.place;
    make.recorded(
        format!("{root}.fitting.on"),
        "latest fitting",
        record,
        last.map(|f| &f.on),
        |d| day(*d),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{root}.fitting.what"),
        "what was done at the latest fitting",
        record,
        last.map(|f| &f.what),
        |w| Value::Word(w.word()),
        "the orthotist",
        home,
    );
    for (n, f) in t.fittings.iter().enumerate() {
        let path = format!("{root}.fittings.f{}", n + 1);
        make.fact(format!("{path}.on"), "date of a fitting", day(f.on.value))
            .record(format!("{record} / fitting {}", f.on.value), &f.on.place)
            .done();
        make.fact(format!("{path}.what"), "what was done", Value::Word(f.what.word()))
            .record(format!("{record} / fitting {}", f.on.value), &f.what.place)
            .done();
        make.recorded(
            format!("{path}.why"),
            "detail of a fitting",
            &format!("{record} / fitting {}", f.on.value),
            f.why.as_ref(),
            |w| text(w),
            "the orthotist",
            &f.place,
        );
        make.recorded(
            format!("{path}.skin"),
            "skin at a fitting",
            &format!("{record} / fitting {}", f.on.value),
            f.skin.as_ref(),
            |w| text(w),
            "the orthotist",
            &f.place,
        );
    }
}

fn exercise(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let now = case.treatments.iter().rfind(|t| {
        t.kind.value == TreatmentKind::Exercise
            && t.start().is_some_and(|s| s.value <= as_of)
            && t.ended.as_ref().is_none_or(|e| e.on.value > as_of)
    });
    match now {
        Some(t) => {
            let root = format!("treatments.{}", t.id.value);
            make.same("treatment.exercise.prescribed", &format!("{root}.prescribed"));
            make.same("treatment.exercise.started", &format!("{root}.started"));
        }
        None => {
            for item in ["prescribed", "started"] {
                make.missing(
                    format!("treatment.exercise.{item}"),
                    "exercise",
                    Missing::NotApplicable("no exercise is prescribed".into()),
                );
            }
        }
    }
    make.fact(
        "treatment.exercise.state",
        "whether exercise is prescribed",
        Value::Word(if now.is_some() { "yes" } else { "no" }),
    )
    .done();
}

/// `treatment.current.in_brace.*` and the same for the previous one: the
/// first and the latest correction of the curve that was largest before it.
pub fn corrections(make: &mut Maker, case: &Case, tracks: &[Track], as_of: NaiveDate) {
    for (root, treatment) in
        [("treatment.current", current(case, as_of)), ("treatment.previous", previous(case, as_of))]
    {
        let films = treatment.map(|t| checks_of_largest(make, t, tracks)).unwrap_or_default();
        make.fact(
            format!("{root}.in_brace.several"),
            "whether it was filmed in support more than once",
            yes_no(films.len() > 1),
        )
        .by("count of films in support", Source::definition(""))
        .done();
        for (name, path) in [("first", films.first()), ("latest", films.last())] {
            for (item, label) in CHECK_ITEMS {
                let id = format!("{root}.in_brace.{name}.{item}");
                match path {
                    Some(path) => make.same(id, &format!("{path}.{item}")),
                    None => make.missing(
                        id,
                        label,
                        Missing::NotApplicable("no film in a brace or cast".into()),
                    ),
                };
            }
        }
    }
}

/// Paths of the checks of one curve in one treatment, by date: the curve with
/// the largest baseline.
fn checks_of_largest(make: &Maker, t: &Treatment, tracks: &[Track]) -> Vec<String> {
    let paths = |key: &str| -> Vec<String> {
        let root = format!("treatments.{}.checks", t.id.value);
        make.facts
            .children(&root)
            .into_iter()
            .map(|film| format!("{root}.{film}.{key}"))
            .filter(|p| make.facts.get(&format!("{p}.cobb")).is_some())
            .collect()
    };
    let baseline = |key: &str| {
        paths(key).iter().find_map(|p| make.facts.get(&format!("{p}.baseline_cobb"))?.number())
    };
    let mut best: Option<(&Track, Option<Reported>)> = None;
    for track in tracks.iter().filter(|track| !paths(&track.key).is_empty()) {
        let value = baseline(&track.key);
        let larger = match (&best, value) {
            (None, _) | (Some((_, None)), Some(_)) => true,
            (Some((_, Some(old))), Some(new)) => new.compare(*old).is_gt(),
            _ => false,
        };
        if larger {
            best = Some((track, value));
        }
    }
    best.map(|(track, _)| paths(&track.key)).unwrap_or_default()
}
