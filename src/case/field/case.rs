//! The keys of a case file.

use super::order::{CHANGE, ORDER};
use super::{Amount, Field, Kind, LANGUAGES, Precision, Record, optional, record, required};
use crate::case::model::{
    Answered, Bend, Cause, Choice, CsvlAtApex, CsvlLine, Deformity, DenialLevel, Display, DueTo,
    Finding, FittingKind, Help, LetterKind, Made, OrthosisClass, Posture, Principle, Projection,
    Pronouns, RequestKind, RequestState, RiskFigure, RisserScale, Role, Sex, SportPart,
    TemperatureUnit, TreatmentKind, Triradiate, Urgency, View, WearWhen, WornThere,
};
use crate::case::order::Decision;
use crate::quantity::Unit;

const IN_LANGUAGES: Kind = Kind::ByName(LANGUAGES, &Kind::LongText);
const LISTS_IN_LANGUAGES: Kind = Kind::ByName(LANGUAGES, &Kind::OneOrMore(&Kind::LongText));
const DAY: Kind = Kind::Date(Precision::Day);
const MONTH: Kind = Kind::Date(Precision::Month);
const YEAR: Kind = Kind::Date(Precision::Year);
const CONTACT_ID: Kind = Kind::Reference("contact");
const FILM_ID: Kind = Kind::Reference("film");
const TREATMENT_ID: Kind = Kind::Reference("treatment");
const REQUEST_ID: Kind = Kind::Reference("request");
const LETTER_ID: Kind = Kind::Reference("letter");
const PERSON_ID: Kind = Kind::Reference("person");
const PAYER_ID: Kind = Kind::Reference("payer");
/// The patient's own sides.
const SIDE: Kind = Kind::Word(&["left", "right"]);

// The ranges only catch slips of the pen: no living patient is outside them.
const COBB: Kind = Kind::Quantity(Amount::new(Unit::Degree, -90.0, 180.0));
const TILT: Kind = Kind::Quantity(Amount::new(Unit::Degree, -60.0, 60.0));
// What a sagittal angle or a wedge of a living person can be.
const SAGITTAL_ANGLE: Kind = Kind::Quantity(Amount::new(Unit::Degree, -90.0, 180.0));
const INCIDENCE: Kind = Kind::Quantity(Amount::new(Unit::Degree, 15.0, 115.0));
const WEDGE: Kind = Kind::Quantity(Amount::new(Unit::Degree, 0.0, 60.0));
const RIB_ANGLE: Kind = Kind::Quantity(Amount::new(Unit::Degree, 0.0, 120.0));
const AXIS: Kind = Kind::Quantity(Amount {
    unit: Unit::Millimetre,
    also: &[Unit::Centimetre],
    low: -300.0,
    high: 400.0,
});
const SHIFT: Kind = Kind::Toward(Amount {
    unit: Unit::Millimetre,
    also: &[Unit::Centimetre],
    low: 0.0,
    high: 250.0,
});
const HIGHER: Kind = Kind::Higher(Amount::new(Unit::Degree, 0.0, 60.0));
const HIGHER_LENGTH: Kind = Kind::Higher(Amount {
    unit: Unit::Millimetre,
    also: &[Unit::Centimetre],
    low: 0.0,
    high: 150.0,
});
const HEIGHT: Kind = Kind::Quantity(Amount {
    unit: Unit::Centimetre,
    also: &[Unit::Millimetre],
    low: 20.0,
    high: 250.0,
});
const LEG: Kind = Kind::Quantity(Amount {
    unit: Unit::Millimetre,
    also: &[Unit::Centimetre],
    low: 0.0,
    high: 200.0,
});
const WEIGHT: Kind = Kind::Quantity(Amount::new(Unit::Kilogram, 0.5, 400.0));
const PER_DAY: Kind =
    Kind::Quantity(Amount { unit: Unit::HourPerDay, also: &[Unit::Hour], low: 0.0, high: 24.0 });
const HOURS: Kind = Kind::Quantity(Amount::new(Unit::Hour, 0.0, 1000.0));
const SCALE: Kind = Kind::Quantity(Amount::new(Unit::MillimetrePerPixel, 0.001, 10.0));
const DOSE: Kind = Kind::Quantity(Amount::new(Unit::Millisievert, 0.0, 20.0));
const AREA_DOSE: Kind = Kind::Quantity(Amount {
    unit: Unit::GraySquareCentimetre,
    also: &[
        Unit::DecigraySquareCentimetre,
        Unit::CentigraySquareCentimetre,
        Unit::MicrograySquareMetre,
    ],
    low: 0.0,
    high: 50.0,
});
const TEMPERATURE: Kind = Kind::Quantity(Amount::new(Unit::Celsius, 0.0, 50.0));

/// A case file.
pub static CASE: Record = record("case", "One patient's case file.", CASE_KEYS);

const CASE_KEYS: &[Field] = &[
    required("case", Kind::Id, "The case's id, also its file name.", "mr-0118"),
    optional("record_no", Kind::Text, "The clinic's record number.", "MR-118034"),
    required(
        "patient",
        Kind::Record(&PATIENT),
        "The patient.",
        "{name: Mara Ellwood, born: 2013-05-06, sex: female}",
    ),
    optional(
        "background",
        Kind::Record(&BACKGROUND),
        "What was asked at the first visit.",
        "{allergies: none known}",
    ),
    optional(
        "referral",
        Kind::Record(&REFERRAL),
        "Who sent the patient, when and why.",
        "{on: 2024-10-21, from: gp, why: one hip stands out in trousers now}",
    ),
    optional(
        "contacts",
        Kind::Records(&CONTACT),
        "People and institutions who may get letters.",
        "[{id: gp, role: referring doctor, name: Dr Iris Fenner}]",
    ),
    optional(
        "coverage",
        Kind::Record(&COVERAGE),
        "The payer and the membership.",
        "{payer: vale-north, member: V-7731-52}",
    ),
    required(
        "diagnosis",
        Kind::Record(&DIAGNOSIS),
        "The diagnosis as the clinic states it.",
        "{cause: idiopathic, found: 2024-10}",
    ),
    optional(
        "films",
        Kind::Records(&FILM),
        "Radiographs.",
        "[{id: f1, taken: 2024-11-04, view: frontal}]",
    ),
    optional(
        "exams",
        Kind::Records(&EXAM),
        "Physical examinations.",
        "[{on: 2024-11-04, by: hk, height: 151.2 cm}]",
    ),
    optional(
        "treatments",
        Kind::Records(&TREATMENT),
        "Exercise, casts, braces.",
        "[{id: x1, kind: exercise, from: 2024-11-04, prescribed: 20 min/day}]",
    ),
    optional(
        "plans",
        Kind::Records(&PLAN),
        "Decisions.",
        "[{on: 2025-01-20, by: hk, choice: night brace}]",
    ),
    optional(
        "school",
        Kind::Records(&SCHOOL),
        "What was agreed with the family for a school or a club to read.",
        "[{on: 2025-02-12, by: hk, brace: worn, sport: takes part without the brace}]",
    ),
    optional(
        "answers",
        Kind::Records(&ANSWER),
        "What was done about red flags: who decided, when, why.",
        "[{flag: abdominal-reflex, on: 2025-01-20, by: hk, what: imaging asked}]",
    ),
    optional(
        "requests",
        Kind::Records(&REQUEST),
        "Requests to payers.",
        "[{id: q1, to: vale-north, item: b1, sent: 2025-01-22}]",
    ),
    optional(
        "gaps",
        Kind::Records(&GAP),
        "What is missing, and who was asked for it.",
        "[{id: g1, from: gp, asked: 2025-02-03, items: [growth chart], for: q1, by: 2025-02-17}]",
    ),
    optional(
        "letters",
        Kind::Records(&LETTER),
        "Letters to write.",
        "[{id: l1, kind: progress, to: gp, as_of: 2025-08-20, signed_by: hk}]",
    ),
    optional(
        "corrections",
        Kind::Records(&CORRECTION),
        "Corrections of earlier entries; the entry itself holds the new value.",
        "[{on: 2026-03-02, by: hk, at: film f1 / dose, was: 0.7 mSv, now: 0.07 mSv}]",
    ),
];

/// The person.
pub static PATIENT: Record = record(
    "patient",
    "The person.",
    &[
        required("name", Kind::Text, "Full name as it is written.", "Mara Ellwood"),
        optional("called", Kind::Text, "The name they go by.", "Mara"),
        required("born", DAY, "Date of birth.", "2013-05-06"),
        required("sex", Kind::Word(Sex::WORDS), "Sex as recorded, for growth and risk.", "female"),
        optional(
            "pronouns",
            Kind::Word(Pronouns::WORDS),
            "Pronouns as stated; if absent the name is used instead.",
            "she",
        ),
        optional(
            "vertebrae",
            Kind::Record(&VERTEBRAE),
            "How many vertebrae, if not twelve thoracic and five lumbar.",
            "{thoracic: 13, lumbar: 5}",
        ),
    ],
);

static VERTEBRAE: Record = record(
    "vertebrae",
    "A count of vertebrae that differs from twelve thoracic and five lumbar.",
    &[
        optional("thoracic", Kind::Whole(11, 13), "Thoracic vertebrae; 12 if absent.", "13"),
        optional("lumbar", Kind::Whole(4, 6), "Lumbar vertebrae; 5 if absent.", "6"),
    ],
);

static BACKGROUND: Record = record(
    "background",
    "Answers of the first visit.",
    &[
        optional(
            "family_history",
            Kind::Records(&RELATIVE),
            "Relatives with a spinal condition; an empty list means asked, none.",
            "[{who: aunt, what: scoliosis}]",
        ),
        optional(
            "menarche",
            Kind::Record(&MENARCHE),
            "The first period: when it was, or the last day it was known not to have come.",
            "{not_yet: 2025-02-10}",
        ),
        optional("allergies", Kind::LongText, "Allergies, as written.", "none known"),
        optional("implants", Kind::LongText, "Implants, as written.", "none"),
        optional(
            "conditions",
            Kind::List(&Kind::Text),
            "Other conditions, as written.",
            "[asthma]",
        ),
    ],
);

static RELATIVE: Record = record(
    "relative",
    "A relative with a spinal condition.",
    &[
        required("who", Kind::Text, "Which relative.", "aunt"),
        required("what", Kind::Text, "The condition, as written.", "scoliosis"),
    ],
);

static MENARCHE: Record = Record {
    name: "menarche",
    doc: "The first period.",
    fields: &[
        optional("on", YEAR, "When it was, as precisely as known.", "2025-09"),
        optional("not_yet", DAY, "The last day on which it had not come.", "2025-02-10"),
    ],
    any_of: &["on", "not_yet"],
};

static REFERRAL: Record = record(
    "referral",
    "How the patient came.",
    &[
        required("on", DAY, "The day.", "2024-10-21"),
        optional("from", CONTACT_ID, "Id of the contact.", "gp"),
        optional("why", Kind::LongText, "The reason, as written.", "uneven waist"),
    ],
);

/// Someone who may receive letters.
pub static CONTACT: Record = record(
    "contact",
    "Someone who may receive letters.",
    &[
        required("id", Kind::Id, "Id within the case.", "gp"),
        required(
            "role",
            Kind::Word(Role::WORDS),
            "Who they are to the patient.",
            "referring doctor",
        ),
        required("name", Kind::Text, "Name as addressed.", "Dr Iris Fenner"),
        optional(
            "greeting",
            Kind::Text,
            "How a letter greets them, after Dear; the name if absent. In Spanish the whole greeting, such as Estimada señora Ibarra: only whoever knows them knows the ending.",
            "Dr Fenner",
        ),
        optional(
            "organisation",
            Kind::Text,
            "Practice, department or company above the address.",
            "Market Square Practice",
        ),
        optional(
            "address",
            Kind::List(&Kind::Text),
            "Address lines, in order.",
            "[1 Market Square, Tidewell TW2 8PL]",
        ),
        optional("phone", Kind::Text, "Telephone.", "01632 960 204"),
        optional(
            "provider_no",
            Kind::Text,
            "The number under which payers know them.",
            "\"SUP-4471\"",
        ),
        optional(
            "may_receive",
            Kind::List(&Kind::Word(LetterKind::WORDS)),
            "Kinds of letter they may get; if absent, every kind meant for their role.",
            "[progress, check]",
        ),
        optional("language", Kind::Id, "Language tag of letters to them.", "en"),
        optional(
            "withheld",
            Kind::Record(&WITHHELD),
            "Letters of every kind are withheld from them: custody, or consent taken back.",
            "{since: 2026-03-02, why: court order of that day}",
        ),
    ],
);

static WITHHELD: Record = record(
    "withheld",
    "Since when, and by what right, no letter goes to a contact.",
    &[
        required("since", DAY, "First day on which nothing goes to them.", "2026-03-02"),
        required("why", Kind::Text, "By what right; never printed in a letter.", "court order"),
    ],
);

static COVERAGE: Record = record(
    "coverage",
    "Insurance or other coverage.",
    &[
        required("payer", PAYER_ID, "Id of the payer's criteria file.", "vale-north"),
        optional("member", Kind::Text, "Member number.", "V-7731-52"),
        optional("plan", Kind::Text, "Plan name.", "family"),
        optional("group", Kind::Text, "Group number.", "G-118"),
    ],
);

/// The diagnosis.
pub static DIAGNOSIS: Record = record(
    "diagnosis",
    "The diagnosis as the clinic states it.",
    &[
        required("cause", Kind::Word(Cause::WORDS), "Cause.", "idiopathic"),
        optional(
            "deformity",
            Kind::Word(Deformity::WORDS),
            "Which deformity is followed; scoliosis if absent.",
            "hyperkyphosis",
        ),
        optional("found", YEAR, "When it was found, for the age class.", "2024-10"),
        optional(
            "underlying",
            Kind::LongText,
            "An underlying condition, as written.",
            "Marfan syndrome",
        ),
        optional(
            "due_to",
            Kind::Word(DueTo::WORDS),
            "What exactly a congenital or secondary cause is due to, for the code.",
            "malformed vertebra",
        ),
        optional("code", Kind::Text, "ICD-10-CM code as the clinician recorded it.", "M41.129"),
        optional(
            "codes_first",
            Kind::List(&Kind::Text),
            "Codes that stand before it, of the underlying disease.",
            "[Q85.01]",
        ),
        optional("codes_after", Kind::List(&Kind::Text), "Codes that stand after it.", "[Z82.69]"),
    ],
);

/// A radiograph.
pub static FILM: Record = record(
    "film",
    "A radiograph.",
    &[
        required("id", Kind::Id, "Id within the case.", "f1"),
        required("taken", DAY, "The day it was taken; it counts as known from then.", "2024-11-04"),
        required("view", Kind::Word(View::WORDS), "What it shows.", "frontal"),
        optional(
            "projection",
            Kind::Word(Projection::WORDS),
            "The way of the rays, frontal and bending films only.",
            "PA",
        ),
        optional(
            "displayed",
            Kind::Word(Display::WORDS),
            "How the film is laid out before the reader.",
            "from behind",
        ),
        optional(
            "posture",
            Kind::Word(Posture::WORDS),
            "How the patient was held; hand films have none.",
            "standing",
        ),
        optional("bent_to", SIDE, "The patient's side bent to, bending films only.", "right"),
        optional(
            "support",
            Kind::Support,
            "What held the spine: none, or the id of a brace or cast.",
            "none",
        ),
        optional("off_for", HOURS, "Hours out of the brace before the film.", "24 h"),
        optional("scale", SCALE, "Millimetres that one pixel stands for.", "0.143 mm/px"),
        optional(
            "image",
            Kind::Path,
            "Its picture, a PNG or JPEG file in whose pixels the landmarks are, laid out as `displayed` says.",
            "films/mr-0118-f1.png",
        ),
        optional(
            "readings",
            Kind::Records(&READING),
            "Readings by people.",
            "[{id: r1, by: hk, read: 2024-11-05}]",
        ),
        optional(
            "maturity",
            Kind::Record(&MATURITY),
            "Bone maturity seen on this film.",
            "{risser: {grade: 0, scale: US}, triradiate: open}",
        ),
        optional("dose", DOSE, "Effective dose.", "0.07 mSv"),
        optional("area_dose", AREA_DOSE, "Dose-area product as displayed.", "0.47 Gy.cm2"),
        optional("why", Kind::LongText, "Why it was taken, as written.", "yearly control"),
    ],
);

static READING: Record = record(
    "reading",
    "One person's reading of one film.",
    &[
        required("id", Kind::Id, "Id within the film.", "r1"),
        required("by", PERSON_ID, "Id of the reader.", "hk"),
        required("read", DAY, "The day it was read; it counts as known from then.", "2024-11-05"),
        optional(
            "repeat_of",
            Kind::Id,
            "Id of the same reader's first reading of this film, read again to learn how well readings repeat; a repeat counts in `explain --readers` and not in the film's value.",
            "r1",
        ),
        optional(
            "curves",
            Kind::Records(&CURVE),
            "Curves as recorded.",
            "[{upper: T5, apex: T8, lower: T12, convex: right, cobb: 19 deg}]",
        ),
        optional(
            "frontal",
            Kind::Record(&FRONTAL),
            "What else was measured on a frontal film.",
            "{balance: 12 mm right, t1_tilt: 4 deg left up}",
        ),
        optional(
            "sagittal",
            Kind::Record(&SAGITTAL),
            "What else was measured on a lateral film.",
            "{t5_t12: 32 deg, lordosis: 55 deg}",
        ),
        optional(
            "wedges",
            Kind::ByLevel(&WEDGE),
            "Wedging of single vertebrae: the angle between their own endplates.",
            "{T8: 6 deg}",
        ),
        optional(
            "landmarks",
            Kind::Path,
            "File of vertebral corners: level,corner,x,y, in pixels.",
            "films/mr-0118-f1.csv",
        ),
    ],
);

static CURVE: Record = record(
    "curve",
    "One curve of one reading.",
    &[
        optional(
            "name",
            Kind::Text,
            "Name that ties the curve to the same curve on other films.",
            "thoracic",
        ),
        required("upper", Kind::Level, "Upper end vertebra.", "T5"),
        optional("apex", Kind::Apex, "Apical vertebra, or disc such as T11-T12.", "T8"),
        required("lower", Kind::Level, "Lower end vertebra.", "T12"),
        optional("convex", SIDE, "The patient's side of the convexity.", "right"),
        optional(
            "bend",
            Kind::Word(Bend::WORDS),
            "Kyphosis or lordosis, lateral films only.",
            "kyphosis",
        ),
        optional(
            "cobb",
            COBB,
            "Cobb angle as typed; negative only in a brace or cast, when overcorrected.",
            "19 deg",
        ),
        optional(
            "translation",
            SHIFT,
            "How far the apex stands to the side: a thoracic one from the C7 plumb line, others from the CSVL.",
            "31 mm right",
        ),
    ],
);

static FRONTAL: Record = record(
    "frontal",
    "What was measured on a frontal film beside the curves; sides are the patient's.",
    &[
        optional("balance", SHIFT, "C7 plumb line from the CSVL.", "12 mm right"),
        optional(
            "csvl",
            Kind::Word(CsvlLine::WORDS),
            "How the central sacral vertical line was drawn: plumb, or square to the pelvis.",
            "plumb",
        ),
        optional("trunk_shift", SHIFT, "Middle of the trunk from the CSVL.", "9 mm left"),
        optional("t1_tilt", HIGHER, "Tilt of T1, with its higher side.", "4 deg left up"),
        optional(
            "clavicle_angle",
            HIGHER,
            "Line of the clavicles against the horizontal, with the higher side.",
            "2 deg right up",
        ),
        optional(
            "pelvic_obliquity",
            HIGHER,
            "Line of the iliac crests against the horizontal, with the higher side.",
            "3 deg left up",
        ),
        optional(
            "femoral_heads",
            HIGHER_LENGTH,
            "Difference in height of the femoral heads, with the higher side.",
            "6 mm left up",
        ),
        optional(
            "rotation",
            Kind::ByLevel(&Kind::Whole(0, 4)),
            "Grade of rotation by the offset of the pedicles, 0 to 4.",
            "{T8: 2}",
        ),
        optional(
            "rib_vertebra",
            Kind::Records(&RIB_VERTEBRA),
            "Rib-vertebra angles, usually at the apex.",
            "[{level: T9, convex: 42 deg, concave: 66 deg, phase: 1}]",
        ),
        optional(
            "csvl_at_lumbar_apex",
            Kind::Word(CsvlAtApex::WORDS),
            "Where the CSVL passes the lumbar apex.",
            "touching",
        ),
    ],
);

static RIB_VERTEBRA: Record = record(
    "rib_vertebra",
    "The rib-vertebra angles of one vertebra.",
    &[
        required("level", Kind::Level, "The vertebra.", "T9"),
        required("convex", RIB_ANGLE, "Angle on the convex side.", "42 deg"),
        required("concave", RIB_ANGLE, "Angle on the concave side.", "66 deg"),
        optional(
            "phase",
            Kind::Whole(1, 2),
            "1: a gap between the convex rib head and the body; 2: they overlap.",
            "1",
        ),
    ],
);

static SAGITTAL: Record = record(
    "sagittal",
    "What was measured on a lateral film beside the curves; kyphosis counts positive.",
    &[
        optional("t2_t5", SAGITTAL_ANGLE, "Angle T2 to T5.", "12 deg"),
        optional("t5_t12", SAGITTAL_ANGLE, "Kyphosis T5 to T12.", "32 deg"),
        optional("t2_t12", SAGITTAL_ANGLE, "Kyphosis T2 to T12.", "41 deg"),
        optional("t4_t12", SAGITTAL_ANGLE, "Kyphosis T4 to T12.", "37 deg"),
        optional("t10_l2", SAGITTAL_ANGLE, "Angle T10 to L2.", "4 deg"),
        optional("lordosis", SAGITTAL_ANGLE, "Lordosis L1 to S1, positive.", "55 deg"),
        optional("pelvic_incidence", INCIDENCE, "Pelvic incidence.", "52 deg"),
        optional("pelvic_tilt", TILT, "Pelvic tilt, positive backward.", "12 deg"),
        optional("sacral_slope", SAGITTAL_ANGLE, "Sacral slope.", "40 deg"),
        optional(
            "sva",
            AXIS,
            "Sagittal vertical axis: C7 plumb line from the upper back corner of S1, positive with C7 in front.",
            "18 mm",
        ),
    ],
);

static MATURITY: Record = record(
    "maturity",
    "Bone maturity as read from a film.",
    &[
        optional(
            "risser",
            Kind::Record(&RISSER),
            "Risser grade and the scale it was read on.",
            "{grade: 0, scale: US}",
        ),
        optional("triradiate", Kind::Word(Triradiate::WORDS), "Triradiate cartilage.", "open"),
        optional(
            "hand_stage",
            Kind::Whole(1, 8),
            "Stage of hand maturity, 1 to 8; hand films only.",
            "3",
        ),
        optional(
            "radius",
            Kind::Whole(1, 11),
            "Grade of the distal radius, 1 to 11; hand films only.",
            "7",
        ),
        optional(
            "ulna",
            Kind::Whole(1, 9),
            "Grade of the distal ulna, 1 to 9; hand films only.",
            "5",
        ),
    ],
);

static RISSER: Record = record(
    "risser",
    "A Risser grade with its scale.",
    &[
        required("grade", Kind::Whole(0, 5), "0 to 5.", "0"),
        required(
            "scale",
            Kind::Word(RisserScale::WORDS),
            "The scale it was read on; grades of the two scales do not compare.",
            "US",
        ),
    ],
);

/// Neurological findings in common use; others may be named freely.
const NEUROLOGY: &[&str] = &[
    "abdominal_reflexes",
    "bladder_bowel",
    "clonus",
    "feet",
    "gait",
    "plantar_response",
    "power",
    "reflexes",
    "sensation",
];

/// Findings that the red-flag rules ask for, each named as what would be
/// wrong; a clinic may name others, which begin with `own_`.
pub const FLAGS: &[&str] = &[
    "abdominal_reflex_abnormal",
    "bladder_bowel_change",
    "cancer_history",
    "cavus_feet",
    "fracture",
    "gait_change",
    "infection_signs",
    "neurological_signs",
    "night_pain",
    "osteoporosis",
    "progressive_weakness",
    "saddle_numbness",
    "short_segment",
    "skin_marks_midline",
];

/// Scores in common use; others may be named freely.
pub(super) const SCORES: &[&str] = &["ODI", "SRS-22r", "VAS"];

static EXAM: Record = record(
    "exam",
    "A physical examination.",
    &[
        required("on", DAY, "The day.", "2024-11-04"),
        optional("by", PERSON_ID, "Id of the examiner.", "hk"),
        optional("height", HEIGHT, "Standing height.", "151.2 cm"),
        optional("sitting_height", HEIGHT, "Sitting height.", "78.9 cm"),
        optional("arm_span", HEIGHT, "Arm span.", "150 cm"),
        optional("weight", WEIGHT, "Weight.", "41 kg"),
        optional(
            "trunk_rotation",
            Kind::ByLevel(&TILT),
            "Angle of trunk rotation at a level; positive with the right side up.",
            "{T8: 8 deg}",
        ),
        optional("leg_difference", LEG, "Difference in leg length.", "6 mm"),
        optional(
            "neurology",
            Kind::ByName(NEUROLOGY, &Kind::Text),
            "Neurological findings by name, as written.",
            "{abdominal_reflexes: symmetric}",
        ),
        optional(
            "flags",
            Kind::ByName(FLAGS, &Kind::Word(Finding::WORDS)),
            "Findings that red-flag rules ask for, each named as what would be wrong: present, absent or not sure.",
            "{abdominal_reflex_abnormal: absent, night_pain: present}",
        ),
        optional("skin", Kind::LongText, "Skin under the brace, as written.", "clear"),
        optional("pain", Kind::Pain, "Pain now, 0 to 10.", "6/10"),
        optional(
            "scores",
            Kind::ByName(SCORES, &Kind::Score),
            "Scores by name, as recorded.",
            "{ODI: 34 %, SRS-22r: 3.9}",
        ),
        optional(
            "srs22r",
            Kind::List(&Kind::Answer(1, 5)),
            "The 22 answers of the SRS-22r in their order, 1 to 5 points; none or two where no or two boxes are marked.",
            "[4, 5, none, 3, 4, 4, 5, 4, 5, 3, 4, 5, 4, 4, 5, 4, 5, 5, 3, 4, 4, two]",
        ),
        optional(
            "odi",
            Kind::List(&Kind::Answer(0, 5)),
            "The 10 answers of the Oswestry index in their order, 0 to 5 points; none or two where no or two boxes are marked.",
            "[2, 1, 3, 2, 1, 2, 1, none, 2, 2]",
        ),
        optional("says", Kind::LongText, "What the patient says, as written.", "tired by evening"),
        optional("findings", Kind::LongText, "Other findings, as written.", "right shoulder high"),
    ],
);

/// A treatment.
pub static TREATMENT: Record = record(
    "treatment",
    "A treatment over a span of time.",
    &[
        required("id", Kind::Id, "Id within the case.", "b1"),
        required("kind", Kind::Word(TreatmentKind::WORDS), "What it is.", "brace"),
        optional(
            "class",
            Kind::Word(OrthosisClass::WORDS),
            "Generic class of the orthosis.",
            "TLSO",
        ),
        optional(
            "made",
            Kind::Word(Made::WORDS),
            "How the orthosis comes to fit its wearer, as its item code says.",
            "custom fabricated",
        ),
        optional(
            "principle",
            Kind::OneOrMore(&Kind::Word(Principle::WORDS)),
            "How it is meant to act.",
            "[side bending, rotation control]",
        ),
        optional("ordered", DAY, "When it was ordered.", "2025-01-20"),
        optional("from", DAY, "First day, where it differs from the first fitting.", "2024-11-04"),
        optional(
            "prescribed",
            Kind::Text,
            "What is prescribed, for exercise and shoe lifts, as written.",
            "20 min/day",
        ),
        optional(
            "order",
            Kind::Record(&ORDER),
            "What was decided for the maker of a brace or cast; it counts as known from `ordered`.",
            "{pads: [{level: T8, side: right, what: thoracic pad}]}",
        ),
        optional(
            "fittings",
            Kind::Records(&FITTING),
            "Deliveries, adjustments, cast changes.",
            "[{on: 2025-02-10, what: delivered}]",
        ),
        optional(
            "hours",
            Kind::Records(&HOURS_STEP),
            "Prescribed hours, each in force until the next.",
            "[{from: 2025-02-10, per_day: 9 h/day, when: night}]",
        ),
        optional(
            "wear",
            Kind::Record(&WEAR),
            "Sensor log.",
            "{log: wear/mr-0118-b1.csv, downloaded: 2026-05-02, worn_above: 30 degC}",
        ),
        optional(
            "reported",
            Kind::Records(&REPORTED),
            "Hours as told by patient or family.",
            "[{on: 2025-05-06, per_day: 8 h/day}]",
        ),
        optional("ended", Kind::Record(&ENDED), "The end.", "{on: 2026-06-11, why: outgrown}"),
    ],
);

static FITTING: Record = record(
    "fitting",
    "Something done to a brace or cast on a day.",
    &[
        required("on", DAY, "The day.", "2025-02-10"),
        required("what", Kind::Word(FittingKind::WORDS), "What was done.", "delivered"),
        optional("film", FILM_ID, "Film of that fitting, by id.", "f2"),
        optional("skin", Kind::LongText, "Skin, as written.", "clear"),
        optional(
            "skin_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag.",
            "{es: sin marcas}",
        ),
        optional("why", Kind::LongText, "Reason or detail, as written.", "thoracic pad thicker"),
        optional("by", PERSON_ID, "Id of who fitted or checked it.", "hk"),
        optional(
            "fit",
            Kind::LongText,
            "How it fits, as written.",
            "no gap at the right rim, free under both arms",
        ),
        optional(
            "says",
            Kind::LongText,
            "What the patient says of it, as written.",
            "It pinches when I sit.",
        ),
        optional(
            "says_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag.",
            "{es: Me pellizca al sentarme.}",
        ),
        optional(
            "decision",
            Kind::Word(Decision::WORDS),
            "What was decided about the brace or cast itself.",
            "accept",
        ),
        optional(
            "decided",
            DAY,
            "The day of that decision, if later than the fitting.",
            "2025-02-12",
        ),
        optional(
            "because",
            Kind::LongText,
            "Why that was decided, as written.",
            "half of the curve is taken off and the skin is clear",
        ),
        optional(
            "told",
            Kind::LongText,
            "What the family was told about it, as written.",
            "Half of the curve is gone while the brace is on, and it may stay as it is.",
        ),
        optional(
            "told_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag.",
            "{es: Con el corsé puesto queda la mitad de la curva; puede seguir así.}",
        ),
        optional(
            "changes",
            Kind::Records(&CHANGE),
            "What is to be changed on it.",
            "[{level: T8, side: right, what: pad 4 mm thicker}]",
        ),
        optional("changes_by", MONTH, "The day by which that is to be done.", "2025-02-24"),
    ],
);

static HOURS_STEP: Record = record(
    "hours",
    "Prescribed hours from a day on.",
    &[
        required("from", DAY, "First day.", "2025-02-10"),
        optional("decided", DAY, "The day it was decided, if before.", "2025-02-03"),
        required("per_day", PER_DAY, "Hours a day.", "9 h/day"),
        optional("when", Kind::Word(WearWhen::WORDS), "When in the day.", "night"),
        optional("by", PERSON_ID, "Id of the prescriber.", "hk"),
        optional("why", Kind::LongText, "Reason, as written.", "skin needs a rest at midday"),
    ],
);

static WEAR: Record = record(
    "wear",
    "A brace's sensor log.",
    &[
        optional("log", Kind::Path, "The CSV file.", "wear/mr-0118-b1.csv"),
        optional(
            "downloaded",
            DAY,
            "The day it was downloaded; it counts as known from then.",
            "2026-05-02",
        ),
        optional(
            "worn_above",
            TEMPERATURE,
            "Worn above this temperature; the clinic's limit or 30 degC if absent.",
            "30 degC",
        ),
        optional(
            "taken_off_below",
            TEMPERATURE,
            "Taken off below this temperature; 1 degC below `worn_above` if absent.",
            "29 degC",
        ),
        optional(
            "time_column",
            Kind::Text,
            "Name of the log's column of times, if it is not plain.",
            "Time",
        ),
        optional(
            "date_column",
            Kind::Text,
            "Name of the log's column of dates, if they stand apart from the time of day.",
            "Date",
        ),
        optional(
            "temperature_column",
            Kind::Text,
            "Name of the log's column of temperatures, if it is not plain.",
            "Temperature",
        ),
        optional(
            "temperature_unit",
            Kind::Word(TemperatureUnit::WORDS),
            "Unit of the log's temperatures; degC if absent.",
            "degC",
        ),
        optional(
            "time_format",
            Kind::Text,
            "Pattern of the log's times, if they are not as 2026-03-01 14:30.",
            "\"%d/%m/%Y %H:%M\"",
        ),
        optional(
            "time_zone",
            Kind::Text,
            "IANA name of the zone of the log's times, and of its days.",
            "Europe/London",
        ),
        optional(
            "measured",
            Kind::Records(&MEASURED),
            "Mean hours a day read off the log by other means.",
            "[{from: 2025-02-10, to: 2025-05-06, per_day: 8.4 h/day}]",
        ),
    ],
);

static MEASURED: Record = record(
    "measured",
    "Measured mean wear over a span.",
    &[
        required("from", DAY, "First day.", "2025-02-10"),
        required("to", DAY, "Last day.", "2025-05-06"),
        required("per_day", PER_DAY, "Mean hours a day.", "8.4 h/day"),
        optional(
            "downloaded",
            DAY,
            "The day this span was read off the sensor, if earlier than the log's.",
            "2025-05-06",
        ),
    ],
);

static REPORTED: Record = record(
    "reported",
    "Hours as told.",
    &[
        required("on", DAY, "The day it was told.", "2025-05-06"),
        required("per_day", PER_DAY, "Hours a day.", "8 h/day"),
    ],
);

static ENDED: Record = record(
    "ended",
    "The end of a treatment.",
    &[
        required("on", DAY, "The day.", "2026-06-11"),
        optional("why", Kind::LongText, "Why, as written.", "outgrown"),
    ],
);

static PLAN: Record = record(
    "plan",
    "A decision.",
    &[
        required("on", DAY, "The day.", "2025-01-20"),
        optional("by", PERSON_ID, "Id of who decided.", "hk"),
        required(
            "choice",
            Kind::OneOrMore(&Kind::Word(Choice::WORDS)),
            "What was chosen; one or several.",
            "night brace",
        ),
        optional("because", Kind::LongText, "Why, as written.", "rose 8 deg in 11 months"),
        optional(
            "aim",
            Kind::LongText,
            "Aim of treatment, as written.",
            "below 30 deg at maturity",
        ),
        optional(
            "changes_if",
            Kind::LongText,
            "When the plan changes, as written.",
            "above 160.6 cm the film comes sooner",
        ),
        optional(
            "changes_if_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag.",
            "{es: por encima de 160 cm la radiografía se adelanta}",
        ),
        optional(
            "next",
            Kind::Record(&NEXT),
            "When to film and see next.",
            "{film: 2025-08, visit: 2025-05}",
        ),
        optional(
            "told",
            Kind::LongText,
            "What was told to the family, as written.",
            "risks read out",
        ),
        optional(
            "told_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag; without it they are given the words as written, marked as such.",
            "{es: se explicaron los riesgos}",
        ),
        optional(
            "come_back_if",
            Kind::OneOrMore(&Kind::LongText),
            "What should bring a discharged patient back, as written.",
            "[one shoulder or hip stands out more than on the last photograph]",
        ),
        optional(
            "come_back_if_in",
            LISTS_IN_LANGUAGES,
            "The same, item by item, for families who read another language, by its tag.",
            "{es: [un hombro o una cadera sobresale más que en la última foto]}",
        ),
        optional(
            "adult_care",
            Kind::LongText,
            "Who looks after the patient as an adult, as written; the clinic's own words if absent.",
            "The adult spine clinic takes referrals from general practitioners.",
        ),
        optional(
            "adult_care_in",
            IN_LANGUAGES,
            "The same for families who read another language, by its tag.",
            "{es: La consulta de columna de adultos atiende a quien le envía su médico.}",
        ),
    ],
);

/// What was agreed for a school or a club.
pub static SCHOOL: Record = record(
    "school",
    "What was agreed with the family for a school or a club to read.",
    &[
        required("on", DAY, "The day it was agreed.", "2025-02-12"),
        required("by", PERSON_ID, "Id of who agreed it with the family.", "hk"),
        optional(
            "for",
            CONTACT_ID,
            "The school or club it is for, by id; every one if absent.",
            "school",
        ),
        optional(
            "brace",
            Kind::Word(WornThere::WORDS),
            "Whether the brace or cast is on while they are there.",
            "worn",
        ),
        optional(
            "when",
            Kind::LongText,
            "When it is on and off there, as written.",
            "It comes off for sport and goes back on afterwards.",
        ),
        optional(
            "when_in",
            IN_LANGUAGES,
            "The same for a reader of another language, by its tag.",
            "{es: Se quita para hacer deporte y se vuelve a poner después.}",
        ),
        optional(
            "sport",
            Kind::Word(SportPart::WORDS),
            "How they take part in sport.",
            "takes part without the brace",
        ),
        optional(
            "limits",
            Kind::List(&Kind::LongText),
            "What is left out of sport, as decided; an empty list means nothing.",
            "[trampoline]",
        ),
        optional(
            "limits_in",
            LISTS_IN_LANGUAGES,
            "The same, item by item, for a reader of another language, by its tag.",
            "{es: [cama elástica]}",
        ),
        optional(
            "helps",
            Kind::OneOrMore(&Kind::Word(Help::WORDS)),
            "What helps; one or several.",
            "[a place to change, a second set of books]",
        ),
        optional(
            "also",
            Kind::LongText,
            "What else the school or club should know, as written.",
            "She would rather tell her class herself.",
        ),
        optional(
            "also_in",
            IN_LANGUAGES,
            "The same for a reader of another language, by its tag.",
            "{es: Prefiere contárselo ella a su clase.}",
        ),
        optional("until", MONTH, "Until when it holds.", "2025-08"),
    ],
);

static NEXT: Record = record(
    "next",
    "What comes next.",
    &[
        optional("film", MONTH, "Next film.", "2025-08"),
        optional("off_for", HOURS, "Hours out of the brace before that film.", "24 h"),
        optional("visit", MONTH, "Next visit.", "2025-05"),
    ],
);

static REQUEST: Record = record(
    "request",
    "A request to a payer.",
    &[
        required("id", Kind::Id, "Id within the case.", "q1"),
        required("to", PAYER_ID, "Id of the payer's criteria file.", "vale-north"),
        optional("kind", Kind::Word(RequestKind::WORDS), "What is asked.", "replacement"),
        required("item", TREATMENT_ID, "Treatment asked for, by id.", "b1"),
        optional("units", Kind::Whole(1, 20), "How many.", "1"),
        optional("replaces", TREATMENT_ID, "The treatment it replaces, by id.", "b0"),
        optional(
            "replaces_because",
            Kind::LongText,
            "Why the old one cannot be adjusted further, as written.",
            "grown 7 cm since delivery",
        ),
        optional("ordered", DAY, "The day of the order.", "2025-01-20"),
        optional("ordered_by", PERSON_ID, "Who ordered it, by id.", "hk"),
        optional("supplier", CONTACT_ID, "Who supplies it, by id.", "maker"),
        optional("seen", DAY, "The day of the examination in person.", "2025-01-20"),
        optional("sent", DAY, "The day it was sent.", "2025-01-22"),
        optional("state", Kind::Word(RequestState::WORDS), "Where it stands.", "approved"),
        optional("reference", Kind::Text, "The payer's reference.", "31-0876"),
        optional(
            "codes",
            Kind::List(&Kind::Text),
            "Item codes as the clinician recorded them.",
            "[L1300]",
        ),
        optional(
            "made",
            Kind::Word(Made::WORDS),
            "How the item comes to fit its wearer, where the treatment does not say.",
            "custom fabricated",
        ),
        optional("item_text", Kind::LongText, "The item described, as written.", "night-time TLSO"),
        optional("hours", PER_DAY, "Hours a day asked for.", "9 h/day"),
        optional("months", Kind::Whole(1, 120), "For how long, in months.", "18"),
        optional("goal", Kind::LongText, "Goal, as written.", "hold the curve below 30 deg"),
        optional(
            "stop_rule",
            Kind::LongText,
            "When treatment will be stopped or changed, as written.",
            "Risser 4 and no growth for six months",
        ),
        optional(
            "alternatives",
            Kind::LongText,
            "Alternatives considered, as written.",
            "full-time brace",
        ),
        optional(
            "if_not",
            Kind::LongText,
            "What happens if nothing is done, as written.",
            "further growth with a rising curve",
        ),
        optional("expedited", Kind::Flag, "Whether an expedited review is asked for.", "false"),
        optional(
            "exception",
            Kind::LongText,
            "Why an unmet criterion should not be held against the patient, as written.",
            "the hours fell once the brace pressed",
        ),
        optional(
            "peer_to_peer",
            Kind::Record(&PEER),
            "Who speaks with the payer's reviewer.",
            "{who: hk, when: weekdays before 9}",
        ),
        optional(
            "authorised",
            Kind::Record(&AUTHORISED),
            "The payer's yes.",
            "{from: 2025-02-03, to: 2025-05-03, reference: 31-0876}",
        ),
        optional(
            "denial",
            Kind::Record(&DENIAL),
            "The payer's no.",
            "{on: 2025-02-03, reasons: [{text: the curve is too small}], answer_by: 2025-03-05}",
        ),
        optional(
            "authority",
            Kind::Record(&AUTHORITY),
            "By what right the clinic appeals.",
            "{from: home, on: 2025-02-10, how: signed form}",
        ),
        optional("appealed", DAY, "The day the appeal was sent.", "2025-02-20"),
        optional(
            "statements",
            Kind::ByName(&[], &Kind::LongText),
            "Evidence recorded by hand, from a criterion's id to its text.",
            "{seen_in_person: examined on 20 January}",
        ),
    ],
);

static PEER: Record = record(
    "peer",
    "Who speaks with the payer's reviewer.",
    &[
        required("who", PERSON_ID, "A person of the clinic, by id.", "hk"),
        optional("when", Kind::Text, "When they can be reached.", "weekdays before 9"),
    ],
);

static AUTHORISED: Record = record(
    "authorisation",
    "The payer's yes: delivery counts within its days.",
    &[
        optional("on", DAY, "The day it was given; `from` if absent.", "2025-02-03"),
        required("from", DAY, "First day.", "2025-02-03"),
        required("to", DAY, "Last day.", "2025-05-03"),
        optional("reference", Kind::Text, "The payer's number for it.", "31-0876"),
    ],
);

static DENIAL: Record = record(
    "denial",
    "The payer's no.",
    &[
        required("on", DAY, "The day of the payer's letter.", "2025-02-03"),
        optional("level", Kind::Word(DenialLevel::WORDS), "At which step.", "initial review"),
        optional("answer_by", DAY, "The last day for an answer.", "2025-03-05"),
        optional(
            "reasons",
            Kind::Records(&REASON),
            "The reasons in the payer's words and order.",
            "[{text: the curve is too small, criterion: A1}]",
        ),
    ],
);

static REASON: Record = record(
    "reason",
    "One reason of a denial.",
    &[
        required("text", Kind::LongText, "The payer's words.", "the curve is too small"),
        optional("criterion", Kind::Text, "The criterion it names.", "A1"),
        optional(
            "answer",
            Kind::LongText,
            "The clinician's answer, as written.",
            "the film sent with the request shows 27 degrees",
        ),
    ],
);

static AUTHORITY: Record = record(
    "authority",
    "By what right the clinic appeals.",
    &[
        required("from", CONTACT_ID, "Who gave it, by id.", "home"),
        required("on", DAY, "The day.", "2025-02-10"),
        optional("how", Kind::Text, "How it was given.", "signed form"),
    ],
);

static GAP: Record = record(
    "gap",
    "Something missing, asked of whoever holds it.",
    &[
        required("id", Kind::Id, "Id within the case.", "g1"),
        required("from", CONTACT_ID, "Who holds it, by id.", "gp"),
        required("asked", DAY, "The day it was first asked for.", "2025-02-03"),
        required("items", Kind::OneOrMore(&Kind::LongText), "What is missing.", "[growth chart]"),
        required("for", Kind::Id, "The request or letter it is for, by id.", "q1"),
        required("by", DAY, "The day by which it is needed.", "2025-02-17"),
        optional("how", Kind::LongText, "How to send it.", "by secure mail to the clinic"),
        optional(
            "consent",
            Kind::LongText,
            "The consent under which it may be sent.",
            "given by her mother on 3 February",
        ),
        optional(
            "items_in",
            LISTS_IN_LANGUAGES,
            "What is missing, for those who read another language, by its tag.",
            "{es: [tabla de crecimiento]}",
        ),
        optional("reminders", Kind::List(&DAY), "Days it was asked for again.", "[2025-02-12]"),
        optional("received", DAY, "The day it came.", "2025-02-14"),
    ],
);

static ENCLOSURE: Record = record(
    "enclosure",
    "Something sent with a letter.",
    &[
        required("what", Kind::Text, "What it is.", "fitting notes of the first brace"),
        optional("film", FILM_ID, "The film it is, by id.", "f1"),
        optional("file", Kind::Path, "Its file.", "films/mr-0118-f1.csv"),
        optional("pages", Kind::Whole(1, 500), "How many pages.", "2"),
        optional(
            "shows",
            Kind::List(&Kind::Text),
            "Records whose evidence it carries.",
            "[exam 2024-11-04, treatment b1 / wear]",
        ),
    ],
);

static LETTER: Record = record(
    "letter",
    "A letter to write.",
    &[
        required("id", Kind::Id, "Id within the case.", "l1"),
        required("kind", Kind::Word(LetterKind::WORDS), "Kind of letter.", "progress"),
        required("to", CONTACT_ID, "Contact it goes to, by id.", "gp"),
        optional("copies", Kind::List(&CONTACT_ID), "Contacts who get a copy, by id.", "[home]"),
        required("as_of", DAY, "The day whose knowledge the letter states.", "2025-08-20"),
        optional("dated", DAY, "The date on the letter; as_of if absent.", "2025-08-21"),
        required("signed_by", PERSON_ID, "Person who signs, by id.", "hk"),
        optional(
            "signed",
            DAY,
            "The day it was signed: from then on others may issue it for the signer.",
            "2025-08-21",
        ),
        optional(
            "adds_to",
            LETTER_ID,
            "The issued letter that this one adds to, correcting nothing in it.",
            "l3",
        ),
        optional(
            "question",
            Kind::LongText,
            "The question asked of the reader.",
            "is surgery due?",
        ),
        optional("urgency", Kind::Word(Urgency::WORDS), "How soon.", "routine"),
        optional("request", REQUEST_ID, "Request it supports, by id.", "q1"),
        optional("gap", Kind::Id, "The gap it asks to fill, by id.", "g1"),
        optional(
            "about",
            TREATMENT_ID,
            "The brace or cast it is about, by id, where it is not the one ordered or worn last.",
            "b1",
        ),
        optional("enclosed", Kind::List(&FILM_ID), "Films enclosed, by id.", "[f1]"),
        optional(
            "enclosures",
            Kind::Records(&ENCLOSURE),
            "What else goes with it; numbered in this order.",
            "[{what: fitting notes, pages: 2}]",
        ),
        optional("remarks", Kind::LongText, "The clinician's own words.", "She swims well."),
        optional(
            "remarks_in",
            IN_LANGUAGES,
            "The same for a reader of another language, by its tag; without it they are given the words as written, marked as such.",
            "{es: Nada bien.}",
        ),
        optional(
            "risk",
            Kind::OneOrMore(&Kind::Word(RiskFigure::WORDS)),
            "Published figures of risk to tell the family as counts of a hundred; none unless named.",
            "by_size_and_risser",
        ),
    ],
);

/// What was done about a red flag.
pub static ANSWER: Record = record(
    "answer",
    "What was done about a red flag.",
    &[
        required(
            "flag",
            Kind::OneOrMore(&Kind::Id),
            "Id of the red flag's rule, or of several that one decision answers.",
            "abdominal-reflex",
        ),
        required("on", DAY, "The day it was decided.", "2025-01-20"),
        required("by", PERSON_ID, "Id of who decided.", "hk"),
        required("what", Kind::Word(Answered::WORDS), "What was decided.", "imaging asked"),
        optional(
            "because",
            Kind::LongText,
            "Why, as written.",
            "the reflex was weak on one side only and equal when tested again",
        ),
        optional("letter", LETTER_ID, "The letter that asks, by id.", "l2"),
    ],
);

static CORRECTION: Record = record(
    "correction",
    "A correction of an earlier entry.",
    &[
        required("on", DAY, "The day it was made.", "2026-03-02"),
        required("by", PERSON_ID, "Id of who made it.", "hk"),
        required(
            "at",
            Kind::Text,
            "The entry, from the record down.",
            "film f1 / reading r1 / curve thoracic / cobb",
        ),
        required("was", Kind::LongText, "What it said.", "19 deg"),
        required("now", Kind::LongText, "What it says now.", "26 deg"),
        optional("because", Kind::LongText, "Why, as written.", "measured to the wrong vertebra"),
    ],
);
