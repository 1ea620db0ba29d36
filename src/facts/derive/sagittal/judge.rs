//! Published tables held against the sagittal measurements of now: ranges,
//! expected values, adult modifiers, size classes of small children.

use super::film::half_width;
use super::now::not_standing;
use crate::case::Case;
use crate::course::age::OnsetClass;
use crate::course::early_onset::{self, curve_class, kyphosis_class};
use crate::course::sagittal::{
    ADULT_FROM, EXPECTED, INCIDENCE, KYPHOSIS, MODIFIERS, Modified, Range, SLOPE, TILT,
    TILT_BY_AGE, expected, tilt_by_age,
};
use crate::evidence::{Source, works};
use crate::facts::compare;
use crate::facts::derive::maker::Maker;
use crate::facts::derive::onset::Onset;
use crate::facts::derive::span::Setting;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::facts::{Missing, Value};
use crate::quantity::{Age, Reported};
use crate::spine::frame::Plane;

/// A number of now with the completed years at its film.
struct Now {
    id: String,
    value: Reported,
    years: Option<u32>,
}

fn now(make: &Maker, case: &Case, key: &str) -> Option<Now> {
    let id = format!("sagittal.now.{key}");
    let value = make.facts.get(&id)?.number()?;
    let film = match &make.facts.get(&format!("{id}_film"))?.value {
        Value::Text(film) => case.films.iter().find(|f| f.id.value == *film)?,
        _ => return None,
    };
    let years = Age::on(case.patient.born.value, film.taken.value).map(|age| age.years);
    Some(Now { id, value, years })
}

/// Why a table of adults says nothing of this patient.
fn not_grown(now: &Now) -> Option<Missing> {
    match now.years {
        Some(years) if years >= ADULT_FROM => None,
        Some(years) => Some(Missing::NotApplicable(format!(
            "the table was drawn from adults, and the patient was {years} at the film"
        ))),
        None => Some(Missing::CannotTell("the film lies before birth".into())),
    }
}

/// The number of now, or why the table of adults says nothing.
fn grown(make: &Maker, case: &Case, key: &str, label: &str) -> Result<Now, Missing> {
    let now = now(make, case, key).ok_or_else(|| not_standing(label))?;
    match not_grown(&now) {
        Some(why) => Err(why),
        None => Ok(now),
    }
}

/// `sagittal.modifier.*`.
pub fn modifiers(make: &mut Maker, case: &Case) {
    for of in Modified::ALL {
        let (name, key, label) = match of {
            Modified::IncidenceLessLordosis => {
                ("pi_ll", "pi_ll", "pelvic incidence minus lordosis L1 to S1")
            }
            Modified::VerticalAxis => ("sva", "sva", "sagittal vertical axis"),
            Modified::PelvicTilt => ("pt", "pelvic_tilt", "pelvic tilt"),
        };
        let id = format!("sagittal.modifier.{name}");
        let told = format!("adult sagittal modifier of {label}");
        match grown(make, case, key, label) {
            Ok(now) => make
                .fact(id, told, Value::Word(of.of(now.value).word()))
                .from(&now.id)
                .by("0, + or ++ by the published thresholds", MODIFIERS)
                .done(),
            Err(why) => make.missing(id, &told, why),
        };
        steps(make, of, name, label);
    }
}

/// `sagittal.modifier.<item>_{plus, plus_plus}`: from where on the modifier is
/// `+`, and above what it is `++`.
fn steps(make: &mut Maker, of: Modified, name: &str, label: &str) {
    let [plus, above] = of.thresholds();
    for (step, from, how) in
        [("plus", plus, "+ from this value on"), ("plus_plus", above, "++ above this value")]
    {
        let told = format!("threshold of the adult sagittal modifier of {label}");
        make.fact(format!("sagittal.modifier.{name}_{step}"), told, Value::Number(from))
            .by(how, MODIFIERS)
            .done();
    }
}

/// `sagittal.range.<item>.*`.
pub fn ranges(make: &mut Maker, case: &Case) {
    let ranges = [
        ("t5_t12", "kyphosis T5 to T12", KYPHOSIS),
        ("pelvic_incidence", "pelvic incidence", INCIDENCE),
        ("pelvic_tilt", "pelvic tilt", TILT),
        ("sacral_slope", "sacral slope", SLOPE),
    ];
    for (key, label, range) in ranges {
        let root = format!("sagittal.range.{key}");
        for (name, end) in [("low", range.low), ("high", range.high)] {
            make.fact(
                format!("{root}.{name}"),
                format!("published range of {label}, {name} end"),
                Value::Number(end),
            )
            .by("as published", range.source)
            .done();
        }
        place(make, case, &root, (key, label), range);
    }
}

fn place(make: &mut Maker, case: &Case, root: &str, (key, label): (&str, &str), range: Range) {
    let found = if range.adults {
        grown(make, case, key, label)
    } else {
        now(make, case, key).ok_or_else(|| not_standing(label))
    };
    let id = format!("{root}.place");
    let told = format!("where {label} lies to the published range");
    match found {
        Ok(now) => make
            .fact(id, told, Value::Word(range.place(now.value)))
            .from(&now.id)
            .from(format!("{root}.low"))
            .from(format!("{root}.high"))
            .by("below, within or above; both ends lie within", range.source)
            .done(),
        Err(why) => make.missing(id, &told, why),
    };
}

/// `sagittal.expected.*`.
pub fn expectations(make: &mut Maker, case: &Case) {
    let labels = [
        ("pelvic_tilt", "pelvic tilt expected by pelvic incidence"),
        ("lordosis", "lordosis expected by pelvic incidence"),
    ];
    let incidence = grown(make, case, "pelvic_incidence", "pelvic incidence");
    let by_age_label = "pelvic tilt expected by pelvic incidence and age";
    let now = match incidence {
        Ok(now) => now,
        Err(why) => {
            for (key, label) in labels {
                make.missing(format!("sagittal.expected.{key}"), label, why.clone());
            }
            make.missing("sagittal.expected.pelvic_tilt_by_age", by_age_label, why);
            return;
        }
    };
    let found = expected(now.value);
    for (key, label) in labels {
        let value = match found {
            Some(e) => Value::Number(if key == "lordosis" { e.lordosis } else { e.tilt }),
            None => Value::Missing(Missing::CannotTell(format!(
                "the table has no class for an incidence of {} degrees",
                now.value.digits()
            ))),
        };
        make.fact(format!("sagittal.expected.{key}"), label, value)
            .from(&now.id)
            .by("by class of pelvic incidence", EXPECTED)
            .done();
    }
    let years = now.years.unwrap_or(0);
    make.fact(
        "sagittal.expected.pelvic_tilt_by_age",
        by_age_label,
        Value::Number(tilt_by_age(now.value, years)),
    )
    .from(&now.id)
    .record("patient / born", &case.patient.born.place)
    .by("-12.7 + 0.38 x PI + 0.14 x age in completed years at the film", TILT_BY_AGE)
    .done();
}

/// `early_onset.*`: size classes of a deformity found before ten years.
pub fn early_onset(make: &mut Maker, set: &Setting, tracks: &[Track]) {
    let case = set.case;
    let labels = [
        ("curve", "early-onset class of the largest curve"),
        ("kyphosis", "early-onset class of the largest kyphosis"),
    ];
    if let Some(why) = not_early(Onset::of(case, set.clinic)) {
        for (key, label) in labels {
            make.missing(format!("early_onset.{key}"), label, why.clone());
        }
        return;
    }
    let curve = largest(case, tracks, Plane::Coronal);
    let mut bends = named(make);
    bends.extend(largest(case, tracks, Plane::Sagittal));
    let kyphosis = bends.into_iter().reduce(|a, b| if b.1.compare(a.1).is_gt() { b } else { a });
    for ((key, label), found) in labels.into_iter().zip([curve, kyphosis]) {
        let id = format!("early_onset.{key}");
        let Some((from, size)) = found else {
            let item = format!("the {key} on a film out of support");
            let who = "the reader of the film".into();
            make.missing(id, label, Missing::NotRecorded { item, who });
            continue;
        };
        let class = if key == "curve" { curve_class(size) } else { kyphosis_class(size) };
        make.fact(id, label, Value::Word(class))
            .from(from)
            .from("diagnosis.age_class")
            .by("by the size out of support now, as reported", early_onset::CLASSES)
            .done();
    }
}

/// Why the classes do not apply; a date that spans the infantile and the
/// juvenile age is early all the same.
fn not_early(onset: Option<Onset>) -> Option<Missing> {
    let Some(Onset { classes: (first, last), found, .. }) = onset else {
        return Some(Missing::CannotTell("the age at diagnosis is not recorded".into()));
    };
    if last <= OnsetClass::Juvenile {
        return None;
    }
    let years = early_onset::BEFORE_YEARS;
    Some(match first <= OnsetClass::Juvenile {
        true => Missing::CannotTell(format!(
            "found in {found}, in which the age of {years} years falls"
        )),
        false => Missing::NotApplicable(format!(
            "the deformity was found at the {} age, not before {years} years",
            first.word()
        )),
    })
}

fn named(make: &Maker) -> Vec<(String, Reported)> {
    let id = "sagittal.now.largest_kyphosis";
    let value = make.facts.get(id).and_then(|f| f.number());
    value.map(|value| (id.to_string(), value)).into_iter().collect()
}

fn largest(case: &Case, tracks: &[Track], plane: Plane) -> Option<(String, Reported)> {
    tracks
        .iter()
        .filter(|t| t.plane == plane && !t.is_lordosis())
        .filter_map(|t| {
            let now: &FilmCurve = t.now(case)?;
            let natural = compare::natural(case, now.film);
            natural.then(|| (format!("curves.{}.now.cobb", t.key), now.reported()))
        })
        .reduce(|a, b| if b.1.compare(a.1).is_gt() { b } else { a })
}

/// `sagittal.repeatability`: what one measurement of a bend of the lateral
/// film is worth.
pub fn repeatability(make: &mut Maker, set: &Setting) {
    let (half, source) = half_width(set, 1);
    make.fact(
        "sagittal.repeatability",
        "95 % half-width of one kyphosis measurement",
        Value::Number(half),
    )
    .by("published limit between two readings / sqrt 2", source)
    .done();
    // What another study found stands beside it and decides nothing.
    make.fact(
        "sagittal.repeatability_needed",
        "change of kyphosis needed to be 95 % sure",
        Value::Number(Reported::whole(11, crate::quantity::Unit::Degree)),
    )
    .by("as published", Source::read(&works::CARMAN_1990, "11 degrees for kyphosis"))
    .done();
}
