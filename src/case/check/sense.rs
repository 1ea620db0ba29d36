//! Records that are each in order and do not go together.

use super::Check;
use crate::case::{Choice, Deformity, Film, Landmarks, Limits, Posture, Support, View};
use crate::diag::{Code, Severity};
use crate::spine::PatientSpine;
use crate::spine::curve::{SMALLEST_CURVE, find_curves};

/// Readers of one film further apart than this see different curves: the
/// inter-observer 95 % limit with free end vertebrae is 7.2 degrees
/// (Morrissy 1990), so a whole difference of 8 exceeds it.
const APART: f64 = 8.0;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        unread(look, film);
        disagree(look, film);
    }
    plans(look);
    asymmetry(look);
    due_to(look);
}

/// What a cause is due to must be a kind of that cause.
fn due_to(look: &mut Check) {
    let diagnosis = &look.case.diagnosis;
    let Some(due_to) = &diagnosis.due_to else { return };
    if !due_to.goes_with(diagnosis.cause.value) {
        let (cause, what) = (diagnosis.cause.word(), due_to.word());
        let message = format!("`due_to: {what}` is no kind of the cause `{cause}`");
        let other = (&diagnosis.cause.place, "the cause");
        look.fault_with(Code::DueToContradictsCause, &due_to.place, message, other);
    }
}

/// Landmarks without a curve: what they show is followed, and nobody has
/// looked at its levels and side.
fn unread(look: &mut Check, film: &Film) {
    // On a lateral film the ends are named beforehand.
    if film.view.value == View::Lateral {
        return;
    }
    for reading in &film.readings {
        if let (Some(landmarks), true) = (&reading.landmarks, reading.curves.is_empty()) {
            let message = format!(
                "reading {} of film {} has landmarks and names no curve; {}",
                reading.id.value,
                film.id.value,
                shown(look, film, landmarks)
            );
            look.fault(Code::LandmarksWithoutCurve, &landmarks.path.place, message);
        }
    }
}

/// The curves that the landmarks show, in words.
fn shown(look: &Check, film: &Film, landmarks: &Landmarks) -> String {
    let column = look.case.patient.column;
    let sound = landmarks
        .set
        .as_ref()
        .filter(|set| !set.faults(column).iter().any(|fault| fault.severity == Severity::Error));
    let (Some(set), Some(frame)) = (sound, film.frame()) else {
        return "they cannot be measured".to_string();
    };
    let spine = PatientSpine::new(set, frame, film.scale.as_ref().map(|s| s.value));
    let curves: Vec<String> = find_curves(&spine, column, SMALLEST_CURVE)
        .iter()
        .map(|c| {
            let degrees = c.cobb.size().to_degrees().round();
            format!("{} to {} {degrees} deg {}", c.upper, c.lower, c.convexity)
        })
        .collect();
    match curves.len() {
        0 => format!("they show no curve of {SMALLEST_CURVE} deg or more"),
        _ => format!("they show {}", curves.join(", ")),
    }
}

/// Two typed angles of one named curve on one film.
fn disagree(look: &mut Check, film: &Film) {
    let typed: Vec<_> = film
        .readings
        .iter()
        .flat_map(|r| r.curves.iter().map(move |c| (r, c)))
        .filter_map(|(r, c)| Some((r, c.name.as_ref()?.value.as_str(), c.cobb.as_ref()?)))
        .collect();
    for (i, (reader, name, angle)) in typed.iter().enumerate() {
        let before = typed[..i].iter().find(|(r, n, a)| {
            n == name
                && r.by.value != reader.by.value
                && (a.to_degrees() - angle.to_degrees()).abs() >= APART
        });
        if let Some((other, _, far)) = before {
            let message = format!(
                "{} reads curve `{name}` as {} deg on film {}, {} as {} deg",
                reader.by.value,
                angle.to_degrees(),
                film.id.value,
                other.by.value,
                far.to_degrees()
            );
            look.fault_with(
                Code::ReadersDisagree,
                &angle.place,
                message,
                (&far.place, "the other reading"),
            );
        }
    }
}

/// A discharge with a next visit, a brace both weaned and continued.
fn plans(look: &mut Check) {
    for plan in &look.case.plans {
        let has = |choice: Choice| plan.choice.iter().find(|c| c.value == choice);
        if let (Some(discharge), Some(next)) = (has(Choice::Discharge), &plan.next)
            && let Some(date) = next.visit.as_ref().or(next.film.as_ref())
        {
            let message = "a discharge with a next visit or film".to_string();
            look.fault_with(
                Code::PlanContradicts,
                &discharge.place,
                message,
                (&date.place, "what comes next"),
            );
        }
        if let (None, Some(sign)) = (has(Choice::Discharge), plan.come_back_if.first()) {
            let message = "`come_back_if:` in a plan that does not discharge".to_string();
            let what = plan.choice.first().map_or(&plan.place, |c| &c.place);
            look.fault_with(Code::PlanContradicts, &sign.place, message, (what, "the choice"));
        }
        if let (Some(wean), Some(go_on)) = (has(Choice::Wean), has(Choice::Continue)) {
            let message = "a treatment that is weaned and goes on as it is".to_string();
            look.fault_with(
                Code::PlanContradicts,
                &wean.place,
                message,
                (&go_on.place, "the other choice"),
            );
        }
    }
}

/// An asymmetry whose curve has reached the size of a scoliosis.
fn asymmetry(look: &mut Check) {
    if look.case.diagnosis.deformity.value != Deformity::Asymmetry {
        return;
    }
    let limits = look.clinic.map(|c| &c.limits);
    let from = limits.map_or(Limits::SCOLIOSIS_FROM, Limits::scoliosis_from);
    let inclusive = limits.is_none_or(Limits::scoliosis_inclusive);
    let reaches = |angle: f64| if inclusive { angle.round() >= from } else { angle.round() > from };
    let shows = |f: &&Film| {
        f.view.value == View::Frontal
            && f.posture.as_ref().is_some_and(|p| p.value == Posture::Standing)
            && !matches!(f.support.as_ref().map(|s| &s.value), Some(Support::Treatment(_)))
    };
    let angles = look.case.films.iter().filter(shows).flat_map(|f| &f.readings);
    let largest = angles
        .flat_map(|r| &r.curves)
        .filter_map(|c| c.cobb.as_ref())
        .find(|a| reaches(a.to_degrees()));
    if let Some(angle) = largest {
        let message = format!(
            "the diagnosis says asymmetry, and a curve measures {} deg, from {from} deg a scoliosis",
            angle.to_degrees()
        );
        let place = look.case.diagnosis.deformity.place.clone();
        look.fault_with(Code::AsymmetryExceeded, &place, message, (&angle.place, "the angle"));
    }
}
