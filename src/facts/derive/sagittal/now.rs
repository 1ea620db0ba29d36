//! The sagittal measurements as they are now: each from the latest film that
//! shows the person standing, out of any support, and has it.

use crate::case::SagittalItem as Item;
use crate::case::{Case, Film, Posture, View};
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::derive::maker::{Maker, day, text, yes_no};
use crate::facts::{Missing, Value};
use crate::quantity::Reported;

/// Keys of everything told of now, with their labels.
pub fn keys() -> Vec<(&'static str, &'static str)> {
    let pi_ll = ("pi_ll", "pelvic incidence minus lordosis L1 to S1");
    Item::all().map(|item| (item.key(), item.label())).chain([pi_ll]).collect()
}

/// Whether a film shows the side of a person standing out of support.
pub fn standing(case: &Case, film: &Film) -> bool {
    film.view.value == View::Lateral
        && compare::held(case, film) == Held::Free
        && compare::posture(film) == Some(Posture::Standing)
}

/// The number of a film, if it has it.
pub fn number(make: &Maker, film: &Film, key: &str) -> Option<Reported> {
    let id = format!("films.{}.sagittal.{key}", film.id.value);
    make.facts.get(&id).and_then(|fact| fact.number())
}

/// Standing films out of support that have an item, by date.
pub fn films_with<'a>(make: &Maker, case: &'a Case, key: &str) -> Vec<&'a Film> {
    let films = case.films.iter().filter(|film| standing(case, film));
    films.filter(|film| number(make, film, key).is_some()).collect()
}

/// `sagittal.now.<item>_levels`: the named ends of each bend, whether it was
/// measured or not.
fn levels(make: &mut Maker) {
    for item in Item::all() {
        let Item::Bend(stretch) = item else { continue };
        let (upper, lower) = stretch.ends();
        let (_, source) = item.method();
        let label = format!("end vertebrae of the {}", item.label());
        make.fact(
            format!("sagittal.now.{}_levels", item.key()),
            label,
            Value::Levels(upper, lower),
        )
        .by("named ends, the same on every film", source)
        .done();
    }
}

/// `sagittal.now.*`.
pub fn now(make: &mut Maker, case: &Case) {
    levels(make);
    for (key, label) in keys() {
        let root = format!("sagittal.now.{key}");
        match films_with(make, case, key).last() {
            Some(film) => {
                let from = format!("films.{}", film.id.value);
                make.same(&root, &format!("{from}.sagittal.{key}"));
                make.same(format!("{root}_taken"), &format!("{from}.taken"));
                make.fact(format!("{root}_film"), "id of the film", text(&film.id))
                    .record(format!("film {}", film.id.value), &film.id.place)
                    .done();
            }
            None => {
                for part in ["", "_taken"] {
                    make.missing(format!("{root}{part}"), label, not_standing(label));
                }
            }
        }
    }
    latest(make, case);
    largest(make);
}

/// `sagittal.now.taken`, the latest of the films that tell anything of now, and
/// `sagittal.now.<item>_apart`: whether an item comes from an earlier one.
fn latest(make: &mut Maker, case: &Case) {
    let of = |key: &str| films_with(make, case, key).last().copied();
    let films: Vec<(&str, &Film)> =
        keys().into_iter().filter_map(|(key, _)| Some((key, of(key)?))).collect();
    let Some((_, latest)) = films.iter().max_by_key(|(_, f)| f.taken.value).copied() else {
        let label = "a standing lateral film out of support";
        make.missing("sagittal.now.taken", label, not_standing("a measurement"));
        return;
    };
    let record = format!("film {}", latest.id.value);
    make.fact(
        "sagittal.now.taken",
        "latest standing lateral film measured",
        day(latest.taken.value),
    )
    .record(format!("{record} / taken"), &latest.taken.place)
    .done();
    for (key, film) in films {
        let label = "whether it was measured last on an earlier film than others";
        let apart = yes_no(film.taken.value < latest.taken.value);
        make.fact(format!("sagittal.now.{key}_apart"), label, apart)
            .from(format!("sagittal.now.{key}_taken"))
            .from("sagittal.now.taken")
            .by("an earlier day", Source::definition(""))
            .done();
    }
}

/// Why there is no value of now.
pub fn not_standing(label: &str) -> Missing {
    Missing::NotRecorded {
        item: format!("{label} on a standing lateral film out of support"),
        who: "the reader of the film".into(),
    }
}

/// The largest of the thoracic kyphoses between named ends, for criteria that
/// name no ends.
fn largest(make: &mut Maker) {
    let of = ["t5_t12", "t4_t12", "t2_t12"].map(|key| format!("sagittal.now.{key}"));
    let known = of.iter().filter_map(|id| make.facts.get(id)?.number());
    let largest = known.reduce(|a, b| if b.compare(a).is_gt() { b } else { a });
    let label = "largest thoracic kyphosis between named ends";
    let value = largest.map_or_else(|| Value::Missing(not_standing(label)), Value::Number);
    let mut draft = make.fact("sagittal.now.largest_kyphosis", label, value);
    for id in &of {
        draft = draft.from(id);
    }
    draft
        .by(
            "the largest of T5 to T12, T4 to T12 and T2 to T12, as reported",
            Source::read(&works::COBB_ORTHOFRACS, "method of the measurement"),
        )
        .done();
}
