//! Which curve of one film is which curve of the next.
//!
//! Readings of one film are joined first; then films are taken by date and
//! each curve is matched, one to one, with the curves known so far: by the
//! name typed in the case, else by apex, levels and side. A side turned over
//! in support is overcorrection, not a new curve.

use super::measure::measure;
use super::record::slug;
use super::track::{FilmCurve, Measured, Track};
use crate::case::{Bend, Case, CurveReading, Film, Reading, View};
use crate::course::identity::{CurveSketch, Matching, Which, match_curves};
use crate::diag::{Code, Diagnostic, Report};
use crate::facts::compare::{self, Held};
use crate::spine::cobb::Convexity;
use crate::spine::frame::Plane;
use crate::spine::{Apex, Side, region};

/// Every curve of the case over time, in order of first appearance and from
/// the head down.
pub fn tracks<'a>(case: &'a Case, report: &mut Report) -> Vec<Track<'a>> {
    let mut tracks: Vec<Track<'a>> = Vec::new();
    for film in case.films.iter().filter(|f| f.view.value != View::Hand) {
        let shown = join_readings(case, film, report);
        place(case, film, shown, &mut tracks, report);
    }
    name_keys(case, &mut tracks);
    tracks.sort_by_key(|t| (t.plane != Plane::Coronal, t.films[0].levels().0));
    tracks
}

/// The latest reading of each reader: a film's value is the mean over its
/// readers, and one who reads twice does not count twice.
pub(super) fn one_per_reader(film: &Film) -> Vec<&Reading> {
    let later = |a: &Reading, b: &Reading| {
        b.by.value == a.by.value && (b.read.value, &b.place) > (a.read.value, &a.place)
    };
    let firsts = || film.readings.iter().filter(|r| r.repeat_of.is_none());
    firsts().filter(|r| !firsts().any(|other| later(r, other))).collect()
}

/// Adds the readings made again to the curves they repeat. A curve that only
/// the repeat shows repeats nothing.
fn add_repeats<'a>(case: &Case, film: &'a Film, shown: &mut [FilmCurve<'a>]) {
    for reading in film.readings.iter().filter(|r| r.repeat_of.is_some()) {
        let measured: Vec<Measured<'a>> =
            reading.curves.iter().filter_map(|curve| measure(film, reading, curve)).collect();
        let here: Vec<CurveSketch> = measured.iter().map(|m| sketch(case, film, m.curve)).collect();
        let known: Vec<CurveSketch> =
            shown.iter().map(|c| sketch(case, film, c.members[0].curve)).collect();
        let matched = partners(&match_curves(&known, &here), here.len());
        for (m, to) in measured.into_iter().zip(matched) {
            if let Some(i) = to {
                shown[i].repeats.push(m);
            }
        }
    }
}

/// Joins the readings of one film curve by curve.
fn join_readings<'a>(case: &Case, film: &'a Film, report: &mut Report) -> Vec<FilmCurve<'a>> {
    let mut shown: Vec<FilmCurve<'a>> = Vec::new();
    for reading in one_per_reader(film) {
        let measured: Vec<Measured<'a>> = reading
            .curves
            .iter()
            .filter_map(|curve| {
                let m = measure(film, reading, curve);
                if m.is_none() {
                    report.add(
                        Code::CurveUnmeasured,
                        &curve.place,
                        "a curve with neither a Cobb angle nor landmarks that give one",
                    );
                }
                m
            })
            .collect();
        let here: Vec<CurveSketch> = measured.iter().map(|m| sketch(case, film, m.curve)).collect();
        let known: Vec<CurveSketch> =
            shown.iter().map(|c| sketch(case, film, c.members[0].curve)).collect();
        let matching = match_curves(&known, &here);
        report_ambiguous(
            film,
            &matching,
            &measured.iter().map(|m| m.curve).collect::<Vec<_>>(),
            report,
        );
        let matched = partners(&matching, here.len());
        for (m, to) in measured.into_iter().zip(matched) {
            match to {
                Some(i) => shown[i].members.push(m),
                None => shown.push(FilmCurve { film, members: vec![m], repeats: Vec::new() }),
            }
        }
    }
    add_repeats(case, film, &mut shown);
    shown
}

/// What identity needs to know of a curve.
fn sketch<'a>(case: &Case, film: &Film, curve: &'a CurveReading) -> CurveSketch<'a> {
    let column = case.patient.column;
    let index = |level| column.index(level).map_or(0.0, |i| i as f64);
    let convexity = match (&curve.convex, &curve.bend) {
        (Some(side), _) => Some(Convexity::Toward(side.value)),
        (None, Some(bend)) => Some(match bend.value {
            Bend::Kyphosis => Convexity::Kyphosis,
            Bend::Lordosis => Convexity::Lordosis,
        }),
        _ => None,
    };
    CurveSketch {
        name: curve.name.as_ref().map(|n| n.value.as_str()),
        upper: index(curve.upper.value),
        lower: index(curve.lower.value),
        apex: curve.apex.as_ref().and_then(|a| column.apex_index(a.value)),
        convexity,
        // Bending to one side can turn a curve over as a brace does.
        in_support: matches!(compare::held(case, film), Held::Brace | Held::Cast)
            || film.view.value == View::Bending,
    }
}

/// For each curve of the later film, its partner on the earlier one.
fn partners(matching: &Matching, later: usize) -> Vec<Option<usize>> {
    let mut to = vec![None; later];
    for pair in &matching.pairs {
        to[pair.later] = Some(pair.earlier);
    }
    to
}

/// The plane a film shows.
pub fn plane_of(film: &Film) -> Plane {
    match film.view.value {
        View::Lateral => Plane::Sagittal,
        _ => Plane::Coronal,
    }
}

fn place<'a>(
    case: &'a Case,
    film: &'a Film,
    shown: Vec<FilmCurve<'a>>,
    tracks: &mut Vec<Track<'a>>,
    report: &mut Report,
) {
    let plane = plane_of(film);
    let mine: Vec<usize> = (0..tracks.len()).filter(|i| tracks[*i].plane == plane).collect();
    let known: Vec<CurveSketch> = mine.iter().map(|i| last_seen(case, &tracks[*i])).collect();
    let here: Vec<CurveSketch> =
        shown.iter().map(|c| sketch(case, film, c.members[0].curve)).collect();
    let matching = match_curves(&known, &here);
    let curves: Vec<&CurveReading> = shown.iter().map(|c| c.members[0].curve).collect();
    report_ambiguous(film, &matching, &curves, report);
    let matched = partners(&matching, here.len());
    report_bent_away(film, &curves, &matched, |i| tracks[mine[i]].side, report);
    for (curve, to) in shown.into_iter().zip(matched) {
        match to {
            Some(i) => add(case, &mut tracks[mine[i]], curve, report),
            None => {
                let name = curve.members[0].curve.name.as_ref().map(|n| n.value.clone());
                let mut track =
                    Track { key: String::new(), name, plane, side: None, films: Vec::new() };
                add(case, &mut track, curve, report);
                tracks.push(track);
            }
        }
    }
}

/// The track as it was last seen out of support, or at all.
fn last_seen<'t>(case: &Case, track: &'t Track) -> CurveSketch<'t> {
    let free = track.films.iter().rev().find(|c| compare::natural(case, c.film));
    let last = free.or(track.films.last()).expect("a track has films");
    let mut sketch = sketch(case, last.film, last.members[0].curve);
    sketch.name = track.name.as_deref().or(sketch.name);
    if let Some(side) = track.side {
        sketch.convexity = Some(Convexity::Toward(side));
    }
    sketch
}

/// A bending film that straightens none of the curves read on it: bent to the
/// concave side of each it shows no flexibility.
fn report_bent_away(
    film: &Film,
    curves: &[&CurveReading],
    matched: &[Option<usize>],
    side_of: impl Fn(usize) -> Option<Side>,
    report: &mut Report,
) {
    let Some(bent) = film.bent_to.as_ref().filter(|_| film.view.value == View::Bending) else {
        return;
    };
    let typed = curves.iter().zip(matched).filter(|(c, _)| !c.found);
    let known: Vec<(&CurveReading, Side)> = typed
        .filter_map(|(c, to)| {
            let own = to.and_then(&side_of).or(c.convex.as_ref().map(|s| s.value))?;
            Some((*c, own))
        })
        .collect();
    if known.is_empty() || known.iter().any(|(_, side)| *side == bent.value) {
        return;
    }
    let all: Vec<String> = known
        .iter()
        .map(|(c, side)| format!("{} to {} ({})", c.upper.value, c.lower.value, word(*side)))
        .collect();
    let message = format!(
        "film {} is bent to the {} and shows only curves convex to the other side: {}",
        film.id.value,
        word(bent.value),
        all.join(", ")
    );
    let fault = Diagnostic::new(Code::BentAway, Some(bent.place.clone()), message);
    report.push(fault.related(known[0].0.place.clone(), "such a curve"));
}

fn add<'a>(case: &Case, track: &mut Track<'a>, mut curve: FilmCurve<'a>, report: &mut Report) {
    let held = matches!(compare::held(case, curve.film), Held::Brace | Held::Cast);
    let side = curve.side();
    let turned = matches!((side, track.side), (Some(a), Some(b)) if a != b);
    if held || curve.film.view.value == View::Bending {
        let natural = track.side;
        for m in curve.members.iter_mut().chain(&mut curve.repeats) {
            let side = m.curve.convex.as_ref().map(|s| s.value);
            let opposed = matches!((side, natural), (Some(a), Some(b)) if a != b);
            m.turned = m.typed_negative || opposed;
        }
    }
    if turned && !held && curve.film.view.value != View::Bending {
        let place = curve.members[0].curve.convex.as_ref().map(|s| &s.place);
        let earlier = track.films.iter().find_map(|c| c.members[0].curve.convex.as_ref());
        let message = format!(
            "curve {} is convex to the {} on film {}, and was convex to the {} before",
            curve.members[0].curve.name.as_ref().map_or("(unnamed)", |n| &n.value),
            side.map_or("?", word),
            curve.film.id.value,
            track.side.map_or("?", word),
        );
        let mut fault = Diagnostic::new(Code::CurveSideChanged, place.cloned(), message);
        if let Some(earlier) = earlier {
            fault = fault.related(earlier.place.clone(), "the earlier side");
        }
        report.push(fault);
    }
    // Beside an angle below zero the recorded side is the natural one.
    track.side = track.side.or(side);
    if track.name.is_none() {
        track.name = curve.members[0].curve.name.as_ref().map(|n| n.value.clone());
    }
    track.films.push(curve);
}

/// A side in the words of messages.
pub fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// Two plausible partners: an error that lists them, settled by a name. So is
/// a curve that would be an earlier one if it did not bulge to the other side.
fn report_ambiguous(
    film: &Film,
    matching: &Matching,
    curves: &[&CurveReading],
    report: &mut Report,
) {
    let called = |c: &CurveReading| format!("{} to {}", c.upper.value, c.lower.value);
    for ambiguity in &matching.ambiguous {
        let (curve, message) = match ambiguity.film {
            Which::Later => {
                let curve = curves[ambiguity.curve];
                let candidates = ambiguity.candidates.len();
                let what = called(curve);
                (
                    curve,
                    format!("the curve {what} could be either of {candidates} curves seen before"),
                )
            }
            Which::Earlier => {
                let all: Vec<String> =
                    ambiguity.candidates.iter().map(|c| called(curves[*c])).collect();
                let curve = curves[ambiguity.candidates[0]];
                (curve, format!("one curve seen before could be either of {}", all.join(" and ")))
            }
        };
        report.add(
            Code::CurveAmbiguous,
            &curve.place,
            format!("film {}: {message}", film.id.value),
        );
    }
    // Two curves that both found another partner are no conflict.
    let alone = |pair: &&(usize, usize)| {
        matching.only_earlier.contains(&pair.0)
            && matching.only_later.contains(&pair.1)
            && curves[pair.1].name.is_none()
    };
    for (_, later) in matching.side_conflicts.iter().filter(alone) {
        let curve = curves[*later];
        let side = curve.convex.as_ref().map_or("?", |s| word(s.value));
        let message = format!(
            "the curve {} is convex to the {side} on film {}, and a curve of these levels was convex to the other side before",
            called(curve),
            film.id.value
        );
        report.add(
            Code::CurveSideChanged,
            curve.convex.as_ref().map_or(&curve.place, |s| &s.place),
            message,
        );
    }
}

/// Gives each track a key for its fact ids: its name, else the region of its
/// apex; a number is added where two would be the same.
fn name_keys(case: &Case, tracks: &mut [Track]) {
    let mut taken: Vec<String> = Vec::new();
    for track in tracks {
        let apex: Option<Apex> = track.films.iter().find_map(FilmCurve::apex);
        let region = apex.and_then(|a| region::region(a, case.patient.column));
        let base = match (&track.name, region) {
            (Some(name), _) => slug(name),
            (None, Some((region, _))) => slug(&region.to_string()),
            (None, None) => "curve".to_string(),
        };
        let mut key = base.clone();
        let mut n = 2;
        while taken.contains(&key) {
            key = format!("{base}_{n}");
            n += 1;
        }
        taken.push(key.clone());
        track.key = key;
    }
}
