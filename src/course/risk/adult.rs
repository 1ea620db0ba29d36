//! Progression after growth: two sources that differ, and two adult studies.

use super::{Finding, Found, Model, Moment, Origin, Said, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};
use crate::spine::region::Region;

fn rate(item: &'static str, value: f64, decimals: u8) -> Finding {
    Finding::new(item, Said::Number(Reported::round(value, decimals, Unit::DegreePerYear)))
}

const CONFLICT: &str = "two sources differ for large curves: about 1 degree a year above 50 in one, 1 to 2 in the other; both are given; 68 % of the curves followed since 1983 rose by more than 5 degrees after maturity";

pub(super) const AFTER_MATURITY: Model = Model {
    key: "after_maturity",
    items: &[("value", "degrees a year after maturity")],
    population: "idiopathic curves above 30 degrees after the end of growth",
    caveat: CONFLICT,
    source: Source::read(
        &works::NATURAL_HISTORY_2023,
        "above 30 degrees about 0.5 a year, above 50 about 1",
    ),
    find: after_maturity,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn after_maturity(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.mature()?;
    subject.cobb_above(30)?;
    let large = subject.cobb.value() > 50.0;
    Ok(vec![rate("value", if large { 1.0 } else { 0.5 }, 1)])
}

pub(super) const AFTER_MATURITY_HIGHER: Model = Model {
    key: "after_maturity_higher",
    items: &[
        ("value", "degrees a year after maturity, at least"),
        ("to", "the same, at most"),
        ("rose", "share of another cohort that rose by more than 5 degrees after maturity"),
    ],
    population: "thoracic curves above 50 degrees and lumbar curves above 40 after the end of growth",
    caveat: CONFLICT,
    source: Source::read(
        &works::NEUROSURGERY_NOTES,
        "thoracic above 50, lumbar above 40: 1 to 2 degrees a year",
    ),
    find: higher,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn higher(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.mature()?;
    match subject.placed()?.region {
        Region::ProximalThoracic | Region::MainThoracic => subject.cobb_above(50)?,
        Region::Lumbar => subject.cobb_above(40)?,
        _ => {
            return Err(Unfit::Outside(
                "for thoracic and lumbar curves; this one is neither".into(),
            ));
        }
    }
    Ok(vec![
        rate("value", 1.0, 0),
        rate("to", 2.0, 0),
        Finding::percent("rose", 68).by(Source::read(
            &works::AFTER_MATURITY_2016,
            "68 % rose by more than 5 degrees, as cited",
        )),
    ])
}

pub(super) const LUMBAR: Model = Model {
    key: "adult_lumbar",
    items: &[
        ("value", "degrees a year, curve that goes on from youth"),
        ("late_onset", "degrees a year, curve that begins late"),
    ],
    population: "adults with a single lumbar or thoracolumbar curve",
    caveat: "progression was linear in time; which of the two types this is, a series of films tells",
    source: Source::read(&works::MARTY_2007, "continuing type 0.82, late type 1.64 degrees a year"),
    find: lumbar,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn lumbar(subject: &Subject) -> Found {
    subject.age_from(18)?;
    if !matches!(subject.placed()?.region, Region::Lumbar | Region::Thoracolumbar) {
        return Err(Unfit::Outside(
            "for lumbar and thoracolumbar curves; the apex lies elsewhere".into(),
        ));
    }
    if subject.curves != 1 {
        return Err(Unfit::Outside(format!(
            "for single curves; the film shows {}",
            subject.curves
        )));
    }
    Ok(vec![rate("value", 0.82, 2), rate("late_onset", 1.64, 2)])
}

pub(super) const DE_NOVO: Model = Model {
    key: "de_novo",
    items: &[
        ("value", "mean degrees a year"),
        ("spread", "standard deviation of it"),
        ("by_age", "mean degrees a year at this age"),
        ("left", "mean degrees a year of left curves"),
        ("right", "mean degrees a year of right curves"),
    ],
    population: "adults with a degenerative (de novo) curve of up to 30 degrees",
    caveat: "faster with a slip of more than 5 mm",
    source: Source::read(
        &works::CHIN_DE_NOVO,
        "2 +- 1 degrees a year; above 69 years 2.5, younger 1.5; left 3, right 1",
    ),
    find: de_novo,
    at: Moment::Now,
    bounds: Grade::Read,
};

fn de_novo(subject: &Subject) -> Found {
    if subject.origin != Origin::Degenerative {
        return Err(Unfit::Outside("for degenerative curves; this one has another cause".into()));
    }
    subject.age_from(18)?;
    subject.cobb_from_to(1, 30)?;
    let old = subject.age.years > 69;
    Ok(vec![
        rate("value", 2.0, 0),
        rate("spread", 1.0, 0),
        rate("by_age", if old { 2.5 } else { 1.5 }, 1),
        rate("left", 3.0, 0),
        rate("right", 1.0, 0),
    ])
}
