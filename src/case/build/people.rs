//! Patient, background, contacts, coverage, diagnosis.

use crate::case::model::{
    Background, Cause, Contact, Coverage, Deformity, Diagnosis, DueTo, LetterKind, Menarche,
    Patient, Pronouns, Referral, Relative, Role, Sex, Withheld,
};
use crate::case::shape::Rec;
use crate::diag::Located;
use crate::spine::Column;

pub(super) fn patient(mut rec: Rec) -> Option<Patient> {
    let patient = Patient {
        place: rec.place.clone(),
        called: rec.text("called"),
        pronouns: rec.word("pronouns", Pronouns::from_word),
        column: rec.record("vertebrae").map(column).unwrap_or_default(),
        name: rec.text("name")?,
        born: rec.day("born")?,
        sex: rec.word("sex", Sex::from_word)?,
    };
    rec.done();
    Some(patient)
}

/// The declared counts; what is not declared is as usual.
pub(in crate::case) fn column(mut rec: Rec) -> Column {
    let usual = Column::default();
    let mut count = |key, usual| rec.whole(key).map_or(usual, |n| n.value as u8);
    let thoracic = count("thoracic", usual.thoracic());
    let lumbar = count("lumbar", usual.lumbar());
    rec.done();
    Column::new(thoracic, lumbar).unwrap_or_default()
}

pub(super) fn background(mut rec: Rec) -> Background {
    let background = Background {
        family_history: rec.records_if_given("family_history", &mut Vec::new(), relative),
        menarche: rec.record("menarche").map(menarche),
        allergies: rec.text("allergies"),
        implants: rec.text("implants"),
        conditions: rec.texts("conditions"),
    };
    rec.done();
    background
}

fn relative(mut rec: Rec) -> Option<Relative> {
    let relative = Relative { who: rec.text("who")?, what: rec.text("what")? };
    rec.done();
    Some(relative)
}

fn menarche(mut rec: Rec) -> Menarche {
    let menarche = Menarche { on: rec.date("on"), not_yet: rec.day("not_yet") };
    rec.done();
    menarche
}

pub(super) fn referral(mut rec: Rec) -> Option<Referral> {
    let referral = Referral { from: rec.text("from"), why: rec.text("why"), on: rec.day("on")? };
    rec.done();
    Some(referral)
}

pub(super) fn contact(mut rec: Rec) -> Option<Contact> {
    let contact = Contact {
        place: rec.place.clone(),
        greeting: rec.text("greeting"),
        organisation: rec.text("organisation"),
        address: rec.texts("address"),
        phone: rec.text("phone"),
        provider_no: rec.text("provider_no"),
        may_receive: rec.words("may_receive", LetterKind::from_word),
        language: rec.text("language"),
        withheld: rec.record("withheld").and_then(withheld),
        id: rec.text("id")?,
        role: rec.word("role", Role::from_word)?,
        name: rec.text("name")?,
    };
    rec.done();
    Some(contact)
}

fn withheld(mut rec: Rec) -> Option<Withheld> {
    let withheld = Withheld { since: rec.day("since")?, why: rec.text("why")? };
    rec.done();
    Some(withheld)
}

pub(super) fn coverage(mut rec: Rec) -> Option<Coverage> {
    let coverage = Coverage {
        place: rec.place.clone(),
        member: rec.text("member"),
        plan: rec.text("plan"),
        group: rec.text("group"),
        payer: rec.text("payer")?,
    };
    rec.done();
    Some(coverage)
}

pub(super) fn diagnosis(mut rec: Rec) -> Option<Diagnosis> {
    let unsaid = Located::new(Deformity::Scoliosis, rec.place.clone());
    let diagnosis = Diagnosis {
        place: rec.place.clone(),
        deformity: rec.word("deformity", Deformity::from_word).unwrap_or(unsaid),
        found: rec.date("found"),
        underlying: rec.text("underlying"),
        due_to: rec.word("due_to", DueTo::from_word),
        code: rec.text("code"),
        codes_first: rec.texts("codes_first"),
        codes_after: rec.texts("codes_after"),
        cause: rec.word("cause", Cause::from_word)?,
    };
    rec.done();
    Some(diagnosis)
}
