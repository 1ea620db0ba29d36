//! The sagittal measurements one by one: name, unit, where each is typed and
//! how it is measured. What a value means is not said here.

use super::Sagittal;
use crate::diag::Place;
use crate::evidence::{Source, works};
use crate::quantity::Unit;
use crate::spine::landmark::Mark;
use crate::spine::sagittal::{Pelvis, Stretch, stretch, vertical_axis};
use crate::spine::{Column, PatientSpine};

/// One sagittal measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SagittalItem {
    /// A kyphosis or lordosis between named ends.
    Bend(Stretch),
    /// Pelvic incidence.
    Incidence,
    /// Pelvic tilt.
    Tilt,
    /// Sacral slope.
    Slope,
    /// Sagittal vertical axis.
    Axis,
}

impl SagittalItem {
    /// All of them, as they are told.
    pub fn all() -> impl Iterator<Item = SagittalItem> {
        let rest = [Self::Incidence, Self::Tilt, Self::Slope, Self::Axis];
        Stretch::ALL.into_iter().map(Self::Bend).chain(rest)
    }

    /// The last part of its fact ids, as it is typed in a case.
    pub fn key(self) -> &'static str {
        match self {
            Self::Bend(Stretch::T2T5) => "t2_t5",
            Self::Bend(Stretch::T5T12) => "t5_t12",
            Self::Bend(Stretch::T2T12) => "t2_t12",
            Self::Bend(Stretch::T4T12) => "t4_t12",
            Self::Bend(Stretch::T10L2) => "t10_l2",
            Self::Bend(Stretch::Lordosis) => "lordosis",
            Self::Incidence => "pelvic_incidence",
            Self::Tilt => "pelvic_tilt",
            Self::Slope => "sacral_slope",
            Self::Axis => "sva",
        }
    }

    /// What it is, in words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Bend(Stretch::T2T5) => "kyphosis T2 to T5",
            Self::Bend(Stretch::T5T12) => "kyphosis T5 to T12",
            Self::Bend(Stretch::T2T12) => "kyphosis T2 to T12",
            Self::Bend(Stretch::T4T12) => "kyphosis T4 to T12",
            Self::Bend(Stretch::T10L2) => "kyphosis T10 to L2",
            Self::Bend(Stretch::Lordosis) => "lordosis L1 to S1",
            Self::Incidence => "pelvic incidence",
            Self::Tilt => "pelvic tilt",
            Self::Slope => "sacral slope",
            Self::Axis => "sagittal vertical axis",
        }
    }

    /// Its unit.
    pub fn unit(self) -> Unit {
        match self {
            Self::Axis => Unit::Millimetre,
            _ => Unit::Degree,
        }
    }

    /// What was typed, in its unit.
    pub fn typed(self, typed: &Sagittal) -> Option<(f64, &Place)> {
        let angle = match self {
            Self::Bend(Stretch::T2T5) => &typed.t2_t5,
            Self::Bend(Stretch::T5T12) => &typed.t5_t12,
            Self::Bend(Stretch::T2T12) => &typed.t2_t12,
            Self::Bend(Stretch::T4T12) => &typed.t4_t12,
            Self::Bend(Stretch::T10L2) => &typed.t10_l2,
            Self::Bend(Stretch::Lordosis) => &typed.lordosis,
            Self::Incidence => &typed.pelvic_incidence,
            Self::Tilt => &typed.pelvic_tilt,
            Self::Slope => &typed.sacral_slope,
            Self::Axis => {
                return typed.sva.as_ref().map(|l| (l.to_millimetres(), &l.place));
            }
        };
        angle.as_ref().map(|a| (a.to_degrees(), &a.place))
    }

    /// Its size from landmarks in its unit, or why there is none.
    pub fn measure(self, spine: &PatientSpine) -> Result<f64, String> {
        let pelvis = || {
            let heads = spine.marks(Mark::FemoralHead);
            Pelvis::new(spine, &heads).map_err(|e| e.to_string())
        };
        Ok(match self {
            Self::Bend(s) => stretch(spine, s).map_err(|e| e.to_string())?.to_degrees(),
            // Found without the femoral heads too.
            Self::Slope => slope(spine)?,
            Self::Incidence => pelvis()?.incidence().to_degrees(),
            Self::Tilt => pelvis()?.tilt().to_degrees(),
            Self::Axis => vertical_axis(spine).map_err(|e| e.to_string())?.to_millimetres(),
        })
    }

    /// Whether the person has the vertebrae it needs.
    pub fn exists_in(self, column: Column) -> bool {
        match self {
            Self::Bend(s) => s.exists_in(column),
            _ => true,
        }
    }

    /// How it is measured, and where that is written.
    pub fn method(self) -> (&'static str, Source) {
        match self {
            Self::Bend(Stretch::Lordosis) => (
                "angle between the upper endplate of L1 and the upper edge of S1",
                Source::read(&works::SAGITTAL_NORMS, "lordosis L1 to S1"),
            ),
            Self::Bend(_) => (
                "angle between the upper endplate of the first and the lower endplate of the second vertebra named, convex to the back above zero",
                Source::read(&works::COBB_ORTHOFRACS, "method of the measurement"),
            ),
            Self::Incidence => (
                "angle between the perpendicular to the upper edge of S1 at its middle and the line from there to the hip axis",
                PELVIC,
            ),
            Self::Tilt => (
                "angle between the vertical and the line from the hip axis to the middle of the upper edge of S1, above zero when S1 lies behind",
                PELVIC,
            ),
            Self::Slope => ("angle between the upper edge of S1 and the horizontal", PELVIC),
            Self::Axis => (
                "distance of the vertical through the middle of C7 from the back upper corner of S1, above zero in front",
                Source::read(&works::SAGITTAL_NORMS, "sagittal vertical axis"),
            ),
        }
    }
}

const PELVIC: Source = Source::read(&works::SAGITTAL_NORMS, "pelvic angles; PI = PT + SS");

fn slope(spine: &PatientSpine) -> Result<f64, String> {
    use crate::spine::{GeometryError, Level};
    let sacrum = spine.vertebra(Level::S1).ok_or(GeometryError::NotMarked(Level::S1));
    let edge = sacrum.map_err(|e| e.to_string())?.upper;
    let has_direction = edge.length() > 0.0;
    match has_direction {
        true => Ok(edge.tilt()),
        false => Err(GeometryError::NoDirection(Level::S1).to_string()),
    }
}
