//! The units that quantities are typed in and printed with.

use serde::Serialize;

/// A unit of measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Unit {
    Degree,
    DegreePerYear,
    Millimetre,
    Centimetre,
    CentimetrePerYear,
    Kilogram,
    Hour,
    HourPerDay,
    MinutePerDay,
    Minute,
    Percent,
    Millisievert,
    MillisievertPerYear,
    /// Dose-area product.
    GraySquareCentimetre,
    /// A tenth of it.
    DecigraySquareCentimetre,
    /// A hundredth of it.
    CentigraySquareCentimetre,
    /// A hundredth of it, as many units display it.
    MicrograySquareMetre,
    Celsius,
    MillimetrePerPixel,
    Year,
    Month,
    Week,
    Day,
    /// A pain rating from 0 to 10.
    OutOfTen,
    /// A count or a grade: no unit.
    One,
}

impl Unit {
    /// How the unit is typed in a case file; the first spelling is the one
    /// that messages and skeletons show.
    pub fn spellings(self) -> &'static [&'static str] {
        match self {
            Unit::Degree => &["deg"],
            Unit::DegreePerYear => &["deg/year"],
            Unit::Millimetre => &["mm"],
            Unit::Centimetre => &["cm"],
            Unit::CentimetrePerYear => &["cm/year"],
            Unit::Kilogram => &["kg"],
            Unit::Hour => &["h"],
            Unit::HourPerDay => &["h/day"],
            Unit::MinutePerDay => &["min/day"],
            Unit::Minute => &["min"],
            Unit::Percent => &["%"],
            Unit::Millisievert => &["mSv"],
            Unit::MillisievertPerYear => &["mSv/year"],
            Unit::GraySquareCentimetre => &["Gy.cm2"],
            Unit::DecigraySquareCentimetre => &["dGy.cm2"],
            Unit::CentigraySquareCentimetre => &["cGy.cm2"],
            Unit::MicrograySquareMetre => &["uGy.m2"],
            Unit::Celsius => &["degC"],
            Unit::MillimetrePerPixel => &["mm/px"],
            Unit::Year => &["years"],
            Unit::Month => &["months"],
            Unit::Week => &["weeks"],
            Unit::Day => &["days"],
            Unit::OutOfTen => &["/10"],
            Unit::One => &[""],
        }
    }

    /// The code of the Unified Code for Units of Measure.
    pub fn ucum(self) -> &'static str {
        match self {
            Unit::Degree => "deg",
            Unit::DegreePerYear => "deg/a",
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::CentimetrePerYear => "cm/a",
            Unit::Kilogram => "kg",
            Unit::Hour => "h",
            Unit::HourPerDay => "h/d",
            Unit::MinutePerDay => "min/d",
            Unit::Minute => "min",
            Unit::Percent => "%",
            Unit::Millisievert => "mSv",
            Unit::MillisievertPerYear => "mSv/a",
            Unit::GraySquareCentimetre => "Gy.cm2",
            Unit::DecigraySquareCentimetre => "dGy.cm2",
            Unit::CentigraySquareCentimetre => "cGy.cm2",
            Unit::MicrograySquareMetre => "uGy.m2",
            Unit::Celsius => "Cel",
            Unit::MillimetrePerPixel => "mm/{pixel}",
            Unit::Year => "a",
            Unit::Month => "mo",
            Unit::Week => "wk",
            Unit::Day => "d",
            Unit::OutOfTen => "{score}",
            Unit::One => "1",
        }
    }

    /// The unit by one of its spellings.
    pub fn spelled(text: &str) -> Option<Unit> {
        const ALL: &[Unit] = &[
            Unit::Degree,
            Unit::DegreePerYear,
            Unit::Millimetre,
            Unit::Centimetre,
            Unit::CentimetrePerYear,
            Unit::Kilogram,
            Unit::Hour,
            Unit::HourPerDay,
            Unit::MinutePerDay,
            Unit::Minute,
            Unit::Percent,
            Unit::Millisievert,
            Unit::MillisievertPerYear,
            Unit::GraySquareCentimetre,
            Unit::DecigraySquareCentimetre,
            Unit::CentigraySquareCentimetre,
            Unit::MicrograySquareMetre,
            Unit::Celsius,
            Unit::MillimetrePerPixel,
            Unit::Year,
            Unit::Month,
            Unit::Week,
            Unit::Day,
            Unit::OutOfTen,
            Unit::One,
        ];
        ALL.iter().copied().find(|unit| unit.spellings().contains(&text))
    }
}
