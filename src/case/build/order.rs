//! Orders to a maker, and changes asked for at a fitting.

use crate::case::model::WearWhen;
use crate::case::order::{Change, Face, Opening, Order, PadSide, Spot};
use crate::case::shape::Rec;

pub(super) fn order(mut rec: Rec) -> Order {
    let order = Order {
        place: rec.place.clone(),
        by: rec.text("by"),
        pads: rec.records("pads", &mut Vec::new(), spot),
        reliefs: rec.records("reliefs", &mut Vec::new(), spot),
        trim: rec.text("trim"),
        opening: rec.word("opening", Opening::from_word),
        closure: rec.text("closure"),
        material: rec.text("material"),
        lining: rec.text("lining"),
        shape: rec.text("shape"),
        hours: rec.per_day("hours"),
        when: rec.word("when", WearWhen::from_word),
        step_in: rec.text("step_in"),
        deliver_by: rec.date("deliver_by"),
        check_by: rec.date("check_by"),
        ring: rec.text("ring"),
    };
    rec.done();
    order
}

fn spot(mut rec: Rec) -> Option<Spot> {
    let spot = Spot {
        place: rec.place.clone(),
        to: rec.level("to"),
        face: rec.word("face", Face::from_word),
        level: rec.level("level")?,
        side: rec.word("side", PadSide::from_word)?,
        what: rec.text("what")?,
    };
    rec.done();
    Some(spot)
}

pub(super) fn change(mut rec: Rec) -> Option<Change> {
    let change = Change {
        place: rec.place.clone(),
        level: rec.level("level"),
        to: rec.level("to"),
        side: rec.word("side", PadSide::from_word),
        face: rec.word("face", Face::from_word),
        what_in: rec.named_texts("what_in"),
        what: rec.text("what")?,
    };
    rec.done();
    Some(change)
}
