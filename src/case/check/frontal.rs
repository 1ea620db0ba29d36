//! What was measured on frontal films beside the curves: on a film that can
//! show it, at a level that can have it, and held against the landmarks.
//!
//! A side that disagrees is an error; a size that disagrees is told, because
//! the computed one is used.

use crate::case::{Clinic, CsvlLine, CurveReading, Film, Opt, Reading, RibVertebra, Sided, View};
use crate::diag::{Code, Place};
use crate::quantity::{Angle, Length, Reported, Unit};
use crate::spine::balance::{self, CsvlBy};
use crate::spine::landmark::Mark;
use crate::spine::{Apex, GeometryError, Level, PatientSpine, Side, rib, rotation, tilt, wedge};

use super::curve::called;
use super::geometry::limit;
use super::{Check, plain};

/// Typed and recomputed lengths this far apart are doubted, in millimetres:
/// common practice, no source.
const LENGTHS_APART: f64 = 10.0;
/// From this size on, in millimetres or degrees, a side is told apart.
const SIDE_FROM: f64 = 3.0;
/// A translation this large against the convexity is odd, in millimetres.
const AGAINST_FROM: f64 = 10.0;
/// Grades this far apart are doubted; one apart is how readers differ.
const GRADES_APART: u8 = 2;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        for reading in &film.readings {
            on_its_film(look, film, reading);
            ribs(look, reading);
            without_scale(look, film, reading);
            for curve in &reading.curves {
                against_convexity(look, curve);
            }
        }
    }
}

/// A frontal measurement belongs to a frontal film.
fn on_its_film(look: &mut Check, film: &Film, reading: &Reading) {
    if *film.view == View::Frontal {
        return;
    }
    let translated = reading.curves.iter().find_map(|c| c.translation.as_ref());
    let frontal = reading.frontal.as_ref().map(|f| (&f.place, "frontal measurements"));
    let found = frontal.or(translated.map(|t| (&t.place, "the translation of an apex")));
    if let Some((place, what)) = found {
        let message = format!("{what} on film `{}`, which is {}", *film.id, film.view.word());
        let other = (&film.view.place, "the view");
        look.fault_with(Code::FrontalOnOtherFilm, place, message, other);
    }
}

/// Rib angles: of a vertebra that bears ribs, once, within a curve.
fn ribs(look: &mut Check, reading: &Reading) {
    let Some(frontal) = &reading.frontal else { return };
    for (i, angles) in frontal.rib_vertebra.iter().enumerate() {
        let level = angles.level.value;
        if !matches!(level, Level::T(_)) {
            let message = format!("rib-vertebra angles of {level}, which bears no rib");
            look.fault(Code::RibLevel, &angles.level.place, message);
            continue;
        }
        let before = frontal.rib_vertebra[..i].iter().find(|other| other.level.value == level);
        if let Some(first) = before {
            let message = format!("rib-vertebra angles of {level} stand twice in one reading");
            let other = (&first.level.place, "the first");
            look.fault_with(Code::RibLevelRepeated, &angles.level.place, message, other);
        }
        swapped(look, angles);
        if convex_at(reading, level).is_none() {
            let message = format!(
                "rib-vertebra angles of {level}, which lies in no curve of reading `{}`",
                *reading.id
            );
            look.fault(Code::RibLevelOutsideCurves, &angles.level.place, message);
        }
    }
}

/// A difference this far below zero, beyond what readers differ by, is rare
/// where a curve stands: more likely the two angles stand in each other's place.
fn swapped(look: &mut Check, angles: &RibVertebra) {
    let difference = angles.concave.to_degrees() - angles.convex.to_degrees();
    let said = Reported::round(difference, 0, Unit::Degree);
    if said.value() > -rib::REPEATS_WITHIN.value {
        return;
    }
    let message = format!(
        "rib-vertebra angles of {}: concave {} deg less convex {} deg is {} deg",
        angles.level.value,
        plain(angles.concave.to_degrees()),
        plain(angles.convex.to_degrees()),
        said.digits()
    );
    let other = (&angles.convex.place, "the convex angle");
    look.fault_with(Code::RibAnglesSwapped, &angles.concave.place, message, other);
}

fn convex_at(reading: &Reading, level: Level) -> Option<Side> {
    let holds = |c: &&CurveReading| c.upper.value <= level && level <= c.lower.value;
    let inside = |c: &&CurveReading| c.upper.value < level && level < c.lower.value;
    let curves = || reading.curves.iter().filter(|c| c.convex.is_some());
    let curve = curves().find(inside).or_else(|| curves().find(holds));
    curve.and_then(|c| c.convex.as_ref()).map(|side| side.value)
}

/// Points that serve lengths alone, on a film without a scale.
fn without_scale(look: &mut Check, film: &Film, reading: &Reading) {
    let Some(landmarks) = &reading.landmarks else { return };
    let Some(set) = &landmarks.set else { return };
    let lengths = |mark: &Mark| matches!(mark, Mark::Trunk(_) | Mark::FemoralHead);
    let marked = set.marks.keys().map(|(mark, _)| *mark).find(lengths);
    if let (Some(mark), None, View::Frontal) = (marked, &film.scale, *film.view) {
        let message = format!(
            "{}: the {mark} is marked, but film `{}` has no scale, so no millimetres",
            *landmarks.path, *film.id
        );
        look.fault(Code::LengthsWithoutScale, &landmarks.path.place, message);
    }
}

/// An apex far from its line on the hollow side of its curve.
fn against_convexity(look: &mut Check, curve: &CurveReading) {
    let (Some(translation), Some(convex)) = (&curve.translation, &curve.convex) else { return };
    let turned = curve.cobb.as_ref().is_some_and(|c| c.to_degrees() < 0.0);
    let expected = if turned { convex.value.opposite() } else { convex.value };
    let size = translation.value.amount.to_millimetres();
    if size >= AGAINST_FROM && translation.value.side == Some(expected.opposite()) {
        let message = format!(
            "the apex of {} stands {} mm to the {}, and the curve is convex to the {}",
            called(curve),
            plain(size),
            word(expected.opposite()),
            word(expected)
        );
        let other = (&convex.place, "the convexity");
        look.fault_with(Code::TranslationAgainstConvexity, &translation.place, message, other);
    }
}

/// Holds what a reader typed on a frontal film against its sound landmarks.
pub(super) fn against(
    look: &mut Check,
    film: &Film,
    reading: &Reading,
    spine: &PatientSpine,
    file: &Place,
) {
    if *film.view != View::Frontal {
        return;
    }
    lines(look, reading, spine, file);
    translations(look, reading, spine, file);
    rib_angles(look, reading, spine, file);
    grades(look, reading, spine, file);
    wedges(look, reading, spine, file);
    turned(look, reading, spine, file);
}

/// One number of a reading, typed and recomputed, above zero on the left.
struct Pair<'a> {
    what: String,
    typed: f64,
    place: &'a Place,
    found: f64,
    unit: Unit,
    limit: f64,
    /// How a side is said: `to the left`, `with its left side up`.
    up: bool,
}

fn lines(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    let Some(frontal) = &reading.frontal else { return };
    let by = csvl(reading, look.clinic);
    let angles = limit(look.clinic);
    let mm = |o: balance::Offset| o.leftward().to_millimetres();
    let lengths = [
        (
            "the coronal balance",
            &frontal.balance,
            balance::coronal_balance(spine, by).map(mm),
            false,
        ),
        ("the trunk shift", &frontal.trunk_shift, balance::trunk_shift(spine, by).map(mm), false),
        (
            "the difference of the femoral heads",
            &frontal.femoral_heads,
            tilt::femoral_heads(spine).map(|s| s.left_up().to_millimetres()),
            true,
        ),
    ];
    for (what, typed, found, up) in lengths {
        let Some((typed, place, found)) = length(typed, found) else { continue };
        let what = what.to_string();
        let pair =
            Pair { what, typed, place, found, unit: Unit::Millimetre, limit: LENGTHS_APART, up };
        compare(look, &pair, file);
    }
    let tilts = [
        ("the tilt of T1", &frontal.t1_tilt, tilt::t1_tilt(spine)),
        ("the clavicle angle", &frontal.clavicle_angle, tilt::clavicle_angle(spine)),
        ("the pelvic obliquity", &frontal.pelvic_obliquity, tilt::pelvic_obliquity(spine)),
    ];
    for (what, typed, found) in tilts {
        let Some((typed, place, found)) = angle(typed, found) else { continue };
        let what = what.to_string();
        let pair = Pair { what, typed, place, found, unit: Unit::Degree, limit: angles, up: true };
        compare(look, &pair, file);
    }
}

fn length(
    typed: &Opt<Sided<Length>>,
    found: Result<f64, GeometryError>,
) -> Option<(f64, &Place, f64)> {
    let typed = typed.as_ref()?;
    let left = leftward(typed.value.amount.to_millimetres(), typed.value.side);
    Some((left, &typed.place, found.ok()?))
}

fn angle(
    typed: &Opt<Sided<Angle>>,
    found: Result<tilt::Tilt, GeometryError>,
) -> Option<(f64, &Place, f64)> {
    let typed = typed.as_ref()?;
    let left = leftward(typed.value.amount.to_degrees(), typed.value.side);
    Some((left, &typed.place, found.ok()?.left_up().to_degrees()))
}

fn leftward(size: f64, side: Option<Side>) -> f64 {
    if side == Some(Side::Right) { -size } else { size }
}

fn csvl(reading: &Reading, clinic: Option<&Clinic>) -> CsvlBy {
    let typed = reading.frontal.as_ref().and_then(|f| f.csvl.as_ref());
    let set = clinic.and_then(|c| c.choices.csvl.as_ref());
    match typed.or(set).map(|c| c.value) {
        Some(CsvlLine::Pelvis) => CsvlBy::Pelvis,
        Some(CsvlLine::Plumb) | None => CsvlBy::Plumb,
    }
}

/// Both numbers as they would be printed, so that the reader of the message
/// can redo the sum.
fn compare(look: &mut Check, pair: &Pair, file: &Place) {
    let typed = Reported::round(pair.typed, 0, pair.unit);
    let found = Reported::round(pair.found, 0, pair.unit);
    let apart = typed.minus(found).abs();
    if apart.value() <= pair.limit {
        return;
    }
    let unit = pair.unit.spellings()[0];
    let say = |n: Reported| format!("{} {unit}{}", n.abs().digits(), side(n, pair.up));
    let opposed = typed.sign() * found.sign() < 0;
    let clear = |n: Reported| n.abs().value() >= SIDE_FROM;
    let (code, tail) = if opposed && clear(typed) && clear(found) {
        (Code::FrontalSideContradictsLandmarks, String::new())
    } else {
        let tail =
            format!(": {} {unit} apart, {} {unit} allowed", apart.digits(), plain(pair.limit));
        (Code::FrontalDiffers, tail)
    };
    let message = format!(
        "{} is typed as {}, the landmarks give {}{tail}",
        pair.what,
        say(typed),
        say(found)
    );
    look.fault_with(code, pair.place, message, (file, "the landmarks"));
}

fn side(n: Reported, up: bool) -> String {
    let side = match n.sign() {
        1 => "left",
        -1 => "right",
        _ => return String::new(),
    };
    format!(" {side}{}", if up { " up" } else { "" })
}

fn translations(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    let column = look.case.patient.column;
    let by = csvl(reading, look.clinic);
    for curve in &reading.curves {
        let Some(apex) = &curve.apex else { continue };
        let found = balance::apical_translation(spine, column, apex.value, by);
        let found = found.map(|o| o.leftward().to_millimetres());
        let Some((typed, place, found)) = length(&curve.translation, found) else { continue };
        let what = format!("the translation of {}", called(curve));
        let limit = LENGTHS_APART;
        let pair = Pair { what, typed, place, found, unit: Unit::Millimetre, limit, up: false };
        compare(look, &pair, file);
    }
}

/// Differences of rib angles: exchanged sides are an error.
fn rib_angles(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    for typed in reading.frontal.iter().flat_map(|f| &f.rib_vertebra) {
        let level = typed.level.value;
        let Some(convex) = convex_at(reading, level) else { continue };
        let Ok(angles) = rib::rib_angles(spine, level) else { continue };
        let whole = |degrees: f64| Reported::round(degrees, 0, Unit::Degree);
        let said = whole(typed.concave.to_degrees() - typed.convex.to_degrees());
        let found = whole(angles.difference(convex).to_degrees());
        let (apart, limit) = (said.minus(found).abs(), rib::REPEATS_WITHIN.value);
        if apart.value() <= limit {
            continue;
        }
        let both = format!(
            "the rib-vertebra angles of {level} differ by {} deg as typed and by {} deg by the landmarks",
            said.digits(),
            found.digits()
        );
        let exchanged =
            said.sign() * found.sign() < 0 && said.abs().minus(found.abs()).abs().value() <= limit;
        let (code, message) = if exchanged {
            let code = Code::FrontalSideContradictsLandmarks;
            (code, format!("{both}: convex and concave seem exchanged"))
        } else {
            (
                Code::FrontalDiffers,
                format!("{both}: {} deg apart, {} deg allowed", apart.digits(), plain(limit)),
            )
        };
        look.fault_with(code, &typed.place, message, (file, "the landmarks"));
    }
}

fn grades(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    for (level, typed) in reading.frontal.iter().flat_map(|f| &f.rotation) {
        let Ok(found) = rotation::pedicles(spine, level.value) else { continue };
        let found = found.grade();
        if typed.value.abs_diff(found) >= GRADES_APART {
            let message = format!(
                "the rotation of {} is typed as grade {}, the pedicles marked give grade {found}",
                level.value, typed.value
            );
            look.fault_with(Code::FrontalDiffers, &typed.place, message, (file, "the landmarks"));
        }
    }
}

fn wedges(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    let limit = limit(look.clinic);
    for (level, typed) in &reading.wedges {
        let Ok(found) = wedge::frontal_wedge(spine, level.value) else { continue };
        let whole = |degrees: f64| Reported::round(degrees.abs(), 0, Unit::Degree);
        let (said, found) = (whole(typed.value.to_degrees()), whole(found.to_degrees()));
        let apart = said.minus(found).abs();
        if apart.value() > limit {
            let message = format!(
                "the wedging of {} is typed as {} deg, the landmarks give {} deg: {} deg apart, {} deg allowed",
                level.value,
                said.digits(),
                found.digits(),
                apart.digits(),
                plain(limit)
            );
            look.fault_with(Code::FrontalDiffers, &typed.place, message, (file, "the landmarks"));
        }
    }
}

/// A vertebra turns to the convex side of its curve; one that is clearly
/// turned the other way has its pedicles or its level mistaken.
fn turned(look: &mut Check, reading: &Reading, spine: &PatientSpine, file: &Place) {
    for curve in &reading.curves {
        let (Some(apex), Some(convex)) = (&curve.apex, &curve.convex) else { continue };
        let Apex::Vertebra(level) = apex.value else { continue };
        let Ok(found) = rotation::pedicles(spine, level) else { continue };
        let overturned = curve.cobb.as_ref().is_some_and(|c| c.to_degrees() < 0.0);
        if found.grade() < GRADES_APART || overturned {
            continue;
        }
        if let Some(side) = found.turned_to().filter(|side| *side != convex.value) {
            let message = format!(
                "the pedicles of {level} show it turned to the {} by grade {}, and {} is convex to the {}",
                word(side),
                found.grade(),
                called(curve),
                word(convex.value)
            );
            let other = (file, "the landmarks");
            look.fault_with(Code::RotationAgainstConvexity, &apex.place, message, other);
        }
    }
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}
