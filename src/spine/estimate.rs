//! Published regressions on measurements of the trunk and the spine.
//!
//! Each was fitted on one group of people and says nothing of others: whoever
//! calls must know that the patient is one of them. None of these is a
//! measurement, and none decides anything.

use crate::evidence::{Grade, Source, works};
use crate::quantity::{Angle, Length};

/// A source whose formula is evaluated here.
const fn computed(work: &'static crate::evidence::Work, note: &'static str) -> Source {
    Source { work: Some(work), grade: Grade::Computed, note }
}

/// Where [`trunk_shift`] comes from and whom it was fitted on.
pub const TRUNK_SHIFT: Source = computed(
    &works::TRUNK_SHIFT_2005,
    "shift in cm = 2/3 (thoracic translation + coronal balance) - 0.8; 91 adolescents with types 1A and 1B",
);

/// Lateral trunk shift from thoracic apical translation and coronal balance,
/// all above zero toward the convex side of the thoracic curve
/// ([`TRUNK_SHIFT`]).
pub fn trunk_shift(translation: Length, balance: Length) -> Length {
    let sum = translation.to_millimetres() + balance.to_millimetres();
    Length::millimetres(2.0 / 3.0 * sum - 8.0)
}

/// Where the regressions of [`thoracic_cobb`] and its neighbours come from and
/// whom they were fitted on.
pub const FROM_TRUNK_ROTATION: Source = computed(
    &works::SCOLIOMETER_2017,
    "regression on 101 outpatients with idiopathic scoliosis, mean thoracic curve 23 and lumbar curve -23 degrees; an estimate, no measurement",
);

/// Thoracic curve from thoracic trunk rotation alone (r 0.813); right above
/// zero ([`FROM_TRUNK_ROTATION`]).
pub fn thoracic_cobb(thoracic: Angle) -> Angle {
    Angle::degrees(2.0 * thoracic.to_degrees() + 14.3)
}

/// Lumbar curve from lumbar trunk rotation alone (r 0.409); right above zero.
pub fn lumbar_cobb(lumbar: Angle) -> Angle {
    Angle::degrees(0.9 * lumbar.to_degrees() - 16.9)
}

/// Thoracic curve from both trunk rotations (r 0.931); right above zero.
pub fn thoracic_cobb_of_both(thoracic: Angle, lumbar: Angle) -> Angle {
    Angle::degrees(2.6 * thoracic.to_degrees() - 1.4 * lumbar.to_degrees())
}

/// Lumbar curve from both trunk rotations (r 0.874); right above zero.
pub fn lumbar_cobb_of_both(thoracic: Angle, lumbar: Angle) -> Angle {
    Angle::degrees(-1.5 * thoracic.to_degrees() + 2.0 * lumbar.to_degrees())
}

/// Where [`surgical_height_gain`] comes from.
pub const SURGICAL_GAIN: Source = computed(
    &works::HEIGHT_GAIN_2012,
    "gain in mm = 0.0059 translation x angle before + 2.3 (1 - angle after / angle before) x instrumented vertebrae",
);

/// Height gained by surgical correction, from the Cobb angles before and after
/// it, the apical translation before it, and the number of instrumented
/// vertebrae ([`SURGICAL_GAIN`]); `None` for an angle before of zero or less.
pub fn surgical_height_gain(
    before: Angle,
    after: Angle,
    translation: Length,
    instrumented: u8,
) -> Option<Length> {
    let (before, after) = (before.to_degrees(), after.to_degrees());
    (before > 0.0).then(|| {
        let straightened = 0.0059 * translation.to_millimetres() * before;
        let discs = 2.3 * (1.0 - after / before) * f64::from(instrumented);
        Length::millimetres(straightened + discs)
    })
}
