//! The words a language needs outside templates: units, sides, the frame.
//!
//! Everything here is data. English stands here; another language is another
//! table of the same shape, such as `SPANISH`. What the published
//! locale data knows (months, decimal signs, lists, plural rules) is not
//! repeated: [`super::locale`] asks for it.

use super::locale::{self, Dates, Forms, Locale};
use super::spanish::SPANISH;
use crate::case::{DateStyle, LetterKind, View};
use crate::quantity::Unit;

/// What a word agrees with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Gender {
    Feminine,
    Masculine,
}

/// How a unit is written after a number.
#[derive(Debug, Clone, Copy)]
pub struct UnitWords {
    /// The unit.
    pub unit: Unit,
    /// After a number in letters to doctors, leading space included.
    pub short: &'static str,
    /// In plain words after a number, leading space included.
    pub plain: Forms<'static>,
    /// Of the unit's word: `una hora`, `un grado`.
    pub gender: Gender,
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

/// Words for films.
#[derive(Debug, Clone, Copy)]
pub struct FilmWords {
    /// Each view beside one film and beside several.
    pub views: &'static [(View, [&'static str; 2])],
    /// Whether the view stands after the word for film.
    pub view_after: bool,
}

/// A language of letters.
#[derive(Debug)]
pub struct Language {
    /// Its tag, such as `en`.
    pub tag: &'static str,
    /// Whether the closed sets' own words are words of this language, so that
    /// a word without a phrase may be printed as it is.
    pub own_words: bool,
    /// What is said for words of closed sets.
    pub words: &'static [(&'static str, &'static str)],
    /// What stands for a changed value in an amended letter, by the end of its
    /// fact's id; empty where the facts' own labels are in this language.
    pub labels: &'static [(&'static str, &'static str)],
    /// The region whose habits hold where none is named.
    pub region: Option<&'static str>,
    /// Regions with habits of their own; every region, if absent.
    pub regions: Option<&'static [&'static str]>,
    /// The locale whose dates are written, for a region and a clinic's choice.
    pub dates: fn(Option<&str>, DateStyle) -> Dates,
    /// Zero to twelve.
    pub numbers: [&'static str; 13],
    /// One, before a feminine and a masculine noun.
    pub one: [&'static str; 2],
    /// The patient's left and right, each beside a feminine and a masculine noun.
    pub sides: [[&'static str; 2]; 2],
    /// Before the day of a thing: `of`.
    pub of: &'static str,
    /// Before a day and before a month or year: `on`, `in`.
    pub on_in: [&'static str; 2],
    /// Before a day after another preposition, space included.
    pub the_day: &'static str,
    /// How many characters of a value are kept on one line, so that no reader
    /// meets `27` at the end of one line and its unit on the next.
    pub keep: usize,
    /// Between the ends of a span in plain words, spaces included.
    pub to: &'static str,
    /// Before a disc, space included.
    pub the_disc: &'static str,
    /// Year and month, then short forms.
    pub age: AgeWords,
    /// Units.
    pub units: &'static [UnitWords],
    /// Kinds of letter as titles.
    pub kinds: &'static [(LetterKind, &'static str)],
    /// Words for films.
    pub films: FilmWords,
    /// The frame.
    pub frame: FrameTable,
}

/// Words of ages.
#[derive(Debug, Clone, Copy)]
#[allow(missing_docs)]
pub struct AgeWords {
    pub year: Forms<'static>,
    pub month: Forms<'static>,
    /// Between years and months, spaces included.
    pub between: &'static str,
    pub year_short: &'static str,
    pub month_short: &'static str,
    pub under_a_month: &'static str,
}

impl Language {
    /// The language of a tag, or `None` if it has no table yet. A region in
    /// the tag (`en-US`) goes before the region given.
    pub fn of(tag: &str, region: Option<&str>) -> Option<&'static Language> {
        let region = region_of(tag).or(region);
        match (tag.split('-').next(), region) {
            (Some("en"), Some("US")) => Some(&ENGLISH_US),
            (Some("en"), _) => Some(&ENGLISH),
            (Some("es"), _) => Some(&SPANISH),
            _ => None,
        }
    }

    /// The words of a unit.
    pub fn unit(&self, unit: Unit) -> UnitWords {
        let gender = Gender::Masculine;
        let bare = UnitWords { unit, short: "", plain: Forms::always(""), gender };
        self.units.iter().find(|u| u.unit == unit).copied().unwrap_or(bare)
    }

    /// What a fact is called where its own label is in another language: by
    /// the end of its id, and the curve it is of.
    pub fn label(&self, id: &str) -> Option<String> {
        let ends = |end: &str| {
            id.strip_suffix(end).is_some_and(|r| r.is_empty() || r.ends_with('.') || end.is_empty())
        };
        let (_, label) = self.labels.iter().find(|(end, _)| ends(end))?;
        let curve = id.strip_prefix("curves.").and_then(|rest| rest.split('.').next());
        let curve = curve.map(|key| key.replace('_', " "));
        let said = |key: &String| self.words.iter().find(|(word, _)| word == key);
        Some(match curve.as_ref().and_then(said) {
            Some((_, curve)) => format!("{label} ({curve})"),
            None => label.to_string(),
        })
    }

    /// How a region writes this language; the language's own where it has no
    /// habits.
    pub fn locale(&self, region: Option<&str>, dates: DateStyle) -> Locale {
        let tag = match region.or(self.region) {
            Some(region) => format!("{}-{region}", self.tag),
            None => self.tag.to_string(),
        };
        let dates = (self.dates)(region, dates);
        let whole = Locale { tag, dates };
        match locale::written(&whole) {
            true => whole,
            false => Locale { tag: self.tag.to_string(), dates },
        }
    }

    /// The region whose habits hold for letters of a tag in a clinic's region.
    pub fn region<'a>(&'static self, tag: &'a str, clinic: Option<&'a str>) -> Option<&'a str> {
        let known = |r: &&str| self.regions.is_none_or(|all| all.contains(r));
        region_of(tag).or(clinic).filter(known)
    }
}

/// The language that a template is written in, by its name: its folder
/// (`letters/es/…`) or the beginning of its file's (`phrases/es-plain.md.j2`).
pub fn of_template(name: &str) -> Option<&'static Language> {
    let (room, rest) = name.split_once('/')?;
    let tag = match room {
        "letters" => rest.split('/').next()?,
        "phrases" => rest.split(['-', '.']).next()?,
        _ => return None,
    };
    Language::of(tag, None)
}

/// The region inside a language tag: two letters, or three digits.
pub fn region_of(tag: &str) -> Option<&str> {
    let letters = |p: &&str| p.len() == 2 && p.bytes().all(|b| b.is_ascii_uppercase());
    let digits = |p: &&str| p.len() == 3 && p.bytes().all(|b| b.is_ascii_digit());
    tag.split('-').skip(1).find(|p| letters(p) || digits(p))
}

macro_rules! units {
    ($($unit:ident $short:literal $one:literal $many:literal;)*) => {
        &[$(UnitWords {
            unit: Unit::$unit,
            short: $short,
            plain: Forms::new($one, $many),
            gender: Gender::Masculine,
        }),*]
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

const ENGLISH_FILMS: FilmWords = FilmWords {
    views: &[
        (View::Frontal, ["frontal"; 2]),
        (View::Lateral, ["lateral"; 2]),
        (View::Bending, ["bending"; 2]),
        (View::Hand, ["hand"; 2]),
    ],
    view_after: false,
};

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

/// Tables of short months keep to three letters, which British habit no longer
/// does for September.
fn english_dates(_: Option<&str>, style: DateStyle) -> Dates {
    match style {
        DateStyle::DayMonthYear => Dates { order: "en-GB", short: "en-US" },
        DateStyle::MonthDayYear => Dates::of("en-US"),
    }
}

const ENGLISH_BASE: Language = Language {
    tag: "en",
    own_words: true,
    words: &[],
    labels: &[],
    region: Some("GB"),
    regions: None,
    dates: english_dates,
    numbers: [
        "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ],
    one: ["one"; 2],
    sides: [["left"; 2], ["right"; 2]],
    of: "of",
    on_in: ["on", "in"],
    the_day: "",
    keep: 16,
    to: " to ",
    the_disc: "the disc ",
    age: AgeWords {
        year: Forms::new("year", "years"),
        month: Forms::new("month", "months"),
        between: " ",
        year_short: "y",
        month_short: "mo",
        under_a_month: "under one month",
    },
    units: ENGLISH_UNITS,
    kinds: ENGLISH_KINDS,
    films: ENGLISH_FILMS,
    frame: ENGLISH_FRAME,
};

/// English with the spelling of Britain.
pub static ENGLISH: Language = ENGLISH_BASE;

/// English with the spelling of the United States.
pub static ENGLISH_US: Language = Language {
    region: Some("US"),
    units: US_UNITS,
    frame: FrameTable { licence: "license", ..ENGLISH_FRAME },
    ..ENGLISH_BASE
};

/// Every language that has a table.
pub static ALL: &[&Language] = &[&ENGLISH, &SPANISH];
