//! The stages of a curve's course: up to the first brace or cast, under
//! treatment, and since it ended. Like is compared with like: out of support,
//! same view, same posture as the film of now.

use chrono::NaiveDate;

use super::curves::comparable_to_now;
use super::maker::{Maker, yes_no};
use super::span::{self, Setting};
use super::track::{FilmCurve, Track};
use super::treatment;
use crate::case::{Case, Treatment};
use crate::evidence::Source;
use crate::facts::Missing;
use crate::quantity::date::days_between;

/// How many days a film may lie from the end of treatment and still show the
/// curve as it was then: half a year, our own choice.
const NEAR_END_DAYS: i64 = 183;
/// The same for a film taken after it: what a curve did on its own since then is
/// not what it was at the end. A quarter of a year, our own choice.
const AFTER_END_DAYS: i64 = 92;

/// The points and spans of the stages.
const POINTS: [&str; 3] = ["at_start", "at_start_otherwise", "at_end"];
const SPANS: [&str; 2] = ["during_treatment", "after_treatment"];

/// `<curve>.at_start`, `.at_end`, `.during_treatment`, `.after_treatment`,
/// `.first_apart`.
pub fn stages(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let comparable = comparable_to_now(track, free, set);
    let alike: Vec<&FilmCurve> = comparable.iter().map(|c| **c).collect();
    let now = free.last().copied();
    first_apart(make, root, &alike, set.case);
    let started = treatment::first_ever(set.case).and_then(|t| t.start()).map(|s| s.value);
    let (Some(now), Some(started)) = (now, started) else {
        let why = if started.is_some() {
            "no film out of support shows this curve"
        } else {
            "no brace or cast was worn"
        };
        none(make, root, &Missing::NotApplicable(why.into()));
        return;
    };
    let before = |films: &[&FilmCurve]| {
        films.iter().rfind(|c| c.film.taken.value <= started).map(|c| c.film.id.value.clone())
    };
    let pick =
        |id: Option<String>| id.and_then(|id| free.iter().find(|c| c.film.id.value == id).copied());
    let start = pick(before(&alike));
    let otherwise = pick(before(free)).filter(|_| start.is_none());
    let end =
        over(set.case).and_then(|on| at_end(&alike, now, start, on)).and_then(|id| pick(Some(id)));
    place(make, root, track, "at_start", start);
    place(make, root, track, "at_start_otherwise", otherwise);
    place(make, root, track, "at_end", end);
    let to = if over(set.case).is_some() { end } else { Some(now) };
    during(make, root, track, start.or(otherwise).zip(to), set);
    after(make, root, track, end.map(|end| (end, now)), set);
}

/// The day the last brace or cast ended, if each that began has ended.
pub(super) fn over(case: &Case) -> Option<NaiveDate> {
    let worn = || case.treatments.iter().filter(|t| treatment::supports(t) && t.start().is_some());
    let ended = |t: &Treatment| t.ended.as_ref().map(|e| e.on.value);
    let all: Option<Vec<NaiveDate>> = worn().map(ended).collect();
    all?.into_iter().max()
}

/// Of the comparable films since the start, the one nearest to the end.
fn at_end(
    alike: &[&FilmCurve],
    now: &FilmCurve,
    start: Option<&FilmCurve>,
    ended: NaiveDate,
) -> Option<String> {
    let off = |c: &FilmCurve| days_between(c.film.taken.value, ended).abs();
    let later = |c: &&FilmCurve| start.is_none_or(|s| s.film.taken.value < c.film.taken.value);
    let films = alike.iter().copied().chain([now]).filter(later);
    let most = |c: &FilmCurve| match c.film.taken.value > ended {
        true => AFTER_END_DAYS,
        false => NEAR_END_DAYS,
    };
    let near = films.filter(|c| off(c) <= most(c));
    near.min_by_key(|c| off(c)).map(|c| c.film.id.value.clone())
}

/// What a stage says of its film.
const ITEMS: [(&str, &str); 4] = [
    ("cobb", "Cobb angle"),
    ("levels", "end vertebrae"),
    ("taken", "date of the film"),
    ("posture", "posture"),
];

fn place(make: &mut Maker, root: &str, track: &Track, name: &str, at: Option<&FilmCurve>) {
    let path = format!("{root}.{name}");
    let Some(at) = at else {
        nowhere(make, &path, &Missing::NotApplicable("no such film".into()));
        return;
    };
    let film = format!("films.{}", at.film.id.value);
    let curve = format!("{film}.curves.{}", track.key);
    for (item, of) in [("cobb", &curve), ("levels", &curve), ("taken", &film), ("posture", &film)] {
        make.same(format!("{path}.{item}"), &format!("{of}.{item}"));
    }
}

fn nowhere(make: &mut Maker, path: &str, missing: &Missing) {
    for (item, label) in ITEMS {
        make.missing(format!("{path}.{item}"), label, missing.clone());
    }
}

fn during(
    make: &mut Maker,
    root: &str,
    track: &Track,
    ends: Option<(&FilmCurve, &FilmCurve)>,
    set: &Setting,
) {
    let path = format!("{root}.during_treatment");
    match ends.filter(|(from, to)| from.film.taken.value < to.film.taken.value) {
        Some((from, to)) => span::span(make, &path, track, from, to, set),
        None => {
            let why = "no film out of support before and at the end of brace or cast";
            span::none(make, &path, &Missing::NotApplicable(why.into()));
        }
    }
}

fn after(
    make: &mut Maker,
    root: &str,
    track: &Track,
    ends: Option<(&FilmCurve, &FilmCurve)>,
    set: &Setting,
) {
    let path = format!("{root}.after_treatment");
    match ends.filter(|(from, to)| from.film.taken.value < to.film.taken.value) {
        Some((from, to)) => span::span(make, &path, track, from, to, set),
        None => {
            let why = "no later film since brace or cast ended";
            span::none(make, &path, &Missing::NotApplicable(why.into()));
        }
    }
}

/// `first_apart`: whether the first comparable film came before the one that
/// stands for the start of treatment; without treatment, whether there is one.
fn first_apart(make: &mut Maker, root: &str, alike: &[&FilmCurve], case: &Case) {
    let started = treatment::first_ever(case).and_then(|t| t.start()).map(|s| s.value);
    let before = alike.iter().filter(|c| started.is_none_or(|s| c.film.taken.value <= s)).count();
    let apart = if started.is_some() { before > 1 } else { before > 0 };
    make.fact(
        format!("{root}.first_apart"),
        "whether the first comparable film is not the last one before treatment",
        yes_no(apart),
    )
    .by("count of comparable films up to the first brace or cast", Source::definition(""))
    .done();
}

/// What the stages say of a curve that has none.
pub(super) fn none(make: &mut Maker, root: &str, missing: &Missing) {
    for name in POINTS {
        nowhere(make, &format!("{root}.{name}"), missing);
    }
    for name in SPANS {
        span::none(make, &format!("{root}.{name}"), missing);
    }
}
