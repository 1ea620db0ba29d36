//! Families of diagnosis codes: stems, the digits that exist, what is coded
//! first, and which families exclude each other.
//!
//! A restatement of the public set in its own structure; tests hold it against
//! an independent package's data, code by code.

use super::Region;

/// A family of codes: a stem and the region digits that exist.
#[derive(Debug)]
pub(super) struct Family {
    pub stem: &'static str,
    /// Digits that follow the stem; empty if the stem is the code.
    pub digits: &'static [u8],
    pub beside: Option<&'static str>,
    pub only_if: Option<&'static str>,
    /// Whether the set orders another code before it.
    pub code_first: First,
}

/// Whether another code stands before one of a family.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum First {
    /// The set asks for none.
    No,
    /// The underlying disease, if there is one.
    IfAny,
    /// The underlying disease, which the family means.
    Always,
}

impl Family {
    /// The code for a region, or for a site not specified; `None` if the
    /// family has none.
    pub fn code(&self, region: Option<Region>) -> Option<String> {
        if self.digits.is_empty() {
            return Some(self.stem.to_string());
        }
        let digit = region.map_or(self.unspecified(), |region| region as u8);
        self.digits.contains(&digit).then(|| format!("{}{digit}", self.stem))
    }

    /// Unspecified site is 0 in codes of five characters, 9 in those of six.
    fn unspecified(&self) -> u8 {
        if self.stem.len() == "M41.1x".len() { 9 } else { 0 }
    }

    /// Whether the set has the family only where there is no scoliosis: M40
    /// excludes M41, and Q76.4 is not associated with one.
    pub fn without_scoliosis(&self) -> bool {
        ["M40", "Q76.4"].iter().any(|stem| self.stem.starts_with(stem))
    }

    fn codes(&self) -> Vec<String> {
        match self.digits {
            [] => vec![self.stem.to_string()],
            digits => digits.iter().map(|digit| format!("{}{digit}", self.stem)).collect(),
        }
    }
}

const UNDERLYING: Option<&str> = Some("the underlying disease, coded first");
const UNDERLYING_IF_ANY: Option<&str> =
    Some("the underlying disease, if there is one, coded first");

const fn plain(stem: &'static str, digits: &'static [u8]) -> Family {
    Family { stem, digits, beside: None, only_if: None, code_first: First::No }
}

const fn m40(stem: &'static str, digits: &'static [u8]) -> Family {
    Family { beside: UNDERLYING_IF_ANY, code_first: First::IfAny, ..plain(stem, digits) }
}

pub(super) static INFANTILE: Family = plain("M41.0", &[0, 2, 3, 4, 5, 6, 7, 8]);
pub(super) static JUVENILE: Family = plain("M41.11", &[2, 3, 4, 5, 6, 7, 9]);
pub(super) static ADOLESCENT: Family = plain("M41.12", &[2, 3, 4, 5, 6, 7, 9]);
pub(super) static OTHER_IDIOPATHIC: Family = Family {
    only_if: Some("the curve was not there before the age of 18 (common practice, no source)"),
    ..plain("M41.2", &[0, 2, 3, 4, 5, 6, 7])
};
pub(super) static THORACOGENIC: Family = plain("M41.3", &[0, 4, 5]);
pub(super) static NEUROMUSCULAR: Family = Family {
    beside: Some("the disease of nerves or muscles"),
    ..plain("M41.4", &[0, 1, 2, 3, 4, 5, 6, 7])
};
pub(super) static OTHER_SECONDARY: Family = Family {
    beside: UNDERLYING,
    only_if: Some(
        "radiation and disease of the chest, which have codes of their own, are not the cause",
    ),
    code_first: First::Always,
    ..plain("M41.5", &[0, 2, 3, 4, 5, 6, 7])
};
pub(super) static OTHER_FORMS: Family = plain("M41.8", &[0, 2, 3, 4, 5, 6, 7]);
pub(super) static UNSPECIFIED: Family = plain("M41.9", &[]);
pub(super) static CONGENITAL: Family = plain("Q67.5", &[]);
pub(super) static MALFORMATION: Family = plain("Q76.3", &[]);
pub(super) static AFTER_RADIATION: Family = plain("M96.5", &[]);
pub(super) static AFTER_OPERATION: Family = plain("M96.89", &[]);
pub(super) static POSTURAL_KYPHOSIS: Family = m40("M40.0", &[0, 3, 4, 5]);
pub(super) static SECONDARY_KYPHOSIS: Family = Family {
    beside: UNDERLYING,
    only_if: Some("radiation and operations, which have codes of their own, are not the cause"),
    code_first: First::Always,
    ..m40("M40.1", &[0, 2, 3, 4, 5])
};
pub(super) static UNSPECIFIED_KYPHOSIS: Family = m40("M40.20", &[2, 3, 4, 5, 9]);
pub(super) static OTHER_KYPHOSIS: Family = m40("M40.29", &[2, 3, 4, 5, 9]);
pub(super) static SCHEUERMANN: Family = plain("M42.0", &[0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
pub(super) static CONGENITAL_KYPHOSIS: Family = plain("Q76.41", &[1, 2, 3, 4, 5, 9]);
pub(super) static KYPHOSIS_AFTER_RADIATION: Family = plain("M96.2", &[]);
pub(super) static KYPHOSIS_AFTER_LAMINECTOMY: Family = plain("M96.3", &[]);

// Never proposed, but codes of spines that a clinician may have recorded.
static FLATBACK: Family = m40("M40.3", &[0, 5, 6, 7]);
static POSTURAL_LORDOSIS: Family = m40("M40.4", &[0, 5, 6, 7]);
static LORDOSIS: Family = m40("M40.5", &[0, 5, 6, 7]);
static CONGENITAL_LORDOSIS: Family = plain("Q76.42", &[5, 6, 7, 8, 9]);
static OTHER_MALFORMATION: Family = plain("Q76.49", &[]);
static LORDOSIS_AFTER_SURGERY: Family = plain("M96.4", &[]);

static ALL: [&Family; 27] = [
    &INFANTILE,
    &JUVENILE,
    &ADOLESCENT,
    &OTHER_IDIOPATHIC,
    &THORACOGENIC,
    &NEUROMUSCULAR,
    &OTHER_SECONDARY,
    &OTHER_FORMS,
    &UNSPECIFIED,
    &CONGENITAL,
    &MALFORMATION,
    &AFTER_RADIATION,
    &AFTER_OPERATION,
    &POSTURAL_KYPHOSIS,
    &SECONDARY_KYPHOSIS,
    &UNSPECIFIED_KYPHOSIS,
    &OTHER_KYPHOSIS,
    &SCHEUERMANN,
    &CONGENITAL_KYPHOSIS,
    &KYPHOSIS_AFTER_RADIATION,
    &KYPHOSIS_AFTER_LAMINECTOMY,
    &FLATBACK,
    &POSTURAL_LORDOSIS,
    &LORDOSIS,
    &CONGENITAL_LORDOSIS,
    &OTHER_MALFORMATION,
    &LORDOSIS_AFTER_SURGERY,
];

/// Families of the set's chapters whose every code is known here.
const WHOLE: &[&str] = &["M40", "M41", "M42.0", "Q67.5", "Q76.3", "Q76.4"];

fn families() -> impl Iterator<Item = &'static Family> {
    ALL.into_iter()
}

/// Every code of a curved spine in the tables.
pub fn leaf_codes() -> Vec<String> {
    families().flat_map(Family::codes).collect()
}

/// Whether a code stands in the set; `None` if it is of a chapter that the
/// tables do not hold.
pub fn exists(code: &str) -> Option<bool> {
    let known = leaf_codes().iter().any(|leaf| leaf == code);
    (known || WHOLE.iter().any(|stem| code.starts_with(stem))).then_some(known)
}

/// The family of a code that stands in the tables.
pub(super) fn of(code: &str) -> Option<&'static Family> {
    families().find(|family| family.codes().iter().any(|leaf| leaf == code))
}

/// The codes whose stem a wrong code shares, for a remedy.
pub(super) fn near(code: &str) -> Vec<String> {
    let shares = |family: &&Family| code.starts_with(family.stem);
    families().filter(shares).max_by_key(|f| f.stem.len()).map(Family::codes).unwrap_or_default()
}

/// Families of which the set says that their codes exclude each other
/// (Excludes1: an error if paired), each pair once.
const EXCLUDES: &[(&str, &str)] = &[
    ("M41", "Q67.5"),
    ("M41", "Q76.3"),
    ("M41", "I27.1"),
    ("M40", "M41"),
    ("M40", "Q76.4"),
    ("M40", "M96"),
    ("M40.0", "M42"),
    ("Q67.5", "Q76"),
];

/// Families that may not stand beside a code. Exclusions hold both ways: M40
/// excludes M41, so M41 may not stand with M40.
pub fn never_with(code: &str) -> Vec<&'static str> {
    let both = EXCLUDES.iter().flat_map(|(a, b)| [(a, b), (b, a)]);
    both.filter(|(mine, _)| code.starts_with(**mine)).map(|(_, other)| *other).collect()
}

/// Whether the set forbids two codes beside each other.
pub fn excluded(one: &str, other: &str) -> bool {
    never_with(one).iter().any(|family| other.starts_with(family))
}
