//! `ending.steps.*`: the way down from the full hours, what is behind and
//! what is decided for later.

use chrono::NaiveDate;

use crate::case::{Case, HoursStep, Treatment};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, yes_no};
use crate::facts::derive::treatment::{self, hours_value};
use crate::facts::{Missing, Value};

const FORMULA: &str =
    "the last row of steps each below the one before, those decided for later included";

/// The steps of the brace worn now, or worn last.
pub(super) fn steps(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let worn = treatment::current(case, as_of).or_else(|| treatment::last_worn(case, as_of));
    let down = worn.and_then(|t| Some((t, way_down(t)?)));
    before(make, case, down);
    begin(make, case, down, as_of);
    let Some((t, first)) = down else { return };
    for (n, step) in t.hours[first..].iter().enumerate() {
        one(make, &format!("ending.steps.s{}", n + 1), t, step, as_of);
    }
    let last = t.hours.last().expect("there is a step down");
    make.fact("ending.steps_end_off", "whether the last step is no hours", yes_no(off(last)))
        .record(format!("treatment {} / hours", t.id.value), &last.per_day.place)
        .done();
}

/// Place of the first lower step of the row that ends with the last step.
fn way_down(t: &Treatment) -> Option<usize> {
    let lower = |pair: &[HoursStep]| pair[1].per_day.value < pair[0].per_day.value;
    let steps = t.hours.windows(2).rev().take_while(|pair| lower(pair)).count();
    (steps > 0).then(|| t.hours.len() - steps)
}

fn off(step: &HoursStep) -> bool {
    step.per_day.value.to_hours() == 0.0
}

/// `ending.steps_from` and `ending.steps_begun`.
fn begin(make: &mut Maker, case: &Case, down: Option<(&Treatment, usize)>, as_of: NaiveDate) {
    let (from, begun) = ("ending.steps_from", "ending.steps_begun");
    let labels = ("first day of lower hours", "whether the way down has begun");
    let Some((t, first)) = down else {
        let item = "steps of lower hours";
        make.not_recorded(from, item, "the prescriber", "treatments", &case.place);
        make.not_recorded(begun, item, "the prescriber", "treatments", &case.place);
        return;
    };
    let step = &t.hours[first];
    let record = format!("treatment {} / hours", t.id.value);
    make.fact(from, labels.0, day(step.from.value))
        .record(&record, &step.from.place)
        .by(FORMULA, Source::definition(""))
        .done();
    make.fact(begun, labels.1, yes_no(step.from.value <= as_of))
        .from(from)
        .by("its first day against the day of the letter", Source::definition(""))
        .done();
}

fn before(make: &mut Maker, case: &Case, down: Option<(&Treatment, usize)>) {
    let (id, label) = ("ending.steps_before", "hours a day before the way down");
    match down.and_then(|(t, first)| Some((t, t.hours.get(first.checked_sub(1)?)?))) {
        Some((t, step)) => make
            .fact(id, label, hours_value(step.per_day.value.to_hours()))
            .record(format!("treatment {} / hours", t.id.value), &step.per_day.place)
            .done(),
        None => {
            let item = "steps of lower hours".to_string();
            let none = Missing::NotRecorded { item, who: "the prescriber".into() };
            make.fact(id, label, Value::Missing(none)).record("treatments", &case.place).done()
        }
    };
}

fn one(make: &mut Maker, path: &str, t: &Treatment, step: &HoursStep, as_of: NaiveDate) {
    let record = format!("treatment {} / hours", t.id.value);
    make.fact(format!("{path}.from"), "first day of a step down", day(step.from.value))
        .record(&record, &step.from.place)
        .done();
    let hours = hours_value(step.per_day.value.to_hours());
    make.fact(format!("{path}.per_day"), "hours a day of a step down", hours)
        .record(&record, &step.per_day.place)
        .done();
    let (label, when) = ("when in the day", step.when.as_ref());
    let word = |w: &crate::case::WearWhen| Value::Word(w.word());
    let who = "the prescriber";
    make.recorded(format!("{path}.when"), label, &record, when, word, who, &step.place);
    let later = step.from.value > as_of;
    make.fact(format!("{path}.planned"), "whether the step is still to come", yes_no(later))
        .record(&record, &step.from.place)
        .by("its first day against the day of the letter", Source::definition(""))
        .done();
    make.fact(format!("{path}.off"), "whether the step is no hours", yes_no(off(step)))
        .record(&record, &step.per_day.place)
        .done();
}
