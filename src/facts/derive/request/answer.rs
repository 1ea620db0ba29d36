//! What the payer said: the authorisation, or the denial with its reasons.

use super::super::maker::{Maker, day, text, whole};
use crate::case::{Denial, LetterEntry, Request};
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::Unit;
use crate::quantity::date::days_between;

/// `request.authorised.*`, `request.denial.*`.
pub(super) fn answer(make: &mut Maker, r: &Request, entry: &LetterEntry) {
    let record = format!("request {}", r.id.value);
    authorised(make, r, &record);
    match &r.denial {
        Some(d) => denial(make, d, entry, &record),
        None => {
            for (item, label) in [
                ("on", "day of the denial"),
                ("level", "step of the denial"),
                ("answer_by", "last day for an answer"),
                ("days_to_go", "days left for an answer"),
            ] {
                let none = Missing::NotApplicable("the request was not denied".into());
                make.missing(format!("request.denial.{item}"), label, none);
            }
        }
    }
}

fn authorised(make: &mut Maker, r: &Request, record: &str) {
    let Some(a) = &r.authorised else {
        for (item, label) in [("from", "first authorised day"), ("to", "last authorised day")] {
            let none = Missing::NotApplicable("nothing is authorised".into());
            make.missing(format!("request.authorised.{item}"), label, none);
        }
        return;
    };
    for (item, label, on) in
        [("from", "first authorised day", &a.from), ("to", "last authorised day", &a.to)]
    {
        make.fact(format!("request.authorised.{item}"), label, day(on.value))
            .record(format!("{record} / authorised / {item}"), &on.place)
            .done();
    }
}

fn denial(make: &mut Maker, d: &Denial, entry: &LetterEntry, record: &str) {
    let record = format!("{record} / denial");
    make.fact("request.denial.on", "day of the denial", day(d.on.value))
        .record(&record, &d.on.place)
        .done();
    make.recorded(
        "request.denial.level",
        "step of the denial",
        &record,
        d.level.as_ref(),
        |l| Value::Word(l.word()),
        "the administrator",
        &d.place,
    );
    make.recorded(
        "request.denial.answer_by",
        "last day for an answer",
        &record,
        d.answer_by.as_ref(),
        |on| day(*on),
        "the administrator, from the payer’s letter",
        &d.place,
    );
    if let Some(last) = &d.answer_by {
        let dated = entry.dated.as_ref().unwrap_or(&entry.as_of);
        let left = days_between(dated.value, last.value);
        make.fact("request.denial.days_to_go", "days left for an answer", whole(left, Unit::Day))
            .from("request.denial.answer_by")
            .by("whole days from the letter to the last day", Source::definition(""))
            .done();
    }
    reasons(make, d, &record);
}

fn reasons(make: &mut Maker, d: &Denial, record: &str) {
    for (n, reason) in d.reasons.iter().enumerate() {
        let root = format!("request.denial.reasons.r{}", n + 1);
        let record = format!("{record} / reason {}", n + 1);
        make.fact(format!("{root}.number"), "number of the reason", whole(n as i64 + 1, Unit::One))
            .record(&record, &reason.place)
            .done();
        make.fact(format!("{root}.words"), "reason in the payer’s words", text(&reason.text))
            .record(&record, &reason.text.place)
            .done();
        make.recorded(
            format!("{root}.criterion"),
            "criterion the reason names",
            &record,
            reason.criterion.as_ref(),
            |t| text(t),
            "the administrator, from the payer’s letter",
            &reason.place,
        );
        make.recorded(
            format!("{root}.answer"),
            "answer to the reason",
            &record,
            reason.answer.as_ref(),
            |t| text(t),
            "the clinician",
            &reason.place,
        );
    }
}
