//! Facts on every curve that the landmarks of a film show, typed or not.
//!
//! `films.<id>.found.c<n>.*`: the curves with automatic end vertebrae and
//! apex of each reading with landmarks, from the head down, and how far the
//! ends that a reader recorded lie from them.

use super::found::sound;
use super::maker::{Draft, Maker, text, whole, yes_no};
use super::track::{Measured, Track};
use crate::case::{Case, Film, Reading};
use crate::evidence::{Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::cobb::{Convexity, pointing_deviation};
use crate::spine::curve::{Agreement, FoundCurve, SMALLEST_CURVE, agreement, find_curves};
use crate::spine::region::region;
use crate::spine::{PatientSpine, Side};

/// Error of a pointer in pixels (one standard deviation) that the uncertainty
/// of a found angle is told for.
const POINTER: f64 = 1.0;

/// What is said of a found curve beside the curve a reader recorded.
const BESIDE: [(&str, &str); 4] = [
    ("curve", "the recorded curve it belongs to"),
    ("upper_off", "levels from the recorded to the most tilted upper end, below it positive"),
    ("lower_off", "levels from the recorded to the most tilted lower end, below it positive"),
    ("more", "degrees by which the most tilted ends exceed the recorded ones"),
];

/// `films.<id>.found.c<n>.*` of every film with landmarks.
pub fn found(make: &mut Maker, case: &Case, tracks: &[Track]) {
    for film in &case.films {
        let mut n = 0;
        for reading in &film.readings {
            let Some(spine) = sound(case, film, reading) else { continue };
            let members = members(tracks, film, reading);
            for curve in find_curves(&spine, case.patient.column, SMALLEST_CURVE) {
                n += 1;
                let seen = Seen { case, film, reading, spine: &spine, curve };
                seen.write(make, &format!("films.{}.found.c{n}", film.id.value), &members);
            }
        }
    }
}

/// The curves of one reading with the key of the track each belongs to.
fn members<'a>(
    tracks: &'a [Track],
    film: &Film,
    reading: &Reading,
) -> Vec<(&'a str, &'a Measured<'a>)> {
    let on = tracks.iter().flat_map(|t| t.films.iter().map(move |c| (t, c)));
    on.filter(|(_, c)| c.film.id.value == film.id.value)
        .flat_map(|(t, c)| c.members.iter().map(move |m| (t.key.as_str(), m)))
        .filter(|(_, m)| m.reading.id.value == reading.id.value)
        .collect()
}

/// A found curve and where it was seen.
struct Seen<'a> {
    case: &'a Case,
    film: &'a Film,
    reading: &'a Reading,
    spine: &'a PatientSpine,
    curve: FoundCurve,
}

impl Seen<'_> {
    fn write(&self, make: &mut Maker, root: &str, members: &[(&str, &Measured)]) {
        let curve = &self.curve;
        let rule = "the most tilted vertebrae of the landmarks";
        let found = Source::read(&works::COBB_ORTHOFRACS, "end vertebrae and apex");
        for (item, label, value) in [
            ("upper", "most tilted upper vertebra", Value::Level(curve.upper)),
            ("lower", "most tilted lower vertebra", Value::Level(curve.lower)),
            ("levels", "most tilted vertebrae", Value::Levels(curve.upper, curve.lower)),
        ] {
            self.of_landmarks(make.fact(format!("{root}.{item}"), label, value))
                .by(rule, found)
                .done();
        }
        self.of_landmarks(make.fact(
            format!("{root}.apex"),
            "most deviated vertebra or disc",
            Value::Apex(curve.apex),
        ))
        .by("the vertebra or disc between the ends that lies farthest out", found)
        .done();
        self.shape(make, root);
        self.angle(make, root);
        make.fact(
            format!("{root}.reading"),
            "reading with the landmarks",
            text(&self.reading.id.value),
        )
        .record(self.record(), &self.reading.place)
        .done();
        self.beside(make, root, members);
    }

    fn record(&self) -> String {
        format!("film {} / reading {} / landmarks", self.film.id.value, self.reading.id.value)
    }

    fn of_landmarks<'a>(&self, draft: Draft<'a>) -> Draft<'a> {
        match &self.reading.landmarks {
            Some(l) => draft.record(format!("{} ({})", self.record(), l.path.value), &l.path.place),
            None => draft,
        }
    }

    /// Side or bend, region, and whether an end lies at the edge of what is
    /// marked.
    fn shape(&self, make: &mut Maker, root: &str) {
        let (label, value) = match self.curve.convexity {
            Convexity::Toward(Side::Left) => ("side", Value::Side(Side::Left)),
            Convexity::Toward(Side::Right) => ("side", Value::Side(Side::Right)),
            Convexity::Kyphosis => ("bend", Value::Word("kyphosis")),
            Convexity::Lordosis => ("bend", Value::Word("lordosis")),
        };
        self.of_landmarks(make.fact(format!("{root}.{label}"), "the way it bulges", value))
            .by("sign of the angle in the patient's axes", Source::definition(""))
            .done();
        if let Some((region, source)) = region(self.curve.apex, self.case.patient.column) {
            make.fact(
                format!("{root}.region"),
                "region of the apex",
                Value::Word(super::curves::region_word(region)),
            )
            .from(format!("{root}.apex"))
            .by("region by apex, discs included", source)
            .done();
        }
        let edge = self.curve.upper_at_edge || self.curve.lower_at_edge;
        make.fact(
            format!("{root}.at_edge"),
            "whether an end is the first or last vertebra marked, so that the true end may lie beyond",
            yes_no(edge),
        )
        .from(format!("{root}.levels"))
        .by("the first or last level of the landmark file", Source::definition(""))
        .done();
    }

    fn angle(&self, make: &mut Maker, root: &str) {
        let size = self.curve.cobb.size().to_degrees();
        let value = Value::Number(Reported::round(size, 0, Unit::Degree));
        let draft =
            make.fact(format!("{root}.cobb"), "Cobb angle between the most tilted ends", value);
        let draft = self
            .of_landmarks(draft)
            .by(
                "angle between the upper endplate of the upper and the lower endplate of the lower end vertebra",
                Source::read(&works::COBB_ORTHOFRACS, ""),
            )
            .unrounded(size);
        let noise = POINTER * self.spine.pixel();
        match pointing_deviation(self.spine, self.curve.upper, self.curve.lower, noise) {
            Ok(one) => {
                let half = Reported::round(1.96 * one.to_degrees(), 1, Unit::Degree);
                draft.uncertain(half, POINTING).done()
            }
            Err(_) => draft.done(),
        };
    }

    /// The recorded curve of the same bend, and how far its ends lie off.
    fn beside(&self, make: &mut Maker, root: &str, members: &[(&str, &Measured)]) {
        let column = self.case.patient.column;
        let own = |(key, m): &(&str, &Measured)| {
            let held =
                agreement(self.spine, column, m.curve.upper.value, m.curve.lower.value).ok()?;
            let same = held
                .found
                .is_some_and(|f| (f.upper, f.lower) == (self.curve.upper, self.curve.lower));
            same.then(|| (key.to_string(), held, m.curve.found))
        };
        let Some((key, held, automatic)) = members.iter().find_map(own) else {
            let none = Missing::NotApplicable("the reading names no curve here".into());
            for (item, label) in BESIDE {
                make.missing(format!("{root}.{item}"), label, none.clone());
            }
            return;
        };
        make.fact(format!("{root}.curve"), BESIDE[0].1, text(&key))
            .from(format!("films.{}.curves.{key}.levels", self.film.id.value))
            .by(
                "the recorded curve of the same bend that shares most levels",
                Source::definition(""),
            )
            .done();
        if automatic {
            let none = Missing::NotApplicable("the ends followed are the program's own".into());
            for (item, label) in &BESIDE[1..] {
                make.missing(format!("{root}.{item}"), label, none.clone());
            }
            return;
        }
        self.off(make, root, &key, &held);
    }

    fn off(&self, make: &mut Maker, root: &str, key: &str, held: &Agreement) {
        let typed = format!("films.{}.curves.{key}.levels", self.film.id.value);
        for ((item, label), off) in BESIDE[1..3].iter().zip([held.upper_off, held.lower_off]) {
            let value = whole(i64::from(off.unwrap_or(0)), Unit::One);
            make.fact(format!("{root}.{item}"), *label, value)
                .from(format!("{root}.levels"))
                .from(&typed)
                .by("count of levels", Source::definition(""))
                .done();
        }
        let reported = |degrees: f64| Reported::round(degrees, 0, Unit::Degree);
        let (best, recorded) =
            (self.curve.cobb.size().to_degrees(), held.recorded.size().to_degrees());
        make.fact(
            format!("{root}.more"),
            BESIDE[3].1,
            Value::Number(reported(best).minus(reported(recorded))),
        )
        .from(format!("{root}.cobb"))
        .from(&typed)
        .by(
            "angle at the most tilted ends minus angle at the recorded ends, both as reported",
            Source::definition(""),
        )
        .unrounded(best - recorded)
        .done();
    }
}

/// What the uncertainty of a found angle means.
const POINTING: Source = Source::read(
    &works::GUM,
    "95 % half-width for corners placed with a standard deviation of 1 px, by propagation; the choice of ends and the reader come on top",
);
