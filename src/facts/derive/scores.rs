//! Scores over time: now, before, at first, and whether the difference
//! matters.
//!
//! Answers are scored again; where only a total was typed, the total counts.
//! Which way is better differs between scores and stands in `direction`.

use std::collections::BTreeSet;

use super::maker::{Maker, day, text, whole, yes_no};
use super::record::{exam_path, slugs};
use crate::case::{Answers, Case, Cause, Exam};
use crate::course::score::important;
use crate::course::score::odi::{self, Odi};
use crate::course::score::srs22r::{self, Domain, Mean, Srs22r, TooFew};
use crate::course::score::{Answer, Better};
use crate::diag::{Located, Place};
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::{Age, Reported, Unit};

/// `scores.*`.
pub fn scores(make: &mut Maker, case: &Case) {
    srs22r(make, case);
    disability(make, case);
    pain(make, case);
    named(
        make,
        case,
        "scores.vas",
        "VAS",
        &adults(important::vas()),
        "visual analogue scale of pain",
    );
    others(make, case);
}

/// One score on one day.
struct Point<'a> {
    exam: &'a Exam,
    place: &'a Place,
    record: String,
    /// The score, or why the answers give none.
    value: Result<Reported, String>,
    exact: Option<f64>,
    formula: &'static str,
    source: Source,
}

/// What a score is and when a difference matters.
struct Kind {
    label: String,
    better: Option<Better>,
    /// The difference, and its source.
    important: Option<(Reported, Source)>,
    population: Option<&'static str>,
    caveat: &'static str,
    /// Only adults were studied, or only idiopathic curves.
    group: Group,
    /// Whether 30 % of the first value counts as well.
    share: bool,
}

#[derive(Clone, Copy, PartialEq)]
enum Group {
    Anyone,
    Adults,
    Idiopathic,
}

/// A score of low back pain.
fn adults(important: (Reported, Source)) -> Kind {
    Kind {
        label: String::new(),
        better: Some(Better::Lower),
        important: Some(important),
        population: Some(important::LOW_BACK_PAIN),
        caveat: "agreed for improvement; it is less sure for a decline",
        group: Group::Adults,
        share: true,
    }
}

/// A score of the SRS-22r.
fn operated(important: Option<(Reported, Source)>, label: String) -> Kind {
    Kind {
        label,
        better: Some(Better::Higher),
        important,
        population: Some(important::OPERATED),
        caveat: "found before and after an operation; for patients treated without one it is the nearest figure there is, no more",
        group: Group::Idiopathic,
        share: false,
    }
}

const TYPED: Source = super::maker::RECORDED;

fn typed<'a>(exam: &'a Exam, name: &str, score: &'a Located<Reported>) -> Point<'a> {
    Point {
        exam,
        place: &score.place,
        record: format!("{} / scores / {name}", exam_path(exam)),
        value: Ok(score.value),
        exact: None,
        formula: "as typed",
        source: TYPED,
    }
}

fn plain(answers: &Answers) -> Vec<Answer> {
    answers.answers.iter().map(|a| a.value).collect()
}

/// Every examination that has the answers, with what is made of them.
fn answered<'a>(
    case: &'a Case,
    name: &str,
    get: impl Fn(&'a Exam) -> Option<&'a Answers>,
    formula: &'static str,
    source: Source,
    make: impl Fn(&[Answer]) -> Option<Result<(Reported, f64), String>>,
) -> Vec<Point<'a>> {
    let point = |exam: &'a Exam| {
        let answers = get(exam)?;
        let scored = make(&plain(answers))?;
        Some(Point {
            exam,
            place: &answers.place,
            record: format!("{} / {name}", exam_path(exam)),
            exact: scored.as_ref().ok().map(|s| s.1),
            value: scored.map(|s| s.0),
            formula,
            source,
        })
    };
    case.exams.iter().filter_map(point).collect()
}

/// Answers where there are any on a day, the typed total otherwise.
fn with_typed<'a>(case: &'a Case, mut points: Vec<Point<'a>>, name: &str) -> Vec<Point<'a>> {
    let have: BTreeSet<&Place> = points.iter().map(|p| &p.exam.place).collect();
    let totals = case.exams.iter().filter(|e| !have.contains(&e.place));
    let totals: Vec<_> = totals.filter_map(|e| Some(typed(e, name, e.scores.get(name)?))).collect();
    points.extend(totals);
    points.sort_by_key(|p| (p.exam.on.value, p.exam.place.clone()));
    points
}

fn srs22r(make: &mut Maker, case: &Case) {
    let root = "scores.srs22r";
    let mean = |of: fn(&Srs22r) -> Result<Mean, TooFew>| {
        move |answers: &[Answer]| {
            let found = of(&Srs22r::new(answers)?);
            Some(found.map(|m| (m.reported(), m.exact())).map_err(|few| few.to_string()))
        }
    };
    let how = "mean of the answered questions; open questions and those with two marks leave the denominator";
    let points =
        |source, of| answered(case, "srs22r", |e| e.srs22r.as_ref(), how, source, mean(of));
    let total = with_typed(case, points(srs22r::TOTAL_SOURCE, Srs22r::total), "SRS-22r");
    let label = "SRS-22r, mean of all questions, 1 to 5".to_string();
    series(make, case, root, &total, &operated(Some(important::srs22r_mean()), label));
    if case.exams.iter().all(|e| e.srs22r.is_none()) {
        let none = || Missing::NotRecorded {
            item: "answers to the SRS-22r".into(),
            who: "the patient".into(),
        };
        make.missing(format!("{root}.answered"), "questions answered", none());
        return;
    }
    counted(make, case, root);
    let subtotal = points(srs22r::TOTAL_SOURCE, Srs22r::subtotal);
    let label = "SRS-22r, mean without satisfaction".to_string();
    series(make, case, &format!("{root}.subtotal"), &subtotal, &operated(None, label));
    raw(make, case, root);
    for domain in Domain::ALL {
        let source = domain.source();
        let points = answered(
            case,
            "srs22r",
            |e| e.srs22r.as_ref(),
            how,
            source,
            |answers| {
                let found = Srs22r::new(answers)?.domain(domain);
                Some(found.map(|m| (m.reported(), m.exact())).map_err(|few| few.to_string()))
            },
        );
        let label = format!("SRS-22r, {}, 1 to 5", domain.words());
        let kind = operated(important::srs22r_domain(domain), label);
        series(make, case, &format!("{root}.domains.{}", domain.key()), &points, &kind);
    }
}

/// Sums of points, against the differences that are published for sums.
fn raw(make: &mut Maker, case: &Case, root: &str) {
    type Of = fn(&Srs22r) -> Result<Mean, TooFew>;
    let sums: [(&str, &str, Of, (Reported, Source)); 2] = [
        ("raw", "SRS-22r, sum of all 22 questions", Srs22r::total, important::srs22r_raw()),
        (
            "raw_subtotal",
            "SRS-22r, sum of the 20 questions without satisfaction",
            Srs22r::subtotal,
            important::srs22r_raw_subtotal(),
        ),
    ];
    for (item, label, of, from) in sums {
        let how = "sum of the points, every question answered";
        let points = answered(
            case,
            "srs22r",
            |e| e.srs22r.as_ref(),
            how,
            srs22r::TOTAL_SOURCE,
            |answers| {
                let mean = of(&Srs22r::new(answers)?);
                let sum = mean.map_err(|few| few.to_string()).and_then(|m| {
                    let open = format!("{} of {} questions answered", m.answered, m.of);
                    m.raw().ok_or(open)
                });
                Some(sum.map(|s| (Reported::whole(i64::from(s), Unit::One), f64::from(s))))
            },
        );
        series(make, case, &format!("{root}.{item}"), &points, &operated(Some(from), label.into()));
    }
}

/// How many questions the latest questionnaire answers.
fn counted(make: &mut Maker, case: &Case, root: &str) {
    let Some((exam, answers)) = case.exams.iter().rev().find_map(|e| Some((e, e.srs22r.as_ref()?)))
    else {
        return;
    };
    let count = plain(answers).into_iter().filter_map(Answer::points).count();
    make.fact(
        format!("{root}.answered"),
        "questions with one answer, of 22",
        whole(count as i64, Unit::One),
    )
    .record(format!("{} / srs22r", exam_path(exam)), &answers.place)
    .by("two marks count as no answer", srs22r::TOTAL_SOURCE)
    .done();
}

fn disability(make: &mut Maker, case: &Case) {
    let root = "scores.odi";
    let how = "sum of the points over 5 for each answered section, in per cent";
    let points = answered(
        case,
        "odi",
        |e| e.odi.as_ref(),
        how,
        odi::SOURCE,
        |answers| {
            let index = Odi::new(answers)?;
            let few =
                format!("{} of 10 sections answered, fewer than {}", index.answered, odi::FEWEST);
            Some(index.reported().zip(index.exact()).ok_or(few))
        },
    );
    let points = with_typed(case, points, "ODI");
    let label = "Oswestry disability index".to_string();
    series(make, case, root, &points, &Kind { label, ..adults(important::odi()) });
    let id = format!("{root}.band");
    match points.last().and_then(|p| p.value.as_ref().ok()) {
        Some(now) => make
            .fact(id, "published band of the index", Value::Word(odi::band(*now)))
            .from(format!("{root}.now"))
            .by("band of the whole per cent", odi::BANDS_SOURCE)
            .done(),
        None => {
            let why = "no index now".to_string();
            make.missing(id, "published band of the index", Missing::CannotTell(why))
        }
    };
}

fn pain(make: &mut Maker, case: &Case) {
    let points: Vec<_> = case
        .exams
        .iter()
        .filter_map(|exam| {
            let pain = exam.pain.as_ref()?;
            let record = format!("{} / pain", exam_path(exam));
            Some(Point { record, ..typed(exam, "pain", pain) })
        })
        .collect();
    let label = "pain, 0 to 10".to_string();
    series(make, case, "scores.pain", &points, &Kind { label, ..adults(important::pain()) });
}

/// A score that is only ever typed.
fn named(make: &mut Maker, case: &Case, root: &str, name: &str, kind: &Kind, label: &str) {
    let points = with_typed(case, Vec::new(), name);
    let (better, important) = (kind.better, kind.important);
    let kind = Kind { label: label.into(), better, important, ..*kind };
    series(make, case, root, &points, &kind);
}

/// `scores.other.<name>.*`: scores under a name of the clinic's own.
fn others(make: &mut Maker, case: &Case) {
    let known = ["ODI", "SRS-22r", "VAS"];
    let names: BTreeSet<&String> = case.exams.iter().flat_map(|e| e.scores.keys()).collect();
    let names: Vec<&String> = names.into_iter().filter(|n| !known.contains(&n.as_str())).collect();
    for (id, name) in slugs(names.iter().copied()).into_iter().zip(names) {
        let root = format!("scores.other.{id}");
        let kind = Kind {
            label: format!("score {name}"),
            better: None,
            important: None,
            population: None,
            caveat: "no important difference is known for this score",
            group: Group::Anyone,
            share: false,
        };
        let points = with_typed(case, Vec::new(), name);
        series(make, case, &root, &points, &kind);
        if let Some(last) = points.last() {
            make.fact(format!("{root}.name"), "name of the score", text(name))
                .record(&last.record, last.place)
                .done();
        }
    }
}

/// Everything said of one score.
fn series(make: &mut Maker, case: &Case, root: &str, points: &[Point], kind: &Kind) {
    about(make, root, kind);
    let Some(now) = points.last() else {
        let none = Missing::NotRecorded { item: kind.label.clone(), who: "the examiner".into() };
        for (item, label) in POINT_ITEMS.iter().chain(SPAN_ITEMS) {
            make.missing(format!("{root}.{item}"), label, none.clone());
        }
        return;
    };
    point(make, &format!("{root}.now"), &format!("{root}.on"), &kind.label, now);
    let earlier = &points[..points.len() - 1];
    let scored = |p: &&Point| p.value.is_ok();
    let previous = earlier.iter().rev().find(scored);
    let first = earlier.iter().find(scored);
    for (name, since, label) in [
        ("previous", "since_previous", "the one before"),
        ("first", "since_first", "the first one"),
    ] {
        let before = if name == "previous" { previous } else { first };
        let (id, on) = (format!("{root}.{name}"), format!("{root}.{name}_on"));
        match before {
            Some(p) => point(make, &id, &on, &format!("{}, {label}", kind.label), p),
            None => {
                for id in [id, on] {
                    let none = Missing::NotApplicable("no earlier score is recorded".into());
                    make.missing(id, &format!("{}, {label}", kind.label), none);
                }
            }
        }
        let pair = Pair { root, name, since, before, now };
        change(make, case, &pair, kind);
    }
    let long = earlier.iter().filter(scored).count() > 1;
    make.fact(format!("{root}.long_course"), "whether several earlier scores exist", yes_no(long))
        .record(&now.record, now.place)
        .by("count of earlier scores", Source::definition(""))
        .done();
}

const POINT_ITEMS: &[(&str, &str)] = &[
    ("now", "score now"),
    ("on", "date of the score"),
    ("previous", "score before"),
    ("previous_on", "date of the score before"),
    ("first", "first score"),
    ("first_on", "date of the first score"),
];

const SPAN_ITEMS: &[(&str, &str)] = &[
    ("long_course", "whether several earlier scores exist"),
    ("since_previous.change", "change since the score before"),
    ("since_previous.verdict", "what the change means"),
    ("since_previous.share", "change in per cent of the score before"),
    ("since_previous.reaches_share", "whether it reaches 30 % of the score before"),
    ("since_first.change", "change since the first score"),
    ("since_first.verdict", "what the change means"),
    ("since_first.share", "change in per cent of the first score"),
    ("since_first.reaches_share", "whether it reaches 30 % of the first score"),
];

fn about(make: &mut Maker, root: &str, kind: &Kind) {
    let source = kind.important.map_or(Source::definition("none is known"), |i| i.1);
    let direction = kind.better.map_or_else(
        || {
            Value::Missing(Missing::NotRecorded {
                item: "which way this score is better".into(),
                who: "the clinic".into(),
            })
        },
        |b| Value::Word(b.word()),
    );
    make.fact(format!("{root}.direction"), "which way is better", direction)
        .by("as the questionnaire defines it", source)
        .done();
    let none = || Value::Missing(Missing::NotApplicable("none is published".into()));
    let important = kind.important.map_or_else(none, |i| Value::Number(i.0));
    make.fact(format!("{root}.important"), "change from which it matters", important)
        .by("as published", source)
        .done();
    let people = kind.population.map_or_else(none, text);
    make.fact(format!("{root}.population"), "whom that was found in", people)
        .by("as published", source)
        .done();
    make.fact(format!("{root}.caveat"), "what must be said with it", text(kind.caveat))
        .by("as published", source)
        .done();
}

fn point(make: &mut Maker, id: &str, on: &str, label: &str, p: &Point) {
    let value = match &p.value {
        Ok(value) => Value::Number(*value),
        Err(why) => Value::Missing(Missing::CannotTell(why.clone())),
    };
    let draft = make.fact(id, label, value).record(&p.record, p.place).by(p.formula, p.source);
    match p.exact {
        Some(exact) => draft.unrounded(exact).done(),
        None => draft.done(),
    };
    make.fact(on, format!("{label}: date"), day(p.exam.on.value))
        .record(exam_path(p.exam), &p.exam.on.place)
        .done();
}

struct Pair<'a> {
    root: &'a str,
    name: &'a str,
    since: &'a str,
    before: Option<&'a Point<'a>>,
    now: &'a Point<'a>,
}

/// The two values, or why there is no difference.
fn values(pair: &Pair) -> Result<(Reported, Reported), Missing> {
    let before = pair
        .before
        .and_then(|p| p.value.as_ref().ok())
        .ok_or_else(|| Missing::NotApplicable("no earlier score is recorded".into()))?;
    let now = pair.now.value.as_ref().map_err(|why| Missing::CannotTell(why.clone()))?;
    if before.unit() != now.unit() {
        return Err(Missing::NotComparable("the two scores have different units".into()));
    }
    Ok((*before, *now))
}

fn change(make: &mut Maker, case: &Case, pair: &Pair, kind: &Kind) {
    let ids = |item: &str| format!("{}.{}.{item}", pair.root, pair.since);
    let (from, to) = (format!("{}.{}", pair.root, pair.name), format!("{}.now", pair.root));
    let values = values(pair);
    let mut write = |item: &str, label: &str, value: Result<Value, Missing>, how: &str, source| {
        let value = value.unwrap_or_else(Value::Missing);
        make.fact(ids(item), label, value).from(&from).from(&to).by(how, source).done();
    };
    let difference = values.clone().map(|(before, now)| Value::Number(now.minus(before)));
    let sum = Source::definition("difference of the two reported scores");
    write("change", "change, now minus then", difference, "now minus then", sum);
    let source = kind.important.map_or(Source::definition("none is known"), |i| i.1);
    let verdict = fit(case, pair.now, kind).and_then(|(from, better)| {
        let (before, now) = values.clone()?;
        let verdict = important::judge(now.minus(before), from, better);
        Ok(Value::Word(verdict.word()))
    });
    write("verdict", "what the change means", verdict, "against the published difference", source);
    let fits = fit(case, pair.now, kind).map(|_| ()).and_then(|()| match kind.share {
        true => Ok(()),
        false => Err(Missing::NotApplicable("no share of the first value is published".into())),
    });
    let zero = || Missing::NotApplicable("the earlier score was zero".into());
    let both = fits.and(values);
    let share = both.clone().and_then(|(before, now)| {
        important::share(before, now).map(Value::Number).ok_or_else(zero)
    });
    write("share", "change in per cent of the earlier score", share, "change / earlier", sum);
    let reaches = both.and_then(|(before, now)| match before.value() == 0.0 {
        true => Err(zero()),
        false => Ok(yes_no(important::reaches_share(before, now))),
    });
    let label = "whether it reaches 30 % of the earlier score";
    write("reaches_share", label, reaches, "30 % or more either way", source);
}

/// The important difference, if the patient is one of those it is for.
fn fit(case: &Case, now: &Point, kind: &Kind) -> Result<(Reported, Better), Missing> {
    let (Some((from, _)), Some(better)) = (kind.important, kind.better) else {
        return Err(Missing::NotApplicable("no important difference is published".into()));
    };
    let age = Age::on(case.patient.born.value, now.exam.on.value).map_or(0, |a| a.years);
    match kind.group {
        Group::Adults if age < 18 => Err(Missing::NotApplicable(format!(
            "agreed for adults with low back pain; the patient was {age} years old"
        ))),
        Group::Idiopathic if case.diagnosis.cause.value != Cause::Idiopathic => {
            Err(Missing::NotApplicable(
                "found in patients with idiopathic scoliosis; this curve has another cause or none yet"
                    .into(),
            ))
        }
        _ => Ok((from, better)),
    }
}
