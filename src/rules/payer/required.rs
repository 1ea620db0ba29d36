//! What a letter to a payer cannot do without, and who can supply it.
//!
//! One list for building the letter and for the list of what is still to be
//! done, so that the two never differ.

use crate::case::LetterKind;
use crate::facts::{Facts, Missing};

use super::super::evaluate::MissingItem;

/// An item that must be known.
type Item = (&'static str, fn(&Facts) -> bool);

fn always(_: &Facts) -> bool {
    true
}

fn replaces(facts: &Facts) -> bool {
    word(facts, "replaced.state").is_some_and(|w| w != "none")
}

/// Neither a reading of the sensor nor what the family tells: only then is
/// wear missing.
fn nobody_told_wear(facts: &Facts) -> bool {
    replaces(facts) && !known(facts, "replaced.wear.reported")
}

fn growing(facts: &Facts) -> bool {
    word(facts, "patient.stage").is_some_and(|w| w != "adult")
}

fn without_hand_film(facts: &Facts) -> bool {
    growing(facts) && !known(facts, "maturity.hand_stage.value")
}

/// What every request needs.
const REQUEST: &[Item] = &[
    ("coverage.member", always),
    ("request.kind", always),
    ("request.item", always),
    ("request.units", always),
    ("request.codes.c1", always),
    ("request.review", always),
    ("request.ordered", always),
    ("request.seen", always),
    ("request.orderer.name", always),
    ("request.orderer.number", always),
    ("request.orderer.phone", always),
    ("request.supplier.name", always),
    ("request.supplier.number", always),
    ("request.supplier.phone", always),
    ("request.peer.phone", always),
    ("request.signer.licence", always),
    ("diagnosis.name", always),
    ("request.recent_film", always),
    ("major.now.cobb", always),
    ("maturity.risser.grade", without_hand_film),
    ("growth.height", growing),
    ("request.hours", always),
    ("request.months", always),
    ("request.goal", always),
    ("request.stop_rule", always),
    ("request.alternatives", always),
    ("request.if_not", always),
    ("enclosures.count", always),
    ("enclosures.pages", always),
];

/// What the replacement of a brace or cast needs.
const REPLACEMENT: &[Item] = &[
    ("replaced.started", replaces),
    ("replaced.in_brace.first.correction", replaces),
    ("replaced.in_brace.latest.correction", replaces),
    ("replaced.wear.mean", nobody_told_wear),
    ("replaced.growth.amount", replaces),
    ("request.replaces_because", replaces),
];

/// What an appeal needs beside.
const APPEAL: &[Item] = &[
    ("request.denial.on", always),
    ("request.denial.level", always),
    ("request.denial.answer_by", always),
    ("request.denial.reasons.r1.words", always),
    ("request.authority.from", always),
    ("request.authority.how", always),
    ("request.reference", always),
];

/// Everything missing that a letter of this kind needs, in the letter's order;
/// empty for kinds that go to no payer.
pub fn required(kind: LetterKind, facts: &Facts) -> Vec<MissingItem> {
    let lists: &[&[Item]] = match kind {
        LetterKind::Justification => &[REQUEST, REPLACEMENT],
        LetterKind::Appeal => &[APPEAL, REQUEST, REPLACEMENT],
        _ => return Vec::new(),
    };
    let mut missing: Vec<MissingItem> = Vec::new();
    let asked = lists.iter().copied().flatten().filter(|(_, when)| when(facts));
    for item in asked.filter_map(|(id, _)| lacking(facts, id)) {
        push(&mut missing, item);
    }
    if kind == LetterKind::Appeal {
        unanswered(facts).into_iter().for_each(|item| push(&mut missing, item));
    }
    missing
}

fn push(list: &mut Vec<MissingItem>, item: MissingItem) {
    if !list.contains(&item) {
        list.push(item);
    }
}

/// Reasons without answer that no criterion of the policy answers.
fn unanswered(facts: &Facts) -> Vec<MissingItem> {
    let root = "request.denial.reasons";
    let open = facts.children(root).into_iter().filter(|r| {
        !known(facts, &format!("{root}.{r}.answer"))
            && word(facts, &format!("{root}.{r}.in_policy")) != Some("yes")
    });
    open.map(|r| MissingItem {
        what: format!("answer to reason {} of the denial: not recorded", &r[1..]),
        who: Some("the clinician".into()),
    })
    .collect()
}

fn known(facts: &Facts, id: &str) -> bool {
    facts.get(id).is_some_and(|f| f.missing().is_none())
}

fn word(facts: &Facts, id: &str) -> Option<&'static str> {
    facts.get(id)?.word()
}

/// What to say of a fact without value, or of one that was never derived.
fn lacking(facts: &Facts, id: &str) -> Option<MissingItem> {
    let Some(fact) = facts.get(id) else {
        let (what, who) = match id {
            "request.codes.c1" => ("item code as the clinician records it", "the clinician"),
            "enclosures.count" | "enclosures.pages" => {
                ("list of what is enclosed, with pages", "the administrator")
            }
            "request.denial.reasons.r1.words" => {
                ("reasons of the denial in the payer’s words", "the payer, on request")
            }
            _ => return None,
        };
        return Some(MissingItem { what: format!("{what}: not recorded"), who: Some(who.into()) });
    };
    let missing = fact.missing()?;
    Some(match missing {
        Missing::NotRecorded { item, who } => {
            MissingItem { what: format!("{item}: not recorded"), who: Some(who.clone()) }
        }
        other => MissingItem {
            what: format!("{}: {}", fact.label, other.reason()),
            who: Some("the clinic".into()),
        },
    })
}
