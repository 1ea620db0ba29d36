//! The words a language needs outside templates: units, months, sides, the frame.
//!
//! Everything here is data. English is complete; another language is another
//! table of the same shape.

use crate::case::{LetterKind, Pronouns, View};
use crate::quantity::Unit;

/// How a unit is written after a number.
#[derive(Debug, Clone, Copy)]
pub struct UnitWords {
    /// The unit.
    pub unit: Unit,
    /// After a number in letters to doctors, leading space included.
    pub short: &'static str,
    /// In plain words after the number one.
    pub one: &'static str,
    /// In plain words after any other number.
    pub many: &'static str,
}

/// The forms of a pronoun.
#[derive(Debug, Clone, Copy)]
pub struct PronounWords {
    /// Whose they are.
    pub pronouns: Pronouns,
    /// `she`.
    pub subject: &'static str,
    /// `her`.
    pub object: &'static str,
    /// `her` (brace).
    pub possessive: &'static str,
    /// Whether the verb is plural.
    pub plural: bool,
}

/// Words of the frame.
#[derive(Debug, Clone, Copy)]
#[allow(missing_docs)]
pub struct FrameTable {
    pub page: &'static str,
    pub of: &'static str,
    pub letter: &'static str,
    pub born: &'static str,
    pub record: &'static str,
    pub telephone: &'static str,
    pub direct: &'static str,
    pub licence: &'static str,
    pub provider: &'static str,
    pub responsible: &'static str,
    pub copies: &'static str,
    pub enclosures: &'static str,
    pub dear: &'static str,
    pub closing: &'static str,
    pub sheet_closing: &'static str,
    pub draft: &'static str,
    pub version: &'static str,
    pub register: &'static str,
    pub register_begins: &'static str,
    pub worklist: &'static str,
    pub internal: &'static str,
    pub seen: &'static str,
    pub caution: &'static str,
    pub radiograph: &'static str,
    pub radiographs: &'static str,
    pub x_ray: &'static str,
    pub x_rays: &'static str,
}

/// A language of letters.
#[derive(Debug)]
pub struct Language {
    /// Its tag, such as `en`.
    pub tag: &'static str,
    /// Whether the closed sets' own words are words of this language, so that
    /// a word without a phrase may be printed as it is.
    pub own_words: bool,
    /// Months in full.
    pub months: [&'static str; 12],
    /// Months, short.
    pub months_short: [&'static str; 12],
    /// Zero to twelve.
    pub numbers: [&'static str; 13],
    /// The patient's left and right.
    pub sides: [&'static str; 2],
    /// Before the date of a thing: `of`.
    pub of: &'static str,
    /// Before a day and before a month or year: `on`, `in`.
    pub on_in: [&'static str; 2],
    /// Between the ends of a span in plain words, spaces included.
    pub to: &'static str,
    /// Before a disc, space included.
    pub the_disc: &'static str,
    /// Before the last item of a list, `and` and `or`.
    pub and_or: [&'static str; 2],
    /// Year and month, one and many, then short forms.
    pub age: AgeWords,
    /// Units.
    pub units: &'static [UnitWords],
    /// Pronouns.
    pub pronouns: &'static [PronounWords],
    /// What comes after a name to make it possessive.
    pub possessive: &'static str,
    /// Kinds of letter as titles.
    pub kinds: &'static [(LetterKind, &'static str)],
    /// Views of films.
    pub views: &'static [(View, &'static str)],
    /// The frame.
    pub frame: FrameTable,
}

/// Words of ages.
#[derive(Debug, Clone, Copy)]
#[allow(missing_docs)]
pub struct AgeWords {
    pub year: [&'static str; 2],
    pub month: [&'static str; 2],
    pub year_short: &'static str,
    pub month_short: &'static str,
    pub under_a_month: &'static str,
}

impl Language {
    /// The language of a tag and region, or `None` if it has no table yet.
    pub fn of(tag: &str, region: Option<&str>) -> Option<&'static Language> {
        match (tag.split('-').next(), region) {
            (Some("en"), Some("US")) => Some(&ENGLISH_US),
            (Some("en"), _) => Some(&ENGLISH),
            _ => None,
        }
    }

    /// The words of a unit.
    pub fn unit(&self, unit: Unit) -> UnitWords {
        let bare = UnitWords { unit, short: "", one: "", many: "" };
        self.units.iter().find(|u| u.unit == unit).copied().unwrap_or(bare)
    }
}

macro_rules! units {
    ($($unit:ident $short:literal $one:literal $many:literal;)*) => {
        &[$(UnitWords { unit: Unit::$unit, short: $short, one: $one, many: $many }),*]
    };
}

const ENGLISH_UNITS: &[UnitWords] = units! {
    Degree "°" " degree" " degrees";
    DegreePerYear "° a year" " degree a year" " degrees a year";
    Millimetre " mm" " millimetre" " millimetres";
    Centimetre " cm" " centimetre" " centimetres";
    CentimetrePerYear " cm a year" " centimetre a year" " centimetres a year";
    Kilogram " kg" " kilogram" " kilograms";
    Hour " h" " hour" " hours";
    HourPerDay " h/day" " hour a day" " hours a day";
    MinutePerDay " min/day" " minute a day" " minutes a day";
    Minute " min" " minute" " minutes";
    Percent " %" " per cent" " per cent";
    Millisievert " mSv" " millisievert" " millisieverts";
    Celsius " °C" " degree Celsius" " degrees Celsius";
    MillimetrePerPixel " mm/px" " millimetre per pixel" " millimetres per pixel";
    Year " years" " year" " years";
    Month " months" " month" " months";
    Week " weeks" " week" " weeks";
    Day " days" " day" " days";
    OutOfTen "/10" " out of 10" " out of 10";
    One "" "" "";
};

const US_UNITS: &[UnitWords] = units! {
    Degree "°" " degree" " degrees";
    DegreePerYear "° a year" " degree a year" " degrees a year";
    Millimetre " mm" " millimeter" " millimeters";
    Centimetre " cm" " centimeter" " centimeters";
    CentimetrePerYear " cm a year" " centimeter a year" " centimeters a year";
    Kilogram " kg" " kilogram" " kilograms";
    Hour " h" " hour" " hours";
    HourPerDay " h/day" " hour a day" " hours a day";
    MinutePerDay " min/day" " minute a day" " minutes a day";
    Minute " min" " minute" " minutes";
    Percent "%" " percent" " percent";
    Millisievert " mSv" " millisievert" " millisieverts";
    Celsius " °C" " degree Celsius" " degrees Celsius";
    MillimetrePerPixel " mm/px" " millimeter per pixel" " millimeters per pixel";
    Year " years" " year" " years";
    Month " months" " month" " months";
    Week " weeks" " week" " weeks";
    Day " days" " day" " days";
    OutOfTen "/10" " out of 10" " out of 10";
    One "" "" "";
};

const ENGLISH_PRONOUNS: &[PronounWords] = &[
    PronounWords {
        pronouns: Pronouns::She,
        subject: "she",
        object: "her",
        possessive: "her",
        plural: false,
    },
    PronounWords {
        pronouns: Pronouns::He,
        subject: "he",
        object: "him",
        possessive: "his",
        plural: false,
    },
    PronounWords {
        pronouns: Pronouns::They,
        subject: "they",
        object: "them",
        possessive: "their",
        plural: true,
    },
];

const ENGLISH_KINDS: &[(LetterKind, &str)] = &[
    (LetterKind::Progress, "Progress letter"),
    (LetterKind::SurgicalOpinion, "Request for a surgical opinion"),
    (LetterKind::NeurologicalOpinion, "Request for a neurological opinion"),
    (LetterKind::Prescription, "Brace prescription"),
    (LetterKind::Check, "In-brace check"),
    (LetterKind::Justification, "Letter of justification"),
    (LetterKind::Appeal, "Appeal"),
    (LetterKind::School, "Note for school"),
    (LetterKind::Weaning, "Weaning letter"),
    (LetterKind::Discharge, "Discharge letter"),
    (LetterKind::Summary, "Case summary"),
    (LetterKind::Gap, "Request for missing information"),
];

const ENGLISH_VIEWS: &[(View, &str)] = &[
    (View::Frontal, "frontal"),
    (View::Lateral, "lateral"),
    (View::Bending, "bending"),
    (View::Hand, "hand"),
];

const ENGLISH_FRAME: FrameTable = FrameTable {
    page: "page",
    of: "of",
    letter: "letter",
    born: "born",
    record: "record",
    telephone: "telephone",
    direct: "direct line",
    licence: "licence",
    provider: "provider number",
    responsible: "Responsible doctor:",
    copies: "Copies:",
    enclosures: "Enclosures:",
    dear: "Dear",
    closing: "With kind regards,",
    sheet_closing: "Checked against the record by",
    draft: "draft, not issued",
    version: "version",
    register: "register",
    register_begins: "register begins",
    worklist: "Letters to look at again",
    internal: "For the clinic alone; this list leaves no trace in the register.",
    seen: "Seen by, on:",
    caution: "This letter reports measurements and the judgement of the clinician who signs it. \
              It does not replace an examination by a licensed clinician; local rules come first.",
    radiograph: "radiograph",
    radiographs: "radiographs",
    x_ray: "X-ray",
    x_rays: "X-rays",
};

const ENGLISH_BASE: Language = Language {
    tag: "en",
    own_words: true,
    months: [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ],
    months_short: [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ],
    numbers: [
        "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ],
    sides: ["left", "right"],
    of: "of",
    on_in: ["on", "in"],
    to: " to ",
    the_disc: "the disc ",
    and_or: ["and", "or"],
    age: AgeWords {
        year: ["year", "years"],
        month: ["month", "months"],
        year_short: "y",
        month_short: "mo",
        under_a_month: "under one month",
    },
    units: ENGLISH_UNITS,
    pronouns: ENGLISH_PRONOUNS,
    possessive: "\u{2019}s",
    kinds: ENGLISH_KINDS,
    views: ENGLISH_VIEWS,
    frame: ENGLISH_FRAME,
};

/// English with the spelling of Britain.
pub static ENGLISH: Language = ENGLISH_BASE;

/// English with the spelling of the United States.
pub static ENGLISH_US: Language = Language {
    units: US_UNITS,
    frame: FrameTable { licence: "license", ..ENGLISH_FRAME },
    ..ENGLISH_BASE
};
