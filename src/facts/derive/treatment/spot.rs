//! Where a pad presses, a relief gives room or a change is asked for: level,
//! side, face, words, and the curve it lies beside.

use crate::case::order::{Change, Face, PadSide, Spot};
use crate::case::{Case, Opt};
use crate::diag::{Located, Place};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, text, whole};
use crate::facts::derive::tongue::Tongue;
use crate::facts::derive::track::Track;
use crate::facts::{Missing, Value};
use crate::quantity::Unit;
use crate::spine::frame::Plane;
use crate::spine::{Level, Side};

/// What one of them says, whichever it is.
struct Where<'a> {
    level: Option<&'a Located<Level>>,
    to: Option<&'a Located<Level>>,
    side: Option<&'a Located<PadSide>>,
    face: Option<&'a Located<Face>>,
    what: &'a Located<String>,
    /// Its language, where it is not the clinic's.
    tag: Option<&'a str>,
    place: &'a Place,
}

/// `<root>.<prefix>1.*` and so on, from the head down.
pub fn spots(
    make: &mut Maker,
    case: &Case,
    tracks: &[Track],
    root: &str,
    (prefix, what): (&str, &'static str),
    spots: &[Spot],
    record: &str,
) {
    let mut list: Vec<&Spot> = spots.iter().collect();
    // Of one level the recorded order stays.
    list.sort_by_key(|s| case.patient.column.index(s.level.value));
    for (n, spot) in list.into_iter().enumerate() {
        let path = format!("{root}.{prefix}{}", n + 1);
        let shown = Where {
            level: Some(&spot.level),
            to: spot.to.as_ref(),
            side: Some(&spot.side),
            face: spot.face.as_ref(),
            what: &spot.what,
            tag: None,
            place: &spot.place,
        };
        one(make, &path, n, what, &shown, record);
        beside(make, case, tracks, &path, spot, record);
    }
}

/// `<root>.c1.*` and so on, as recorded.
pub fn changes(make: &mut Maker, root: &str, changes: &[Change], record: &str, tongue: Tongue) {
    for (n, change) in changes.iter().enumerate() {
        let other = tongue.choose(true, &change.what_in).flatten();
        let shown = Where {
            level: change.level.as_ref(),
            to: change.to.as_ref(),
            side: change.side.as_ref(),
            face: change.face.as_ref(),
            what: other.map_or(&change.what, |(_, what)| what),
            tag: other.map(|(tag, _)| tag),
            place: &change.place,
        };
        one(make, &format!("{root}.c{}", n + 1), n, "change", &shown, record);
    }
}

fn one(make: &mut Maker, path: &str, n: usize, what: &'static str, s: &Where, record: &str) {
    make.fact(
        format!("{path}.number"),
        format!("number of a {what}"),
        whole(n as i64 + 1, Unit::One),
    )
    .record(record, s.place)
    .by("counted as the letter lists them", Source::definition(""))
    .done();
    level(make, path, what, s, record);
    let said = s.side.map(|side| (side_value(side.value), &side.place));
    known(make, path, ("side", "side, the patient's"), what, said, s, record);
    let face = s.face.map(|face| (Value::Word(face.value.word()), &face.place));
    known(make, path, ("face", "face of the trunk"), what, face, s, record);
    make.fact(format!("{path}.what"), format!("what a {what} is"), text(s.what))
        .record(record, &s.what.place)
        .done();
    if let Some(tag) = s.tag {
        let label = format!("what a {what} is: language");
        make.fact(format!("{path}.what.language"), label, text(tag))
            .record(record, &s.what.place)
            .done();
    }
}

fn side_value(side: PadSide) -> Value {
    side.one().map_or(Value::Word("both"), Value::Side)
}

fn level(make: &mut Maker, path: &str, what: &'static str, s: &Where, record: &str) {
    let value = s.level.map(|level| {
        let at = match s.to {
            Some(to) => Value::Levels(level.value, to.value),
            None => Value::Level(level.value),
        };
        (at, &level.place)
    });
    known(make, path, ("at", "level"), what, value, s, record);
}

/// A value that may be left out without anything being missing.
fn known(
    make: &mut Maker,
    path: &str,
    (item, label): (&str, &str),
    what: &'static str,
    value: Option<(Value, &Place)>,
    s: &Where,
    record: &str,
) {
    let (value, place) = value.unwrap_or_else(|| {
        (Value::Missing(Missing::NotApplicable("the words say all".into())), s.place)
    });
    make.fact(format!("{path}.{item}"), format!("{label} of a {what}"), value)
        .record(record, place)
        .done();
}

/// The only curve between whose end vertebrae it lies: its name, its side, and
/// on which side of it the pad or relief is.
fn beside(make: &mut Maker, case: &Case, tracks: &[Track], path: &str, spot: &Spot, record: &str) {
    let curve = only_curve(case, tracks, spot);
    for item in ["name", "side"] {
        let id = format!("{path}.curve.{item}");
        match curve {
            Some(track) => make.same(id, &format!("curves.{}.{item}", track.key)),
            None => make.missing(id, "curve it lies beside", none()),
        };
    }
    let id = format!("{path}.curve.relation");
    let label = "side of the curve it lies on";
    match curve.and_then(|track| Some((track, relation(track.side?, spot.side.value)?))) {
        Some((track, word)) => make
            .fact(id, label, Value::Word(word))
            .record(record, &spot.side.place)
            .from(format!("curves.{}.side", track.key))
            .by("its side against the side of the convexity", Source::definition(""))
            .done(),
        None => make.missing(id, label, none()),
    };
}

fn none() -> Missing {
    Missing::NotApplicable("no curve alone holds its level".into())
}

fn relation(convex: Side, side: PadSide) -> Option<&'static str> {
    side.one().map(|side| if side == convex { "convex" } else { "concave" })
}

fn only_curve<'a, 'b>(case: &Case, tracks: &'a [Track<'b>], spot: &Spot) -> Option<&'a Track<'b>> {
    let column = case.patient.column;
    let (top, foot) = spot.reach(column)?;
    let holds = |track: &&Track| {
        let levels = track.now(case).map(|now| now.levels());
        let ends = levels.map(|(upper, lower)| (column.index(upper), column.index(lower)));
        matches!(ends, Some((Some(upper), Some(lower))) if upper < foot && top < lower)
    };
    let mut found = tracks.iter().filter(|t| t.plane == Plane::Coronal).filter(holds);
    found.next().filter(|_| found.next().is_none())
}

/// A side that may be both: a side, a word, or not recorded.
pub fn opening(opening: &Opt<crate::case::Opening>) -> Option<(Value, &Place)> {
    use crate::case::Opening as O;
    let opening = opening.as_ref()?;
    let value = match opening.value {
        O::Left => Value::Side(Side::Left),
        O::Right => Value::Side(Side::Right),
        O::Back | O::Front => Value::Word(opening.value.word()),
    };
    Some((value, &opening.place))
}
