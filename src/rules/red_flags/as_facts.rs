//! What the red flags say, as facts: `red_flags.*`.

use crate::case::{Case, Clinic, FlagAnswer};
use crate::facts::{FactId, Facts, Missing, Value};
use crate::quantity::{PartialDate, Reported, Unit};

use super::super::as_facts::{put, record};
use super::super::payer::told::quote;
use super::super::protocol::{missing_item, verdict};
use super::super::verdict::Verdict;
use super::evaluate::{Counts, FlagVerdict};
use super::{Edition, RedFlags, Weight};

/// Writes every flag of the edition in force, what counts, and the answers.
/// `case` is as known on the facts' day.
pub fn write(facts: &mut Facts, case: &Case, clinic: &Clinic, set: &RedFlags, edition: &Edition) {
    let judged = super::evaluate(edition, facts);
    let name = Value::Text(set.name.value.clone());
    put(facts, "red_flags.name", "set of red flags", name, vec![], vec![]);
    let at = vec![record("red flags / edition", &edition.edition.place)];
    let dated = Value::Date(edition.edition.value);
    put(facts, "red_flags.edition", "edition of the red flags", dated, at, vec![]);
    judged.iter().for_each(|f| one(facts, f, case, clinic));
    counting(facts, &judged, case, clinic);
    summary(facts, &judged, case);
}

/// Writes that no edition is in force, and nothing else.
pub fn write_absent(facts: &mut Facts, why: &str) {
    let value = Value::Missing(Missing::NotApplicable(why.into()));
    put(facts, "red_flags.name", "set of red flags", value, vec![], vec![]);
    for item in ["any", "unanswered"] {
        let word = Value::Word(if item == "any" { "cannot tell" } else { "no" });
        put(facts, &format!("red_flags.{item}"), "whether a red flag counts", word, vec![], vec![]);
    }
}

fn one(facts: &mut Facts, judged: &FlagVerdict, case: &Case, clinic: &Clinic) {
    let flag = judged.flag;
    let root = format!("red_flags.{}", flag.id.value);
    let label = format!("whether the red flag holds: {}", flag.says.value);
    let place = (format!("red flags / {}", flag.id.value), &flag.place);
    verdict(facts, &format!("{root}.verdict"), &label, &judged.outcome, &flag.basis, place);
    let from = || vec![FactId::new(format!("{root}.verdict"))];
    let weight = Value::Word(flag.weight.word());
    put(facts, &format!("{root}.weight"), "how much it weighs", weight, vec![], from());
    let counts = Value::Word(judged.counts.word());
    put(facts, &format!("{root}.counts"), "whether it asks for an answer", counts, vec![], from());
    let says = Value::Text(flag.says.value.clone());
    put(facts, &format!("{root}.why"), "what the red flag says", says, vec![], from());
    answered(facts, judged, case, clinic, &root);
    for (n, item) in judged.outcome.missing().iter().enumerate() {
        missing_item(facts, &format!("{root}.missing.m{}", n + 1), item);
    }
    if judged.outcome.verdict != Verdict::Met {
        return;
    }
    let source = Value::Text(flag.basis.words());
    put(facts, &format!("{root}.source"), "source of the red flag", source, vec![], from());
    let grade = Value::Word(flag.basis.standing.word());
    put(facts, &format!("{root}.grade"), "how well it is founded", grade, vec![], from());
}

/// The latest answer that covers the flag: not before the day since when its
/// finding is there.
pub(super) fn answer<'c>(
    facts: &Facts,
    judged: &FlagVerdict,
    case: &'c Case,
) -> Option<&'c FlagAnswer> {
    let flag = judged.flag;
    let since = flag.since.as_ref().and_then(|id| facts.get(id.as_str()));
    let since = since.and_then(|f| match f.value {
        Value::Date(date) => Some(date.first_day()),
        _ => None,
    });
    let covers = |a: &&FlagAnswer| since.is_none_or(|day| a.on.value >= day);
    let names = |a: &&FlagAnswer| a.flags.iter().any(|f| f.value == flag.id.value);
    case.answers.iter().filter(names).filter(covers).max_by_key(|a| a.on.value)
}

fn answered(facts: &mut Facts, judged: &FlagVerdict, case: &Case, clinic: &Clinic, root: &str) {
    let found = answer(facts, judged, case);
    let word = match (found, judged.counts) {
        (Some(_), _) => "yes",
        (None, Counts::Yes) => "no",
        (None, _) => "not needed",
    };
    let records = found.map(|a| record(format!("answer {}", a.on.value), &a.place));
    put(
        facts,
        &format!("{root}.answered"),
        "whether the red flag is answered",
        Value::Word(word),
        records.into_iter().collect(),
        vec![FactId::new(format!("{root}.counts"))],
    );
    if let Some(found) = found {
        decision(facts, &format!("{root}.answer"), found, clinic);
    }
}

/// Who decided what, when and why.
fn decision(facts: &mut Facts, root: &str, answer: &FlagAnswer, clinic: &Clinic) {
    let by = clinic.person(&answer.by.value).map_or(&answer.by.value, |p| &p.name.value);
    let because = answer.because.as_ref().map_or_else(
        || {
            let (item, who) = ("reason of the answer".into(), by.clone());
            Value::Missing(Missing::NotRecorded { item, who })
        },
        |text| Value::Text(text.value.clone()),
    );
    for (item, label, value) in [
        ("on", "day of the answer", Value::Date(PartialDate::Day(answer.on.value))),
        ("by", "who answered", Value::Text(by.clone())),
        ("what", "what was decided", Value::Word(answer.what.word())),
        ("because", "reason of the answer", because),
    ] {
        let at = vec![record(format!("answer {}", answer.on.value), &answer.place)];
        put(facts, &format!("{root}.{item}"), label, value, at, vec![]);
    }
}

/// The flags that count, for letters: `red_flags.says.s<n>` in words,
/// `red_flags.met.m<n>` with the evidence, `red_flags.decided.d<n>` the
/// decisions that answer them, each once.
fn counting(facts: &mut Facts, judged: &[FlagVerdict], case: &Case, clinic: &Clinic) {
    let counting: Vec<&FlagVerdict> = judged.iter().filter(|f| f.counts == Counts::Yes).collect();
    let mut decisions: Vec<&FlagAnswer> = Vec::new();
    for (n, met) in counting.iter().enumerate() {
        let id = &met.flag.id.value;
        let from = || vec![FactId::new(format!("red_flags.{id}.verdict"))];
        let says = || Value::Text(met.flag.says.value.clone());
        let label = "what the red flag says";
        put(facts, &format!("red_flags.says.s{}", n + 1), label, says(), vec![], from());
        let root = format!("red_flags.met.m{}", n + 1);
        put(facts, &format!("{root}.why"), label, says(), vec![], from());
        let found = answer(facts, met, case);
        let word = Value::Word(if found.is_some() { "yes" } else { "no" });
        put(facts, &format!("{root}.answered"), "whether it is answered", word, vec![], from());
        decisions.extend(found.filter(|a| !decisions.iter().any(|d| d.place == a.place)));
        evidence(facts, &root, met);
    }
    for (n, found) in decisions.iter().enumerate() {
        decision(facts, &format!("red_flags.decided.d{}", n + 1), found, clinic);
    }
}

/// What the flag's verdict rests on, each fact once.
fn evidence(facts: &mut Facts, root: &str, met: &FlagVerdict) {
    let mut told: Vec<FactId> = Vec::new();
    for leaf in met.outcome.evidence.iter().filter(|e| e.decides && e.value.is_some()) {
        if !told.contains(&leaf.fact) {
            told.push(leaf.fact.clone());
            quote(facts, &format!("{root}.evidence.e{}", told.len()), &leaf.fact);
        }
    }
}

fn summary(facts: &mut Facts, judged: &[FlagVerdict], case: &Case) {
    let ids = |keep: &dyn Fn(&FlagVerdict) -> bool| -> Vec<FactId> {
        let kept = judged.iter().filter(|f| keep(f));
        kept.map(|f| FactId::new(format!("red_flags.{}.verdict", f.flag.id.value))).collect()
    };
    let any = judged.iter().map(|f| f.counts).max().unwrap_or(Counts::No);
    let label = "whether any red flag asks for an answer";
    put(facts, "red_flags.any", label, Value::Word(any.word()), vec![], ids(&|f| f.counts == any));
    let open = judged.iter().any(|f| f.counts == Counts::Yes && answer(facts, f, case).is_none());
    let word = Value::Word(if open { "yes" } else { "no" });
    let inputs = ids(&|f| f.counts == Counts::Yes);
    let label = "whether a red flag waits for an answer";
    put(facts, "red_flags.unanswered", label, word, vec![], inputs);
    let adds =
        |f: &FlagVerdict| f.flag.weight == Weight::AddsWeight && f.outcome.verdict == Verdict::Met;
    let count = judged.iter().filter(|f| adds(f)).count() as i64;
    let count = Value::Number(Reported::whole(count, Unit::One));
    put(
        facts,
        "red_flags.adding",
        "how many flags that add weight hold",
        count,
        vec![],
        ids(&adds),
    );
    let letter = judged.iter().find(|f| f.counts == Counts::Yes).map(|f| f.flag.letter.word());
    let letter = letter.map_or_else(
        || Value::Missing(Missing::NotApplicable("no red flag counts".into())),
        Value::Word,
    );
    put(
        facts,
        "red_flags.letter",
        "the letter that is proposed",
        letter,
        vec![],
        inputs_of(judged),
    );
}

fn inputs_of(judged: &[FlagVerdict]) -> Vec<FactId> {
    let counting = judged.iter().filter(|f| f.counts == Counts::Yes);
    counting.map(|f| FactId::new(format!("red_flags.{}.verdict", f.flag.id.value))).collect()
}
