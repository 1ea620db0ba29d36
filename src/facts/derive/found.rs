//! Curves that nobody typed: found from the landmarks of a reading.
//!
//! A reader who places corners and names no curve has measured every one.
//! Before curves are followed, such a reading gets the curves its landmarks
//! show: on a film of the spine as it is, those with the most tilted ends
//! ([`find_curves`]) from [`FROM`] degrees; on a film bent, lying, pulled or
//! in support, the angle between the ends that the curve had on the film of
//! the spine as it is, for a bend of the whole trunk is no new curve. They
//! carry [`found`](CurveReading::found), and every word on them says so. A
//! reading with typed curves is left as it is: the reader chose. Lateral
//! films are filled only where a kyphosis is what is followed, and keep the
//! ends of the first of them.

use super::curves::largest_plane;
use super::measure;
use super::track::Track;
use super::tracks::{plane_of, tracks};
use crate::case::{Bend, Case, CurveReading, Film, Posture, Reading};
use crate::diag::{Located, Report, Severity};
use crate::facts::compare;
use crate::quantity::{Reported, Unit};
use crate::spine::cobb::Convexity;
use crate::spine::curve::{FoundCurve, SMALLEST_CURVE, agreement, apex, find_curves};
use crate::spine::frame::Plane;
use crate::spine::{Apex, Level, PatientSpine, Side, cobb};

/// Whole degrees from which a found curve is followed: the usual definition
/// of a scoliosis ([`COBB_ORTHOFRACS`](crate::evidence::works::COBB_ORTHOFRACS)).
pub const FROM: i64 = 10;

/// The case with the curves that its landmarks show where no curve was typed.
pub fn filled(mut case: Case) -> Case {
    for i in 0..case.films.len() {
        let new: Vec<Vec<CurveReading>> =
            case.films[i].readings.iter().map(|r| of_reading(&case, i, r)).collect();
        for (reading, curves) in case.films[i].readings.iter_mut().zip(new) {
            reading.curves.extend(curves);
        }
    }
    let carried = carried(&case);
    for (film, reading, curve) in carried {
        case.films[film].readings[reading].curves.push(curve);
    }
    case
}

/// The spine of a reading whose landmarks may be measured.
pub fn sound(case: &Case, film: &Film, reading: &Reading) -> Option<PatientSpine> {
    let set = reading.landmarks.as_ref()?.set.as_ref()?;
    let faults = set.faults(case.patient.column);
    let broken = faults.iter().any(|f| f.severity == Severity::Error);
    if broken { None } else { measure::spine(film, reading) }
}

/// What is found anew on one reading that names no curve.
fn of_reading(case: &Case, at: usize, reading: &Reading) -> Vec<CurveReading> {
    let film = &case.films[at];
    if !reading.curves.is_empty() || !anew(case, at) {
        return Vec::new();
    }
    let Some(spine) = sound(case, film, reading) else { return Vec::new() };
    let column = case.patient.column;
    let typed: Vec<&CurveReading> = film.readings.iter().flat_map(|r| &r.curves).collect();
    if typed.is_empty() {
        let large =
            |c: &FoundCurve| whole(c.cobb.size().to_degrees()) >= FROM && is_whole(&spine, c);
        return find_curves(&spine, column, SMALLEST_CURVE)
            .into_iter()
            .filter(large)
            .filter_map(|c| record(reading, (c.upper, c.lower), Some(c.apex), c.convexity, None))
            .collect();
    }
    // Another reader named the curves of this film.
    let same = |t: &CurveReading| {
        let c = agreement(&spine, column, t.upper.value, t.lower.value).ok()?.found?;
        record(reading, (c.upper, c.lower), Some(c.apex), c.convexity, t.name.clone())
    };
    typed.into_iter().filter_map(same).collect()
}

/// Share of a curve's angle that an end at the edge of the landmarks must
/// hold; our own choice.
const EDGE_SHARE: f64 = 0.25;

/// Whether a curve that ends with the landmarks is more than the return of
/// its neighbour to the level: both its ends must be tilted, each its own way.
/// Half curves above and below the others are listed among the found ones and
/// not followed.
fn is_whole(spine: &PatientSpine, curve: &FoundCurve) -> bool {
    let (Some(top), Some(bottom)) = (spine.vertebra(curve.upper), spine.vertebra(curve.lower))
    else {
        return false;
    };
    let sign = curve.cobb.signed().to_degrees().signum();
    let least = EDGE_SHARE * curve.cobb.size().to_degrees();
    (!curve.upper_at_edge || sign * top.upper.tilt() >= least)
        && (!curve.lower_at_edge || -sign * bottom.closing().tilt() >= least)
}

/// Whether curves are found anew on a film: it shows the spine as it is,
/// upright if the case has any such film, and in the plane that is followed.
fn anew(case: &Case, at: usize) -> bool {
    let film = &case.films[at];
    let plane = plane_of(film);
    let same = |f: &&Film| plane_of(f) == plane && compare::natural(case, f);
    if !same(&film) {
        return false;
    }
    let upright =
        |f: &Film| matches!(compare::posture(f), None | Some(Posture::Standing | Posture::Sitting));
    match plane {
        Plane::Coronal => upright(film) || !case.films.iter().filter(same).any(upright),
        Plane::Sagittal => {
            let read = |f: &Film| f.readings.iter().any(|r| !r.curves.is_empty());
            largest_plane(case) == Plane::Sagittal
                && !case.films[..at].iter().filter(same).any(read)
        }
    }
}

/// Known curves on readings that do not show them yet, between known ends.
fn carried(case: &Case) -> Vec<(usize, usize, CurveReading)> {
    let known = tracks(case, &mut Report::default());
    let mut carried = Vec::new();
    for (f, film) in case.films.iter().enumerate() {
        let typed = |r: &Reading| r.curves.iter().any(|c| !c.found);
        if film.readings.iter().any(typed) {
            continue;
        }
        for (r, reading) in film.readings.iter().enumerate() {
            let Some(spine) = sound(case, film, reading) else { continue };
            let mine = known.iter().filter(|t| t.plane == plane_of(film));
            let absent = mine.filter(|t| !t.films.iter().any(|c| c.film.id.value == film.id.value));
            let curves = absent.filter_map(|t| carry(case, film, reading, &spine, t));
            carried.extend(curves.map(|curve| (f, r, curve)));
        }
    }
    carried
}

/// One known curve measured between the ends it had out of support.
fn carry(
    case: &Case,
    film: &Film,
    reading: &Reading,
    spine: &PatientSpine,
    track: &Track,
) -> Option<CurveReading> {
    let natural: Vec<_> = track.films.iter().filter(|c| compare::natural(case, c.film)).collect();
    let before = natural.iter().rfind(|c| c.film.taken.value <= film.taken.value);
    let ends = before.or(natural.first())?.levels();
    let angle = cobb(spine, ends.0, ends.1).ok()?;
    let own = match (track.side, track.is_lordosis()) {
        (Some(side), _) => Convexity::Toward(side),
        (None, true) => Convexity::Lordosis,
        (None, false) => Convexity::Kyphosis,
    };
    let shown = angle.convexity().unwrap_or(own);
    let as_it_is = compare::natural(case, film);
    // As the spine is, a curve of the definition's size would have been found.
    let small = whole(angle.size().to_degrees()) < FROM;
    let anew = film.readings.iter().any(|r| !r.curves.is_empty());
    let turns = track.plane == Plane::Coronal && !as_it_is;
    if (as_it_is && anew && !small) || (shown != own && !turns) {
        return None;
    }
    let at = apex(spine, case.patient.column, ends.0, ends.1).ok().flatten();
    let name = track.name.clone().zip(place(reading)).map(|(n, at)| Located::new(n, at.clone()));
    record(reading, ends, at, shown, name)
}

fn place(reading: &Reading) -> Option<&crate::diag::Place> {
    reading.landmarks.as_ref().map(|l| &l.path.place)
}

/// A found curve in the form of a record, at the place of the landmarks.
fn record(
    reading: &Reading,
    ends: (Level, Level),
    apex: Option<Apex>,
    convexity: Convexity,
    name: Option<Located<String>>,
) -> Option<CurveReading> {
    let place = place(reading)?;
    let bend = match convexity {
        Convexity::Toward(_) => None,
        Convexity::Kyphosis => Some(Bend::Kyphosis),
        Convexity::Lordosis => Some(Bend::Lordosis),
    };
    Some(CurveReading {
        name,
        upper: Located::new(ends.0, place.clone()),
        apex: apex.map(|a| Located::new(a, place.clone())),
        lower: Located::new(ends.1, place.clone()),
        convex: convexity.side().map(|s: Side| Located::new(s, place.clone())),
        bend: bend.map(|b| Located::new(b, place.clone())),
        cobb: None,
        translation: None,
        found: true,
        place: place.clone(),
    })
}

fn whole(degrees: f64) -> i64 {
    Reported::round(degrees, 0, Unit::Degree).value() as i64
}
