//! Wear as measured and as told: spans typed from a sensor, hours reported.
//!
//! What is read from a log itself is not here; see the facts on wear.

use super::hours::{hours_value, prescription, reported_hours};
use crate::case::{MeasuredHours, Treatment};
use crate::evidence::{Source, works};
use crate::facts::derive::maker::{Maker, day, yes_no};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Reported, Unit};

/// `treatments.<id>.wear.*`.
pub fn wear(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let home = &t.place;
    let log = t.wear.as_ref().filter(|w| w.log.is_some()).and_then(|w| w.downloaded.as_ref());
    let path = format!("{root}.wear");
    let told = t.reported.last().map(|r| &r.per_day);
    make.recorded(
        format!("{path}.downloaded"),
        "download of the sensor's log",
        record,
        log,
        |d| day(*d),
        "the orthotist",
        home,
    );
    make.recorded(
        format!("{path}.reported"),
        "hours a day as told",
        record,
        told,
        |h| hours_value(h.to_hours()),
        "the family",
        home,
    );
    let spans: Vec<&MeasuredHours> = t.wear.iter().flat_map(|w| &w.measured).collect();
    for (n, span) in spans.iter().enumerate() {
        let path = format!("{path}.spans.w{}", n + 1);
        let record = format!("{record} / wear / measured");
        make.fact(
            format!("{path}.from"),
            "first day of a span of measured wear",
            day(span.from.value),
        )
        .record(&record, &span.from.place)
        .done();
        make.fact(format!("{path}.to"), "last day of a span of measured wear", day(span.to.value))
            .record(&record, &span.to.place)
            .done();
        make.fact(
            format!("{path}.mean"),
            "measured hours a day in a span",
            Value::Number(span_hours(span)),
        )
        .record(&record, &span.per_day.place)
        .done();
    }
    make.fact(
        format!("{path}.several"),
        "whether wear was measured over several spans",
        yes_no(spans.len() > 1),
    )
    .record(record, home)
    .done();
    match (spans.first(), spans.last()) {
        (Some(first), Some(last)) => {
            make.fact(
                format!("{path}.from"),
                "first day of the measured wear",
                day(first.from.value),
            )
            .record(record, &first.from.place)
            .done();
            make.fact(format!("{path}.to"), "last day of the measured wear", day(last.to.value))
                .record(record, &last.to.place)
                .done();
            over_all(make, &path, t, &spans, record);
        }
        _ => {
            for item in ["from", "to", "mean", "prescribed", "share"] {
                make.not_recorded(
                    format!("{path}.{item}"),
                    "measured wear",
                    "the orthotist",
                    record,
                    home,
                );
            }
        }
    }
}

fn span_hours(span: &MeasuredHours) -> Reported {
    Reported::round(span.per_day.to_hours(), 1, Unit::HourPerDay)
}

/// Mean, prescription and share over all days measured: never over the best
/// or the worst span alone.
fn over_all(make: &mut Maker, path: &str, t: &Treatment, spans: &[&MeasuredHours], record: &str) {
    let days = |s: &MeasuredHours| (days_between(s.from.value, s.to.value) + 1) as f64;
    let all: f64 = spans.iter().map(|s| days(s)).sum();
    let worn: f64 = spans.iter().map(|s| span_hours(s).value() * days(s)).sum();
    let mean = Reported::round(worn / all, 1, Unit::HourPerDay);
    let mut draft = make.fact(format!("{path}.mean"), "measured hours a day", Value::Number(mean));
    for span in spans {
        draft = draft.record(format!("{record} / wear / measured"), &span.per_day.place);
    }
    draft
        .by("mean over all days measured, each span by its days", Source::definition(""))
        .unrounded(worn / all)
        .done();
    let steps = prescription(t);
    let asked: Option<f64> = spans.iter().map(|s| steps.total(s.from.value, s.to.value)).sum();
    let Some(asked) = asked else {
        for item in ["prescribed", "share"] {
            let why = Missing::CannotTell("hours are not prescribed on every day measured".into());
            make.missing(format!("{path}.{item}"), "prescribed hours while wear was measured", why);
        }
        return;
    };
    let prescribed = reported_hours(asked / all);
    let mut draft = make.fact(
        format!("{path}.prescribed"),
        "prescribed hours a day while wear was measured",
        Value::Number(prescribed),
    );
    for step in &t.hours {
        draft = draft.record(format!("{record} / hours"), &step.per_day.place);
    }
    draft
        .by("mean of the hours in force on the days measured", Source::definition(""))
        .unrounded(asked / all)
        .done();
    if prescribed.sign() == 0 {
        let why =
            Missing::NotApplicable("no hours of wear were asked for on the days measured".into());
        make.missing(format!("{path}.share"), "measured share of the prescribed hours", why);
        return;
    }
    let share = mean.value() / prescribed.value() * 100.0;
    make.fact(
        format!("{path}.share"),
        "measured share of the prescribed hours",
        Value::Number(Reported::round(share, 0, Unit::Percent)),
    )
    .from(format!("{path}.mean"))
    .from(format!("{path}.prescribed"))
    .by(
        "measured / prescribed hours x 100, both as reported",
        Source::read(&works::HASLER_2010, "adherence in per cent"),
    )
    .unrounded(share)
    .done();
}
