//! `frontal.now.*`: the latest upright frontal film out of support that has
//! the item, with its day. Where every such film was taken lying, as in infants,
//! what is read from an upright body does not apply; it is not unrecorded.

use super::super::maker::{Maker, day};
use super::line::{LINES, neutral_within};
use super::read::{lying, not_recorded, of_lying};
use super::{root, shows};
use crate::case::{Case, Film, Posture};
use crate::facts::{Missing, Value, compare};

/// Aliases of the facts of films.
pub fn now(make: &mut Maker, case: &Case) {
    neutral_within(make);
    let films: Vec<&Film> = case.films.iter().filter(|f| upright(case, f)).collect();
    let lying = films.is_empty() && only_lying(case);
    for line in &LINES {
        let mut items = vec![
            (line.key.to_string(), line.label.to_string()),
            (format!("{}_side", line.key), format!("{}: {}", line.label, line.side_label)),
        ];
        if line.key == "balance" {
            let label = "whether the coronal balance is neutral";
            items.push(("balance_word".into(), label.into()));
        }
        if line.from_csvl {
            let label = "how the central sacral vertical line is drawn";
            items.push((format!("{}_csvl", line.key), label.into()));
        }
        one(make, &films, line.key, &items, lying);
    }
    for (tree, label) in [
        ("rvad", "rib-vertebra angles"),
        ("rotation", "rotation by pedicle offset"),
        ("wedges", "wedging"),
    ] {
        group(make, &films, tree, label);
    }
}

fn upright(case: &Case, film: &Film) -> bool {
    let posture = compare::posture(film);
    shows(film)
        && compare::natural(case, film)
        && matches!(posture, Some(Posture::Standing | Posture::Sitting))
}

/// Whether frontal films out of support exist, and all were taken lying.
fn only_lying(case: &Case) -> bool {
    let natural = |f: &&Film| shows(f) && compare::natural(case, f);
    let mut films = case.films.iter().filter(natural).peekable();
    films.peek().is_some() && films.all(lying)
}

fn one(make: &mut Maker, films: &[&Film], key: &str, items: &[(String, String)], only_lying: bool) {
    let nothing = |label: &str| if only_lying { of_lying(label) } else { not_recorded(label) };
    let has = |make: &Maker, film: &Film| {
        let fact = make.facts.get(&format!("{}.{key}", root(film)));
        fact.is_some_and(|f| f.missing().is_none())
    };
    let found = films.iter().filter(|f| has(make, f)).max_by_key(|f| f.taken.value);
    for (item, label) in items {
        let id = format!("frontal.now.{item}");
        let Some(film) = found else {
            make.missing(id, label, nothing(label));
            continue;
        };
        // The line is a fact of the film, told beside each that needs it.
        let of = if item.ends_with("_csvl") { "csvl" } else { item.as_str() };
        make.same(id, &format!("{}.{of}", root(film)));
    }
    taken(make, key, found.copied(), nothing("date of the film"));
}

/// The day of the film an item is told from.
fn taken(make: &mut Maker, key: &str, film: Option<&Film>, nothing: Missing) {
    let (id, label) = (format!("frontal.now.{key}_on"), "date of the film");
    match film {
        Some(film) => {
            make.fact(id, label, day(film.taken.value))
                .record(format!("film {} / taken", film.id.value), &film.taken.place)
                .done();
        }
        None => {
            make.fact(id, label, Value::Missing(nothing)).done();
        }
    }
}

fn group(make: &mut Maker, films: &[&Film], tree: &str, label: &str) {
    let has = |make: &Maker, film: &Film| {
        !make.facts.children(&format!("{}.{tree}", root(film))).is_empty()
    };
    let found = films.iter().filter(|f| has(make, f)).max_by_key(|f| f.taken.value).copied();
    match found {
        Some(film) => {
            make.same_tree(&format!("frontal.now.{tree}"), &format!("{}.{tree}", root(film)));
        }
        None => {
            make.missing(format!("frontal.now.{tree}"), label, not_recorded(label));
        }
    }
    taken(make, tree, found, not_recorded("date of the film"));
}
