//! What published figures say of the largest frontal curve, each for the
//! people it was found in.
//!
//! The models are asked with what was known on the day of one film
//! (`risk.subject.*`, `risk.start.*`), so that a reader sees who was put to
//! the study. Nothing here decides anything: a figure from memory says so in
//! `decides`.

use chrono::{Months, NaiveDate};

use super::maker::{Draft, Maker, text, whole, yes_no};
use super::record::{centimetres, exam_path};
use super::span::Setting;
use super::track::{FilmCurve, Track};
use super::treatment;
use crate::case::{self, Case, Cause, Deformity, Exam, Film, Maturity, Menarche, RisserScale, Sex};
use crate::course::maturity;
use crate::course::risk::{
    self, ApexPlace, Finding, FirstPeriod, Found, MODELS, Model, Moment, Origin, Said, Subject,
    Unfit,
};
use crate::diag::{Located, Place};
use crate::evidence::{Grade, Source};
use crate::facts::{Missing, Value, compare};
use crate::quantity::date::days_between;
use crate::quantity::{Age, HoursPerDay, Reported, Unit};
use crate::spine::frame::Plane;
use crate::spine::region::region;
use crate::spine::{Apex, Column, Level};

/// How many days a sign of growth may lie from the film of the curve and
/// still speak for it: three months, our own choice.
const NEAR_DAYS: i64 = 92;

const NEAR: Source = Source::definition("at most 92 days from the film of the curve");

/// `risk.*`.
pub fn risk(make: &mut Maker, tracks: &[Track], set: &Setting) {
    let case = set.case;
    let now = Chosen::on(case, tracks, set.as_of);
    let first = treatment::first_ever(case);
    let started = first.and_then(|t| t.start()).map(|s| s.value);
    let start = started.map(|on| Chosen::on(case, tracks, on));
    let wear = first.and_then(|t| wear(make, &t.id.value));
    let subject = asked(make, case, "risk.subject", now.as_ref(), wear.as_ref());
    let at_start =
        start.map(|chosen| asked(make, case, "risk.start", chosen.as_ref(), wear.as_ref()));
    for model in MODELS {
        let (root, who) = match (model.at, &at_start) {
            (Moment::Start, Some(at_start)) => ("risk.start", at_start),
            _ => ("risk.subject", &subject),
        };
        write(make, model, root, who.as_ref(), set.clinic);
    }
}

/// The curve of the day: the largest of the film that showed the spine then.
struct Chosen<'a, 'b> {
    curve: &'a FilmCurve<'b>,
    track: &'a Track<'b>,
    /// How many frontal curves that film shows.
    curves: usize,
}

impl<'a, 'b> Chosen<'a, 'b> {
    fn on(case: &Case, tracks: &'a [Track<'b>], on: NaiveDate) -> Option<Self> {
        let coronal = || tracks.iter().filter(|t| t.plane == Plane::Coronal);
        let films = coronal().flat_map(|t| &t.films).map(|c| c.film);
        let film = compare::now(case, films.filter(|f| f.taken.value <= on))?;
        let shown: Vec<_> = coronal()
            .filter_map(|track| {
                let curve = track.films.iter().find(|c| c.film.id.value == film.id.value)?;
                Some((track, curve))
            })
            .collect();
        let curves = shown.len();
        let largest = shown.into_iter().reduce(|best, next| {
            if next.1.reported().compare(best.1.reported()).is_gt() { next } else { best }
        });
        largest.map(|(track, curve)| Chosen { curve, track, curves })
    }
}

/// Measured wear of the first brace: the studies asked for no other.
fn wear(make: &Maker, first: &str) -> Option<(String, Reported)> {
    let id = format!("treatments.{first}.wear.mean");
    let hours = make.facts.get(&id)?.number()?;
    Some((id, hours))
}

/// Writes what the models are asked with; `None` without a frontal curve.
fn asked(
    make: &mut Maker,
    case: &Case,
    root: &str,
    chosen: Option<&Chosen>,
    wear: Option<&(String, Reported)>,
) -> Option<Subject> {
    let born = case.patient.born.value;
    let chosen = chosen.and_then(|c| Some((c, Age::on(born, c.curve.film.taken.value)?)));
    let Some((chosen, age)) = chosen else {
        let item = "a frontal film out of brace and cast that names a curve".to_string();
        let none = Missing::NotRecorded { item, who: "the reader of the film".into() };
        make.missing(format!("{root}.cobb"), "largest frontal curve of the day", none);
        return None;
    };
    let film = chosen.curve.film;
    let taken = film.taken.value;
    let id = &film.id.value;
    make.same(format!("{root}.cobb"), &format!("films.{id}.curves.{}.cobb", chosen.track.key));
    make.same(format!("{root}.taken"), &format!("films.{id}.taken"));
    make.same(format!("{root}.age"), &format!("films.{id}.age"));
    let subject = Subject {
        age,
        sex: sex(case),
        origin: origin(case),
        cobb: chosen.curve.reported(),
        apex: chosen.curve.apex().and_then(|a| place_of(a, case.patient.column)),
        curves: chosen.curves,
        risser: risser(make, case, root, taken),
        hand_stage: hand(make, case, root, taken, HAND_STAGE, |m| m.hand_stage.as_ref()),
        radius: hand(make, case, root, taken, RADIUS, |m| m.radius.as_ref()),
        ulna: hand(make, case, root, taken, ULNA, |m| m.ulna.as_ref()),
        first_period: first_period(make, case, root, taken),
        braced: braced(make, case, root, film),
        height: height(make, case, root, taken),
        imbalance: imbalance(make, root, film),
        wear: wear.map(|(_, hours)| HoursPerDay::hours(hours.value())),
    };
    if let Some((of, _)) = wear {
        make.same(format!("{root}.wear"), of);
    }
    Some(subject)
}

fn sex(case: &Case) -> risk::Sex {
    match case.patient.sex.value {
        Sex::Female => risk::Sex::Female,
        Sex::Male => risk::Sex::Male,
        Sex::Other => risk::Sex::Other,
    }
}

fn origin(case: &Case) -> Origin {
    match (case.diagnosis.cause.value, case.diagnosis.deformity.value) {
        (_, Deformity::Hyperkyphosis) => Origin::Other,
        (Cause::Idiopathic, _) => Origin::Idiopathic,
        (Cause::Degenerative, _) => Origin::Degenerative,
        _ => Origin::Other,
    }
}

fn place_of(apex: Apex, column: Column) -> Option<ApexPlace> {
    let at = column.apex_index(apex)?;
    let index = |level| column.index(level).map(|i| i as f64);
    let last_thoracic = index(Level::T(column.thoracic()))?;
    Some(ApexPlace {
        t8_to_l1: index(Level::T(8))? <= at && at <= index(Level::L(1))?,
        above_t12: at < index(Level::T(12)).unwrap_or(last_thoracic + 1.0),
        region: region(apex, column)?.0,
    })
}

/// The film nearest to a day, at most [`NEAR_DAYS`] off, that shows something;
/// of two equally near the later.
fn nearest<'a, T>(
    case: &'a Case,
    day: NaiveDate,
    get: impl Fn(&'a Film) -> Option<T>,
) -> Option<(&'a Film, T)> {
    let off = |f: &Film| days_between(f.taken.value, day).abs();
    let near = case.films.iter().rev().filter(|f| off(f) <= NEAR_DAYS);
    near.filter_map(|f| Some((f, get(f)?))).min_by_key(|(f, _)| off(f))
}

const HAND_STAGE: (&str, &str) = ("hand_stage", "stage of hand maturity near the film");
const RADIUS: (&str, &str) = ("radius", "grade of the distal radius near the film");
const ULNA: (&str, &str) = ("ulna", "grade of the distal ulna near the film");

const READER: &str = "the reader of the film";

fn risser(
    make: &mut Maker,
    case: &Case,
    root: &str,
    day: NaiveDate,
) -> Option<(maturity::RisserScale, u8)> {
    let label = "Risser grade near the film";
    let found = nearest(case, day, |f| f.maturity.as_ref()?.risser.as_ref());
    let Some((film, risser)) = found else {
        make.not_recorded(format!("{root}.risser"), label, READER, "films", &case.place);
        return None;
    };
    let grade = risser.grade.value;
    let record = format!("film {} / maturity / risser", film.id.value);
    make.fact(format!("{root}.risser"), label, whole(i64::from(grade), Unit::One))
        .record(&record, &risser.grade.place)
        .by("the grade of the nearest film that has one", NEAR)
        .done();
    let scale = risser.scale.value;
    make.fact(format!("{root}.risser_scale"), "scale of that grade", Value::Word(scale.word()))
        .record(&record, &risser.scale.place)
        .done();
    let scale = match scale {
        RisserScale::Us => maturity::RisserScale::UnitedStates,
        RisserScale::French => maturity::RisserScale::French,
    };
    Some((scale, grade))
}

/// A stage or grade of the nearest hand film that has one.
fn hand(
    make: &mut Maker,
    case: &Case,
    root: &str,
    day: NaiveDate,
    (item, label): (&str, &str),
    get: impl Fn(&Maturity) -> Option<&Located<u8>>,
) -> Option<u8> {
    let id = format!("{root}.{item}");
    let Some((film, grade)) = nearest(case, day, |f| get(f.maturity.as_ref()?)) else {
        make.not_recorded(id, label, "the reader of a hand film", "films", &case.place);
        return None;
    };
    make.fact(id, label, whole(i64::from(grade.value), Unit::One))
        .record(format!("film {} / maturity / {item}", film.id.value), &grade.place)
        .by("of the nearest film that has one", NEAR)
        .done();
    Some(grade.value)
}

/// The first period as far as the record decides it for a day. A "not yet"
/// holds on its own day, before it, and [`NEAR_DAYS`] after it.
fn period_on(menarche: &Menarche, day: NaiveDate) -> FirstPeriod {
    if let Some(on) = &menarche.on {
        let (first, last) = (on.first_day(), on.last_day());
        return match (day < first, day < last, day < first + Months::new(12)) {
            (true, ..) => FirstPeriod::NotYet,
            (_, true, _) => FirstPeriod::Unknown,
            (_, _, true) => FirstPeriod::WithinYear,
            _ if day >= last + Months::new(12) => FirstPeriod::Longer,
            _ => FirstPeriod::Unknown,
        };
    }
    let holds = |not_yet: NaiveDate| days_between(not_yet, day) <= NEAR_DAYS;
    match &menarche.not_yet {
        Some(not_yet) if holds(not_yet.value) => FirstPeriod::NotYet,
        _ => FirstPeriod::Unknown,
    }
}

fn first_period(make: &mut Maker, case: &Case, root: &str, day: NaiveDate) -> FirstPeriod {
    let (id, label) = (format!("{root}.first_period"), "first period on the day of the film");
    if case.patient.sex.value == Sex::Male {
        let none = Missing::NotApplicable("the patient is recorded as male".into());
        make.missing(id, label, none);
        return FirstPeriod::Unknown;
    }
    let menarche = case.background.menarche.as_ref();
    let period = menarche.map_or(FirstPeriod::Unknown, |m| period_on(m, day));
    let place = menarche
        .and_then(|m| m.on.as_ref().map(|o| &o.place).or(m.not_yet.as_ref().map(|n| &n.place)))
        .unwrap_or(&case.place);
    let value = match period {
        FirstPeriod::NotYet => Value::Word("not yet"),
        FirstPeriod::WithinYear => Value::Word("within a year"),
        FirstPeriod::Longer => Value::Word("a year or more"),
        FirstPeriod::Unknown => Value::Missing(Missing::NotRecorded {
            item: "when the first period was, precisely enough".into(),
            who: "the family".into(),
        }),
    };
    make.fact(id, label, value)
        .record("background / menarche", place)
        .by("the dates recorded against the day of the film; a `not yet` holds for 92 days", NEAR)
        .done();
    period
}

fn braced(make: &mut Maker, case: &Case, root: &str, film: &Film) -> bool {
    let taken = film.taken.value;
    let worn = case.treatments.iter().filter(|t| treatment::supports(t));
    let first = worn.filter_map(|t| t.start()).filter(|s| s.value < taken).min_by_key(|s| s.value);
    let place = first.map_or(&film.taken.place, |s| &s.place);
    make.fact(
        format!("{root}.braced"),
        "whether a brace or cast had been worn before the film",
        yes_no(first.is_some()),
    )
    .record("treatments", place)
    .by("a brace or cast began before the day of the film", Source::definition(""))
    .done();
    first.is_some()
}

fn height(make: &mut Maker, case: &Case, root: &str, day: NaiveDate) -> Option<Reported> {
    let off = |e: &Exam| days_between(e.on.value, day).abs();
    let measured = case.exams.iter().filter(|e| e.height.is_some() && off(e) <= NEAR_DAYS);
    let (id, label) = (format!("{root}.height"), "height near the film");
    let Some(exam) = measured.min_by_key(|e| off(e)) else {
        make.not_recorded(id, label, "the examiner", "exams", &case.place);
        return None;
    };
    let height = exam.height.as_ref()?;
    let value = centimetres(height.value);
    let Value::Number(reported) = value else { return None };
    make.fact(id, label, value)
        .record(format!("{} / height", exam_path(exam)), &height.place)
        .by("the height nearest to the film", NEAR)
        .done();
    Some(reported)
}

fn imbalance(make: &mut Maker, root: &str, film: &Film) -> Option<Reported> {
    let typed = film.readings.iter().rev().find_map(|r| {
        let balance = r.frontal.as_ref()?.balance.as_ref()?;
        Some((r, balance))
    });
    let (id, label) = (format!("{root}.imbalance"), "C7 plumb line from the sacral line");
    let record = format!("film {}", film.id.value);
    let Some((reading, balance)) = typed else {
        make.not_recorded(id, label, READER, &record, &film.place);
        return None;
    };
    let value = Reported::round(balance.amount.to_millimetres(), 0, Unit::Millimetre);
    let record = format!("{record} / reading {} / frontal / balance", reading.id.value);
    make.fact(id, label, Value::Number(value)).record(record, &balance.place).done();
    Some(value)
}

/// Whether a figure is known from memory alone.
fn from_memory(grade: Grade) -> bool {
    matches!(grade, Grade::Memory | Grade::WeakMemory)
}

fn write(
    make: &mut Maker,
    model: &Model,
    asked: &str,
    who: Option<&Subject>,
    clinic: &case::Clinic,
) {
    let root = format!("risk.{}", model.key);
    let found = match who {
        Some(subject) => (model.find)(subject),
        None => Err(Unfit::Unknown("a frontal curve out of brace and cast", READER)),
    };
    for (item, label) in model.items {
        let finding = match &found {
            Ok(findings) => findings.iter().find(|f| f.item == *item).cloned(),
            Err(unfit) => Some(silent(item, unfit)),
        };
        let unsaid = || silent(item, &Unfit::NotComputable("the source says nothing here"));
        figure(make, model, (&root, asked), label, finding.unwrap_or_else(unsaid));
    }
    film(make, &root, asked, who.is_some());
    said(make, &root, "population", "whom the figure was found in", model);
    said(make, &root, "caveat", "what must be said with the figure", model);
    decides(make, &root, model, &found, clinic);
}

/// Of which film the figure speaks.
fn film(make: &mut Maker, root: &str, asked: &str, known: bool) {
    let (id, label) = (format!("{root}.film"), "film the figure speaks of");
    if known {
        make.same(id, &format!("{asked}.taken"));
    } else {
        let item = "a frontal film out of brace and cast".to_string();
        make.missing(id, label, Missing::NotRecorded { item, who: READER.into() });
    }
}

fn silent(item: &'static str, unfit: &Unfit) -> Finding {
    Finding { item, said: Said::Nothing(unfit.clone()), source: None }
}

fn figure(
    make: &mut Maker,
    model: &Model,
    (root, asked): (&str, &str),
    label: &str,
    finding: Finding,
) {
    let source = finding.source.unwrap_or(model.source);
    let id = format!("{root}.{}", finding.item);
    let formula = format!("published for: {}", model.population);
    let draft = match finding.said {
        Said::Number(value) => make.fact(id, label, Value::Number(value)),
        Said::Computed(value, exact) => make.fact(id, label, Value::Number(value)).unrounded(exact),
        Said::Word(word) => make.fact(id, label, Value::Word(word)),
        Said::Nothing(unfit) => make.fact(id, label, Value::Missing(missing(unfit))),
    };
    draft.by(formula, source).from(format!("{asked}.cobb")).done();
}

/// Why there is no figure, as facts say it.
fn missing(unfit: Unfit) -> Missing {
    match unfit {
        Unfit::Unknown(item, who) => Missing::NotRecorded { item: item.into(), who: who.into() },
        Unfit::Outside(why) => Missing::NotApplicable(why),
        Unfit::NotComputable(why) => Missing::CannotTell(why.into()),
    }
}

fn said(make: &mut Maker, root: &str, item: &str, label: &str, model: &Model) {
    let words = if item == "caveat" { model.caveat } else { model.population };
    make.fact(format!("{root}.{item}"), label, text(words)).by("as published", model.source).done();
}

/// Whether a rule may rest on the figure: one from memory, or one for people
/// whose bounds are from memory, only once the clinic has adopted it by its key.
fn decides(make: &mut Maker, root: &str, model: &Model, found: &Found, clinic: &case::Clinic) {
    let adopted = clinic.adopted.iter().find(|a| a.value == model.key);
    let id = format!("{root}.decides");
    let told = found.iter().flatten().find(|f| f.item == "value");
    let figure = told.filter(|f| !matches!(f.said, Said::Nothing(_)));
    let read = |f: &Finding| {
        ![f.source.unwrap_or(model.source).grade, model.bounds].into_iter().any(from_memory)
    };
    let value = yes_no(figure.is_some_and(|f| read(f) || adopted.is_some()));
    let draft = make.fact(id, "whether a rule may rest on the figure", value);
    settled(draft, adopted.map(|a| &a.place)).done();
}

fn settled<'a>(draft: Draft<'a>, adopted: Option<&Place>) -> Draft<'a> {
    let how = "yes if there is a figure and it was read, or if the clinic has adopted it by name";
    match adopted {
        Some(place) => draft.record("clinic / adopted", place).by(
            how,
            Source { work: None, grade: Grade::ClinicSetting, note: "adopted by the clinic" },
        ),
        None => draft.by(how, Source { work: None, grade: Grade::ClinicSetting, note: "" }),
    }
}
