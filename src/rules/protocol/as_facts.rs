//! What the protocol says, as facts: `protocol.*`.

use chrono::{Months, NaiveDate};

use crate::case::Case;
use crate::diag::Place;
use crate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Record, Value};
use crate::quantity::{PartialDate, Reported, Unit};

use super::super::as_facts::{put, record};
use super::super::evaluate::{MissingItem, Outcome};
use super::super::standing::Basis;
use super::super::told;
use super::super::verdict::Verdict;
use super::evaluate::{Judged, Range, RowVerdict};
use super::plan::{Planned, planned};
use super::{Edition, Protocol, Step};

/// Writes rows, range, plan and interval of the edition in force.
pub fn write(facts: &mut Facts, case: &Case, protocol: &Protocol, edition: &Edition) {
    let judged = super::evaluate(edition, facts);
    let plan = planned(case, facts, &edition.braces);
    let at = || vec![record("protocol / edition", &edition.edition.place)];
    let name = Value::Text(protocol.name.value.clone());
    put(facts, "protocol.name", "care protocol", name, vec![], vec![]);
    let dated = Value::Date(edition.edition.value);
    put(facts, "protocol.edition", "edition of the care protocol", dated, at(), vec![]);
    judged.rows.iter().for_each(|r| row(facts, r, judged.decides(r)));
    let rests: Vec<FactId> = judged
        .rows
        .iter()
        .filter(|r| r.outcome.verdict != Verdict::NotMet)
        .map(|r| FactId::new(format!("protocol.rows.{}.verdict", r.row.id.value)))
        .collect();
    range(facts, &judged.range, &rests);
    plan_facts(facts, case, &plan);
    within(facts, &judged.range, &plan);
    reason(facts, case);
    follow_up(facts, &judged);
}

/// Writes that no edition is in force, and nothing else.
pub fn write_absent(facts: &mut Facts, why: &str) {
    let value = Value::Missing(Missing::NotApplicable(why.into()));
    put(facts, "protocol.name", "care protocol", value, vec![], vec![]);
    let word = Value::Word("not covered");
    put(facts, "protocol.within", "whether the plan lies in the range", word, vec![], vec![]);
}

/// A verdict with its evidence as inputs and in words.
pub(in super::super) fn verdict(
    facts: &mut Facts,
    id: &str,
    label: &str,
    outcome: &Outcome,
    basis: &Basis,
    place: (String, &Place),
) {
    let mut inputs: Vec<FactId> = Vec::new();
    for fact in outcome.evidence.iter().map(|e| &e.fact) {
        if facts.get(fact.as_str()).is_some() && !inputs.contains(fact) {
            inputs.push(fact.clone());
        }
    }
    let formula = format!("{}; {}", told::line(outcome), basis.note());
    facts.insert(Fact {
        id: FactId::new(id),
        label: label.into(),
        value: Value::Word(outcome.verdict.word()),
        uncertainty: None,
        unrounded: None,
        provenance: Provenance {
            records: vec![Record { path: place.0, place: place.1.clone() }],
            inputs,
            method: Method { formula, source: basis.evidence() },
        },
    });
}

fn row(facts: &mut Facts, judged: &RowVerdict, decides: bool) {
    let row = judged.row;
    let root = format!("protocol.rows.{}", row.id.value);
    let label = format!("whether row {} of the protocol holds", row.id.value);
    let place = (format!("protocol / row {}", row.id.value), &row.place);
    verdict(facts, &format!("{root}.verdict"), &label, &judged.outcome, &row.basis, place);
    if judged.outcome.verdict == Verdict::NotMet {
        return;
    }
    let from = || vec![FactId::new(format!("{root}.verdict"))];
    step(facts, &format!("{root}.least"), "the least this row allows", Ok(row.least), from());
    step(facts, &format!("{root}.most"), "the most this row allows", Ok(row.most), from());
    let grade = Value::Word(row.basis.standing.word());
    put(facts, &format!("{root}.grade"), "how well the row is founded", grade, vec![], from());
    let source = Value::Text(row.basis.words());
    put(facts, &format!("{root}.source"), "source of the row", source, vec![], from());
    let decides = Value::Word(if decides { "yes" } else { "no" });
    put(facts, &format!("{root}.decides"), "whether it sets the range", decides, vec![], from());
}

/// A step with, for a rigid brace, its hours.
fn step(
    facts: &mut Facts,
    id: &str,
    label: &str,
    step: Result<Step, Missing>,
    inputs: Vec<FactId>,
) {
    let word = match &step {
        Ok(step) => Value::Word(step.kind().word()),
        Err(missing) => Value::Missing(missing.clone()),
    };
    put(facts, id, label, word, vec![], inputs.clone());
    let hours = match step {
        Ok(step) => step.hours().map_or_else(
            || Value::Missing(Missing::NotApplicable("the step is no rigid brace".into())),
            Value::Number,
        ),
        Err(missing) => Value::Missing(missing),
    };
    let label = format!("{label}: hours a day");
    put(facts, &format!("{id}_hours"), &label, hours, vec![], inputs);
}

fn range(facts: &mut Facts, range: &Range, rests: &[FactId]) {
    let missing = || match range {
        Range::CannotTell(items) => Missing::CannotTell(words(items)),
        _ => Missing::NotApplicable("no row of the protocol speaks of this case".into()),
    };
    let (least, most) = match range {
        Range::From(least, most) => (Ok(*least), Ok(*most)),
        _ => (Err(missing()), Err(missing())),
    };
    step(
        facts,
        "protocol.range.least",
        "the least that the protocol allows",
        least,
        rests.to_vec(),
    );
    step(facts, "protocol.range.most", "the most that the protocol allows", most, rests.to_vec());
    if let Range::CannotTell(items) = range {
        for (n, item) in items.iter().enumerate() {
            missing_item(facts, &format!("protocol.missing.m{}", n + 1), item);
        }
    }
}

/// `.what` and `.who` of something missing.
pub(in super::super) fn missing_item(facts: &mut Facts, root: &str, item: &MissingItem) {
    let what = Value::Text(item.what.clone());
    put(facts, &format!("{root}.what"), "what is missing", what, vec![], vec![]);
    let who = item.who.clone().map_or_else(
        || Value::Missing(Missing::NotApplicable("nobody is named".into())),
        Value::Text,
    );
    put(facts, &format!("{root}.who"), "who can supply it", who, vec![], vec![]);
}

fn words(items: &[MissingItem]) -> String {
    let items: Vec<&str> = items.iter().map(|i| i.what.as_str()).collect();
    items.join("; ")
}

fn plan_facts(facts: &mut Facts, case: &Case, plan: &Planned) {
    let records = match case.plans.last().and_then(|p| p.choice.first()) {
        Some(choice) => vec![record("plan / choice", &choice.place)],
        None => vec![record("plans", &case.place)],
    };
    let inputs = vec![FactId::new("plan.choice")];
    let (word, hours) = match plan {
        Planned::Span(low, high) => {
            let unsure = || Missing::NotRecorded {
                item: "hours a day of the brace".into(),
                who: "the prescriber".into(),
            };
            let hours = match (low == high, high.hours()) {
                (true, Some(hours)) => Value::Number(hours),
                (false, Some(_)) => Value::Missing(unsure()),
                _ => Value::Missing(Missing::NotApplicable("the plan is no rigid brace".into())),
            };
            (Value::Word(high.kind().word()), hours)
        }
        Planned::NotRecorded => {
            let missing =
                || Missing::NotRecorded { item: "plan".into(), who: "the clinician".into() };
            (Value::Missing(missing()), Value::Missing(missing()))
        }
        Planned::NoStep => {
            let missing = || Missing::NotApplicable("the plan names no step of care".into());
            (Value::Missing(missing()), Value::Missing(missing()))
        }
    };
    let label = "the plan's strongest step";
    put(facts, "protocol.plan", label, word, records, inputs.clone());
    put(facts, "protocol.plan_hours", "the plan's hours a day", hours, vec![], inputs);
}

/// `yes`, `no`, `cannot tell` or `not covered`.
fn within(facts: &mut Facts, range: &Range, plan: &Planned) {
    let word = match (range, plan) {
        (Range::NotCovered, _) | (_, Planned::NoStep) => "not covered",
        (Range::From(least, most), Planned::Span(low, high)) => compare(*least, *most, *low, *high),
        _ => "cannot tell",
    };
    let inputs = ["protocol.range.least", "protocol.range.most", "protocol.plan"];
    put(
        facts,
        "protocol.within",
        "whether the plan lies in the range",
        Value::Word(word),
        vec![],
        inputs.iter().map(FactId::new).collect(),
    );
    let side = match (range, plan) {
        (Range::From(least, _), Planned::Span(_, high)) if high.compare(*least).is_lt() => "less",
        (Range::From(_, most), Planned::Span(low, _)) if low.compare(*most).is_gt() => "more",
        _ => "neither",
    };
    let label = "whether the plan is less or more than the range";
    let inputs = vec![FactId::new("protocol.within")];
    put(facts, "protocol.side", label, Value::Word(side), vec![], inputs);
}

fn compare(least: Step, most: Step, low: Step, high: Step) -> &'static str {
    let (under, over) = (high.compare(least).is_lt(), low.compare(most).is_gt());
    let inside = !low.compare(least).is_lt() && !high.compare(most).is_gt();
    match (under || over, inside) {
        (true, _) => "no",
        (false, true) => "yes",
        (false, false) => "cannot tell",
    }
}

/// Whether the plan's reason is recorded, where it is asked for.
fn reason(facts: &mut Facts, case: &Case) {
    let outside = facts.get("protocol.within").and_then(|f| f.word()) == Some("no");
    let because = case.plans.last().and_then(|p| p.because.as_ref());
    let word = match (outside, because) {
        (false, _) => "not needed",
        (true, Some(_)) => "recorded",
        (true, None) => "not recorded",
    };
    let records = because.map(|b| record("plan / because", &b.place)).into_iter().collect();
    let label = "whether the reason to leave the range is recorded";
    let inputs = vec![FactId::new("protocol.within")];
    put(facts, "protocol.reason", label, Value::Word(word), records, inputs);
}

fn follow_up(facts: &mut Facts, judged: &Judged) {
    for f in &judged.follow_up {
        let id = format!("protocol.follow_up.rows.{}.verdict", f.row.id.value);
        let label = format!("whether the interval {} holds", f.row.id.value);
        let place = (format!("protocol / interval {}", f.row.id.value), &f.row.place);
        verdict(facts, &id, &label, &f.outcome, &f.row.basis, place);
    }
    let found = judged.interval();
    let missing = match &found {
        Ok(_) => Missing::NotApplicable("the protocol names no interval for this case".into()),
        Err(items) => Missing::CannotTell(words(items)),
    };
    let row = found.ok().flatten();
    let inputs: Vec<FactId> = row
        .map(|f| FactId::new(format!("protocol.follow_up.rows.{}.verdict", f.row.id.value)))
        .into_iter()
        .collect();
    let months = row.map(|f| f.row.months);
    let films = row.and_then(|f| f.row.film_months);
    let no_films = match row {
        Some(_) => Missing::NotApplicable("the interval says nothing of films".into()),
        None => missing.clone(),
    };
    let visit = Interval { item: "months", due: "due", since: "exam.on", what: "visit" };
    visit.write(facts, months.ok_or(missing), &inputs);
    let film =
        Interval { item: "film_months", due: "film_due", since: "major.now.taken", what: "film" };
    film.write(facts, films.ok_or(no_films), &inputs);
}

/// A number of months and the day it leads to.
struct Interval {
    item: &'static str,
    due: &'static str,
    since: &'static str,
    what: &'static str,
}

impl Interval {
    fn write(&self, facts: &mut Facts, months: Result<Reported, Missing>, inputs: &[FactId]) {
        let root = "protocol.follow_up";
        let from = facts.get(self.since).map(|f| f.value.clone());
        let value = months.clone().map_or_else(Value::Missing, Value::Number);
        let label = format!("months to the next {}", self.what);
        put(facts, &format!("{root}.{}", self.item), &label, value, vec![], inputs.to_vec());
        let due = months.and_then(|months| match from {
            Some(Value::Date(PartialDate::Day(day))) => later(day, months)
                .ok_or_else(|| Missing::CannotTell("the day lies outside the calendar".into())),
            _ => Err(Missing::CannotTell(format!("no {} is recorded to count from", self.what))),
        });
        let due = due.map_or_else(Value::Missing, |day| Value::Date(PartialDate::Day(day)));
        let label = format!("day on which the next {} is due", self.what);
        let inputs = vec![FactId::new(format!("{root}.{}", self.item)), FactId::new(self.since)];
        put(facts, &format!("{root}.{}", self.due), &label, due, vec![], inputs);
    }
}

fn later(day: NaiveDate, months: Reported) -> Option<NaiveDate> {
    debug_assert_eq!(months.unit(), Unit::Month);
    day.checked_add_months(Months::new(months.value() as u32))
}
