//! Corrections in support: the first and latest of the largest curve, the
//! best and latest of every curve.

use chrono::NaiveDate;

use super::which::{current, previous, supports};
use crate::case::{Case, Treatment};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, whole, yes_no};
use crate::facts::derive::span::CHECK_ITEMS;
use crate::facts::derive::track::Track;
use crate::facts::{Fact, Missing, Value};
use crate::quantity::{Reported, Unit};

/// `treatment.current.in_brace.*` and the same for the previous one: the
/// first and the latest correction of the curve that was largest before it.
pub fn corrections(make: &mut Maker, case: &Case, tracks: &[Track], as_of: NaiveDate) {
    for (root, treatment) in
        [("treatment.current", current(case, as_of)), ("treatment.previous", previous(case, as_of))]
    {
        let films = treatment.map(|t| checks_of_largest(make, t, tracks)).unwrap_or_default();
        make.fact(
            format!("{root}.in_brace.several"),
            "whether it was filmed in support more than once",
            yes_no(films.len() > 1),
        )
        .by("count of films in support", Source::definition(""))
        .done();
        for (name, path) in [("first", films.first()), ("latest", films.last())] {
            for (item, label) in CHECK_ITEMS {
                let id = format!("{root}.in_brace.{name}.{item}");
                match path {
                    Some(path) => make.same(id, &format!("{path}.{item}")),
                    None => make.missing(
                        id,
                        label,
                        Missing::NotApplicable("no film in a brace or cast".into()),
                    ),
                };
            }
        }
    }
}

/// Paths of the checks of one curve in one treatment, by date: the curve with
/// the largest baseline.
fn checks_of_largest(make: &Maker, t: &Treatment, tracks: &[Track]) -> Vec<String> {
    let paths = |key: &str| checks_of(make, &t.id.value, key);
    let baseline = |key: &str| {
        paths(key).iter().find_map(|p| make.facts.get(&format!("{p}.baseline_cobb"))?.number())
    };
    let mut best: Option<(&Track, Option<Reported>)> = None;
    for track in tracks.iter().filter(|track| !paths(&track.key).is_empty()) {
        let value = baseline(&track.key);
        let larger = match (&best, value) {
            (None, _) | (Some((_, None)), Some(_)) => true,
            (Some((_, Some(old))), Some(new)) => new.compare(*old).is_gt(),
            _ => false,
        };
        if larger {
            best = Some((track, value));
        }
    }
    best.map(|(track, _)| paths(&track.key)).unwrap_or_default()
}

/// Paths of the checks of one curve in one treatment, by date.
pub fn checks_of(make: &Maker, treatment: &str, key: &str) -> Vec<String> {
    let root = format!("treatments.{treatment}.checks");
    make.facts
        .children(&root)
        .into_iter()
        .map(|film| format!("{root}.{film}.{key}"))
        .filter(|path| make.facts.get(&format!("{path}.cobb")).is_some())
        .collect()
}

/// `treatments.<id>.in_brace.<curve>.*`: how many films, the first, the latest
/// and the one with the largest correction, of every curve filmed in support.
pub fn best_and_latest(make: &mut Maker, case: &Case, tracks: &[Track]) {
    for t in case.treatments.iter().filter(|t| supports(t)) {
        for track in tracks {
            let mut films = checks_of(make, &t.id.value, &track.key);
            films.sort_by_key(|path| taken(make, path));
            if !films.is_empty() {
                one_curve(
                    make,
                    &format!("treatments.{}.in_brace.{}", t.id.value, track.key),
                    &films,
                );
            }
        }
    }
}

fn taken(make: &Maker, path: &str) -> Option<NaiveDate> {
    match make.facts.get(&format!("{path}.taken")).map(|f| &f.value) {
        Some(Value::Date(date)) => Some(date.first_day()),
        _ => None,
    }
}

fn one_curve(make: &mut Maker, root: &str, films: &[String]) {
    let mut draft = make.fact(
        format!("{root}.films"),
        "films of this curve in support",
        whole(films.len() as i64, Unit::One),
    );
    for path in films {
        draft = draft.from(format!("{path}.cobb"));
    }
    draft.by("count of films", Source::definition("")).done();
    let label = "whether several films show this curve in support";
    make.fact(format!("{root}.again"), label, yes_no(films.len() > 1))
        .from(format!("{root}.films"))
        .by("more than one film", Source::definition(""))
        .done();
    for (name, path) in [("first", films.first()), ("latest", films.last())] {
        make.same_tree(&format!("{root}.{name}"), path.expect("there is a film"));
    }
    match best(make, films) {
        Some(path) => make.same_tree(&format!("{root}.best"), &path),
        None => {
            for (item, label) in CHECK_ITEMS {
                let why = "no film in support has a comparable film before it";
                let id = format!("{root}.best.{item}");
                make.missing(id, label, Missing::NotComparable(why.into()));
            }
        }
    }
}

/// The check with the largest correction as reported; of equals, the first.
fn best(make: &Maker, films: &[String]) -> Option<String> {
    let mut best: Option<(&String, Reported)> = None;
    for path in films {
        let found = make.facts.get(&format!("{path}.correction")).and_then(Fact::number);
        if let Some(found) = found
            && best.is_none_or(|(_, old)| found.compare(old).is_gt())
        {
            best = Some((path, found));
        }
    }
    best.map(|(path, _)| path.clone())
}
