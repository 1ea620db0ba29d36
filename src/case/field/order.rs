//! The keys of an order to a maker and of a change asked for at a fitting.

use super::{Amount, Field, Kind, LANGUAGES, Precision, Record, optional, record, required};
use crate::case::model::WearWhen;
use crate::case::order::{Face, Opening, PadSide};
use crate::quantity::Unit;

const PER_DAY: Kind =
    Kind::Quantity(Amount { unit: Unit::HourPerDay, also: &[Unit::Hour], low: 0.0, high: 24.0 });
const MONTH: Kind = Kind::Date(Precision::Month);
const PERSON_ID: Kind = Kind::Reference("person");

const TO: Field =
    optional("to", Kind::Level, "The lowest level, where it covers more than one.", "T10");
const FACE: Field =
    optional("face", Kind::Word(Face::WORDS), "The face of the trunk it lies on.", "back");

/// What was decided for the maker.
pub(super) static ORDER: Record = record(
    "order",
    "What was decided for the maker of a brace or cast.",
    &[
        optional("by", PERSON_ID, "Who decided, by id.", "hk"),
        optional(
            "pads",
            Kind::Records(&PAD),
            "Where it presses.",
            "[{level: T8, to: T9, side: right, face: back, what: \"thoracic pad, 12 mm\"}]",
        ),
        optional(
            "reliefs",
            Kind::Records(&RELIEF),
            "Where it gives room.",
            "[{level: T8, side: left, what: window opposite the thoracic pad}]",
        ),
        optional(
            "trim",
            Kind::LongText,
            "Upper and lower edges, as written.",
            "below the left armpit, above both hip joints",
        ),
        optional(
            "opening",
            Kind::Word(Opening::WORDS),
            "Where it is opened; the sides are the patient's.",
            "back",
        ),
        optional("closure", Kind::LongText, "How it is closed, as written.", "three straps"),
        optional(
            "material",
            Kind::LongText,
            "Of what it is made, as written.",
            "polyethylene, 4 mm",
        ),
        optional("lining", Kind::LongText, "What lies on the skin, as written.", "cotton vest"),
        optional(
            "shape",
            Kind::LongText,
            "How the shape of the trunk was or will be taken, as written.",
            "scan standing, on 20 January",
        ),
        optional("hours", PER_DAY, "Hours a day it is made for.", "20 h/day"),
        optional(
            "when",
            Kind::Word(WearWhen::WORDS),
            "When in the day it is made to be worn.",
            "full time",
        ),
        optional(
            "step_in",
            Kind::LongText,
            "How wearing begins, as written.",
            "two hours on the first day, two more each day",
        ),
        optional("deliver_by", MONTH, "When it is wanted.", "2025-02-10"),
        optional("check_by", MONTH, "When the first film in it is due.", "2025-03"),
        optional("ring", PERSON_ID, "Whom the maker rings with questions, by id.", "hk"),
    ],
);

static PAD: Record = record(
    "pad",
    "A place where a brace or cast presses.",
    &[
        required("level", Kind::Level, "The level, or the highest of several.", "T8"),
        TO,
        required("side", Kind::Word(PadSide::WORDS), "The patient's side.", "right"),
        FACE,
        required("what", Kind::LongText, "What it is, as written.", "thoracic pad 12 mm thick"),
    ],
);

static RELIEF: Record = record(
    "relief",
    "A place where a brace or cast gives room.",
    &[
        required("level", Kind::Level, "The level, or the highest of several.", "T8"),
        TO,
        required("side", Kind::Word(PadSide::WORDS), "The patient's side.", "left"),
        FACE,
        required("what", Kind::LongText, "What it is, as written.", "window for the ribs"),
    ],
);

/// Something to be changed.
pub(super) static CHANGE: Record = record(
    "change",
    "Something to be changed on a brace or cast.",
    &[
        optional("level", Kind::Level, "The level, or the highest of several.", "T8"),
        TO,
        optional("side", Kind::Word(PadSide::WORDS), "The patient's side.", "right"),
        FACE,
        required("what", Kind::LongText, "What is to be changed, as written.", "pad 4 mm thicker"),
        optional(
            "what_in",
            Kind::ByName(LANGUAGES, &Kind::LongText),
            "The same for families who read another language, by its tag.",
            "{es: almohadilla 4 mm más gruesa}",
        ),
    ],
);
