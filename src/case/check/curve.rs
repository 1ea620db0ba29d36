//! Curves: ends, apex, side, angle, and one curve against another.

use std::collections::BTreeMap;

use crate::case::{CurveReading, Film, Reading, Support, View};
use crate::diag::{Code, Diagnostic, Located, Severity};
use crate::spine::{Level, Side};

use super::film::frontal;
use super::{Check, plain};

/// Above this many degrees an angle is more often a slip than a curve;
/// common practice, no source.
const UNUSUAL: f64 = 130.0;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        for reading in &film.readings {
            for curve in &reading.curves {
                one(look, film, curve);
            }
            names(look, reading);
            if frontal(film) {
                neighbours(look, reading);
            }
        }
        same_film(look, film);
    }
}

/// How messages call a curve: its name, or its ends.
pub(super) fn called(curve: &CurveReading) -> String {
    match &curve.name {
        Some(name) => format!("curve `{}`", name.value),
        None => format!("curve {} to {}", *curve.upper, *curve.lower),
    }
}

fn one(look: &mut Check, film: &Film, curve: &CurveReading) {
    if ends(look, curve) {
        apex(look, curve);
    }
    plane(look, film, curve);
    angle(look, film, curve);
}

/// Whether the ends lie in order. That the patient has these levels was
/// checked by the reader.
fn ends(look: &mut Check, curve: &CurveReading) -> bool {
    let (upper, lower) = (&curve.upper, &curve.lower);
    let column = look.case.patient.column;
    let ordered = column.index(**upper) < column.index(**lower);
    if !ordered {
        let message = if **upper == **lower {
            format!("{} is both upper and lower end vertebra", **upper)
        } else {
            format!("upper end {} lies below lower end {}", **upper, **lower)
        };
        let other = (&lower.place, "the lower end");
        look.fault_with(Code::EndVertebraeReversed, &upper.place, message, other);
    }
    ordered
}

fn apex(look: &mut Check, curve: &CurveReading) {
    let Some(apex) = &curve.apex else { return };
    let column = look.case.patient.column;
    let Some(at) = column.apex_index(**apex) else { return };
    let index = |level: Level| column.index(level).map_or(f64::NAN, |i| i as f64);
    if !(index(*curve.upper) < at && at < index(*curve.lower)) {
        let message =
            format!("apex {} is not between {} and {}", **apex, *curve.upper, *curve.lower);
        look.fault(Code::ApexOutsideEnds, &apex.place, message);
    }
}

/// Sides on frontal films, bends on lateral ones, neither on hands.
fn plane(look: &mut Check, film: &Film, curve: &CurveReading) {
    let name = called(curve);
    let film_id = &film.id.value;
    match *film.view {
        View::Hand => {
            let message = format!("{name} on film `{film_id}`, which shows a hand");
            look.fault(Code::CurvesOnHandFilm, &curve.upper.place, message);
        }
        View::Lateral => {
            if let Some(side) = &curve.convex {
                let message = format!("{name} has a side of convexity on lateral film `{film_id}`");
                look.fault(Code::ConvexOnLateral, &side.place, message);
            }
            if curve.bend.is_none() && look.whole(&film.place) {
                let message =
                    format!("{name} on lateral film `{film_id}` is neither kyphosis nor lordosis");
                look.fault(Code::BendMissing, &curve.upper.place, message);
            }
        }
        View::Frontal | View::Bending => {
            if let Some(bend) = &curve.bend {
                let word = bend.word();
                let message =
                    format!("{name} is called {word} on {} film `{film_id}`", film.view.word());
                look.fault(Code::BendOnFrontal, &bend.place, message);
            }
            if curve.convex.is_none() && look.whole(&film.place) {
                let message =
                    format!("{name} on film `{film_id}` does not say to which side it is convex");
                look.fault(Code::ConvexMissing, &curve.upper.place, message);
            }
        }
    }
}

fn angle(look: &mut Check, film: &Film, curve: &CurveReading) {
    let Some(cobb) = &curve.cobb else { return };
    let degrees = cobb.to_degrees();
    let shown = plain(degrees);
    let name = called(curve);
    if degrees.abs() > UNUSUAL {
        look.fault(Code::CobbUnusual, &cobb.place, format!("{name} of {shown} deg"));
    }
    let supported = matches!(film.support.as_ref().map(|s| &s.value), Some(Support::Treatment(_)));
    if degrees < 0.0 && !supported {
        let message = format!("{name} of {shown} deg on film `{}` without brace or cast", *film.id);
        look.fault(Code::NegativeCobbOutOfSupport, &cobb.place, message);
    }
}

fn names(look: &mut Check, reading: &Reading) {
    let mut seen = BTreeMap::new();
    for name in reading.curves.iter().filter_map(|c| c.name.as_ref()) {
        if let Some(first) = seen.insert(name.value.clone(), &name.place) {
            let message = format!("two curves of reading `{}` are named `{}`", *reading.id, **name);
            look.fault_with(Code::CurveNamedTwice, &name.place, message, (first, "the other"));
        }
    }
}

/// Curves of one frontal reading from the head down, each against the next.
fn neighbours(look: &mut Check, reading: &Reading) {
    let column = look.case.patient.column;
    let mut spans: Vec<_> = reading
        .curves
        .iter()
        .filter_map(|c| Some((column.index(*c.upper)?, column.index(*c.lower)?, c)))
        .filter(|(upper, lower, _)| upper < lower)
        .collect();
    spans.sort_by_key(|(upper, lower, _)| (*upper, *lower));
    for pair in spans.windows(2) {
        let ((_, end, above), (start, end_below, below)) = (&pair[0], &pair[1]);
        let shared = end.min(end_below).saturating_sub(*start);
        if shared > 0 {
            overlap(look, above, below, shared);
        } else if end == start {
            opposite(look, above, below);
        }
    }
}

fn overlap(look: &mut Check, above: &CurveReading, below: &CurveReading, shared: usize) {
    let message = format!(
        "{} and {} share {} to {}",
        called(above),
        called(below),
        *below.upper,
        lower_of(look, above, below)
    );
    let place = Some(below.upper.place.clone());
    let mut fault = Diagnostic::new(Code::CurvesOverlap, place, message)
        .related(above.lower.place.clone(), "the curve above ends here");
    if shared == 1 {
        fault.severity = Severity::Warning;
    }
    look.report.push(fault);
}

/// Where the shared stretch ends: one curve may lie within the other.
fn lower_of(look: &Check, above: &CurveReading, below: &CurveReading) -> Level {
    let column = look.case.patient.column;
    if column.index(*above.lower) < column.index(*below.lower) {
        *above.lower
    } else {
        *below.lower
    }
}

fn opposite(look: &mut Check, above: &CurveReading, below: &CurveReading) {
    let (Some(one), Some(other)) = (&above.convex, &below.convex) else { return };
    if one.value == other.value {
        let message = format!(
            "{} and {} meet at {} and are both convex to the {}",
            called(above),
            called(below),
            *below.upper,
            word(one.value)
        );
        let role = (&one.place, "the same side");
        look.fault_with(Code::NeighboursSameSide, &other.place, message, role);
    }
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// Named curves of one film, reader against reader.
fn same_film(look: &mut Check, film: &Film) {
    let mut seen: BTreeMap<&str, (&Reading, Located<Side>)> = BTreeMap::new();
    for (reading, curve) in film.readings.iter().flat_map(|r| r.curves.iter().map(move |c| (r, c)))
    {
        let (Some(name), Some(side)) = (&curve.name, &curve.convex) else { continue };
        let (first, other) = seen.entry(&name.value).or_insert((reading, side.clone()));
        if std::ptr::eq(*first, reading) || other.value == side.value {
            continue;
        }
        let message = format!(
            "{} of film `{}` is convex to the {} for `{}` and to the {} for `{}`",
            called(curve),
            *film.id,
            word(other.value),
            *first.by,
            word(side.value),
            *reading.by
        );
        let role = (&other.place, "the other reading");
        look.fault_with(Code::ReadersDisagreeOnSide, &side.place, message, role);
    }
}
