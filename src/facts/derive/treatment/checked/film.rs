//! The film of a check: each curve in it and out of it, the checks before, and
//! the balance of both films.

use chrono::NaiveDate;

use crate::case::{Case, Film, Treatment};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, yes_no};
use crate::facts::derive::span::CHECK_ITEMS;
use crate::facts::derive::track::Track;
use crate::facts::derive::treatment::in_brace::checks_of;
use crate::facts::derive::treatment::which::before;
use crate::facts::{Fact, Missing, Value};
use crate::quantity::Reported;

/// What a film out of support says of balance.
const BALANCE: [(&str, &str); 2] =
    [("balance", "coronal balance"), ("balance_side", "coronal balance: side it lies to")];

pub(super) fn no_film(make: &mut Maker, why: &str) {
    let none = || Missing::NotApplicable(why.into());
    make.missing("checked.film.taken", "film in it at this check", none());
    make.missing("checked.film.posture", "posture of that film", none());
    make.missing("checked.film.read", "whether a curve was measured on it", none());
    for which in ["held", "free"] {
        for (item, label) in BALANCE {
            make.missing(format!("checked.{which}.{item}"), label, none());
        }
        make.missing(format!("checked.{which}.taken"), "film", none());
    }
    no_curve(make, "checked.major", why);
    for check in ["previous", "earlier"] {
        no_check(make, &format!("checked.major.{check}"), why);
    }
}

/// What a curve is told by.
const NAMES: [&str; 5] = ["name", "side", "plane", "region", "bend"];

/// Every item of a curve that was not measured in it.
pub(super) fn no_curve(make: &mut Maker, root: &str, why: &str) {
    no_check(make, root, why);
    for item in NAMES {
        let none = Missing::NotApplicable(why.into());
        make.missing(format!("{root}.{item}"), "the curve filmed in it", none);
    }
}

fn no_check(make: &mut Maker, root: &str, why: &str) {
    for (item, label) in CHECK_ITEMS {
        make.missing(format!("{root}.{item}"), label, Missing::NotApplicable(why.into()));
    }
}

/// The film of the check, its curves and its balance.
pub(super) fn shown(
    make: &mut Maker,
    case: &Case,
    tracks: &[Track],
    t: &Treatment,
    film: &Film,
    record: &str,
) {
    let path = |key: &str| format!("treatments.{}.checks.{}.{key}", t.id.value, film.id.value);
    let has = |make: &Maker, key: &str| make.facts.get(&format!("{}.cobb", path(key))).is_some();
    let on: Vec<&Track> = tracks.iter().filter(|track| has(make, &track.key)).collect();
    for item in ["taken", "posture"] {
        make.same(format!("checked.film.{item}"), &format!("films.{}.{item}", film.id.value));
    }
    make.fact("checked.film.read", "whether a curve was measured on it", yes_no(!on.is_empty()))
        .record(record, &film.place)
        .done();
    for track in &on {
        curve(make, case, t, film, track);
    }
    major(make, &on, film);
    balance(make, film);
}

/// `checked.curves.<key>.*`: the check, and the checks before.
fn curve(make: &mut Maker, case: &Case, t: &Treatment, film: &Film, track: &Track) {
    let root = format!("checked.curves.{}", track.key);
    let here = format!("treatments.{}.checks.{}.{}", t.id.value, film.id.value, track.key);
    make.same_tree(&root, &here);
    for item in NAMES {
        make.same(format!("{root}.{item}"), &format!("curves.{}.{item}", track.key));
    }
    for item in ["levels", "apex"] {
        let of = format!("films.{}.curves.{}.{item}", film.id.value, track.key);
        make.same(format!("{root}.{item}"), &of);
    }
    let previous = checks_before(make, &t.id.value, track, film.taken.value).pop();
    copied(make, &format!("{root}.previous"), previous, "it was not filmed in it before");
    let earlier = before(case, t);
    let first = earlier.and_then(|e| first_check(make, e, track));
    copied(make, &format!("{root}.earlier"), first, "no film in an earlier one shows it");
}

/// Paths of the checks of a curve before a day, by date.
fn checks_before(make: &Maker, id: &str, track: &Track, day: NaiveDate) -> Vec<String> {
    let mut found: Vec<(NaiveDate, String)> = checks_of(make, id, &track.key)
        .into_iter()
        .filter_map(|path| Some((taken(make, &path)?, path)))
        .filter(|(on, _)| *on < day)
        .collect();
    found.sort();
    found.into_iter().map(|(_, path)| path).collect()
}

fn first_check(make: &Maker, t: &Treatment, track: &Track) -> Option<String> {
    let root = format!("treatments.{}.in_brace.{}.first", t.id.value, track.key);
    make.facts.get(&format!("{root}.cobb")).map(|_| root)
}

fn taken(make: &Maker, path: &str) -> Option<NaiveDate> {
    match make.facts.get(&format!("{path}.taken")).map(|f| &f.value) {
        Some(Value::Date(date)) => Some(date.first_day()),
        _ => None,
    }
}

fn copied(make: &mut Maker, root: &str, of: Option<String>, why: &str) {
    match of {
        Some(path) => make.same_tree(root, &path),
        None => no_check(make, root, why),
    }
}

/// `checked.major.*`: the curve with the largest angle out of support before
/// the film; where none is known, the largest in support. A lordosis is never
/// the one that a brace is made for.
fn major(make: &mut Maker, on: &[&Track], film: &Film) {
    let size = |key: &str| {
        let of = |item: &str| make.facts.get(&format!("checked.curves.{key}.{item}"));
        let number = |item: &str| of(item).and_then(Fact::number);
        number("baseline_cobb").or(number("size"))
    };
    let mut best: Option<(&Track, Reported)> = None;
    for track in on.iter().filter(|t| !t.is_lordosis()) {
        if let Some(found) = size(&track.key)
            && best.is_none_or(|(_, old)| found.compare(old).is_gt())
        {
            best = Some((track, found));
        }
    }
    let why = "no curve was measured on the film";
    let Some(key) = best.map(|(track, _)| track.key.clone()) else {
        no_curve(make, "checked.major", why);
        for check in ["previous", "earlier"] {
            no_check(make, &format!("checked.major.{check}"), why);
        }
        return;
    };
    make.same_tree("checked.major", &format!("checked.curves.{key}"));
    for track in on {
        let root = format!("checked.curves.{}", track.key);
        make.fact(
            format!("{root}.is_major"),
            "whether it is the largest",
            yes_no(track.key == key),
        )
        .record(format!("film {}", film.id.value), &film.place)
        .from(format!("{root}.size"))
        .by("largest angle out of support before the film", Source::definition(""))
        .done();
        together(make, &root);
    }
}

/// Whether a curve is held against the same film as the largest one.
fn together(make: &mut Maker, root: &str) {
    let film =
        |root: &str| make.facts.get(&format!("{root}.baseline_film")).map(|f| f.value.clone());
    let same = film(root) == film("checked.major");
    make.fact(
        format!("{root}.with_major"),
        "whether it is held against the same film as the largest curve",
        yes_no(same),
    )
    .from(format!("{root}.baseline_film"))
    .from("checked.major.baseline_film")
    .by("the same film out of support", Source::definition(""))
    .done();
}

/// `checked.held.*`, `checked.free.*`: balance in it and out of it, on the two
/// films that the largest curve is told from.
fn balance(make: &mut Maker, film: &Film) {
    let free = match make.facts.get("checked.major.baseline_film").map(|f| &f.value) {
        Some(Value::Text(id)) => Some(id.clone()),
        _ => None,
    };
    for (which, id) in [("held", Some(film.id.value.clone())), ("free", free)] {
        for (item, label) in BALANCE {
            let to = format!("checked.{which}.{item}");
            let of = id.as_ref().map(|id| format!("films.{id}.frontal.{item}"));
            match of.filter(|of| make.facts.get(of).is_some()) {
                Some(of) => make.same(to, &of),
                None => {
                    let none = Missing::NotApplicable("no frontal film shows it".into());
                    make.missing(to, label, none)
                }
            };
        }
        let to = format!("checked.{which}.taken");
        match &id {
            Some(id) => make.same(to, &format!("films.{id}.taken")),
            None => {
                let none = Missing::NotApplicable("no film out of support serves".into());
                make.missing(to, "film", none)
            }
        };
    }
}

/// `checked.latest.*`: the latest film of all in this brace or cast, of the
/// curve that was largest before it, for a check without a film.
pub(super) fn latest(make: &mut Maker, tracks: &[Track], t: &Treatment) {
    let latest = |make: &Maker, track: &Track| {
        let path = format!("treatments.{}.in_brace.{}.latest", t.id.value, track.key);
        let number = |item: &str| make.facts.get(&format!("{path}.{item}")).and_then(Fact::number);
        Some((number("baseline_cobb").or(number("size"))?, path))
    };
    let mut best: Option<(Reported, String, &Track)> = None;
    for track in tracks.iter().filter(|t| !t.is_lordosis()) {
        if let Some((size, path)) = latest(make, track)
            && best.as_ref().is_none_or(|(old, ..)| size.compare(*old).is_gt())
        {
            best = Some((size, path, track));
        }
    }
    let Some((_, path, track)) = best else {
        return no_curve(make, "checked.latest", "no film was taken in it");
    };
    make.same_tree("checked.latest", &path);
    for item in NAMES {
        make.same(format!("checked.latest.{item}"), &format!("curves.{}.{item}", track.key));
    }
}
