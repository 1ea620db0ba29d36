//! The type of the curves: six types of adolescents, coronal types of adults.
//!
//! Each scheme is for its own patients; outside them a type is not applicable,
//! never stretched. What cannot be told names the film or value that is
//! missing.

use super::found::sound;
use super::frontal::csvl;
use super::kyphosis::STRETCHES;
use super::maker::{Maker, day, text};
use super::span::Setting;
use super::structure::Scheme;
use super::track::FilmCurve;
use crate::case::{Case, Cause, CsvlAtApex, Deformity, Posture};
use crate::diag::Place;
use crate::evidence::Source;
use crate::facts::{Fact, Missing, Value, compare};
use crate::quantity::{Age, Reported, Unit};
use crate::spine::balance::{CsvlBy, left_of_csvl};
use crate::spine::classification::{
    ADULT, Part, SAGITTAL, SIX_TYPES, SixType, adult_coronal, lumbar_modifier, sagittal_modifier,
    six_type,
};
use crate::spine::landmark::Mark;
use crate::spine::region::region;
use crate::spine::{Apex, Column, Level, PatientSpine, Side};

/// A curve this large that no reader named may change the type.
const COUNTS_FROM: f64 = 25.0;

const ITEMS: [(&str, &str); 4] = [
    ("adolescent.type", "curve type of adolescent idiopathic scoliosis"),
    ("adolescent.lumbar", "lumbar modifier"),
    ("adolescent.sagittal", "sagittal modifier"),
    ("adult.coronal", "coronal type of adult deformity"),
];

/// `classification.*`.
pub fn classification(make: &mut Maker, scheme: &Result<Scheme, Missing>, set: &Setting) {
    let scheme = match scheme {
        Ok(scheme) => scheme,
        Err(why) => return not_applicable(make, &ITEMS, why),
    };
    let film = scheme.film;
    make.fact("classification.film", "film the type is read from", text(&film.id.value))
        .record(format!("film {}", film.id.value), &film.id.place)
        .by("the film that shows the largest frontal curve now", Source::definition(""))
        .done();
    make.fact("classification.taken", "date of that film", day(film.taken.value))
        .record(format!("film {} / taken", film.id.value), &film.taken.place)
        .done();
    parts(make, scheme, set.case.patient.column);
    match adolescent(scheme, set.case) {
        Err(why) => not_applicable(make, &ITEMS[..3], &why),
        Ok(()) => {
            curve_type(make, scheme);
            lumbar(make, scheme, set);
            sagittal(make);
        }
    }
    match adult(scheme, set.case) {
        Err(why) => not_applicable(make, &ITEMS[3..], &why),
        Ok(()) => coronal(make),
    }
}

fn not_applicable(make: &mut Maker, items: &[(&str, &str)], why: &Missing) {
    for (item, label) in items {
        make.missing(format!("classification.{item}"), label, why.clone());
    }
}

/// `classification.<part>.*`: the curve of each part, copied.
fn parts(make: &mut Maker, scheme: &Scheme, column: Column) {
    for (part, track) in Part::ALL.into_iter().zip(scheme.parts) {
        let root = format!("classification.{}", part.key());
        match track {
            Some(track) => {
                let curve = format!("curves.{}", track.key);
                make.same(format!("{root}.cobb"), &format!("{curve}.now.cobb"));
                make.same(format!("{root}.structural"), &format!("{curve}.structural"));
            }
            None => {
                let why = match unnamed(make, scheme, part, column) {
                    Some(curve) => Missing::CannotTell(format!(
                        "the landmarks show a {} curve {curve} that no reader named",
                        part.word()
                    )),
                    None => Missing::NotApplicable(format!(
                        "no {} curve is measured on that film",
                        part.word()
                    )),
                };
                for (item, label) in
                    [("cobb", "Cobb angle"), ("structural", "whether it is structural")]
                {
                    make.missing(format!("{root}.{item}"), label, why.clone());
                }
            }
        }
    }
}

/// Whether the six types apply: adolescent idiopathic scoliosis, standing.
fn adolescent(scheme: &Scheme, case: &Case) -> Result<(), Missing> {
    let outside = |why: String| Err(Missing::NotApplicable(why));
    if case.diagnosis.cause.value != Cause::Idiopathic {
        let cause = case.diagnosis.cause.value.word();
        return outside(format!(
            "the six types are for idiopathic scoliosis; the cause is {cause}"
        ));
    }
    if case.diagnosis.deformity.value != Deformity::Scoliosis {
        return outside("the six types are for scoliosis".into());
    }
    let born = case.patient.born.value;
    if let Some(age) = Age::on(born, scheme.film.taken.value)
        && !(10..18).contains(&age.years)
    {
        return outside(format!(
            "the six types are for adolescents; aged {} on the film",
            age.years
        ));
    }
    let found = case.diagnosis.found.as_ref().and_then(|f| Age::on(born, f.last_day()));
    if let Some(age) = found.filter(|age| age.years < 10) {
        return outside(format!(
            "the six types are for curves that begin in adolescence; found at age {}",
            age.years
        ));
    }
    standing(scheme)
}

/// Whether the adult types apply.
fn adult(scheme: &Scheme, case: &Case) -> Result<(), Missing> {
    if case.diagnosis.deformity.value == Deformity::Asymmetry {
        return Err(Missing::NotApplicable("the adult types are for deformity".into()));
    }
    match Age::on(case.patient.born.value, scheme.film.taken.value) {
        Some(age) if age.years >= 18 => standing(scheme),
        Some(age) => Err(Missing::NotApplicable(format!(
            "the adult types are for adults; aged {} on the film",
            age.years
        ))),
        None => Err(Missing::CannotTell("the film lies before birth".into())),
    }
}

fn standing(scheme: &Scheme) -> Result<(), Missing> {
    match compare::posture(scheme.film) {
        Some(Posture::Standing) => Ok(()),
        posture => Err(Missing::CannotTell(format!(
            "missing: a standing frontal film; film {} was taken {}",
            scheme.film.id.value,
            posture.map_or("in a posture not recorded", |p| p.word())
        ))),
    }
}

/// A large curve of a part that the landmarks of the film show and no reader
/// named, in words.
fn unnamed(make: &Maker, scheme: &Scheme, part: Part, column: Column) -> Option<String> {
    let root = format!("films.{}.found", scheme.film.id.value);
    let get = |n: usize, item: &str| make.facts.get(&format!("{root}.c{n}.{item}"));
    let mut n = 1;
    while let Some(apex) = get(n, "apex") {
        let large = get(n, "cobb").and_then(Fact::number).is_some_and(|c| c.value() >= COUNTS_FROM);
        let alone = get(n, "curve").is_some_and(|f| f.missing().is_some());
        if let (Value::Apex(apex), true, true) = (&apex.value, large, alone)
            && region(*apex, column).and_then(|(r, _)| Part::of(r)) == Some(part)
        {
            let ends = match get(n, "levels").map(|f| &f.value) {
                Some(Value::Levels(upper, lower)) => format!("{upper} to {lower}"),
                _ => String::new(),
            };
            let size =
                get(n, "cobb").and_then(Fact::number).map_or_else(String::new, Reported::digits);
            return Some(format!("{ends} of {size} deg"));
        }
        n += 1;
    }
    None
}

fn curve_type(make: &mut Maker, scheme: &Scheme) {
    let mut known = [None; 3];
    let mut needs: Vec<String> = Vec::new();
    let mut inputs = Vec::new();
    for ((part, track), known) in Part::ALL.into_iter().zip(scheme.parts).zip(&mut known) {
        let id = format!("classification.{}.structural", part.key());
        let fact = make.facts.get(&id);
        inputs.push(id.clone());
        match (track, fact.and_then(Fact::word)) {
            (Some(_), Some(word)) => *known = Some(word == "yes"),
            (Some(track), None) => {
                let why = fact.and_then(Fact::missing).map_or("", Missing::why);
                let why = why.strip_prefix("missing: ").unwrap_or(why);
                needs.push(format!(
                    "{why} (for the {} curve {})",
                    part.word(),
                    ends(track.films.last())
                ));
            }
            (None, _) => match fact.and_then(Fact::missing) {
                Some(Missing::CannotTell(_)) => needs.push(format!(
                    "a reader's word on the {} curve that the landmarks show",
                    part.word()
                )),
                _ => *known = Some(false),
            },
        }
    }
    if let Err(Some(size)) = scheme.major {
        needs.push(format!(
            "which curve is major: main thoracic and thoracolumbar or lumbar both measure {} deg",
            size.digits()
        ));
    }
    let value = match six_type(known, scheme.major.ok()) {
        SixType::Is(word) => Value::Word(word),
        SixType::Between(words) => Value::Missing(Missing::CannotTell(format!(
            "type {}; missing: {}",
            either(&words),
            needs.join("; ")
        ))),
        SixType::NoRow => Value::Missing(Missing::CannotTell(
            "no type of the scheme has these structural curves".into(),
        )),
    };
    let mut draft = make.fact("classification.adolescent.type", ITEMS[0].1, value);
    for id in inputs {
        draft = draft.from(id);
    }
    draft
        .by(
            "row of the table that fits the structural parts and the major one; a part without a curve on the film is not structural",
            SIX_TYPES,
        )
        .done();
}

/// `1, 2 or 3`.
fn either(words: &[&str]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

fn ends(curve: Option<&FilmCurve>) -> String {
    curve.map_or_else(String::new, |c| {
        let (upper, lower) = c.levels();
        format!("{upper} to {lower}")
    })
}

/// The lumbar modifier as recorded, else from the marks of the pedicles.
fn lumbar(make: &mut Maker, scheme: &Scheme, set: &Setting) {
    let (value, records) = match recorded(scheme) {
        Some(found) => found,
        None => computed(scheme, set),
    };
    let mut draft = make.fact("classification.adolescent.lumbar", ITEMS[1].1, value);
    for place in records {
        draft = draft.record(format!("film {} / reading", scheme.film.id.value), &place);
    }
    if let Some(track) = scheme.parts[2] {
        draft = draft.from(format!("curves.{}.now.apex", track.key));
    }
    draft
        .by(
            "A the CSVL runs between the pedicles of the lumbar apex, B it touches the body or a pedicle, C it is clear of the body; as recorded, else from the marks of the pedicles and the edges of the body",
            SIX_TYPES,
        )
        .done();
}

fn recorded(scheme: &Scheme) -> Option<(Value, Vec<Place>)> {
    let readings = scheme.film.readings.iter();
    let words: Vec<_> =
        readings.filter_map(|r| r.frontal.as_ref()?.csvl_at_lumbar_apex.as_ref()).collect();
    let first = words.first()?.value;
    let places = words.iter().map(|w| w.place.clone()).collect();
    let value = if words.iter().any(|w| w.value != first) {
        Value::Missing(Missing::CannotTell(
            "the readers differ on where the CSVL passes the lumbar apex".into(),
        ))
    } else {
        Value::Word(match first {
            CsvlAtApex::Between => "A",
            CsvlAtApex::Touching => "B",
            CsvlAtApex::Clear => "C",
        })
    };
    Some((value, places))
}

fn computed(scheme: &Scheme, set: &Setting) -> (Value, Vec<Place>) {
    let cannot =
        |what: &str| (Value::Missing(Missing::CannotTell(format!("missing: {what}"))), Vec::new());
    let apex = scheme.parts[2].and_then(|t| t.now(set.case)).and_then(FilmCurve::apex);
    let Some(apex) = apex else {
        return cannot("where the CSVL passes the lumbar apex (csvl_at_lumbar_apex)");
    };
    for reading in &scheme.film.readings {
        let Some(spine) = sound(set.case, scheme.film, reading) else { continue };
        let levels = match apex {
            Apex::Vertebra(level) => vec![level],
            Apex::Disc(upper, lower) => vec![upper, lower],
        };
        let words: Option<Vec<_>> =
            levels.iter().map(|l| beside_line(&spine, *l, csvl(reading, set.clinic))).collect();
        let Some(words) = words else { continue };
        let places = reading.landmarks.iter().map(|l| l.path.place.clone()).collect();
        let one = words[0].filter(|w| words.iter().all(|other| *other == Some(*w)));
        let value = one.map_or_else(
            || Value::Missing(Missing::CannotTell(
                "the CSVL runs too near the edge of a pedicle; missing: a reader's word (csvl_at_lumbar_apex)".into(),
            )),
            Value::Word,
        );
        return (value, places);
    }
    cannot(&format!(
        "where the CSVL passes the lumbar apex {apex} (csvl_at_lumbar_apex), or marks of its pedicles and of S1"
    ))
}

/// The modifier at one level; `None` where a mark is missing.
fn beside_line(spine: &PatientSpine, level: Level, by: CsvlBy) -> Option<Option<&'static str>> {
    let body = spine.vertebra(level)?;
    let lower = body.lower?;
    let left = |point| left_of_csvl(spine, point, by).ok();
    let pedicle = |side| left(spine.mark(Mark::Pedicle(level), side)?);
    let pedicles = [pedicle(Side::Right)?, pedicle(Side::Left)?];
    let edges =
        [left(body.upper.start.middle(lower.start))?, left(body.upper.end.middle(lower.end))?];
    Some(lumbar_modifier(0.0, pedicles, edges))
}

fn sagittal(make: &mut Maker) {
    let stretch = STRETCHES[2];
    let kyphosis = make.facts.get(&stretch.id()).and_then(Fact::number);
    let value = match kyphosis {
        Some(angle) => Value::Word(sagittal_modifier(angle)),
        None => Value::Missing(Missing::CannotTell(format!("missing: {}", stretch.needed()))),
    };
    make.fact("classification.adolescent.sagittal", ITEMS[2].1, value)
        .from(stretch.id())
        .by("- below 10, N from 10 to 40, + above 40 degrees T5 to T12", SAGITTAL)
        .done();
}

fn coronal(make: &mut Maker) {
    let size = |make: &Maker, part: Part| {
        let id = format!("classification.{}.cobb", part.key());
        make.facts.get(&id).and_then(Fact::number)
    };
    let upper = [Part::ProximalThoracic, Part::MainThoracic].map(|part| size(make, part));
    let thoracic = upper.into_iter().flatten().max_by(|a, b| a.compare(*b));
    let lower = size(make, Part::Lower);
    let value = match adult_coronal(thoracic, lower) {
        Ok(word) => Value::Word(word),
        Err([thoracic, lower]) => {
            let which = match (thoracic, lower) {
                (true, true) => "both curves measure",
                (true, false) => "the thoracic curve measures",
                _ => "the thoracolumbar or lumbar curve measures",
            };
            Value::Missing(Missing::CannotTell(format!(
                "{which} exactly {} deg, which the scheme leaves unassigned",
                Reported::whole(30, Unit::Degree).digits()
            )))
        }
    };
    let mut draft = make.fact("classification.adult.coronal", ITEMS[3].1, value);
    for part in Part::ALL {
        draft = draft.from(format!("classification.{}.cobb", part.key()));
    }
    draft
        .by("T thoracic, L thoracolumbar or lumbar, D both above 30 degrees, N none; a part without a curve on the film counts as below", ADULT)
        .done();
}
