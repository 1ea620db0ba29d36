//! What is still to be done before letters to payers can go out.
//!
//! Over all cases, letter by letter: ready, missing something and who has it,
//! or not going to meet a criterion and by how much. The same facts, criteria
//! and required items as the letters themselves; nothing is written.

use serde_json::json;

use super::letter::Press;
use super::load::Loaded;
use crate::case::{Case, Clinic, Gap, LetterEntry, LetterKind, Request, RequestState};
use crate::facts::{Facts, Missing, Value};
use crate::quantity::Unit;
use crate::rules::payer::{CriterionVerdict, Shortfall};
use crate::rules::{MissingItem, Verdict};

/// Kinds of letter for which there is such a list.
pub const KINDS: [LetterKind; 2] = [LetterKind::Justification, LetterKind::Appeal];

/// How far a letter is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// It can go out, and every criterion is met.
    Ready,
    /// Something has to be supplied first.
    Missing,
    /// Nothing is missing, but a criterion is not met.
    WillNotMeet,
    /// It has gone out, or the payer has agreed.
    Settled,
    /// The case has errors, or the letter cannot be judged.
    Faulty,
}

impl Standing {
    /// The words in the list.
    pub fn words(self) -> &'static str {
        match self {
            Standing::Ready => "ready",
            Standing::Missing => "missing",
            Standing::WillNotMeet => "will not meet",
            Standing::Settled => "settled",
            Standing::Faulty => "faulty",
        }
    }
}

/// A criterion that is not met.
#[derive(Debug, Clone, PartialEq)]
pub struct Unmet {
    /// The payer's number for it.
    pub criterion: String,
    /// The criterion in the payer's words.
    pub worded: String,
    /// By how much, test by test; empty where there is no distance.
    pub by: Vec<Shortfall>,
}

/// One letter of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// The case.
    pub case: String,
    /// The letter; `None` where a request has none yet.
    pub letter: Option<String>,
    /// The request.
    pub request: Option<String>,
    /// Policy and edition whose criteria were asked.
    pub policy: Option<String>,
    /// How far it is.
    pub standing: Standing,
    /// What is missing, and who can supply it.
    pub missing: Vec<MissingItem>,
    /// What was asked for already: of whom, and by when.
    pub asked: Vec<String>,
    /// Criteria that are not met.
    pub unmet: Vec<Unmet>,
    /// Whether an exception is asked for.
    pub exception: bool,
}

impl Task {
    /// Whether nothing is left to do.
    pub fn done(&self) -> bool {
        matches!(self.standing, Standing::Ready | Standing::Settled)
    }

    /// The task as JSON.
    pub fn json(&self) -> serde_json::Value {
        let short = |s: &Shortfall| {
            json!({
                "fact": s.fact.as_str(), "what": s.label, "value": told(&s.value),
                "asked": s.asked.key(), "bound": told(&s.bound),
                "by": distance(s),
            })
        };
        let unmet = |u: &Unmet| {
            json!({
                "criterion": u.criterion, "worded": u.worded,
                "by": u.by.iter().map(short).collect::<Vec<_>>(),
            })
        };
        let missing = |m: &MissingItem| json!({ "what": m.what, "who": m.who });
        json!({
            "case": self.case, "letter": self.letter, "request": self.request,
            "policy": self.policy, "state": self.standing.words(),
            "missing": self.missing.iter().map(missing).collect::<Vec<_>>(),
            "asked": self.asked,
            "unmet": self.unmet.iter().map(unmet).collect::<Vec<_>>(),
            "exception": self.exception,
        })
    }
}

/// The list over all cases, in the order of the files.
pub fn worklist(press: &Press, loaded: &Loaded, clinic: &Clinic, kind: LetterKind) -> Vec<Task> {
    let mut tasks = Vec::new();
    for read in &loaded.cases {
        let Some(case) = &read.case else { continue };
        let sound = read.sound().is_some();
        for entry in case.letters.iter().filter(|l| *l.kind == kind) {
            tasks.push(match sound {
                true => judged(press, case, clinic, entry),
                false => Task { standing: Standing::Faulty, ..bare(case, Some(entry)) },
            });
        }
        if sound {
            tasks.extend(unwritten(case, kind));
        }
    }
    tasks
}

fn bare(case: &Case, entry: Option<&LetterEntry>) -> Task {
    Task {
        case: case.id.value.clone(),
        letter: entry.map(|e| e.id.value.clone()),
        request: entry.and_then(|e| e.request.as_ref()).map(|r| r.value.clone()),
        policy: None,
        standing: Standing::Missing,
        missing: Vec::new(),
        asked: Vec::new(),
        unmet: Vec::new(),
        exception: false,
    }
}

/// Requests that no letter of the kind supports although one is due.
fn unwritten(case: &Case, kind: LetterKind) -> Vec<Task> {
    let due = |r: &&Request| {
        let state = r.state.as_ref().map(|s| s.value);
        match kind {
            LetterKind::Appeal => state == Some(RequestState::Denied),
            _ => r.sent.is_none() && matches!(state, None | Some(RequestState::Draft)),
        }
    };
    let written = |r: &&Request| {
        let of = |l: &&LetterEntry| l.request.as_ref().is_some_and(|id| id.value == r.id.value);
        case.letters.iter().filter(|l| *l.kind == kind).any(|l| of(&l))
    };
    let task = |r: &Request| Task {
        request: Some(r.id.value.clone()),
        missing: vec![MissingItem {
            what: format!("a letter of kind {} that names this request", kind.word()),
            who: Some("the administrator".into()),
        }],
        ..bare(case, None)
    };
    case.requests.iter().filter(due).filter(|r| !written(r)).map(task).collect()
}

fn judged(press: &Press, case: &Case, clinic: &Clinic, entry: &LetterEntry) -> Task {
    let mut task = bare(case, Some(entry));
    let (derived, answers) = press.judge(case, clinic, entry.as_of.value, Some(entry));
    if derived.report.has_errors() {
        task.standing = Standing::Faulty;
        return task;
    }
    let text = |id: &str| derived.facts.get(id).map(|f| told(&f.value));
    task.policy = text("policy.name").zip(text("policy.edition")).map(|(p, e)| format!("{p}, {e}"));
    task.missing = press.lacking(entry.kind.word(), &derived.facts);
    for item in answers.iter().flat_map(|a| a.missing.iter().map(move |m| of_criterion(a, m))) {
        task.missing.push(item);
    }
    task.missing.extend(late(&derived.facts));
    task.unmet = answers.iter().filter(|a| a.verdict == Verdict::NotMet).map(unmet).collect();
    let request = task.request.as_deref();
    let request = case.requests.iter().find(|r| Some(r.id.as_str()) == request);
    task.exception = request.is_some_and(|r| r.exception.is_some());
    task.asked = case.gaps.iter().filter(|g| open(g, entry)).map(|g| asked(case, g)).collect();
    task.standing = match (request.is_some_and(|r| settled(r, *entry.kind)), &task) {
        (true, _) => Standing::Settled,
        (_, t) if !t.missing.is_empty() => Standing::Missing,
        (_, t) if !t.unmet.is_empty() => Standing::WillNotMeet,
        _ => Standing::Ready,
    };
    task
}

fn of_criterion(answer: &CriterionVerdict, item: &MissingItem) -> MissingItem {
    MissingItem { what: format!("{}: {}", answer.id, item.what), who: item.who.clone() }
}

fn unmet(answer: &CriterionVerdict) -> Unmet {
    Unmet { criterion: answer.id.clone(), worded: answer.worded.clone(), by: answer.short() }
}

/// An appeal whose last day is past.
fn late(facts: &Facts) -> Option<MissingItem> {
    let left = facts.get("request.denial.days_to_go")?.number()?;
    (left.sign() < 0).then(|| MissingItem {
        what: format!(
            "more time: the last day for an answer was {} days before the letter",
            left.abs().digits()
        ),
        who: Some("the payer".into()),
    })
}

/// Whether the letter has done its work already.
fn settled(request: &Request, kind: LetterKind) -> bool {
    let state = request.state.as_ref().map(|s| s.value);
    match kind {
        LetterKind::Appeal => request.appealed.is_some() || state == Some(RequestState::Approved),
        _ => request.sent.is_some() || state == Some(RequestState::Approved),
    }
}

/// A gap of this letter or its request that nobody has filled by its day.
fn open(gap: &Gap, entry: &LetterEntry) -> bool {
    let of_request = entry.request.as_ref().is_some_and(|r| r.value == gap.purpose.value);
    let day = entry.as_of.value;
    let filled = gap.received.as_ref().is_some_and(|on| on.value <= day);
    (of_request || gap.purpose.value == entry.id.value) && gap.asked.value <= day && !filled
}

fn asked(case: &Case, gap: &Gap) -> String {
    let holder = case.contacts.iter().find(|c| c.id.value == gap.from.value);
    let holder = holder.map_or(&gap.from.value, |c| &c.name.value);
    let items: Vec<&str> = gap.items.iter().map(|i| i.value.as_str()).collect();
    format!("{} (asked of {holder}, needed by {})", items.join("; "), gap.by.value)
}

/// How far a value is from its bound, in words.
pub fn distance(s: &Shortfall) -> String {
    match s.by.unit() {
        Unit::Percent => format!("{} percentage points", s.by.digits()),
        _ => told(&Value::Number(s.by)),
    }
}

/// A value in plain words, for lists.
pub fn told(value: &Value) -> String {
    match value {
        Value::Number(n) => {
            let unit = n.unit().spellings().first().copied().unwrap_or_default();
            format!("{} {unit}", n.digits()).trim_end().to_string()
        }
        Value::Date(date) => date.to_string(),
        Value::Age(age) => format!("{} years {} months", age.years, age.months),
        Value::Word(word) => (*word).to_string(),
        Value::Text(text) => text.clone(),
        Value::Level(level) => level.to_string(),
        Value::Levels(upper, lower) => format!("{upper} to {lower}"),
        Value::Apex(apex) => apex.to_string(),
        Value::Side(crate::spine::Side::Left) => "left".to_string(),
        Value::Side(crate::spine::Side::Right) => "right".to_string(),
        Value::Missing(missing) => Missing::reason(missing),
    }
}
