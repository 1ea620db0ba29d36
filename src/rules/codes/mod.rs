//! Diagnosis codes proposed from cause, age class and region, and held
//! against those recorded.
//!
//! The public set ICD-10-CM codes the cause first, then for idiopathic curves
//! the age class, then the region; side, size and number of curves are not
//! coded. A code is proposed only where the set's own structure leads to
//! exactly one; otherwise the reason for proposing none is given. The
//! clinician's recorded code stands whatever is proposed here.

mod check;
mod family;

pub use check::check;
pub use family::{excluded, exists, leaf_codes, never_with};

use std::fmt;

use chrono::NaiveDate;

use crate::case;
use crate::course::age::OnsetClass;
use crate::facts::Facts;
use crate::quantity::Reported;
use family::Family;

/// Edition of the code set that the tables restate.
pub const EDITION: &str = "ICD-10-CM, tabular list of 1 April 2026";

/// The first day on which that edition is valid.
pub fn valid_from() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, 1).expect("the day exists")
}

/// The cause of a deformity, as finely as the code set asks for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// No cause is found.
    Idiopathic,
    /// Present from birth, by a malformed vertebra.
    Malformation,
    /// Present from birth, without a malformed vertebra.
    CongenitalPostural,
    /// Present from birth; whether a vertebra is malformed is not recorded.
    Congenital,
    /// By a disease of nerves or muscles.
    Neuromuscular,
    /// By another disease, such as a syndrome.
    OtherDisease,
    /// By a disease of the chest or an operation on it.
    Thoracogenic,
    /// By radiation.
    Radiation,
    /// By the removal of a vertebral arch.
    Laminectomy,
    /// By another operation.
    Operation,
    /// By wear of discs and joints.
    Degenerative,
    /// By disturbed growth of the vertebral endplates.
    Scheuermann,
    /// By the way of holding the body.
    Postural,
    /// Not yet known.
    Unknown,
    /// The cause and what it is due to do not go together.
    Contradictory,
}

impl Cause {
    /// Every cause.
    pub const ALL: [Cause; 15] = [
        Cause::Idiopathic,
        Cause::Malformation,
        Cause::CongenitalPostural,
        Cause::Congenital,
        Cause::Neuromuscular,
        Cause::OtherDisease,
        Cause::Thoracogenic,
        Cause::Radiation,
        Cause::Laminectomy,
        Cause::Operation,
        Cause::Degenerative,
        Cause::Scheuermann,
        Cause::Postural,
        Cause::Unknown,
        Cause::Contradictory,
    ];

    /// The cause as a case records it, without reading any free text.
    pub fn recorded(cause: case::Cause, due_to: Option<case::DueTo>) -> Cause {
        match due_to {
            None => Cause::alone(cause),
            Some(due_to) if !due_to.goes_with(cause) => Cause::Contradictory,
            Some(case::DueTo::MalformedVertebra) => Cause::Malformation,
            Some(case::DueTo::NoMalformedVertebra) => Cause::CongenitalPostural,
            Some(case::DueTo::ChestDisease) => Cause::Thoracogenic,
            Some(case::DueTo::Radiation) => Cause::Radiation,
            Some(case::DueTo::Laminectomy) => Cause::Laminectomy,
            Some(case::DueTo::OtherOperation) => Cause::Operation,
        }
    }

    fn alone(cause: case::Cause) -> Cause {
        match cause {
            case::Cause::Idiopathic => Cause::Idiopathic,
            case::Cause::Congenital => Cause::Congenital,
            case::Cause::Neuromuscular => Cause::Neuromuscular,
            case::Cause::Syndromic | case::Cause::Secondary => Cause::OtherDisease,
            case::Cause::Degenerative => Cause::Degenerative,
            case::Cause::Scheuermann => Cause::Scheuermann,
            case::Cause::Postural => Cause::Postural,
            case::Cause::Unknown => Cause::Unknown,
        }
    }
}

/// The region of a deformity, with its digit in the code set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Region {
    /// Occiput to axis.
    OccipitoAtlantoAxial = 1,
    /// Neck.
    Cervical = 2,
    /// Neck to chest.
    Cervicothoracic = 3,
    /// Chest.
    Thoracic = 4,
    /// Chest to loin.
    Thoracolumbar = 5,
    /// Loin.
    Lumbar = 6,
    /// Loin to sacrum.
    Lumbosacral = 7,
    /// Sacrum and coccyx.
    Sacral = 8,
}

impl Region {
    /// Every region.
    pub const ALL: [Region; 8] = [
        Region::OccipitoAtlantoAxial,
        Region::Cervical,
        Region::Cervicothoracic,
        Region::Thoracic,
        Region::Thoracolumbar,
        Region::Lumbar,
        Region::Lumbosacral,
        Region::Sacral,
    ];

    /// The region that a fact names (`curves.*.region`).
    fn named(word: &str) -> Option<Region> {
        Some(match word {
            "cervical" => Region::Cervical,
            "cervicothoracic" => Region::Cervicothoracic,
            "upper thoracic" | "thoracic" => Region::Thoracic,
            "thoracolumbar" => Region::Thoracolumbar,
            "lumbar" => Region::Lumbar,
            "lumbosacral" => Region::Lumbosacral,
            _ => return None,
        })
    }
}

/// What is to be coded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// Which deformity is followed.
    pub deformity: case::Deformity,
    /// Its cause.
    pub cause: Cause,
    /// Age class at diagnosis by the clinic's choice of classes (the code set
    /// prints no ages); `None` if it is not recorded, or the date spans two.
    pub age: Option<OnsetClass>,
    /// The class by the other published scheme.
    pub age_other: Option<OnsetClass>,
    /// Whether the class follows from the first film for want of a day.
    pub by_first_film: bool,
    /// Region of the major curve; `None` if it is not recorded.
    pub region: Option<Region>,
    /// Whether the major curve reaches the definition of scoliosis by the
    /// clinic's setting; `None` if no angle is recorded.
    pub reaches_definition: Option<bool>,
}

impl Asked {
    /// What the facts of a case ask to be coded; `None` only if they name no
    /// cause or deformity, which every case has.
    pub fn of(facts: &Facts) -> Option<Asked> {
        let word = |id: &str| facts.get(id).and_then(|fact| fact.word());
        let age = |id: &str| word(id).and_then(OnsetClass::from_word);
        let deformity = case::Deformity::from_word(word("diagnosis.deformity")?)?;
        let due_to = word("diagnosis.due_to").and_then(case::DueTo::from_word);
        Some(Asked {
            deformity,
            cause: Cause::recorded(case::Cause::from_word(word("diagnosis.cause")?)?, due_to),
            age: age("diagnosis.age_class"),
            age_other: age("diagnosis.age_class_other"),
            by_first_film: word("diagnosis.age_class_from") == Some("first film"),
            region: region_fact(facts, deformity).as_deref().and_then(word).and_then(Region::named),
            reaches_definition: word("diagnosis.below_definition").map(|below| below == "no"),
        })
    }
}

/// The id of the region of the largest curve of the deformity coded: a
/// lordosis may measure more than the kyphosis it goes with, and is not what
/// is coded.
pub fn region_fact(facts: &Facts, deformity: case::Deformity) -> Option<String> {
    let word = |curve: &str, item: &str| facts.get(&format!("curves.{curve}.{item}"))?.word();
    let coded = |curve: &str| match deformity {
        case::Deformity::Hyperkyphosis => word(curve, "bend") == Some("kyphosis"),
        _ => word(curve, "plane") == Some("frontal"),
    };
    let mut largest: Option<(&str, Reported)> = None;
    for curve in facts.children("curves").into_iter().filter(|curve| coded(curve)) {
        let cobb = facts.get(&format!("curves.{curve}.now.cobb")).and_then(|fact| fact.number());
        let Some(cobb) = cobb else { continue };
        if largest.is_none_or(|(_, size)| cobb.compare(size).is_gt()) {
            largest = Some((curve, cobb));
        }
    }
    largest.map(|(curve, _)| format!("curves.{curve}.region"))
}

/// A code with what the set asks beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The code, with its dot.
    pub code: String,
    /// What must be coded before or beside it, in words.
    pub beside: Option<&'static str>,
    /// What has to be true of the case for the code to be right, where the
    /// record does not show it or sources differ.
    pub only_if: Option<String>,
    /// Families that exclude the code: to pair them is an error.
    pub never_with: Vec<&'static str>,
}

/// Why no code is proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoCode {
    /// The reason, in words.
    pub why: &'static str,
    /// Whether the record says enough and no code fits, so that a recorded
    /// code contradicts it; else something is missing, and nothing is said
    /// against a recorded code.
    pub settled: bool,
}

impl fmt::Display for NoCode {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(self.why)
    }
}

const fn none_fits(why: &'static str) -> NoCode {
    NoCode { why, settled: true }
}

const fn not_recorded(why: &'static str) -> NoCode {
    NoCode { why, settled: false }
}

/// The code of a case, or why none is proposed.
pub fn propose(asked: &Asked) -> Result<Proposal, NoCode> {
    let family = match asked.deformity {
        case::Deformity::Asymmetry => Err(none_fits("an asymmetry has no code of scoliosis")),
        case::Deformity::Scoliosis => match asked.reaches_definition {
            Some(true) => scoliosis(asked.cause, asked.age),
            Some(false) => Err(none_fits("the curve is below the definition of scoliosis")),
            None => Err(not_recorded("no angle of the curve is recorded")),
        },
        case::Deformity::Hyperkyphosis => kyphosis(asked.cause),
    }?;
    let both =
        asked.deformity == case::Deformity::Hyperkyphosis && asked.reaches_definition == Some(true);
    if both && family.without_scoliosis() {
        let why = "the set codes a kyphosis with a scoliosis under the scoliosis";
        return Err(none_fits(why));
    }
    let no_digit = none_fits("the code set has no code of this kind for this region");
    let code = family.code(asked.region).ok_or(no_digit)?;
    let never_with = never_with(&code);
    Ok(Proposal { code, beside: family.beside, only_if: only_if(family, asked), never_with })
}

/// What the code takes for granted: of the family, and of the age class.
fn only_if(family: &Family, asked: &Asked) -> Option<String> {
    let by_age = asked.deformity == case::Deformity::Scoliosis && asked.cause == Cause::Idiopathic;
    let first_film = (by_age && asked.by_first_film)
        .then_some("the curve was not known before its first film, as no earlier day is recorded");
    let classes = (by_age && asked.age != asked.age_other)
        .then_some("the age classes are those the clinic uses (published ones differ at 3 years)");
    let alone = (family.without_scoliosis() && asked.reaches_definition.is_none())
        .then_some("there is no scoliosis with it");
    let all: Vec<&str> =
        [family.only_if, alone, first_film, classes].into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join(", and "))
}

fn scoliosis(cause: Cause, age: Option<OnsetClass>) -> Result<&'static Family, NoCode> {
    Ok(match cause {
        Cause::Idiopathic => {
            let unknown = not_recorded("no date of diagnosis is recorded that tells the age class");
            match age.ok_or(unknown)? {
                OnsetClass::Infantile => &family::INFANTILE,
                OnsetClass::Juvenile => &family::JUVENILE,
                OnsetClass::Adolescent => &family::ADOLESCENT,
                OnsetClass::Adult => &family::OTHER_IDIOPATHIC,
            }
        }
        Cause::Malformation => &family::MALFORMATION,
        Cause::CongenitalPostural => &family::CONGENITAL,
        Cause::Congenital => return Err(MALFORMED),
        Cause::Neuromuscular => &family::NEUROMUSCULAR,
        Cause::OtherDisease => &family::OTHER_SECONDARY,
        Cause::Thoracogenic => &family::THORACOGENIC,
        Cause::Radiation => &family::AFTER_RADIATION,
        Cause::Laminectomy | Cause::Operation => &family::AFTER_OPERATION,
        Cause::Degenerative => &family::OTHER_FORMS,
        Cause::Scheuermann => {
            return Err(none_fits("the cause belongs to a kyphosis, not to a scoliosis"));
        }
        Cause::Postural => {
            return Err(none_fits("a postural curve is not a scoliosis of the code set"));
        }
        Cause::Unknown => &family::UNSPECIFIED,
        Cause::Contradictory => return Err(CONTRADICTORY),
    })
}

fn kyphosis(cause: Cause) -> Result<&'static Family, NoCode> {
    Ok(match cause {
        Cause::Scheuermann => &family::SCHEUERMANN,
        Cause::Postural => &family::POSTURAL_KYPHOSIS,
        Cause::Malformation => &family::CONGENITAL_KYPHOSIS,
        Cause::Congenital => return Err(MALFORMED),
        Cause::CongenitalPostural => {
            return Err(none_fits("the code set has a congenital kyphosis by malformation alone"));
        }
        Cause::Neuromuscular | Cause::OtherDisease | Cause::Thoracogenic => {
            &family::SECONDARY_KYPHOSIS
        }
        Cause::Radiation => &family::KYPHOSIS_AFTER_RADIATION,
        Cause::Laminectomy => &family::KYPHOSIS_AFTER_LAMINECTOMY,
        Cause::Operation => {
            return Err(none_fits(
                "the code set names no kyphosis after an operation other than a laminectomy",
            ));
        }
        Cause::Idiopathic | Cause::Degenerative => &family::OTHER_KYPHOSIS,
        Cause::Unknown => &family::UNSPECIFIED_KYPHOSIS,
        Cause::Contradictory => return Err(CONTRADICTORY),
    })
}

const MALFORMED: NoCode = not_recorded("whether a vertebra is malformed is not recorded");
const CONTRADICTORY: NoCode = not_recorded("the cause and what it is due to do not go together");
