//! The clinic's own file, `cases/clinic.yaml`: who signs, what paper, which limits.

use crate::course::trend::RATE_MONTHS;
use crate::diag::{Located, Place};
use crate::quantity::{Angle, Length, Temperature};
use crate::spine::Level;

use chrono::NaiveDate;

use super::Opt;
use super::model::{
    AgeClasses, Choice, CsvlLine, FittingKind, HeightLoss, InLanguages, LetterKind, Role,
    WedgeCount,
};

/// The clinic.
#[derive(Debug, Clone)]
pub struct Clinic {
    /// Name on the letterhead.
    pub name: Located<String>,
    /// Address lines.
    pub address: Vec<Located<String>>,
    /// Main telephone.
    pub phone: Opt<String>,
    /// Electronic mail.
    pub email: Opt<String>,
    /// A notice printed at the foot of every letter.
    pub notice: Opt<String>,
    /// The same notice in other languages, by tag.
    pub notice_in: InLanguages,
    /// Where films are kept after discharge, and how they are asked for.
    pub films_kept: Opt<String>,
    /// The same in other languages, by tag.
    pub films_kept_in: InLanguages,
    /// Who looks after adults, unless a plan says otherwise.
    pub adult_care: Opt<String>,
    /// The same in other languages, by tag.
    pub adult_care_in: InLanguages,
    /// People who read films, examine, decide and sign.
    pub people: Vec<Person>,
    /// Id of the doctor responsible for the clinic's patients.
    pub responsible: Opt<String>,
    /// Paper size.
    pub paper: PaperSize,
    /// How dates are written in letters.
    pub dates: DateStyle,
    /// Language tag of letters unless a contact says otherwise.
    pub language: String,
    /// Tags of all languages that families and schools are written to in.
    pub languages: Vec<Located<String>>,
    /// Region for spelling and metadata, such as `GB`.
    pub region: Option<String>,
    /// The clinic's limits and thresholds.
    pub limits: Limits,
    /// Ids of figures known from memory alone that the clinic has adopted:
    /// only these may decide anything.
    pub adopted: Vec<Located<String>>,
    /// Which of several published ways the clinic uses.
    pub choices: Choices,
    /// Letters that follow from visits, plans and fittings by themselves.
    pub letters: Option<DefaultLetters>,
    /// Where the file is.
    pub place: Place,
}

impl Clinic {
    /// Whether the clinic has adopted the figure of that id.
    pub fn has_adopted(&self, id: &str) -> bool {
        self.adopted.iter().any(|a| a.value == id)
    }

    /// The person of that id.
    pub fn person(&self, id: &str) -> Option<&Person> {
        self.people.iter().find(|p| p.id.value == id)
    }
}

/// A clinician or other member of the clinic.
#[derive(Debug, Clone)]
pub struct Person {
    /// Short id used in case files.
    pub id: Located<String>,
    /// Name as signed.
    pub name: Located<String>,
    /// Credentials after the name.
    pub credentials: Opt<String>,
    /// Profession, such as `spinal orthotist`.
    pub role: Opt<String>,
    /// The same in other languages, by tag.
    pub role_in: InLanguages,
    /// Licence number.
    pub licence: Opt<String>,
    /// Provider number.
    pub provider_no: Opt<String>,
    /// Direct telephone number.
    pub phone: Opt<String>,
    /// Where the record stands.
    pub place: Place,
}

/// Paper sizes a clinic may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum PaperSize {
    A4,
    UsLetter,
}

/// How dates are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateStyle {
    /// 27 October 2026
    DayMonthYear,
    /// October 27, 2026
    MonthDayYear,
}

/// The clinic's limits; each has a default with a source, and a place if the
/// clinic set it.
#[derive(Debug, Clone)]
pub struct Limits {
    /// Smallest change called real, in degrees (default 6; never lowered
    /// without the clinic's own repeatability study).
    pub real_change: Opt<Angle>,
    /// The clinic's own repeatability (95 % limit between two readings), if studied.
    pub repeatability: Opt<Angle>,
    /// From which angle a curve is called scoliosis (default 10).
    pub scoliosis_from: Opt<Angle>,
    /// Whether that angle itself counts (default true).
    pub scoliosis_inclusive: Opt<bool>,
    /// Fewest months between films for a yearly rate (default 6).
    pub rate_months: Opt<u32>,
    /// Oldest baseline of an in-brace check, in months (default 6).
    pub baseline_months: Opt<u32>,
    /// At which angle, while growing, the clinic asks for a surgeon's view;
    /// not printed if not set.
    pub surgeon_from: Opt<Angle>,
    /// Fewest months between two days with films of the spine by the clinic's
    /// protocol; a film sooner asks for a reason. No default.
    pub film_months: Opt<u32>,
    /// Fewest months between two measurements for a velocity of growth
    /// (default 6).
    pub velocity_months: Opt<u32>,
    /// Standard deviation of one measurement of a height (default 3 mm).
    pub height_error: Opt<Length>,
    /// Above which temperature a brace counts as worn (default 30 degrees
    /// Celsius), unless a case says otherwise.
    pub worn_above: Opt<Temperature>,
    /// How far below a threshold is clearly cool, in degrees Celsius (default 2).
    pub wear_cool_by: Opt<Temperature>,
    /// The smallest step of putting on or taking off, in degrees Celsius
    /// (default 4).
    pub wear_step: Opt<Temperature>,
    /// The largest share of a day without samples, in per cent (default 5).
    pub wear_missing: Opt<f64>,
    /// The highest reading grade of letters to families, patients and schools
    /// (default 8).
    pub reading_grade: Opt<u32>,
}

impl Limits {
    /// Below this many degrees a curve is called an asymmetry, unless the
    /// clinic sets another angle: the usual definition (above 10 in some
    /// sources, 10 and more in others).
    pub const SCOLIOSIS_FROM: f64 = 10.0;
    /// Fewest months between films for a yearly rate, unless the clinic sets
    /// another number.
    pub const RATE_MONTHS: u32 = RATE_MONTHS;
    /// Oldest baseline of an in-brace check in months, unless the clinic sets
    /// another age; our own choice, as no study sets one.
    pub const BASELINE_MONTHS: u32 = 6;
    /// The highest reading grade of letters to lay readers, unless the clinic
    /// sets another; our own choice: advice on plain health letters names
    /// grades from 6 to 8 (common practice, no source).
    pub const READING_GRADE: u32 = 8;

    /// The angle in force from which a curve is called scoliosis, in degrees.
    pub fn scoliosis_from(&self) -> f64 {
        self.scoliosis_from.as_ref().map_or(Self::SCOLIOSIS_FROM, |l| l.to_degrees())
    }

    /// Whether that angle itself counts; it does unless the clinic says not.
    pub fn scoliosis_inclusive(&self) -> bool {
        self.scoliosis_inclusive.as_ref().is_none_or(|l| l.value)
    }

    /// The fewest months in force between films for a yearly rate.
    pub fn rate_months(&self) -> u32 {
        self.rate_months.as_ref().map_or(Self::RATE_MONTHS, |m| m.value)
    }

    /// The highest reading grade in force of letters to lay readers.
    pub fn reading_grade(&self) -> u32 {
        self.reading_grade.as_ref().map_or(Self::READING_GRADE, |g| g.value)
    }

    /// The oldest baseline in force of an in-brace check, in months.
    pub fn baseline_months(&self) -> u32 {
        self.baseline_months.as_ref().map_or(Self::BASELINE_MONTHS, |m| m.value)
    }
}

/// Which of several published ways the clinic uses, where sources differ;
/// each has a default, named where it is used.
#[derive(Debug, Clone, Default)]
pub struct Choices {
    /// How the central sacral vertical line is drawn (default plumb).
    pub csvl: Opt<CsvlLine>,
    /// Formula of the height lost to a curve (default Stokes, the variant that gives the printed range).
    pub height_loss: Opt<HeightLoss>,
    /// Which wedging counts for Scheuermann's disease (default 5 degrees or more).
    pub scheuermann: Opt<WedgeCount>,
    /// Whose age classes are used (default the Bone and Joint review's).
    pub age_classes: Opt<AgeClasses>,
    /// Width between the pedicles over depth, by level, for the rotation by
    /// formula; there is no default.
    pub width_over_depth: Vec<(Located<Level>, Located<f64>)>,
}

/// Letters that follow by themselves, so that nobody types an entry for each.
#[derive(Debug, Clone)]
pub struct DefaultLetters {
    /// Nothing follows from a record of an earlier day.
    pub since: Located<NaiveDate>,
    /// The rules.
    pub follow: Vec<Follow>,
}

/// From what a letter follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    /// An examination, with the films of its day and the plan that came of it.
    Visit,
    /// A plan.
    Plan,
    /// A fitting of a brace or cast.
    Fitting,
}

impl After {
    /// The words of the clinic's file.
    pub const WORDS: &'static [&'static str] = &["visit", "plan", "fitting"];

    /// The word.
    pub fn word(self) -> &'static str {
        After::WORDS[self as usize]
    }

    /// The value of a word.
    pub fn from_word(word: &str) -> Option<After> {
        [After::Visit, After::Plan, After::Fitting].into_iter().find(|a| a.word() == word)
    }
}

/// One rule: after what, which letter, to whom.
#[derive(Debug, Clone)]
pub struct Follow {
    /// From what it follows.
    pub after: Located<After>,
    /// Only where the plan chose one of these; any plan if empty.
    pub choice: Vec<Located<Choice>>,
    /// Not where the plan chose one of these.
    pub except: Vec<Located<Choice>>,
    /// Only for fittings of these kinds; any if empty.
    pub what: Vec<Located<FittingKind>>,
    /// The kind of letter.
    pub kind: Located<LetterKind>,
    /// The role it goes to.
    pub to: Located<Role>,
    /// Roles that get a copy.
    pub copies: Vec<Located<Role>>,
    /// Where the rule stands.
    pub place: Place,
}
