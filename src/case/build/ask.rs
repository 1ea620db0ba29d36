//! Requests, gaps, letters: what is asked of others, and what is sent.

use crate::case::Opt;
use crate::case::model::{
    Authorised, Authority, Denial, DenialLevel, DenialReason, Enclosure, Gap, LetterEntry,
    LetterKind, Made, PeerToPeer, Request, RequestKind, RequestState, RiskFigure, Urgency,
};
use crate::case::shape::Rec;

fn count(rec: &mut Rec, key: &str) -> Opt<u32> {
    // The table holds the number to a small range above zero.
    rec.whole(key).map(|n| n.map(|n| n as u32))
}

pub(super) fn request(mut rec: Rec) -> Option<Request> {
    let request = Request {
        place: rec.place.clone(),
        kind: rec.word("kind", RequestKind::from_word),
        units: count(&mut rec, "units"),
        replaces: rec.text("replaces"),
        replaces_because: rec.text("replaces_because"),
        ordered: rec.day("ordered"),
        ordered_by: rec.text("ordered_by"),
        supplier: rec.text("supplier"),
        seen: rec.day("seen"),
        sent: rec.day("sent"),
        state: rec.word("state", RequestState::from_word),
        reference: rec.text("reference"),
        codes: rec.texts("codes"),
        made: rec.word("made", Made::from_word),
        item_text: rec.text("item_text"),
        hours: rec.per_day("hours"),
        months: count(&mut rec, "months"),
        goal: rec.text("goal"),
        stop_rule: rec.text("stop_rule"),
        alternatives: rec.text("alternatives"),
        if_not: rec.text("if_not"),
        expedited: rec.flag("expedited"),
        exception: rec.text("exception"),
        peer_to_peer: rec.record("peer_to_peer").and_then(peer),
        authorised: rec.record("authorised").and_then(authorised),
        denial: rec.record("denial").and_then(denial),
        authority: rec.record("authority").and_then(authority),
        appealed: rec.day("appealed"),
        statements: rec.named_texts("statements"),
        id: rec.text("id")?,
        to: rec.text("to")?,
        item: rec.text("item")?,
    };
    rec.done();
    Some(request)
}

fn peer(mut rec: Rec) -> Option<PeerToPeer> {
    let peer = PeerToPeer { when: rec.text("when"), who: rec.text("who")? };
    rec.done();
    Some(peer)
}

fn authorised(mut rec: Rec) -> Option<Authorised> {
    let authorised = Authorised {
        on: rec.day("on"),
        reference: rec.text("reference"),
        from: rec.day("from")?,
        to: rec.day("to")?,
    };
    rec.done();
    Some(authorised)
}

fn denial(mut rec: Rec) -> Option<Denial> {
    let denial = Denial {
        place: rec.place.clone(),
        level: rec.word("level", DenialLevel::from_word),
        answer_by: rec.day("answer_by"),
        reasons: rec.records("reasons", &mut Vec::new(), reason),
        on: rec.day("on")?,
    };
    rec.done();
    Some(denial)
}

fn reason(mut rec: Rec) -> Option<DenialReason> {
    let reason = DenialReason {
        place: rec.place.clone(),
        criterion: rec.text("criterion"),
        answer: rec.text("answer"),
        text: rec.text("text")?,
    };
    rec.done();
    Some(reason)
}

fn authority(mut rec: Rec) -> Option<Authority> {
    let authority = Authority { how: rec.text("how"), from: rec.text("from")?, on: rec.day("on")? };
    rec.done();
    Some(authority)
}

pub(super) fn gap(mut rec: Rec) -> Option<Gap> {
    let gap = Gap {
        place: rec.place.clone(),
        items: rec.texts("items"),
        how: rec.text("how"),
        consent: rec.text("consent"),
        items_in: rec.named_lists("items_in"),
        reminders: rec.days("reminders"),
        received: rec.day("received"),
        id: rec.text("id")?,
        from: rec.text("from")?,
        asked: rec.day("asked")?,
        purpose: rec.text("for")?,
        by: rec.day("by")?,
    };
    rec.done();
    Some(gap)
}

pub(super) fn letter(mut rec: Rec) -> Option<LetterEntry> {
    let letter = LetterEntry {
        place: rec.place.clone(),
        copies: rec.texts("copies"),
        dated: rec.day("dated"),
        question: rec.text("question"),
        urgency: rec.word("urgency", Urgency::from_word),
        request: rec.text("request"),
        gap: rec.text("gap"),
        about: rec.text("about"),
        enclosed: rec.texts("enclosed"),
        enclosures: rec.records("enclosures", &mut Vec::new(), enclosure),
        remarks: rec.text("remarks"),
        remarks_in: rec.named_texts("remarks_in"),
        risk: rec.words("risk", RiskFigure::from_word).unwrap_or_default(),
        signed: rec.day("signed"),
        adds_to: rec.text("adds_to"),
        follows: None,
        id: rec.text("id")?,
        kind: rec.word("kind", LetterKind::from_word)?,
        to: rec.text("to")?,
        as_of: rec.day("as_of")?,
        signed_by: rec.text("signed_by")?,
    };
    rec.done();
    Some(letter)
}

fn enclosure(mut rec: Rec) -> Option<Enclosure> {
    let enclosure = Enclosure {
        place: rec.place.clone(),
        film: rec.text("film"),
        file: rec.text("file"),
        digest: None,
        pages: count(&mut rec, "pages"),
        shows: rec.texts("shows"),
        what: rec.text("what")?,
    };
    rec.done();
    Some(enclosure)
}
