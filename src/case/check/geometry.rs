//! Recorded curves held against the landmarks of their film.
//!
//! Side, bend, size, ends and apex are recomputed from the corners that a
//! reader placed. A side that disagrees is an error; a size that disagrees is
//! told, because the computed one is used.

use crate::case::{Clinic, CurveReading, Film, Landmarks, Reading, View};
use crate::diag::{Code, Diagnostic, Place, Severity};
use crate::quantity::{Reported, Unit};
use crate::spine::cobb::{CobbAngle, Convexity};
use crate::spine::curve::{Agreement, agreement, apex};
use crate::spine::{GeometryError, PatientSpine};

use super::curve::called;
use super::{Check, plain};

/// Readings of one film by one person repeat within this many degrees, unless
/// the clinic has studied its own: the 95 % limit of one observer with freely
/// chosen ends is 4.9 ([`MORRISSY_1990`](crate::evidence::works::MORRISSY_1990)).
const REPEATABILITY: f64 = 5.0;
/// A recorded apex this many levels from the found one is doubted.
const APEX_LEVELS: f64 = 2.0;
/// Below this many degrees the bow of the bodies is too flat to be judged.
const JUDGED_FROM: f64 = 10.0;

pub(super) fn check(look: &mut Check) {
    shared(look);
    for film in &look.case.films {
        for reading in &film.readings {
            if let Some(landmarks) = &reading.landmarks {
                one(look, film, reading, landmarks);
            }
        }
    }
}

/// Two films cannot have the same corners: one of them names the file of the
/// other, and its angles would be told as its own.
fn shared(look: &mut Check) {
    let case = look.case;
    let all = case.films.iter().flat_map(|film| {
        film.readings.iter().filter_map(move |r| Some((film, r.landmarks.as_ref()?)))
    });
    let mut seen: Vec<(&Film, &Landmarks)> = Vec::new();
    for (film, landmarks) in all {
        let Some(set) = landmarks.set.as_ref().filter(|set| !set.vertebrae.is_empty()) else {
            continue;
        };
        let same = |(other, earlier): &&(&Film, &Landmarks)| {
            other.id.value != film.id.value && earlier.set.as_ref() == Some(set)
        };
        if let Some((other, earlier)) = seen.iter().find(same) {
            let message = format!(
                "films `{}` and `{}` have the same landmarks, point for point",
                *other.id, *film.id
            );
            let related = (&earlier.path.place, "the other film's");
            look.fault_with(Code::LandmarksShared, &landmarks.path.place, message, related);
        }
        seen.push((film, landmarks));
    }
}

fn one(look: &mut Check, film: &Film, reading: &Reading, landmarks: &Landmarks) {
    let place = &landmarks.path.place;
    if film.displayed.is_none() && look.whole(&film.place) {
        let message = match *film.view {
            View::Lateral => format!(
                "film `{}` is lateral and has landmarks, but `displayed` does not say whether the patient faces left or right",
                *film.id
            ),
            _ => format!("film `{}` has landmarks but no display", *film.id),
        };
        look.fault(Code::LandmarksWithoutDisplay, place, message);
    }
    let Some(set) = &landmarks.set else { return };
    let faults = set.faults(look.case.patient.column);
    let broken = faults.iter().any(|f| f.severity == Severity::Error);
    for fault in faults {
        let message = format!("{}: {}", *landmarks.path, fault.message);
        let mut diagnostic = Diagnostic::new(Code::LandmarksFaulty, Some(place.clone()), message);
        diagnostic.severity = fault.severity;
        if fault.of_point() {
            diagnostic = diagnostic.remedy(
                "place the named point again; left and right are the viewer's, as displayed",
            );
        }
        look.report.push(diagnostic);
    }
    let Some(frame) = film.frame().filter(|_| !broken) else { return };
    let scale = film.scale.as_ref().map(|s| s.value);
    let spine = PatientSpine::new(set, frame, scale);
    for curve in &reading.curves {
        against(look, film, curve, &spine, place);
    }
    super::frontal::against(look, film, reading, &spine, place);
}

fn against(
    look: &mut Check,
    film: &Film,
    curve: &CurveReading,
    spine: &PatientSpine,
    file: &Place,
) {
    let column = look.case.patient.column;
    match agreement(spine, column, *curve.upper, *curve.lower) {
        Ok(found) => {
            if side(look, film, curve, found.recorded, file) {
                size(look, curve, found.recorded, file);
            }
            ends(look, curve, &found, file);
            apex_of(look, curve, spine, file);
            bow(look, curve, &found, file);
        }
        // Reported by the checks of curves.
        Err(GeometryError::EndsReversed(..)) => {}
        Err(error) => {
            let message = format!("{} cannot be recomputed: {error}", called(curve));
            let other = (file, "the landmarks");
            look.fault_with(Code::LandmarksMissLevel, &curve.upper.place, message, other);
        }
    }
}

/// Whether the recorded side or bend is the computed one. A typed negative
/// angle says that the curve was turned over by its brace.
fn side(
    look: &mut Check,
    film: &Film,
    curve: &CurveReading,
    angle: CobbAngle,
    file: &Place,
) -> bool {
    let recorded = match (&curve.convex, &curve.bend) {
        (Some(side), None) => (Convexity::Toward(side.value), &side.place),
        (None, Some(bend)) => (bend_of(bend.value), &bend.place),
        _ => return false,
    };
    let turned = curve.cobb.as_ref().is_some_and(|c| c.to_degrees() < 0.0);
    let expected = if turned { recorded.0.opposite() } else { recorded.0 };
    let Some(found) = angle.convexity().filter(|found| *found != expected) else { return true };
    let code = match found.side() {
        Some(_) => Code::SideContradictsLandmarks,
        None => Code::BendContradictsLandmarks,
    };
    let overcorrected = if turned { ", overcorrected" } else { "" };
    let displayed = film.displayed.as_ref().map_or("", |d| d.word());
    let message = format!(
        "{} is recorded as {}{overcorrected}, but the landmarks of film `{}`, displayed \
         {displayed}, show {} deg {}",
        called(curve),
        words(recorded.0),
        *film.id,
        plain((angle.size().to_degrees() * 10.0).round() / 10.0),
        words(found),
    );
    look.fault_with(code, recorded.1, message, (file, "the landmarks"));
    false
}

fn bend_of(bend: crate::case::Bend) -> Convexity {
    match bend {
        crate::case::Bend::Kyphosis => Convexity::Kyphosis,
        crate::case::Bend::Lordosis => Convexity::Lordosis,
    }
}

fn words(convexity: Convexity) -> String {
    match convexity.side() {
        Some(_) => format!("convex to the {convexity}"),
        None => convexity.to_string(),
    }
}

/// How far two readings by one person may lie apart, in degrees.
pub(super) fn limit(clinic: Option<&Clinic>) -> f64 {
    let own = clinic.and_then(|c| c.limits.repeatability.as_ref());
    own.map_or(REPEATABILITY, |angle| angle.to_degrees())
}

/// Both numbers as they would be printed, so that the reader of the message
/// can redo the sum.
fn size(look: &mut Check, curve: &CurveReading, angle: CobbAngle, file: &Place) {
    let Some(cobb) = &curve.cobb else { return };
    let typed = Reported::round(cobb.to_degrees().abs(), 0, Unit::Degree);
    let found = Reported::round(angle.size().to_degrees(), 0, Unit::Degree);
    let apart = typed.minus(found).abs();
    let limit = limit(look.clinic);
    if apart.value() > limit {
        let message = format!(
            "{} is typed as {} deg, the landmarks give {} deg: {} deg apart, readings repeat \
             within {} deg",
            called(curve),
            typed.digits(),
            found.digits(),
            apart.digits(),
            plain(limit)
        );
        look.fault_with(Code::CobbDiffers, &cobb.place, message, (file, "the landmarks"));
    }
}

fn ends(look: &mut Check, curve: &CurveReading, found: &Agreement, file: &Place) {
    let (Some(best), Some(more)) = (found.found, found.degrees_more) else { return };
    if more > limit(look.clinic) {
        let message = format!(
            "{} is measured from {} to {}, but the landmarks tilt most at {} and {}, where the \
             angle is {} deg larger",
            called(curve),
            *curve.upper,
            *curve.lower,
            best.upper,
            best.lower,
            plain(more.round())
        );
        let other = (file, "the landmarks");
        look.fault_with(Code::EndsDifferFromLandmarks, &curve.upper.place, message, other);
    }
}

fn apex_of(look: &mut Check, curve: &CurveReading, spine: &PatientSpine, file: &Place) {
    let column = look.case.patient.column;
    let Some(recorded) = &curve.apex else { return };
    let Ok(Some(found)) = apex(spine, column, *curve.upper, *curve.lower) else { return };
    let (Some(a), Some(b)) = (column.apex_index(**recorded), column.apex_index(found)) else {
        return;
    };
    // Outside the ends it is reported as such.
    let inside = |level| column.index(level).map(|i| i as f64);
    if Some(a) <= inside(*curve.upper) || inside(*curve.lower) <= Some(a) {
        return;
    }
    if (a - b).abs() >= APEX_LEVELS {
        let message = format!(
            "{} has its apex recorded at {}, the landmarks deviate most at {found}",
            called(curve),
            **recorded
        );
        let other = (file, "the landmarks");
        look.fault_with(Code::ApexDiffersFromLandmarks, &recorded.place, message, other);
    }
}

/// Tilts and positions of the same points must tell the same side.
fn bow(look: &mut Check, curve: &CurveReading, found: &Agreement, file: &Place) {
    let judged = found.recorded.size().to_degrees() >= JUDGED_FROM;
    if judged && found.bows_as_tilted == Some(false) {
        let message = format!(
            "the endplates of {} tilt as in a curve to one side, but its vertebrae lie to the other",
            called(curve)
        );
        look.fault(Code::LandmarksFaulty, file, message);
    }
}
