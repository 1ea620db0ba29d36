//! Fittings, as recorded.

use crate::case::{Fitting, FittingKind, Treatment};
use crate::facts::Value;
use crate::facts::derive::maker::{Maker, day, text, yes_no};

/// `treatments.<id>.adjusted`, `.fitting.*` and `.fittings.*`.
pub fn fitting(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let adjusted = t.fittings.iter().any(|f| f.what.value == FittingKind::Adjusted);
    make.fact(format!("{root}.adjusted"), "whether it was ever adjusted", yes_no(adjusted))
        .record(record, &t.place)
        .done();
    latest(make, root, t, record);
    for (n, f) in t.fittings.iter().enumerate() {
        one(make, &format!("{root}.fittings.f{}", n + 1), f, record);
    }
}

fn latest(make: &mut Maker, root: &str, t: &Treatment, record: &str) {
    let last = t.fittings.last();
    make.recorded(
        format!("{root}.fitting.on"),
        "latest fitting",
        record,
        last.map(|f| &f.on),
        |d| day(*d),
        "the orthotist",
        &t.place,
    );
    make.recorded(
        format!("{root}.fitting.what"),
        "what was done at the latest fitting",
        record,
        last.map(|f| &f.what),
        |w| Value::Word(w.word()),
        "the orthotist",
        &t.place,
    );
}

fn one(make: &mut Maker, path: &str, f: &Fitting, record: &str) {
    let record = format!("{record} / fitting {}", f.on.value);
    make.fact(format!("{path}.on"), "date of a fitting", day(f.on.value))
        .record(&record, &f.on.place)
        .done();
    make.fact(format!("{path}.what"), "what was done", Value::Word(f.what.word()))
        .record(&record, &f.what.place)
        .done();
    let word = |d: &crate::case::Decision| Value::Word(d.word());
    let (id, label) = (format!("{path}.decision"), "what was decided at a fitting");
    make.recorded(id, label, &record, f.decision.as_ref(), word, "the clinician", &f.place);
    for (item, label, found) in [
        ("why", "detail of a fitting", &f.why),
        ("skin", "skin at a fitting", &f.skin),
        ("because", "reason for that decision", &f.because),
    ] {
        let id = format!("{path}.{item}");
        make.recorded(id, label, &record, found.as_ref(), |w| text(w), "the orthotist", &f.place);
    }
}
