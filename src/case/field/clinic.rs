//! The keys of the clinic's own file.

use super::{Amount, Field, Kind, LANGUAGES, Precision, Record, optional, record, required};
use crate::case::clinic::After;
use crate::case::model::{AgeClasses, Choice, CsvlLine, FittingKind, HeightLoss, Role, WedgeCount};
use crate::quantity::Unit;

const IN_LANGUAGES: Kind = Kind::ByName(LANGUAGES, &Kind::LongText);
// Of any vertebra the two are of one order.
const RATIO: Kind = Kind::Quantity(Amount::new(Unit::Percent, 30.0, 400.0));
const ANGLE: Kind = Kind::Quantity(Amount::new(Unit::Degree, 0.0, 90.0));

const TEMPERATURE: Kind = Kind::Quantity(Amount::new(Unit::Celsius, 0.0, 50.0));

/// The clinic's file.
pub static CLINIC: Record = record(
    "clinic",
    "The clinic: who signs, on what paper, by which limits.",
    &[
        required("clinic", Kind::Text, "Name on the letterhead.", "Harbour Row Spine Clinic"),
        optional(
            "address",
            Kind::List(&Kind::Text),
            "Address lines, in order.",
            "[2 Harbour Row, Tidewell TW1 4QX]",
        ),
        optional("phone", Kind::Text, "Main telephone number.", "01632 960 118"),
        optional("email", Kind::Text, "Electronic mail address.", "post@clinic.example"),
        optional(
            "notice",
            Kind::LongText,
            "A notice printed at the foot of every letter.",
            "This clinic and its patients are invented",
        ),
        optional(
            "notice_in",
            IN_LANGUAGES,
            "The same notice in letters of another language, by its tag.",
            "{es: Esta clínica y sus pacientes son inventados}",
        ),
        optional(
            "films_kept",
            Kind::LongText,
            "Where films are kept after discharge, and how they are asked for.",
            "The radiology department keeps them; write to its records office.",
        ),
        optional(
            "films_kept_in",
            IN_LANGUAGES,
            "The same in letters of another language, by its tag.",
            "{es: Las guarda el servicio de radiología; escriban a su archivo.}",
        ),
        optional(
            "adult_care",
            Kind::LongText,
            "Who looks after adults, unless a plan says otherwise.",
            "The adult spine clinic takes referrals from general practitioners.",
        ),
        optional(
            "adult_care_in",
            IN_LANGUAGES,
            "The same in letters of another language, by its tag.",
            "{es: La consulta de columna de adultos atiende a quien le envía su médico.}",
        ),
        optional(
            "people",
            Kind::Records(&PERSON),
            "People who read films, examine, decide and sign.",
            "[{id: hk, name: Hanna Korr}]",
        ),
        optional(
            "responsible",
            Kind::Reference("person"),
            "Id of the doctor responsible for the clinic's patients.",
            "hk",
        ),
        optional("paper", Kind::Word(PAPERS), "Paper size; A4 if absent.", "A4"),
        optional(
            "dates",
            Kind::Word(DATES),
            "Order of a date in letters; day month year if absent.",
            "day month year",
        ),
        optional(
            "language",
            Kind::Id,
            "Language tag of letters, unless a contact says otherwise; en if absent.",
            "en",
        ),
        optional(
            "languages",
            Kind::List(&Kind::Id),
            "Every language that families and schools are written to in; each must have every letter that one of them has. The clinic's own alone if absent.",
            "[en, es]",
        ),
        optional("region", Kind::Id, "Region for spelling and metadata.", "GB"),
        optional(
            "limits",
            Kind::Record(&LIMITS),
            "The clinic's own limits; each has a default with a source.",
            "{real_change: 6 deg}",
        ),
        optional(
            "adopted",
            Kind::List(&Kind::Id),
            "Ids of figures known from memory alone that the clinic lets decide; explain prints them.",
            "[height-loss]",
        ),
        optional(
            "choices",
            Kind::Record(&CHOICES),
            "Which of several published ways the clinic uses; each has a default.",
            "{csvl: plumb}",
        ),
        optional(
            "letters",
            Kind::Record(&LETTERS),
            "Letters that follow from visits, plans and fittings by themselves.",
            "{since: 2026-09-01, follow: [{after: visit, kind: progress, to: referring doctor}]}",
        ),
    ],
);

static LETTERS: Record = record(
    "letters",
    "Letters that follow by themselves; an entry typed in a case takes the place of one.",
    &[
        required(
            "since",
            Kind::Date(Precision::Day),
            "Nothing follows from a record of an earlier day.",
            "2026-09-01",
        ),
        required(
            "follow",
            Kind::Records(&FOLLOW),
            "After what, which letter, to whom.",
            "[{after: visit, kind: progress, to: referring doctor}]",
        ),
    ],
);

static FOLLOW: Record = record(
    "follow",
    "One letter that follows by itself.",
    &[
        required(
            "after",
            Kind::Word(After::WORDS),
            "A visit is an examination with the films of its day and the plan made of it.",
            "visit",
        ),
        optional(
            "choice",
            Kind::OneOrMore(&Kind::Word(Choice::WORDS)),
            "Only where the plan chose one of these.",
            "surgical opinion",
        ),
        optional(
            "except",
            Kind::OneOrMore(&Kind::Word(Choice::WORDS)),
            "Not where the plan chose one of these.",
            "discharge",
        ),
        optional(
            "what",
            Kind::OneOrMore(&Kind::Word(FittingKind::WORDS)),
            "Only for fittings of these kinds.",
            "delivered",
        ),
        required("kind", Kind::Word(FOLLOWING), "The kind of letter.", "progress"),
        required("to", Kind::Word(Role::WORDS), "The role it goes to.", "referring doctor"),
        optional(
            "copies",
            Kind::List(&Kind::Word(Role::WORDS)),
            "Roles that get a copy.",
            "[family]",
        ),
    ],
);

/// Kinds of letter that can follow by themselves. Letters to payers and to
/// the holder of what is missing name a request or a gap: somebody types them.
const FOLLOWING: &[&str] = &[
    "progress",
    "surgical opinion",
    "neurological opinion",
    "prescription",
    "check",
    "school",
    "weaning",
    "discharge",
    "summary",
];

static CHOICES: Record = record(
    "choices",
    "Which of several published ways the clinic uses, where sources differ.",
    &[
        optional(
            "csvl",
            Kind::Word(CsvlLine::WORDS),
            "How the central sacral vertical line is drawn; plumb if absent.",
            "plumb",
        ),
        optional(
            "height_loss",
            Kind::Word(HeightLoss::WORDS),
            "Formula of the height lost to a curve; Stokes if absent.",
            "Stokes",
        ),
        optional(
            "scheuermann",
            Kind::Word(WedgeCount::WORDS),
            "Which wedging counts, in degrees; at least 5 if absent.",
            "at least 5",
        ),
        optional(
            "age_classes",
            Kind::Word(AgeClasses::WORDS),
            "Where the infantile class ends; at 3 completed years if absent.",
            "infantile to 3",
        ),
        optional(
            "width_over_depth",
            Kind::ByLevel(&RATIO),
            "Width between the pedicles over depth of a vertebra, in per cent, for the rotation by formula.",
            "{T8: 110 %}",
        ),
    ],
);

/// Words of `paper`.
pub const PAPERS: &[&str] = &["A4", "US Letter"];

/// Words of `dates`.
pub const DATES: &[&str] = &["day month year", "month day year"];

static PERSON: Record = record("person", "A clinician or other member of the clinic.", PERSON_KEYS);

const PERSON_KEYS: &[Field] = &[
    required("id", Kind::Id, "Short id used in case files.", "hk"),
    required("name", Kind::Text, "Name as signed.", "Hanna Korr"),
    optional("credentials", Kind::Text, "Credentials after the name.", "\"MSc, CPO\""),
    optional("role", Kind::Text, "Profession.", "spinal orthotist"),
    optional(
        "role_in",
        Kind::ByName(LANGUAGES, &Kind::Text),
        "The same in letters of another language, by its tag.",
        "{es: ortesista}",
    ),
    optional("licence", Kind::Text, "Licence number.", "O-1182"),
    optional("provider_no", Kind::Text, "Provider number.", "77 401"),
    optional("phone", Kind::Text, "Direct telephone number.", "01632 960 119"),
];

static LIMITS: Record = record(
    "limits",
    "The clinic's own limits.",
    &[
        optional("real_change", ANGLE, "Smallest change called real.", "6 deg"),
        optional(
            "repeatability",
            ANGLE,
            "The clinic's own 95 % limit between two readings of one film, if studied.",
            "4.5 deg",
        ),
        optional(
            "scoliosis_from",
            ANGLE,
            "From which angle a curve is called scoliosis.",
            "10 deg",
        ),
        optional("scoliosis_inclusive", Kind::Flag, "Whether that angle itself counts.", "true"),
        optional(
            "rate_months",
            Kind::Whole(1, 60),
            "Fewest months between two films for a yearly rate.",
            "6",
        ),
        optional(
            "baseline_months",
            Kind::Whole(1, 60),
            "Oldest baseline of an in-brace check, in months.",
            "6",
        ),
        optional(
            "surgeon_from",
            ANGLE,
            "At which angle, while growing, the clinic asks for a surgeon's view.",
            "45 deg",
        ),
        optional(
            "worn_above",
            TEMPERATURE,
            "Above which temperature a brace counts as worn; 30 degC if absent.",
            "30 degC",
        ),
        optional(
            "wear_cool_by",
            TEMPERATURE,
            "How far below the threshold a brace that is off must be seen; 2 degC if absent.",
            "2 degC",
        ),
        optional(
            "wear_step",
            TEMPERATURE,
            "Smallest step of putting on or taking off; 4 degC if absent.",
            "4 degC",
        ),
        optional(
            "wear_missing",
            Kind::Quantity(Amount::new(Unit::Percent, 0.0, 50.0)),
            "Largest share of a day without samples on which its hours count; 5 % if absent.",
            "5 %",
        ),
        optional(
            "film_months",
            Kind::Whole(1, 60),
            "Fewest months between two days with films of the spine; a film sooner asks for a reason.",
            "6",
        ),
        optional(
            "velocity_months",
            Kind::Whole(1, 24),
            "Fewest months between two measurements for a velocity of growth.",
            "6",
        ),
        optional(
            "height_error",
            Kind::Quantity(Amount::new(Unit::Millimetre, 0.1, 20.0)),
            "Standard deviation of one measurement of a height, from the clinic's own repeats.",
            "3 mm",
        ),
        optional(
            "reading_grade",
            Kind::Whole(1, 18),
            "Highest reading grade of letters to families, patients and schools; 8 if absent.",
            "8",
        ),
    ],
);
