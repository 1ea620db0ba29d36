//! Films and their radiation, in the last twelve months and in all, and films
//! sooner than planned.

use chrono::{Months, NaiveDate};

use super::maker::{Maker, day, text, whole, yes_no};
use super::span::Setting;
use crate::case::occasion::{Sooner, sooner_than};
use crate::case::{Case, Clinic, Film, Projection, View};
use crate::course::dose;
use crate::evidence::{Grade, Source};
use crate::facts::{Missing, Value};
use crate::quantity::{Age, Dose, Reported, Unit};

/// `dose.*`.
pub fn dose(make: &mut Maker, set: &Setting) {
    let background = dose::BACKGROUND;
    make.fact(
        "dose.background",
        "natural background radiation",
        Value::Number(Reported::round(background.value, 1, background.unit)),
    )
    .by("as published", background.source)
    .done();
    interval(make, set.clinic);
    for film in &set.case.films {
        one(make, set, film);
    }
    let from = set.as_of - Months::new(12);
    make.fact("dose.year.from", "twelve months before the letter's day", day(from))
        .by("twelve calendar months before; films later than that day count", SUM)
        .done();
    total(make, set, "dose.year", "in the last twelve months", |on| on > from);
    total(make, set, "dose.all", "in all", |_| true);
}

const SUM: Source = Source::definition("films recorded in the case; films elsewhere are not known");

fn interval(make: &mut Maker, clinic: &Clinic) {
    let (id, label) = ("dose.interval", "fewest months between films by the clinic's protocol");
    match &clinic.limits.film_months {
        Some(months) => make
            .fact(id, label, whole(i64::from(months.value), Unit::Month))
            .record("clinic / limits / film_months", &months.place)
            .by(
                "the clinic's setting",
                Source { work: None, grade: Grade::ClinicSetting, note: "" },
            )
            .done(),
        None => make.not_recorded(id, label, "the clinic", "clinic / limits", &clinic.place),
    };
}

/// How the dose of a film is known.
#[derive(Clone, Copy, PartialEq)]
enum Known {
    Recorded,
    Estimated,
    No,
}

fn years(case: &Case, film: &Film) -> u32 {
    Age::on(case.patient.born.value, film.taken.value).map_or(0, |a| a.years)
}

/// Why the area product of this film gives no dose.
fn no_estimate(case: &Case, film: &Film) -> Option<String> {
    let projection = film.projection.as_ref().map(|p| p.value);
    if film.view.value != View::Frontal || projection != Some(Projection::Pa) {
        return Some("the factor is for a frontal film of the full spine, PA".into());
    }
    let age = years(case, film);
    let (low, high) = (dose::AREA_AGES.start(), dose::AREA_AGES.end());
    (!dose::AREA_AGES.contains(&age))
        .then(|| format!("the factor is for {low} to {high} years; the patient was {age}"))
}

fn known(case: &Case, film: &Film) -> Known {
    match (&film.dose, &film.area_dose) {
        (Some(_), _) => Known::Recorded,
        (None, Some(_)) if no_estimate(case, film).is_none() => Known::Estimated,
        _ => Known::No,
    }
}

fn one(make: &mut Maker, set: &Setting, film: &Film) {
    let root = format!("dose.films.{}", film.id.value);
    let record = format!("film {}", film.id.value);
    area(make, set.case, film, &root, &record);
    let label = "effective dose, recorded or estimated";
    match known(set.case, film) {
        Known::Recorded => {
            make.same(format!("{root}.value"), &format!("films.{}.dose", film.id.value))
        }
        Known::Estimated => make.same(format!("{root}.value"), &format!("{root}.from_area")),
        Known::No => make.not_recorded(
            format!("{root}.value"),
            label,
            "whoever took the film",
            &record,
            &film.place,
        ),
    };
    against_usual(make, set.case, film, &root, &record);
    sooner(make, set, film, &root, &record);
}

fn area(make: &mut Maker, case: &Case, film: &Film, root: &str, record: &str) {
    let product = |a: &crate::quantity::AreaDose| {
        let unit = Unit::GraySquareCentimetre;
        Value::Number(Reported::round(a.to_gray_square_centimetres(), 3, unit))
    };
    make.recorded(
        format!("{root}.area"),
        "dose-area product",
        record,
        film.area_dose.as_ref(),
        product,
        "whoever took the film",
        &film.place,
    );
    let estimate = match (&film.area_dose, no_estimate(case, film)) {
        (None, _) => Err(Missing::NotRecorded {
            item: "dose-area product".into(),
            who: "whoever took the film".into(),
        }),
        (Some(_), Some(why)) => Err(Missing::CannotTell(why)),
        (Some(area), None) => dose::from_area(area.value, years(case, film))
            .ok_or_else(|| Missing::CannotTell("the factor is for another age".into())),
    };
    let (value, exact) = match estimate {
        Ok(dose) => {
            // Two decimals, or as many as it takes not to print zero.
            let decimals = if dose.to_millisievert() < 0.1 { 4 } else { 2 };
            let reported = Reported::round(dose.to_millisievert(), decimals, Unit::Millisievert);
            (Value::Number(reported), Some(dose.to_millisievert()))
        }
        Err(missing) => (Value::Missing(missing), None),
    };
    let draft = make
        .fact(format!("{root}.from_area"), "effective dose from the dose-area product", value)
        .from(format!("{root}.area"))
        .by("dose-area product x 0.28 mSv for each Gy.cm2", dose::AREA_FACTOR.source);
    match exact {
        Some(exact) => draft.unrounded(exact).done(),
        None => draft.done(),
    };
}

/// Films of the spine against the published range at the age.
fn against_usual(make: &mut Maker, case: &Case, film: &Film, root: &str, record: &str) {
    let age = years(case, film);
    let usual = match (film.view.value, dose::usual(age)) {
        (View::Hand, _) => {
            Err(Missing::NotApplicable("the ranges are for films of the spine".into()))
        }
        (_, None) => Err(Missing::NotApplicable(format!(
            "the ranges end at 18 years; the patient was {age}"
        ))),
        (_, Some(usual)) => Ok(usual),
    };
    let here = format!("{root}.value");
    let value = make.facts.get(&here).and_then(|f| f.number());
    let number = |of: fn(dose::Usual) -> Reported| match &usual {
        Ok(usual) => Value::Number(of(*usual)),
        Err(missing) => Value::Missing(missing.clone()),
    };
    let word = match (&usual, value) {
        (Err(missing), _) => Value::Missing(missing.clone()),
        (Ok(_), None) => Value::Missing(Missing::NotRecorded {
            item: "effective dose".into(),
            who: "whoever took the film".into(),
        }),
        (Ok(usual), Some(value)) => Value::Word(usual.place(value).word()),
    };
    for (item, label, value) in [
        ("usual_from", "usual dose of one examination at this age, at least", number(|u| u.low)),
        ("usual_to", "usual dose of one examination at this age, at most", number(|u| u.high)),
        ("against_usual", "where the dose lies against the usual ones", word),
    ] {
        make.fact(format!("{root}.{item}"), label, value)
            .record(format!("{record} / taken"), &film.taken.place)
            .from(&here)
            .by("published range by completed years", dose::USUAL_SOURCE)
            .done();
    }
}

fn sooner(make: &mut Maker, set: &Setting, film: &Film, root: &str, record: &str) {
    let limit = set.clinic.limits.film_months.as_ref().map(|m| m.value);
    let found = sooner_than(set.case, limit, film);
    let word = match &found {
        None => "no",
        Some(Sooner::Interval { .. }) => "sooner than the protocol",
        Some(Sooner::Planned { .. }) => "sooner than planned",
    };
    make.fact(
        format!("{root}.sooner"),
        "whether the film came sooner than planned or than the protocol",
        Value::Word(word),
    )
    .record(format!("{record} / taken"), &film.taken.place)
    .from("dose.interval")
    .by(
        "against the month named in the plan in force, else the clinic's interval; films in a brace or cast and of the hand are not counted",
        Source::common_practice("films only when they may change what is done"),
    )
    .done();
    let label = "why the film was taken";
    match &film.why {
        Some(why) => make
            .fact(format!("{root}.reason"), label, text(why))
            .record(format!("{record} / why"), &why.place)
            .done(),
        None => make.not_recorded(
            format!("{root}.reason"),
            label,
            "whoever asked for the film",
            record,
            &film.place,
        ),
    };
}

/// Count and sum over the films of a span.
fn total(
    make: &mut Maker,
    set: &Setting,
    root: &str,
    span: &str,
    inside: impl Fn(NaiveDate) -> bool,
) {
    let films: Vec<&Film> = set.case.films.iter().filter(|f| inside(f.taken.value)).collect();
    let count = |how| films.iter().filter(|f| known(set.case, f) == how).count() as i64;
    let counts = [
        ("films", "films", films.len() as i64),
        ("recorded", "films with a recorded dose", count(Known::Recorded)),
        ("estimated", "films with an estimated dose", count(Known::Estimated)),
        ("without", "films without a known dose", count(Known::No)),
    ];
    let home = &set.case.place;
    for (item, label, number) in counts {
        make.fact(format!("{root}.{item}"), format!("{label} {span}"), whole(number, Unit::One))
            .record("films", home)
            .by("count of the films of the span", SUM)
            .done();
    }
    let values: Vec<(String, Reported)> = films
        .iter()
        .filter(|f| known(set.case, f) != Known::No)
        .filter_map(|f| {
            let id = format!("dose.films.{}.value", f.id.value);
            Some((id.clone(), make.facts.get(&id)?.number()?))
        })
        .collect();
    make.fact(
        format!("{root}.at_least"),
        "whether the sum leaves out films without a known dose",
        yes_no(counts[3].2 > 0),
    )
    .from(format!("{root}.without"))
    .by("yes if any film of the span has no known dose", SUM)
    .done();
    sum(make, root, span, &values, films.len());
}

fn sum(make: &mut Maker, root: &str, span: &str, values: &[(String, Reported)], films: usize) {
    let missing = match (values.is_empty(), films) {
        (true, 0) => Some(Missing::NotApplicable(format!("no film {span}"))),
        (true, _) => Some(Missing::NotRecorded {
            item: format!("effective dose of the films {span}"),
            who: "whoever took the films".into(),
        }),
        _ => None,
    };
    let labels = [
        ("total", "effective dose"),
        ("background_days", "the same as days of natural background"),
        ("background_months", "the same as months of natural background"),
    ];
    if let Some(missing) = missing {
        for (item, label) in labels {
            make.missing(format!("{root}.{item}"), &format!("{label} {span}"), missing.clone());
        }
        return;
    }
    let dose = Dose::millisievert(values.iter().map(|v| v.1.value()).sum());
    let total = format!("{root}.total");
    let mut draft =
        make.fact(&total, format!("{} {span}", labels[0].1), Value::Number(dose::reported(dose)));
    for (id, _) in values {
        draft = draft.from(id);
    }
    draft.by("sum of the reported doses; at least this much where a film has none", SUM).done();
    let source = dose::BACKGROUND.source;
    let total_dose = Dose::millisievert(dose::reported(dose).value());
    let amounts = [
        (dose::background_days(total_dose), Unit::Day, labels[1], "sum / 2.4 x 365.25"),
        (dose::background_months(total_dose), Unit::Month, labels[2], "sum / 2.4 x 12"),
    ];
    for (exact, unit, (item, label), how) in amounts {
        make.fact(
            format!("{root}.{item}"),
            format!("{label} {span}"),
            Value::Number(Reported::round(exact, 1, unit)),
        )
        .unrounded(exact)
        .from(&total)
        .from("dose.background")
        .by(how, source)
        .done();
    }
}
