//! The typed case: what a clinic recorded, before anything is derived.
//!
//! Every record keeps its [`Place`], and every value that can be printed,
//! compared or corrected is [`Located`]. An absent optional value is `None`:
//! it means "not recorded", never zero and never normal.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;

use super::film_image::FilmPicture;
use super::node::Node;
use super::order::{Change, Decision, Order};
use crate::course::score::Answer;
use crate::course::wear;
use crate::diag::{Located, Place};
use crate::digest::Digest;
use crate::quantity::{
    Angle, AreaDose, Dose, Hours, HoursPerDay, Length, Mass, PartialDate, PixelScale, Reported,
    Temperature,
};
use crate::spine::frame::FilmFrame;
use crate::spine::landmark::LandmarkSet;
use crate::spine::{Apex, Column, Level, Side};

/// A value with its place, or not recorded.
pub type Opt<T> = Option<Located<T>>;

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs)]
        pub enum $name { $($(#[$vdoc])* $variant),* }

        impl $name {
            /// The words allowed in a case file, in their order.
            pub const WORDS: &'static [&'static str] = &[$($word),*];

            /// Every value, in the order of the words.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];

            /// The word as it stands in a case file.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),* }
            }

            /// The value of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some($name::$variant),)* _ => None }
            }
        }
    };
}

pub(super) use words;

words!(
    /// Sex as recorded, for growth and risk; never a source of pronouns.
    Sex { Female = "female", Male = "male", Other = "other" }
);
words!(
    /// Pronouns as stated by the patient or the family.
    Pronouns { She = "she", He = "he", They = "they" }
);
words!(
    /// What is thought to cause the curve.
    Cause {
        Idiopathic = "idiopathic",
        Congenital = "congenital",
        Neuromuscular = "neuromuscular",
        Syndromic = "syndromic",
        Degenerative = "degenerative",
        Scheuermann = "Scheuermann",
        Postural = "postural",
        Secondary = "secondary",
        Unknown = "not yet known",
    }
);
words!(
    /// What exactly a cause is due to, as finely as diagnosis codes ask.
    DueTo {
        MalformedVertebra = "malformed vertebra",
        NoMalformedVertebra = "no malformed vertebra",
        ChestDisease = "chest disease",
        Radiation = "radiation",
        Laminectomy = "laminectomy",
        OtherOperation = "other operation",
    }
);

impl DueTo {
    /// Whether it is a kind of the cause.
    pub fn goes_with(self, cause: Cause) -> bool {
        match self {
            DueTo::MalformedVertebra | DueTo::NoMalformedVertebra => cause == Cause::Congenital,
            _ => cause == Cause::Secondary,
        }
    }
}

words!(
    /// In which plane the deformity is followed.
    Deformity {
        Scoliosis = "scoliosis",
        Hyperkyphosis = "hyperkyphosis",
        /// A side difference that may or may not be a scoliosis.
        Asymmetry = "asymmetry",
    }
);
words!(
    /// How the central sacral vertical line was drawn.
    CsvlLine {
        /// A vertical of the film through the middle of S1.
        Plumb = "plumb",
        /// Square to the line of the iliac crests, through the middle of S1.
        Pelvis = "pelvis",
    }
);
words!(
    /// Where the central sacral vertical line passes the lumbar apex.
    CsvlAtApex {
        Between = "between the pedicles",
        Touching = "touching",
        Clear = "clear",
    }
);
words!(
    /// Formulas of the height lost to a curve.
    HeightLoss { Stokes = "Stokes", StokesB = "Stokes B", Bjure = "Bjure" }
);
words!(
    /// From which wedging a vertebra counts for Scheuermann's disease.
    WedgeCount { AtLeastFive = "at least 5", AboveFive = "above 5" }
);
words!(
    /// Whose classes of age at onset are used.
    AgeClasses {
        /// Infantile to 3 years, juvenile 4 to 9, adolescent from 10.
        Review = "infantile to 3",
        /// Infantile below 3 years, juvenile 3 to 9, adolescent 10 to 17.
        Guideline = "infantile below 3",
    }
);
words!(
    /// What a film shows.
    View { Frontal = "frontal", Lateral = "lateral", Bending = "bending", Hand = "hand" }
);
words!(
    /// The way of the rays through a frontal film.
    Projection { Pa = "PA", Ap = "AP" }
);
words!(
    /// How the film is laid out before the reader.
    Display {
        FromBehind = "from behind",
        FromFront = "from the front",
        FacingLeft = "facing left",
        FacingRight = "facing right",
    }
);
words!(
    /// How the patient was held when the film was taken.
    Posture {
        Standing = "standing",
        Sitting = "sitting",
        Supine = "supine",
        Prone = "prone",
        Traction = "traction",
        Bolster = "bolster",
    }
);
words!(
    /// Bending of a sagittal curve.
    Bend { Kyphosis = "kyphosis", Lordosis = "lordosis" }
);
words!(
    /// Which scale a Risser grade was read on.
    RisserScale { Us = "US", French = "French" }
);
words!(
    /// State of the triradiate cartilage.
    Triradiate { Open = "open", Closing = "closing", Closed = "closed" }
);
words!(
    /// What a treatment is.
    TreatmentKind { Exercise = "exercise", Brace = "brace", Cast = "cast", ShoeLift = "shoe lift" }
);
words!(
    /// Generic class of an orthosis.
    OrthosisClass { Tlso = "TLSO", Ctlso = "CTLSO", Lso = "LSO" }
);
words!(
    /// How an orthosis comes to fit its wearer.
    Made {
        /// From raw material for one patient, over a model or measurements.
        CustomFabricated = "custom fabricated",
        /// Ready-made, altered for one patient by somebody with expertise.
        CustomFitted = "custom fitted",
        /// Ready-made, adjusted by the wearer or not at all.
        OffTheShelf = "off the shelf",
    }
);
words!(
    /// How an orthosis or cast is meant to act.
    Principle {
        SideBending = "side bending",
        RotationControl = "rotation control",
        ThreePoint = "three-point pressure",
        Elongation = "elongation",
        Extension = "extension",
        Soft = "soft",
    }
);
words!(
    /// What happened at a fitting.
    FittingKind {
        Delivered = "delivered",
        Applied = "applied",
        Adjusted = "adjusted",
        Checked = "checked",
        Removed = "removed",
    }
);
words!(
    /// When in the day a brace is worn.
    WearWhen { Night = "night", PartTime = "part time", FullTime = "full time" }
);
words!(
    /// The unit of a log's temperatures.
    TemperatureUnit { Celsius = "degC", Fahrenheit = "degF" }
);
words!(
    /// What was decided.
    Choice {
        Watch = "watch",
        Exercise = "exercise",
        NightBrace = "night brace",
        PartTimeBrace = "part-time brace",
        FullTimeBrace = "full-time brace",
        Cast = "cast",
        SecondBrace = "second brace",
        Continue = "continue",
        Wean = "wean",
        SurgicalOpinion = "surgical opinion",
        NeurologicalOpinion = "neurological opinion",
        Discharge = "discharge",
    }
);
words!(
    /// Whether a brace or cast is on while the patient is at school or a club.
    WornThere { Worn = "worn", Partly = "partly worn", Not = "not worn" }
);
words!(
    /// How a patient takes part in sport.
    SportPart {
        TakesPart = "takes part",
        Without = "takes part without the brace",
        Within = "takes part in the brace",
        Either = "takes part with or without the brace",
        Pauses = "pauses",
    }
);
words!(
    /// What a school or club can do for a patient.
    Help {
        Changing = "a place to change",
        Time = "time to change",
        Keeping = "a place to keep the brace",
        Straps = "help with the straps",
        Bag = "a light bag",
        Books = "a second set of books",
        Chair = "a chair that fits",
        Moving = "leave to stand up and move",
        Drinking = "water at hand in hot weather",
        Clothes = "loose clothes over the brace",
    }
);
words!(
    /// Whether a finding is there.
    Finding { Present = "present", Absent = "absent", NotSure = "not sure" }
);
words!(
    /// What was done about a red flag.
    Answered {
        ImagingAsked = "imaging asked",
        ImagingDone = "imaging done",
        NoImaging = "no imaging",
        OpinionAsked = "opinion asked",
        NoAction = "no action",
    }
);
words!(
    /// Who a contact is to the patient.
    Role {
        ReferringDoctor = "referring doctor",
        Family = "family",
        Patient = "patient",
        Surgeon = "surgeon",
        Specialist = "specialist",
        Orthotist = "orthotist",
        Payer = "payer",
        School = "school",
        Therapist = "therapist",
        Other = "other",
    }
);
words!(
    /// Kinds of letter.
    LetterKind {
        Progress = "progress",
        SurgicalOpinion = "surgical opinion",
        NeurologicalOpinion = "neurological opinion",
        Prescription = "prescription",
        Check = "check",
        Justification = "justification",
        Appeal = "appeal",
        School = "school",
        Weaning = "weaning",
        Discharge = "discharge",
        Summary = "summary",
        Gap = "gap",
    }
);
words!(
    /// State of a request to a payer.
    RequestState {
        Draft = "draft",
        Sent = "sent",
        Pended = "pended",
        Approved = "approved",
        Denied = "denied",
        Appealed = "appealed",
    }
);
words!(
    /// What a payer is asked for.
    RequestKind {
        New = "new",
        Replacement = "replacement",
        Repair = "repair",
        Continuation = "continuation",
        Appeal = "appeal",
    }
);
words!(
    /// At which step a payer said no.
    DenialLevel {
        Initial = "initial review",
        FirstAppeal = "first appeal",
        SecondAppeal = "second appeal",
        External = "external review",
    }
);
words!(
    /// Published figures of risk that may be told to a family as counts of a
    /// hundred; named as the facts are.
    RiskFigure {
        BySizeAndRisser = "by_size_and_risser",
        BySizeAndAge = "by_size_and_age",
        Boys = "boys",
        AtMaturity = "thirty_at_maturity",
        Trial = "trial",
    }
);
words!(
    /// How soon an opinion is wanted.
    Urgency { Routine = "routine", Soon = "soon", Urgent = "urgent" }
);

/// The clinic's own words in other languages than its own, by tag.
pub type InLanguages = BTreeMap<String, Located<String>>;

/// The same of lists.
pub type ListsInLanguages = BTreeMap<String, Vec<Located<String>>>;

/// One patient's case file.
#[derive(Debug, Clone)]
pub struct Case {
    /// The case's id, also its file name.
    pub id: Located<String>,
    /// The clinic's record number.
    pub record_no: Opt<String>,
    /// The patient.
    pub patient: Patient,
    /// What was asked at the first visit.
    pub background: Background,
    /// Who sent the patient, when, why.
    pub referral: Option<Referral>,
    /// People and institutions who may get letters.
    pub contacts: Vec<Contact>,
    /// The payer and the membership.
    pub coverage: Option<Coverage>,
    /// The diagnosis as the clinic states it.
    pub diagnosis: Diagnosis,
    /// Radiographs.
    pub films: Vec<Film>,
    /// Physical examinations.
    pub exams: Vec<Exam>,
    /// Exercise, casts, braces.
    pub treatments: Vec<Treatment>,
    /// Decisions.
    pub plans: Vec<Plan>,
    /// What was agreed for schools and clubs.
    pub school: Vec<SchoolNote>,
    /// What was done about red flags.
    pub answers: Vec<FlagAnswer>,
    /// Requests to payers.
    pub requests: Vec<Request>,
    /// What is missing, and who was asked for it.
    pub gaps: Vec<Gap>,
    /// Letters to write.
    pub letters: Vec<LetterEntry>,
    /// Corrections of earlier entries.
    pub corrections: Vec<Correction>,
    /// Ids of records that were too faulty to read (each fault was reported):
    /// a reference to one of them is not a fault of its own.
    pub unread: Vec<String>,
    /// The file as typed, value by value: for corrections and for finding
    /// what changed.
    pub tree: Arc<Node>,
    /// Where the record begins.
    pub place: Place,
}

/// The person.
#[derive(Debug, Clone)]
pub struct Patient {
    /// Full name as it is written.
    pub name: Located<String>,
    /// The name they go by.
    pub called: Opt<String>,
    /// Date of birth.
    pub born: Located<NaiveDate>,
    /// Sex as recorded.
    pub sex: Located<Sex>,
    /// Pronouns as stated; absent means the name is used instead.
    pub pronouns: Opt<Pronouns>,
    /// How many vertebrae; twelve thoracic and five lumbar unless declared.
    pub column: Column,
    /// Where the record stands.
    pub place: Place,
}

/// Answers of the first visit.
#[derive(Debug, Clone, Default)]
pub struct Background {
    /// Relatives with a curve; an empty list means "asked, none".
    pub family_history: Option<Vec<Relative>>,
    /// The first period.
    pub menarche: Option<Menarche>,
    /// Allergies, as written.
    pub allergies: Opt<String>,
    /// Implants, as written.
    pub implants: Opt<String>,
    /// Other conditions, as written.
    pub conditions: Vec<Located<String>>,
}

/// A relative with a spinal condition.
#[derive(Debug, Clone)]
pub struct Relative {
    /// `aunt`, `mother`, as written.
    pub who: Located<String>,
    /// The condition, as written.
    pub what: Located<String>,
}

/// The first period: when it was, or the last day it was known not to have come.
#[derive(Debug, Clone)]
pub struct Menarche {
    /// The date, as precisely as known.
    pub on: Opt<PartialDate>,
    /// The last day on which it had not come yet.
    pub not_yet: Opt<NaiveDate>,
}

/// How the patient came.
#[derive(Debug, Clone)]
pub struct Referral {
    /// The day.
    pub on: Located<NaiveDate>,
    /// Id of the contact.
    pub from: Opt<String>,
    /// The reason, as written.
    pub why: Opt<String>,
}

/// Someone who may receive letters.
#[derive(Debug, Clone)]
pub struct Contact {
    /// Id within the case.
    pub id: Located<String>,
    /// Who they are to the patient.
    pub role: Located<Role>,
    /// Name as addressed.
    pub name: Located<String>,
    /// How a letter greets them, after "Dear"; the name if absent.
    pub greeting: Opt<String>,
    /// Practice, department or company above the address.
    pub organisation: Opt<String>,
    /// Address lines.
    pub address: Vec<Located<String>>,
    /// Telephone.
    pub phone: Opt<String>,
    /// The number under which payers know them.
    pub provider_no: Opt<String>,
    /// Kinds of letter they may get; absent means every kind meant for their role.
    pub may_receive: Option<Vec<Located<LetterKind>>>,
    /// Language tag of letters to them.
    pub language: Opt<String>,
    /// That no letter may reach them, whatever its kind.
    pub withheld: Option<Withheld>,
    /// Where the record stands.
    pub place: Place,
}

impl Contact {
    /// The day since which nothing goes to them, if that is so on a day.
    pub fn withheld_on(&self, day: NaiveDate) -> Option<&Located<NaiveDate>> {
        self.withheld.as_ref().map(|w| &w.since).filter(|since| since.value <= day)
    }

    /// Whether a letter of that kind and day may go to them, as far as this
    /// case says: consent and custody.
    pub fn may_get(&self, kind: LetterKind, day: NaiveDate) -> bool {
        let listed = |kinds: &Vec<Located<LetterKind>>| kinds.iter().any(|k| k.value == kind);
        self.withheld_on(day).is_none() && self.may_receive.as_ref().is_none_or(listed)
    }
}

/// Letters are withheld from a contact: by a court, or because the patient or
/// the family took their consent back.
#[derive(Debug, Clone)]
pub struct Withheld {
    /// The first day on which nothing goes to them.
    pub since: Located<NaiveDate>,
    /// By what right, as written; never printed in a letter.
    pub why: Located<String>,
}

/// Insurance or other coverage.
#[derive(Debug, Clone)]
pub struct Coverage {
    /// Id of the payer's criteria file.
    pub payer: Located<String>,
    /// Member number.
    pub member: Opt<String>,
    /// Plan name.
    pub plan: Opt<String>,
    /// Group number.
    pub group: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// The diagnosis as the clinic states it.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// Cause.
    pub cause: Located<Cause>,
    /// Which deformity.
    pub deformity: Located<Deformity>,
    /// When it was found, for the age class.
    pub found: Opt<PartialDate>,
    /// An underlying condition, as written.
    pub underlying: Opt<String>,
    /// What exactly the cause is due to.
    pub due_to: Opt<DueTo>,
    /// ICD-10-CM code as the clinician recorded it.
    pub code: Opt<String>,
    /// Codes recorded before it: the underlying disease.
    pub codes_first: Vec<Located<String>>,
    /// Codes recorded after it.
    pub codes_after: Vec<Located<String>>,
    /// Where the record stands.
    pub place: Place,
}

/// A radiograph.
#[derive(Debug, Clone)]
pub struct Film {
    /// Id within the case.
    pub id: Located<String>,
    /// The day it was taken: it counts as known from then.
    pub taken: Located<NaiveDate>,
    /// Frontal, lateral, bending or hand.
    pub view: Located<View>,
    /// PA or AP; frontal and bending films only.
    pub projection: Opt<Projection>,
    /// How the film is laid out.
    pub displayed: Opt<Display>,
    /// Posture; hand films have none.
    pub posture: Opt<Posture>,
    /// The side bent to, for bending films.
    pub bent_to: Opt<Side>,
    /// What held the spine.
    pub support: Opt<Support>,
    /// Hours out of the brace before the film.
    pub off_for: Opt<Hours>,
    /// Millimetres per pixel, for lengths.
    pub scale: Opt<PixelScale>,
    /// Its picture.
    pub image: Option<FilmImage>,
    /// Readings by people.
    pub readings: Vec<Reading>,
    /// Those made again (`repeat_of:`), set apart from the others where facts
    /// begin, so that no value rests on them; empty before.
    pub repeats: Vec<Reading>,
    /// Bone maturity seen on this film.
    pub maturity: Option<Maturity>,
    /// Effective dose.
    pub dose: Opt<Dose>,
    /// Dose-area product.
    pub area_dose: Opt<AreaDose>,
    /// Why it was taken, as written.
    pub why: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

impl Film {
    /// How the film's pixels lie to the patient; `None` if the display is not
    /// recorded or does not fit the view. The one place where a display
    /// becomes a side.
    pub fn frame(&self) -> Option<FilmFrame> {
        match (self.view.value, self.displayed.as_ref()?.value) {
            (View::Frontal | View::Bending, Display::FromBehind) => {
                Some(FilmFrame::FrontalFromBehind)
            }
            (View::Frontal | View::Bending, Display::FromFront) => {
                Some(FilmFrame::FrontalFromFront)
            }
            (View::Lateral, Display::FacingLeft) => Some(FilmFrame::LateralFacingLeft),
            (View::Lateral, Display::FacingRight) => Some(FilmFrame::LateralFacingRight),
            _ => None,
        }
    }
}

/// The picture of a film: a PNG or JPEG file.
#[derive(Debug, Clone)]
pub struct FilmImage {
    /// Path as written, relative to the case's folder.
    pub path: Located<String>,
    /// What it shows; `None` until the file was read, or if it could not be
    /// (an error was reported).
    pub picture: Option<Arc<FilmPicture>>,
}

/// What held the spine when a film was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Support {
    /// Nothing.
    None,
    /// The treatment of this id (a brace or a cast).
    Treatment(String),
}

/// One person's reading of one film.
#[derive(Debug, Clone)]
pub struct Reading {
    /// Id within the film.
    pub id: Located<String>,
    /// Id of the reader (a person of the clinic, or any short name).
    pub by: Located<String>,
    /// The day it was read: it counts as known from then.
    pub read: Located<NaiveDate>,
    /// Id of the same reader's first reading of this film, if it was read
    /// again only to learn how well readings repeat.
    pub repeat_of: Opt<String>,
    /// Curves as recorded.
    pub curves: Vec<CurveReading>,
    /// What else was measured on a frontal film.
    pub frontal: Option<Frontal>,
    /// What else was measured on a lateral film.
    pub sagittal: Option<Sagittal>,
    /// Wedging of single vertebrae: the angle between their own endplates.
    pub wedges: Vec<(Located<Level>, Located<Angle>)>,
    /// Path of the landmark file and, once loaded, its content.
    pub landmarks: Option<Landmarks>,
    /// Where the record stands.
    pub place: Place,
}

/// An amount with a side of the patient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sided<T> {
    /// How much, never negative.
    pub amount: T,
    /// Toward which side, or which side is higher; `None` only for zero.
    pub side: Option<Side>,
}

/// What a reader measured on a frontal film beside the curves.
#[derive(Debug, Clone)]
pub struct Frontal {
    /// C7 plumb line from the central sacral vertical line (CSVL).
    pub balance: Opt<Sided<Length>>,
    /// How the CSVL was drawn.
    pub csvl: Opt<CsvlLine>,
    /// Middle of the trunk from the CSVL.
    pub trunk_shift: Opt<Sided<Length>>,
    /// Tilt of the first thoracic vertebra, with its higher side.
    pub t1_tilt: Opt<Sided<Angle>>,
    /// Line of the clavicles against the horizontal, with the higher side.
    pub clavicle_angle: Opt<Sided<Angle>>,
    /// Line of the iliac crests against the horizontal, with the higher side.
    pub pelvic_obliquity: Opt<Sided<Angle>>,
    /// Difference in height of the femoral heads, with the higher side.
    pub femoral_heads: Opt<Sided<Length>>,
    /// Grade of rotation by pedicle offset, 0 to 4, by level.
    pub rotation: Vec<(Located<Level>, Located<u8>)>,
    /// Rib-vertebra angles.
    pub rib_vertebra: Vec<RibVertebra>,
    /// Where the CSVL passes the lumbar apex.
    pub csvl_at_lumbar_apex: Opt<CsvlAtApex>,
    /// Where the record stands.
    pub place: Place,
}

/// The rib-vertebra angles of one vertebra.
#[derive(Debug, Clone)]
pub struct RibVertebra {
    /// The vertebra, usually the apex.
    pub level: Located<Level>,
    /// On the convex side.
    pub convex: Located<Angle>,
    /// On the concave side.
    pub concave: Located<Angle>,
    /// 1: a gap between the convex rib head and the body; 2: they overlap.
    pub phase: Opt<u8>,
    /// Where the record stands.
    pub place: Place,
}

/// What a reader measured on a lateral film beside the curves: angles between
/// upper edge of the first and lower edge of the second vertebra named;
/// kyphosis counts positive.
#[derive(Debug, Clone)]
pub struct Sagittal {
    /// T2 to T5.
    pub t2_t5: Opt<Angle>,
    /// Kyphosis T5 to T12.
    pub t5_t12: Opt<Angle>,
    /// Kyphosis T2 to T12.
    pub t2_t12: Opt<Angle>,
    /// Kyphosis T4 to T12.
    pub t4_t12: Opt<Angle>,
    /// T10 to L2.
    pub t10_l2: Opt<Angle>,
    /// Lordosis L1 to S1, positive as lordosis.
    pub lordosis: Opt<Angle>,
    /// Pelvic incidence.
    pub pelvic_incidence: Opt<Angle>,
    /// Pelvic tilt.
    pub pelvic_tilt: Opt<Angle>,
    /// Sacral slope.
    pub sacral_slope: Opt<Angle>,
    /// Sagittal vertical axis: C7 plumb line from the upper back corner of
    /// S1, positive with C7 in front.
    pub sva: Opt<Length>,
    /// Where the record stands.
    pub place: Place,
}

/// A landmark file.
#[derive(Debug, Clone)]
pub struct Landmarks {
    /// Path as written, relative to the case's folder.
    pub path: Located<String>,
    /// The corners; `None` if the file could not be read (an error was reported).
    pub set: Option<LandmarkSet>,
}

/// One curve of one reading.
#[derive(Debug, Clone)]
pub struct CurveReading {
    /// Name that ties the curve to the same curve on other films.
    pub name: Opt<String>,
    /// Upper end vertebra.
    pub upper: Located<Level>,
    /// Apex.
    pub apex: Opt<Apex>,
    /// Lower end vertebra.
    pub lower: Located<Level>,
    /// Side of the convexity; frontal and bending films.
    pub convex: Opt<Side>,
    /// Kyphosis or lordosis; lateral films.
    pub bend: Opt<Bend>,
    /// Typed Cobb angle; negative only in support (overcorrected).
    pub cobb: Opt<Angle>,
    /// How far the apex stands to the side: a thoracic one from the C7 plumb
    /// line, others from the central sacral vertical line.
    pub translation: Opt<Sided<Length>>,
    /// Found from the landmarks by the program; no reader typed it.
    pub found: bool,
    /// Where the record stands.
    pub place: Place,
}

/// Bone maturity as read from a film.
#[derive(Debug, Clone)]
pub struct Maturity {
    /// Risser grade and its scale.
    pub risser: Option<Risser>,
    /// Triradiate cartilage.
    pub triradiate: Opt<Triradiate>,
    /// Stage of hand maturity, 1 to 8, from a hand film.
    pub hand_stage: Opt<u8>,
    /// Grade of the distal radius, 1 to 11, from a hand film.
    pub radius: Opt<u8>,
    /// Grade of the distal ulna, 1 to 9, from a hand film.
    pub ulna: Opt<u8>,
    /// Where the record stands.
    pub place: Place,
}

/// A Risser grade with the scale it was read on.
#[derive(Debug, Clone)]
pub struct Risser {
    /// 0 to 5.
    pub grade: Located<u8>,
    /// United States or French.
    pub scale: Located<RisserScale>,
}

/// A physical examination.
#[derive(Debug, Clone)]
pub struct Exam {
    /// The day.
    pub on: Located<NaiveDate>,
    /// Id of the examiner.
    pub by: Opt<String>,
    /// Standing height.
    pub height: Opt<Length>,
    /// Sitting height.
    pub sitting_height: Opt<Length>,
    /// Arm span.
    pub arm_span: Opt<Length>,
    /// Weight.
    pub weight: Opt<Mass>,
    /// Angle of trunk rotation at a level; positive with the right side up.
    pub trunk_rotation: Vec<(Located<Level>, Located<Angle>)>,
    /// Difference in leg length.
    pub leg_difference: Opt<Length>,
    /// Neurological findings by name (`power`, `reflexes`, `abdominal_reflexes`, ...), as written.
    pub neurology: BTreeMap<String, Located<String>>,
    /// Findings that red-flag rules ask for, by name.
    pub flags: BTreeMap<String, Located<Finding>>,
    /// Skin under the brace, as written.
    pub skin: Opt<String>,
    /// Pain now, 0 to 10.
    pub pain: Opt<Reported>,
    /// Scores by name (`ODI`, `SRS-22r`), as recorded.
    pub scores: BTreeMap<String, Located<Reported>>,
    /// The answers to the SRS-22r, in the order of its questions.
    pub srs22r: Option<Answers>,
    /// The answers to the Oswestry index, in the order of its sections.
    pub odi: Option<Answers>,
    /// What the patient says, as written.
    pub says: Opt<String>,
    /// Other findings, as written.
    pub findings: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// The answers to a questionnaire; those that could not be read are absent,
/// and each was reported.
#[derive(Debug, Clone)]
pub struct Answers {
    /// In the order of the questions.
    pub answers: Vec<Located<Answer>>,
    /// Where the list begins.
    pub place: Place,
}

/// A treatment over a span of time.
#[derive(Debug, Clone)]
pub struct Treatment {
    /// Id within the case.
    pub id: Located<String>,
    /// Exercise, brace, cast, shoe lift.
    pub kind: Located<TreatmentKind>,
    /// Class of orthosis or cast.
    pub class: Opt<OrthosisClass>,
    /// How an orthosis comes to fit its wearer.
    pub made: Opt<Made>,
    /// How it is meant to act.
    pub principle: Vec<Located<Principle>>,
    /// When it was ordered.
    pub ordered: Opt<NaiveDate>,
    /// First day, where it differs from the first fitting.
    pub from: Opt<NaiveDate>,
    /// What is prescribed, for exercise and shoe lifts, as written.
    pub prescribed: Opt<String>,
    /// What was decided for the maker; it counts as known from `ordered`.
    pub order: Option<Order>,
    /// Deliveries, adjustments, cast changes.
    pub fittings: Vec<Fitting>,
    /// Prescribed hours, each in force until the next.
    pub hours: Vec<HoursStep>,
    /// Sensor log.
    pub wear: Option<Wear>,
    /// Hours as told by patient or family.
    pub reported: Vec<ReportedHours>,
    /// The end.
    pub ended: Option<Ended>,
    /// Where the record stands.
    pub place: Place,
}

impl Treatment {
    /// The first day the treatment acted on the patient: `from`, else the
    /// first fitting that delivered or applied it.
    pub fn start(&self) -> Option<&Located<NaiveDate>> {
        self.from.as_ref().or_else(|| {
            self.fittings
                .iter()
                .filter(|f| matches!(*f.what, FittingKind::Delivered | FittingKind::Applied))
                .map(|f| &f.on)
                .min_by_key(|on| on.value)
        })
    }
}

/// Something done to a brace or cast on a day.
#[derive(Debug, Clone)]
pub struct Fitting {
    /// The day.
    pub on: Located<NaiveDate>,
    /// What was done.
    pub what: Located<FittingKind>,
    /// Film of that fitting, by id.
    pub film: Opt<String>,
    /// Skin, as written.
    pub skin: Opt<String>,
    /// The same in other languages, by tag.
    pub skin_in: InLanguages,
    /// Reason or detail, as written.
    pub why: Opt<String>,
    /// Id of who fitted or checked.
    pub by: Opt<String>,
    /// How it fits, as written.
    pub fit: Opt<String>,
    /// What the patient says of it, as written.
    pub says: Opt<String>,
    /// The same in other languages, by tag.
    pub says_in: InLanguages,
    /// What was decided about it.
    pub decision: Opt<Decision>,
    /// The day of that decision, if later than the fitting.
    pub decided: Opt<NaiveDate>,
    /// Why, as written.
    pub because: Opt<String>,
    /// What the family was told, as written.
    pub told: Opt<String>,
    /// The same in other languages, by tag.
    pub told_in: InLanguages,
    /// What is to be changed on it.
    pub changes: Vec<Change>,
    /// The day by which that is to be done.
    pub changes_by: Opt<PartialDate>,
    /// Where the record stands.
    pub place: Place,
}

/// Prescribed hours from a day on.
#[derive(Debug, Clone)]
pub struct HoursStep {
    /// First day.
    pub from: Located<NaiveDate>,
    /// The day it was decided, if before.
    pub decided: Opt<NaiveDate>,
    /// Hours a day.
    pub per_day: Located<HoursPerDay>,
    /// When in the day.
    pub when: Opt<WearWhen>,
    /// Id of the prescriber.
    pub by: Opt<String>,
    /// Reason, as written.
    pub why: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// A brace's sensor log.
#[derive(Debug, Clone)]
pub struct Wear {
    /// The log.
    pub log: Option<WearLog>,
    /// The day it was downloaded: it counts as known from then.
    pub downloaded: Opt<NaiveDate>,
    /// Worn above this temperature.
    pub worn_above: Opt<Temperature>,
    /// Taken off below this temperature.
    pub taken_off_below: Opt<Temperature>,
    /// Mean hours a day read off the log by other means.
    pub measured: Vec<MeasuredHours>,
    /// Where the record stands.
    pub place: Place,
}

/// The file of a sensor log; how it is read stands in [`Wear`]'s record.
#[derive(Debug, Clone)]
pub struct WearLog {
    /// Path as written, relative to the case's folder.
    pub path: Located<String>,
    /// Its samples; `None` if it could not be read (an error was reported).
    pub content: Option<Arc<wear::Log>>,
}

/// Measured mean wear over a span.
#[derive(Debug, Clone)]
pub struct MeasuredHours {
    /// First day.
    pub from: Located<NaiveDate>,
    /// Last day.
    pub to: Located<NaiveDate>,
    /// Mean hours a day.
    pub per_day: Located<HoursPerDay>,
    /// The day it was read off the sensor, if earlier than the log's download.
    pub downloaded: Opt<NaiveDate>,
    /// Where the record stands.
    pub place: Place,
}

/// Hours as told.
#[derive(Debug, Clone)]
pub struct ReportedHours {
    /// The day it was told.
    pub on: Located<NaiveDate>,
    /// Hours a day.
    pub per_day: Located<HoursPerDay>,
    /// Where the record stands.
    pub place: Place,
}

/// The end of a treatment.
#[derive(Debug, Clone)]
pub struct Ended {
    /// The day.
    pub on: Located<NaiveDate>,
    /// Why, as written.
    pub why: Opt<String>,
}

/// A decision.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The day.
    pub on: Located<NaiveDate>,
    /// Id of who decided.
    pub by: Opt<String>,
    /// What was chosen; at least one.
    pub choice: Vec<Located<Choice>>,
    /// Why, as written.
    pub because: Opt<String>,
    /// Aim of treatment, as written.
    pub aim: Opt<String>,
    /// When the plan changes, as written ("above 160.6 cm the film comes sooner").
    pub changes_if: Opt<String>,
    /// The same in other languages, by tag.
    pub changes_if_in: InLanguages,
    /// When to film and see next.
    pub next: Option<Next>,
    /// What was told to the family, as written.
    pub told: Opt<String>,
    /// The same in other languages, by tag.
    pub told_in: InLanguages,
    /// What should bring a discharged patient back, as written.
    pub come_back_if: Vec<Located<String>>,
    /// The same in other languages, by tag.
    pub come_back_if_in: ListsInLanguages,
    /// Who looks after the patient as an adult, as written; the clinic's own
    /// words if absent.
    pub adult_care: Opt<String>,
    /// The same in other languages, by tag.
    pub adult_care_in: InLanguages,
    /// Where the record stands.
    pub place: Place,
}

/// What was agreed with the family for a school or a club to read.
#[derive(Debug, Clone)]
pub struct SchoolNote {
    /// The day it was agreed.
    pub on: Located<NaiveDate>,
    /// Id of who agreed it with the family.
    pub by: Located<String>,
    /// The school or club it is for, a contact by id; every one if absent.
    pub whom: Opt<String>,
    /// Whether the brace or cast is on while they are there.
    pub brace: Opt<WornThere>,
    /// When it is on and off there, as written.
    pub when: Opt<String>,
    /// The same in other languages, by tag.
    pub when_in: InLanguages,
    /// How they take part in sport.
    pub sport: Opt<SportPart>,
    /// What is left out of sport, as decided; an empty list means nothing.
    pub limits: Option<Vec<Located<String>>>,
    /// The same in other languages, by tag.
    pub limits_in: ListsInLanguages,
    /// What helps.
    pub helps: Vec<Located<Help>>,
    /// What else the school or club should know, as written.
    pub also: Opt<String>,
    /// The same in other languages, by tag.
    pub also_in: InLanguages,
    /// Until when it holds.
    pub until: Opt<PartialDate>,
    /// Where the record stands.
    pub place: Place,
}

/// What comes next.
#[derive(Debug, Clone)]
pub struct Next {
    /// Next film.
    pub film: Opt<PartialDate>,
    /// Hours out of the brace before that film.
    pub off_for: Opt<Hours>,
    /// Next visit.
    pub visit: Opt<PartialDate>,
}

/// What was done about a red flag.
#[derive(Debug, Clone)]
pub struct FlagAnswer {
    /// Ids of the red flags' rules that it answers; at least one.
    pub flags: Vec<Located<String>>,
    /// The day it was decided.
    pub on: Located<NaiveDate>,
    /// Id of who decided.
    pub by: Located<String>,
    /// What was decided.
    pub what: Located<Answered>,
    /// Why, as written.
    pub because: Opt<String>,
    /// The letter that asks, by id.
    pub letter: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// A request to a payer.
#[derive(Debug, Clone)]
pub struct Request {
    /// Id within the case.
    pub id: Located<String>,
    /// Id of the payer's criteria file.
    pub to: Located<String>,
    /// What is asked: a new item, a replacement.
    pub kind: Opt<RequestKind>,
    /// Treatment asked for, by id.
    pub item: Located<String>,
    /// How many.
    pub units: Opt<u32>,
    /// The treatment it replaces, by id.
    pub replaces: Opt<String>,
    /// Why the old one cannot be adjusted further, as written.
    pub replaces_because: Opt<String>,
    /// The day of the order.
    pub ordered: Opt<NaiveDate>,
    /// Who ordered it: a person of the clinic, by id.
    pub ordered_by: Opt<String>,
    /// Who supplies it: a contact, by id.
    pub supplier: Opt<String>,
    /// The day of the examination in person.
    pub seen: Opt<NaiveDate>,
    /// The day it was sent.
    pub sent: Opt<NaiveDate>,
    /// State.
    pub state: Opt<RequestState>,
    /// The payer's reference.
    pub reference: Opt<String>,
    /// Item codes as the clinician recorded them.
    pub codes: Vec<Located<String>>,
    /// How the item comes to fit its wearer, if the treatment does not say.
    pub made: Opt<Made>,
    /// The item described, as written.
    pub item_text: Opt<String>,
    /// Hours a day asked for.
    pub hours: Opt<HoursPerDay>,
    /// For how long, in months.
    pub months: Opt<u32>,
    /// Goal, as written.
    pub goal: Opt<String>,
    /// When treatment will be stopped or changed, as written.
    pub stop_rule: Opt<String>,
    /// Alternatives considered, as written.
    pub alternatives: Opt<String>,
    /// What happens if nothing is done, as written.
    pub if_not: Opt<String>,
    /// Whether an expedited review is asked for.
    pub expedited: Opt<bool>,
    /// Why a criterion should not be held against the patient, as written.
    pub exception: Opt<String>,
    /// Who speaks with the payer's reviewer.
    pub peer_to_peer: Option<PeerToPeer>,
    /// The payer's yes.
    pub authorised: Option<Authorised>,
    /// The payer's no.
    pub denial: Option<Denial>,
    /// By what right the clinic appeals.
    pub authority: Option<Authority>,
    /// The day the appeal was sent.
    pub appealed: Opt<NaiveDate>,
    /// Evidence recorded by hand for criteria no fact can answer: criterion id to text.
    pub statements: BTreeMap<String, Located<String>>,
    /// Where the record stands.
    pub place: Place,
}

/// Who speaks with the payer's reviewer.
#[derive(Debug, Clone)]
pub struct PeerToPeer {
    /// A person of the clinic, by id.
    pub who: Located<String>,
    /// When they can be reached, as written.
    pub when: Opt<String>,
}

/// The payer's yes: delivery counts within its days.
#[derive(Debug, Clone)]
pub struct Authorised {
    /// The day it was given; `from` if absent.
    pub on: Opt<NaiveDate>,
    /// First day.
    pub from: Located<NaiveDate>,
    /// Last day.
    pub to: Located<NaiveDate>,
    /// The payer's number for it.
    pub reference: Opt<String>,
}

/// The payer's no.
#[derive(Debug, Clone)]
pub struct Denial {
    /// The day of the payer's letter.
    pub on: Located<NaiveDate>,
    /// At which step.
    pub level: Opt<DenialLevel>,
    /// The last day for an answer.
    pub answer_by: Opt<NaiveDate>,
    /// The reasons, in the payer's order.
    pub reasons: Vec<DenialReason>,
    /// Where the record stands.
    pub place: Place,
}

/// One reason of a denial.
#[derive(Debug, Clone)]
pub struct DenialReason {
    /// In the payer's words.
    pub text: Located<String>,
    /// The criterion it names, by the payer's number.
    pub criterion: Opt<String>,
    /// The clinician's answer, as written.
    pub answer: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// By what right the clinic appeals.
#[derive(Debug, Clone)]
pub struct Authority {
    /// Who gave it: a contact, by id.
    pub from: Located<String>,
    /// The day.
    pub on: Located<NaiveDate>,
    /// How: a signed form, as written.
    pub how: Opt<String>,
}

/// Something missing, asked of whoever holds it.
#[derive(Debug, Clone)]
pub struct Gap {
    /// Id within the case.
    pub id: Located<String>,
    /// Who holds it: a contact, by id.
    pub from: Located<String>,
    /// The day it was first asked for.
    pub asked: Located<NaiveDate>,
    /// What is missing, as written.
    pub items: Vec<Located<String>>,
    /// The same in other languages, by tag.
    pub items_in: ListsInLanguages,
    /// The request or letter it is for, by id.
    pub purpose: Located<String>,
    /// The day by which it is needed.
    pub by: Located<NaiveDate>,
    /// How to send it, as written.
    pub how: Opt<String>,
    /// The consent under which it may be sent, as written.
    pub consent: Opt<String>,
    /// Days on which it was asked for again.
    pub reminders: Vec<Located<NaiveDate>>,
    /// The day it came.
    pub received: Opt<NaiveDate>,
    /// Where the record stands.
    pub place: Place,
}

/// Something sent with a letter.
#[derive(Debug, Clone)]
pub struct Enclosure {
    /// What it is, as written.
    pub what: Located<String>,
    /// The film it is, by id.
    pub film: Opt<String>,
    /// Its file, relative to the case file.
    pub file: Opt<String>,
    /// The digest of the file's bytes; absent without a file, and until the
    /// file was read.
    pub digest: Option<Digest>,
    /// How many pages.
    pub pages: Opt<u32>,
    /// Records whose evidence it carries: `exam 2026-10-12`, `treatment b1 / wear`.
    pub shows: Vec<Located<String>>,
    /// Where the record stands.
    pub place: Place,
}

/// A letter to write.
#[derive(Debug, Clone)]
pub struct LetterEntry {
    /// Id within the case.
    pub id: Located<String>,
    /// Kind.
    pub kind: Located<LetterKind>,
    /// Contact it goes to, by id.
    pub to: Located<String>,
    /// Contacts who get a copy, by id.
    pub copies: Vec<Located<String>>,
    /// The day whose knowledge the letter states.
    pub as_of: Located<NaiveDate>,
    /// The date on the letter; `as_of` if absent.
    pub dated: Opt<NaiveDate>,
    /// Person who signs, by id.
    pub signed_by: Located<String>,
    /// The day it was signed.
    pub signed: Opt<NaiveDate>,
    /// The letter that this one adds to, by id.
    pub adds_to: Opt<String>,
    /// The question asked of the reader, as written.
    pub question: Opt<String>,
    /// How soon.
    pub urgency: Opt<Urgency>,
    /// Request it supports, by id.
    pub request: Opt<String>,
    /// The gap it asks to fill, by id.
    pub gap: Opt<String>,
    /// The brace or cast it is about, by id, where it is not the latest.
    pub about: Opt<String>,
    /// Films enclosed, by id.
    pub enclosed: Vec<Located<String>>,
    /// What else goes with it, in the order of its numbers.
    pub enclosures: Vec<Enclosure>,
    /// The clinician's own words, as written.
    pub remarks: Opt<String>,
    /// The same in other languages, by tag.
    pub remarks_in: InLanguages,
    /// The record it follows by the clinic's rule (`exam 2026-10-20`); absent
    /// where somebody typed the entry.
    pub follows: Opt<String>,
    /// Figures of risk that the clinician wants told to the family; none
    /// unless they say so.
    pub risk: Vec<Located<RiskFigure>>,
    /// Where the record stands.
    pub place: Place,
}

/// A correction of an entry.
#[derive(Debug, Clone)]
pub struct Correction {
    /// The day it was made.
    pub on: Located<NaiveDate>,
    /// Id of who made it.
    pub by: Located<String>,
    /// The record: `film f1 / reading r1 / curve thoracic / cobb`.
    pub at: Located<String>,
    /// What it said.
    pub was: Located<String>,
    /// What it says now.
    pub now: Located<String>,
    /// Why, as written.
    pub because: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}
