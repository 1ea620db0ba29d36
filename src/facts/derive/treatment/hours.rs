//! Hours a day: in force, before, later, every step, and the way down.

use chrono::NaiveDate;

use crate::case::{HoursStep, Treatment};
use crate::course::hours::{Prescription, Step, Weaning};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, text, whole};
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{HoursPerDay, Reported, Unit};

/// The steps of a treatment as the pure [`Prescription`].
pub fn prescription(t: &Treatment) -> Prescription {
    let step = |h: &HoursStep| Step { from: h.from.value, per_day: h.per_day.value };
    Prescription::new(t.hours.iter().map(step), t.ended.as_ref().map(|e| e.on.value))
}

/// `treatments.<id>.hours*`, `.steps.*` and `.weaning.*`.
pub fn hours(make: &mut Maker, root: &str, t: &Treatment, as_of: NaiveDate, record: &str) {
    let past: Vec<&HoursStep> = t.hours.iter().filter(|h| h.from.value <= as_of).collect();
    let next = t.hours.iter().find(|h| h.from.value > as_of);
    now(make, root, t, past.last().copied(), record);
    why(make, root, t, past.last().copied(), record);
    let before = past.len().checked_sub(2).map(|i| past[i]);
    change(make, root, before, next, record);
    for (n, h) in past.iter().enumerate() {
        step(make, &format!("{root}.steps.s{}", n + 1), t, n, h, record);
    }
    weaning(make, root, t, as_of, record);
}

fn now(make: &mut Maker, root: &str, t: &Treatment, now: Option<&HoursStep>, record: &str) {
    let home = &t.place;
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
}

fn why(make: &mut Maker, root: &str, t: &Treatment, now: Option<&HoursStep>, record: &str) {
    make.recorded(
        format!("{root}.hours_why"),
        "why these hours",
        record,
        now.and_then(|h| h.why.as_ref()),
        |w| text(w),
        "the prescriber",
        &t.place,
    );
}

fn change(
    make: &mut Maker,
    root: &str,
    before: Option<&HoursStep>,
    next: Option<&HoursStep>,
    record: &str,
) {
    let hours = |h: Option<&HoursStep>| h.map(|h| (h.per_day.place.clone(), per_day(&h.per_day)));
    let first = next.map(|h| (h.from.place.clone(), day(h.from.value)));
    let later = "no later step is decided";
    for (item, label, found, why) in [
        ("hours_before", "hours a day before", hours(before), "the hours have not changed"),
        ("hours_next", "hours a day decided for later", hours(next), later),
        ("hours_next_from", "first day of the later hours", first, later),
    ] {
        let id = format!("{root}.{item}");
        match found {
            Some((place, value)) => make.fact(id, label, value).record(record, &place).done(),
            None => make.missing(id, label, Missing::NotApplicable(why.into())),
        };
    }
}

/// One step: its first and last day, its hours, who decided it and when.
fn step(make: &mut Maker, path: &str, t: &Treatment, n: usize, h: &HoursStep, record: &str) {
    make.fact(format!("{path}.from"), "first day of a step of hours", day(h.from.value))
        .record(record, &h.from.place)
        .done();
    make.fact(format!("{path}.per_day"), "hours a day of a step", per_day(&h.per_day))
        .record(record, &h.per_day.place)
        .done();
    let (id, label) = (format!("{path}.to"), "last day of a step of hours");
    match prescription(t).last_day_of(n) {
        Some(last) => make
            .fact(id, label, day(last))
            .record(record, &t.place)
            .by(
                "the day before the next step, or the last day of treatment",
                Source::definition(""),
            )
            .done(),
        None => make.missing(id, label, Missing::NotApplicable("it is still in force".into())),
    };
    let who = "the prescriber";
    let decided = h.decided.as_ref().unwrap_or(&h.from);
    make.fact(format!("{path}.decided"), "day a step was decided", day(decided.value))
        .record(record, &decided.place)
        .by("as recorded; the first day itself where nothing else is", Source::definition(""))
        .done();
    let (label, by) = ("who decided a step", h.by.as_ref());
    make.recorded(format!("{path}.by"), label, record, by, |b| text(b), who, &h.place);
    let (label, when) = ("when in the day", h.when.as_ref());
    let word = |w: &crate::case::WearWhen| Value::Word(w.word());
    make.recorded(format!("{path}.when"), label, record, when, word, who, &h.place);
}

/// What the way down says, or says is missing.
const WEANING: [(&str, &str); 6] = [
    ("from", "first day on fewer hours"),
    ("steps", "steps down since then"),
    ("before", "hours a day before the first step down"),
    ("now", "hours a day now"),
    ("latest", "first day of the latest step down"),
    ("days", "days since the first step down"),
];

fn weaning(make: &mut Maker, root: &str, t: &Treatment, as_of: NaiveDate, record: &str) {
    let root = format!("{root}.weaning");
    let on = t.ended.as_ref().map_or(as_of, |e| e.on.value.min(as_of));
    let found = prescription(t).weaning(on);
    make.fact(
        format!("{root}.state"),
        "whether the hours are being brought down",
        Value::Word(if found.is_some() { "yes" } else { "no" }),
    )
    .record(record, &t.place)
    .by("the last step is below the one before it", Source::definition(""))
    .done();
    let Some(found) = found else {
        no_weaning(make, &root, "the hours have not been lowered");
        return;
    };
    for (item, label) in WEANING {
        let value = weaning_value(item, &found, on);
        let mut draft = make.fact(format!("{root}.{item}"), label, value);
        for h in t.hours.iter().skip(found.first.saturating_sub(1)) {
            draft = draft.record(format!("{record} / hours"), &h.per_day.place);
        }
        draft
            .by(
                "from the row of steps, each below the one before, up to now",
                Source::definition(""),
            )
            .done();
    }
}

fn weaning_value(item: &str, found: &Weaning, on: NaiveDate) -> Value {
    match item {
        "from" => day(found.from),
        "latest" => day(found.latest),
        "steps" => whole(found.steps as i64, Unit::One),
        "days" => whole(days_between(found.from, on), Unit::Day),
        "before" => hours_value(found.before.to_hours()),
        _ => hours_value(found.now.to_hours()),
    }
}

fn no_weaning(make: &mut Maker, root: &str, why: &str) {
    for (item, label) in WEANING {
        make.missing(format!("{root}.{item}"), label, Missing::NotApplicable(why.into()));
    }
}

/// `treatment.weaning.*`: that of the brace worn now.
pub fn weaning_now(make: &mut Maker, current: Option<&Treatment>) {
    let root = "treatment.weaning";
    match current {
        Some(t) => make.same_tree(root, &format!("treatments.{}.weaning", t.id.value)),
        None => {
            let why = "no brace or cast is worn";
            let none = Missing::NotApplicable(why.into());
            make.missing(format!("{root}.state"), "whether the hours are being brought down", none);
            no_weaning(make, root, why);
        }
    }
}

/// Hours in force in all braces and casts on the day of a film:
/// `films.<id>.hours_in_force`.
pub fn on_film(make: &mut Maker, film: &Located<String>, on: NaiveDate, worn: Option<&Treatment>) {
    let (id, label) = (
        format!("films.{}.hours_in_force", film.value),
        "hours a day in force on the day of the film",
    );
    let steps = worn.map(|t| (t, prescription(t)));
    let Some((t, steps)) = steps else {
        let why = "no brace or cast was in use that day";
        make.missing(id, label, Missing::NotApplicable(why.into()));
        return;
    };
    let record = format!("treatment {} / hours", t.id.value);
    match steps.in_force(on) {
        Some(hours) => make
            .fact(id, label, hours_value(hours.to_hours()))
            .record(record, &t.place)
            .by("the step begun last before the film", Source::definition(""))
            .done(),
        None => make.not_recorded(id, label, "the prescriber", &record, &t.place),
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

fn per_day(hours: &HoursPerDay) -> Value {
    hours_value(hours.to_hours())
}
