//! Diagnosis codes proposed from cause, age class and region.
//!
//! The public set ICD-10-CM codes the cause first, then for idiopathic curves
//! the age class, then the region; side, size and number of curves are not
//! coded. A code is proposed only where the set's own structure leads to
//! exactly one; otherwise the reason for proposing none is given. The
//! clinician's recorded code stands whatever is proposed here.

use crate::case;
use crate::course::age::{OnsetClass, OnsetScheme, onset_class};
use crate::facts::{Facts, Value};
use crate::quantity::{Age, PartialDate, Reported};

/// Edition of the code set that the tables restate.
pub const EDITION: &str = "ICD-10-CM, tabular list of 1 April 2026";

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
    /// By wear of discs and joints.
    Degenerative,
    /// By disturbed growth of the vertebral endplates.
    Scheuermann,
    /// By the way of holding the body.
    Postural,
    /// Not yet known.
    Unknown,
}

impl Cause {
    /// Every cause.
    pub const ALL: [Cause; 12] = [
        Cause::Idiopathic,
        Cause::Malformation,
        Cause::CongenitalPostural,
        Cause::Congenital,
        Cause::Neuromuscular,
        Cause::OtherDisease,
        Cause::Thoracogenic,
        Cause::Radiation,
        Cause::Degenerative,
        Cause::Scheuermann,
        Cause::Postural,
        Cause::Unknown,
    ];

    /// The cause as a case records it, without reading any free text.
    pub fn recorded(cause: case::Cause) -> Cause {
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
    /// Age class at diagnosis, by the usual limits (the code set prints none);
    /// `None` if the date of diagnosis is not recorded, or too vague to tell.
    pub age: Option<OnsetClass>,
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
        let deformity = case::Deformity::from_word(word("diagnosis.deformity")?)?;
        Some(Asked {
            deformity,
            cause: Cause::recorded(case::Cause::from_word(word("diagnosis.cause")?)?),
            age: class_at_diagnosis(facts),
            region: region_of_largest(facts, deformity),
            reaches_definition: word("diagnosis.below_definition").map(|below| below == "no"),
        })
    }
}

/// The region of the largest curve of the deformity coded: a lordosis may
/// measure more than the kyphosis it goes with, and is not what is coded.
fn region_of_largest(facts: &Facts, deformity: case::Deformity) -> Option<Region> {
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
    word(largest?.0, "region").and_then(Region::named)
}

/// The class of every age that the date of diagnosis can mean, if it is one.
fn class_at_diagnosis(facts: &Facts) -> Option<OnsetClass> {
    let date = |id: &str| match facts.get(id)?.value {
        Value::Date(date) => Some(date),
        _ => None,
    };
    let PartialDate::Day(born) = date("patient.born")? else { return None };
    let found = date("diagnosis.found")?;
    let class = |day| Some(onset_class(Age::on(born, day)?, OnsetScheme::default()));
    let first = class(found.first_day().max(born))?;
    (class(found.last_day())? == first).then_some(first)
}

/// A code with what the set asks beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The code, with its dot.
    pub code: String,
    /// What must be coded before or beside it, in words.
    pub beside: Option<&'static str>,
    /// What has to be true of the case for the code to be right, where the
    /// record does not show it.
    pub only_if: Option<&'static str>,
    /// Families that exclude the code: to pair them is an error.
    pub never_with: &'static [&'static str],
}

/// The code of a case, or why none is proposed.
pub fn propose(asked: &Asked) -> Result<Proposal, &'static str> {
    let family = match asked.deformity {
        case::Deformity::Asymmetry => Err("an asymmetry has no code of scoliosis"),
        case::Deformity::Scoliosis => match asked.reaches_definition {
            Some(true) => scoliosis(asked.cause, asked.age),
            Some(false) => Err("the curve is below the definition of scoliosis"),
            None => Err("no angle of the curve is recorded"),
        },
        case::Deformity::Hyperkyphosis => kyphosis(asked.cause),
    }?;
    let code = family.code(asked.region)?;
    let Family { beside, only_if, never_with, .. } = *family;
    Ok(Proposal { code, beside, only_if, never_with })
}

/// A family of codes: a stem and the region digits that exist.
struct Family {
    stem: &'static str,
    /// Digits that follow the stem; empty if the stem is the code.
    digits: &'static [u8],
    beside: Option<&'static str>,
    only_if: Option<&'static str>,
    never_with: &'static [&'static str],
}

impl Family {
    fn code(&self, region: Option<Region>) -> Result<String, &'static str> {
        if self.digits.is_empty() {
            return Ok(self.stem.to_string());
        }
        // Unspecified site is 0 in codes of five characters, 9 in those of six.
        let unspecified = if self.stem.len() == "M41.1x".len() { 9 } else { 0 };
        let digit = region.map_or(unspecified, |region| region as u8);
        if !self.digits.contains(&digit) {
            return Err("the code set has no code of this kind for this region");
        }
        Ok(format!("{}{digit}", self.stem))
    }
}

// Exclusions hold both ways: M40 excludes M41, so M41 may not stand with M40.
const M41_NEVER_WITH: &[&str] = &["M40", "Q67.5", "Q76.3", "I27.1"];
const M40_NEVER_WITH: &[&str] = &["M41", "Q76.4", "M96"];
const UNDERLYING: Option<&str> = Some("the underlying disease, coded first");
const UNDERLYING_IF_ANY: Option<&str> =
    Some("the underlying disease, if there is one, coded first");

const fn m41(stem: &'static str, digits: &'static [u8]) -> Family {
    Family { stem, digits, beside: None, only_if: None, never_with: M41_NEVER_WITH }
}

const fn m40(stem: &'static str, digits: &'static [u8]) -> Family {
    let beside = UNDERLYING_IF_ANY;
    Family { stem, digits, beside, only_if: None, never_with: M40_NEVER_WITH }
}

const fn single(stem: &'static str, never_with: &'static [&'static str]) -> Family {
    Family { stem, digits: &[], beside: None, only_if: None, never_with }
}

static INFANTILE: Family = m41("M41.0", &[0, 2, 3, 4, 5, 6, 7, 8]);
static JUVENILE: Family = m41("M41.11", &[2, 3, 4, 5, 6, 7, 9]);
static ADOLESCENT: Family = m41("M41.12", &[2, 3, 4, 5, 6, 7, 9]);
static OTHER_IDIOPATHIC: Family = Family {
    only_if: Some("the curve was not there before the age of 18 (common practice, no source)"),
    ..m41("M41.2", &[0, 2, 3, 4, 5, 6, 7])
};
static THORACOGENIC: Family = m41("M41.3", &[0, 4, 5]);
static NEUROMUSCULAR: Family = Family {
    beside: Some("the disease of nerves or muscles"),
    ..m41("M41.4", &[0, 1, 2, 3, 4, 5, 6, 7])
};
static OTHER_SECONDARY: Family = Family {
    beside: UNDERLYING,
    only_if: Some(
        "radiation and disease of the chest, which have codes of their own, are not the cause",
    ),
    ..m41("M41.5", &[0, 2, 3, 4, 5, 6, 7])
};
static OTHER_FORMS: Family = m41("M41.8", &[0, 2, 3, 4, 5, 6, 7]);
static UNSPECIFIED: Family = m41("M41.9", &[]);
static CONGENITAL: Family = single("Q67.5", &["M41", "Q76"]);
static MALFORMATION: Family = single("Q76.3", &["M41", "Q67.5"]);
static AFTER_RADIATION: Family = single("M96.5", &[]);

fn scoliosis(cause: Cause, age: Option<OnsetClass>) -> Result<&'static Family, &'static str> {
    Ok(match cause {
        Cause::Idiopathic => {
            match age.ok_or("no date of diagnosis is recorded that tells the age class")? {
                OnsetClass::Infantile => &INFANTILE,
                OnsetClass::Juvenile => &JUVENILE,
                OnsetClass::Adolescent => &ADOLESCENT,
                OnsetClass::Adult => &OTHER_IDIOPATHIC,
            }
        }
        Cause::Malformation => &MALFORMATION,
        Cause::CongenitalPostural => &CONGENITAL,
        Cause::Congenital => return Err("whether a vertebra is malformed is not recorded"),
        Cause::Neuromuscular => &NEUROMUSCULAR,
        Cause::OtherDisease => &OTHER_SECONDARY,
        Cause::Thoracogenic => &THORACOGENIC,
        Cause::Radiation => &AFTER_RADIATION,
        Cause::Degenerative => &OTHER_FORMS,
        Cause::Scheuermann => return Err("the cause belongs to a kyphosis, not to a scoliosis"),
        Cause::Postural => return Err("a postural curve is not a scoliosis of the code set"),
        Cause::Unknown => &UNSPECIFIED,
    })
}

static POSTURAL_KYPHOSIS: Family =
    Family { never_with: &["M41", "M42", "Q76.4", "M96"], ..m40("M40.0", &[0, 3, 4, 5]) };
static SECONDARY_KYPHOSIS: Family = Family {
    beside: UNDERLYING,
    only_if: Some("radiation and operations, which have codes of their own, are not the cause"),
    ..m40("M40.1", &[0, 2, 3, 4, 5])
};
static UNSPECIFIED_KYPHOSIS: Family = m40("M40.20", &[2, 3, 4, 5, 9]);
static OTHER_KYPHOSIS: Family = m40("M40.29", &[2, 3, 4, 5, 9]);
static SCHEUERMANN: Family = Family {
    stem: "M42.0",
    digits: &[0, 1, 2, 3, 4, 5, 6, 7, 8],
    beside: None,
    only_if: None,
    never_with: &["M40.0"],
};
static CONGENITAL_KYPHOSIS: Family = Family {
    stem: "Q76.41",
    digits: &[1, 2, 3, 4, 5, 9],
    beside: None,
    only_if: Some("there is no scoliosis with it"),
    never_with: &["M40", "Q67.5"],
};
static KYPHOSIS_AFTER_RADIATION: Family = single("M96.2", &["M40"]);

fn kyphosis(cause: Cause) -> Result<&'static Family, &'static str> {
    Ok(match cause {
        Cause::Scheuermann => &SCHEUERMANN,
        Cause::Postural => &POSTURAL_KYPHOSIS,
        Cause::Malformation => &CONGENITAL_KYPHOSIS,
        Cause::Congenital | Cause::CongenitalPostural => {
            return Err("whether a vertebra is malformed is not recorded");
        }
        Cause::Neuromuscular | Cause::OtherDisease | Cause::Thoracogenic => &SECONDARY_KYPHOSIS,
        Cause::Radiation => &KYPHOSIS_AFTER_RADIATION,
        Cause::Idiopathic | Cause::Degenerative => &OTHER_KYPHOSIS,
        Cause::Unknown => &UNSPECIFIED_KYPHOSIS,
    })
}
