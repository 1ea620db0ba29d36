//! How much a sagittal measurement changed between two standing films, always
//! between the same named end vertebrae, and what a bolster straightens.

use chrono::Months;

use super::film::ends;
use super::now::{films_with, keys, number};
use crate::case::SagittalItem as Item;
use crate::case::{Case, Cause, Film, Posture, View};
use crate::course::brace::Reduction;
use crate::course::change::{self, Circumstances, ClinicLimits, Ends, Group, Readers, Verdict};
use crate::course::outcome::{Bands, Outcome, outcome};
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::derive::maker::{Maker, direction};
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::Reported;
use crate::spine::sagittal::Stretch;

/// What a change says, or says is missing.
const ITEMS: [(&str, &str); 9] = [
    ("from", "value at the start"),
    ("from_taken", "film at the start"),
    ("to", "value at the end"),
    ("to_taken", "film at the end"),
    ("amount", "change"),
    ("direction", "rose, fell or same"),
    ("limit", "smallest change called real"),
    ("verdict", "whether the change is real"),
    ("outcome", "published outcome band"),
];

/// Parts told even where nothing compares.
const TOLD: [usize; 2] = [4, 7];

/// Whether a change of that item is told: incidence is of the bone's shape,
/// and the slope says what the tilt says.
fn told(key: &str) -> bool {
    !matches!(key, "t2_t5" | "pelvic_incidence" | "sacral_slope")
}

/// `sagittal.change.<item>.{since_previous, since_first}.*`; where nothing
/// compares, `amount` and `verdict` say why.
pub fn changes(make: &mut Maker, set: &Setting) {
    for (key, _) in keys().into_iter().filter(|(key, _)| told(key)) {
        let item = Item::all().find(|item| item.key() == key);
        let films = films_with(make, set.case, key);
        let (earlier, now) = match films.split_last() {
            Some((now, earlier)) => (earlier, Some(*now)),
            None => (&[][..], None),
        };
        let like: Vec<&Film> = now.map_or_else(Vec::new, |now| {
            let fits = |f: &&&Film| {
                f.taken.value < now.taken.value && compare::progression(set.case, f, now).is_ok()
            };
            earlier.iter().filter(fits).copied().collect()
        });
        for (span, from) in [("since_previous", like.last()), ("since_first", like.first())] {
            let root = format!("sagittal.change.{key}.{span}");
            match (from, now) {
                (Some(from), Some(now)) => one(make, &root, set, (key, item), from, now),
                _ => {
                    let why = why_not(set.case, item, now, earlier.last().copied());
                    for (part, label) in TOLD.map(|i| ITEMS[i]) {
                        make.missing(format!("{root}.{part}"), label, why.clone());
                    }
                }
            }
        }
    }
}

/// Why nothing compares: the reason of the film before, or other end
/// vertebrae than the named ones.
fn why_not(case: &Case, item: Option<Item>, now: Option<&Film>, before: Option<&Film>) -> Missing {
    let Some(now) = now else {
        return Missing::NotApplicable("no standing lateral film out of support has it".into());
    };
    if let Some(before) = before
        && let Err(why) = compare::progression(case, before, now)
    {
        return Missing::NotComparable(why);
    }
    let other = item.and_then(|item| match item {
        Item::Bend(stretch) => other_ends(case, stretch, now),
        _ => None,
    });
    other.unwrap_or_else(|| Missing::NotApplicable("no earlier comparable film has it".into()))
}

/// An earlier film measured to end vertebrae of the reader's own choice.
fn other_ends(case: &Case, stretch: Stretch, now: &Film) -> Option<Missing> {
    let earlier = case.films.iter().rev().filter(|f| {
        f.view.value == View::Lateral
            && f.taken.value < now.taken.value
            && compare::held(case, f) == Held::Free
    });
    let bend = stretch.bend().to_string();
    let curves = earlier
        .flat_map(|f| f.readings.iter().flat_map(move |r| r.curves.iter().map(move |c| (f, c))));
    let (film, curve) = curves
        .filter(|(_, c)| c.bend.as_ref().is_some_and(|b| b.value.word() == bend))
        .find(|(_, c)| (c.upper.value, c.lower.value) != stretch.ends())?;
    Some(Missing::NotComparable(format!(
        "the film of {} was measured from {} to {}, not from {}",
        film.taken.value,
        curve.upper.value,
        curve.lower.value,
        ends(stretch)
    )))
}

fn one(
    make: &mut Maker,
    root: &str,
    set: &Setting,
    (key, item): (&str, Option<Item>),
    from: &Film,
    to: &Film,
) {
    let id = |film: &Film| format!("films.{}.sagittal.{key}", film.id.value);
    let (Some(a), Some(b)) = (number(make, from, key), number(make, to, key)) else { return };
    make.same(format!("{root}.from"), &id(from));
    make.same(format!("{root}.from_taken"), &format!("films.{}.taken", from.id.value));
    make.same(format!("{root}.to"), &id(to));
    make.same(format!("{root}.to_taken"), &format!("films.{}.taken", to.id.value));
    let amount = b.minus(a);
    make.fact(format!("{root}.amount"), "change", Value::Number(amount))
        .from(id(from))
        .from(id(to))
        .by("later minus earlier, both as reported", Source::definition(""))
        .done();
    make.fact(format!("{root}.direction"), "rose, fell or same", direction(amount))
        .from(format!("{root}.amount"))
        .by("sign of the change", Source::definition(""))
        .done();
    match item {
        Some(Item::Bend(stretch)) => judge(make, root, set, stretch, (from, to), amount),
        _ => {
            let why = Missing::CannotTell("no published limit for this measurement".into());
            for (part, label) in &ITEMS[6..] {
                make.missing(format!("{root}.{part}"), label, why.clone());
            }
        }
    }
}

/// The limit by the real-change table, and the published bands of a kyphosis.
fn judge(
    make: &mut Maker,
    root: &str,
    set: &Setting,
    stretch: Stretch,
    films: (&Film, &Film),
    amount: Reported,
) {
    let limit = change::limit(&circumstances(set, films));
    make.fact(format!("{root}.limit"), "smallest change called real", Value::Number(limit.degrees))
        .by("real-change table, lateral films measured to the same end vertebrae", limit.source)
        .done();
    let verdict = match limit.judge(amount) {
        Verdict::Unchanged => "unchanged",
        Verdict::Rise => "rose",
        Verdict::Fall => "fell",
    };
    make.fact(format!("{root}.verdict"), "whether the change is real", Value::Word(verdict))
        .from(format!("{root}.amount"))
        .from(format!("{root}.limit"))
        .by("real if the reported change reaches the limit", limit.source)
        .done();
    let path = format!("{root}.outcome");
    if stretch == Stretch::Lordosis {
        let none = Missing::NotApplicable("no published bands for a lordosis".into());
        make.missing(path, "published outcome band", none);
        return;
    }
    let band = match outcome(amount, Bands::Kyphosis) {
        Outcome::Improved => "improved",
        Outcome::Unchanged => "unchanged",
        Outcome::Worse => "worse",
    };
    make.fact(path, "published outcome band", Value::Word(band))
        .from(format!("{root}.amount"))
        .by("reduced, stable or larger by the published bands of hyperkyphosis; apart from the verdict on a real change", Bands::Kyphosis.source())
        .done();
}

fn circumstances(set: &Setting, (from, to): (&Film, &Film)) -> Circumstances {
    let readers =
        |film: &Film| -> Vec<String> { film.readings.iter().map(|r| r.by.value.clone()).collect() };
    let (a, b) = (readers(from), readers(to));
    let congenital = set.case.diagnosis.cause.value == Cause::Congenital;
    Circumstances {
        readers: Readers::of(a.iter().map(String::as_str), b.iter().map(String::as_str)),
        ends: Ends::Same,
        group: Group::of(congenital, true, None),
        clinic: ClinicLimits {
            real_change: set.clinic.limits.real_change.as_ref().map(|l| l.value),
            repeatability: set.clinic.limits.repeatability.as_ref().map(|l| l.value),
        },
    }
}

const FLEXIBILITY: (&str, &str) = ("amount", "flexibility over a bolster");

/// `sagittal.flexibility.<item>.*`: the latest film over a bolster against the
/// standing film near it, both measured to the same end vertebrae; `amount`
/// says why there is none.
pub fn flexibility(make: &mut Maker, case: &Case) {
    let kyphoses = [Stretch::T5T12, Stretch::T2T12, Stretch::T4T12, Stretch::T10L2];
    for item in kyphoses.map(Item::Bend) {
        let root = format!("sagittal.flexibility.{}", item.key());
        match pair(make, case, item) {
            Ok((bolster, standing)) => bent(make, &root, item, bolster, standing),
            Err(why) => {
                let (part, label) = FLEXIBILITY;
                let none = Missing::NotApplicable(why.into());
                make.missing(format!("{root}.{part}"), label, none);
            }
        }
    }
}

fn pair<'a>(
    make: &Maker,
    case: &'a Case,
    item: Item,
) -> Result<(&'a Film, &'a Film), &'static str> {
    let over = |f: &&Film| {
        f.view.value == View::Lateral
            && compare::posture(f) == Some(Posture::Bolster)
            && compare::held(case, f) == Held::Free
    };
    let bolsters: Vec<&Film> = case.films.iter().filter(over).collect();
    if bolsters.is_empty() {
        return Err("no lateral film over a bolster");
    }
    let has = |f: &&Film| number(make, f, item.key()).is_some();
    let bolster = bolsters
        .into_iter()
        .rfind(has)
        .ok_or("the film over a bolster was not measured between these end vertebrae")?;
    let near = |f: &&Film| {
        f.taken.value <= bolster.taken.value + Months::new(1)
            && f.taken.value + Months::new(6) >= bolster.taken.value
    };
    films_with(make, case, item.key())
        .into_iter()
        .rfind(near)
        .map(|standing| (bolster, standing))
        .ok_or("no standing film within six months was measured between these end vertebrae")
}

fn bent(make: &mut Maker, root: &str, item: Item, bolster: &Film, standing: &Film) {
    let key = item.key();
    for (name, film) in [("bolster", bolster), ("standing", standing)] {
        let from = format!("films.{}", film.id.value);
        make.same(format!("{root}.{name}"), &format!("{from}.sagittal.{key}"));
        make.same(format!("{root}.{name}_taken"), &format!("{from}.taken"));
    }
    let (Some(before), Some(after)) = (number(make, standing, key), number(make, bolster, key))
    else {
        return;
    };
    let above_zero = before.sign() > 0;
    match Reduction::new(before, after).filter(|_| above_zero) {
        Some(reduction) => make
            .fact(
                format!("{root}.amount"),
                "flexibility over a bolster",
                Value::Number(reduction.percent()),
            )
            .from(format!("{root}.standing"))
            .from(format!("{root}.bolster"))
            .by(
                "(standing - over the bolster) / standing x 100, both as reported",
                Source::read(&works::CHEUNG_2020, "the formula of flexibility"),
            )
            .unrounded(reduction.exact())
            .done(),
        None => make.missing(
            format!("{root}.amount"),
            "flexibility over a bolster",
            Missing::NotApplicable("there is no kyphosis standing".into()),
        ),
    };
}
