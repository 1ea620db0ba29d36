//! What was measured on lateral films, held against itself and against the
//! landmarks.
//!
//! Three pelvic angles that cannot belong together, a bend that the landmarks
//! show the other way, a film read facing the wrong way: each would turn a
//! kyphosis into a lordosis or a good balance into a bad one.

use crate::case::{Film, Reading, Sagittal, SagittalItem, View};
use crate::course::sagittal::{IDENTITY_WITHIN, identity_broken, identity_gap};
use crate::diag::{Code, Diagnostic, Place, Severity};
use crate::quantity::{Reported, Unit};
use crate::spine::PatientSpine;
use crate::spine::sagittal::{Stretch, faces_the_other_way, stretch};

use super::geometry::limit;
use super::{Check, plain};

/// Lengths of one film repeat within this many millimetres; our own bound.
const LENGTHS_REPEAT: f64 = 10.0;
/// Below this many degrees or millimetres a sign is within error; near the
/// published limit of kyphosis, 9.6 degrees
/// ([`KYPHOSIS_2002`](crate::evidence::works::KYPHOSIS_2002)).
const SIGN_JUDGED_FROM: f64 = 10.0;

/// What is seldom seen, and what no person shows: our own bounds, far outside
/// the ranges of 709 adults
/// ([`MAC_THIONG_2011`](crate::evidence::works::MAC_THIONG_2011)).
struct Bounds {
    odd: (f64, f64),
    absurd: (f64, f64),
}

fn bounds(item: SagittalItem) -> Bounds {
    let of = |odd, absurd| Bounds { odd, absurd };
    match item {
        SagittalItem::Incidence => of((25.0, 95.0), (15.0, 115.0)),
        SagittalItem::Tilt => of((-20.0, 45.0), (-60.0, 60.0)),
        SagittalItem::Slope => of((0.0, 75.0), (-45.0, 100.0)),
        SagittalItem::Axis => of((-120.0, 200.0), (-300.0, 400.0)),
        SagittalItem::Bend(Stretch::Lordosis) => of((-10.0, 105.0), (-90.0, 180.0)),
        SagittalItem::Bend(_) => of((-40.0, 120.0), (-90.0, 180.0)),
    }
}

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        for reading in &film.readings {
            one(look, film, reading);
        }
    }
}

fn one(look: &mut Check, film: &Film, reading: &Reading) {
    if *film.view != View::Lateral {
        if let Some(typed) = &reading.sagittal {
            let message = format!(
                "film `{}` is {} and yet has sagittal measurements",
                *film.id,
                film.view.word()
            );
            let other = (&film.view.place, "the view");
            look.fault_with(Code::SagittalOnOtherView, &typed.place, message, other);
        }
        return;
    }
    if let Some(typed) = &reading.sagittal {
        typed_alone(look, film, typed);
    }
    let Some((spine, file)) = spine(look, film, reading) else { return };
    // Read facing the wrong way, every other number is wrong with it.
    if facing(look, film, &spine, file) {
        return;
    }
    measured(look, film, &spine, file);
    if let Some(typed) = &reading.sagittal {
        against(look, film, typed, &spine, file);
    }
}

/// The spine of a reading whose landmarks are sound.
fn spine<'a>(look: &Check, film: &Film, reading: &'a Reading) -> Option<(PatientSpine, &'a Place)> {
    let landmarks = reading.landmarks.as_ref()?;
    let set = landmarks.set.as_ref()?;
    let faults = set.faults(look.case.patient.column);
    if faults.iter().any(|fault| fault.severity == Severity::Error) {
        return None;
    }
    let scale = film.scale.as_ref().map(|scale| scale.value);
    Some((PatientSpine::new(set, film.frame()?, scale), &landmarks.path.place))
}

fn whole(item: SagittalItem, value: f64) -> Reported {
    Reported::round(value, 0, item.unit())
}

fn unit(item: SagittalItem) -> &'static str {
    item.unit().spellings()[0]
}

fn typed_alone(look: &mut Check, film: &Film, typed: &Sagittal) {
    for item in SagittalItem::all() {
        let Some((value, place)) = item.typed(typed) else { continue };
        let odd = bounds(item).odd;
        if value < odd.0 || value > odd.1 {
            let message = unusual(film, item, value, "is typed as");
            look.fault(Code::SagittalUnusual, place, message);
        }
    }
    identity(look, film, typed);
}

fn unusual(film: &Film, item: SagittalItem, value: f64, how: &str) -> String {
    let odd = bounds(item).odd;
    format!(
        "{} of film `{}` {how} {} {}, usually {} to {}",
        item.label(),
        *film.id,
        whole(item, value).value(),
        unit(item),
        plain(odd.0),
        plain(odd.1)
    )
}

fn identity(look: &mut Check, film: &Film, typed: &Sagittal) {
    let (Some(pi), Some(pt), Some(ss)) =
        (&typed.pelvic_incidence, &typed.pelvic_tilt, &typed.sacral_slope)
    else {
        return;
    };
    let degrees = |a: f64| Reported::round(a, 0, Unit::Degree);
    let [incidence, tilt, slope] = [pi, pt, ss].map(|a| degrees(a.to_degrees()));
    if identity_broken(incidence, tilt, slope) {
        let gap = identity_gap(incidence, tilt, slope);
        let message = format!(
            "pelvic incidence {} deg of film `{}` is not the sum of pelvic tilt {} deg and sacral slope {} deg: it misses {} deg by {} deg, and {} are let pass",
            plain(incidence.value()),
            *film.id,
            plain(tilt.value()),
            plain(slope.value()),
            plain(tilt.value() + slope.value()),
            plain(gap.abs().value()),
            plain(IDENTITY_WITHIN.value),
        );
        look.fault(Code::PelvicIdentityBroken, &pi.place, message);
    }
}

/// Typed values against the landmarks of the same reading: the sign first,
/// then the size.
fn against(look: &mut Check, film: &Film, typed: &Sagittal, spine: &PatientSpine, file: &Place) {
    for item in SagittalItem::all() {
        let (Some((said, place)), Ok(found)) = (item.typed(typed), item.measure(spine)) else {
            continue;
        };
        let (said, found) = (whole(item, said), whole(item, found));
        let (a, b) = (said.value(), found.value());
        let unit = unit(item);
        let label = item.label();
        if a.min(b) <= -SIGN_JUDGED_FROM && a.max(b) >= SIGN_JUDGED_FROM {
            let displayed = film.displayed.as_ref().map_or("", |d| d.word());
            let message = format!(
                "{label} is typed as {a} {unit}, but the landmarks of film `{}`, displayed {displayed}, give {b} {unit}",
                *film.id
            );
            let other = (file, "the landmarks");
            look.fault_with(Code::SagittalContradictsLandmarks, place, message, other);
            continue;
        }
        let limit = match item.unit() {
            Unit::Millimetre => LENGTHS_REPEAT,
            _ => limit(look.clinic),
        };
        let apart = said.minus(found).abs().value();
        if apart > limit {
            let message = format!(
                "{label} of film `{}` is typed as {a} {unit}, the landmarks give {b} {unit}: {apart} {unit} apart, readings repeat within {} {unit}",
                *film.id,
                plain(limit)
            );
            look.fault_with(Code::SagittalDiffers, place, message, (file, "the landmarks"));
        }
    }
}

/// Values that landmarks give and no person shows.
fn measured(look: &mut Check, film: &Film, spine: &PatientSpine, file: &Place) {
    for item in SagittalItem::all() {
        let Ok(value) = item.measure(spine) else { continue };
        let Bounds { odd, absurd } = bounds(item);
        let outside = |(low, high): (f64, f64)| value < low || value > high;
        if !outside(odd) {
            continue;
        }
        let message = unusual(film, item, value, "measures by the landmarks");
        let mut fault = Diagnostic::new(Code::SagittalUnusual, Some(file.clone()), message);
        if outside(absurd) {
            fault.severity = Severity::Error;
        }
        look.report.push(fault);
    }
}

/// Whether the film was read facing the wrong way.
fn facing(look: &mut Check, film: &Film, spine: &PatientSpine, file: &Place) -> bool {
    let Some(displayed) = &film.displayed else { return false };
    if faces_the_other_way(spine, SIGN_JUDGED_FROM) != Some(true) {
        return false;
    }
    let size = |s| stretch(spine, s).map_or(0.0, |a| a.to_degrees().abs().round());
    let message = format!(
        "displayed {}, the landmarks of film `{}` show a lordosis of {} deg from T5 to T12 and a kyphosis of {} deg from L1 to S1",
        displayed.word(),
        *film.id,
        size(Stretch::T5T12),
        size(Stretch::Lordosis)
    );
    let other = (file, "the landmarks");
    look.fault_with(Code::FacingContradictsSpine, &displayed.place, message, other);
    true
}
