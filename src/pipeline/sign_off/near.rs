//! What the signer of a letter should look at first, beside its warnings:
//! verdicts that one step of a value would turn, red flags without an answer, a
//! plan outside the care protocol without a reason.

use crate::facts::{Facts, Value};
use crate::pipeline::letter::Written;
use crate::quantity::Reported;
use crate::rules::payer::CriterionVerdict;
use crate::rules::{Op, Test};

/// The spans whose verdicts letters tell.
const SPANS: [&str; 3] = ["since_previous", "since_first", "since_treatment"];

/// Changes that the letter judges and whose verdict one step would turn or
/// rounding decides.
pub fn changes(written: &Written) -> Vec<String> {
    let facts = &written.derived.facts;
    let asked = |span: &str| {
        let ending = format!(".{span}.verdict");
        written.read.iter().any(|id| id.as_str().ends_with(&ending))
    };
    let spans: Vec<&str> = SPANS.into_iter().filter(|span| asked(span)).collect();
    let curves = facts.children("curves");
    let pairs = curves.iter().flat_map(|c| spans.iter().map(move |s| format!("curves.{c}.{s}")));
    let mut told = Vec::new();
    for text in pairs.filter_map(|root| change(facts, &root)) {
        // Two spans may be of the same two films.
        if !told.contains(&text) {
            told.push(text);
        }
    }
    told
}

fn change(facts: &Facts, root: &str) -> Option<String> {
    let number = |item: &str| facts.get(&format!("{root}.{item}"))?.number();
    let (amount, limit) = (number("amount")?, number("limit")?);
    let word = |item: &str| facts.get(&format!("{root}.{item}")).and_then(|f| f.word());
    let verdict = word("verdict")?;
    let of = root.split('.').nth(1)?.replace('_', " ");
    let from = facts.get(&format!("{root}.from_taken"))?.value.said();
    let (size, bound) = (amount.abs().said(), limit.said());
    let what = format!(
        "{of} curve since the film of {from}: {verdict}, at a change of {size}; the limit is {bound}"
    );
    match word("near_limit") {
        Some("yes") => Some(format!("{what}, rounding decides")),
        _ => turns(amount.abs(), limit, Op::AtLeast).map(|step| format!("{what}, {step}")),
    }
}

/// Whether one step of a value's last digit would turn the answer, in words.
fn turns(value: Reported, bound: Reported, op: Op) -> Option<String> {
    let step = 10f64.powi(-i32::from(value.decimals()));
    let moved = |by: f64| Reported::round(value.value() + by, value.decimals(), value.unit());
    let holds = |value: Reported| op.holds(value.compare(bound));
    let other = [step, -step].into_iter().any(|by| holds(moved(by)) != holds(value));
    let step = Reported::round(step, value.decimals(), value.unit());
    other.then(|| format!("{} would turn it", step.said()))
}

/// Criteria whose verdict one step of a value would turn, or rounding decides.
pub fn criteria(answers: &[CriterionVerdict]) -> Vec<String> {
    let mut told = Vec::new();
    for answer in answers {
        for e in answer.evidence.iter().filter(|e| e.decides) {
            let (Some(Value::Number(value)), Test::Number(op, bound)) = (&e.value, &e.test) else {
                continue;
            };
            let how = match e.flips {
                true => Some("rounding decides".to_string()),
                false => turns(*value, *bound, *op),
            };
            let (id, verdict, label) = (&answer.id, answer.verdict.word(), &e.label);
            let (value, bound) = (value.said(), bound.said());
            told.extend(how.map(|how| {
                format!("criterion {id}, {verdict}: {label} {value}, the bound is {bound}, {how}")
            }));
        }
    }
    told
}

/// Red flags that nobody answered, by what they say, and a plan outside the
/// care protocol for which no reason is recorded.
pub fn open(facts: &Facts, flags: &[String]) -> Vec<String> {
    let says = |id: &String| match facts.get(&format!("red_flags.{id}.why")).map(|f| &f.value) {
        Some(Value::Text(text)) => text.clone(),
        _ => id.clone(),
    };
    let mut told: Vec<String> =
        flags.iter().map(|id| format!("red flag without an answer: {}", says(id))).collect();
    let word = |id: &str| facts.get(id).and_then(|f| f.word());
    if word("protocol.within") == Some("no") && word("protocol.reason") != Some("recorded") {
        told.push("the plan is outside the care protocol and no reason is recorded".to_string());
    }
    told
}
