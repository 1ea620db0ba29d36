//! What published tables say of sagittal measurements: modifiers, expected
//! values, usual ranges.
//!
//! Everything is judged on reported values. The tables come from adults; that
//! a patient is grown is for the caller to make sure. Where a table leaves a
//! value out, nothing is said about it: between two rows nothing is guessed.

use crate::evidence::{Constant, Source, works};
use crate::quantity::{Reported, Unit};

/// From this age on, in completed years, tables of adults are applied; our
/// own bound, the usual one of law and clinics.
pub const ADULT_FROM: u32 = 18;

/// A step of the adult sagittal modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Modifier {
    /// Below the first threshold.
    Zero,
    /// Between the thresholds, both included.
    Plus,
    /// Above the second threshold.
    PlusPlus,
}

impl Modifier {
    /// As printed: `0`, `+`, `++`.
    pub fn word(self) -> &'static str {
        match self {
            Modifier::Zero => "0",
            Modifier::Plus => "+",
            Modifier::PlusPlus => "++",
        }
    }
}

/// A measurement with adult modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Modified {
    /// Pelvic incidence minus lumbar lordosis.
    IncidenceLessLordosis,
    /// Sagittal vertical axis.
    VerticalAxis,
    /// Pelvic tilt.
    PelvicTilt,
}

/// Where the modifiers come from.
pub const MODIFIERS: Source = Source::read(
    &works::ADULT_MODIFIERS,
    "0, + and ++: PI-LL below 10, 10 to 20, above 20; SVA below 4, 4 to 9.5, above 9.5 cm; PT below 20, 20 to 30, above 30",
);

impl Modified {
    /// All of them.
    pub const ALL: [Modified; 3] =
        [Modified::IncidenceLessLordosis, Modified::VerticalAxis, Modified::PelvicTilt];

    /// The thresholds, in degrees or millimetres: from the first on `+`, above
    /// the second `++`.
    pub fn thresholds(self) -> [Reported; 2] {
        match self {
            Modified::IncidenceLessLordosis => [10, 20].map(|t| Reported::whole(t, Unit::Degree)),
            Modified::VerticalAxis => [40, 95].map(|t| Reported::whole(t, Unit::Millimetre)),
            Modified::PelvicTilt => [20, 30].map(|t| Reported::whole(t, Unit::Degree)),
        }
    }

    /// The modifier of a reported value, in degrees or millimetres.
    pub fn of(self, value: Reported) -> Modifier {
        let [plus, above] = self.thresholds();
        if value.compare(above).is_gt() {
            Modifier::PlusPlus
        } else if value.compare(plus).is_ge() {
            Modifier::Plus
        } else {
            Modifier::Zero
        }
    }
}

/// What is expected of a person with a certain pelvic incidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Expected {
    /// Pelvic tilt.
    pub tilt: Reported,
    /// Lordosis L1 to S1.
    pub lordosis: Reported,
}

/// Where the expected values come from.
pub const EXPECTED: Source = Source::read(
    &works::LE_HUEC_2015,
    "table 3, theoretical pelvic tilt and lordosis by class of incidence; 78 degrees stands in no class",
);

/// Rows: incidence from and to, tilt, what is added to the incidence for the
/// lordosis.
const CLASSES: [(i64, i64, i64, i64); 6] = [
    (i64::MIN, 37, 4, 18),
    (38, 47, 8, 13),
    (48, 57, 12, 9),
    (58, 67, 16, 6),
    (68, 77, 20, 2),
    (79, i64::MAX, 24, -5),
];

/// Pelvic tilt and lordosis expected at a pelvic incidence in whole degrees;
/// `None` at 78, which the table assigns to no class.
pub fn expected(incidence: Reported) -> Option<Expected> {
    let whole = Reported::round(incidence.value(), 0, Unit::Degree);
    let degrees = whole.value() as i64;
    let row = CLASSES.iter().find(|(from, to, ..)| (*from..=*to).contains(&degrees))?;
    Some(Expected {
        tilt: Reported::whole(row.2, Unit::Degree),
        lordosis: Reported::whole(degrees + row.3, Unit::Degree),
    })
}

/// Where the regression of pelvic tilt on age comes from.
pub const TILT_BY_AGE: Source =
    Source::read(&works::PELVIC_TILT_BY_AGE, "PT = -12.7 + 0.38 x PI + 0.14 x age; abstract read");

/// Pelvic tilt expected at a pelvic incidence and an age in completed years,
/// to a tenth of a degree.
pub fn tilt_by_age(incidence: Reported, years: u32) -> Reported {
    let tilt = -12.7 + 0.38 * incidence.value() + 0.14 * f64::from(years);
    Reported::round(tilt, 1, Unit::Degree)
}

/// A published range and where a value lies to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// Its lower end, still inside.
    pub low: Reported,
    /// Its upper end, still inside.
    pub high: Reported,
    /// Where it comes from.
    pub source: Source,
    /// Whether it was drawn from adults.
    pub adults: bool,
}

impl Range {
    const fn adults(low: i64, high: i64) -> Range {
        let note = "95 % range of 709 persons without complaint";
        let source = Source::read(&works::MAC_THIONG_2011, note);
        Range { low: degrees(low), high: degrees(high), source, adults: true }
    }

    /// `below`, `within` or `above`.
    pub fn place(&self, value: Reported) -> &'static str {
        if value.compare(self.low).is_lt() {
            "below"
        } else if value.compare(self.high).is_gt() {
            "above"
        } else {
            "within"
        }
    }
}

const fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

/// Pelvic incidence of adults.
pub const INCIDENCE: Range = Range::adults(32, 74);
/// Pelvic tilt of adults.
pub const TILT: Range = Range::adults(0, 27);
/// Sacral slope of adults.
pub const SLOPE: Range = Range::adults(24, 55);
/// Kyphosis T5 to T12, at any age.
pub const KYPHOSIS: Range = Range {
    low: degrees(10),
    high: degrees(40),
    source: Source::read(&works::AO_LENKE, "kyphosis T5 to T12: 10 to 40 degrees normal"),
    adults: false,
};

/// How far the three pelvic angles of one film may miss their identity.
pub const IDENTITY_WITHIN: Constant = Constant {
    value: 2.0,
    unit: Unit::Degree,
    source: Source::definition(
        "PI = PT + SS; three whole degrees may miss it by 1, and 2 is the most that is let pass",
    ),
};

/// By how many whole degrees the three pelvic angles miss `PI = PT + SS`:
/// above zero when the incidence is larger than the sum.
pub fn identity_gap(incidence: Reported, tilt: Reported, slope: Reported) -> Reported {
    incidence.minus(tilt).minus(slope)
}

/// Whether three pelvic angles of one film cannot belong together.
pub fn identity_broken(incidence: Reported, tilt: Reported, slope: Reported) -> bool {
    identity_gap(incidence, tilt, slope).abs().value() > IDENTITY_WITHIN.value
}
