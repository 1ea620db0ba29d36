//! From checked records to the typed case: no checking left, only shape.
//!
//! Whatever was faulty was reported before and is absent here. A record that
//! lacks something it needs is dropped, and its id is kept in
//! [`Case::unread`], so that later checks do not complain about references
//! to it.

mod ask;
mod clinic;
mod films;
mod follow;
mod order;
mod people;
mod take;

pub(super) use clinic::clinic;
pub(super) use films::Load;
pub(super) use people::column;

use std::sync::Arc;

use super::model::Case;
use super::node::Node;
use super::shape::Rec;

/// The case, if its essential records could be read.
pub(super) fn case(mut rec: Rec, tree: Arc<Node>, load: &mut Load) -> Option<Case> {
    let mut unread = Vec::new();
    let case = Case {
        place: rec.place.clone(),
        record_no: rec.text("record_no"),
        background: rec.record("background").map(people::background).unwrap_or_default(),
        referral: rec.record("referral").and_then(people::referral),
        contacts: rec.records("contacts", &mut unread, people::contact),
        coverage: rec.record("coverage").and_then(people::coverage),
        films: rec.records("films", &mut unread, |r| films::film(r, load)),
        exams: rec.records("exams", &mut unread, follow::exam),
        treatments: rec.records("treatments", &mut unread, |r| follow::treatment(r, load)),
        plans: rec.records("plans", &mut unread, follow::plan),
        school: rec.records("school", &mut unread, follow::school),
        answers: rec.records("answers", &mut unread, follow::answer),
        requests: rec.records("requests", &mut unread, ask::request),
        gaps: rec.records("gaps", &mut unread, ask::gap),
        letters: rec.records("letters", &mut unread, ask::letter),
        corrections: rec.records("corrections", &mut unread, follow::correction),
        patient: rec.record("patient").and_then(people::patient)?,
        diagnosis: rec.record("diagnosis").and_then(people::diagnosis)?,
        id: rec.text("case")?,
        unread,
        tree,
    };
    rec.done();
    Some(case)
}
