//! From readings to sizes: landmarks where they exist, the typed angle otherwise.

use super::track::Measured;
use crate::case::{CurveReading, Film, Reading};
use crate::spine::cobb::cobb;
use crate::spine::frame::PatientSpine;

/// The spine of a reading in the patient's axes, if it has landmarks.
pub fn spine(film: &Film, reading: &Reading) -> Option<PatientSpine> {
    let set = reading.landmarks.as_ref()?.set.as_ref()?;
    Some(PatientSpine::new(set, film.frame()?, film.scale.as_ref().map(|s| s.value)))
}

/// The curve's size by the design's policy: recomputed from the landmarks
/// between the recorded ends where they exist, else as typed. `None` if
/// neither gives a number.
pub fn measure<'a>(
    film: &Film,
    reading: &'a Reading,
    curve: &'a CurveReading,
) -> Option<Measured<'a>> {
    let typed = curve.cobb.as_ref().map(|c| c.to_degrees());
    let computed = spine(film, reading)
        .and_then(|s| cobb(&s, curve.upper.value, curve.lower.value).ok())
        .map(|angle| angle.size().to_degrees());
    let size = computed.or(typed.map(f64::abs))?;
    Some(Measured {
        reading,
        curve,
        size,
        typed_negative: typed.is_some_and(|t| t < 0.0),
        from_landmarks: computed.is_some(),
        turned: false,
    })
}
