//! From readings to sizes: landmarks where they exist, the typed angle otherwise.

use super::track::Measured;
use crate::case::{CurveReading, Display, Film, Reading, View};
use crate::spine::cobb::cobb;
use crate::spine::frame::{FilmFrame, PatientSpine};

/// How a film's pixels lie to the patient; `None` if the display is not
/// recorded or the view has no spine.
pub fn frame(film: &Film) -> Option<FilmFrame> {
    let display = film.displayed.as_ref()?.value;
    match (film.view.value, display) {
        (View::Frontal | View::Bending, Display::FromBehind) => Some(FilmFrame::FrontalFromBehind),
        (View::Frontal | View::Bending, Display::FromFront) => Some(FilmFrame::FrontalFromFront),
        (View::Lateral, Display::FacingLeft) => Some(FilmFrame::LateralFacingLeft),
        (View::Lateral, Display::FacingRight) => Some(FilmFrame::LateralFacingRight),
        _ => None,
    }
}

/// The spine of a reading in the patient's axes, if it has landmarks.
pub fn spine(film: &Film, reading: &Reading) -> Option<PatientSpine> {
    let set = reading.landmarks.as_ref()?.set.as_ref()?;
    Some(PatientSpine::new(set, frame(film)?, film.scale.as_ref().map(|s| s.value)))
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
