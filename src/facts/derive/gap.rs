//! Facts on what is missing and asked for by a letter.

use super::maker::{Maker, day, text, whole};
use super::tongue::{self, List, Tongue};
use crate::case::{Case, Gap, LetterEntry};
use crate::evidence::Source;
use crate::facts::Value;
use crate::quantity::Unit;
use crate::quantity::date::days_between;

/// `gap.*`: the gap that a letter asks to fill; nothing without one.
pub fn gap(make: &mut Maker, case: &Case, entry: Option<&LetterEntry>, tongue: Tongue) {
    let id = entry.and_then(|e| e.gap.as_ref());
    let found = id.and_then(|id| case.gaps.iter().find(|g| g.id.value == id.value));
    let (Some(gap), Some(entry)) = (found, entry) else { return };
    let record = format!("gap {}", gap.id.value);
    items(make, gap, &record, tongue);
    for (item, label, on) in
        [("asked", "day it was first asked for", &gap.asked), ("by", "day it is needed", &gap.by)]
    {
        make.fact(format!("gap.{item}"), label, day(on.value))
            .record(format!("{record} / {item}"), &on.place)
            .done();
    }
    let dated = entry.dated.as_ref().unwrap_or(&entry.as_of).value;
    make.fact(
        "gap.days_to_go",
        "days until it is needed",
        whole(days_between(dated, gap.by.value), Unit::Day),
    )
    .from("gap.by")
    .by("whole days from the letter to that day", Source::definition(""))
    .done();
    let asks = case.requests.iter().any(|r| r.id.value == gap.purpose.value);
    let purpose = Value::Word(if asks { "request" } else { "letter" });
    make.fact("gap.purpose", "what it is needed for", purpose)
        .record(format!("{record} / for"), &gap.purpose.place)
        .done();
    for (item, label, found, who) in [
        ("how", "how to send it", gap.how.as_ref(), "the administrator"),
        ("consent", "consent to send it", gap.consent.as_ref(), "the family"),
    ] {
        let id = format!("gap.{item}");
        make.recorded(id, label, &record, found, |t| text(t), who, &gap.place);
    }
    reminders(make, gap, &record);
}

/// What is missing, in the reader's language where it was written in it.
fn items(make: &mut Maker, gap: &Gap, record: &str, tongue: Tongue) {
    let list = List {
        id: ("gap.items.i", ".words"),
        label: "what is missing",
        record: &format!("{record} / items"),
        record_in: &format!("{record} / items_in"),
        own: &gap.items,
        others: &gap.items_in,
    };
    tongue::list(make, tongue, &list);
}

fn reminders(make: &mut Maker, gap: &Gap, record: &str) {
    let count = whole(gap.reminders.len() as i64, Unit::One);
    let mut draft = make.fact("gap.reminder", "number of the reminder; zero at first", count);
    for on in &gap.reminders {
        draft = draft.record(format!("{record} / reminders"), &on.place);
    }
    draft.by("count of the days it was asked for again", Source::definition("")).done();
    let state = if gap.reminders.is_empty() { "first" } else { "again" };
    make.fact("gap.state", "asked for the first time or again", Value::Word(state))
        .from("gap.reminder")
        .done();
}
